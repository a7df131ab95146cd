/* calibration_store.c - calibrations and checks of meters in the notebook. */
#include "calibration_store.h"

#include <stdlib.h>
#include <string.h>

#include "journal.h"
#include "memory.h"
#include "sql.h"

static enum status
add_point(struct store *store, int64_t calibration_id, const struct calibration_point *point,
          struct failure *failure)
{
    struct statement *add = statement_open(store, sql_calibration_point_add, failure);
    int64_t id;

    if (add == NULL)
        return failure->status;
    statement_bind_id(add, ":calibration", calibration_id);
    statement_bind_text(add, ":buffer", point->buffer);
    statement_bind_int(add, ":kitchen_made", point->kitchen_made ? 1 : 0);
    statement_bind_double(add, ":temperature_c", point->temperature_c);
    statement_bind_double(add, ":displayed_ph", point->displayed_ph);
    statement_bind_double(add, ":potential_mv", point->potential_mv);
    statement_bind_double(add, ":table_ph", point->table_ph);
    return journal_insert(store, add, "calibration_point", &id, failure);
}

static enum status
add(struct store *store, struct calibration *calibration, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_calibration_add, failure);
    enum status status;

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":meter", calibration->meter_id);
    statement_bind_time(statement, ":taken_at", calibration->taken_at);
    statement_bind_text(statement, ":purpose", calibration_purpose_word(calibration->purpose));
    statement_bind_int(statement, ":declared", calibration->declared ? 1 : 0);
    statement_bind_double(statement, ":slope_percent", calibration->slope_percent);
    statement_bind_double(statement, ":offset_mv", calibration->offset_mv);
    statement_bind_text(statement, ":verdict", calibration_verdict_word(calibration->verdict));
    statement_bind_text(statement, ":reason", calibration->reason);
    statement_bind_text(statement, ":note", calibration->note);
    status = journal_insert(store, statement, "calibration", &calibration->id, failure);
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
        *ret_id =
            row && strcmp(statement_text(statement, 1), "refused") != 0 ? statement_id(statement, 0) : 0;
    statement_done(statement);
    return status;
}

static void
clear_all(struct calibration *calibrations, size_t count)
{
    for (size_t i = 0; i < count; i++)
        calibration_clear(&calibrations[i]);
    free(calibrations);
}

static void
load(struct statement *row, struct calibration *calibration)
{
    struct failure ignored = {0};

    *calibration = (struct calibration){.id = statement_id(row, 0),
                                        .meter_id = statement_id(row, 1),
                                        .meter_name = statement_copy(row, 2),
                                        .taken_at = statement_time(row, 3),
                                        .declared = statement_int(row, 5) != 0,
                                        .slope_percent = statement_double(row, 6),
                                        .offset_mv = statement_double(row, 7),
                                        .reason = statement_copy(row, 9),
                                        .note = statement_copy(row, 10)};
    calibration_purpose_parse(statement_text(row, 4), &calibration->purpose, &ignored);
    calibration_verdict_parse(statement_text(row, 8), &calibration->verdict, &ignored);
}

static struct calibration_point
load_point(struct statement *row)
{
    return (struct calibration_point){.buffer = statement_copy(row, 12),
                                      .kitchen_made = statement_int(row, 13) != 0,
                                      .temperature_c = statement_double(row, 14),
                                      .displayed_ph = statement_double(row, 15),
                                      .potential_mv = statement_double(row, 16),
                                      .table_ph = statement_double(row, 17)};
}

/* The rows of a bound statement: one a point, those of one calibration together. */
static enum status
list(struct statement *statement, struct calibration **ret_calibrations, size_t *ret_count,
     struct failure *failure)
{
    struct calibration *calibrations = NULL;
    size_t count = 0, capacity = 0;
    enum status status;
    bool row = false;

    while ((status = statement_step(statement, &row, failure)) == STATUS_OK && row) {
        if (count == 0 || calibrations[count - 1].id != statement_id(statement, 0)) {
            calibrations = memory_room(calibrations, count, &capacity, sizeof *calibrations);
            load(statement, &calibrations[count++]);
        }
        if (!statement_is_null(statement, 11)) /* one without points has one row */
            calibration_add_point(&calibrations[count - 1], load_point(statement));
    }
    statement_done(statement);
    if (status != STATUS_OK) {
        clear_all(calibrations, count);
        return status;
    }
    *ret_calibrations = calibrations;
    *ret_count = count;
    return STATUS_OK;
}

enum status
calibration_store_list(struct store *store, int64_t meter_id, struct calibration **ret_calibrations,
                       size_t *ret_count, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_calibration_list, failure);

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":meter", meter_id);
    return list(statement, ret_calibrations, ret_count, failure);
}

enum status
calibration_store_of_batch(struct store *store, int64_t batch_id, struct calibration **ret_calibrations,
                           size_t *ret_count, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_calibration_of_batch, failure);

    if (statement == NULL)
        return failure->status;
    statement_bind_id(statement, ":batch", batch_id);
    return list(statement, ret_calibrations, ret_count, failure);
}
