/* import_readings.c - "import readings": readings from a CSV file, by the headings of "trend --csv".
 *
 * Rules
 * (1) A row has a batch, a time and either ph or ph_low and ph_high. Which gear is said by name, or clear
 *     because there is only one.
 * (2) A batch the notebook does not have is added when the row says when it was made.
 * (3) A row marked as superseded is left out: its correction is a row of its own.
 * (4) What "trend --csv" works out (age_d, ph_at_reference, u_ph, flags) is read over.
 * (5) A batch that a test in the file makes doubtful or lye-heavy is held at once, in the same transaction
 *     (batch_state.h).
 * (6) What clears no bar for lack of a concentration or a temperature, or because the concentration is
 *     beyond what can be brought to 1 %, is filed and counted.
 * (7) Rows of one batch with the same session label and concentration share a session and a test portion; without a
 *     label those of one day do, because they may well be one solution. More than a day after the first row of its label
 *     a row is refused: no cup is read so long.
 * (8) A row without a replicate number gets the next one of its session, batch and gear, counted in the file, so that
 *     the same file gives the same numbers again.
 * (9) A reading that the notebook has already, or that came before in the file, is not added again
 *     (reading_store_same()). */
#include <math.h>
#include <search.h>
#include <stdlib.h>
#include <string.h>

#include "at_reference.h"
#include "batch_state.h"
#include "batch_store.h"
#include "commands.h"
#include "gear_store.h"
#include "import.h"
#include "memory.h"
#include "observation_store.h"
#include "row.h"
#include "session_store.h"
#include "words.h"

enum {
    BATCH,
    ROLE,
    MADE_ON,
    SESSION,
    TAKEN_AT,
    AGE_D,
    METHOD,
    GEAR,
    REPLICATE,
    PH,
    PH_LOW,
    PH_HIGH,
    TEMPERATURE_C,
    CONCENTRATION_PCT,
    PH_AT_REFERENCE,
    U_PH,
    SUPERSEDED,
    FLAGS,
    NOTE
};
static const struct csv_column columns[] = {
    [BATCH] = {"batch", CSV_VALUE},
    [ROLE] = {"role", CSV_OPTIONAL},
    [MADE_ON] = {"made_on", CSV_OPTIONAL},
    [SESSION] = {"session", CSV_OPTIONAL},
    [TAKEN_AT] = {"taken_at", CSV_VALUE},
    [AGE_D] = {"age_d", CSV_OPTIONAL},
    [METHOD] = {"method", CSV_OPTIONAL},
    [GEAR] = {"gear", CSV_OPTIONAL},
    [REPLICATE] = {"replicate", CSV_OPTIONAL},
    [PH] = {"ph", CSV_OPTIONAL},
    [PH_LOW] = {"ph_low", CSV_OPTIONAL},
    [PH_HIGH] = {"ph_high", CSV_OPTIONAL},
    [TEMPERATURE_C] = {"temperature_c", CSV_OPTIONAL},
    [CONCENTRATION_PCT] = {"concentration_pct", CSV_OPTIONAL},
    [PH_AT_REFERENCE] = {"ph_at_reference", CSV_OPTIONAL},
    [U_PH] = {"u_ph", CSV_OPTIONAL},
    [SUPERSEDED] = {"superseded", CSV_OPTIONAL},
    [FLAGS] = {"flags", CSV_OPTIONAL},
    [NOTE] = {"note", CSV_OPTIONAL},
};

static const struct option_spec options_known[] = {
    IMPORT_OPTIONS,
    {.name = "percent",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = STATED_LOWEST_PCT,
     .high = STATED_HIGHEST_PCT,
     .help = "soap in the solution, by mass, of the rows that say no concentration"},
    {.name = "water",
     .kind = OPTION_TEXT,
     .value = "WORD",
     .help = "which water all of them were made in: distilled, deionised or other"},
    {.name = NULL},
};

/* What rows share: rule 7's session, and the numbers that rule 8 has given out for a gear. */
struct sharing {
    int64_t batch_id;
    civil_day day;       /* of rows without a label */
    const char *session; /* the label, "" without */
    double percent;
    int64_t gear_id; /* 0: the number is the portion's */
    int64_t number;
    civil_time first_at; /* of the first row */
};

