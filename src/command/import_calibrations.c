/* import_calibrations.c - "import calibrations": what meters showed in buffers, from a CSV file.
 *
 * Rules
 * (1) A row is one buffer (buffer, and displayed_ph or potential_mv), or a whole calibration with a column for each buffer
 *     (import.h, rule 6), in which stands what "calibrate" takes: 9.21, or -128.4mV. Rows of one meter, time and purpose
 *     are one calibration.
 * (2) They are kept in the order of time, whatever their order in the file, each judged as a typed one; readings that
 *     are there already are judged by them from now on, and batches that come out worse are held.
 * (3) One that the notebook has with the same buffers and values is skipped; with others it is refused.
 * (4) A buffer without a temperature counts as 25 degC only where the meter's own routine was used: else it is refused. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch_state.h"
#include "buffer.h"
#include "calibrate.h"
#include "calibration_store.h"
#include "commands.h"
#include "gear_store.h"
#include "import.h"
#include "memory.h"
#include "session.h"

enum {
    METER,
    TAKEN_AT,
    TIME,
    PURPOSE,
    OWN_ROUTINE,
    BUFFER,
    KITCHEN_MADE,
    TEMPERATURE_C,
    DISPLAYED_PH,
    POTENTIAL_MV,
    NOTE
};
static const struct csv_column columns[] = {
    [METER] = {.name = "meter", .need = CSV_OPTIONAL},
    [TAKEN_AT] = {.name = "taken_at", .need = CSV_VALUE, .holds = CSV_TIME},
    [TIME] = {.name = "time", .need = CSV_OPTIONAL},
    [PURPOSE] = {.name = "purpose", .need = CSV_OPTIONAL},
    [OWN_ROUTINE] = {.name = "own_routine", .need = CSV_OPTIONAL},
    [BUFFER] = {.name = "buffer", .need = CSV_OPTIONAL},
    [KITCHEN_MADE] = {.name = "kitchen_made", .need = CSV_OPTIONAL},
    [TEMPERATURE_C] = {.name = "temperature_c", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [DISPLAYED_PH] = {.name = "displayed_ph", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [POTENTIAL_MV] = {.name = "potential_mv", .need = CSV_OPTIONAL, .holds = CSV_NUMBER},
    [NOTE] = {.name = "note", .need = CSV_OPTIONAL},
};

static const struct option_spec options_known[] = {
    IMPORT_OPTIONS,
    {.name = "meter",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "of which meter, where the rows do not say"},
    {.name = NULL},
};

/* A calibration of the file and the line it begins in. */
struct told {
    struct calibration calibration; /* owned */
    size_t line, order;
};

struct calibrations {
    struct import import;
    struct gear *gear; /* owned, all of the notebook's */
    size_t gear_count;
    struct told *told; /* owned */
    size_t count, capacity;
};

/* --- rows ---------------------------------------------------------------------------------------------- */

static enum status
find_meter(const struct calibrations *all, const struct csv_row *row, int64_t *ret_id,
           struct failure *failure)
{
    const char *name = NULL;
    const struct gear *found = NULL;
    size_t count = 0;

    if (csv_in_text(row, METER, &name, failure) != STATUS_OK)
        return failure->status;
    if (name == NULL)
        name = options_text(all->import.options, "meter");
    for (size_t i = 0; i < all->gear_count; i++) {
        if (all->gear[i].kind != GEAR_METER || (name != NULL && !text_same(all->gear[i].name, name)))
            continue;
        found = &all->gear[i];
        count++;
    }
    if (count == 1) {
        *ret_id = found->id;
        return STATUS_OK;
    }
    if (name == NULL)
        failure_set(failure, STATUS_MISSING,
                    "says nothing, and the notebook has no meter or more than one (--meter)");
    else
        failure_set(failure, STATUS_MISSING, "there is no meter '%.60s' (gear add, or import gear)", name);
    return csv_row_at(row, METER, failure);
}

