/* step_check.c - what a procedure must be as a whole, once all its lines are read. */
#include "step_check.h"

#include <math.h>
#include <stdarg.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "bounds.h"
#include "buffer.h"
#include "memory.h"
#include "observing.h"
#include "weighed_acid.h"

enum { MISTAKES_MOST = 200 };

#define KIND(kind) (1U << (kind))
#define MEASURED                                                                                             \
    (KIND(STEP_MASS) | KIND(STEP_VOLUME) | KIND(STEP_CONCENTRATION) | KIND(STEP_TEMPERATURE) | KIND(STEP_PH))

void
mistake_at(struct mistakes *mistakes, int line, const char *format, ...)
{
    va_list arguments;
    char words[800], *visible;

    mistakes->count++;
    if (mistakes->count > MISTAKES_MOST)
        return;
    va_start(arguments, format);
    vsnprintf(words, sizeof words, format, arguments);
    va_end(arguments);
    visible = text_visible(words);
    if (mistakes->list != NULL)
        text_addf(mistakes->list, "%s:%d: %s\n", mistakes->file, line, visible);
    if (mistakes->count == 1)
        snprintf(mistakes->first, sizeof mistakes->first, "%.100s:%d: %.380s", mistakes->file, line, visible);
    free(visible);
}

/* Keys that belong to some kinds of step only. */
static const struct {
    int key;
    const char *name;
    unsigned kinds;
} belongs[] = {
    {STEP_RECORDING, "records", MEASURED | KIND(STEP_PAPER) | KIND(STEP_CHOICE) | KIND(STEP_DO)},
    {STEP_TARGET, "target", MEASURED},
    {STEP_TOLERANCE, "tolerance", MEASURED},
    {STEP_UNIT, "unit", MEASURED | KIND(STEP_PAPER) | KIND(STEP_WAIT)},
    {STEP_REPLICATES, "replicates", MEASURED | KIND(STEP_PAPER)},
    {STEP_DURATION, "duration_s", KIND(STEP_WAIT)},
    {STEP_CHOICES, "choices", KIND(STEP_CHOICE)},
    {STEP_EXPECTED, "expected", KIND(STEP_CHOICE)},
    {STEP_MEANINGS, "meanings", KIND(STEP_CHOICE)},
    {STEP_BUFFER, "buffer", KIND(STEP_PH)},
};

/* Which kinds and which scope can record what. */
static const struct {
    unsigned kinds;
    int scope; /* -1: either */
} records_fit[STEP_RECORDS] = {
    [RECORDS_ANSWER] = {~0U, -1},
    [RECORDS_SOAP] = {KIND(STEP_MASS), STEP_SPECIMEN},
    [RECORDS_WATER] = {KIND(STEP_MASS), STEP_SPECIMEN},
    [RECORDS_READING] = {KIND(STEP_PH) | KIND(STEP_PAPER), STEP_SPECIMEN},
    [RECORDS_WATER_CHECK] = {KIND(STEP_PH) | KIND(STEP_CHOICE), STEP_SESSION},
    [RECORDS_METER_CHECK] = {KIND(STEP_CHOICE) | KIND(STEP_DO) | KIND(STEP_PH), STEP_SESSION},
    [RECORDS_SOLUTION_TEMPERATURE] = {KIND(STEP_TEMPERATURE), STEP_SPECIMEN},
    [RECORDS_ACID] = {KIND(STEP_CONCENTRATION), -1},
    [RECORDS_BLANK] = {KIND(STEP_VOLUME) | KIND(STEP_MASS), -1},
    [RECORDS_TITRANT] = {KIND(STEP_VOLUME) | KIND(STEP_MASS), STEP_SPECIMEN},
    [RECORDS_WATER_KIND] = {KIND(STEP_CHOICE), STEP_SESSION},
    [RECORDS_UNDISSOLVED] = {KIND(STEP_CHOICE), STEP_SPECIMEN},
    [RECORDS_BAR_LOOK] = {KIND(STEP_CHOICE), STEP_SPECIMEN},
    [RECORDS_CITRIC] = {KIND(STEP_MASS), STEP_SESSION},
    [RECORDS_CITRIC_FORM] = {KIND(STEP_CHOICE), STEP_SESSION},
    [RECORDS_ACID_WATER] = {KIND(STEP_MASS), STEP_SESSION},
};

static bool
given(unsigned marks, int key)
{
    return (marks & 1U << key) != 0;
}

