/* answers.c - answers to a walk by the step that asks. */
#include "answers.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>

#include "memory.h"
#include "notebook.h"
#include "session_store.h"
#include "text.h"
#include "walk.h"

enum { ASKED_MOST = 2000 };

static const struct answer_for usual[] = {
    {"boil-water", 0, ""},
    {"water", 0, "distilled"},
    {"water-check", 0, "6,8 25"},
    {"meter-check", 0, "checked"},
    {"sample", 0, ""},
    {"bar-look", 0, "nothing of it"},
    {"soap-mass", 0, "1"},
    {"water-mass", 0, "99"},
    {"dissolve", 0, ""},
    {"cool", 0, ""},
    {"look", 0, "clear"},
    {"solution-temperature", 0, "40"},
    {"rinse", 0, ""},
    {"reading", 0, "9.87 40"},
    {"paper", 0, "8..9 40"},
    {"remarks", 0, ""},
    {"clean-up", 0, ""},
    {"neutralise", 0, ""},
    {"acid", 0, "0.1"},
    {"burette", 0, "0.05"},
    {"blank", 0, "0.05"},
    {"titrant", 0, "0"},
    {"citric", 0, "6.4"},
    {"citric-form", 0, "anhydrous"},
    {"acid-water", 0, "993.6"},
};

void
answers_add(struct answers *answers, const char *step, int cup, const char *typed)
{
    assert(answers->count < LENGTH(answers->list));
    answers->list[answers->count++] = (struct answer_for){step, cup, typed};
}

void
answers_usual(struct answers *answers)
{
    for (size_t i = 0; i < LENGTH(usual); i++)
        answers_add(answers, usual[i].step, usual[i].cup, usual[i].typed);
}

/* One for this very cup that was not given yet, else one for any: the one added last. */
static const char *
typed_for(struct answers *answers, const struct question *question)
{
    int cup = question->cup == QUESTION_SESSION ? -1 : (int)question->cup + 1;
    const char *any = answers->last;

    for (size_t i = 0; i < answers->count; i++) {
        const struct answer_for *known = &answers->list[i];

        if (strcmp(known->step, question->step->key) != 0)
            continue;
        if (known->cup == 0) {
            any = known->typed;
        } else if ((known->cup == cup || (cup < 0 && known->cup == 1)) && !answers->used[i]) {
            answers->used[i] = true;
            return known->typed;
        }
    }
    return any;
}

static const char *
look_up(struct answers *answers, struct store *store)
{
    struct failure failure = {0};
    struct walk walk = {0};
    int64_t *ids = NULL;
    size_t count = 0, next = WALK_NONE;
    const char *typed = NULL;

    if (session_store_unfinished(store, &ids, &count, &failure) != STATUS_OK || count == 0 ||
        walk_standing(store, ids[0], &walk, &failure) != STATUS_OK) {
        free(ids);
        return answers->last;
    }
    next = walk_next(&walk, WALK_NONE);
    if (next != WALK_NONE)
        typed = typed_for(answers, &walk.questions[next]);
    walk_clear(&walk);
    free(ids);
    return typed;
}

static const char *
next_lines(struct answers *answers)
{
    struct failure failure = {0};
    struct store *store = NULL;
    const char *typed;

    if (answers->asked++ >= ASKED_MOST)
        return NULL;
    if (answers->notebook == NULL)
        return look_up(answers, answers->store);
    if (notebook_open(answers->notebook, STORE_READ, &store, NULL, &failure) != STATUS_OK)
        return NULL;
    typed = look_up(answers, store);
    store_close(store);
    return typed;
}

/* One byte a read, as an unbuffered stream asks for it. */
static ssize_t
type(void *cookie, char *bytes, size_t size)
{
    struct answers *answers = cookie;

    if (answers->rest == NULL)
        answers->rest = next_lines(answers);
    if (answers->rest == NULL || size == 0)
        return 0;
    *bytes = *answers->rest == '\0' ? '\n' : *answers->rest;
    answers->rest = *answers->rest == '\0' ? NULL : answers->rest + 1;
    if (answers->typed != NULL)
        text_add_bytes(answers->typed, bytes, 1);
    return 1;
}

FILE *
answers_open(struct answers *answers)
{
    FILE *stream = fopencookie(answers, "r", (cookie_io_functions_t){.read = type});

    assert(stream != NULL);
    setvbuf(stream, NULL, _IONBF, 0); /* each line is looked up when it is asked for, not before */
    return stream;
}
