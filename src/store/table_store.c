/* table_store.c - whole tables as they are. */
#include "table_store.h"

#include <string.h>

#include "row.h"
#include "sql.h"
#include "store_internal.h"

size_t
table_store_count(void)
{
    return table_count();
}

const char *
table_store_name(size_t table)
{
    return table < table_count() ? table_name(table) : "journal";
}

static struct statement *
rows_of(struct store *store, size_t table, struct failure *failure)
{
    return table < table_count() ? table_rows(store, table, INT64_MIN, INT64_MAX, failure)
                                 : statement_open(store, sql_journal_list, failure);
}

enum status
table_store_columns(struct store *store, size_t table, struct table_column ret_columns[TABLE_COLUMNS_MOST],
                    size_t *ret_count, struct failure *failure)
{
    struct statement *rows = rows_of(store, table, failure);

    if (rows == NULL)
        return failure->status;
    *ret_count = table_columns(rows, ret_columns);
    statement_done(rows);
    return STATUS_OK;
}

enum status
table_store_read(struct store *store, size_t table, table_sink sink, void *payload, struct failure *failure)
{
    struct statement *rows = rows_of(store, table, failure);
    struct table_value values[TABLE_COLUMNS_MOST];
    enum status status;
    bool row = false;

    if (rows == NULL)
        return failure->status;
    while ((status = statement_step(rows, &row, failure)) == STATUS_OK && row) {
        status = sink(values, table_load(rows, values), payload, failure);
        if (status != STATUS_OK)
            break;
    }
    statement_done(rows);
    return status;
}

enum status
table_store_empty(struct store *store, bool *ret_empty, struct failure *failure)
{
    bool empty = true;

    for (size_t table = 0; empty && table <= table_count(); table++) {
        struct statement *rows = rows_of(store, table, failure);
        bool row = false;

        if (rows == NULL)
            return failure->status;
        if (statement_step(rows, &row, failure) != STATUS_OK)
            return failure->status;
        statement_done(rows);
        empty = !row;
    }
    *ret_empty = empty;
    return STATUS_OK;
}

enum status
table_store_begin(struct store *store, struct failure *failure)
{
    enum status status = rows_begin_many(store, failure);

    if (status == STATUS_OK) /* rows may name others that come later; the commit looks */
        sqlite3_exec(store->handle, "PRAGMA defer_foreign_keys = ON", NULL, NULL, NULL);
    return status;
}

enum status
table_store_end(struct store *store, enum status status, struct failure *failure)
{
    return rows_end_many(store, status, failure);
}

enum status
table_store_add(struct store *store, size_t table, const struct table_value *values, size_t count,
                struct failure *failure)
{
    struct row row;
    int64_t id = 0;
    enum status status;

    row_start(&row, store, table_name(table));
    row_values(&row, values, count);
    status = row_add(&row, &id, failure);
    if (status == STATUS_OK && (values[0].null || values[0].integer != id))
        return failure_set(failure, STATUS_CONFLICT,
                           "rows are numbered from 1 without a gap; expected id %lld", (long long)id);
    return status;
}

enum status
table_store_check_names(struct store *store, struct failure *failure)
{
    int missing = 0, unused = 0;

    sqlite3_db_status(store->handle, SQLITE_DBSTATUS_DEFERRED_FKS, &missing, &unused, 0);
    return missing == 0 ? STATUS_OK
                        : failure_set(failure, STATUS_CONFLICT,
                                      "FOREIGN KEY constraint failed: a row names one that is not there");
}

enum { SEQ, AT, WHAT, FIRST_ROW, LAST_ROW, TEXT, PREVIOUS_HASH, HASH, JOURNAL_COLUMNS };

/* Texts that are none read as empty. */
static struct canonical_entry
entry_of(const struct table_value *values)
{
    struct canonical_entry entry = {.seq = values[SEQ].integer,
                                    .first_row = values[FIRST_ROW].integer,
                                    .last_row = values[LAST_ROW].integer};
    const char *texts[JOURNAL_COLUMNS];

    for (size_t i = 0; i < JOURNAL_COLUMNS; i++)
        texts[i] = values[i].null || values[i].type != TABLE_TEXT ? "" : values[i].text;
    entry.at = texts[AT];
    entry.what = texts[WHAT];
    entry.text = texts[TEXT];
    entry.previous_hash = texts[PREVIOUS_HASH];
    return entry;
}

