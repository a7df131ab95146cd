/* read.c - "read": single meter or paper readings without the walk-through.
 *
 * Rules
 * (1) Everything one command line says is one session with one specimen, filed in one transaction.
 * (2) --session N adds to an earlier such session, as further replicates of its specimen of the batch, within a day of
 *     the others: a cup that stands takes up carbon dioxide.
 * (3) What a judgement needs and nobody said is asked at a terminal, once a sitting: which water, and was soap left
 *     undissolved? Elsewhere it stays unsaid.
 * (4) A meter reading is tied to the calibration in force at its time (session_store.h). */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "answer_text.h"
#include "at_reference.h"
#include "batch_state.h"
#include "batches_named.h"
#include "commands.h"
#include "dilution.h"
#include "gear_store.h"
#include "interrupt.h"
#include "listing.h"
#include "memory.h"
#include "observation_store.h"
#include "prompt.h"
#include "screen.h"
#include "session_store.h"
#include "text.h"
#include "verdict_text.h"

static const struct option_spec read_options[] = {
    {.name = "meter",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "which meter; the only one when not said"},
    {.name = "ph",
     .kind = OPTION_PH,
     .value = "PH",
     .many = true,
     .low = PH_LOWEST,
     .high = PH_HIGHEST,
     .help = "what the meter showed; written again for each replicate"},
    {.name = "paper",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "which paper; the only one when not said"},
    {.name = "between",
     .kind = OPTION_TEXT,
     .value = "LOW..HIGH",
     .help = "paper: the printed steps the colour lies between, as in 8..9"},
    {.name = "surface",
     .kind = OPTION_FLAG,
     .help = "with --between: the strip was pressed on the wet bar; it can warn, and never counts for a bar"},
    {.name = "temperature-c",
     .kind = OPTION_TEMPERATURE,
     .value = "DEGC",
     .low = READING_LOWEST_C,
     .high = READING_HIGHEST_C,
     .help = "of the solution while it was read"},
    {.name = "percent",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = STATED_LOWEST_PCT,
     .high = STATED_HIGHEST_PCT,
     .help = "soap in the solution, by mass, as told"},
    {.name = "soap-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0,
     .high = 1e5,
     .help = "or as weighed: the portion of soap"},
    {.name = "water-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 0,
     .high = 1e5,
     .help = "and the water it was dissolved in"},
    {.name = "balance", .kind = OPTION_TEXT, .value = "NAME", .help = "which balance weighed them"},
    {.name = "bar", .kind = OPTION_TEXT, .value = "TEXT", .help = "which bar of the batch"},
    {.name = "at",
     .kind = OPTION_TIME,
     .value = "TIME",
     .help = "when it was read, as in 2026-03-04T10:00; now"},
    {.name = "session",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .help = "add to this earlier session, or sitting at the bench, instead of beginning one"},
    {.name = "limit-ph",
     .kind = OPTION_PH,
     .value = "PH",
     .low = 7,
     .high = LIMIT_PH_USUAL,
     .help = "lye-heavy above; 11 when not said, and never more"},
    {.name = "clear-ph",
     .kind = OPTION_PH,
     .value = "PH",
     .low = 7,
     .high = CLEAR_PH_YOUNG,
     .help = "within only below; by the age when not said (10.7, from day 28 on 10.5), and never more"},
    {.name = "water",
     .kind = OPTION_TEXT,
     .value = "WORD",
     .help = "which water the soap was dissolved in: distilled, deionised or other"},
    {.name = "water-ph",
     .kind = OPTION_PH,
     .value = "PH",
     .low = PH_LOWEST,
     .high = PH_HIGHEST,
     .help = "its own pH, where that was looked at"},
    {.name = "undissolved", .kind = OPTION_FLAG, .help = "some soap was left undissolved"},
    {.name = "dissolved", .kind = OPTION_FLAG, .help = "all of it dissolved: said, so it is not asked"},
    {.name = "by", .kind = OPTION_TEXT, .value = "NAME", .help = "who read"},
    {.name = "note", .kind = OPTION_TEXT, .value = "TEXT", .help = "kept with the readings"},
    {.name = NULL},
};

/* What one command line brings together before anything is written. */
struct entry {
    struct batch batch;
    struct session session;
    struct specimen specimen;
    struct gear meter, paper, balance;
    double paper_low, paper_high;
    civil_time at;
    int replicate; /* the first free number */
    char *water;   /* a word of observation.h; NULL: not said. Owned */
    bool undissolved;
};

