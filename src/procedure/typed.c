/* typed.c - what was typed at a question of a walk-through, before it is an answer. */
#include "typed.h"

#include <math.h>
#include <stdlib.h>

#include "answer_text.h"
#include "memory.h"
#include "text.h"

static enum status
take_done(const char *text, struct failure *failure)
{
    static const char *const done[] = {"", "done", "ok", "yes", "y"};

    for (size_t i = 0; i < LENGTH(done); i++)
        if (text_same(text, done[i]))
            return STATUS_OK;
    return failure_set(failure, STATUS_FORMAT, "'%.60s' is no answer here: press Enter when it is done",
                       text);
}

/* Where a calibration is on offer it is one of the choices, so that a beginning they share is no answer. */
static enum status
take_choice(const char *text, struct typed *typed, struct failure *failure)
{
    static char calibrate[] = "calibrate";
    const struct words *words = &typed->question->step->choices;
    char **choices = memory_new(words->count + 1, sizeof *choices);
    size_t choice = 0;
    enum status status;

    for (size_t i = 0; i < words->count; i++)
        choices[i] = words->items[i];
    choices[words->count] = calibrate;
    status =
        answer_text_choice(text, choices, words->count + (typed->can_calibrate ? 1 : 0), &choice, failure);
    free(choices);
    if (status != STATUS_OK)
        return status;
    typed->calibrate = choice == words->count;
    typed->choice = typed->calibrate ? 0 : choice;
    return STATUS_OK;
}

enum status
typed_take(const char *text, void *payload, struct failure *failure)
{
    struct typed *typed = payload;

    if (typed->correcting && *text == '\0') {
        typed->keep = true;
        return STATUS_OK;
    }
    if (typed->question->part == QUESTION_TEMPERATURE && *text == '\0' && !isnan(typed->before_c)) {
        typed->value = typed->before_c;
        return STATUS_OK;
    }
    if (typed->question->part == QUESTION_TEMPERATURE)
        return answer_text_temperature(text, &typed->value, failure);
    switch (typed->question->step->kind) {
    case STEP_MASS:
        return answer_text_mass(text, &typed->value, failure);
    case STEP_VOLUME:
        return answer_text_volume(text, &typed->value, failure);
    case STEP_CONCENTRATION:
        return answer_text_concentration(text, &typed->value, failure);
    case STEP_TEMPERATURE:
        return answer_text_temperature(text, &typed->value, failure);
    case STEP_PH:
        return answer_text_ph(text, &typed->value, &typed->temperature_c, failure);
    case STEP_PAPER:
        return answer_text_range(text, typed->paper, &typed->value, &typed->value_high, &typed->temperature_c,
                                 failure);
    case STEP_CHOICE:
        return take_choice(text, typed, failure);
    case STEP_DO:
    case STEP_WAIT:
        return take_done(text, failure);
    case STEP_NOTE:
        break; /* any words will do */
    }
    return STATUS_OK;
}
