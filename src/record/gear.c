/* gear.c - what a maker measures with. */
#include "gear.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "session.h"
#include "text.h"
#include "words.h"

static const char *const kinds[] = {"meter", "paper", "balance", "thermometer", "buffer"};

enum { MOST_STEPS = 100, GEAR_NAME_LONGEST = 60 };

void
gear_init(struct gear *gear, enum gear_kind kind)
{
    *gear = (struct gear){.kind = kind,
                          .resolution_ph = NAN,
                          .accuracy_ph = NAN,
                          .readability_g = NAN,
                          .resolution_c = NAN,
                          .accuracy_c = NAN,
                          .expires_on = DAY_NONE,
                          .added_at = MOMENT_NONE};
}

void
gear_clear(struct gear *gear)
{
    free(gear->name);
    free(gear->steps);
    free(gear->buffer);
    free(gear->note);
    *gear = (struct gear){0};
}

const char *
gear_kind_word(enum gear_kind kind)
{
    return kinds[kind];
}

enum status
gear_kind_parse(const char *text, enum gear_kind *ret_kind, struct failure *failure)
{
    size_t index;
    enum status status = words_find("kind of gear", text, kinds, LENGTH(kinds), &index, failure);

    if (status == STATUS_OK)
        *ret_kind = (enum gear_kind)index;
    return status;
}

static enum status
add_step(struct gear *gear, double step, struct failure *failure)
{
    if (gear->step_count > 0 && !(step > gear->steps[gear->step_count - 1]))
        return failure_set(failure, STATUS_RANGE, "a paper's steps must rise, but %g does not follow %g",
                           step, gear->steps[gear->step_count - 1]);
    if (gear->step_count == MOST_STEPS)
        return failure_set(failure, STATUS_RANGE, "a paper has at most %d steps", MOST_STEPS);
    gear->steps = memory_resize(gear->steps, gear->step_count + 1, sizeof *gear->steps);
    gear->steps[gear->step_count++] = step;
    return STATUS_OK;
}

/* Cut `text` before the first of these signs; what stands behind it, NULL when there is none. */
static char *
cut_at(char *text, const char *const *signs, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        char *sign = strstr(text, signs[i]);

        if (sign == NULL)
            continue;
        *sign = '\0';
        return text_trim(sign + strlen(signs[i]));
    }
    return NULL;
}

/* "9", "1-14", or "5.5..9 by 0.5" from one to the other, by 1 when not said. */
static enum status
add_steps(struct gear *gear, char *text, enum number_decimal decimal, struct failure *failure)
{
    static const char *const by_signs[] = {" by ", " in steps of "};
    static const char *const to_signs[] = {"..", "\xe2\x80\x93", "-", " to "};
    const char *by = cut_at(text, by_signs, LENGTH(by_signs)), *to = cut_at(text, to_signs, LENGTH(to_signs));
    double first = NAN, last = NAN, apart = 1.0;
    enum status status =
        number_parse_in(text_trim(text), decimal, "a paper's step", PH_LOWEST, PH_HIGHEST, &first, failure);

    if (status == STATUS_OK && to == NULL && by == NULL)
        return add_step(gear, first, failure);
    if (status == STATUS_OK)
        status = number_parse_in(to == NULL ? "" : to, decimal, "a paper's step", PH_LOWEST, PH_HIGHEST,
                                 &last, failure);
    if (status == STATUS_OK && by != NULL)
        status = number_parse_in(by, decimal, "how far steps are apart", 0.1, 7.0, &apart, failure);
    if (status == STATUS_OK && !(last > first && fabs(remainder(last - first, apart)) < 1e-9))
        status = failure_set(failure, STATUS_RANGE, "from %g to %g there are no whole steps of %g", first,
                             last, apart);
    for (double i = 0; status == STATUS_OK && i < (last - first) / apart + 0.5; i++)
        status = add_step(gear, round((first + i * apart) * 1e6) / 1e6, failure);
    return status;
}

enum status
gear_parse_steps(struct gear *gear, const char *text, struct failure *failure)
{
    bool semicolons = strchr(text, ';') != NULL;
    char *copy = memory_copy(text), *rest = copy, *piece;
    enum status status = STATUS_OK;

    while (status == STATUS_OK && (piece = strsep(&rest, semicolons ? ";" : ",")) != NULL)
        status =
            add_steps(gear, text_trim(piece), semicolons ? NUMBER_POINT_OR_COMMA : NUMBER_POINT, failure);
    free(copy);
    if (status == STATUS_OK && gear->step_count < 2)
        status = failure_set(failure, STATUS_FORMAT, "a paper has at least two printed steps");
    if (status != STATUS_OK)
        return failure_at(failure, "steps are written 1-14, 5.5..9 by 0.5 or 4.5,5,6: ");
    return status;
}