static enum status
read_yes(const struct csv_row *row, size_t column, bool *ret_yes, struct failure *failure)
{
    static const char *const words[] = {"no", "0", "false", "-", "yes", "1", "true", "x"};
    const char *word = NULL;

    if (csv_in_text(row, column, &word, failure) != STATUS_OK)
        return failure->status;
    *ret_yes = false;
    for (size_t i = 0; word != NULL && i < LENGTH(words); i++) {
        if (text_same(word, words[i])) {
            *ret_yes = i >= LENGTH(words) / 2;
            return STATUS_OK;
        }
    }
    if (word == NULL)
        return STATUS_OK;
    failure_set(failure, STATUS_FORMAT, "'%.40s' is neither yes nor no", word);
    return csv_row_at(row, column, failure);
}

/* The calibration that a row belongs to: one that is there, or a new one. Its index is given. */
static size_t
find_told(struct calibrations *all, const struct csv_row *row, const struct calibration *key)
{
    for (size_t i = all->count; i > 0; i--) {
        const struct calibration *other = &all->told[i - 1].calibration;

        if (other->meter_id == key->meter_id && other->taken_at == key->taken_at &&
            other->purpose == key->purpose)
            return i - 1;
    }
    all->told = memory_room(all->told, all->count, &all->capacity, sizeof *all->told);
    all->told[all->count] = (struct told){*key, row->line, all->count};
    return all->count++;
}

/* What all rows of a calibration say. */
static enum status
read_key(const struct calibrations *all, const struct csv_row *row, struct calibration *key,
         struct failure *failure)
{
    const char *purpose = NULL;
    enum status status = find_meter(all, row, &key->meter_id, failure);

    if (status == STATUS_OK)
        status = csv_in_time(row, TAKEN_AT, TIME, &key->taken_at, failure);
    if (status == STATUS_OK && key->taken_at > context_now(all->import.context)) {
        failure_set(failure, STATUS_RANGE, "is in the future");
        return csv_row_at(row, TAKEN_AT, failure);
    }
    if (status == STATUS_OK)
        status = csv_in_text(row, PURPOSE, &purpose, failure);
    if (status == STATUS_OK && purpose != NULL &&
        calibration_purpose_parse(purpose, &key->purpose, failure) != STATUS_OK)
        return csv_row_at(row, PURPOSE, failure);
    return status == STATUS_OK ? read_yes(row, OWN_ROUTINE, &key->declared, failure) : status;
}

/* A buffer and what the meter showed, of which the place in the file is `column`. */
static enum status
add_point(const struct csv_row *row, size_t column, const char *name, struct calibration_point *point,
          struct calibration *calibration, struct failure *failure)
{
    const struct buffer *buffer = NULL;
    enum status status = buffer_find(name, &buffer, failure);

    if (status == STATUS_OK)
        status = read_yes(row, KITCHEN_MADE, &point->kitchen_made, failure);
    else
        return csv_row_at(row, column, failure);
    if (status == STATUS_OK)
        status = csv_in_quantity(row, TEMPERATURE_C, UNITS_TEMPERATURE, READING_LOWEST_C, READING_HIGHEST_C,
                                 &point->temperature_c, failure);
    if (status != STATUS_OK)
        return status;
    if (calibration->declared != (isnan(point->displayed_ph) && isnan(point->potential_mv))) {
        failure_set(failure, STATUS_FORMAT,
                    calibration->declared
                        ? "the meter's own routine has no values"
                        : "what did the meter show in it? (own_routine says that it did not tell)");
        return csv_row_at(row, column, failure);
    }
    if (isnan(point->temperature_c) && !calibration->declared) { /* rule 4 */
        failure_set(failure, STATUS_MISSING, "is empty: the buffer's temperature is needed");
        return csv_row_at(row, TEMPERATURE_C, failure);
    }
    if (buffer_ph(buffer, calibration->declared ? 25.0 : point->temperature_c, &point->table_ph, failure) !=
        STATUS_OK)
        return csv_row_at(row, TEMPERATURE_C, failure);
    if (calibration->declared)
        point->temperature_c = NAN;
    point->buffer = memory_copy(buffer->name);
    calibration_add_point(calibration, *point);
    return STATUS_OK;
}

static struct calibration_point
no_point(void)
{
    return (struct calibration_point){
        .temperature_c = NAN, .displayed_ph = NAN, .potential_mv = NAN, .table_ph = NAN};
}

