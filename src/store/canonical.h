/* canonical.h - what the journal's hashes are taken over (journal.h, rules 2 and 3). For the store room
 * alone. */
#ifndef CANONICAL_H
#define CANONICAL_H

#include <sodium.h>

#include "journal.h"
#include "table.h"
#include "text.h"

/* Append the canonical text (rule 2) of a row. */
void canonical_add_row(struct text *text, const struct table_column *columns,
                       const struct table_value *values, size_t count);

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