static void
entry_clear(struct entry *entry)
{
    batch_clear(&entry->batch);
    session_clear(&entry->session);
    specimen_clear(&entry->specimen);
    gear_clear(&entry->meter);
    gear_clear(&entry->paper);
    gear_clear(&entry->balance);
    free(entry->water);
}

static enum status
find_gear(struct store *store, enum gear_kind kind, const char *name, struct gear *gear,
          struct failure *failure)
{
    return name != NULL ? gear_store_find(store, kind, name, gear, failure)
                        : gear_store_only(store, kind, gear, failure);
}

/* Do the options make sense together? */
static enum status
check_options(const struct options *options, struct failure *failure)
{
    bool masses = options_has(options, "soap-g") || options_has(options, "water-g");
    double temperature_c = NAN;

    if (!options_has(options, "ph") && !options_has(options, "between"))
        return failure_set(failure, STATUS_USAGE,
                           "what was read? --ph 9.87 for a meter, --between 8..9 for paper");
    if (options_has(options, "meter") && !options_has(options, "ph"))
        return failure_set(failure, STATUS_USAGE, "--meter needs --ph");
    if (options_has(options, "paper") && !options_has(options, "between"))
        return failure_set(failure, STATUS_USAGE, "--paper needs --between, as in 8..9");
    if (options_has(options, "surface") &&
        (!options_has(options, "between") || options_has(options, "ph") || masses ||
         options_has(options, "percent") || options_has(options, "session") ||
         options_has(options, "undissolved")))
        return failure_set(
            failure, STATUS_USAGE,
            "--surface is a strip on the wet bar, of no known concentration: it goes with --between "
            "alone");
    if (options_has(options, "temperature-c") &&
        answer_text_temperature(options_text(options, "temperature-c"), &temperature_c, failure) != STATUS_OK)
        return failure_at(failure, "--temperature-c: "); /* a bare 77 is asked back */
    if (masses && !(options_number(options, "soap-g") > 0.0 && options_number(options, "water-g") > 0.0))
        return failure_set(failure, STATUS_USAGE, "--soap-g and --water-g come together, both above 0");
    if (masses && options_has(options, "percent"))
        return failure_set(failure, STATUS_USAGE, "give --percent or the two masses, not both");
    if (options_has(options, "session") &&
        (masses || options_has(options, "percent") || options_has(options, "bar") ||
         options_has(options, "limit-ph") || options_has(options, "clear-ph") || options_has(options, "by")))
        return failure_set(
            failure, STATUS_USAGE,
            "--session adds readings only; its solution, limit and who read are on record already");
    if (options_has(options, "dissolved") && options_has(options, "undissolved"))
        return failure_set(failure, STATUS_USAGE, "--dissolved or --undissolved, not both");
    return bounds_check(NAN, options_number(options, "clear-ph"), options_number(options, "limit-ph"),
                        failure);
}

/* A solution may have been weighed on any balance, or on none that is known. */
static enum status
find_balance(struct store *store, const struct options *options, struct gear *balance,
             struct failure *failure)
{
    struct failure none_or_several = {0};

    if (options_has(options, "balance"))
        return gear_store_find(store, GEAR_BALANCE, options_text(options, "balance"), balance, failure);
    if (options_has(options, "percent") || options_has(options, "soap-g"))
        gear_store_only(store, GEAR_BALANCE, balance, &none_or_several);
    return STATUS_OK;
}

static enum status
find_all_gear(struct store *store, const struct options *options, struct entry *entry,
              struct failure *failure)
{
    enum status status = STATUS_OK;

    if (options_has(options, "ph"))
        status = find_gear(store, GEAR_METER, options_text(options, "meter"), &entry->meter, failure);
    if (status == STATUS_OK && options_has(options, "between")) {
        double with_it_c = NAN;

        status = find_gear(store, GEAR_PAPER, options_text(options, "paper"), &entry->paper, failure);
        if (status == STATUS_OK)
            status = answer_text_range(options_text(options, "between"), &entry->paper, &entry->paper_low,
                                       &entry->paper_high, &with_it_c, failure);
        if (status == STATUS_OK && !isnan(with_it_c))
            status = failure_set(failure, STATUS_USAGE, "write the temperature as --temperature-c");
    }
    if (status == STATUS_OK)
        status = find_balance(store, options, &entry->balance, failure);
    return status;
}

