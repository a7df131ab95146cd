/* correct.c - "correct": put any record right. What was there stays on record, with the reason. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch_state.h"
#include "batch_store.h"
#include "commands.h"
#include "correct_check.h"
#include "correct_portion.h"
#include "correct_record.h"
#include "memory.h"
#include "number.h"
#include "session_store.h"
#include "text.h"

static const struct option_spec correct_options[] = {
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "the reason; needed, and kept"},
    {.name = "by", .kind = OPTION_TEXT, .value = "NAME", .help = "who puts it right"},
    {.name = "withdraw", .kind = OPTION_FLAG, .help = "the record does not count at all"},
    {.name = "without",
     .kind = OPTION_TEXT,
     .value = "OPTION",
     .many = true,
     .help = "this one of the options below was not stated, as in --without reference"},
    {.name = "at", .kind = OPTION_TIME, .value = "TIME", .help = "when it was, as in 2026-03-04T10:00"},
    {.name = "note", .kind = OPTION_TEXT, .value = "TEXT", .help = "whatever should be remembered"},
    {.name = "ph",
     .kind = OPTION_PH,
     .value = "PH",
     .low = PH_LOWEST,
     .high = PH_HIGHEST,
     .help = "what the meter did show, at a bar, in a buffer or in the water"},
    {.name = "between", .kind = OPTION_TEXT, .value = "LOW..HIGH", .help = "what the paper did show"},
    {.name = "temperature-c",
     .kind = OPTION_TEMPERATURE,
     .value = "DEGC",
     .low = READING_LOWEST_C,
     .high = READING_HIGHEST_C,
     .help = "the temperature it did have"},
    {.name = "gear",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "the meter, paper or balance that it was made with"},
    {.name = "calibration",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .low = 1,
     .high = 1e15,
     .help = "the calibration that a reading rests on, whatever the times say"},
    {.name = "portion",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .low = 1,
     .high = 1e15,
     .help = "the portion that a reading is of"},
    {.name = "batch", .kind = OPTION_TEXT, .value = "CODE", .help = "the batch that it is of"},
    {.name = "bar", .kind = OPTION_TEXT, .value = "LABEL", .help = "the bar that it is of"},
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
     .help = "the mass of the portion: of a titration, or one that was not written down"},
    {.name = "water-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0,
     .high = 1e5,
     .help = "and of the water it was dissolved in"},
    {.name = "weighing", .kind = OPTION_FLAG, .help = "NUMBER is a weighing (batch show lists them)"},
    {.name = "mass-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .help = "of a weighing or a line of a recipe: the mass it did have"},
    {.name = "purity", .kind = OPTION_TEXT, .value = "PERCENT", .help = "of a lye or acid of a recipe"},
    {.name = "name", .kind = OPTION_TEXT, .value = "NAME", .help = "of gear, or of a line of a recipe"},
    {.name = "code", .kind = OPTION_TEXT, .value = "CODE", .help = "of a batch; the old one still finds it"},
    {.name = "title", .kind = OPTION_TEXT, .value = "TEXT", .help = "of a batch"},
    {.name = "poured", .kind = OPTION_DAY, .value = "DATE", .help = "the day a batch was poured"},
    {.name = "role",
     .kind = OPTION_TEXT,
     .value = "ROLE",
     .help = "of a batch: ordinary, control, variant or lye-heavy"},
    {.name = "reference",
     .kind = OPTION_TEXT,
     .value = "CODE",
     .help = "the batch that one is compared with"},
    {.name = "acid-mol-l", .kind = OPTION_NUMBER, .value = "MOL", .help = "of a titration: the acid"},
    {.name = "volume-ml", .kind = OPTION_NUMBER, .value = "ML", .help = "of a titration: the acid used"},
    {.name = "blank-ml", .kind = OPTION_NUMBER, .value = "ML", .help = "of a titration: the blank"},
    {.name = "burette-ml", .kind = OPTION_NUMBER, .value = "ML", .help = "of a titration: smallest division"},
    {.name = "method", .kind = OPTION_TEXT, .value = "TEXT", .help = "of a titration: how"},
    {.name = "word", .kind = OPTION_TEXT, .value = "WORD", .help = "of an observation: what was seen"},
    {.name = "buffer", .kind = OPTION_TEXT, .value = "NAME", .help = "which buffer it was"},
    {.name = "mv", .kind = OPTION_NUMBER, .value = "MV", .help = "the potential shown in a buffer"},
    {.name = "resolution-ph", .kind = OPTION_PH, .value = "PH", .help = "of a meter: its last digit"},
    {.name = "accuracy-ph", .kind = OPTION_PH, .value = "PH", .help = "of a meter: its stated accuracy"},
    {.name = "steps", .kind = OPTION_TEXT, .value = "LIST", .help = "of a paper: its printed steps"},
    {.name = "readability-g", .kind = OPTION_MASS, .value = "GRAMS", .help = "of a balance: its last digit"},
    {.name = "resolution-c", .kind = OPTION_NUMBER, .value = "DEGC", .help = "of a thermometer"},
    {.name = "accuracy-c", .kind = OPTION_NUMBER, .value = "DEGC", .help = "of a thermometer"},
    {.name = "expires", .kind = OPTION_DAY, .value = "DATE", .help = "until when paper or a bottle is good"},
    {.name = "due", .kind = OPTION_DAY, .value = "DATE", .help = "of a plan: when it is due"},
    {.name = "what", .kind = OPTION_TEXT, .value = "TEXT", .help = "of a plan: what is to be done"},
    {.name = NULL},
};

static enum status
unknown_record(const char *word, struct failure *failure)
{
    struct text known = {0};

    for (const struct correctable *record = correctables; record->word != NULL; record++)
        text_addf(&known, "%s%s", known.length == 0 ? "" : ", ", record->word);
    failure_set(failure, STATUS_USAGE, "'%.40s' is nothing that can be put right; there is %s, and recipe",
                word, text_of(&known));
    text_clear(&known);
    return STATUS_USAGE;
}

/* "correct 12" is a reading, with --weighing a weighing; "correct gear bench" says which record. */
static enum status
find_record(const struct options *options, const struct correctable **ret_record, struct failure *failure)
{
    bool named = options_name_count(options) == 2;

    *ret_record = correctable_find(named                              ? options_name(options, 0)
                                   : options_has(options, "weighing") ? "weighing"
                                                                      : "reading");
    if (*ret_record == NULL)
        return unknown_record(options_name(options, 0), failure);
    if (named && options_has(options, "weighing"))
        return failure_set(failure, STATUS_USAGE, "--weighing goes with a number alone");
    if (!named && correctable_find(options_name(options, 0)) != NULL)
        return failure_set(failure, STATUS_USAGE, "which %s? correct %s NUMBER", (*ret_record)->word,
                           options_name(options, 0));
    return STATUS_OK;
}

