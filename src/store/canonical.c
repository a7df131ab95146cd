/* canonical.c - what the journal's hashes are taken over. */
#include "canonical.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "sql.h"

enum { HASH_BYTES = 32 };

const struct canonical_table canonical_tables[] = {
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
const size_t canonical_table_count = LENGTH(canonical_tables);

size_t
canonical_find(const char *table)
{
    size_t i = 0;

    while (i < LENGTH(canonical_tables) && strcmp(canonical_tables[i].name, table) != 0)
        i++;
    return i;
}

static void
add_integer(struct text *text, int64_t number)
{
    char digits[24], *end = digits + sizeof digits, *start = end;
    uint64_t size = number < 0 ? -(uint64_t)number : (uint64_t)number;

    do
        *--start = (char)('0' + size % 10);
    while ((size /= 10) > 0);
    if (number < 0)
        *--start = '-';
    text_add_bytes(text, start, (size_t)(end - start));
}

/* By length, not to the first NUL, so that nothing can be hidden behind one. */
static void
add_quoted(struct text *text, const char *value, size_t length)
{
    text_add_bytes(text, "\"", 1);
    while (length > 0) {
        size_t plain = 0;
        char special;

        while (plain < length && value[plain] != '\\' && value[plain] != '"' && value[plain] != '\n' &&
               value[plain] != '\t' && value[plain] != '\r')
            plain++;
        text_add_bytes(text, value, plain);
        if (plain == length)
            break;
        special = value[plain];
        text_add_bytes(text, "\\", 1);
        special = special == '\n' ? 'n' : special == '\t' ? 't' : special == '\r' ? 'r' : special;
        text_add_bytes(text, &special, 1);
        value += plain + 1;
        length -= plain + 1;
    }
    text_add_bytes(text, "\"", 1);
}

static void
add_value(struct text *text, sqlite3_stmt *row, int column, int type)
{
    char number[NUMBER_TEXT_SIZE];
    const char *bytes;

    switch (type) {
    case SQLITE_INTEGER:
        add_integer(text, sqlite3_column_int64(row, column));
        return;
    case SQLITE_FLOAT:
        text_add(text, number_format(sqlite3_column_double(row, column), number));
        return;
    case SQLITE_BLOB: /* no table has any: a damaged row must not pass for a text */
        text_add(text, "bytes ");
        break;
    default:
        break;
    }
    bytes = sqlite3_column_blob(row, column); /* before the length, as SQLite asks */
    add_quoted(text, bytes, (size_t)sqlite3_column_bytes(row, column));
}

void
canonical_add_row(struct text *text, sqlite3_stmt *row)
{
    int columns = sqlite3_column_count(row);
    bool first = true;

    for (int i = 0; i < columns; i++) {
        int type = sqlite3_column_type(row, i);

        if (type == SQLITE_NULL)
            continue;
        if (!first)
            text_add_bytes(text, "\t", 1);
        first = false;
        text_add(text, sqlite3_column_name(row, i));
        text_add_bytes(text, "=", 1);
        add_value(text, row, i, type);
    }
}

static void
hexadecimal(const unsigned char hash[HASH_BYTES], char ret_hash[JOURNAL_HASH_SIZE])
{
    sodium_bin2hex(ret_hash, JOURNAL_HASH_SIZE, hash, HASH_BYTES);
}

void
canonical_block_start(struct canonical_block *block)
{
    crypto_generichash_init(&block->state, NULL, 0, HASH_BYTES);
}

void
canonical_block_add(struct canonical_block *block, const char *line, size_t length)
{
    crypto_generichash_update(&block->state, (const unsigned char *)line, length);
}

void
canonical_block_finish(struct canonical_block *block, char ret_text[CANONICAL_BLOCK_SIZE])
{
    unsigned char hash[HASH_BYTES];

    crypto_generichash_final(&block->state, hash, sizeof hash);
    memcpy(ret_text, "blake2b ", 8);
    hexadecimal(hash, ret_text + 8);
}

void
canonical_entry_hash(const struct canonical_entry *entry, char ret_hash[JOURNAL_HASH_SIZE])
{
    char *all = text_format("%lld\n%s\n%s\n%lld\n%lld\n%s\n%s", (long long)entry->seq, entry->at, entry->what,
                            (long long)entry->first_row, (long long)entry->last_row, entry->previous_hash,
                            entry->text);
    unsigned char hash[HASH_BYTES];

    crypto_generichash(hash, sizeof hash, (const unsigned char *)all, strlen(all), NULL, 0);
    hexadecimal(hash, ret_hash);
    free(all);
}
