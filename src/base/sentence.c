/* sentence.c - what is to be said, as a list. */
#include "sentence.h"

#include <stdlib.h>

#include "memory.h"
#include "text.h"

static struct sentence *
add(struct sentences *list, enum sentence_kind kind, char *text)
{
    list->items = memory_room(list->items, list->count, &list->capacity, sizeof *list->items);
    list->items[list->count] = (struct sentence){.kind = kind, .text = text};
    return &list->items[list->count++];
}

static char *__attribute__((format(printf, 1, 0))) formatted(const char *format, va_list arguments)
{
    struct text text = {0};

    text_addv(&text, format, arguments);
    return text_take(&text);
}

void
sentences_add(struct sentences *list, enum sentence_kind kind, const char *text)
{
    add(list, kind, memory_copy(text));
}

void
sentences_addf(struct sentences *list, enum sentence_kind kind, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    add(list, kind, formatted(format, arguments));
    va_end(arguments);
}

void
sentences_next(struct sentences *list, const char *const *words, const char *format, ...)
{
    struct sentence *next;
    va_list arguments;

    va_start(arguments, format);
    next = add(list, SENTENCE_NEXT, formatted(format, arguments));
    va_end(arguments);
    if (words == NULL)
        return;
    while (words[next->word_count] != NULL)
        next->word_count++;
    next->words = memory_new(next->word_count + 1, sizeof *next->words);
    for (size_t i = 0; i < next->word_count; i++)
        next->words[i] = memory_copy(words[i]);
}

void
sentences_append(struct sentences *list, struct sentences *more)
{
    for (size_t i = 0; i < more->count; i++) {
        struct sentence *moved = add(list, more->items[i].kind, more->items[i].text);

        moved->words = more->items[i].words;
        moved->word_count = more->items[i].word_count;
    }
    free(more->items);
    *more = (struct sentences){0};
}

const struct sentence *
sentences_find(const struct sentences *list, enum sentence_kind kind)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->items[i].kind == kind)
            return &list->items[i];
    return NULL;
}

void
sentences_clear(struct sentences *list)
{
    for (size_t i = 0; i < list->count; i++) {
        for (size_t j = 0; j < list->items[i].word_count; j++)
            free(list->items[i].words[j]);
        free(list->items[i].words);
        free(list->items[i].text);
    }
    free(list->items);
    *list = (struct sentences){0};
}
