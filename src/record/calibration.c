/* calibration.c - a meter put against buffers. */
#include "calibration.h"

#include <stdlib.h>

#include "memory.h"
#include "words.h"

static const char *const purposes[] = {"calibration", "check"};
static const char *const verdicts[] = {"accepted", "marginal", "refused"};

const char *
calibration_purpose_word(enum calibration_purpose purpose)
{
    return purposes[purpose];
}

const char *
calibration_verdict_word(enum calibration_verdict verdict)
{
    return verdicts[verdict];
}

enum status
calibration_purpose_parse(const char *text, enum calibration_purpose *ret, struct failure *failure)
{
    size_t index;
    enum status status = words_find("purpose", text, purposes, LENGTH(purposes), &index, failure);

    if (status == STATUS_OK)
        *ret = (enum calibration_purpose)index;
    return status;
}

enum status
calibration_verdict_parse(const char *text, enum calibration_verdict *ret, struct failure *failure)
{
    size_t index;
    enum status status = words_find("verdict", text, verdicts, LENGTH(verdicts), &index, failure);

    if (status == STATUS_OK)
        *ret = (enum calibration_verdict)index;
    return status;
}

const struct calibration *
calibration_in_force(const struct calibration *calibrations, size_t count, civil_time at)
{
    const struct calibration *found = NULL;

    for (size_t i = 0; i < count && calibrations[i].taken_at <= at; i++)
        if (calibrations[i].purpose == CALIBRATION_ADJUST && !calibrations[i].withdrawn)
            found = &calibrations[i];
    return found;
}

void
calibration_add_point(struct calibration *calibration, struct calibration_point point)
{
    calibration->points =
        memory_resize(calibration->points, calibration->point_count + 1, sizeof *calibration->points);
    calibration->points[calibration->point_count++] = point;
}

void
calibration_clear(struct calibration *calibration)
{
    for (size_t i = 0; i < calibration->point_count; i++)
        free(calibration->points[i].buffer);
    free(calibration->points);
    free(calibration->meter_name);
    free(calibration->reason);
    free(calibration->note);
    *calibration = (struct calibration){0};
}