/* The concentration of a portion, said by one of its readings. */
static bool
is_portion(const struct options *options, const struct correctable *record)
{
    return strcmp(record->word, "reading") == 0 && correct_portion_asked(options);
}

static enum status
check_options(const struct options *options, const struct correctable *record, struct failure *failure)
{
    const char *why = options_text(options, "why");

    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "say why: --why \"misread 9.78 as 9.87\"");
    return is_portion(options, record) ? correct_portion_check(options, failure)
                                       : correct_record_check(options, record, failure);
}

/* Inside a transaction. */
static enum status
correct_concentration(struct context *context, const struct options *options, int64_t id,
                      struct failure *failure)
{
    struct reading reading = {0};
    struct standings before = {0};
    char *code = NULL;
    char *cause =
        text_format("the concentration of a portion was put right: %s", options_text(options, "why"));
    struct correct_target target = {.record = correctable_find("reading"), .number = id};
    enum status status = reading_store_find(context->store, id, &reading, failure);

    if (status == STATUS_OK && reading.superseded_by != 0)
        status =
            failure_set(failure, STATUS_CONFLICT, "reading %lld was corrected already; correct reading %lld",
                        (long long)id, (long long)reading.superseded_by);
    if (status == STATUS_OK)
        status = correct_check_find(context, &target, failure);
    if (status == STATUS_OK)
        status = batch_store_of_portion(context->store, reading.specimen_id, &code, failure);
    if (status == STATUS_OK)
        status = standings_add(context->store, (const char *const[]){code}, 1, &before, failure);
    if (status == STATUS_OK)
        status = correct_portion(context, options, &reading, failure);
    if (status == STATUS_OK)
        status = batch_state_after_change(context, &before, cause, failure);
    standings_clear(&before);
    reading_clear(&reading);
    free(cause);
    free(code);
    return status;
}

static enum status
run_concentration(struct context *context, const struct options *options, const char *name,
                  struct failure *failure)
{
    struct held_words held;
    double number = NAN;
    enum status status =
        number_parse_in(name, NUMBER_POINT, "the number of what is corrected", 1, 1e15, &number, failure);

    if (status == STATUS_OK)
        status = context_begin(context, &held, failure);
    if (status != STATUS_OK)
        return status;
    status = correct_concentration(context, options, (int64_t)number, failure);
    return context_commit(context, &held, status, failure);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    const struct correctable *record = NULL;
    const char *name = options_name(options, options_name_count(options) - 1);
    enum status status = find_record(options, &record, failure);

    if (status == STATUS_OK)
        status = check_options(options, record, failure);
    if (status != STATUS_OK)
        return status;
    return is_portion(options, record) ? run_concentration(context, options, name, failure)
                                       : correct_record(context, options, record, name, failure);
}

const struct command correct_command = {
    .name = "correct",
    .names = "[WHAT] NUMBER --why TEXT",
    .fewest = 1,
    .most = 2,
    .summary =
        "put any record right: a reading, or WHAT (calibration, buffer, batch, gear, ...); what was there "
        "stays, with the reason",
    .example = "curetrace correct 12 --ph 9.78 --why \"misread 9.78 as 9.87\"",
    .options = correct_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run,
};
