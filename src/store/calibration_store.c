/* calibration_store.c - calibrations and checks of meters in the notebook. */
#include "calibration_store.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "row.h"
#include "sql.h"
#include "statement.h"
#include "store_internal.h"
#include "tool_store.h"

static enum status
add_point(struct store *store, int64_t calibration_id, const struct calibration_point *point,
          struct failure *failure)
{
    struct row row;
    int64_t id;

    row_start(&row, store, "calibration_point");
    row_id(&row, "calibration", calibration_id);
    row_text(&row, "buffer", point->buffer);
    row_integer(&row, "kitchen_made", point->kitchen_made ? 1 : 0);
    row_id(&row, "bottle", point->bottle_id);
    row_number(&row, "temperature_c", point->temperature_c);
    row_number(&row, "displayed_ph", point->displayed_ph);
    row_number(&row, "potential_mv", point->potential_mv);
    row_number(&row, "table_ph", point->table_ph);
    return row_add(&row, &id, failure);
}

static enum status
add(struct store *store, struct calibration *calibration, struct failure *failure)
{
    struct row row;
    enum status status;

    row_start(&row, store, "calibration");
    row_id(&row, "meter", calibration->meter_id);
    row_time(&row, "taken_at", calibration->taken_at);
    row_text(&row, "purpose", calibration_purpose_word(calibration->purpose));
    row_integer(&row, "declared", calibration->declared ? 1 : 0);
    row_number(&row, "slope_percent", calibration->slope_percent);
    row_number(&row, "offset_mv", calibration->offset_mv);
    row_text(&row, "verdict", calibration_verdict_word(calibration->verdict));
    row_text(&row, "reason", calibration->reason);
    row_text(&row, "note", calibration->note);
    status = row_add(&row, &calibration->id, failure);
    for (size_t i = 0; status == STATUS_OK && i < calibration->point_count; i++)
        status = add_point(store, calibration->id, &calibration->points[i], failure);
    return status;
}

enum status
calibration_store_add(struct store *store, struct calibration *calibration, struct failure *failure)
{
    enum status status = store_begin(store, failure);

    if (status != STATUS_OK)
        return status;
    store->kept_stale = true;
    return store_end(store, add(store, calibration, failure), failure);
}

static void
load(struct statement *row, struct calibration *calibration)
{
    struct failure ignored = {0};

    *calibration = (struct calibration){.id = statement_id(row, 0),
                                        .meter_id = statement_id(row, 1),
                                        .meter_name = statement_name(row, 2),
                                        .taken_at = statement_time(row, 3),
                                        .declared = statement_int(row, 5) != 0,
                                        .slope_percent = statement_double(row, 6),
                                        .offset_mv = statement_double(row, 7),
                                        .reason = statement_copy(row, 9),
                                        .note = statement_copy(row, 10),
                                        .withdrawn = statement_int(row, 19) != 0};
    calibration_purpose_parse(statement_word(row, 4), &calibration->purpose, &ignored);
    calibration_verdict_parse(statement_word(row, 8), &calibration->verdict, &ignored);
}

/* A bought buffer that no bottle was named for came from the first one on record: it had been opened before anybody
 * wrote down which. */
static struct calibration_point
load_point(struct statement *row)
{
    bool kitchen_made = statement_int(row, 13) != 0;
    int64_t named_id = statement_id(row, 20);

    return (struct calibration_point){.id = statement_id(row, 11),
                                      .buffer = statement_name(row, 12),
                                      .kitchen_made = kitchen_made,
                                      .bottle_id =
                                          named_id != 0 || kitchen_made ? named_id : statement_id(row, 21),
                                      .temperature_c = statement_double(row, 14),
                                      .displayed_ph = statement_double(row, 15),
                                      .potential_mv = statement_double(row, 16),
                                      .table_ph = statement_double(row, 17)};
}

struct calibrations {
    struct calibration *calibrations; /* owned */
    size_t count, capacity;
};