/* Does it follow the one before, and is its hash that of what it says? */
static enum status
check_chain(struct table_witness *witness, const struct canonical_entry *entry, const char *hash,
            struct failure *failure)
{
    char computed[JOURNAL_HASH_SIZE];

    if (witness->entries == 0)
        memset(witness->head, '0', JOURNAL_HASH_SIZE - 1);
    canonical_entry_hash(entry, computed);
    if (entry->seq != witness->entries + 1)
        return failure_set(failure, STATUS_CONFLICT, "expected entry %lld next",
                           (long long)witness->entries + 1);
    if (strcmp(entry->previous_hash, witness->head) != 0)
        return failure_set(failure, STATUS_CONFLICT, "the chain of the journal is broken before it");
    if (strcmp(hash, computed) != 0)
        return failure_set(failure, STATUS_CONFLICT, "its hash is not that of what it says");
    witness->entries++;
    memcpy(witness->head, computed, sizeof computed);
    return STATUS_OK;
}

static enum status
check_rows(struct store *store, size_t table, const struct canonical_entry *entry, struct failure *failure)
{
    const struct table *known = table_open(store, table, failure);
    struct statement *rows = table_rows(store, table, entry->first_row, entry->last_row, failure);
    struct canonical_rows gathered = {0};
    struct table_value values[TABLE_COLUMNS_MOST];
    enum status status;
    bool row = false;

    if (known == NULL || rows == NULL)
        return failure->status;
    canonical_rows_start(&gathered);
    while ((status = statement_step(rows, &row, failure)) == STATUS_OK && row) {
        size_t count = table_load(rows, values);

        canonical_add_row(canonical_rows_next(&gathered), known->columns, values, count);
        canonical_rows_add(&gathered);
    }
    statement_done(rows);
    if (status == STATUS_OK && gathered.count != entry->last_row - entry->first_row + 1)
        status = failure_set(failure, STATUS_CONFLICT, "rows %lld to %lld of %s.csv are not all there",
                             (long long)entry->first_row, (long long)entry->last_row, entry->what);
    else if (status == STATUS_OK && strcmp(canonical_rows_text(&gathered), entry->text) != 0)
        status =
            failure_set(failure, STATUS_CONFLICT, "rows %lld to %lld of %s.csv are not as they were written",
                        (long long)entry->first_row, (long long)entry->last_row, entry->what);
    canonical_rows_clear(&gathered);
    return status;
}

enum status
table_store_witness(struct store *store, struct table_witness *witness, const struct table_value *values,
                    struct failure *failure)
{
    struct canonical_entry entry = entry_of(values);
    size_t table = table_find(entry.what);

    if (check_chain(witness, &entry, values[HASH].null ? "" : values[HASH].text, failure) != STATUS_OK)
        return failure->status;
    if (table == table_count())
        return failure_set(failure, STATUS_CONFLICT, "there is no table '%.40s'", entry.what);
    if (entry.first_row != witness->covered[table] + 1 || entry.last_row < entry.first_row)
        return failure_set(failure, STATUS_CONFLICT, "expected row %lld of %s.csv next",
                           (long long)witness->covered[table] + 1, entry.what);
    witness->covered[table] = entry.last_row;
    return check_rows(store, table, &entry, failure);
}

enum status
table_store_witnessed(const struct table_witness *witness, const size_t *rows, struct failure *failure)
{
    for (size_t i = 0; i < table_count(); i++)
        if ((int64_t)rows[i] != witness->covered[i])
            return failure_set(failure, STATUS_CONFLICT, "%s.csv has %zu rows, journal.csv knows %lld",
                               table_name(i), rows[i], (long long)witness->covered[i]);
    return STATUS_OK;
}
