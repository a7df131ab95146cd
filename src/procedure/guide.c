/* guide.c - what the walk-through says around its questions. */
#include "guide.h"

#include <math.h>
#include <stdlib.h>

#include "calibration_store.h"
#include "dilution.h"
#include "number.h"
#include "text.h"

enum { DAY_S = 86400 };

void
guide_opening(struct prompt *prompt, const struct bench *bench)
{
    const struct procedure *procedure = &bench->procedure;

    prompt_say(prompt, "Session %lld: %s", (long long)bench->session.id, procedure->title);
    prompt_say(prompt, "  %s", procedure->summary);
    if (procedure->follows != NULL)
        prompt_say(prompt, "  Follows: %s", procedure->follows);
    if (bench->meter != NULL)
        prompt_say(prompt, "  Meter: %s", bench->meter->name);
    if (bench->paper != NULL)
        prompt_say(prompt, "  Paper: %s", bench->paper->name);
    if (bench->balance != NULL)
        prompt_say(prompt, "  Balance: %s", bench->balance->name);
    prompt_say(prompt, "Before you begin:");
    for (size_t i = 0; i < procedure->cautions.count; i++)
        prompt_say(prompt, "  ! %s", procedure->cautions.items[i]);
    prompt_say(prompt, "At every question: note WORDS, skip REASON, back, quit, help.");
}

void
guide_specimen(struct prompt *prompt, const struct bench *bench, size_t specimen)
{
    const char *bar;

    fputc('\n', prompt->out);
    if (specimen == QUESTION_SESSION) {
        prompt_say(prompt, "== For the whole session ==");
        return;
    }
    bar = bench->specimens[specimen].bar;
    prompt_say(prompt, "== %s%s%s: specimen %zu of %zu ==", bench->codes[specimen],
               bar == NULL ? "" : ", bar ", bar == NULL ? "" : bar, specimen + 1, bench->specimen_count);
}

void
guide_step(struct prompt *prompt, const struct bench *bench, const struct question *question)
{
    const struct step *step = question->step;
    const char *unit = step_kind_units[step->kind];

    fputc('\n', prompt->out);
    prompt_say(prompt, "%zu/%zu %s", (size_t)(step - bench->procedure.steps) + 1, bench->procedure.step_count,
               step->text);
    if (!isnan(step->target) && !isnan(step->tolerance))
        prompt_say(prompt, "    Aim: %g +/- %g %s", step->target, step->tolerance, unit);
    else if (!isnan(step->target))
        prompt_say(prompt, "    Aim: %g %s", step->target, unit);
    if (step->caution != NULL)
        prompt_say(prompt, "    ! %s", step->caution);
    if (step->follows != NULL)
        prompt_say(prompt, "    (%s)", step->follows);
}

/* Decimals that a balance shows: 2 for 0.01 g. */
static int
decimals_of(const struct gear *balance)
{
    double decimals = balance == NULL ? 2.0 : ceil(-log10(balance->readability_g) - 1e-9);

    return decimals < 0.0 ? 0 : (decimals > 4.0 ? 4 : (int)decimals);
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
    enum status status;

    if (bench->meter == NULL)
        return STATUS_OK;
    status = latest_calibration(store, bench->meter->id, now, &latest, failure);
    if (status != STATUS_OK)
        return status;
    if (latest.id != 0)
        prompt_say(prompt, "    Meter '%s': calibration of %s, %s.", bench->meter->name,
                   clock_moment_text(latest.taken_at, moment), calibration_verdict_word(latest.verdict));
    if (latest.id == 0 || latest.verdict == CALIBRATION_REFUSED || now - latest.taken_at > DAY_S)
        prompt_say(
            prompt,
            "    Meter '%s' has no good calibration of the last day. To make one, read it in two buffers and "
            "type: curetrace calibrate %s --buffer borax@24.5=9.21 --buffer \"lime water@24.5=12.46\" "
            "(name, temperature, what the meter shows).",
            bench->meter->name, bench->meter->name);
    calibration_clear(&latest);
    return STATUS_OK;
}

/* "reading 2 of 3, " before what is asked, when there are several. */
static char *
numbered(const struct question *question, const char *words)
{
    if (question->step->replicates == 1)
        return text_format("%s", words);
    return text_format("%d of %d, %s", question->replicate, question->step->replicates, words);
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
guide_question(const struct question *question)
{
    const struct step *step = question->step;
    char *choices, *text;

    if (question->part == QUESTION_TEMPERATURE)
        return numbered(question, "its temperature, degC:");
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

char *
guide_help(const struct question *question, const struct bench *bench)
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
guide_answer(const struct question *question, const struct answer *answer)
{
    char value[NUMBER_TEXT_SIZE], high[NUMBER_TEXT_SIZE];
    enum step_kind kind = question->part == QUESTION_TEMPERATURE ? STEP_TEMPERATURE : question->step->kind;

    number_format(answer->value, value);
    if (answer->outcome == ANSWER_SKIPPED)
        return text_format("left out (%s)", answer->why == NULL ? "" : answer->why);
    if (kind == STEP_PAPER)
        return text_format("pH %s..%s", value, number_format(answer->value_high, high));
    if (kind == STEP_PH)
        return text_format("pH %s", value);
    if (!isnan(answer->value))
        return text_format("%s %s", value, step_kind_units[kind]);
    return text_format("%s", answer->text == NULL ? "done" : answer->text);
}

char *
guide_place(const struct bench *bench, const struct question *question)
{
    char *key = question_key(question), *number, *place;

    number =
        question->step->replicates == 1 ? text_format("%s", "") : text_format(" %d", question->replicate);
    if (question->specimen == QUESTION_SESSION)
        place = text_format("%s%s", key, number);
    else
        place = text_format("%s %s%s", bench->codes[question->specimen], key, number);
    free(number);
    free(key);
    return place;
}

/* The batches of a session, each once, as a command line takes them. */
static char *
codes_of(const struct bench *bench)
{
    struct text text = {0};

    for (size_t i = 0; i < bench->specimen_count; i++) {
        bool seen = false;

        for (size_t j = 0; j < i; j++)
            seen = seen || bench->specimens[j].batch_id == bench->specimens[i].batch_id;
        if (!seen)
            text_addf(&text, " %s", bench->codes[i]);
    }
    return text_take(&text);
}

void
guide_finished(struct prompt *prompt, const struct bench *bench, const char *left_open)
{
    char *codes = codes_of(bench);

    fputc('\n', prompt->out);
    prompt_say(prompt, "Session %lld is finished.", (long long)bench->session.id);
    if (left_open != NULL)
        prompt_say(prompt, "Left open: %s", left_open);
    if (bench->specimen_count > 0)
        prompt_say(prompt, "next: curetrace verdict%s", codes);
    else if (bench->meter != NULL)
        prompt_say(prompt, "next: curetrace calibrate %s, with these values", bench->meter->name);
    free(codes);
}

void
guide_left(struct prompt *prompt, const struct bench *bench)
{
    fputc('\n', prompt->out);
    prompt_say(prompt, "Session %lld is kept as far as it went.", (long long)bench->session.id);
    prompt_say(prompt, "next: curetrace resume %lld", (long long)bench->session.id);
}