/* Add the rows of a bound statement: one a point, those of one calibration together. */
static enum status
list(struct statement *statement, struct calibrations *all, struct failure *failure)
{
    enum status status;
    bool row = false;

    while ((status = statement_step(statement, &row, failure)) == STATUS_OK && row) {
        if (all->count == 0 || all->calibrations[all->count - 1].id != statement_id(statement, 0)) {
            all->calibrations =
                memory_room(all->calibrations, all->count, &all->capacity, sizeof *all->calibrations);
            load(statement, &all->calibrations[all->count++]);
        }
        if (!statement_is_null(statement, 11)) /* one without points has one row */
            calibration_add_point(&all->calibrations[all->count - 1], load_point(statement));
    }
    statement_done(statement);
    return status;
}

static int
by_time(const void *a, const void *b)
{
    const struct calibration *first = a, *second = b;

    if (first->taken_at != second->taken_at)
        return first->taken_at < second->taken_at ? -1 : 1;
    return (first->id > second->id) - (first->id < second->id);
}

static void
sort(struct calibrations *all)
{
    if (all->count > 1)
        qsort(all->calibrations, all->count, sizeof *all->calibrations, by_time);
}

static enum status
give(struct calibrations *all, enum status status, struct calibration **ret_calibrations, size_t *ret_count)
{
    if (status != STATUS_OK) {
        for (size_t i = 0; i < all->count; i++)
            calibration_clear(&all->calibrations[i]);
        free(all->calibrations);
        return status;
    }
    *ret_calibrations = all->calibrations;
    *ret_count = all->count;
    return STATUS_OK;
}

enum status
calibration_store_list(struct store *store, int64_t meter_id, struct calibration **ret_calibrations,
                       size_t *ret_count, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_calibration_list, failure);
    struct calibrations all = {0};
    enum status status;

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":meter", meter_id);
    status = list(statement, &all, failure);
    sort(&all);
    return give(&all, status, ret_calibrations, ret_count);
}

enum status
calibration_store_in_force(struct store *store, int64_t meter_id, civil_time at,
                           struct calibration *ret_calibration, struct failure *failure)
{
    struct calibration *all = NULL;
    const struct calibration *found;
    size_t count = 0;
    enum status status = calibration_store_list(store, meter_id, &all, &count, failure);

    if (status != STATUS_OK)
        return status;
    found = calibration_in_force(all, count, at);
    for (size_t i = 0; i < count; i++) {
        if (&all[i] == found)
            *ret_calibration = all[i];
        else
            calibration_clear(&all[i]);
    }
    free(all);
    return STATUS_OK;
}

/* The readings of one meter: from the first to the last. */
struct span {
    int64_t meter_id;
    civil_time first, last;
};

static struct span *
span_of(struct span **spans, size_t *count, size_t *capacity, int64_t meter_id)
{
    for (size_t i = 0; i < *count; i++)
        if ((*spans)[i].meter_id == meter_id)
            return &(*spans)[i];
    *spans = memory_room(*spans, *count, capacity, sizeof **spans);
    (*spans)[*count] = (struct span){.meter_id = meter_id, .first = INT64_MAX, .last = INT64_MIN};
    return &(*spans)[(*count)++];
}

/* One that names its calibration may rest on any. */
static struct span *
find_spans(const struct reading *readings, size_t count, size_t *ret_count)
{
    struct span *spans = NULL;
    size_t capacity = 0;

    *ret_count = 0;
    for (size_t i = 0; i < count; i++) {
        const struct reading *reading = &readings[i];
        civil_time from = reading->calibration_named ? 0 : reading->taken_at;
        struct span *span;

        if (reading->method != READING_METER)
            continue;
        span = span_of(&spans, ret_count, &capacity, reading->gear_id);
        span->first = from < span->first ? from : span->first;
        span->last = reading->taken_at > span->last ? reading->taken_at : span->last;
    }
    return spans;
}

