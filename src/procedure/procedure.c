/* procedure.c - a procedure as the walk-through follows it. */
#include "procedure.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

const char *const procedure_subject_words[] = {"soap-solution", "meter", "titration"};
const char *const step_kind_words[] = {"do",          "wait", "mass",  "volume", "concentration",
                                       "temperature", "ph",   "paper", "choice", "note"};
const char *const step_scope_words[] = {"session", "specimen"};
const char *const step_records_words[] = {
    "answer",      "soap",      "water",   "reading",    "water-check", "meter-check", "solution-temperature",
    "acid",        "blank",     "titrant", "water-kind", "undissolved", "bar-look",    "citric",
    "citric-form", "acid-water"};
const char *const step_kind_units[] = {"", "s", "g", "mL", "mol/L", "degC", "pH", "pH", "", ""};

const struct step *
procedure_step(const struct procedure *procedure, const char *key)
{
    for (size_t i = 0; i < procedure->step_count; i++)
        if (procedure->steps[i].key != NULL && strcmp(procedure->steps[i].key, key) == 0)
            return &procedure->steps[i];
    return NULL;
}

bool
procedure_needs(const struct procedure *procedure, enum step_kind kind)
{
    for (size_t i = 0; i < procedure->step_count; i++)
        if (procedure->steps[i].kind == kind && procedure->steps[i].optional == 0)
            return true;
    return false;
}

bool
procedure_uses(const struct procedure *procedure, enum step_kind kind)
{
    for (size_t i = 0; i < procedure->step_count; i++)
        if (procedure->steps[i].kind == kind)
            return true;
    return false;
}

bool
procedure_has_specimens(const struct procedure *procedure)
{
    for (size_t i = 0; i < procedure->step_count; i++)
        if (procedure->steps[i].scope == STEP_SPECIMEN)
            return true;
    return false;
}

static bool
has_rounds(const struct procedure *procedure)
{
    for (size_t i = 0; i < procedure->step_count; i++)
        if (procedure->steps[i].round != NULL)
            return true;
    return false;
}

size_t
procedure_round_end(const struct procedure *procedure, size_t first)
{
    const char *round = procedure->steps[first].round;
    bool all = !has_rounds(procedure);
    size_t end = first + 1;

    while (end < procedure->step_count && procedure->steps[end].scope == STEP_SPECIMEN &&
           (all || (round != NULL && procedure->steps[end].round != NULL &&
                    strcmp(round, procedure->steps[end].round) == 0)))
        end++;
    return end;
}

bool
step_is_burette(const struct step *step)
{
    return (step->kind == STEP_VOLUME || step->kind == STEP_MASS) && step->key != NULL &&
           strcmp(step->key, "burette") == 0;
}

bool
step_expects(const struct step *step, const char *choice)
{
    bool expects = step->expected.count == 0;

    for (size_t i = 0; i < step->expected.count; i++)
        expects = expects || text_same(step->expected.items[i], choice);
    return expects;
}

void
words_add(struct words *words, const char *item)
{
    words->items = memory_resize(words->items, words->count + 1, sizeof *words->items);
    words->items[words->count++] = memory_copy(item);
}

void
words_clear(struct words *words)
{
    for (size_t i = 0; i < words->count; i++)
        free(words->items[i]);
    free(words->items);
    *words = (struct words){0};
}

static void
step_clear(struct step *step)
{
    free(step->key);
    free(step->text);
    free(step->caution);
    free(step->follows);
    free(step->buffer);
    free(step->round);
    words_clear(&step->choices);
    words_clear(&step->expected);
    words_clear(&step->meanings);
    *step = (struct step){0};
}

void
procedure_clear(struct procedure *procedure)
{
    free(procedure->name);
    free(procedure->source);
    free(procedure->title);
    free(procedure->summary);
    free(procedure->follows);
    words_clear(&procedure->cautions);
    for (size_t i = 0; i < procedure->step_count; i++)
        step_clear(&procedure->steps[i]);
    free(procedure->steps);
    *procedure = (struct procedure){0};
}
