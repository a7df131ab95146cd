/* journal.c - the log of every write. */
#include "journal.h"

#include <assert.h>
#include <sodium.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "sql.h"
#include "store_internal.h"
#include "text.h"

enum { HASH_BYTES = 32 };

static const struct {
    const char *table, *rows_sql;
} tables[] = {
    {"procedure", sql_rows_procedure},     {"batch", sql_rows_batch},
    {"recipe_line", sql_rows_recipe_line}, {"gear", sql_rows_gear},
    {"calibration", sql_rows_calibration}, {"calibration_point", sql_rows_calibration_point},
    {"session", sql_rows_session},         {"session_close", sql_rows_session_close},
    {"specimen", sql_rows_specimen},       {"weighing", sql_rows_weighing},
    {"answer", sql_rows_answer},           {"reading", sql_rows_reading},
    {"titration", sql_rows_titration},     {"state_change", sql_rows_state_change},
    {"plan_entry", sql_rows_plan_entry},   {"plan_drop", sql_rows_plan_drop},
    {"setting", sql_rows_setting},
};

static const char *
rows_sql(const char *table)
{
    for (size_t i = 0; i < LENGTH(tables); i++)
        if (strcmp(tables[i].table, table) == 0)
            return tables[i].rows_sql;
    abort(); /* a table without a rows_ statement: a mistake of this program */
}

static void
add_quoted(struct text *text, const char *value)
{
    text_add(text, "\"");
    for (; *value != '\0'; value++) {
        size_t plain = strcspn(value, "\\\"\n\t\r");

        text_add_bytes(text, value, plain);
        value += plain;
        if (*value == '\0')
            break;
        text_add_bytes(text, "\\", 1);
        text_add_bytes(text, *value == '\n' ? "n" : *value == '\t' ? "t" : *value == '\r' ? "r" : value, 1);
    }
    text_add(text, "\"");
}

/* Rule 2, for the current row of a SELECT *. */
static void
add_canonical(struct text *text, sqlite3_stmt *row)
{
    const char *separator = "";
    char number[NUMBER_TEXT_SIZE];

    for (int i = 0; i < sqlite3_column_count(row); i++) {
        int type = sqlite3_column_type(row, i);

        if (type == SQLITE_NULL)
            continue;
        text_add(text, separator);
        text_add(text, sqlite3_column_name(row, i));
        text_add_bytes(text, "=", 1);
        if (type == SQLITE_INTEGER)
            text_addf(text, "%lld", (long long)sqlite3_column_int64(row, i));
        else if (type == SQLITE_FLOAT)
            text_add(text, number_format(sqlite3_column_double(row, i), number));
        else
            add_quoted(text, (const char *)sqlite3_column_text(row, i));
        separator = "\t";
    }
}

static void
hexadecimal(const unsigned char hash[HASH_BYTES], char ret_hash[JOURNAL_HASH_SIZE])
{
    sodium_bin2hex(ret_hash, JOURNAL_HASH_SIZE, hash, HASH_BYTES);
}

/* The text of an entry: of one row itself, of several the hash over theirs. */
static enum status
entry_text(struct store *store, const char *table, int64_t first, int64_t last, struct text *ret_text,
           struct failure *failure)
{
    struct statement *rows = statement_open(store, rows_sql(table), failure);
    struct text line = {0};
    crypto_generichash_state hashing;
    unsigned char hash[HASH_BYTES];
    char hash_text[JOURNAL_HASH_SIZE];
    enum status status;
    bool row = false;

    if (rows == NULL)
        return failure->status;
    crypto_generichash_init(&hashing, NULL, 0, HASH_BYTES);
    statement_bind_int(rows, ":first_row", first);
    statement_bind_int(rows, ":last_row", last);
    while ((status = statement_step(rows, &row, failure)) == STATUS_OK && row) {
        line.length = 0;
        add_canonical(&line, rows->handle);
        if (first == last)
            break;
        text_add_bytes(&line, "\n", 1);
        crypto_generichash_update(&hashing, (const unsigned char *)line.data, line.length);
    }
    statement_done(rows);
    if (status == STATUS_OK && first == last) {
        text_add(ret_text, text_of(&line));
    } else if (status == STATUS_OK) {
        crypto_generichash_final(&hashing, hash, sizeof hash);
        hexadecimal(hash, hash_text);
        text_addf(ret_text, "blake2b %s", hash_text);
    }
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
        snprintf(ret_hash, JOURNAL_HASH_SIZE, "%s", statement_text(latest, 1));
    }
    statement_done(latest);
    return status;
}

/* Rule 3. */
static void
entry_hash(int64_t seq, const char *at, const char *table, int64_t first, int64_t last,
           const char *previous_hash, const char *text, char ret_hash[JOURNAL_HASH_SIZE])
{
    char *all = text_format("%lld\n%s\n%s\n%lld\n%lld\n%s\n%s", (long long)seq, at, table, (long long)first,
                            (long long)last, previous_hash, text);
    unsigned char hash[HASH_BYTES];

    crypto_generichash(hash, sizeof hash, (const unsigned char *)all, strlen(all), NULL, 0);
    hexadecimal(hash, ret_hash);
    free(all);
}

enum status
journal_block(struct store *store, const char *table, int64_t first, int64_t last, struct failure *failure)
{
    struct statement *add;
    struct text text = {0};
    char previous_hash[JOURNAL_HASH_SIZE], hash[JOURNAL_HASH_SIZE], at[MOMENT_TEXT_SIZE];
    enum status status;
    int64_t seq;
    bool row;

    assert(store->depth > 0);
    status = head(store, &seq, previous_hash, failure);
    if (status == STATUS_OK)
        status = entry_text(store, table, first, last, &text, failure);
    add = status == STATUS_OK ? statement_open(store, sql_journal_add, failure) : NULL;
    if (add == NULL) {
        text_clear(&text);
        return failure->status;
    }
    clock_moment_text(clock_now(), at); /* when it was written, whatever day was written about */
    entry_hash(seq + 1, at, table, first, last, previous_hash, text_of(&text), hash);
    statement_bind_int(add, ":seq", seq + 1);
    statement_bind_text(add, ":at", at);
    statement_bind_text(add, ":what", table);
    statement_bind_int(add, ":first_row", first);
    statement_bind_int(add, ":last_row", last);
    statement_bind_text(add, ":text", text_of(&text));
    statement_bind_text(add, ":previous_hash", previous_hash);
    statement_bind_text(add, ":hash", hash);
    status = statement_step(add, &row, failure);
    statement_done(add);
    text_clear(&text);
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
