/* csv_near.c - wanted columns under other names. */
#include "csv_near.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

static const char between_words[] = "_ -./()%,:;[]";

/* What makers call a column, and options that give the same. */
static const struct {
    const char *name, *called;
} called[] = {
    {"batch", "code bar"},
    {"taken_at", "at date time day when"},
    {"made_on", "made poured"},
    {"gear", "meter paper strip"},
    {"concentration_pct", "percent strength"},
    {"temperature_c", "temp degc celsius"},
};

/* The next word of *text, passed over; its length is 0 at the end. */
static const char *
next_word(const char **text, size_t *ret_length)
{
    const char *word = *text + strspn(*text, between_words);

    *ret_length = strcspn(word, between_words);
    *text = word + *ret_length;
    return word;
}

static bool
alike(const char *a, size_t a_length, const char *b, size_t b_length)
{
    size_t shorter = a_length < b_length ? a_length : b_length;

    return text_same_start(a, b, shorter) && shorter >= (a_length == b_length ? 2 : 3);
}

/* Is one of the words of `a` also one of `b`, as a whole or (unless `whole`) with the beginning alone? */
static bool
shares_word(const char *a, const char *b, bool whole)
{
    size_t a_length, b_length;

    for (const char *a_word; a_word = next_word(&a, &a_length), a_length > 0;) {
        const char *rest = b;

        for (const char *b_word; b_word = next_word(&rest, &b_length), b_length > 0;)
            if ((!whole || a_length == b_length) && alike(a_word, a_length, b_word, b_length))
                return true;
    }
    return false;
}

static bool
is_named(const char *heading, const char *name)
{
    return strpbrk(name, between_words) == NULL && shares_word(heading, name, true);
}

static bool
is_called(const char *heading, const char *name)
{
    for (size_t i = 0; i < LENGTH(called); i++)
        if (text_same(called[i].name, name))
            return shares_word(heading, called[i].called, true);
    return false;
}

static bool
begins_like(const char *heading, const char *name)
{
    return shares_word(heading, name, false);
}

static bool
is_among(const char *name, const char *const *names, size_t count)
{
    for (size_t i = 0; i < count; i++)
        if (names[i] == name)
            return true;
    return false;
}

size_t
csv_near(const char *heading, const char *const *names, size_t count, const char **ret_near, size_t most)
{
    static bool (*const ways[])(const char *, const char *) = {is_named, is_called, NULL, begins_like};
    const char *spelled = text_nearest(heading, names, count);
    size_t found = 0;

    for (size_t way = 0; way < LENGTH(ways); way++)
        for (size_t i = 0; i < count && found < most; i++)
            if ((ways[way] == NULL ? names[i] == spelled : ways[way](heading, names[i])) &&
                !is_among(names[i], ret_near, found))
                ret_near[found++] = names[i];
    return found;
}

/* Names those that may have been meant, or all. */
static enum status
no_column(const char *text, size_t length, const struct csv_column *columns, size_t columns_length,
          struct failure *failure)
{
    enum { NEAR = 4 };
    const char **names = memory_new(columns_length + NEAR, sizeof *names), **near = names + columns_length;
    char *name = text_format("%.*s", (int)length, text);
    struct text list = {0};
    size_t count;

    for (size_t i = 0; i < columns_length; i++)
        names[i] = columns[i].name;
    count = csv_near(name, names, columns_length, near, NEAR);
    for (size_t i = 0; i < (count > 0 ? count : columns_length); i++)
        text_addf(&list, "%s%s", i == 0 ? "" : ", ", count > 0 ? near[i] : names[i]);
    failure_set(failure, STATUS_USAGE, "'%.80s' is no known column, %s %s", name,
                count > 0 ? "near it are" : "there are", text_of(&list));
    if (count == 1)
        failure_set(failure, STATUS_USAGE, "'%.80s' is no known column, did you mean '%s'?", name, near[0]);
    text_clear(&list);
    free(name);
    free(names);
    return failure->status;
}

enum status
csv_rename_parse(const char *text, const struct csv_column *columns, size_t columns_length,
                 struct csv_rename *ret_rename, struct failure *failure)
{
    const char *equals = strchr(text, '=');
    size_t length;

    if (equals == NULL || equals == text || equals[1] == '\0')
        return failure_set(failure, STATUS_USAGE, "'%.80s' is not of the form COLUMN=HEADING", text);
    length = (size_t)(equals - text);
    for (size_t i = 0; i < columns_length; i++) {
        if (strlen(columns[i].name) == length && strncmp(columns[i].name, text, length) == 0) {
            *ret_rename = (struct csv_rename){.column = i, .heading = memory_copy(equals + 1)};
            return STATUS_OK;
        }
    }
    return no_column(text, length, columns, columns_length, failure);
}

void
csv_rename_clear(struct csv_rename *rename)
{
    free(rename->heading);
    *rename = (struct csv_rename){0};
}