/* Rule 2. */
static enum status
continue_session(struct store *store, int64_t session_id, struct entry *entry, struct failure *failure)
{
    struct specimen *specimens = NULL;
    struct reading *readings = NULL;
    size_t count = 0, reading_count = 0;
    char day[DAY_TEXT_SIZE];
    enum status status = session_store_find(store, session_id, &entry->session, failure);

    if (status == STATUS_OK && entry->session.procedure_id != 0)
        return failure_set(failure, STATUS_CONFLICT,
                           "session %lld is a walk-through (curetrace resume goes on with it)",
                           (long long)session_id);
    if (status == STATUS_OK)
        status = specimen_store_of_session(store, session_id, &specimens, &count, failure);
    for (size_t i = count; i-- > 0;) { /* the last: correct --percent puts a new one behind the old */
        if (entry->specimen.id == 0 && specimens[i].batch_id == entry->batch.id)
            entry->specimen = specimens[i];
        else
            specimen_clear(&specimens[i]);
    }
    free(specimens);
    if (status == STATUS_OK && entry->specimen.id == 0)
        status = failure_set(failure, STATUS_CONFLICT, "session %lld holds no specimen of batch %s",
                             (long long)session_id, entry->batch.code);
    if (status != STATUS_OK)
        return status;
    status = reading_store_of_specimen(store, entry->specimen.id, &readings, &reading_count, failure);
    for (size_t i = 0; i < reading_count; i++) {
        if (readings[i].replicate >= entry->replicate)
            entry->replicate = readings[i].replicate + 1;
        if (status == STATUS_OK && reading_stands(&readings[i]) &&
            llabs(entry->at - readings[i].taken_at) > CLOCK_DAY_S)
            status =
                failure_set(failure, STATUS_CONFLICT,
                            "session %lld was read on %s: after more than a day a cup says less than it "
                            "did; weigh a fresh one, without --session",
                            (long long)session_id, clock_day_text(clock_day_of(readings[i].taken_at), day));
        reading_clear(&readings[i]);
    }
    free(readings);
    return status;
}

static enum status
collect(struct context *context, const struct options *options, struct entry *entry, struct failure *failure)
{
    enum status status = check_options(options, failure);

    if (status == STATUS_OK)
        status = context_moment(context, options, "at", &entry->at, failure);
    if (status == STATUS_OK)
        status = batch_named(context->store, options_name(options, 0), &entry->batch, &entry->specimen.bar,
                             failure);
    if (status == STATUS_OK && clock_day_of(entry->at) < entry->batch.made_on)
        status = failure_set(failure, STATUS_RANGE, "--at is before batch %s was poured", entry->batch.code);
    if (status == STATUS_OK)
        status = find_all_gear(context->store, options, entry, failure);
    if (status == STATUS_OK && entry->specimen.bar != NULL &&
        (options_has(options, "bar") || options_has(options, "session")))
        return failure_set(failure, STATUS_USAGE, "name the bar once: as CODE/BAR, by --bar or by --session");
    if (status == STATUS_OK && options_has(options, "session"))
        return continue_session(context->store, (int64_t)options_number(options, "session"), entry, failure);
    entry->session.started_at = entry->at;
    entry->session.by = by_name(options_text(options, "by"));
    entry->session.limit_ph = options_number_or(options, "limit-ph", LIMIT_PH_USUAL);
    entry->session.clear_ph = options_number(options, "clear-ph");
    entry->session.meter_id = entry->meter.id;
    entry->session.paper_id = entry->paper.id;
    entry->session.balance_id = entry->balance.id;
    entry->specimen.batch_id = entry->batch.id;
    if (options_has(options, "bar"))
        entry->specimen.bar = bar_label(options_text(options, "bar"));
    entry->specimen.stated_concentration_pct = options_number(options, "percent");
    return status;
}

/* One of some words, as typed; takes part of a word. */
struct choosing {
    char *const *words;
    size_t count, chosen;
};

static enum status
parse_choice(const char *text, void *payload, struct failure *failure)
{
    struct choosing *choosing = payload;

    return answer_text_choice(text, choosing->words, choosing->count, &choosing->chosen, failure);
}

