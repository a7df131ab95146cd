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

/* These write where there is room and give the place behind it: an import or verify calls them for millions of
 * rows. */
static char *
put_integer(char *at, int64_t number)
{
    char digits[24], *end = digits + sizeof digits, *start = end;
    uint64_t size = number < 0 ? -(uint64_t)number : (uint64_t)number;

    do
        *--start = (char)('0' + size % 10);
    while ((size /= 10) > 0);
    if (number < 0)
        *--start = '-';
    memcpy(at, start, (size_t)(end - start));
    return at + (end - start);
}

/* By length, not to the first NUL, so that nothing can be hidden behind one. Takes 2 * length + 2 bytes at most. */
static char *
put_quoted(char *at, const char *value, size_t length)
{
    *at++ = '"';
    for (size_t i = 0; i < length; i++) {
        char byte = value[i];

        if (byte == '\\' || byte == '"' || byte == '\n' || byte == '\t' || byte == '\r')
            *at++ = '\\';
        *at++ = byte == '\n' ? 'n' : byte == '\t' ? 't' : byte == '\r' ? 'r' : byte;
    }
    *at++ = '"';
    return at;
}

/* Room for a name, its sign, a tab and any number. */
enum { VALUE_ROOM = NUMBER_TEXT_SIZE + 16 };

static void
add_column(struct text *text, sqlite3_stmt *row, int column, int type, bool first)
{
    const char *name = sqlite3_column_name(row, column), *bytes = NULL;
    size_t name_length = strlen(name), length = 0;
    char *start, *at;

    if (type == SQLITE_TEXT || type == SQLITE_BLOB) {
        bytes = sqlite3_column_blob(row, column); /* before the length, as SQLite asks */
        length = (size_t)sqlite3_column_bytes(row, column);
    }
    start = at = text_room(text, name_length + 2 * length + VALUE_ROOM);
    if (!first)
        *at++ = '\t';
    memcpy(at, name, name_length);
    at += name_length;
    *at++ = '=';
    if (type == SQLITE_INTEGER) {
        at = put_integer(at, sqlite3_column_int64(row, column));
    } else if (type == SQLITE_FLOAT) {
        number_format(sqlite3_column_double(row, column), at);
        at += strlen(at);
    } else {
        if (type == SQLITE_BLOB) { /* no table has any: a damaged row must not pass for a text */
            memcpy(at, "bytes ", 6);
            at += 6;
        }
        at = put_quoted(at, bytes, length);
    }
    *at = '\0';
    text->length += (size_t)(at - start);
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
        add_column(text, row, i, type, first);
        first = false;
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
