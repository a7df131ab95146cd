/* sentence.h - what is to be said, as a list of {kind, text}: made once, drawn by every face in its own way.
 *
 * Rules
 * (1) A text is one sentence or heading without line breaks, bullets or colour; what people typed is made harmless
 *     (text_visible()) by who adds it. Nobody cuts a text apart again.
 * (2) A next step's command is a list of words without the program's name and the notebook: the face adds those and
 *     quotes what needs it. */
#ifndef SENTENCE_H
#define SENTENCE_H

#include <stdarg.h>
#include <stddef.h>

enum sentence_kind {
    SENTENCE_HEADING, /* names what follows: "P-01, bar A, 40 days old: within" */
    SENTENCE_PLAIN,
    SENTENCE_REASON, /* why a verdict is what it is: drawn as a bullet */
    SENTENCE_CAUTION,
    SENTENCE_NEXT /* what to do next, perhaps with the command to type */
};

/* Owned by its list. */
struct sentence {
    enum sentence_kind kind;
    char *text;
    char **words; /* of a next step's command; NULL: there is nothing to type */
    size_t word_count;
};

/* Owns all of it; zeroed is empty. */
struct sentences {
    struct sentence *items;
    size_t count, capacity;
};

void sentences_add(struct sentences *list, enum sentence_kind kind, const char *text);
void sentences_addf(struct sentences *list, enum sentence_kind kind, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* A next step.
 *
 * words  copied, NULL at the end: {"titrate", "P-01", NULL}; NULL: nothing to type */
void sentences_next(struct sentences *list, const char *const *words, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Put all of `more` behind the list; `more` is empty afterwards. */
void sentences_append(struct sentences *list, struct sentences *more);

/* The first of that kind; NULL when there is none. Lent until the list changes. */
const struct sentence *sentences_find(const struct sentences *list, enum sentence_kind kind);

void sentences_clear(struct sentences *list);

#endif
