/* guide.c - what the walk-through says around its questions. */
#include "guide.h"

#include <math.h>
#include <stdlib.h>

#include "calibration_store.h"
#include "dilution.h"
#include "memory.h"
#include "number.h"
#include "text.h"

enum { DAY_S = 86400 };

/* The batches of a session, each once, as a command line takes them. */
static char *
codes_of(const struct bench *bench)
{
    struct text text = {0};

    for (size_t i = 0; i < bench->specimen_count; i++) {
        bool seen = false;

        for (size_t j = 0; j < i; j++)
            seen = seen || bench->specimens[j].batch_id == bench->specimens[i].batch_id;
        if (!seen) {
            char *code = text_as_typed(bench->codes[i]);

            text_addf(&text, " %s", code);
            free(code);
        }
    }
    return text.length == 0 ? text_format("%s", "") : text_take(&text);
}

/* "meter bench, paper strips" - what lies ready; NULL: nothing. Given. */
static char *
gear_of(const struct bench *bench)
{
    const struct gear *const gear[] = {bench->meter, bench->paper, bench->balance, bench->thermometer};
    struct text text = {0};

    for (size_t i = 0; i < LENGTH(gear); i++)
        if (gear[i] != NULL)
            text_addf(&text, "%s%s %s", text.length == 0 ? "" : ", ", gear_kind_word(gear[i]->kind),
                      gear[i]->name);
    return text.length == 0 ? NULL : text_take(&text);
}

void
guide_opening(struct prompt *prompt, const struct bench *bench)
{
    const struct procedure *procedure = &bench->procedure;
    char *gear = gear_of(bench);

    prompt_say(prompt, "Session %lld: %s", (long long)bench->session.id, procedure->title);
    if (gear != NULL)
        prompt_say(prompt, "  With %s.", gear);
    prompt_say(prompt, "Before you begin:");
    for (size_t i = 0; i < procedure->cautions.count; i++)
        prompt_say(prompt, "  ! %s", procedure->cautions.items[i]);
    prompt_say(prompt, "At every question: note WORDS, skip REASON, back, quit, help (and method).");
    free(gear);
}

void
guide_reopening(struct prompt *prompt, const struct bench *bench, const struct question *last,
                const char *kept)
{
    char begun[MOMENT_TEXT_SIZE], *codes = codes_of(bench), *place = guide_place(bench, last);

    prompt_say(prompt, "Session %lld: %s", (long long)bench->session.id, bench->procedure.title);
    prompt_say(prompt, " %s%s begun %s; kept last: %s, %s", codes, *codes == '\0' ? "" : ",",
               clock_moment_text(bench->session.started_at, begun), kept, place);
    if (bench->procedure.cautions.count > 0)
        prompt_say(prompt, "  ! Cautions as before (help shows all): %s", bench->procedure.cautions.items[0]);
    free(place);
    free(codes);
}

void
guide_specimen(struct prompt *prompt, const struct bench *bench, size_t specimen)
{
    const char *bar, *what = bench->procedure.subject == PROCEDURE_TITRATION ? "Portion" : "Bar";

    fputc('\n', prompt->out);
    if (specimen == QUESTION_SESSION) {
        prompt_say(prompt,
                   bench->specimen_count > 1 ? "== For all of them ==" : "== For the whole session ==");
        return;
    }
    bar = bench->specimens[specimen].bar;
    prompt_say(prompt, "== %s %zu of %zu: %s%s%s ==", what, specimen + 1, bench->specimen_count,
               bench->codes[specimen], bar == NULL ? "" : ", bar ", bar == NULL ? "" : bar);
}

void
guide_step(struct prompt *prompt, const struct bench *bench, const struct question *question)
{
    const struct step *step = question->step;
    const char *unit = step_kind_units[step->kind];

    prompt_say(prompt, "%zu/%zu %s", (size_t)(step - bench->procedure.steps) + 1, bench->procedure.step_count,
               step->text);
    if (step->replicates > 1 && step->records == RECORDS_READING)
        prompt_say(prompt, "    %d readings of the same cup, one after the other.", step->replicates);
    if (!isnan(step->target) && !isnan(step->tolerance))
        prompt_say(prompt, "    Aim: %g +/- %g %s", step->target, step->tolerance, unit);
    else if (!isnan(step->target))
        prompt_say(prompt, "    Aim: %g %s", step->target, unit);
    if (step->caution != NULL)
        prompt_say(prompt, "    ! %s", step->caution);
    if (step->follows != NULL)
        prompt_say(prompt, "    (%s)", step->follows);
}

