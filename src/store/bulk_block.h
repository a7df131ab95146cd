/* bulk_block.h - rows on their way into the notebook, which SQLite reads from memory. For the store room alone.
 *
 * A statement that adds a thousand rows takes SQLite little more than half the time of a thousand statements.
 *
 * Rules
 * (1) A row is its values in the order of the table's columns, the row's number first. Columns that an import never
 *     fills are left out.
 * (2) The whole number 0, NAN and the text 0 stand for NULL.
 * (3) Inside SQL the rows of table T are the table pending_T, which only a statement of this program can name. */
#ifndef BULK_BLOCK_H
#define BULK_BLOCK_H

#include <sqlite3.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "text.h"

/* The tables that an import of readings adds to, parents before children. */
enum bulk_table { BULK_BATCH, BULK_SESSION, BULK_CLOSE, BULK_SPECIMEN, BULK_READING, BULK_TABLES };

extern const char *const bulk_table_names[BULK_TABLES];

/* A text is its place among the texts of the block. */
union bulk_value {
    int64_t whole;
    double number;
    size_t text;
};

/* An entry of the journal that is due behind the rows of a block. */
struct bulk_entry {
    enum bulk_table table;
    int64_t first, last;
    char *text; /* owned */
};

enum { BULK_ENTRIES_MOST = 2 * BULK_TABLES };

/* Zeroed is empty. */
struct bulk_block {
    struct bulk_rows {
        union bulk_value *values; /* owned */
        size_t count;             /* of rows */
    } rows[BULK_TABLES];
    struct text texts;
    struct bulk_entry entries[BULK_ENTRIES_MOST];
    size_t entry_count;
};

/* No rows, memory kept for the next ones; or no memory either. */
void bulk_block_empty(struct bulk_block *block);
void bulk_block_clear(struct bulk_block *block);

/* True when it should be written before another row: of each table there is room for one more until then. */
bool bulk_block_full(const struct bulk_block *block);

/* Keep a text for a value; 0 for NULL. */
size_t bulk_block_text(struct bulk_block *block, const char *text);

/* Add a row (rule 1). */
void bulk_block_add(struct bulk_block *block, enum bulk_table table, const union bulk_value *row);

/* The number of the row added last. */
int64_t bulk_block_last(const struct bulk_block *block, enum bulk_table table);

/* Append the canonical text of the row added last (journal.h, rule 2). */
void bulk_block_canonical(const struct bulk_block *block, enum bulk_table table, struct text *text);

/* What pending_T shows; lent to SQLite until the connection has forgotten the table. */
struct bulk_source {
    enum bulk_table table;
    const struct bulk_block *block;
};

/* Let the connection know pending_T, or forget it. Gives SQLite's code. */
int bulk_source_open(sqlite3 *handle, struct bulk_source *source);
int bulk_source_close(sqlite3 *handle, const struct bulk_source *source);

#endif
