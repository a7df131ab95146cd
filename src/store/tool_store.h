/* tool_store.h - all gear and calibrations of a notebook, read once for many batches. For the store room alone.
 *
 * Kept as they were when first asked for, until gear or a calibration is added or put right through this store. */
#ifndef TOOL_STORE_H
#define TOOL_STORE_H

#include "calibration.h"
#include "gear.h"
#include "store.h"

struct meter_calibrations {
    int64_t meter_id;
    struct calibration *calibrations; /* oldest first */
    size_t count;
};

struct tools {
    struct gear *gear; /* in the order it was added */
    size_t gear_count;
    struct meter_calibrations *meters;
    size_t meter_count;
};

/* ret_tools  lent until it is asked for after a change */
enum status tool_store_load(struct store *store, const struct tools **ret_tools, struct failure *failure);

/* Those of one meter; NULL when there is no such meter. Lent by the tools. */
const struct meter_calibrations *tools_of_meter(const struct tools *tools, int64_t meter_id);

#endif
