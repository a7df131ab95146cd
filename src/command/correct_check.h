/* correct_check.h - what a correction touches: the batches that rest on the record, and whether it still makes sense.
 *
 * All of them inside the transaction of the correction; STATUS as the stores', besides what is said. */
#ifndef CORRECT_CHECK_H
#define CORRECT_CHECK_H

#include "correct_values.h"
#include "settling.h"

/* Is the row there, and what was it made with? While a walk-through goes on it is the place to correct what was typed there:
 * STATUS_CONFLICT. */
enum status correct_check_find(struct context *context, struct correct_target *target,
                               struct failure *failure);

/* From a reading to its portion. */
enum status correct_check_portion_of(struct context *context, struct correct_target *target,
                                     struct failure *failure);

/* How the batches stand that rest on it, or will. */
enum status correct_check_batches(struct context *context, const struct correct_target *target,
                                  const struct put_right_value *values, size_t count,
                                  struct standings *standings, struct failure *failure);

/* STATUS_CONFLICT for a code or name that is taken.  */
enum status correct_check_before(struct context *context, const struct correct_target *target,
                                 const struct put_right_value *values, size_t count, struct failure *failure);

/* The record as it stands now passes its own check; no reading is of a day before its batch was poured; a calibration that
 * is named was made before the reading, with its meter. */
enum status correct_check_after(struct context *context, const struct correct_target *target, int64_t now,
                                struct failure *failure);

/* A line of a recipe: the recipe is put right with it changed, or without it. */
enum status correct_check_line(struct context *context, const struct correct_target *target,
                               const struct put_right_value *values, size_t count, bool withdrawn,
                               const struct put_right_reason *reason, struct failure *failure);

#endif
