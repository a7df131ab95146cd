/* correct_values.h - what is typed to put a record right, as the notebook keeps it. */
#ifndef CORRECT_VALUES_H
#define CORRECT_VALUES_H

#include "command.h"
#include "correction_store.h"

/* The row that is put right. */
struct correct_target {
    const struct correctable *record;
    int64_t number;
    int64_t gear_id; /* of a reading or a calibration: what it was made with; 0 else */
};

/* ret_values  owned by the caller: correct_values_free(); in the order of the record's fields
 *
 * STATUS_MISSING for a batch, gear or row that is not there; STATUS_FORMAT, STATUS_RANGE, STATUS_CONFLICT. */
enum status correct_values_read(struct context *context, const struct options *options,
                                const struct correct_target *target, struct put_right_value **ret_values,
                                size_t *ret_count, struct failure *failure);
void correct_values_free(struct put_right_value *values, size_t count);

/* The number of the row that is typed: a number, or a batch's code, or gear's name. STATUS_MISSING, STATUS_FORMAT. */
enum status correct_values_number(struct context *context, const struct correctable *record, const char *name,
                                  int64_t *ret_number, struct failure *failure);

#endif