/* Decimals of what shows steps of `resolution`: 2 for 0.01. */
static int
decimals_for(double resolution)
{
    double decimals = ceil(-log10(resolution) - 1e-9);

    return decimals < 0.0 ? 0 : (decimals > 4.0 ? 4 : (int)decimals);
}

static int
decimals_of(const struct gear *balance)
{
    return balance == NULL ? 2 : decimals_for(balance->readability_g);
}

static void
guide_portion(struct prompt *prompt, const struct bench *bench, double portion_g)
{
    const struct procedure *procedure = &bench->procedure;
    const struct gear *balance = bench->balance;
    struct failure failure = {0};
    double smallest_g = NAN;

    if (balance == NULL ||
        dilution_smallest_portion(procedure->concentration_pct, procedure->concentration_tolerance_pct,
                                  balance->readability_g, &smallest_g, &failure) != STATUS_OK ||
        !(portion_g < smallest_g))
        return;
    smallest_g = ceil(smallest_g / balance->readability_g) * balance->readability_g;
    prompt_say(prompt, "    Balance '%s' reads to %g g: it holds %g +/- %g %% only", balance->name,
               balance->readability_g, procedure->concentration_pct, procedure->concentration_tolerance_pct);
    prompt_say(prompt, "    with %.*f g of soap or more.", decimals_of(balance), smallest_g);
}

static void
guide_water(struct prompt *prompt, const struct bench *bench, double soap_g)
{
    struct failure failure = {0};
    struct dilution dilution;
    int decimals = decimals_of(bench->balance);

    if (isnan(soap_g)) {
        prompt_say(prompt, "    The portion was not weighed, so how much water belongs to it is not known.");
        return;
    }
    if (dilution_for_percent(soap_g, bench->procedure.concentration_pct, NAN, &dilution, &failure) !=
        STATUS_OK)
        prompt_say(prompt, "    %s", failure.text);
    else
        prompt_say(prompt, "    Add %.*f g of water to %g g of soap: %g %%.", decimals, dilution.water_g,
                   soap_g, bench->procedure.concentration_pct);
}

void
guide_mass(struct prompt *prompt, const struct bench *bench, const struct question *question)
{
    const struct step *step = question->step;

    if (question->specimen == QUESTION_SESSION || bench->procedure.subject != PROCEDURE_SOAP_SOLUTION)
        return;
    if (step->records == RECORDS_SOAP)
        guide_portion(prompt, bench, step->target);
    if (step->records == RECORDS_WATER)
        guide_water(prompt, bench, bench->specimens[question->specimen].soap_mass_g);
}

/* The latest calibration (not a check) before now; its id is 0 when there is none. */
static enum status
latest_calibration(struct store *store, int64_t meter_id, civil_time now, struct calibration *ret,
                   struct failure *failure)
{
    struct calibration *calibrations = NULL;
    size_t count = 0;
    enum status status = calibration_store_list(store, meter_id, &calibrations, &count, failure);

    for (size_t i = 0; status == STATUS_OK && i < count; i++) {
        if (calibrations[i].purpose == CALIBRATION_ADJUST && calibrations[i].taken_at <= now) {
            calibration_clear(ret);
            *ret = calibrations[i];
        } else {
            calibration_clear(&calibrations[i]);
        }
    }
    free(calibrations);
    return status;
}

enum status
guide_meter(struct prompt *prompt, struct store *store, const struct bench *bench, struct failure *failure)
{
    struct calibration latest = {0};
    char moment[MOMENT_TEXT_SIZE];
    civil_time now = prompt_now(prompt);
    char *name;
    enum status status;

    if (bench->meter == NULL)
        return STATUS_OK;
    status = latest_calibration(store, bench->meter->id, now, &latest, failure);
    if (status != STATUS_OK)
        return status;
    if (latest.id != 0)
        prompt_say(prompt, "    Meter '%s': calibration of %s, %s.", bench->meter->name,
                   clock_moment_text(latest.taken_at, moment), calibration_verdict_word(latest.verdict));
    name = text_as_typed(bench->meter->name);
    if (latest.id == 0 || latest.verdict == CALIBRATION_REFUSED || now - latest.taken_at > DAY_S)
        prompt_say(
            prompt,
            "    Meter '%s' has no good calibration of the last day. To make one, read it in two buffers and "
            "type: curetrace calibrate %s --buffer borax@24.5=9.21 --buffer \"lime water@24.5=12.46\" "
            "(name, temperature, what the meter shows).",
            bench->meter->name, name);
    free(name);
    calibration_clear(&latest);
    return STATUS_OK;
}

