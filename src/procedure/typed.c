/* typed.c - what was typed at a question of a walk, as the values of an answer. */
#include "typed.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "memory.h"
#include "observing.h"
#include "text.h"
#include "titration_model.h"
#include "weighed_acid.h"

#define MASS_HIGHEST_G 10000.0 /* of anything but the portion of soap */

const char typed_on_surface[] = "on the wet bar";

static enum status
take_done(const char *words, struct failure *failure)
{
    if (*words == '\0' || text_same(words, "done") || answer_text_yes(words) == 1)
        return STATUS_OK;
    return failure_set(failure, STATUS_FORMAT, "'%.60s' is no answer here: press Enter when it is done",
                       words);
}

/* Where one of two is what should be, yes and no mean them. */
static const char *
meant_by_yes_or_no(const struct step *step, const char *words)
{
    int yes = answer_text_yes(words);

    if (yes < 0 || step->choices.count != 2 || step->expected.count != 1)
        return NULL;
    return step->choices.items[step_expects(step, step->choices.items[0]) == (yes == 1) ? 0 : 1];
}

/* A choice by its own words, or by others that are usual for it. */
static enum status
find_choice(const struct step *step, const char *words, size_t *ret_index, struct failure *failure)
{
    const char *meant = observing_meant(step->records, words);
    struct failure other = {0};
    enum citric_form form;

    enum status status =
        answer_text_choice(words, step->choices.items, step->choices.count, ret_index, failure);

    if (step->records == RECORDS_CITRIC_FORM && citric_form_parse(words, &form, &other) == STATUS_OK)
        meant = citric_form_words[form];
    if (status == STATUS_OK || meant == NULL ||
        answer_text_choice(meant, step->choices.items, step->choices.count, ret_index, &other) != STATUS_OK)
        return status;
    return STATUS_OK;
}

/* Several with commas between them; "nothing" goes with no other one. */
static enum status
take_choices(const struct step *step, const char *words, struct answer *answer, struct failure *failure)
{
    char *copy = memory_copy(words), *rest = copy, *item;
    struct text all = {0};
    enum status status = STATUS_OK;

    assert(step->choices.count > 0 && step->choices.items[0] != NULL);
    while (status == STATUS_OK && (item = strsep(&rest, ",")) != NULL) {
        size_t choice = 0;

        status = find_choice(step, text_trim(item), &choice, failure);
        if (status == STATUS_OK && strstr(text_of(&all), step->choices.items[choice]) == NULL)
            text_addf(&all, "%s%s", all.length == 0 ? "" : ", ", step->choices.items[choice]);
    }
    if (status == STATUS_OK && strstr(text_of(&all), ", ") != NULL &&
        strstr(text_of(&all), step->choices.items[0]) != NULL)
        status =
            failure_set(failure, STATUS_FORMAT, "'%.60s' goes with no other one", step->choices.items[0]);
    free(copy);
    if (status == STATUS_OK) {
        free(answer->text);
        answer->text = text_take(&all);
    }
    text_clear(&all);
    return status;
}

static enum status
take_choice(const struct step *step, const char *words, struct answer *answer, struct failure *failure)
{
    const char *meant = meant_by_yes_or_no(step, words);
    size_t choice = 0;
    enum status status = STATUS_OK;

    if (meant == NULL && step->records == RECORDS_BAR_LOOK)
        return take_choices(step, words, answer, failure);
    if (meant == NULL) {
        status = find_choice(step, words, &choice, failure);
        meant = step->choices.items[choice];
    }
    if (status == STATUS_OK) {
        free(answer->text);
        answer->text = memory_copy(meant);
    }
    return status;
}

static enum status
take_temperature(const char *words, double before_c, double *ret_temperature_c, struct failure *failure)
{
    if (*words != '\0' || isnan(before_c))
        return answer_text_temperature(words, ret_temperature_c, failure);
    *ret_temperature_c = before_c;
    return STATUS_OK;
}

