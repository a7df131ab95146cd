/* guide.c - what a walk says around its questions. */
#include "guide.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "calibration_store.h"
#include "dilution.h"
#include "memory.h"
#include "number.h"
#include "observing.h"
#include "text.h"
#include "typed.h"

const char guide_no_temperature[] = "no temperature";

/* The batches of a session, each once; behind them NULL. Lent by the bench; given: free() the array. */
static const char **
codes_of(const struct bench *bench, const char *first)
{
    const char **codes = memory_new(bench->specimen_count + 2, sizeof *codes);
    size_t count = 0;

    codes[count++] = first;
    for (size_t i = 0; i < bench->specimen_count; i++) {
        bool seen = false;

        for (size_t j = 0; j < i; j++)
            seen = seen || bench->specimens[j].batch_id == bench->specimens[i].batch_id;
        if (!seen)
            codes[count++] = bench->codes[i];
    }
    return codes;
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
guide_opening(struct sentences *said, const struct bench *bench)
{
    const struct procedure *procedure = &bench->procedure;
    char *gear = gear_of(bench);

    sentences_addf(said, SENTENCE_HEADING, "Session %lld: %s", (long long)bench->session.id,
                   procedure->title);
    if (gear != NULL)
        sentences_addf(said, SENTENCE_PLAIN, "With %s.", gear);
    sentences_add(said, SENTENCE_HEADING, "Before you begin:");
    for (size_t i = 0; i < procedure->cautions.count; i++)
        sentences_add(said, SENTENCE_CAUTION, procedure->cautions.items[i]);
    free(gear);
}

void
guide_reopening(struct sentences *said, const struct bench *bench, const struct question *last,
                const struct answer *kept)
{
    char begun[MOMENT_TEXT_SIZE], *place = guide_place(bench, last), *words = guide_answer(bench, last, kept);
    const char **codes = codes_of(bench, "");
    struct text all = {0};

    for (size_t i = 1; codes[i] != NULL; i++)
        text_addf(&all, "%s, ", codes[i]);
    sentences_addf(said, SENTENCE_HEADING, "Session %lld: %s", (long long)bench->session.id,
                   bench->procedure.title);
    sentences_addf(said, SENTENCE_PLAIN, "%sbegun %s; kept last: %s, %s", text_of(&all),
                   clock_moment_text(bench->session.started_at, begun), words, place);
    if (bench->procedure.cautions.count > 0)
        sentences_addf(said, SENTENCE_CAUTION, "Cautions as before (help shows all): %s",
                       bench->procedure.cautions.items[0]);
    text_clear(&all);
    free(codes);
    free(words);
    free(place);
}

char *
guide_cup(const struct bench *bench, size_t cup)
{
    const char *bar;

    if (cup == QUESTION_SESSION)
        return text_format(bench->specimen_count > 1 ? "For all of them" : "For the whole session");
    bar = bench->specimens[cup].bar;
    return text_format(
        "%s %zu of %zu: %s%s%s", bench->procedure.subject == PROCEDURE_TITRATION ? "Portion" : "Cup", cup + 1,
        bench->specimen_count, bench->codes[cup], bar == NULL ? "" : ", bar ", bar == NULL ? "" : bar);
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
guide_portion(struct sentences *said, const struct bench *bench, double portion_g)
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
    sentences_addf(said, SENTENCE_PLAIN,
                   "Balance '%s' reads to %g g: it holds %g +/- %g %% only with %.*f g of soap or more.",
                   balance->name, balance->readability_g, procedure->concentration_pct,
                   procedure->concentration_tolerance_pct, decimals_of(balance), smallest_g);
}

static void
guide_water(struct sentences *said, const struct bench *bench, double soap_g)
{
    struct failure failure = {0};
    struct dilution dilution;
    int decimals = decimals_of(bench->balance);

    if (isnan(soap_g)) {
        sentences_add(said, SENTENCE_PLAIN,
                      "The portion was not weighed, so how much water belongs to it is not known.");
        return;
    }
    if (dilution_for_percent(soap_g, bench->procedure.concentration_pct, NAN, &dilution, &failure) !=
        STATUS_OK)
        sentences_add(said, SENTENCE_PLAIN, failure.text);
    else
        sentences_addf(said, SENTENCE_PLAIN, "Add %.*f g of water to %g g of soap: %g %%.", decimals,
                       dilution.water_g, soap_g, bench->procedure.concentration_pct);
}

/* At a mass: what the balance can hold, and how much water belongs to the portion. */
static void
guide_mass(struct sentences *said, const struct bench *bench, const struct question *question)
{
    const struct step *step = question->step;

    if (question->cup == QUESTION_SESSION || bench->procedure.subject != PROCEDURE_SOAP_SOLUTION)
        return;
    if (step->records == RECORDS_SOAP)
        guide_portion(said, bench, step->target);
    if (step->records == RECORDS_WATER)
        guide_water(said, bench, bench->specimens[question->cup].soap_mass_g);
}

void
guide_step(struct sentences *said, const struct bench *bench, const struct question *question)
{
    const struct step *step = question->step;
    const char *unit = step_kind_units[step->kind];

    sentences_addf(said, SENTENCE_HEADING, "%zu/%zu %s", (size_t)(step - bench->procedure.steps) + 1,
                   bench->procedure.step_count, step->text);
    if (step->replicates > 1 && step->records == RECORDS_READING)
        sentences_addf(said, SENTENCE_PLAIN, "%d readings of the same cup, one after the other.",
                       step->replicates);
    if (!isnan(step->target) && !isnan(step->tolerance))
        sentences_addf(said, SENTENCE_PLAIN, "Aim: %g +/- %g %s", step->target, step->tolerance, unit);
    else if (!isnan(step->target))
        sentences_addf(said, SENTENCE_PLAIN, "Aim: %g %s", step->target, unit);
    for (size_t i = 0; i < step->meanings.count; i++)
        sentences_add(said, SENTENCE_PLAIN, step->meanings.items[i]);
    if (step->caution != NULL)
        sentences_add(said, SENTENCE_CAUTION, step->caution);
    if (step->follows != NULL)
        sentences_addf(said, SENTENCE_PLAIN, "(%s)", step->follows);
    guide_mass(said, bench, question);
}

enum status
guide_meter(struct sentences *said, struct store *store, const struct bench *bench, civil_time now,
            struct failure *failure)
{
    struct calibration latest = {0};
    char moment[MOMENT_TEXT_SIZE];
    enum status status;

    if (bench->meter == NULL)
        return STATUS_OK;
    status = calibration_store_in_force(store, bench->meter->id, now, &latest, failure);
    if (status != STATUS_OK)
        return status;
    if (latest.id != 0)
        sentences_addf(said, SENTENCE_PLAIN, "Meter '%s': calibration of %s, %s.", bench->meter->name,
                       clock_moment_text(latest.taken_at, moment), calibration_verdict_word(latest.verdict));
    if (latest.id == 0 || latest.verdict == CALIBRATION_REFUSED || now - latest.taken_at > CLOCK_DAY_S)
        sentences_addf(
            said, SENTENCE_PLAIN,
            "Meter '%s' has no good calibration of the last day: it wants to be read in two buffers.",
            bench->meter->name);
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

/* What a mass or a volume is of. */
static const char *
amount_of(const struct step *step)
{
    static const char *const amounts[STEP_RECORDS] = {
        [RECORDS_SOAP] = "soap",        [RECORDS_WATER] = "water", [RECORDS_CITRIC] = "citric acid",
        [RECORDS_ACID_WATER] = "water", [RECORDS_BLANK] = "acid",  [RECORDS_TITRANT] = "acid"};

    if (amounts[step->records] != NULL)
        return amounts[step->records];
    if (step_is_burette(step))
        return step->kind == STEP_MASS ? "one drop" : "division or drop";
    return step->kind == STEP_MASS ? "mass" : "volume";
}

char *
guide_question(const struct question *question, const char *chosen, double before_c)
{
    const struct step *step = question->step;
    char *choices, *text, *words;

    if (question->standing == STANDING_TEMPERATURE)
        return temperature_question(question, before_c);
    if (question->standing == STANDING_SURE)
        return text_format("%s", observing_confirms(step, chosen));
    if (question->standing == STANDING_REASON)
        return text_format("why (or back, to type it again)?");
    switch (step->kind) {
    case STEP_MASS:
    case STEP_VOLUME:
        words = text_format("%s, %s:", amount_of(step), step_kind_units[step->kind]);
        text = numbered(question, words);
        free(words);
        return text;
    case STEP_CONCENTRATION:
        return numbered(question, "acid, mol/L:");
    case STEP_TEMPERATURE:
        return numbered(question, "temperature, degC:");
    case STEP_PH:
        return numbered(question, "pH and its temperature:");
    case STEP_PAPER:
        return numbered(question, "between which printed steps, and its temperature:");
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

    if (question->standing == STANDING_TEMPERATURE)
        return text_format("The temperature at which it was read, such as 40,1 or 104F.");
    switch (question->step->kind) {
    case STEP_MASS:
        return text_format(
            step_is_burette(question->step)
                ? "What one drop weighs in grams, or what some do: 20 drops 0.96 g."
                : "A mass in grams, such as 1,03. Ounces go as 0.5oz; acid may be counted, 23 drops.");
    case STEP_VOLUME:
        return text_format(step_is_burette(question->step)
                               ? "Millilitres, such as 0.1; of a dropper: drop 0.05 mL, or 20 drops 0.96 g."
                               : "A volume in millilitres, such as 1,25, or counted: 23 drops.");
    case STEP_CONCENTRATION:
        return text_format("A concentration in mol/L, such as 0.1.");
    case STEP_TEMPERATURE:
        return text_format("A temperature in degC, such as 40,1; or 104F.");
    case STEP_PH:
        return text_format(
            "What the meter shows, such as 9,87, or with the temperature behind it: 9,87 40,1");
    case STEP_PAPER:
        choices = bench->paper == NULL ? NULL : gear_steps_text(bench->paper);
        text = text_format(
            "Two printed steps, such as 8..9, or with the temperature behind them: 8..9 40. The "
            "steps are %s. A strip that was pressed on the wet bar instead: surface 9..10; that can "
            "warn, and never counts for a bar.",
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

void
guide_help(struct sentences *said, const struct question *question, const struct bench *bench)
{
    const struct procedure *procedure = &bench->procedure;
    char *first = help_for(question, bench);

    sentences_add(said, SENTENCE_PLAIN, first);
    sentences_addf(said, SENTENCE_PLAIN, "The method: %s", procedure->summary);
    if (procedure->follows != NULL)
        sentences_addf(said, SENTENCE_PLAIN, "Follows: %s", procedure->follows);
    for (size_t i = 0; i < procedure->cautions.count; i++)
        sentences_add(said, SENTENCE_CAUTION, procedure->cautions.items[i]);
    free(first);
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
    char number[NUMBER_TEXT_SIZE], high[NUMBER_TEXT_SIZE], *value;
    struct text words = {0};
    enum step_kind kind = question->step->kind;

    if (answer->outcome == ANSWER_SKIPPED)
        return text_format("left out (%s)", answer->why == NULL ? "" : answer->why);
    if (kind == STEP_CHOICE && !isnan(answer->value))
        return text_format("%s, %s", answer->text, answer->value > 0.0 ? "confirmed" : "not like lye");
    if (isnan(answer->value))
        return text_format("%s", answer->text == NULL ? "done" : answer->text);
    value = value_text(bench, kind, answer->value);
    if (kind == STEP_PAPER)
        text_addf(&words, "pH %s..%s", number_format(answer->value, number),
                  number_format(answer->value_high, high));
    else
        text_addf(&words, kind == STEP_PH ? "pH %s" : "%s %s", value, step_kind_units[kind]);
    if (kind == STEP_PAPER && answer->text != NULL && strcmp(answer->text, typed_on_surface) == 0)
        text_addf(&words, " %s", typed_on_surface);
    if (question_has_temperature(question) && !isnan(answer->temperature_c))
        text_addf(&words, " at %s degC", number_format(answer->temperature_c, number));
    free(value);
    return text_take(&words);
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

    text_add(&place, key);
    if (question->step->replicates > 1)
        text_addf(&place, " %d", question->replicate);
    if (question->cup != QUESTION_SESSION) {
        const char *bar = bench->specimens[question->cup].bar;

        text_addf(&place, " of %s%s%s", bench->codes[question->cup], bar == NULL ? "" : "/",
                  bar == NULL ? "" : bar);
    }
    free(key);
    return text_take(&place);
}

void
guide_finished(struct sentences *said, const struct bench *bench, const char *left_open)
{
    const char **verdict = codes_of(bench, "verdict");
    const char *const calibrate[] = {"calibrate", bench->meter == NULL ? NULL : bench->meter->name, NULL};

    sentences_addf(said, SENTENCE_HEADING, "Session %lld is finished.", (long long)bench->session.id);
    if (left_open != NULL)
        sentences_addf(said, SENTENCE_PLAIN, "Left open: %s", left_open);
    if (bench->specimen_count > 0)
        sentences_next(said, verdict, "%s", "");
    else if (bench->meter != NULL)
        sentences_next(said, calibrate, "with these values");
    free(verdict);
}

void
guide_left(struct sentences *said, const struct bench *bench)
{
    char *number = text_format("%lld", (long long)bench->session.id);
    const char *const resume[] = {"resume", number, NULL};

    sentences_addf(said, SENTENCE_HEADING, "Session %s is kept as far as it went.", number);
    sentences_next(said, resume, "%s", "");
    free(number);
}