struct readings {
    struct import import;
    struct store *store; /* lent */
    struct gear *gear;   /* owned, all of the notebook's */
    size_t gear_count;
    struct batch batch; /* of the row before; owned */
    void *shared;       /* a tree (tsearch) of what is shared; owned */
    civil_time now;
    const char *water;                                /* of all rows; NULL: not told, lent */
    double percent;                                   /* of rows that say none; NAN: not told */
    int64_t first_session;                            /* the import made; 0: none */
    size_t superseded, batches;                       /* rows left out, batches added */
    size_t no_concentration, no_temperature, too_far; /* of those added: rule 6 */
};

/* What one row says. */
struct told {
    struct reading reading;  /* owned; without a portion yet, and replicate 0 when not said */
    const struct gear *gear; /* lent */
    const char *session;     /* lent; NULL: no label */
    double percent;
};

static int
by_number(int64_t a, int64_t b)
{
    return (a > b) - (a < b);
}

static int
compare_sharing(const void *a, const void *b)
{
    const struct sharing *x = a, *y = b;
    int order = by_number(x->batch_id, y->batch_id);

    if (order == 0)
        order = by_number(x->day, y->day);
    if (order == 0)
        order = (x->percent > y->percent) - (x->percent < y->percent);
    if (order == 0)
        order = by_number(x->gear_id, y->gear_id);
    return order != 0 ? order : strcmp(x->session, y->session);
}

/* What the rows like this one share; a new one has the number 0. */
static struct sharing *
shared_with(struct readings *readings, const struct told *told, int64_t gear_id)
{
    struct sharing key = {.batch_id = readings->batch.id,
                          .day = told->session == NULL ? clock_day_of(told->reading.taken_at) : 0,
                          .session = told->session == NULL ? "" : told->session,
                          .percent = isnan(told->percent) ? 0.0 : told->percent,
                          .gear_id = gear_id,
                          .first_at = told->reading.taken_at};
    void *found = tfind(&key, &readings->shared, compare_sharing);
    size_t length = strlen(key.session) + 1;
    struct sharing *kept;

    if (found != NULL)
        return *(struct sharing **)found;
    kept = memory_new(1, sizeof *kept + length);
    *kept = key;
    kept->session = memcpy(kept + 1, key.session, length);
    if (tsearch(kept, &readings->shared, compare_sharing) == NULL)
        abort();
    return kept;
}

/* --- what a row says --------------------------------------------------------------------------------- */

static enum status
take_ph(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    struct reading *reading = &told->reading;
    const char *word = NULL;
    bool meter, paper;

    (void)readings;
    if (csv_in_quantity(row, PH, UNITS_PH, PH_LOWEST, PH_HIGHEST, &reading->ph, failure) != STATUS_OK ||
        csv_in_quantity(row, PH_LOW, UNITS_PH, PH_LOWEST, PH_HIGHEST, &reading->ph_low, failure) !=
            STATUS_OK ||
        csv_in_quantity(row, PH_HIGH, UNITS_PH, PH_LOWEST, PH_HIGHEST, &reading->ph_high, failure) !=
            STATUS_OK ||
        csv_in_text(row, METHOD, &word, failure) != STATUS_OK)
        return failure->status;
    meter = !isnan(reading->ph);
    paper = !isnan(reading->ph_low) || !isnan(reading->ph_high);
    reading->method = meter ? READING_METER : READING_PAPER;
    if (word != NULL && reading_method_parse(word, &reading->method, failure) != STATUS_OK)
        return csv_row_at(row, METHOD, failure);
    if (meter != paper && (reading->method == READING_METER) == meter)
        return STATUS_OK;
    failure_set(failure, STATUS_FORMAT,
                meter || paper ? "a meter reading has ph, a paper reading ph_low and ph_high"
                               : "is empty, and there is no ph_low and ph_high");
    return csv_row_at(row, PH, failure);
}