char *
gear_steps_text(const struct gear *gear)
{
    struct text text = {0};
    char number[NUMBER_TEXT_SIZE];

    if (gear->step_count == 0)
        return NULL;
    for (size_t i = 0; i < gear->step_count; i++)
        text_addf(&text, "%s%s", i == 0 ? "" : ",", number_format(gear->steps[i], number));
    return text_take(&text);
}

/* A number that `owner` must have and no other kind may have. */
static enum status
check_number(const struct gear *gear, enum gear_kind owner, bool needed, const char *option, double number,
             double most, struct failure *failure)
{
    if (gear->kind != owner) {
        if (isnan(number))
            return STATUS_OK;
        return failure_set(failure, STATUS_FORMAT, "a %s has no --%s", kinds[gear->kind], option);
    }
    if (isnan(number)) {
        if (!needed)
            return STATUS_OK;
        return failure_set(failure, STATUS_FORMAT, "a %s needs --%s", kinds[gear->kind], option);
    }
    if (!(number > 0.0 && number <= most))
        return failure_set(failure, STATUS_RANGE, "%s is %g, allowed is above 0 to %g", option, number, most);
    return STATUS_OK;
}

static enum status
check_words(const struct gear *gear, struct failure *failure)
{
    if (gear->name == NULL || *gear->name == '\0')
        return failure_set(failure, STATUS_FORMAT, "gear needs a name, as in bench");
    if (words_check_name("name", gear->name, GEAR_NAME_LONGEST, failure) != STATUS_OK)
        return failure->status;
    if (gear->kind == GEAR_PAPER && gear->step_count < 2)
        return failure_set(failure, STATUS_FORMAT, "paper needs its printed --steps, as in 1,2,3");
    if (gear->kind != GEAR_PAPER && gear->step_count > 0)
        return failure_set(failure, STATUS_FORMAT, "a %s has no --steps", kinds[gear->kind]);
    if (gear->kind == GEAR_BUFFER && gear->buffer == NULL)
        return failure_set(failure, STATUS_FORMAT, "a bottle of buffer needs --buffer, as in borax");
    if (gear->kind != GEAR_BUFFER && gear->buffer != NULL)
        return failure_set(failure, STATUS_FORMAT, "a %s has no --buffer", kinds[gear->kind]);
    return STATUS_OK;
}

enum status
gear_check(const struct gear *gear, struct failure *failure)
{
    const struct {
        enum gear_kind owner;
        bool needed;
        const char *option;
        double number, most;
    } numbers[] = {
        {GEAR_METER, true, "resolution-ph", gear->resolution_ph, 1.0},
        {GEAR_METER, false, "accuracy-ph", gear->accuracy_ph, 2.0},
        {GEAR_BALANCE, true, "readability-g", gear->readability_g, 100.0},
        {GEAR_THERMOMETER, true, "resolution-c", gear->resolution_c, 10.0},
        {GEAR_THERMOMETER, false, "accuracy-c", gear->accuracy_c, 20.0},
    };
    enum status status = check_words(gear, failure);

    for (size_t i = 0; status == STATUS_OK && i < LENGTH(numbers); i++)
        status = check_number(gear, numbers[i].owner, numbers[i].needed, numbers[i].option, numbers[i].number,
                              numbers[i].most, failure);
    return status;
}

static bool
is_step(const struct gear *paper, double ph)
{
    for (size_t i = 0; i < paper->step_count; i++)
        if (fabs(paper->steps[i] - ph) < 1e-9)
            return true;
    return false;
}

enum status
gear_check_step(const struct gear *paper, double ph, struct failure *failure)
{
    char *steps;

    if (is_step(paper, ph))
        return STATUS_OK;
    steps = gear_steps_text(paper);
    failure_set(failure, STATUS_RANGE, "%g is not printed on '%.60s', its steps are %s", ph,
                paper->name == NULL ? "" : paper->name, steps == NULL ? "not known" : steps);
    free(steps);
    return STATUS_RANGE;
}
