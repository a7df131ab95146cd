/* canonical.h - what the journal's hashes are taken over (journal.h, rules 2 and 3). For the store room
 * alone. */
#ifndef CANONICAL_H
#define CANONICAL_H

#include <sodium.h>
#include <sqlite3.h>

#include "journal.h"
#include "text.h"

/* Every table whose rows are journalled, parents before children, and the statement that gives its whole
 * rows from :first_row to :last_row. */
struct canonical_table {
    const char *name, *rows_sql;
};
extern const struct canonical_table canonical_tables[];
extern const size_t canonical_table_count;

/* The table's place in the list; canonical_table_count for a name that is not there. */
size_t canonical_find(const char *table);

/* Append a column that is not NULL to the canonical text (rule 2) of a row; an empty text gets its first one.
 * name    the column's
 * length  of the text in bytes */
void canonical_add_integer(struct text *text, const char *name, int64_t value);
void canonical_add_number(struct text *text, const char *name, double value);
void canonical_add_text(struct text *text, const char *name, const char *value, size_t length);

/* Append the columns of the current row of a SELECT *. */
void canonical_add_row(struct text *text, sqlite3_stmt *row);

/* The text of an entry (rule 1), row by row: start; for each row write its canonical text to the empty line that
 * next gives, and add. Zeroed needs a start. */
enum { CANONICAL_BLOCK_SIZE = JOURNAL_HASH_SIZE + 8 };
struct canonical_rows {
    int64_t count;    /* of rows so far */
    struct text line; /* owned: of the latest one */
    crypto_generichash_state state;
    char hash[CANONICAL_BLOCK_SIZE];
};
void canonical_rows_start(struct canonical_rows *rows);
struct text *canonical_rows_next(struct canonical_rows *rows);
void canonical_rows_add(struct canonical_rows *rows);
void canonical_rows_clear(struct canonical_rows *rows);

/* Of one row its own text, of several "blake2b " and the hash; lent until the next call. Then start again. */
const char *canonical_rows_text(struct canonical_rows *rows);

/* One entry as it is stored; the texts are lent. */
struct canonical_entry {
    int64_t seq;
    const char *at, *what;
    int64_t first_row, last_row;
    const char *text, *previous_hash;
};

/* Rule 3. */
void canonical_entry_hash(const struct canonical_entry *entry, char ret_hash[JOURNAL_HASH_SIZE]);

#endif