static const struct gear *
find_gear(const struct readings *readings, enum gear_kind kind, const char *name)
{
    const struct gear *found = NULL;

    for (size_t i = 0; i < readings->gear_count; i++) {
        const struct gear *gear = &readings->gear[i];

        if (gear->kind != kind || (name != NULL && !text_same(gear->name, name)))
            continue;
        if (found != NULL)
            return NULL; /* without a name there must be only one */
        found = gear;
    }
    return found;
}

/* Needs to know the value: what it is for, and the printed steps of a paper. */
static enum status
take_gear(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    struct reading *reading = &told->reading;
    bool meter = reading->method == READING_METER;
    const char *name = NULL, *word = reading_method_word(reading->method);

    if (csv_in_text(row, GEAR, &name, failure) != STATUS_OK)
        return failure->status;
    told->gear = find_gear(readings, meter ? GEAR_METER : GEAR_PAPER, name);
    if (told->gear == NULL) {
        if (name == NULL)
            failure_set(failure, STATUS_MISSING, "says nothing, and the notebook has no %s or more than one",
                        word);
        else
            failure_set(failure, STATUS_MISSING, "there is no %s '%.60s' (gear add, or import gear)", word,
                        name);
        return csv_row_at(row, GEAR, failure);
    }
    reading->gear_id = told->gear->id;
    if (meter)
        return STATUS_OK;
    if (gear_check_step(told->gear, reading->ph_low, failure) != STATUS_OK)
        return csv_row_at(row, PH_LOW, failure);
    if (gear_check_step(told->gear, reading->ph_high, failure) != STATUS_OK)
        return csv_row_at(row, PH_HIGH, failure);
    return STATUS_OK;
}

static enum status
take_value(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    enum status status = take_ph(readings, row, told, failure);

    return status == STATUS_OK ? take_gear(readings, row, told, failure) : status;
}

static enum status
take_temperature(struct readings *readings, const struct csv_row *row, struct told *told,
                 struct failure *failure)
{
    (void)readings;
    return csv_in_quantity(row, TEMPERATURE_C, UNITS_TEMPERATURE, READING_LOWEST_C, READING_HIGHEST_C,
                           &told->reading.temperature_c, failure);
}

static enum status
take_percent(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    enum status status = csv_in_quantity(row, CONCENTRATION_PCT, UNITS_PERCENT, STATED_LOWEST_PCT,
                                         STATED_HIGHEST_PCT, &told->percent, failure);

    if (status == STATUS_OK && isnan(told->percent))
        told->percent = readings->percent;
    return status;
}

static enum status
take_replicate(struct readings *readings, const struct csv_row *row, struct told *told,
               struct failure *failure)
{
    int64_t replicate = 0;
    enum status status = csv_in_integer(row, REPLICATE, 1, REPLICATE_MOST, 0, &replicate, failure);

    (void)readings;
    told->reading.replicate = (int)replicate;
    return status;
}

static enum status
take_texts(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    const char *note = NULL;
    enum status status = csv_in_text(row, SESSION, &told->session, failure);

    (void)readings;
    if (status == STATUS_OK)
        status = csv_in_text(row, NOTE, &note, failure);
    if (status == STATUS_OK)
        told->reading.note = memory_copy(note);
    return status;
}

/* Rule 2. */
static enum status
add_batch(struct readings *readings, const struct csv_row *row, struct batch *batch, struct failure *failure)
{
    if (batch->made_on == DAY_NONE) {
        failure_set(failure, STATUS_MISSING, "there is no batch '%.60s'; a column made_on would add it",
                    batch->code);
        return csv_row_at(row, BATCH, failure);
    }
    batch->added_at = readings->now;
    if (batch_check(batch, clock_day_of(readings->now), failure) != STATUS_OK ||
        batch_store_add(readings->store, batch, failure) != STATUS_OK)
        return failure->status == STATUS_SYSTEM ? STATUS_SYSTEM : csv_row_at(row, BATCH, failure);
    readings->batches++;
    return STATUS_OK;
}

/* Rows of a batch mostly stand together. */
static enum status
find_batch(struct readings *readings, const struct csv_row *row, const char *code, civil_day made_on,
           enum batch_role role, struct failure *failure)
{
    struct batch *batch = &readings->batch;
    bool found = false;
    enum status status;