static enum status
add_span(struct store *store, const struct span *span, struct calibrations *all, struct failure *failure)
{
    struct statement *between = statement_open(store, sql_calibration_between, failure);

    if (between == NULL)
        return failure->status;
    statement_bind_id(between, ":meter", span->meter_id);
    statement_bind_time(between, ":first", span->first);
    statement_bind_time(between, ":last", span->last);
    return list(between, all, failure);
}

/* As sql_calibration_between, from what was read already; texts and points stay the tools'. */
static void
lend_span(const struct meter_calibrations *meter, const struct span *span, struct calibrations *all)
{
    const struct calibration *in_force = calibration_in_force(meter->calibrations, meter->count, span->first);
    civil_time next = INT64_MAX; /* those made at its very moment belong to it */

    for (size_t i = meter->count; i-- > 0 && meter->calibrations[i].taken_at > span->last;)
        if (meter->calibrations[i].purpose == CALIBRATION_ADJUST && !meter->calibrations[i].withdrawn)
            next = meter->calibrations[i].taken_at;
    for (size_t i = 0; i < meter->count && meter->calibrations[i].taken_at <= next; i++) {
        if (in_force != NULL && meter->calibrations[i].taken_at < in_force->taken_at)
            continue;
        all->calibrations =
            memory_room(all->calibrations, all->count, &all->capacity, sizeof *all->calibrations);
        all->calibrations[all->count++] = meter->calibrations[i];
    }
}

/* What was withdrawn is left out; owned ones are cleared. */
static void
leave_out_withdrawn(struct calibrations *all, bool owned)
{
    size_t kept = 0;

    for (size_t i = 0; i < all->count; i++) {
        if (!all->calibrations[i].withdrawn)
            all->calibrations[kept++] = all->calibrations[i];
        else if (owned)
            calibration_clear(&all->calibrations[i]);
    }
    all->count = kept;
}

/* Which calibration a reading rests on: what the maker named, where it stands, else what follows from the times.
 * Calibrations of several meters are in the order of time. */
static void
derive(const struct calibrations *all, struct reading *reading)
{
    int64_t named_id = reading->calibration_named ? reading->calibration_id : 0;

    reading->calibration_id = 0;
    for (size_t i = 0; i < all->count; i++) {
        const struct calibration *calibration = &all->calibrations[i];

        if (calibration->meter_id != reading->gear_id || calibration->purpose != CALIBRATION_ADJUST)
            continue;
        if (calibration->id == named_id) {
            reading->calibration_id = named_id;
            return;
        }
        if (calibration->taken_at <= reading->taken_at)
            reading->calibration_id = calibration->id;
    }
}

static void
finish(struct calibrations *all, bool owned, struct reading *readings, size_t count)
{
    leave_out_withdrawn(all, owned);
    sort(all);
    for (size_t i = 0; i < count; i++)
        if (readings[i].method == READING_METER)
            derive(all, &readings[i]);
}

enum status
calibration_store_of_readings(struct store *store, struct reading *readings, size_t count,
                              struct calibration **ret_calibrations, size_t *ret_count,
                              struct failure *failure)
{
    struct calibrations all = {0};
    size_t span_count = 0;
    struct span *spans = find_spans(readings, count, &span_count);
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < span_count; i++)
        status = add_span(store, &spans[i], &all, failure);
    finish(&all, true, readings, count);
    free(spans);
    return give(&all, status, ret_calibrations, ret_count);
}

void
calibration_store_lend(const struct tools *tools, struct reading *readings, size_t count,
                       struct calibration **ret_calibrations, size_t *ret_count)
{
    struct calibrations all = {0};
    size_t span_count = 0;
    struct span *spans = find_spans(readings, count, &span_count);

    for (size_t i = 0; i < span_count; i++) {
        const struct meter_calibrations *meter = tools_of_meter(tools, spans[i].meter_id);

        if (meter != NULL)
            lend_span(meter, &spans[i], &all);
    }
    finish(&all, false, readings, count);
    free(spans);
    *ret_calibrations = all.calibrations;
    *ret_count = all.count;
}