static enum status
take_sure(const char *words, double *ret_value, struct failure *failure)
{
    int yes = answer_text_yes(words);

    if (yes < 0)
        return failure_set(failure, STATUS_FORMAT, "'%.40s' is neither yes nor no", words);
    *ret_value = yes;
    return STATUS_OK;
}

/* Each mass in its own range; acid may be none, or counted in drops. */
static enum status
take_mass(const struct step *step, double drop_g, const char *words, double *ret_mass_g,
          struct failure *failure)
{
    if (step_is_burette(step))
        return answer_text_drop_mass(words, ret_mass_g, failure);
    switch ((int)step->records) {
    case RECORDS_SOAP:
        return answer_text_mass(words, TITRATION_SOAP_HIGHEST_G, ret_mass_g, failure);
    case RECORDS_CITRIC:
        return answer_text_mass(words, CITRIC_HIGHEST_G, ret_mass_g, failure);
    case RECORDS_TITRANT:
        return answer_text_acid_mass(words, TITRATION_VOLUME_HIGHEST_ML, drop_g, ret_mass_g, failure);
    case RECORDS_BLANK:
        return answer_text_acid_mass(words, TITRATION_BLANK_HIGHEST_ML, drop_g, ret_mass_g, failure);
    default:
        return answer_text_mass(words, MASS_HIGHEST_G, ret_mass_g, failure);
    }
}

/* Where the burette is asked for, words are kept beside the number when it is the size of a drop. */
static enum status
take_volume(const struct step *step, double drop_ml, const char *words, struct answer *answer,
            struct failure *failure)
{
    bool is_drop = false;
    enum status status;

    if (!step_is_burette(step))
        return answer_text_volume(
            words, step->records == RECORDS_BLANK ? TITRATION_BLANK_HIGHEST_ML : TITRATION_VOLUME_HIGHEST_ML,
            drop_ml, &answer->value, failure);
    status = answer_text_division(words, &answer->value, &is_drop, failure);
    if (status == STATUS_OK && is_drop) {
        free(answer->text);
        answer->text = memory_copy(words);
    }
    return status;
}

/* A strip that was dipped, or pressed on the wet bar. */
static enum status
take_paper(const char *words, const struct gear *paper, struct answer *answer, struct failure *failure)
{
    char *on_surface = answer_text_surface(words);
    enum status status = answer_text_range(on_surface == NULL ? words : on_surface, paper, &answer->value,
                                           &answer->value_high, &answer->temperature_c, failure);

    if (status == STATUS_OK && on_surface != NULL) {
        free(answer->text);
        answer->text = memory_copy(typed_on_surface);
    }
    free(on_surface);
    return status;
}

enum status
typed_take(const struct question *question, const struct typed_beside *beside, const char *words,
           struct answer *answer, struct failure *failure)
{
    if (question->standing == STANDING_TEMPERATURE)
        return take_temperature(words, beside->before_c, &answer->temperature_c, failure);
    if (question->standing == STANDING_SURE)
        return take_sure(words, &answer->value, failure);
    switch (question->step->kind) {
    case STEP_MASS:
        return take_mass(question->step, beside->drop_ml, words, &answer->value, failure);
    case STEP_VOLUME:
        return take_volume(question->step, beside->drop_ml, words, answer, failure);
    case STEP_CONCENTRATION:
        return answer_text_concentration(words, &answer->value, failure);
    case STEP_TEMPERATURE:
        return answer_text_temperature(words, &answer->value, failure);
    case STEP_PH:
        return answer_text_ph(words, &answer->value, &answer->temperature_c, failure);
    case STEP_PAPER:
        return take_paper(words, beside->paper, answer, failure);
    case STEP_CHOICE:
        return take_choice(question->step, words, answer, failure);
    case STEP_DO:
    case STEP_WAIT:
        return take_done(words, failure);
    case STEP_NOTE: /* any words will do */
        free(answer->text);
        answer->text = *words == '\0' ? NULL : memory_copy(words);
        return STATUS_OK;
    }
    return STATUS_OK;
}