    if (batch->id != 0 && text_same(batch->code, code))
        return STATUS_OK;
    batch_clear(batch);
    status = batch_store_look(readings->store, code, batch, &found, failure);
    if (status != STATUS_OK || found)
        return status;
    *batch = (struct batch){.code = memory_copy(code), .made_on = made_on, .role = role};
    return add_batch(readings, row, batch, failure);
}

static enum status
take_batch(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    const struct batch *batch = &readings->batch;
    const char *code = NULL, *word = NULL;
    civil_day made_on = DAY_NONE;
    enum batch_role role = BATCH_ORDINARY;
    char day[DAY_TEXT_SIZE];

    if (csv_in_text(row, BATCH, &code, failure) != STATUS_OK ||
        csv_in_day(row, MADE_ON, &made_on, failure) != STATUS_OK ||
        csv_in_text(row, ROLE, &word, failure) != STATUS_OK)
        return failure->status;
    if (word != NULL && batch_role_parse(word, &role, failure) != STATUS_OK)
        return csv_row_at(row, ROLE, failure);
    if (find_batch(readings, row, code, made_on, role, failure) != STATUS_OK)
        return failure->status;
    if (made_on != DAY_NONE && made_on != batch->made_on) {
        failure_set(failure, STATUS_CONFLICT, "batch %s was made on %s", batch->code,
                    clock_day_text(batch->made_on, day));
        return csv_row_at(row, MADE_ON, failure);
    }
    if (word != NULL && role != batch->role) {
        failure_set(failure, STATUS_CONFLICT, "batch %s is %s", batch->code, batch_role_word(batch->role));
        return csv_row_at(row, ROLE, failure);
    }
    if (told->reading.taken_at != MOMENT_NONE && clock_day_of(told->reading.taken_at) < batch->made_on) {
        failure_set(failure, STATUS_RANGE, "is before batch %s was made, on %s", batch->code,
                    clock_day_text(batch->made_on, day));
        return csv_row_at(row, TAKEN_AT, failure);
    }
    return STATUS_OK;
}

static enum status
take_time(struct readings *readings, const struct csv_row *row, struct told *told, struct failure *failure)
{
    if (csv_in_time(row, TAKEN_AT, &told->reading.taken_at, failure) != STATUS_OK)
        return failure->status;
    if (told->reading.taken_at <= readings->now)
        return STATUS_OK;
    failure_set(failure, STATUS_RANGE, "is in the future");
    return csv_row_at(row, TAKEN_AT, failure);
}

/* Each part of a row is looked at, so that all that is wrong with it is said at once. */
static enum status
take_row(struct readings *readings, const struct csv_row *row, struct told *told, bool *ret_good,
         struct failure *failure)
{
    static enum status (*const parts[])(struct readings *, const struct csv_row *, struct told *,
                                        struct failure *) = {
        take_value, take_temperature, take_percent, take_replicate, take_time, take_batch, take_texts,
    };

    *ret_good = true;
    for (size_t i = 0; i < LENGTH(parts); i++) {
        enum status status = parts[i](readings, row, told, failure);

        if (status == STATUS_SYSTEM)
            return status;
        if (status == STATUS_OK)
            continue;
        problems_add(&readings->import.problems, failure);
        *failure = (struct failure){0};
        *ret_good = false;
    }
    return STATUS_OK;
}

/* --- what becomes of it -------------------------------------------------------------------------------- */

/* The water that the whole file's readings were made in, as it was told. */
static enum status
file_water(struct readings *readings, const struct session *session, struct failure *failure)
{
    struct observation observation;
    enum status status;

    observation_init(&observation);
    observation.session_id = session->id;
    observation.word = memory_copy(readings->water);
    observation.seen_at = session->started_at;
    status = observation_store_add(readings->store, &observation, failure);
    observation_clear(&observation);
    return status;
}

