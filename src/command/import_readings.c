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
 *     beyond what can be brought to 1 %, is filed and counted. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "at_reference.h"
#include "batch_state.h"
#include "bulk_store.h"
#include "commands.h"
#include "import.h"
#include "memory.h"

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
     .low = 0.01,
     .high = 100,
     .help = "soap in the solution, by mass, of the rows that say no concentration"},
    {.name = NULL},
};

struct readings {
    struct import import;
    struct bulk *bulk;
    civil_time now;
    double percent;                                   /* of rows that say none; NAN: not told */
    size_t superseded, batches;                       /* rows left out, batches added */
    size_t no_concentration, no_temperature, too_far; /* of those added: rule 6 */
};

static enum status
take_numbers(const struct csv_row *row, struct bulk_reading *reading, struct failure *failure)
{
    int64_t replicate = 0;
    enum status status = csv_in_quantity(row, PH, UNITS_PH, 0.0, 14.0, &reading->ph, failure);

    if (status == STATUS_OK)
        status = csv_in_quantity(row, PH_LOW, UNITS_PH, 0.0, 14.0, &reading->ph_low, failure);
    if (status == STATUS_OK)
        status = csv_in_quantity(row, PH_HIGH, UNITS_PH, 0.0, 14.0, &reading->ph_high, failure);
    if (status == STATUS_OK)
        status = csv_in_quantity(row, TEMPERATURE_C, UNITS_TEMPERATURE, 0.0, 100.0, &reading->temperature_c,
                                 failure);
    if (status == STATUS_OK)
        status = csv_in_quantity(row, CONCENTRATION_PCT, UNITS_PERCENT, 0.01, 100.0,
                                 &reading->concentration_pct, failure);
    if (status == STATUS_OK)
        status = csv_in_integer(row, REPLICATE, 1, 1000000, 0, &replicate, failure);
    reading->replicate = (int)replicate;
    return status;
}

/* Meter or paper, as said or as the values have it. */
static enum status
take_method(const struct csv_row *row, const struct bulk_reading *reading, enum reading_method *ret_method,
            struct failure *failure)
{
    bool meter = !isnan(reading->ph), paper = !isnan(reading->ph_low) || !isnan(reading->ph_high);
    const char *word = NULL;

    if (csv_in_text(row, METHOD, &word, failure) != STATUS_OK)
        return failure->status;
    *ret_method = meter ? READING_METER : READING_PAPER;
    if (word != NULL && reading_method_parse(word, ret_method, failure) != STATUS_OK)
        return csv_row_at(row, METHOD, failure);
    if (meter == paper || (*ret_method == READING_METER) != meter) {
        failure_set(failure, STATUS_FORMAT,
                    meter || paper ? "a meter reading has ph, a paper reading ph_low and ph_high"
                                   : "is empty, and there is no ph_low and ph_high");
        return csv_row_at(row, PH, failure);
    }
    if (paper && !(reading->ph_low < reading->ph_high)) {
        failure_set(failure, STATUS_RANGE,
                    "paper needs ph_low below ph_high: the printed steps around its colour");
        return csv_row_at(row, PH_LOW, failure);
    }
    return STATUS_OK;
}

static bool
is_step(const struct gear *paper, double step)
{
    for (size_t i = 0; i < paper->step_count; i++)
        if (paper->steps[i] == step)
            return true;
    return false;
}

static enum status
take_gear(struct readings *readings, const struct csv_row *row, enum reading_method method,
          struct bulk_reading *reading, struct failure *failure)
{
    const char *name = NULL, *word = reading_method_word(method);

    if (csv_in_text(row, GEAR, &name, failure) != STATUS_OK)
        return failure->status;
    reading->gear =
        name == NULL ? bulk_only_gear(readings->bulk, method) : bulk_find_gear(readings->bulk, method, name);
    if (reading->gear == NULL && name == NULL)
        failure_set(failure, STATUS_MISSING, "says nothing, and the notebook has no %s or more than one",
                    word);
    else if (reading->gear == NULL)
        failure_set(failure, STATUS_MISSING, "there is no %s '%.60s' (gear add, or import gear)", word, name);
    if (reading->gear == NULL)
        return csv_row_at(row, GEAR, failure);
    if (method == READING_PAPER &&
        !(is_step(reading->gear, reading->ph_low) && is_step(reading->gear, reading->ph_high))) {
        failure_set(failure, STATUS_RANGE, "%g to %g are not printed steps of '%.60s'", reading->ph_low,
                    reading->ph_high, reading->gear->name);
        return csv_row_at(row, PH_LOW, failure);
    }
    return STATUS_OK;
}

static enum status
take_time(struct readings *readings, const struct csv_row *row, struct bulk_reading *reading,
          struct failure *failure)
{
    if (csv_in_time(row, TAKEN_AT, &reading->taken_at, failure) != STATUS_OK)
        return failure->status;
    if (reading->taken_at <= readings->now)
        return STATUS_OK;
    failure_set(failure, STATUS_RANGE, "is in the future");
    return csv_row_at(row, TAKEN_AT, failure);
}