static void
check_procedure(const struct procedure *procedure, const struct step_marks *marks, struct mistakes *mistakes)
{
    int line = marks->procedure_line;
    struct failure wrong = {0};

    if (line == 0) {
        mistake_at(mistakes, 1, "there is no [procedure] section");
        return;
    }
    if (procedure->title == NULL || *procedure->title == '\0')
        mistake_at(mistakes, line, "[procedure] needs a title");
    if (procedure->summary == NULL || *procedure->summary == '\0')
        mistake_at(mistakes, line, "[procedure] needs a summary");
    if (!given(marks->procedure_given, PROCEDURE_APPLIES))
        mistake_at(mistakes, line, "[procedure] needs 'applies': soap-solution, meter or titration");
    if (procedure->cautions.count == 0)
        mistake_at(mistakes, line, "[procedure] needs cautions, at least one");
    if (bounds_check(procedure->usual_low_ph, procedure->clear_ph, procedure->limit_ph, &wrong) != STATUS_OK)
        mistake_at(mistakes, line, "%s", wrong.text);
    if (procedure->step_count == 0)
        mistake_at(mistakes, line, "there is no step");
}

static void
check_records(const struct step *step, struct mistakes *mistakes)
{
    const char *word = step_records_words[step->records];

    if ((records_fit[step->records].kinds & KIND(step->kind)) == 0)
        mistake_at(mistakes, step->line, "step '%s': a step of kind %s cannot record '%s'", step->key,
                   step_kind_words[step->kind], word);
    else if (records_fit[step->records].scope >= 0 && records_fit[step->records].scope != (int)step->scope)
        mistake_at(mistakes, step->line, "step '%s': '%s' is recorded for a %s, but the scope is %s",
                   step->key, word, step_scope_words[records_fit[step->records].scope],
                   step_scope_words[step->scope]);
    if (step->records == RECORDS_WATER && !isnan(step->target))
        mistake_at(mistakes, step->line,
                   "step '%s': the mass of water is computed from the portion, it has no target", step->key);
    if ((step->records == RECORDS_SOAP || step->records == RECORDS_WATER) && step->replicates > 1)
        mistake_at(mistakes, step->line, "step '%s': a specimen has one mass of %s, not %d", step->key, word,
                   step->replicates);
}

/* Each word, up to its colon, is one of the choices. */
static void
check_among_choices(const struct step *step, const struct words *words, const char *what,
                    struct mistakes *mistakes)
{
    for (size_t i = 0; i < words->count; i++) {
        size_t length = strcspn(words->items[i], ":");
        bool found = false;

        for (size_t j = 0; j < step->choices.count; j++)
            found = found || (strlen(step->choices.items[j]) == length &&
                              text_same_start(words->items[i], step->choices.items[j], length));
        if (!found)
            mistake_at(mistakes, step->line, "step '%s': '%.*s' is %s, but it is not among the choices",
                       step->key, (int)length, words->items[i], what);
    }
}

static void
check_choices(const struct step *step, struct mistakes *mistakes)
{
    struct failure unknown = {0};
    enum citric_form form;

    if (step->choices.count < 2)
        mistake_at(mistakes, step->line, "step '%s': a choice needs two choices or more", step->key);
    for (size_t i = 0; i < step->choices.count; i++) {
        const char *choice = step->choices.items[i];

        if (answer_text_word(choice, NULL) != ANSWER_WORD_NONE)
            mistake_at(mistakes, step->line,
                       "step '%s': '%s' is a word of the walk-through, it cannot be a choice", step->key,
                       choice);
        for (size_t j = 0; j < i; j++)
            if (text_same(choice, step->choices.items[j]))
                mistake_at(mistakes, step->line, "step '%s': '%s' is there twice", step->key, choice);
        if ((observing_records(step) && !observing_knows(step->records, choice)) ||
            (step->records == RECORDS_CITRIC_FORM && citric_form_parse(choice, &form, &unknown) != STATUS_OK))
            mistake_at(mistakes, step->line, "step '%s': '%s' cannot be recorded as '%s'", step->key, choice,
                       step_records_words[step->records]);
    }
    check_among_choices(step, &step->expected, "expected", mistakes);
    check_among_choices(step, &step->meanings, "explained", mistakes);
}

static void
check_numbers(const struct step *step, struct mistakes *mistakes)
{
    struct failure failure = {0};
    const struct buffer *buffer;

    if (step->kind == STEP_PH && (step->target > 14 || step->tolerance > 14))
        mistake_at(mistakes, step->line, "step '%s': a pH lies between 0 and 14", step->key);
    if (step->kind == STEP_TEMPERATURE && (step->target > 100 || step->tolerance > 100))
        mistake_at(mistakes, step->line, "step '%s': a temperature lies between 0 and 100 degC", step->key);
    if (step->buffer != NULL && buffer_find(step->buffer, &buffer, &failure) != STATUS_OK)
        mistake_at(mistakes, step->line, "step '%s': %s", step->key, failure.text);
    if (step->buffer != NULL && !isnan(step->target))
        mistake_at(mistakes, step->line,
                   "step '%s': the pH of a buffer comes from its table, it has no target", step->key);
    if (!isnan(step->tolerance) && isnan(step->target) && step->buffer == NULL)
        mistake_at(mistakes, step->line, "step '%s': a tolerance needs a target", step->key);
}