/* The number of the word; `count` when it is left out. STATUS_CONFLICT for who leaves. */
static enum status
choose(struct prompt *prompt, const char *question, const char *help, struct choosing *choosing,
       struct failure *failure)
{
    char *text = NULL;
    enum reply reply;

    do {
        free(text);
        reply = prompt_ask(prompt, question, help, parse_choice, choosing, &text);
    } while (reply == REPLY_NOTE || reply == REPLY_BACK);
    free(text);
    if (reply == REPLY_QUIT)
        return failure_set(failure, STATUS_CONFLICT, "left: nothing of it was kept");
    if (reply == REPLY_SKIP)
        choosing->chosen = choosing->count;
    return STATUS_OK;
}

/* Rule 3. */
static enum status
ask_of_sitting(struct context *context, const struct options *options, struct entry *entry,
               struct failure *failure)
{
    static char distilled[] = "distilled", deionised[] = "deionised", other[] = "other", no[] = "no",
                yes[] = "yes"; /* as a step's choices, which are owned */
    static char *const waters[] = {distilled, deionised, other}, *const answers[] = {no, yes};
    struct choosing water = {waters, LENGTH(waters), LENGTH(waters)};
    struct choosing left = {answers, LENGTH(answers), 0};
    struct prompt prompt = {.in = context->in,
                            .out = context->out,
                            .terminal = context->terminal_in,
                            .line_again = screen_line_again(context->screen),
                            .width = context->width,
                            .now = context->clock,
                            .now_data = context->clock_data};
    enum status status = STATUS_OK;

    entry->water = memory_copy(options_text(options, "water"));
    entry->undissolved = options_has(options, "undissolved");
    if (!context->terminal_in || entry->session.id != 0)
        return STATUS_OK;
    setvbuf(context->in, NULL, _IONBF, 0); /* interrupt_await() */
    interrupt_catch();
    if (entry->water == NULL) {
        status = choose(&prompt, "Which water was the soap dissolved in (distilled, deionised, other)? ",
                        "only a test in distilled or deionised water can clear a bar", &water, failure);
        if (status == STATUS_OK && water.chosen < water.count)
            entry->water = memory_copy(waters[water.chosen]);
    }
    if (status == STATUS_OK && !entry->undissolved && !options_has(options, "dissolved")) {
        status = choose(&prompt, "Was any soap left undissolved (no, yes)? ",
                        "a rest at the bottom makes lye look like less", &left, failure);
        entry->undissolved = status == STATUS_OK && left.chosen == 1;
    }
    interrupt_release();
    return status;
}

static enum status
file_weighing(struct store *store, const struct entry *entry, enum weighing_of of, double mass_g,
              struct failure *failure)
{
    struct weighing weighing = {.specimen_id = entry->specimen.id,
                                .of = of,
                                .mass_g = mass_g,
                                .balance_id = entry->balance.id,
                                .taken_at = entry->at};

    return isnan(mass_g) ? STATUS_OK : weighing_store_add(store, &weighing, failure);
}

static enum status
file_session(struct store *store, const struct options *options, struct entry *entry, struct failure *failure)
{
    enum status status;

    if (entry->session.id != 0)
        return STATUS_OK;
    status = session_store_add(store, &entry->session, failure);
    entry->specimen.session_id = entry->session.id;
    if (status == STATUS_OK)
        status = specimen_store_add(store, &entry->specimen, failure);
    if (status == STATUS_OK)
        status = file_weighing(store, entry, WEIGHING_SOAP, options_number(options, "soap-g"), failure);
    if (status == STATUS_OK)
        status = file_weighing(store, entry, WEIGHING_WATER, options_number(options, "water-g"), failure);
    if (status == STATUS_OK)
        status = session_store_close(store, entry->session.id, entry->at, NULL, failure);
    return status;
}

static enum status
file_reading(struct context *context, struct reading *reading, struct failure *failure)
{
    enum status status = reading_store_add(context->store, reading, failure);

    if (status == STATUS_OK)
        fprintf(context->out, "reading %lld: ", (long long)reading->id);
    return status;
}

