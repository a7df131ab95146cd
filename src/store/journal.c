/* journal.c - the log of every write. */
#include "journal.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "canonical.h"
#include "sql.h"
#include "store_internal.h"

/* Gather the rows of an entry. */
static enum status
read_rows(struct store *store, const char *table, int64_t first, int64_t last,
          struct canonical_rows *gathered, struct failure *failure)
{
    size_t index = canonical_find(table);
    struct statement *rows;
    enum status status;
    bool row = false;

    assert(index < canonical_table_count);
    rows = statement_open(store, canonical_tables[index].rows_sql, failure);
    if (rows == NULL)
        return failure->status;
    statement_bind_int(rows, ":first_row", first);
    statement_bind_int(rows, ":last_row", last);
    canonical_rows_start(gathered);
    while ((status = statement_step(rows, &row, failure)) == STATUS_OK && row) {
        canonical_add_row(canonical_rows_next(gathered), rows->handle);
        canonical_rows_add(gathered);
    }
    statement_done(rows);
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

enum status
journal_entry(struct store *store, const char *table, int64_t first, int64_t last, const char *text,
              struct failure *failure)
{
    struct statement *add;
    char previous_hash[JOURNAL_HASH_SIZE], hash[JOURNAL_HASH_SIZE], at[MOMENT_TEXT_SIZE];
    struct canonical_entry entry = {.at = at,
                                    .what = table,
                                    .first_row = first,
                                    .last_row = last,
                                    .previous_hash = previous_hash,
                                    .text = text};
    enum status status;
    bool row;

    assert(store->depth > 0);
    status = head(store, &entry.seq, previous_hash, failure);
    add = status == STATUS_OK ? statement_open(store, sql_journal_add, failure) : NULL;
    if (add == NULL)
        return failure->status;
    clock_moment_text(clock_now(), at); /* when it was written, whatever day was written about */
    entry.seq++;
    canonical_entry_hash(&entry, hash);
    statement_bind_int(add, ":seq", entry.seq);
    statement_bind_text(add, ":at", at);
    statement_bind_text(add, ":what", table);
    statement_bind_int(add, ":first_row", first);
    statement_bind_int(add, ":last_row", last);
    statement_bind_text(add, ":text", text);
    statement_bind_text(add, ":previous_hash", previous_hash);
    statement_bind_text(add, ":hash", hash);
    status = statement_step(add, &row, failure);
    statement_done(add);
    return status;
}

static enum status
add_entry(struct store *store, const char *table, int64_t first, int64_t last, struct failure *failure)
{
    struct canonical_rows rows = {0};
    enum status status = read_rows(store, table, first, last, &rows, failure);

    if (status == STATUS_OK)
        status = journal_entry(store, table, first, last, canonical_rows_text(&rows), failure);
    canonical_rows_clear(&rows);
    return status;
}

enum status
journal_block(struct store *store, const char *table, int64_t first, int64_t last, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (; status == STATUS_OK && first <= last; first += JOURNAL_BLOCK_ROWS)
        status =
            add_entry(store, table, first,
                      last - first < JOURNAL_BLOCK_ROWS ? last : first + JOURNAL_BLOCK_ROWS - 1, failure);
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
