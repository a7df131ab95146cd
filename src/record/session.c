/* session.c - one sitting at the bench. */
#include "session.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"
#include "words.h"

const char session_meaning[] = "one sitting at the bench";

static const char *const weighed[] = {"soap", "water"};
static const char *const methods[] = {"meter", "paper"};
static const char *const outcomes[] = {"done", "skipped", "noted"};

const char *
reading_kind_text(const struct reading *reading)
{
    return reading->on_surface ? "strip on the wet bar" : reading_method_word(reading->method);
}

const char *
weighing_of_word(enum weighing_of of)
{
    return weighed[of];
}

const char *
reading_method_word(enum reading_method method)
{
    return methods[method];
}

const char *
answer_outcome_word(enum answer_outcome outcome)
{
    return outcomes[outcome];
}

enum status
weighing_of_parse(const char *text, enum weighing_of *ret, struct failure *failure)
{
    size_t index;
    enum status status = words_find("weighing", text, weighed, LENGTH(weighed), &index, failure);

    if (status == STATUS_OK)
        *ret = (enum weighing_of)index;
    return status;
}

enum status
reading_method_parse(const char *text, enum reading_method *ret, struct failure *failure)
{
    size_t index;
    enum status status = words_find("method", text, methods, LENGTH(methods), &index, failure);

    if (status == STATUS_OK)
        *ret = (enum reading_method)index;
    return status;
}

enum status
answer_outcome_parse(const char *text, enum answer_outcome *ret, struct failure *failure)
{
    size_t index;
    enum status status = words_find("outcome", text, outcomes, LENGTH(outcomes), &index, failure);

    if (status == STATUS_OK)
        *ret = (enum answer_outcome)index;
    return status;
}

void
session_init(struct session *session)
{
    *session = (struct session){.started_at = MOMENT_NONE,
                                .finished_at = MOMENT_NONE,
                                .limit_ph = LIMIT_PH_USUAL,
                                .clear_ph = NAN,
                                .usual_low_ph = NAN};
}

void
specimen_init(struct specimen *specimen)
{
    *specimen = (struct specimen){.soap_mass_g = NAN, .water_mass_g = NAN, .stated_concentration_pct = NAN};
}

void
reading_init(struct reading *reading)
{
    *reading = (struct reading){.replicate = 1,
                                .ph = NAN,
                                .ph_low = NAN,
                                .ph_high = NAN,
                                .temperature_c = NAN,
                                .taken_at = MOMENT_NONE};
}

void
answer_init(struct answer *answer)
{
    *answer = (struct answer){
        .replicate = 1, .value = NAN, .value_high = NAN, .temperature_c = NAN, .answered_at = MOMENT_NONE};
}

void
session_clear(struct session *session)
{
    free(session->procedure_name);
    free(session->procedure_hash);
    free(session->left_open);
    free(session->by);
    free(session->note);
    *session = (struct session){0};
}

void
specimen_clear(struct specimen *specimen)
{
    free(specimen->bar);
    *specimen = (struct specimen){0};
}

void
weighing_clear(struct weighing *weighing)
{
    free(weighing->why);
    *weighing = (struct weighing){0};
}

void
reading_clear(struct reading *reading)
{
    free(reading->why);
    free(reading->note);
    *reading = (struct reading){0};
}

void
answer_clear(struct answer *answer)
{
    free(answer->step);
    free(answer->text);
    free(answer->deviation);
    free(answer->why);
    *answer = (struct answer){0};
}

double
specimen_concentration_pct(const struct specimen *specimen)
{
    if (isnan(specimen->soap_mass_g) || isnan(specimen->water_mass_g))
        return specimen->stated_concentration_pct;
    return 100.0 * specimen->soap_mass_g / (specimen->soap_mass_g + specimen->water_mass_g);
}

static enum status
check_ph(const char *what, double ph, struct failure *failure)
{
    if (!(ph >= PH_LOWEST && ph <= PH_HIGHEST))
        return failure_set(failure, STATUS_RANGE, "%s is %g, allowed is %g to %g", what, ph, PH_LOWEST,
                           PH_HIGHEST);
    return STATUS_OK;
}

static enum status
check_value(const struct reading *reading, struct failure *failure)
{
    enum status status;

    if (reading->method == READING_METER)
        return check_ph("ph", reading->ph, failure);
    status = check_ph("ph_low", reading->ph_low, failure);
    if (status == STATUS_OK)
        status = check_ph("ph_high", reading->ph_high, failure);
    if (status == STATUS_OK && !(reading->ph_low < reading->ph_high))
        return failure_set(failure, STATUS_RANGE, "paper reads between two steps, low first, not %g and %g",
                           reading->ph_low, reading->ph_high);
    return status;
}

enum status
reading_check(const struct reading *reading, struct failure *failure)
{
    if (reading->withdrawn) {
        if (reading->supersedes == 0 || !isnan(reading->ph) || !isnan(reading->ph_low))
            return failure_set(failure, STATUS_FORMAT,
                               "a withdrawn reading names the one it withdraws and has no value");
    } else {
        enum status status = check_value(reading, failure);

        if (status != STATUS_OK)
            return status;
    }
    if (reading->replicate < 1 || reading->replicate > REPLICATE_MOST)
        return failure_set(failure, STATUS_RANGE, "replicate is %d, allowed is 1 to %d", reading->replicate,
                           REPLICATE_MOST);
    if (!isnan(reading->temperature_c) &&
        !(reading->temperature_c >= READING_LOWEST_C && reading->temperature_c <= READING_HIGHEST_C))
        return failure_set(failure, STATUS_RANGE, "temperature_c is %g, allowed is %g to %g",
                           reading->temperature_c, READING_LOWEST_C, READING_HIGHEST_C);
    return STATUS_OK;
}

bool
reading_stands(const struct reading *reading)
{
    return reading->superseded_by == 0 && !reading->withdrawn;
}

/* Where a label begins without its blanks, and how long it is. */
static const char *
without_blanks(const char *label, size_t *ret_length)
{
    size_t length;

    while (text_is_blank(*label))
        label++;
    length = strlen(label);
    while (length > 0 && text_is_blank(label[length - 1]))
        length--;
    *ret_length = length;
    return label;
}

char *
bar_label(const char *typed)
{
    size_t length = 0;
    const char *label = typed == NULL ? NULL : without_blanks(typed, &length);

    return length == 0 ? NULL : text_format("%.*s", (int)length, label);
}

char *
by_name(const char *typed)
{
    return bar_label(typed); /* kept alike */
}

bool
bar_label_same(const char *a, const char *b)
{
    size_t length = 0, other = 0;

    if (a == NULL || b == NULL)
        return a == b;
    a = without_blanks(a, &length);
    b = without_blanks(b, &other);
    return length == other && text_same_start(a, b, length);
}