/* Rule 1: a buffer named in the row. */
static enum status
take_long(const struct csv_row *row, struct calibration *calibration, struct failure *failure)
{
    struct calibration_point point = no_point();
    const char *name = NULL;

    if (csv_in_text(row, BUFFER, &name, failure) != STATUS_OK ||
        csv_in_quantity(row, DISPLAYED_PH, UNITS_PH, PH_LOWEST, PH_HIGHEST, &point.displayed_ph, failure) !=
            STATUS_OK ||
        csv_in_number(row, POTENTIAL_MV, -1000.0, 1000.0, &point.potential_mv, failure) != STATUS_OK)
        return failure->status;
    return name == NULL ? STATUS_OK : add_point(row, BUFFER, name, &point, calibration, failure);
}

/* Rule 1: a column a buffer. Of the meter's own routine it says yes. */
static enum status
take_wide(const struct import *import, const struct csv_row *row, struct calibration *calibration,
          struct failure *failure)
{
    for (size_t i = 0; i < import->ingredient_count; i++) {
        const struct import_ingredient *buffer = &import->ingredients[i];
        struct calibration_point point = no_point();
        const char *shown = NULL;
        bool used = true;

        if (csv_in_text(row, buffer->column, &shown, failure) != STATUS_OK)
            return failure->status;
        if (shown == NULL)
            continue;
        if (calibration->declared) {
            if (read_yes(row, buffer->column, &used, failure) != STATUS_OK)
                return failure->status;
        } else if (calibrate_parse_shown(shown, &point, failure) != STATUS_OK) {
            return csv_row_at(row, buffer->column, failure);
        }
        if (used && add_point(row, buffer->column, buffer->name, &point, calibration, failure) != STATUS_OK)
            return failure->status;
    }
    return STATUS_OK;
}

static enum status
take(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct calibrations *all = payload;
    struct calibration key = {.slope_percent = NAN, .offset_mv = NAN}, *calibration;
    const char *note = NULL;
    size_t points, index;
    enum status status = read_key(all, row, &key, failure);

    if (status == STATUS_OK)
        status = csv_in_text(row, NOTE, &note, failure);
    if (status != STATUS_OK)
        return status;
    index = find_told(all, row, &key); /* may move the array */
    calibration = &all->told[index].calibration;
    calibration->declared = key.declared;
    points = calibration->point_count;
    if (calibration->note == NULL)
        calibration->note = memory_copy(note);
    status = take_long(row, calibration, failure);
    if (status == STATUS_OK)
        status = take_wide(&all->import, row, calibration, failure);
    if (status == STATUS_OK && calibration->point_count == points) {
        failure_set(failure, STATUS_FORMAT, "no buffer is named (a column buffer, or one for each of them)");
        return csv_row_at(row, BUFFER, failure);
    }
    return status;
}

/* --- what becomes of them ------------------------------------------------------------------------------ */

static int
by_time(const void *a, const void *b)
{
    const struct told *x = a, *y = b;

    if (x->calibration.taken_at != y->calibration.taken_at)
        return x->calibration.taken_at < y->calibration.taken_at ? -1 : 1;
    if (x->calibration.purpose != y->calibration.purpose)
        return x->calibration.purpose == CALIBRATION_ADJUST ? -1 : 1; /* a check needs what it checks */
    return (x->order > y->order) - (x->order < y->order);
}

static bool
same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool
same_point(const struct calibration_point *a, const struct calibration_point *b)
{
    return strcmp(a->buffer, b->buffer) == 0 && a->kitchen_made == b->kitchen_made &&
           same_number(a->temperature_c, b->temperature_c) && same_number(a->displayed_ph, b->displayed_ph) &&
           same_number(a->potential_mv, b->potential_mv);
}

/* The order of the buffers does not matter. */
static bool
same_values(const struct calibration *a, const struct calibration *b)
{
    bool same = a->declared == b->declared && a->point_count == b->point_count;

    for (size_t i = 0; same && i < a->point_count; i++) {
        same = false;
        for (size_t k = 0; k < b->point_count; k++)
            same = same || same_point(&a->points[i], &b->points[k]);
    }
    return same;
}

