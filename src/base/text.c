/* text.c - texts that grow, and texts as a person sees them. */
#include "text.h"

#include <assert.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <wchar.h>

#include "memory.h"

static void
make_room(struct text *text, size_t more)
{
    size_t wanted = text->length + more + 1;

    if (wanted <= text->capacity)
        return;
    text->capacity = wanted < 64 ? 64 : wanted + wanted / 2;
    text->data = memory_resize(text->data, text->capacity, 1);
}

char *
text_room(struct text *text, size_t more)
{
    make_room(text, more);
    return text->data + text->length;
}

void
text_add_bytes(struct text *text, const char *bytes, size_t length)
{
    make_room(text, length);
    assert(text->data != NULL);
    memcpy(text->data + text->length, bytes, length);
    text->length += length;
    text->data[text->length] = '\0';
}

void
text_add(struct text *text, const char *piece)
{
    text_add_bytes(text, piece, strlen(piece));
}

void
text_addv(struct text *text, const char *format, va_list arguments)
{
    va_list again;
    int length;

    va_copy(again, arguments);
    length = vsnprintf(NULL, 0, format, arguments);
    if (length > 0) {
        make_room(text, (size_t)length);
        vsnprintf(text->data + text->length, (size_t)length + 1, format, again);
        text->length += (size_t)length;
    }
    va_end(again);
}

void
text_addf(struct text *text, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    text_addv(text, format, arguments);
    va_end(arguments);
}

const char *
text_of(const struct text *text)
{
    return text->data == NULL ? "" : text->data;
}

char *
text_take(struct text *text)
{
    char *data = text->data == NULL ? memory_copy("") : text->data;

    *text = (struct text){0};
    return data;
}

void
text_clear(struct text *text)
{
    free(text->data);
    *text = (struct text){0};
}

char *
text_format(const char *format, ...)
{
    struct text text = {0};
    va_list arguments;

    va_start(arguments, format);
    text_addv(&text, format, arguments);
    va_end(arguments);
    return text_take(&text);
}

/* The character at `text` and its length in bytes; 0 when the bytes are not well-formed UTF-8. */
static size_t
decode(const char *text, uint32_t *ret_character)
{
    const unsigned char *byte = (const unsigned char *)text;
    static const uint32_t smallest[] = {0, 0, 0x80, 0x800, 0x10000};
    uint32_t character;
    size_t length;

    if (byte[0] < 0x80) {
        *ret_character = byte[0];
        return 1;
    }
    if (byte[0] >= 0xc2 && byte[0] < 0xe0)
        length = 2;
    else if (byte[0] >= 0xe0 && byte[0] < 0xf0)
        length = 3;
    else if (byte[0] >= 0xf0 && byte[0] < 0xf5)
        length = 4;
    else
        return 0;
    character = byte[0] & (0xffU >> (length + 1));
    for (size_t i = 1; i < length; i++) {
        if ((byte[i] & 0xc0) != 0x80)
            return 0;
        character = character << 6 | (byte[i] & 0x3fU);
    }
    if (character < smallest[length] || character > 0x10ffff || (character >= 0xd800 && character <= 0xdfff))
        return 0;
    *ret_character = character;
    return length;
}

bool
text_is_utf8(const char *text)
{
    uint32_t character;

    while (*text != '\0') {
        size_t length = decode(text, &character);

        if (length == 0)
            return false;
        text += length;
    }
    return true;
}

/* Characters that move the cursor, break the line, turn the direction or do not show at all: controls, and what
 * Unicode 15 calls Default_Ignorable_Code_Point, without the variation selectors U+FE00 to U+FE0F, which choose how the
 * character before them looks. */
