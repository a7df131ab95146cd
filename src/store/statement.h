/* statement.h - SQL statements of the store room, prepared once and kept.
 *
 * Rules
 * (1) Parameters are bound by name; a name that is not in the statement is a mistake of this program.
 * (2) NAN, 0 for an id, DAY_NONE, MOMENT_NONE and a NULL text are bound as NULL and come back so.
 * (3) After use comes statement_done(), on every way out. */
#ifndef STATEMENT_H
#define STATEMENT_H

#include <stdbool.h>
#include <stdint.h>

#include "clock.h"
#include "store.h"

struct statement;

/* One of the texts in sql.h. NULL with the failure set when it cannot be prepared.
 * Lent by the store until statement_done(). */
struct statement *statement_open(struct store *store, const char *sql, struct failure *failure);

/* Give rows out as they are, whatever is in them: for verify and export. */
void statement_as_it_is(struct statement *statement);

void statement_bind_text(struct statement *statement, const char *name, const char *text);
void statement_bind_double(struct statement *statement, const char *name, double value);
void statement_bind_id(struct statement *statement, const char *name, int64_t id);
void statement_bind_int(struct statement *statement, const char *name, int64_t value);
void statement_bind_time(struct statement *statement, const char *name, civil_time moment);

/* Go to the next row. *ret_row is false when there is none. A failed constraint is STATUS_CONFLICT, a value that cannot
 * stand in its column STATUS_FORMAT (value_check.h), everything else STATUS_SYSTEM. */
enum status statement_step(struct statement *statement, bool *ret_row, struct failure *failure);

/* Columns of the current row, from 0. */
double statement_double(struct statement *statement, int column);
int64_t statement_id(struct statement *statement, int column);
int64_t statement_int(struct statement *statement, int column);
bool statement_is_null(struct statement *statement, int column);
civil_day statement_day(struct statement *statement, int column);
civil_time statement_time(struct statement *statement, int column);
const char *statement_text(struct statement *statement,
                           int column);                        /* lent until the next step; NULL for NULL */
char *statement_copy(struct statement *statement, int column); /* given: free() it */

/* The same for a column that is NOT NULL: "" where a damaged notebook holds NULL all the same. */
const char *statement_word(struct statement *statement, int column);
char *statement_name(struct statement *statement, int column);

void statement_done(struct statement *statement);

#endif
