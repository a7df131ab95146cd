/* journal.h - the log of every write: append-only and hash-chained.
 *
 * Rules
 * (1) Each row added to a table is covered by one entry, written in the same transaction. A single row's
 *     entry holds its canonical text; an import's entry covers a block of up to 1000 rows and holds "blake2b "
 *     and the hash over their canonical texts, each ended by a line feed. Rows are numbered from 1 without a
 *     gap, and a table's entries come in the order of its rows.
 * (2) Canonical text: the columns that are not NULL, in table order, as name=value joined by tabs. Whole
 *     numbers as such, other numbers in the shortest form that reads back, texts in double quotes with \\, \",
 *     \n, \t and \r written so. A column added by a later version is NULL in old rows and so does not change
 *     their text.
 * (3) hash = BLAKE2b-256 over seq, at, what, first_row, last_row, previous_hash and text, each but the
 *     last ended by a line feed, in hexadecimal. The first entry's previous hash is 64 zeros. */
#ifndef JOURNAL_H
#define JOURNAL_H

#include <stdint.h>

#include "store.h"

enum { JOURNAL_HASH_SIZE = 65, JOURNAL_BLOCK_ROWS = 1000 };

/* Log rows of one table by the text of their entry (canonical.h), at most JOURNAL_BLOCK_ROWS, inside the transaction
 * that adds them. STATUS_SYSTEM when the notebook cannot be written. */
enum status journal_entry(struct store *store, const char *table, int64_t first, int64_t last,
                          const char *text, struct failure *failure);

/* Hash of the latest entry; 64 zeros when there is none. */
enum status journal_head(struct store *store, char ret_hash[JOURNAL_HASH_SIZE], struct failure *failure);

#endif