/* What was said beside the readings, each as a row of its own. */
static enum status
file_observation(struct store *store, const struct entry *entry, enum observation_kind kind, const char *word,
                 double value, struct failure *failure)
{
    struct observation observation;
    enum status status;

    observation_init(&observation);
    observation.session_id = entry->session.id;
    observation.specimen_id = kind == OBSERVATION_UNDISSOLVED ? entry->specimen.id : 0;
    observation.kind = kind;
    observation.word = memory_copy(word);
    observation.value = value;
    observation.seen_at = entry->at;
    status = observation_check(&observation, failure);
    if (status == STATUS_OK)
        status = observation_store_add(store, &observation, failure);
    observation_clear(&observation);
    return status;
}

static enum status
file_observations(struct store *store, const struct options *options, const struct entry *entry,
                  struct failure *failure)
{
    enum status status = STATUS_OK;

    if (entry->water != NULL)
        status = file_observation(store, entry, OBSERVATION_WATER, entry->water, NAN, failure);
    if (status == STATUS_OK && options_has(options, "water-ph"))
        status = file_observation(store, entry, OBSERVATION_WATER_PH, NULL,
                                  options_number(options, "water-ph"), failure);
    if (status == STATUS_OK && entry->undissolved)
        status = file_observation(store, entry, OBSERVATION_UNDISSOLVED, "soap", NAN, failure);
    return status;
}

static enum status
file_readings(struct context *context, const struct options *options, struct entry *entry,
              struct failure *failure)
{
    struct reading reading;
    enum status status = STATUS_OK;

    reading_init(&reading);
    reading.specimen_id = entry->specimen.id;
    reading.temperature_c = options_number(options, "temperature-c");
    reading.taken_at = entry->at;
    reading.note = memory_copy(options_text(options, "note"));
    reading.gear_id = entry->meter.id;
    reading.replicate = entry->replicate;
    for (size_t i = 0; status == STATUS_OK && i < options_count(options, "ph"); i++) {
        reading.ph = options_number_at(options, "ph", i);
        status = file_reading(context, &reading, failure);
        if (status == STATUS_OK)
            fprintf(context->out, "pH %g with %s\n", reading.ph, entry->meter.name);
        reading.replicate++;
    }
    if (status == STATUS_OK && options_has(options, "between")) {
        reading.method = READING_PAPER;
        reading.gear_id = entry->paper.id;
        reading.replicate = entry->replicate;
        reading.ph = NAN;
        reading.ph_low = entry->paper_low;
        reading.ph_high = entry->paper_high;
        reading.on_surface = options_has(options, "surface");
        status = file_reading(context, &reading, failure);
        if (status == STATUS_OK)
            fprintf(context->out, "between %g and %g with %s%s\n", reading.ph_low, reading.ph_high,
                    entry->paper.name, reading.on_surface ? ", on the wet bar" : "");
    }
    reading_clear(&reading);
    return status;
}

static enum status
file_entry(struct context *context, const struct options *options, struct entry *entry,
           struct failure *failure)
{
    struct held_words held;
    enum status status = context_begin(context, &held, failure);

    if (status != STATUS_OK)
        return status;
    status = file_session(context->store, options, entry, failure);
    if (status == STATUS_OK)
        status = file_observations(context->store, options, entry, failure);
    if (status == STATUS_OK)
        status = file_readings(context, options, entry, failure);
    if (status == STATUS_OK)
        status =
            batch_state_after_results(context, (const char *const[]){entry->batch.code}, 1,
                                      (struct filed_sessions){entry->session.id, entry->session.id}, failure);
    return context_commit(context, &held, status, failure);
}

static void
print_gap(const struct context *context, const char *text)
{
    listing_paragraph(context->out, context->width, 0, text);
}

/* A balance that cannot hold the concentration makes a wide interval of a good reading. */
static void
print_coarse_balance(const struct context *context, const struct specimen *specimen,
                     const struct gear *balance)
{
    struct failure ignored = {0};
    struct dilution dilution = {.u_percent = 0.0};
    double smallest_g = NAN, percent = specimen_concentration_pct(specimen);
    double soap_g = isnan(specimen->soap_mass_g) ? PORTION_USUAL_G : specimen->soap_mass_g;
    char *text;

    if (balance->id == 0 ||
        dilution_for_percent(soap_g, percent, balance->readability_g, &dilution, &ignored) != STATUS_OK ||
        2.0 * dilution.u_percent <= CONCENTRATION_TOLERANCE_PCT ||
        dilution_smallest_portion(percent, CONCENTRATION_TOLERANCE_PCT, balance->readability_g, &smallest_g,
                                  &ignored) != STATUS_OK)
        return;
    text = text_format("%s reads to %g g: with %g g of soap%s %g %% is known to +/- %.2g %% only; %.3g g of "
                       "soap or more would "
                       "hold 0.02 %%",
                       balance->name, balance->readability_g, soap_g,
                       isnan(specimen->soap_mass_g) ? " (taken, as no masses are given)" : "", percent,
                       2.0 * dilution.u_percent, smallest_g);
    print_gap(context, text);
    free(text);
}

