/* correct.c - "correct": put a reading, a weighing or a titration right. The wrong one stays on record,
 * superseded, with the reason. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "batch_state.h"
#include "batch_store.h"
#include "commands.h"
#include "correct_portion.h"
#include "gear_store.h"
#include "memory.h"
#include "number.h"
#include "session_store.h"
#include "text.h"

static const struct option_spec correct_options[] = {
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "the reason; needed, and kept"},
    {.name = "ph",
     .kind = OPTION_PH,
     .value = "PH",
     .low = PH_LOWEST,
     .high = PH_HIGHEST,
     .help = "what the meter did show"},
    {.name = "between", .kind = OPTION_TEXT, .value = "LOW..HIGH", .help = "what the paper did show"},
    {.name = "temperature-c",
     .kind = OPTION_TEMPERATURE,
     .value = "DEGC",
     .low = READING_LOWEST_C,
     .high = READING_HIGHEST_C,
     .help = "the temperature it did have"},
    {.name = "percent",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = STATED_LOWEST_PCT,
     .high = STATED_HIGHEST_PCT,
     .help = "the soap in the solution, by mass, of all readings of this portion"},
    {.name = "soap-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0,
     .high = 1e5,
     .help = "or the mass of the portion that was not written down"},
    {.name = "water-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0,
     .high = 1e5,
     .help = "and of the water it was dissolved in"},
    {.name = "withdraw", .kind = OPTION_FLAG, .help = "the reading does not count at all"},
    {.name = "weighing", .kind = OPTION_FLAG, .help = "NUMBER is a weighing (batch show lists them)"},
    {.name = "mass-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .help = "with --weighing: the mass it did have"},
    {.name = NULL},
};

static enum status
check_options(const struct options *options, struct failure *failure)
{
    const char *why = options_text(options, "why");
    bool value = options_has(options, "ph") || options_has(options, "between") ||
                 options_has(options, "temperature-c");

    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "say why: --why \"misread 9.78 as 9.87\"");
    if (correct_portion_asked(options))
        return correct_portion_check(options, failure);
    if (options_has(options, "weighing")) {
        if (value || options_has(options, "withdraw") || !options_has(options, "mass-g"))
            return failure_set(failure, STATUS_USAGE, "--weighing takes --mass-g and --why");
        return STATUS_OK;
    }
    if (options_has(options, "mass-g"))
        return failure_set(failure, STATUS_USAGE, "--mass-g goes with --weighing");
    if (value == options_has(options, "withdraw"))
        return failure_set(failure, STATUS_USAGE,
                           "say what is right (--ph, --between, --temperature-c, --percent), or that it is "
                           "withdrawn (--withdraw)");
    return STATUS_OK;
}

static enum status
parse_number(const char *text, int64_t *ret_number, struct failure *failure)
{
    double number = NAN;
    enum status status =
        number_parse_in(text, NUMBER_POINT, "the number of what is corrected", 1, 1e15, &number, failure);

    if (status == STATUS_OK)
        *ret_number = (int64_t)number;
    return status;
}

static enum status
put_range(struct store *store, const struct options *options, struct reading *reading,
          struct failure *failure)
{
    struct gear *gear = NULL;
    size_t count = 0;
    double with_it_c = NAN;
    enum status status = gear_store_list(store, &gear, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK && gear[i].id == reading->gear_id)
            status = answer_text_range(options_text(options, "between"), &gear[i], &reading->ph_low,
                                       &reading->ph_high, &with_it_c, failure);
        gear_clear(&gear[i]);
    }
    free(gear);
    if (status == STATUS_OK && !isnan(with_it_c))
        status = failure_set(failure, STATUS_USAGE, "write the temperature as --temperature-c");
    return status;
}

/* Change a copy of the old reading into the new one. */
static enum status
put_right(struct store *store, const struct options *options, struct reading *reading,
          struct failure *failure)
{
    bool meter = reading->method == READING_METER;

    reading->supersedes = reading->id;
    free(reading->why);
    reading->why = memory_copy(options_text(options, "why"));
    if (options_has(options, "withdraw")) {
        reading->withdrawn = true;
        reading->ph = reading->ph_low = reading->ph_high = NAN;
        return STATUS_OK;
    }
    if (options_has(options, meter ? "between" : "ph"))
        return failure_set(failure, STATUS_CONFLICT, "reading %lld is of %s: give %s", (long long)reading->id,
                           meter ? "a meter" : "paper", meter ? "--ph" : "--between");
    if (options_has(options, "temperature-c"))
        reading->temperature_c = options_number(options, "temperature-c");
    if (options_has(options, "ph"))
        reading->ph = options_number(options, "ph");
    if (options_has(options, "between"))
        return put_range(store, options, reading, failure);
    return STATUS_OK;
}

/* What a correction changes may hold its batch. */
static enum status
judge_again(struct context *context, int64_t specimen_id, struct failure *failure)
{
    struct specimen specimen = {0};
    char *code = NULL;
    enum status status = specimen_store_find(context->store, specimen_id, &specimen, failure);

    if (status == STATUS_OK)
        status = batch_store_code(context->store, specimen.batch_id, &code, failure);
    if (status == STATUS_OK)
        status = batch_state_after_results(context, (const char *const[]){code}, 1,
                                           (struct filed_sessions){specimen.session_id, specimen.session_id},
                                           failure);
    specimen_clear(&specimen);
    free(code);
    return status;
}