static bool
harmful(uint32_t character)
{
    static const struct {
        uint32_t first, last;
    } ranges[] = {
        {0x0, 0x1f},      {0x7f, 0x9f},       {0xad, 0xad},       {0x34f, 0x34f},     {0x61c, 0x61c},
        {0x115f, 0x1160}, {0x17b4, 0x17b5},   {0x180b, 0x180f},   {0x200b, 0x200f},   {0x2028, 0x202e},
        {0x2060, 0x206f}, {0x3164, 0x3164},   {0xfdd0, 0xfdef},   {0xfeff, 0xfeff},   {0xffa0, 0xffa0},
        {0xfff0, 0xfffb}, {0x1bca0, 0x1bca3}, {0x1d173, 0x1d17a}, {0xe0000, 0xe0fff},
    };

    if ((character & 0xfffe) == 0xfffe)
        return true; /* no character at all */
    for (size_t i = 0; i < LENGTH(ranges) && character >= ranges[i].first; i++)
        if (character <= ranges[i].last)
            return true;
    return false;
}

static void
add_escape(struct text *text, uint32_t character)
{
    switch (character) {
    case '\n':
        text_add(text, "\\n");
        break;
    case '\r':
        text_add(text, "\\r");
        break;
    case '\t':
        text_add(text, "\\t");
        break;
    default:
        text_addf(text, character < 0x100 ? "\\x%02x" : "\\u%04x", (unsigned)character);
    }
}

size_t
text_add_visible(struct text *visible, const char *text)
{
    uint32_t character;
    size_t length = decode(text, &character);

    if (length == 0)
        text_addf(visible, "\\x%02x", (unsigned)(unsigned char)*text);
    else if (harmful(character))
        add_escape(visible, character);
    else
        text_add_bytes(visible, text, length);
    return length == 0 ? 1 : length;
}

char *
text_visible(const char *text)
{
    struct text visible = {0};

    while (text != NULL && *text != '\0')
        text += text_add_visible(&visible, text);
    return text_take(&visible);
}

bool
text_is_cut(const char *bytes, size_t length)
{
    const unsigned char *byte = (const unsigned char *)bytes;
    size_t whole = byte[0] >= 0xf0 ? 4 : byte[0] >= 0xe0 ? 3 : byte[0] >= 0xc0 ? 2 : 1;

    for (size_t i = 1; i < whole; i++) {
        if (i == length)
            return true;
        if ((byte[i] & 0xc0) != 0x80)
            return false;
    }
    return false;
}

static size_t
character_width(uint32_t character)
{
    int width = wcwidth((wchar_t)character);

    return width < 0 ? 1 : (size_t)width; /* -1 also when LC_CTYPE is "C": one column is the best guess */
}

size_t
text_width(const char *text)
{
    size_t width = 0;
    uint32_t character;

    while (*text != '\0') {
        size_t length = decode(text, &character);

        width += length == 0 ? 1 : character_width(character);
        text += length == 0 ? 1 : length;
    }
    return width;
}

size_t
text_fit(const char *text, size_t columns)
{
    size_t used = 0, width = 0;
    uint32_t character;

    while (text[used] != '\0') {
        size_t length = decode(text + used, &character);

        width += length == 0 ? 1 : character_width(character);
        if (width > columns)
            break;
        used += length == 0 ? 1 : length;
    }
    return used;
}

bool
text_is_digit(char byte)
{
    return byte >= '0' && byte <= '9';
}

bool
text_is_letter(char byte)
{
    return (byte >= 'a' && byte <= 'z') || (byte >= 'A' && byte <= 'Z');
}

bool
text_is_blank(char byte)
{
    return byte == ' ' || (byte >= '\t' && byte <= '\r');
}

char
text_lower(char byte)
{
    return byte >= 'A' && byte <= 'Z' ? (char)(byte - 'A' + 'a') : byte;
}

char
text_upper(char byte)
{
    return byte >= 'a' && byte <= 'z' ? (char)(byte - 'a' + 'A') : byte;
}

bool
text_same_start(const char *a, const char *b, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if (text_lower(a[i]) != text_lower(b[i]))
            return false;
        if (a[i] == '\0')
            return true;
    }
    return true;
}

bool
text_same(const char *a, const char *b)
{
    return text_same_start(a, b, SIZE_MAX);
}

