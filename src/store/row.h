/* row.h - the one way into the notebook: a row is put together column by column, added and journalled.
 *
 * Rules
 * (1) What is journalled is what was bound, never what was read back: a notebook whose triggers change a row on its
 *     way does not verify.
 * (2) A column that is not named stays NULL. NAN, 0 for an id, DAY_NONE, MOMENT_NONE and a NULL text are NULL too.
 * (3) Each row has an entry of its own in the journal (journal.h, rule 1), or, between rows_begin_many() and
 *     rows_end_many(), blocks of rows of a table have one. */
#ifndef ROW_H
#define ROW_H

#include "clock.h"
#include "table.h"

enum { ROW_MOMENTS_MOST = 4 };

/* Texts are lent until the row is added; what is inside is row.c's. */
struct row {
    struct store *store;
    const struct table *table; /* NULL: it could not be read; row_add() says so */
    size_t number, place;      /* the table's; of the column after the one set last */
    struct table_value values[TABLE_COLUMNS_MOST];
    char moments[ROW_MOMENTS_MOST][MOMENT_TEXT_SIZE];
    size_t moment_count;
};

/* Begin a row of a table, all of it NULL. */
void row_start(struct row *row, struct store *store, const char *table);

/* Set a column; a name that the table does not have is a mistake of this program. */
void row_text(struct row *row, const char *column, const char *text);
void row_number(struct row *row, const char *column, double number);
void row_id(struct row *row, const char *column, int64_t id);
void row_integer(struct row *row, const char *column, int64_t integer);
void row_day(struct row *row, const char *column, civil_day day);
void row_time(struct row *row, const char *column, civil_time moment);

/* Set all of them in table order, the id among them: it is not taken, the row gets the next number. */
void row_values(struct row *row, const struct table_value *values, size_t count);

/* Add it, in a transaction of its own or inside the one that is open.
 * ret_id  its number
 * STATUS_CONFLICT when the table does not take it; STATUS_SYSTEM when the notebook cannot be written, or does not keep
 * what it is given; then the transaction may be undone already. */
enum status row_add(struct row *row, int64_t *ret_id, struct failure *failure);

/* Like store_begin() and store_end(), for many rows (rule 3). They do not nest. */
enum status rows_begin_many(struct store *store, struct failure *failure);
enum status rows_end_many(struct store *store, enum status status, struct failure *failure);

#endif
