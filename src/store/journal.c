/* journal.c - the log of every write. */
#include "journal.h"

#include <assert.h>
#include <stdio.h>
#include <string.h>

#include "canonical.h"
#include "sql.h"
#include "store_internal.h"

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

enum status
journal_head(struct store *store, char ret_hash[JOURNAL_HASH_SIZE], struct failure *failure)
{
    int64_t seq;

    return head(store, &seq, ret_hash, failure);
}
