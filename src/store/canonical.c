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

/* Room for a tab, a name, its sign and any number. */
enum { VALUE_ROOM = NUMBER_TEXT_SIZE + 16 };

/* Room for a column with `more` bytes beyond a number; what stands before its value is written. */
static char *
put_name(struct text *text, const char *name, size_t more)
{
    size_t length = strlen(name);
    char *at = text_room(text, length + more + VALUE_ROOM);

    if (text->length > 0)
        *at++ = '\t';
    memcpy(at, name, length);
    at += length;
    *at++ = '=';
    return at;
}

static void
end_column(struct text *text, char *at)
{
    *at = '\0';
    text->length = (size_t)(at - text->data);
}

void
canonical_add_integer(struct text *text, const char *name, int64_t value)
{
    end_column(text, put_integer(put_name(text, name, 0), value));
}

void
canonical_add_number(struct text *text, const char *name, double value)
{
    char *at = put_name(text, name, 0);

    number_format(value, at);
    end_column(text, at + strlen(at));
}

void
canonical_add_text(struct text *text, const char *name, const char *value, size_t length)
{
    end_column(text, put_quoted(put_name(text, name, 2 * length), value, length));
}

/* No table has any: a damaged row must not pass for a text. */
static void
add_bytes(struct text *text, const char *name, const char *value, size_t length)
{
    char *at = put_name(text, name, 2 * length);

    memcpy(at, "bytes ", 6);
    end_column(text, put_quoted(at + 6, value, length));
}

void
canonical_add_row(struct text *text, sqlite3_stmt *row)
{
    int columns = sqlite3_column_count(row);

    for (int i = 0; i < columns; i++) {
        const char *name = sqlite3_column_name(row, i), *bytes;
        int type = sqlite3_column_type(row, i);

        if (type == SQLITE_INTEGER) {
            canonical_add_integer(text, name, sqlite3_column_int64(row, i));
        } else if (type == SQLITE_FLOAT) {
            canonical_add_number(text, name, sqlite3_column_double(row, i));
        } else if (type != SQLITE_NULL) {
            bytes = sqlite3_column_blob(row, i); /* before the length, as SQLite asks */
            (type == SQLITE_TEXT ? canonical_add_text : add_bytes)(text, name, bytes,
                                                                   (size_t)sqlite3_column_bytes(row, i));
        }
    }
}

static void
hexadecimal(const unsigned char hash[HASH_BYTES], char ret_hash[JOURNAL_HASH_SIZE])
{
    sodium_bin2hex(ret_hash, JOURNAL_HASH_SIZE, hash, HASH_BYTES);
}

void
canonical_rows_start(struct canonical_rows *rows)
{
    rows->count = 0;
    rows->line.length = 0;
    crypto_generichash_init(&rows->state, NULL, 0, HASH_BYTES);
}

struct text *
canonical_rows_next(struct canonical_rows *rows)
{
    rows->line.length = 0;
    rows->count++;
    return &rows->line;
}

void
canonical_rows_add(struct canonical_rows *rows)
{
    struct text *line = &rows->line;

    *text_room(line, 1) = '\n'; /* in place of the NUL: a single row's text stays as it is */
    crypto_generichash_update(&rows->state, (const unsigned char *)line->data, line->length + 1);
    line->data[line->length] = '\0';
}

const char *
canonical_rows_text(struct canonical_rows *rows)
{
    unsigned char hash[HASH_BYTES];

    if (rows->count == 1)
        return text_of(&rows->line);
    crypto_generichash_final(&rows->state, hash, sizeof hash);
    memcpy(rows->hash, "blake2b ", 8);
    hexadecimal(hash, rows->hash + 8);
    return rows->hash;
}

void
canonical_rows_clear(struct canonical_rows *rows)
{
    text_clear(&rows->line);
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