/* "reading 2 of 3, " before what is asked, when there are several. */
static char *
numbered(const struct question *question, const char *words)
{
    if (question->step->replicates == 1)
        return text_format("%s", words);
    return text_format("%s%d of %d, %s", question->step->records == RECORDS_READING ? "reading " : "",
                       question->replicate, question->step->replicates, words);
}

static char *
temperature_question(const struct question *question, double before_c)
{
    char number[NUMBER_TEXT_SIZE], *words, *asked;

    if (isnan(before_c))
        return numbered(question, "its temperature, degC:");
    words = text_format("its temperature, degC (Enter: %s again):", number_format(before_c, number));
    asked = numbered(question, words);
    free(words);
    return asked;
}

static char *
choices_of(const struct step *step)
{
    struct text text = {0};

    for (size_t i = 0; i < step->choices.count; i++)
        text_addf(&text, "%s%s", i == 0 ? "" : ", ", step->choices.items[i]);
    return text_take(&text);
}

char *
guide_question(const struct question *question, double before_c)
{
    const struct step *step = question->step;
    char *choices, *text;

    if (question->part == QUESTION_TEMPERATURE)
        return temperature_question(question, before_c);
    switch (step->kind) {
    case STEP_MASS:
        return numbered(question, step->records == RECORDS_SOAP    ? "soap, g:"
                                  : step->records == RECORDS_WATER ? "water, g:"
                                                                   : "mass, g:");
    case STEP_VOLUME:
        return numbered(question, "volume, mL:");
    case STEP_CONCENTRATION:
        return numbered(question, "acid, mol/L:");
    case STEP_TEMPERATURE:
        return numbered(question, "temperature, degC:");
    case STEP_PH:
        return numbered(question, "pH:");
    case STEP_PAPER:
        return numbered(question, "between which printed steps:");
    case STEP_CHOICE:
        choices = choices_of(step);
        text = text_format("%s:", choices);
        free(choices);
        return text;
    case STEP_NOTE:
        return text_format("words, or Enter:");
    case STEP_DO:
    case STEP_WAIT:
        break;
    }
    return text_format("Enter when done:");
}

static char *
help_for(const struct question *question, const struct bench *bench)
{
    char *choices, *text;

    if (question->part == QUESTION_TEMPERATURE)
        return text_format("The temperature at which it was read, such as 40,1 or 104F.");
    switch (question->step->kind) {
    case STEP_MASS:
        return text_format("A mass in grams, such as 1,03. Ounces go as 0.5oz.");
    case STEP_VOLUME:
        return text_format("A volume in millilitres, such as 1,25.");
    case STEP_CONCENTRATION:
        return text_format("A concentration in mol/L, such as 0.1.");
    case STEP_TEMPERATURE:
        return text_format("A temperature in degC, such as 40,1; or 104F.");
    case STEP_PH:
        return text_format(
            "What the meter shows, such as 9,87, or with the temperature behind it: 9,87 40,1");
    case STEP_PAPER:
        choices = bench->paper == NULL ? NULL : gear_steps_text(bench->paper);
        text =
            text_format("Two printed steps, such as 8..9, or with the temperature behind them: 8..9 40. The "
                        "steps are %s.",
                        choices == NULL ? "not known" : choices);
        free(choices);
        return text;
    case STEP_CHOICE:
        choices = choices_of(question->step);
        text = text_format("One of: %s. Its first letters will do.", choices);
        free(choices);
        return text;
    case STEP_NOTE:
        return text_format("Your own words, or Enter when there is nothing.");
    case STEP_DO:
    case STEP_WAIT:
        break;
    }
    return text_format("Press Enter when it is done.");
}

