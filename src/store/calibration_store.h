/* calibration_store.h - calibrations and checks of meters in the notebook. */
#ifndef CALIBRATION_STORE_H
#define CALIBRATION_STORE_H

#include "calibration.h"
#include "session.h"
#include "store.h"

/* With its points; sets calibration->id. */
enum status calibration_store_add(struct store *store, struct calibration *calibration,
                                  struct failure *failure);

/* All of a meter's, oldest first, those that were withdrawn too. Given: calibration_clear() each and free() the array. */
enum status calibration_store_list(struct store *store, int64_t meter_id,
                                   struct calibration **ret_calibrations, size_t *ret_count,
                                   struct failure *failure);

/* calibration_in_force() of a meter at a moment.
 * ret_calibration  owned by the caller: calibration_clear(); left alone when there is none */
enum status calibration_store_in_force(struct store *store, int64_t meter_id, civil_time at,
                                       struct calibration *ret_calibration, struct failure *failure);

/* Those that readings of meters rest on, and what followed until the meter was calibrated anew after the last of
 * these readings, oldest first, without those that were withdrawn; each reading then names the one that it rests on.
 * Given likewise. */
enum status calibration_store_of_readings(struct store *store, struct reading *readings, size_t count,
                                          struct calibration **ret_calibrations, size_t *ret_count,
                                          struct failure *failure);

struct tools;
/* The same, but each lends its texts and points from `tools` (tool_store.h). Given: free() the array alone. */
void calibration_store_lend(const struct tools *tools, struct reading *readings, size_t count,
                            struct calibration **ret_calibrations, size_t *ret_count);

#endif
