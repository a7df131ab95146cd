/* observation.c - what was seen or said in a sitting beside its readings. */
#include "observation.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "text.h"
#include "words.h"

enum { WORDS_MOST = 7 };

/* By kind; a list ends with NULL. */
static const struct {
    const char *kind;
    size_t count;
    const char *words[WORDS_MOST], *texts[WORDS_MOST];
} table[] = {
    [OBSERVATION_WATER] = {"water",
                           3,
                           {"distilled", "deionised", "other"},
                           {"distilled water", "deionised water", "other water (tap, spring, rain)"}},
    [OBSERVATION_WATER_PH] = {"water-ph", 0, {NULL}, {NULL}},
    [OBSERVATION_UNDISSOLVED] = {"undissolved",
                                 2,
                                 {"nothing", "soap"},
                                 {"nothing was left undissolved", "some soap was left undissolved"}},
    [OBSERVATION_LOOK] = {"look",
                          7,
                          {"sound", "weeping", "lye-pockets", "white", "crumbling", "glassy", "orange"},
                          {"nothing unusual", "weeping (drops or a wet film)",
                           "pockets or streaks that are like lye",
                           "white pockets or streaks that are not lye", "crumbling", "glassy spots",
                           "orange spots"}},
    [OBSERVATION_CUT] = {"cut", 1, {"spot"}, {"cut through the spot that looked bad"}},
};

const char *
observation_kind_word(enum observation_kind kind)
{
    return table[kind].kind;
}

enum status
observation_kind_parse(const char *text, enum observation_kind *ret, struct failure *failure)
{
    const char *kinds[LENGTH(table)];
    size_t index;
    enum status status;

    for (size_t i = 0; i < LENGTH(table); i++)
        kinds[i] = table[i].kind;
    status = words_find("kind of observation", text, kinds, LENGTH(table), &index, failure);
    if (status == STATUS_OK)
        *ret = (enum observation_kind)index;
    return status;
}

size_t
observation_words(enum observation_kind kind, const char *const **ret_words)
{
    *ret_words = table[kind].words;
    return table[kind].count;
}

const char *
observation_word_text(enum observation_kind kind, const char *word)
{
    for (size_t i = 0; i < table[kind].count; i++)
        if (text_same(word, table[kind].words[i]))
            return table[kind].texts[i];
    return NULL;
}

void
observation_init(struct observation *observation)
{
    *observation = (struct observation){.value = NAN, .seen_at = MOMENT_NONE};
}

enum status
observation_check(const struct observation *observation, struct failure *failure)
{
    const char *kind = table[observation->kind].kind;
    size_t index;

    if (observation->supersedes != 0 && observation->why == NULL)
        return failure_set(failure, STATUS_FORMAT, "what replaces an observation says why");
    if (observation->word == NULL && isnan(observation->value)) {
        if (observation->supersedes == 0)
            return failure_set(failure, STATUS_FORMAT, "an observation of kind '%s' says nothing", kind);
        return STATUS_OK;
    }
    if (observation->kind != OBSERVATION_WATER_PH) {
        if (observation->word == NULL || !isnan(observation->value))
            return failure_set(failure, STATUS_FORMAT, "an observation of kind '%s' is a word", kind);
        return words_find(kind, observation->word, table[observation->kind].words,
                          table[observation->kind].count, &index, failure);
    }
    if (observation->word != NULL)
        return failure_set(failure, STATUS_FORMAT, "an observation of kind '%s' is a number", kind);
    if (!(observation->value >= 0.0 && observation->value <= 14.0))
        return failure_set(failure, STATUS_RANGE, "pH of the water is %g, allowed is 0 to 14",
                           observation->value);
    return STATUS_OK;
}

bool
observation_stands(const struct observation *observation)
{
    return observation->superseded_by == 0 && (observation->word != NULL || !isnan(observation->value));
}

bool
used_up_stands(const struct used_up *used_up)
{
    return used_up->superseded_by == 0 && used_up->used_up_on != DAY_NONE;
}

void
observation_clear(struct observation *observation)
{
    free(observation->word);
    free(observation->why);
    *observation = (struct observation){0};
}

void
used_up_clear(struct used_up *used_up)
{
    free(used_up->bar);
    free(used_up->why);
    *used_up = (struct used_up){0};
}