/* Rule 7: a sitting that is over, as "read" files one. */
static enum status
file_portion(struct readings *readings, const struct told *told, int64_t *ret_id, struct failure *failure)
{
    bool meter = told->reading.method == READING_METER;
    struct session session;
    struct specimen specimen;
    enum status status;

    session_init(&session);
    session.started_at = told->reading.taken_at;
    session.meter_id = meter ? told->gear->id : 0;
    session.paper_id = meter ? 0 : told->gear->id;
    status = session_store_add(readings->store, &session, failure);
    if (readings->first_session == 0)
        readings->first_session = session.id;
    if (status == STATUS_OK && readings->water != NULL)
        status = file_water(readings, &session, failure);
    specimen_init(&specimen);
    specimen.session_id = session.id;
    specimen.batch_id = readings->batch.id;
    specimen.stated_concentration_pct = told->percent;
    if (status == STATUS_OK)
        status = session_store_close(readings->store, session.id, session.started_at, NULL, failure);
    if (status == STATUS_OK)
        status = specimen_store_add(readings->store, &specimen, failure);
    if (status == STATUS_OK)
        *ret_id = specimen.id;
    return status;
}

/* *ret_added is false when it was there already. */
static enum status
file_row(struct readings *readings, struct told *told, bool *ret_added, struct failure *failure)
{
    struct reading *reading = &told->reading;
    struct sharing *portion;
    char day[DAY_TEXT_SIZE];
    bool same = false;
    enum status status;

    if (reading->replicate == 0)
        reading->replicate = (int)++shared_with(readings, told, told->gear->id)->number; /* rule 8 */
    status = reading_store_same(readings->store, readings->batch.id, reading, &same, failure);
    *ret_added = status == STATUS_OK && !same;
    if (!*ret_added)
        return status;
    portion = shared_with(readings, told, 0);
    if (llabs(reading->taken_at - portion->first_at) > CLOCK_DAY_S)
        return failure_set(
            failure, STATUS_CONFLICT,
            "session '%.40s' began on %s: a cup is not read for more than a day, another one needs "
            "another label",
            portion->session, clock_day_text(clock_day_of(portion->first_at), day));
    if (portion->number == 0)
        status = file_portion(readings, told, &portion->number, failure);
    reading->specimen_id = portion->number;
    if (status == STATUS_OK)
        status = reading_store_add(readings->store, reading, failure);
    return status;
}

/* Rule 3. */
static enum status
take_superseded(const struct csv_row *row, bool *ret_superseded, struct failure *failure)
{
    static const char *const no[] = {"0", "no", "false", "-"};
    const char *word = NULL;

    if (csv_in_text(row, SUPERSEDED, &word, failure) != STATUS_OK)
        return failure->status;
    *ret_superseded = word != NULL;
    for (size_t i = 0; word != NULL && i < LENGTH(no); i++)
        if (text_same(word, no[i]))
            *ret_superseded = false;
    return STATUS_OK;
}

/* Rule 6. */
static void
count_gaps(struct readings *readings, const struct told *told)
{
    readings->no_concentration += isnan(told->percent) ? 1U : 0U;
    readings->no_temperature += isnan(told->reading.temperature_c) ? 1U : 0U;
    readings->too_far +=
        told->percent < AT_REFERENCE_LOW_PCT || told->percent > AT_REFERENCE_HIGH_PCT ? 1U : 0U;
}

static void
report_gaps(const struct readings *readings)
{
    FILE *out = readings->import.context->out;

    if (readings->no_concentration > 0)
        fprintf(out, "without a concentration, so they clear no bar: %zu (--percent; later, correct)\n",
                readings->no_concentration);
    if (readings->no_temperature > 0)
        fprintf(out, "without a temperature, so they clear no bar: %zu (later, correct)\n",
                readings->no_temperature);
    if (readings->too_far > 0)
        fprintf(out, "outside %g to %g %%, so they clear no bar: %zu\n", AT_REFERENCE_LOW_PCT,
                AT_REFERENCE_HIGH_PCT, readings->too_far);
}

