/* correct_calibration.h - what follows for a calibration when it, or one of its buffers, is put right. */
#ifndef CORRECT_CALIBRATION_H
#define CORRECT_CALIBRATION_H

#include "calibration.h"
#include "correct_values.h"
#include "gear.h"

/* A calibration by its number, or by that of one of its buffers (the other 0), with its meter.
 * Owned by the caller: calibration_clear(), gear_clear(). STATUS_MISSING. */
enum status correct_calibration_find(struct context *context, int64_t calibration_id, int64_t point_id,
                                     struct calibration *ret_calibration, struct gear *ret_meter,
                                     struct failure *failure);

/* Work the table's pH, slope, offset, verdict and reason out anew, and keep what is another now; nothing for other records.
 * STATUS as meter_check_judge() and correction_store_add(). */
enum status correct_calibration_follow(struct context *context, const struct correct_target *target,
                                       const struct put_right_reason *reason, struct failure *failure);

#endif