static void
check_step(const struct step *step, unsigned marks, const char *unit, struct mistakes *mistakes)
{
    if (step->text == NULL || *step->text == '\0')
        mistake_at(mistakes, step->line, "step '%s' needs a text", step->key);
    if (!given(marks, STEP_KIND)) {
        mistake_at(mistakes, step->line, "step '%s' needs a kind", step->key);
        return; /* what follows depends on it */
    }
    for (size_t i = 0; i < LENGTH(belongs); i++)
        if (given(marks, belongs[i].key) && (belongs[i].kinds & KIND(step->kind)) == 0)
            mistake_at(mistakes, step->line, "step '%s': '%s' does not belong to a step of kind %s",
                       step->key, belongs[i].name, step_kind_words[step->kind]);
    if (given(marks, STEP_UNIT) && strcmp(unit, step_kind_units[step->kind]) != 0)
        mistake_at(mistakes, step->line, "step '%s': the unit of kind %s is %s, not '%s'", step->key,
                   step_kind_words[step->kind], step_kind_units[step->kind], unit);
    if (step->kind == STEP_WAIT && step->duration_s == 0)
        mistake_at(mistakes, step->line, "step '%s': a wait needs duration_s", step->key);
    if (step->kind == STEP_CHOICE)
        check_choices(step, mistakes);
    if (step->round != NULL && step->scope == STEP_SESSION)
        mistake_at(mistakes, step->line, "step '%s': a round is of steps for a specimen, not for the session",
                   step->key);
    check_numbers(step, mistakes);
    check_records(step, mistakes);
}

static const struct step *
first_that_records(const struct procedure *procedure, enum step_records records)
{
    for (size_t i = 0; i < procedure->step_count; i++)
        if (procedure->steps[i].records == records)
            return &procedure->steps[i];
    return NULL;
}

/* Rules 1 and 2 of procedure.h, and what must come before what. */
static void
check_order(const struct procedure *procedure, struct mistakes *mistakes)
{
    const struct step *soap = first_that_records(procedure, RECORDS_SOAP);
    const struct step *water = first_that_records(procedure, RECORDS_WATER);
    size_t first = procedure->step_count, last = 0;

    for (size_t i = 0; i < procedure->step_count; i++) {
        if (procedure->steps[i].scope != STEP_SPECIMEN)
            continue;
        first = first < i ? first : i;
        last = i;
    }
    for (size_t i = first; i < last; i++)
        if (procedure->steps[i].scope == STEP_SESSION)
            mistake_at(mistakes, procedure->steps[i].line,
                       "step '%s' is for the session but stands between steps for a specimen",
                       procedure->steps[i].key);
    if (water != NULL && (soap == NULL || soap > water))
        mistake_at(mistakes, water->line,
                   "step '%s': the water is computed from the portion, weigh that first", water->key);
    for (size_t i = 0; i < procedure->step_count; i++) {
        const struct step *step = &procedure->steps[i];

        if ((step->records == RECORDS_SOAP && step != soap) ||
            (step->records == RECORDS_WATER && step != water))
            mistake_at(mistakes, step->line, "step '%s': '%s' is weighed a second time", step->key,
                       step_records_words[step->records]);
        if (procedure->subject == PROCEDURE_METER && step->scope == STEP_SPECIMEN)
            mistake_at(mistakes, step->line, "step '%s': a procedure for the meter has no specimen",
                       step->key);
    }
}

/* The acid is told in one way, and its blank like it: a mass is no volume. */
static void
check_titration(const struct procedure *procedure, struct mistakes *mistakes)
{
    const struct step *titrant = first_that_records(procedure, RECORDS_TITRANT),
                      *acid = first_that_records(procedure, RECORDS_ACID),
                      *citric = first_that_records(procedure, RECORDS_CITRIC);

    if (acid != NULL && citric != NULL)
        mistake_at(mistakes, citric->line, "step '%s': the acid's strength is asked by step '%s' already",
                   citric->key, acid->key);
    for (size_t i = 0; titrant != NULL && i < procedure->step_count; i++) {
        const struct step *step = &procedure->steps[i];

        if ((step->records == RECORDS_BLANK || step_is_burette(step)) && step->kind != titrant->kind)
            mistake_at(mistakes, step->line, "step '%s' is of kind %s, but the acid is of kind %s", step->key,
                       step_kind_words[step->kind], step_kind_words[titrant->kind]);
    }
}

void
step_check_all(struct procedure *procedure, const struct step_marks *marks, struct mistakes *mistakes)
{
    for (size_t i = 0; i < procedure->step_count; i++) {
        struct step *step = &procedure->steps[i];

        if (procedure->subject == PROCEDURE_METER && !given(marks->step_given[i], STEP_SCOPE))
            step->scope = STEP_SESSION;
    }
    check_procedure(procedure, marks, mistakes);
    for (size_t i = 0; i < procedure->step_count; i++)
        check_step(&procedure->steps[i], marks->step_given[i], marks->unit[i], mistakes);
    check_order(procedure, mistakes);
    check_titration(procedure, mistakes);
}