/* Rule 3. */
static enum status
look_for(struct store *store, const struct calibration *told, bool *ret_there, struct failure *failure)
{
    struct calibration *there = NULL;
    size_t count = 0;
    enum status status = calibration_store_list(store, told->meter_id, &there, &count, failure);
    bool other = false;

    for (size_t i = 0; i < count; i++) {
        if (there[i].taken_at == told->taken_at && there[i].purpose == told->purpose) {
            *ret_there = *ret_there || same_values(&there[i], told);
            other = true;
        }
        calibration_clear(&there[i]);
    }
    free(there);
    if (status == STATUS_OK && other && !*ret_there)
        status = failure_set(failure, STATUS_CONFLICT, "the notebook has one of that time with other values");
    return status;
}

static const struct gear *
meter_of(const struct calibrations *all, int64_t id)
{
    for (size_t i = 0; i < all->gear_count; i++)
        if (all->gear[i].id == id)
            return &all->gear[i];
    return NULL;
}

/* One that is refused is a problem of the file; the others are tried all the same. */
static enum status
keep(struct calibrations *all, struct told *told, struct failure *failure)
{
    struct import *import = &all->import;
    struct store *store = import->context->store;
    bool there = false;
    enum status status = look_for(store, &told->calibration, &there, failure);

    if (status == STATUS_OK && there) {
        import->skipped_rows++;
        return STATUS_OK;
    }
    if (status == STATUS_OK)
        status =
            calibrate_keep(store, meter_of(all, told->calibration.meter_id), &told->calibration, failure);
    if (status == STATUS_OK) {
        import->added++;
        return STATUS_OK;
    }
    if (status == STATUS_SYSTEM)
        return status;
    failure_at(failure, "%s:%zu: ", options_name(import->options, 0), told->line);
    problems_add(&import->problems, failure);
    *failure = (struct failure){0};
    return STATUS_OK;
}

static enum status
keep_all(struct calibrations *all, struct failure *failure)
{
    enum status status = STATUS_OK;

    if (all->count > 1)
        qsort(all->told, all->count, sizeof *all->told, by_time);
    for (size_t i = 0; status == STATUS_OK && i < all->count; i++)
        status = keep(all, &all->told[i], failure);
    if (status == STATUS_OK)
        status = import_outcome(&all->import, status, failure);
    if (status == STATUS_OK)
        import_report(&all->import);
    return status;
}

/* How batches stand that were read with any of the meters, before anything is kept. */
static enum status
stand_before(const struct calibrations *all, struct standings *standings, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < all->gear_count; i++)
        if (all->gear[i].kind == GEAR_METER)
            status = standings_add_gear(all->import.context->store, all->gear[i].id, MOMENT_NONE, standings,
                                        failure);
    return status;
}

/* Rule 2. */
static enum status
finish(void *payload, struct failure *failure)
{
    struct calibrations *all = payload;
    struct standings standings = {0};
    enum status status = stand_before(all, &standings, failure);

    if (status == STATUS_OK)
        status = keep_all(all, failure);
    if (status == STATUS_OK)
        status =
            batch_state_after_change(all->import.context, &standings, "calibrations were imported", failure);
    standings_clear(&standings);
    return status;
}

static void
calibrations_clear(struct calibrations *all)
{
    for (size_t i = 0; i < all->count; i++)
        calibration_clear(&all->told[i].calibration);
    free(all->told);
    for (size_t i = 0; i < all->gear_count; i++)
        gear_clear(&all->gear[i]);
    free(all->gear);
    import_close(&all->import);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    static const struct import_kind kind = {"calibrations",  "calibrations", columns,
                                            LENGTH(columns), options_known,  IMPORT_BUFFERS};
    struct calibrations all = {0};
    enum status status = import_open(&all.import, context, options, &kind, failure);

    if (status == STATUS_OK)
        status = gear_store_list(context->store, &all.gear, &all.gear_count, failure);
    if (status == STATUS_OK)
        status = import_run(&all.import, take, finish, &all, failure);
    calibrations_clear(&all);
    return status;
}

const struct command import_calibrations_command = {
    .name = "import calibrations",
    .names = "FILE",
    .fewest = 1,
    .most = 1,
    .summary = "add calibrations and checks of meters from a CSV file, all of them or none",
    .example = "curetrace import calibrations buffers.csv --column \"buffer borax=Borax\" --check",
    .options = options_known,
    .needs = COMMAND_WRITES_STORE,
    .run = run,
};
