/* value_check.h - what a notebook may hold in a column that the schema alone does not promise. For the store room alone.
 *
 * Rules
 * (1) A notebook may come from elsewhere, or be damaged: behind a right schema can stand a date that is none, a word
 *     that no column has, a number beyond any range (checks can be switched off while writing). What a statement gives
 *     out is checked here, once, row by row; the rest of the program relies on it.
 * (2) The columns are known by the names that the schema gives them, whatever statement reads them. What verify and
 *     export read, they read as it is. */
#ifndef VALUE_CHECK_H
#define VALUE_CHECK_H

#include <sqlite3.h>

#include "put_right.h"
#include "status.h"

/* The checks for what a statement gives out. */
struct value_checks;

/* Given: value_checks_free() it. */
struct value_checks *value_checks_of(sqlite3_stmt *statement);
void value_checks_free(struct value_checks *checks);

/* Check the current row, by what stands of it (NULL: nothing was put right). STATUS_FORMAT names table, row and column:
 * "row 3 of table reading: column 'taken_at' holds 'soon', which is no date and time (curetrace verify)". */
enum status value_checks_row(const struct value_checks *checks, sqlite3_stmt *statement,
                             const struct correction *const *standing, struct failure *failure);

/* What stands in the current row in place of what was put right (put_right.h, rule 1), by column. False: nothing. */
bool value_checks_standing(const struct value_checks *checks, sqlite3_stmt *statement,
                           const struct store *store, const struct correction **ret_standing);

/* Would a column hold this value, as a correction keeps it? STATUS_RANGE or STATUS_FORMAT: "is outside 0 to 14". */
enum status value_check_one(const char *table, const char *column, const struct correct_field *field,
                            const char *value, struct failure *failure);

#endif