/* Rule 2. */
static enum status
add_batch(struct readings *readings, const struct csv_row *row, const char *code, civil_day made_on,
          enum batch_role role, struct failure *failure)
{
    if (made_on == DAY_NONE) {
        failure_set(failure, STATUS_MISSING, "there is no batch '%.60s'; a column made_on would add it",
                    code);
        return csv_row_at(row, BATCH, failure);
    }
    if (bulk_add_batch(readings->bulk, code, made_on, role, failure) != STATUS_OK)
        return failure->status == STATUS_SYSTEM ? STATUS_SYSTEM : csv_row_at(row, BATCH, failure);
    readings->batches++;
    return STATUS_OK;
}

static enum status
take_batch(struct readings *readings, const struct csv_row *row, struct bulk_reading *reading,
           struct failure *failure)
{
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
    reading->batch = bulk_find_batch(readings->bulk, code);
    if (reading->batch == NULL) {
        if (add_batch(readings, row, code, made_on, role, failure) != STATUS_OK)
            return failure->status;
        reading->batch = bulk_find_batch(readings->bulk, code);
    }
    if (made_on != DAY_NONE && made_on != reading->batch->made_on) {
        failure_set(failure, STATUS_CONFLICT, "batch %s was made on %s", code,
                    clock_day_text(reading->batch->made_on, day));
        return csv_row_at(row, MADE_ON, failure);
    }
    if (word != NULL && role != reading->batch->role) {
        failure_set(failure, STATUS_CONFLICT, "batch %s is %s", code, batch_role_word(reading->batch->role));
        return csv_row_at(row, ROLE, failure);
    }
    if (clock_day_of(reading->taken_at) < reading->batch->made_on) {
        failure_set(failure, STATUS_RANGE, "is before batch %s was made, on %s", code,
                    clock_day_text(reading->batch->made_on, day));
        return csv_row_at(row, TAKEN_AT, failure);
    }
    return STATUS_OK;
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
count_gaps(struct readings *readings, const struct bulk_reading *reading)
{
    double percent = reading->concentration_pct;

    readings->no_concentration += isnan(percent) ? 1U : 0U;
    readings->no_temperature += isnan(reading->temperature_c) ? 1U : 0U;
    readings->too_far += percent < AT_REFERENCE_LOW_PCT || percent > AT_REFERENCE_HIGH_PCT ? 1U : 0U;
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
    struct bulk_reading reading = {0};
    enum reading_method method = READING_METER;
    bool superseded = false, added = false;
    enum status status = take_superseded(row, &superseded, failure);

    import_progress(&readings->import, row);
    if (status == STATUS_OK && superseded) {
        readings->superseded++;
        return STATUS_OK;
    }
    if (status == STATUS_OK)
        status = take_numbers(row, &reading, failure);
    if (isnan(reading.concentration_pct))
        reading.concentration_pct = readings->percent;
    if (status == STATUS_OK)
        status = take_method(row, &reading, &method, failure);
    if (status == STATUS_OK)
        status = take_gear(readings, row, method, &reading, failure);
    if (status == STATUS_OK)
        status = take_time(readings, row, &reading, failure);
    if (status == STATUS_OK)
        status = take_batch(readings, row, &reading, failure);
    if (status == STATUS_OK)
        status = csv_in_text(row, SESSION, &reading.session, failure);
    if (status == STATUS_OK)
        status = csv_in_text(row, NOTE, &reading.note, failure);
    if (status == STATUS_OK)
        status = bulk_add_reading(readings->bulk, &reading, &added, failure);
    if (status == STATUS_OK && added) {
        readings->import.added++;
        count_gaps(readings, &reading);
    } else if (status == STATUS_OK) {
        readings->import.skipped++;
    }
    return status;
}

/* Rule 5. */
static enum status
hold(struct context *context, char *const *codes, size_t count, int64_t first_session,
     struct failure *failure)
{
    struct filed_sessions filed = {first_session, INT64_MAX};

    return count == 0 ? STATUS_OK
                      : batch_state_after_results(context, (const char *const *)codes, count, filed, failure);
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
    char **codes = NULL;
    size_t count = 0;
    int64_t first_session = 0;
    enum status status = bulk_open(context->store, readings->now, &readings->bulk, failure);

    if (status != STATUS_OK)
        return status;
    status = import_read(&readings->import, take, readings, failure);
    if (status == STATUS_OK)
        bulk_added(readings->bulk, &codes, &count, &first_session);
    status = bulk_close(readings->bulk, true, status, failure);
    if (status == STATUS_OK) {
        report(readings);
        status = hold(context, codes, count, first_session, failure);
    }
    for (size_t i = 0; i < count; i++)
        free(codes[i]);
    free(codes);
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct readings readings = {.now = context_now(context), .percent = options_number(options, "percent")};
    struct held_words held;
    struct failure undone = {0}; /* a dry run is undone, and unsaid, on purpose */
    enum status status = import_open(&readings.import, context, options, columns, LENGTH(columns), failure);

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
    import_close(&readings.import);
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
