/* journal.c - the log of every write. */
#include "journal.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "canonical.h"
#include "sql.h"
#include "store_internal.h"

enum { BLOCK_ROWS = 1000 }; /* so that verify can say roughly where something does not fit */

/* The text of an entry: of one row itself, of several the hash over theirs. */
static enum status
entry_text(struct store *store, const char *table, int64_t first, int64_t last, struct text *ret_text,
           struct failure *failure)
{
    size_t index = canonical_find(table);
    struct statement *rows;
    struct text line = {0};
    struct canonical_block block;
    char block_text[CANONICAL_BLOCK_SIZE];
    enum status status;
    bool row = false;

    assert(index < canonical_table_count);
    rows = statement_open(store, canonical_tables[index].rows_sql, failure);
    if (rows == NULL)
        return failure->status;
    canonical_block_start(&block);
    statement_bind_int(rows, ":first_row", first);
    statement_bind_int(rows, ":last_row", last);
    while ((status = statement_step(rows, &row, failure)) == STATUS_OK && row) {
        line.length = 0;
        canonical_add_row(&line, rows->handle);
        if (first == last)
            break;
        text_add_bytes(&line, "\n", 1);
        canonical_block_add(&block, line.data, line.length);
    }
    statement_done(rows);
    canonical_block_finish(&block, block_text);
    if (status == STATUS_OK)
        text_add(ret_text, first == last ? text_of(&line) : block_text);
    text_clear(&line);
    return status;
}

static enum status
head(struct store *store, int64_t *ret_seq, char ret_hash[JOURNAL_HASH_SIZE], struct failure *failure)
{
    struct statement *latest = statement_open(store, sql_journal_head, failure);
    enum status status;
    bool row = false;

    if (latest == NULL)
        return failure->status;
    *ret_seq = 0;
    memset(ret_hash, '0', JOURNAL_HASH_SIZE - 1);
    ret_hash[JOURNAL_HASH_SIZE - 1] = '\0';
    status = statement_step(latest, &row, failure);
    if (status == STATUS_OK && row) {
        *ret_seq = statement_int(latest, 0);
        snprintf(ret_hash, JOURNAL_HASH_SIZE, "%s", statement_word(latest, 1));
    }
    statement_done(latest);
    return status;
}

static enum status
add_entry(struct store *store, const char *table, int64_t first, int64_t last, struct failure *failure)
{
    struct statement *add;
    struct text text = {0};
    char previous_hash[JOURNAL_HASH_SIZE], hash[JOURNAL_HASH_SIZE], at[MOMENT_TEXT_SIZE];
    struct canonical_entry entry = {
        .at = at, .what = table, .first_row = first, .last_row = last, .previous_hash = previous_hash};
    enum status status;
    bool row;

    status = head(store, &entry.seq, previous_hash, failure);
    if (status == STATUS_OK)
        status = entry_text(store, table, first, last, &text, failure);
    add = status == STATUS_OK ? statement_open(store, sql_journal_add, failure) : NULL;
    if (add == NULL) {
        text_clear(&text);
        return failure->status;
    }
    clock_moment_text(clock_now(), at); /* when it was written, whatever day was written about */
    entry.seq++;
    entry.text = text_of(&text);
    canonical_entry_hash(&entry, hash);
    statement_bind_int(add, ":seq", entry.seq);
    statement_bind_text(add, ":at", at);
    statement_bind_text(add, ":what", table);
    statement_bind_int(add, ":first_row", first);
    statement_bind_int(add, ":last_row", last);
    statement_bind_text(add, ":text", entry.text);
    statement_bind_text(add, ":previous_hash", previous_hash);
    statement_bind_text(add, ":hash", hash);
    status = statement_step(add, &row, failure);
    statement_done(add);
    text_clear(&text);
    return status;
}

enum status
journal_block(struct store *store, const char *table, int64_t first, int64_t last, struct failure *failure)
{
    enum status status = STATUS_OK;

    assert(store->depth > 0);
    for (; status == STATUS_OK && first <= last; first += BLOCK_ROWS)
        status = add_entry(store, table, first, last - first < BLOCK_ROWS ? last : first + BLOCK_ROWS - 1,
                           failure);
    return status;
}

enum status
journal_row(struct store *store, const char *table, int64_t id, struct failure *failure)
{
    return journal_block(store, table, id, id, failure);
}

enum status
journal_insert(struct store *store, struct statement *statement, const char *table, int64_t *ret_id,
               struct failure *failure)
{
    enum status status;
    int64_t id = 0;

    if (statement == NULL)
        return failure->status;
    status = statement_insert(statement, &id, failure);
    statement_done(statement);
    if (status == STATUS_OK)
        status = journal_row(store, table, id, failure);
    if (status == STATUS_OK)
        *ret_id = id;
    return status;
}

enum status
journal_head(struct store *store, char ret_hash[JOURNAL_HASH_SIZE], struct failure *failure)
{
    int64_t seq;

    return head(store, &seq, ret_hash, failure);
}
