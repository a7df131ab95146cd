/* calibration_store.c - calibrations and checks of meters in the notebook. */
#include "calibration_store.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "row.h"
#include "sql.h"
#include "statement.h"
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
    return store_end(store, add(store, calibration, failure), failure);
}

enum status
calibration_store_in_force(struct store *store, int64_t meter_id, civil_time at, int64_t *ret_id,
                           struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_calibration_in_force, failure);
    enum status status;
    bool row = false;

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":meter", meter_id);
    statement_bind_time(statement, ":at", at);
    status = statement_step(statement, &row, failure);
    if (status == STATUS_OK)
        *ret_id = row ? statement_id(statement, 0) : 0;
    statement_done(statement);
    return status;
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
                                        .note = statement_copy(row, 10)};
    calibration_purpose_parse(statement_word(row, 4), &calibration->purpose, &ignored);
    calibration_verdict_parse(statement_word(row, 8), &calibration->verdict, &ignored);
}

static struct calibration_point
load_point(struct statement *row)
{
    return (struct calibration_point){.buffer = statement_name(row, 12),
                                      .kitchen_made = statement_int(row, 13) != 0,
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

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":meter", meter_id);
    return give(&all, list(statement, &all, failure), ret_calibrations, ret_count);
}

/* The readings of one meter: from the earliest calibration they rest on to the last of them. */
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

/* How many of a meter's were made at or before a moment; they are in the order of time. */
static size_t
count_until(const struct meter_calibrations *meter, civil_time moment)
{
    size_t low = 0, high = meter->count;

    while (low < high) {
        size_t middle = (low + high) / 2;

        if (meter->calibrations[middle].taken_at <= moment)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

/* The calibration a reading names, among those read already: backwards from the reading, for it mostly rests on the
 * one before. NULL when it is not there. */
static const struct calibration *
find_among(const struct tools *tools, const struct reading *reading)
{
    const struct meter_calibrations *meter = tools_of_meter(tools, reading->gear_id);

    for (size_t i = meter == NULL ? 0 : count_until(meter, reading->taken_at); i > 0; i--)
        if (meter->calibrations[i - 1].id == reading->calibration_id)
            return &meter->calibrations[i - 1];
    return NULL;
}

/* When the calibration that a reading names was made; left alone for one that is not there (verify tells). `tools` may
 * be NULL. */
static enum status
find_time(struct store *store, const struct tools *tools, const struct reading *reading,
          civil_time *ret_moment, struct failure *failure)
{
    const struct calibration *known = tools == NULL ? NULL : find_among(tools, reading);
    struct statement *find;
    enum status status;
    bool row = false;

    if (known != NULL) {
        *ret_moment = known->taken_at;
        return STATUS_OK;
    }
    find = statement_open(store, sql_calibration_taken_at, failure);
    if (find == NULL)
        return failure->status;
    statement_bind_int(find, ":id", reading->calibration_id);
    status = statement_step(find, &row, failure);
    if (status == STATUS_OK && row)
        *ret_moment = statement_time(find, 0);
    statement_done(find);
    return status;
}

static enum status
find_spans(struct store *store, const struct tools *tools, const struct reading *readings, size_t count,
           struct span **ret_spans, size_t *ret_count, struct failure *failure)
{
    size_t capacity = 0;
    int64_t calibration_id = 0;
    civil_time made = MOMENT_NONE; /* when that one was */
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < count; i++) {
        const struct reading *reading = &readings[i];
        civil_time from = reading->taken_at;
        struct span *span;

        if (reading->method != READING_METER)
            continue;
        if (reading->calibration_id != 0) {
            if (reading->calibration_id != calibration_id) { /* neighbours in time mostly share it */
                made = reading->taken_at;                    /* for one that is not there */
                status = find_time(store, tools, reading, &made, failure);
            }
            calibration_id = reading->calibration_id;
            from = made;
        }
        span = span_of(ret_spans, ret_count, &capacity, reading->gear_id);
        span->first = from < span->first ? from : span->first;
        span->last = reading->taken_at > span->last ? reading->taken_at : span->last;
    }
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
    size_t end = count_until(meter, span->last);

    while (end < meter->count && meter->calibrations[end].purpose != CALIBRATION_ADJUST)
        end++;
    if (end < meter->count) /* those made at the very moment of the next calibration belong to it */
        end = count_until(meter, meter->calibrations[end].taken_at);
    for (size_t i = count_until(meter, span->first - 1); i < end; i++) {
        all->calibrations =
            memory_room(all->calibrations, all->count, &all->capacity, sizeof *all->calibrations);
        all->calibrations[all->count++] = meter->calibrations[i];
    }
}

static void
sort(struct calibrations *all, size_t span_count)
{
    if (span_count > 1 && all->count > 1)
        qsort(all->calibrations, all->count, sizeof *all->calibrations, by_time);
}

enum status
calibration_store_of_readings(struct store *store, const struct reading *readings, size_t count,
                              struct calibration **ret_calibrations, size_t *ret_count,
                              struct failure *failure)
{
    struct calibrations all = {0};
    struct span *spans = NULL;
    size_t span_count = 0;
    enum status status = find_spans(store, NULL, readings, count, &spans, &span_count, failure);

    for (size_t i = 0; status == STATUS_OK && i < span_count; i++)
        status = add_span(store, &spans[i], &all, failure);
    sort(&all, span_count);
    free(spans);
    return give(&all, status, ret_calibrations, ret_count);
}

enum status
calibration_store_lend(struct store *store, const struct tools *tools, const struct reading *readings,
                       size_t count, struct calibration **ret_calibrations, size_t *ret_count,
                       struct failure *failure)
{
    struct calibrations all = {0};
    struct span *spans = NULL;
    size_t span_count = 0;
    enum status status = find_spans(store, tools, readings, count, &spans, &span_count, failure);

    for (size_t i = 0; status == STATUS_OK && i < span_count; i++) {
        const struct meter_calibrations *meter = tools_of_meter(tools, spans[i].meter_id);

        if (meter != NULL)
            lend_span(meter, &spans[i], &all);
    }
    sort(&all, span_count);
    free(spans);
    *ret_calibrations = all.calibrations;
    *ret_count = all.count;
    return status;
}