char *
text_trim(char *text)
{
    size_t length;

    while (text_is_blank(*text))
        text++;
    length = strlen(text);
    while (length > 0 && text_is_blank(text[length - 1]))
        text[--length] = '\0';
    return text;
}

/* The word that begins at *line, unquoted in place; *line moves behind it. */
static char *
take_word(char **line)
{
    char *word = *line, *kept = *line, quote = '\0';

    for (; **line != '\0' && (quote != '\0' || !text_is_blank(**line)); (*line)++) {
        if (**line == quote)
            quote = '\0';
        else if (quote == '\0' && (**line == '\'' || **line == '"'))
            quote = **line;
        else
            *kept++ = **line;
    }
    if (**line != '\0')
        (*line)++;
    *kept = '\0';
    return word;
}

static bool
is_harmless(const char *word)
{
    char *visible = text_visible(word);
    bool same = strcmp(visible, word) == 0;

    free(visible);
    return same;
}

/* $'...', in which a shell reads the escapes of text_visible(). */
static char *
with_escapes(const char *word)
{
    struct text escaped = {0};
    char *visible, *typed;

    for (; *word != '\0'; word++) {
        if (*word == '\\' || *word == '\'')
            text_add(&escaped, "\\");
        text_add_bytes(&escaped, word, 1);
    }
    visible = text_visible(text_of(&escaped));
    typed = text_format("$'%s'", visible);
    free(visible);
    text_clear(&escaped);
    return typed;
}

char *
text_as_typed(const char *word)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-_./,:@%+=";
    struct text text = {0};
    bool bare = *word != '\0';

    if (!is_harmless(word))
        return with_escapes(word);
    for (const char *c = word; bare && *c != '\0'; c++)
        bare = (unsigned char)*c >= 0x80 || strchr(plain, *c) != NULL;
    if (bare)
        return text_format("%s", word);
    text_add(&text, "'");
    for (; *word != '\0'; word++)
        if (*word == '\'')
            text_add(&text, "'\\''"); /* no quote fits between single ones: end, escape, begin anew */
        else
            text_add_bytes(&text, word, 1);
    text_add(&text, "'");
    return text_take(&text);
}

size_t
text_split_words(char *line, char **words, size_t most)
{
    size_t count = 0;

    for (;;) {
        while (text_is_blank(*line))
            line++;
        if (*line == '\0' || *line == '#')
            return count;
        if (count == most)
            return most + 1;
        words[count++] = take_word(&line);
    }
}

enum { LONGEST_WORD = 64 };

/* Levenshtein distance without regard to case, by rows. */
static size_t
distance(const char *a, const char *b)
{
    size_t row[LONGEST_WORD + 1], length = strlen(b);

    for (size_t j = 0; j <= length; j++)
        row[j] = j;
    for (size_t i = 1; a[i - 1] != '\0'; i++) {
        size_t corner = row[0];

        row[0] = i;
        for (size_t j = 1; j <= length; j++) {
            size_t change = corner + (text_lower(a[i - 1]) != text_lower(b[j - 1]) ? 1U : 0U);
            size_t best = row[j] < row[j - 1] ? row[j] + 1 : row[j - 1] + 1;

            corner = row[j];
            row[j] = change < best ? change : best;
        }
    }
    return row[length];
}

const char *
text_nearest(const char *word, const char *const *candidates, size_t count)
{
    const char *nearest = NULL;
    size_t length = strlen(word), best;

    if (length == 0 || length > LONGEST_WORD)
        return NULL;
    best = length / 3 + 1;
    if (best >= length)
        best = length - 1; /* a word of one or two letters has no near ones that share nothing */
    for (size_t i = 0; i < count; i++) {
        size_t steps;

        if (strlen(candidates[i]) > LONGEST_WORD)
            continue;
        steps = distance(word, candidates[i]);
        if (steps < best || (steps == best && nearest == NULL)) {
            best = steps;
            nearest = candidates[i];
        }
    }
    return nearest;
}