static enum status
take(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct readings *readings = payload;
    struct told told = {.percent = NAN};
    bool superseded = false, good = false, added = false;
    enum status status = take_superseded(row, &superseded, failure);

    import_progress(&readings->import, row);
    if (status != STATUS_OK || superseded) {
        readings->superseded += superseded ? 1U : 0U;
        return status;
    }
    reading_init(&told.reading);
    status = take_row(readings, row, &told, &good, failure);
    if (status == STATUS_OK && good) {
        status = file_row(readings, &told, &added, failure);
        if (status != STATUS_OK && status != STATUS_SYSTEM)
            csv_row_at(row, told.gear->kind == GEAR_METER ? PH : PH_LOW, failure);
    }
    if (status == STATUS_OK && good) {
        readings->import.added += added ? 1U : 0U;
        readings->import.skipped += added ? 0U : 1U;
        if (added)
            count_gaps(readings, &told);
    }
    reading_clear(&told.reading);
    return status;
}

/* Rule 5. */
static enum status
hold(struct context *context, int64_t first_session, struct failure *failure)
{
    char **codes = NULL;
    size_t count = 0;
    enum status status;

    if (first_session == 0)
        return STATUS_OK;
    status = batch_store_of_sessions(context->store, first_session, &codes, &count, failure);
    if (status == STATUS_OK)
        status = batch_state_after_results(context, (const char *const *)codes, count,
                                           (struct filed_sessions){first_session, INT64_MAX}, failure);
    for (size_t i = 0; i < count; i++)
        free(codes[i]);
    free(codes);
    return status;
}

static void
report(const struct readings *readings)
{
    FILE *out = readings->import.context->out;

    import_report(&readings->import, "readings");
    if (readings->batches > 0)
        fprintf(out, "batches added: %zu\n", readings->batches);
    if (readings->superseded > 0)
        fprintf(out, "superseded (corrected) rows left out: %zu\n", readings->superseded);
}

/* In the transaction that the caller has begun, with all it has to say. */
static enum status
add_all(struct readings *readings, struct context *context, struct failure *failure)
{
    enum status status = gear_store_list(context->store, &readings->gear, &readings->gear_count, failure);

    if (status == STATUS_OK)
        status = rows_begin_many(context->store, failure);
    if (status != STATUS_OK)
        return status;
    status = import_read(&readings->import, take, readings, failure);
    status = rows_end_many(context->store, status, failure);
    if (status != STATUS_OK)
        return status;
    report(readings);
    return hold(context, readings->first_session, failure);
}

static void
readings_clear(struct readings *readings)
{
    for (size_t i = 0; i < readings->gear_count; i++)
        gear_clear(&readings->gear[i]);
    free(readings->gear);
    batch_clear(&readings->batch);
    tdestroy(readings->shared, free);
    import_close(&readings->import);
}

static enum status
check_water(const char *water, struct failure *failure)
{
    const char *const *words;
    size_t count = observation_words(OBSERVATION_WATER, &words), index;

    return water == NULL ? STATUS_OK : words_find("--water", water, words, count, &index, failure);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct readings readings = {.store = context->store,
                                .now = context_now(context),
                                .water = options_text(options, "water"),
                                .percent = options_number(options, "percent")};
    struct held_words held;
    struct failure undone = {0}; /* a dry run is undone, and unsaid, on purpose */
    enum status status = check_water(readings.water, failure);

    if (status == STATUS_OK)
        status = import_open(&readings.import, context, options, columns, LENGTH(columns), failure);
    if (status == STATUS_OK)
        status = context_begin(context, &held, failure);
    if (status == STATUS_OK) {
        status = add_all(&readings, context, failure);
        if (status == STATUS_OK && options_has(options, "dry-run")) {
            context_commit(context, &held, STATUS_CONFLICT, &undone);
            report(&readings);
        } else {
            status = context_commit(context, &held, status, failure);
        }
    }
    if (status == STATUS_OK)
        report_gaps(&readings);
    readings_clear(&readings);
    return status;
}

const struct command import_readings_command = {
    .name = "import readings",
    .names = "FILE",
    .fewest = 1,
    .most = 1,
    .summary = "add readings from a CSV file, all of them or none",
    .example =
        "curetrace import readings spring.csv --column ph=\"Meter pH\" --separator semicolon --decimal comma",
    .options = options_known,
    .needs = COMMAND_WRITES_STORE,
    .run = run,
};
