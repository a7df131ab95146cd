/* canonical.c - what the journal's hashes are taken over. */
#include "canonical.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"

enum { HASH_BYTES = 32 };

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
    char *at = text_room(text, strlen(name) + more + VALUE_ROOM);

    if (text->length > 0)
        *at++ = '\t';
    at = stpcpy(at, name);
    *at++ = '=';
    return at;
}

static void
add_value(struct text *text, const char *name, const struct table_value *value)
{
    char *at =
        put_name(text, name, value->type == TABLE_TEXT || value->type == TABLE_BYTES ? 2 * value->length : 0);

    switch (value->type) {
    case TABLE_INTEGER:
        at = put_integer(at, value->integer);
        break;
    case TABLE_REAL:
        number_format(value->real + 0.0, at); /* SQLite keeps no sign of 0 */
        at += strlen(at);
        break;
    case TABLE_BYTES: /* no table has any: a damaged row must not pass for a text */
        memcpy(at, "bytes ", 6);
        at = put_quoted(at + 6, value->text, value->length);
        break;
    case TABLE_TEXT:
        at = put_quoted(at, value->text, value->length);
        break;
    }
    *at = '\0';
    text->length = (size_t)(at - text->data);
}

void
canonical_add_row(struct text *text, const struct table_column *columns, const struct table_value *values,
                  size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (!values[i].null)
            add_value(text, columns[i].name, &values[i]);
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
