/* correct_calibration.c - what follows for a calibration when it, or one of its buffers, is put right. */
#include "correct_calibration.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "buffer.h"
#include "calibration_store.h"
#include "gear_store.h"
#include "memory.h"
#include "meter_check.h"
#include "number.h"
#include "text.h"

static bool
is_it(const struct calibration *calibration, int64_t calibration_id, int64_t point_id)
{
    bool found = calibration->id == calibration_id;

    for (size_t i = 0; i < calibration->point_count; i++)
        found = found || (point_id != 0 && calibration->points[i].id == point_id);
    return found;
}

/* Among one meter's; left alone when it is not there. */
static enum status
find_of_meter(struct store *store, int64_t meter_id, int64_t calibration_id, int64_t point_id,
              struct calibration *ret_calibration, struct failure *failure)
{
    struct calibration *all = NULL;
    size_t count = 0;
    enum status status = calibration_store_list(store, meter_id, &all, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (is_it(&all[i], calibration_id, point_id))
            *ret_calibration = all[i];
        else
            calibration_clear(&all[i]);
    }
    free(all);
    return status;
}

enum status
correct_calibration_find(struct context *context, int64_t calibration_id, int64_t point_id,
                         struct calibration *ret_calibration, struct gear *ret_meter, struct failure *failure)
{
    struct gear *gear = NULL;
    size_t count = 0;
    enum status status = gear_store_list(context->store, &gear, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK && ret_calibration->id == 0 && gear[i].kind == GEAR_METER) {
            status =
                find_of_meter(context->store, gear[i].id, calibration_id, point_id, ret_calibration, failure);
            if (ret_calibration->id != 0) {
                *ret_meter = gear[i];
                continue;
            }
        }
        gear_clear(&gear[i]);
    }
    free(gear);
    if (status == STATUS_OK && ret_calibration->id == 0)
        return failure_set(failure, STATUS_MISSING, "there is no %s number %lld",
                           point_id == 0 ? "calibration" : "buffer",
                           (long long)(point_id == 0 ? calibration_id : point_id));
    return status;
}

static char *
kept_number(double number)
{
    char text[NUMBER_TEXT_SIZE];

    return isnan(number) ? NULL : memory_copy(number_format(number, text));
}

static bool
same_text(const char *a, const char *b)
{
    return a == NULL || b == NULL ? a == b : strcmp(a, b) == 0;
}

/* Keep a value that is another now; both are freed. */
static enum status
keep(struct context *context, const char *word, int64_t number, const char *column, char *before, char *now,
     const struct put_right_reason *reason, struct failure *failure)
{
    const struct correctable *record = correctable_find(word);
    const struct put_right_value value = {correctable_field(record, column), now};
    enum status status = STATUS_OK;
    int64_t ignored;

    if (!same_text(before, now))
        status =
            correction_store_add(context->store, record, number, &value, 1, false, reason, &ignored, failure);
    free(before);
    free(now);
    return status;
}

/* What the table says of each buffer at its temperature. */
static enum status
follow_points(struct context *context, struct calibration *calibration, const struct put_right_reason *reason,
              struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < calibration->point_count; i++) {
        struct calibration_point *point = &calibration->points[i];
        const struct buffer *buffer;
        double before_ph = point->table_ph;

        status = buffer_find(point->buffer, &buffer, failure);
        if (status == STATUS_OK)
            status = buffer_ph(buffer, calibration->declared ? 25.0 : point->temperature_c, &point->table_ph,
                               failure);
        if (status == STATUS_OK)
            status = keep(context, "buffer", point->id, "table_ph", kept_number(before_ph),
                          kept_number(point->table_ph), reason, failure);
    }
    return status;
}

static enum status
follow_check(struct context *context, struct calibration *calibration, const struct gear *meter,
             const struct put_right_reason *reason, struct failure *failure)
{
    struct meter_check check = {0};
    char *slope = kept_number(calibration->slope_percent), *offset = kept_number(calibration->offset_mv);
    char *verdict = memory_copy(calibration_verdict_word(calibration->verdict));
    char *why = memory_copy(calibration->reason);
    enum status status = meter_check_judge(calibration, meter, &check, failure);

    if (status != STATUS_OK) {
        free(slope);
        free(offset);
        free(verdict);
        free(why);
        return status;
    }
    meter_check_file(&check, calibration);
    meter_check_clear(&check);
    status = keep(context, "calibration", calibration->id, "slope_percent", slope,
                  kept_number(calibration->slope_percent), reason, failure);
    if (status == STATUS_OK)
        status = keep(context, "calibration", calibration->id, "offset_mv", offset,
                      kept_number(calibration->offset_mv), reason, failure);
    else
        free(offset);
    if (status == STATUS_OK)
        status = keep(context, "calibration", calibration->id, "verdict", verdict,
                      memory_copy(calibration_verdict_word(calibration->verdict)), reason, failure);
    else
        free(verdict);
    if (status == STATUS_OK)
        status = keep(context, "calibration", calibration->id, "reason", why,
                      memory_copy(calibration->reason), reason, failure);
    else
        free(why);
    return status;
}

enum status
correct_calibration_follow(struct context *context, const struct correct_target *target,
                           const struct put_right_reason *reason, struct failure *failure)
{
    bool whole = strcmp(target->record->word, "calibration") == 0;
    struct calibration calibration = {0};
    struct gear meter = {0};
    enum status status;

    if (!whole && strcmp(target->record->word, "buffer") != 0)
        return STATUS_OK;
    status = correct_calibration_find(context, whole ? target->number : 0, whole ? 0 : target->number,
                                      &calibration, &meter, failure);
    if (status == STATUS_OK && !calibration.withdrawn)
        status = follow_points(context, &calibration, reason, failure);
    if (status == STATUS_OK && !calibration.withdrawn && calibration.purpose == CALIBRATION_ADJUST)
        status = follow_check(context, &calibration, &meter, reason, failure);
    calibration_clear(&calibration);
    gear_clear(&meter);
    return status;
}