char *
guide_help(const struct question *question, const struct bench *bench)
{
    const struct procedure *procedure = &bench->procedure;
    char *first = help_for(question, bench);
    struct text text = {0};

    text_addf(&text, "%s\nThe method: %s", first, procedure->summary);
    if (procedure->follows != NULL)
        text_addf(&text, "\nFollows: %s", procedure->follows);
    for (size_t i = 0; i < procedure->cautions.count; i++)
        text_addf(&text, "\n! %s", procedure->cautions.items[i]);
    free(first);
    return text_take(&text);
}

/* Decimals that the gear of a measured value shows. */
static int
decimals_shown(const struct bench *bench, enum step_kind kind)
{
    if (kind == STEP_PH)
        return bench->meter == NULL ? 2 : decimals_for(bench->meter->resolution_ph);
    if (kind == STEP_MASS)
        return decimals_of(bench->balance);
    return 0;
}

/* A value as it was typed, with the decimals of the gear at least; one that was converted from another unit has
 * no end of them, and gets just those and one more. */
static char *
value_text(const struct bench *bench, enum step_kind kind, double value)
{
    int decimals = decimals_shown(bench, kind);

    for (int more = decimals; more <= 4; more++)
        if (fabs(value * pow(10.0, more) - round(value * pow(10.0, more))) < 1e-6)
            return text_format("%.*f", more, value);
    return text_format("%.*f", decimals < 2 ? 2 : decimals, value);
}

char *
guide_answer(const struct bench *bench, const struct question *question, const struct answer *answer)
{
    char number[NUMBER_TEXT_SIZE], high[NUMBER_TEXT_SIZE], *value, *words;
    enum step_kind kind = question->part == QUESTION_TEMPERATURE ? STEP_TEMPERATURE : question->step->kind;

    if (answer->outcome == ANSWER_SKIPPED)
        return text_format("left out (%s)", answer->why == NULL ? "" : answer->why);
    if (kind == STEP_PAPER)
        return text_format("pH %s..%s", number_format(answer->value, number),
                           number_format(answer->value_high, high));
    if (isnan(answer->value))
        return text_format("%s", answer->text == NULL ? "done" : answer->text);
    value = value_text(bench, kind, answer->value);
    words =
        kind == STEP_PH ? text_format("pH %s", value) : text_format("%s %s", value, step_kind_units[kind]);
    free(value);
    return words;
}

/* A step's key in words: "soap-mass" is the soap mass. */
static char *
key_in_words(const char *key)
{
    char *words = memory_copy(key);

    for (char *c = words; *c != '\0'; c++)
        if (*c == '-' || *c == '_' || *c == '.')
            *c = ' ';
    return words;
}

char *
guide_place(const struct bench *bench, const struct question *question)
{
    struct text place = {0};
    char *key = key_in_words(question->step->key);

    if (question->part == QUESTION_TEMPERATURE)
        text_add(&place, "temperature of ");
    text_add(&place, key);
    if (question->step->replicates > 1)
        text_addf(&place, " %d", question->replicate);
    if (question->specimen != QUESTION_SESSION) {
        const char *bar = bench->specimens[question->specimen].bar;

        text_addf(&place, " of %s%s%s", bench->codes[question->specimen], bar == NULL ? "" : "/",
                  bar == NULL ? "" : bar);
    }
    free(key);
    return text_take(&place);
}

void
guide_finished(struct prompt *prompt, const struct bench *bench, const char *left_open, const char *after)
{
    char *codes = codes_of(bench), *meter = bench->meter == NULL ? NULL : text_as_typed(bench->meter->name);

    fputc('\n', prompt->out);
    prompt_say(prompt, "Session %lld is finished.", (long long)bench->session.id);
    if (left_open != NULL)
        prompt_say(prompt, "Left open: %s", left_open);
    if (bench->specimen_count > 0)
        fprintf(prompt->out, "next: curetrace verdict%s%s\n", codes, after);
    else if (meter != NULL)
        fprintf(prompt->out, "next, with these values: curetrace calibrate %s%s\n", meter, after);
    free(meter);
    free(codes);
}

void
guide_left(struct prompt *prompt, const struct bench *bench, const char *after)
{
    fputc('\n', prompt->out);
    prompt_say(prompt, "Session %lld is kept as far as it went.", (long long)bench->session.id);
    fprintf(prompt->out, "next: curetrace resume %lld%s\n", (long long)bench->session.id, after);
}
