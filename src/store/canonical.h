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

/* Append the canonical text (rule 2) of the current row of a SELECT *. */
void canonical_add_row(struct text *text, sqlite3_stmt *row);

/* The text of an entry over several rows: add each row's canonical text with its line feed, then finish.
 * ret_text  "blake2b " and the hash */
enum { CANONICAL_BLOCK_SIZE = JOURNAL_HASH_SIZE + 8 };
struct canonical_block {
    crypto_generichash_state state;
};
void canonical_block_start(struct canonical_block *block);
void canonical_block_add(struct canonical_block *block, const char *line, size_t length);
void canonical_block_finish(struct canonical_block *block, char ret_text[CANONICAL_BLOCK_SIZE]);

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