/* What the judging will miss, said while it can still be put right. */
static void
print_gaps(const struct context *context, const struct options *options, const struct entry *entry)
{
    struct specimen specimen = entry->specimen; /* lent, with the masses just filed */
    double percent;

    if (options_has(options, "surface")) {
        print_gap(context, "a strip on the wet bar can warn, and never counts for it: test a 1 % solution");
        return;
    }
    if (options_has(options, "soap-g")) {
        specimen.soap_mass_g = options_number(options, "soap-g");
        specimen.water_mass_g = options_number(options, "water-g");
    }
    percent = specimen_concentration_pct(&specimen);
    if (entry->water == NULL && !options_has(options, "session"))
        print_gap(context, "no water: only a test in distilled or deionised water can clear a bar "
                           "(--water distilled)");
    if (!options_has(options, "temperature-c"))
        print_gap(context, "no temperature: without it the reading cannot be brought to 40 degC "
                           "(--temperature-c)");
    if (percent < AT_REFERENCE_LOW_PCT || percent > AT_REFERENCE_HIGH_PCT) {
        char *text =
            text_format("%.3g %% is outside %g to %g %%: it cannot be brought to 1 %%, so it clears no bar",
                        percent, AT_REFERENCE_LOW_PCT, AT_REFERENCE_HIGH_PCT);

        print_gap(context, text);
        free(text);
    }
    if (isnan(percent))
        print_gap(context, "no concentration: a test is made at 1 % by mass (--percent, or --soap-g and "
                           "--water-g)");
    else
        print_coarse_balance(context, &specimen, &entry->balance);
}

static void
warn_apart(const struct context *context, const struct options *options)
{
    double low_ph = NAN, high_ph = NAN;
    char *text;

    for (size_t i = 0; i < options_count(options, "ph"); i++) {
        low_ph = fmin(low_ph, options_number_at(options, "ph", i));
        high_ph = fmax(high_ph, options_number_at(options, "ph", i));
    }
    text = verdict_text_apart(low_ph, high_ph);
    if (text != NULL)
        print_gap(context, text);
    free(text);
}

static void
warn_above_limit(const struct context *context, const struct options *options, const struct session *session)
{
    double highest_ph = NAN;
    char *text;

    for (size_t i = 0; i < options_count(options, "ph"); i++)
        highest_ph = fmax(highest_ph, options_number_at(options, "ph", i));
    if (!(highest_ph > session->limit_ph))
        return;
    text = verdict_text_above_limit(session->limit_ph);
    fputs(context_tone(context, TONE_BAD), context->out);
    print_gap(context, text);
    fputs(context_tone(context, TONE_PLAIN), context->out);
    free(text);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct entry entry = {.paper_low = NAN, .paper_high = NAN, .replicate = 1};
    enum status status;

    session_init(&entry.session);
    specimen_init(&entry.specimen);
    status = collect(context, options, &entry, failure);
    if (status == STATUS_OK)
        status = ask_of_sitting(context, options, &entry, failure);
    if (status == STATUS_OK)
        status = file_entry(context, options, &entry, failure);
    if (status == STATUS_OK) {
        warn_apart(context, options);
        warn_above_limit(context, options, &entry.session);
        print_gaps(context, options, &entry);
        fprintf(context->out, "filed in session %lld (%s) of %s\n", (long long)entry.session.id,
                session_meaning, entry.batch.code);
        context_next(context, "verdict", entry.batch.code, NULL);
    }
    entry_clear(&entry);
    return status;
}

const struct command read_command = {
    .name = "read",
    .names = "CODE[/BAR]",
    .fewest = 1,
    .most = 1,
    .summary = "file single readings of a meter or of paper, without the walk-through",
    .example = "curetrace read W-07 --meter bench --ph 9.87 --temperature-c 40 --percent 1.00 --water "
               "distilled --at 2026-03-04T10:00",
    .options = read_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run,
};