/* While a walk-through goes on it is the place to correct: it knows what was typed there, and would file that
 * again over a correction made behind its back. */
static enum status
check_finished(struct store *store, int64_t specimen_id, struct failure *failure)
{
    struct specimen specimen = {0};
    struct session session = {0};
    enum status status = specimen_store_find(store, specimen_id, &specimen, failure);

    if (status == STATUS_OK)
        status = session_store_find(store, specimen.session_id, &session, failure);
    if (status == STATUS_OK && session.procedure_id != 0 && session.finished_at == MOMENT_NONE)
        status =
            failure_set(failure, STATUS_CONFLICT,
                        "session %lld is not finished: curetrace resume %lld, and back corrects it there",
                        (long long)session.id, (long long)session.id);
    specimen_clear(&specimen);
    session_clear(&session);
    return status;
}

/* What the reading itself says. */
static enum status
correct_values(struct context *context, const struct options *options, struct reading *reading,
               struct failure *failure)
{
    enum status status = put_right(context->store, options, reading, failure);

    if (status == STATUS_OK)
        status = reading_store_add(context->store, reading, failure);
    if (status == STATUS_OK)
        fprintf(context->out, "reading %lld is %s by %lld; the old one stays on record\n",
                (long long)reading->supersedes, reading->withdrawn ? "withdrawn" : "superseded",
                (long long)reading->id);
    return status;
}

static enum status
correct_reading(struct context *context, const struct options *options, int64_t id, struct failure *failure)
{
    struct reading reading;
    enum status status = reading_store_find(context->store, id, &reading, failure);

    if (status != STATUS_OK)
        return status;
    if (reading.superseded_by != 0)
        status =
            failure_set(failure, STATUS_CONFLICT, "reading %lld was corrected already; correct reading %lld",
                        (long long)id, (long long)reading.superseded_by);
    else if (reading.withdrawn)
        status = failure_set(failure, STATUS_CONFLICT,
                             "reading %lld is a withdrawal; file a new reading instead", (long long)id);
    else
        status = check_finished(context->store, reading.specimen_id, failure);
    if (status == STATUS_OK)
        status = correct_portion_asked(options) ? correct_portion(context, options, &reading, failure)
                                                : correct_values(context, options, &reading, failure);
    if (status == STATUS_OK)
        status = judge_again(context, reading.specimen_id, failure);
    reading_clear(&reading);
    return status;
}

static enum status
file_weighing(struct store *store, struct weighing *weighing, struct failure *failure)
{
    enum status status = weighing_store_add(store, weighing, failure);

    if (status == STATUS_CONFLICT)
        failure_set(failure, STATUS_CONFLICT, "weighing %lld was corrected already",
                    (long long)weighing->supersedes);
    return status;
}

static enum status
correct_weighing(struct context *context, const struct options *options, int64_t id, struct failure *failure)
{
    struct weighing weighing;
    enum status status = weighing_store_find(context->store, id, &weighing, failure);

    if (status != STATUS_OK)
        return status;
    weighing.supersedes = id;
    weighing.mass_g = options_number(options, "mass-g");
    free(weighing.why);
    weighing.why = memory_copy(options_text(options, "why"));
    if (!(weighing.mass_g > 0.0 && weighing.mass_g <= 1e5))
        status = failure_set(failure, STATUS_RANGE, "--mass-g is %g, allowed is above 0 to 100000",
                             weighing.mass_g);
    if (status == STATUS_OK)
        status = check_finished(context->store, weighing.specimen_id, failure);
    if (status == STATUS_OK)
        status = file_weighing(context->store, &weighing, failure);
    if (status == STATUS_OK)
        fprintf(context->out, "weighing %lld is superseded by %lld; the old one stays on record\n",
                (long long)id, (long long)weighing.id);
    if (status == STATUS_OK)
        status = judge_again(context, weighing.specimen_id, failure);
    weighing_clear(&weighing);
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct held_words held;
    int64_t id = 0;
    enum status status = check_options(options, failure);

    if (status == STATUS_OK)
        status = parse_number(options_name(options, 0), &id, failure);
    if (status != STATUS_OK)
        return status;
    status = context_begin(context, &held, failure);
    if (status != STATUS_OK)
        return status;
    status = options_has(options, "weighing") ? correct_weighing(context, options, id, failure)
                                              : correct_reading(context, options, id, failure);
    return context_commit(context, &held, status, failure);
}

const struct command correct_command = {
    .name = "correct",
    .names = "NUMBER --why TEXT",
    .fewest = 1,
    .most = 1,
    .summary =
        "put a reading, a weighing or a portion's concentration right; what was there stays, with the reason",
    .example = "curetrace correct 12 --ph 9.78 --why \"misread 9.78 as 9.87\"",
    .options = correct_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run,
};
