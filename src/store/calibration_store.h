/* calibration_store.h - calibrations and checks of meters in the notebook. */
#ifndef CALIBRATION_STORE_H
#define CALIBRATION_STORE_H

#include "calibration.h"
#include "session.h"
#include "store.h"

/* With its points; sets calibration->id. */
enum status calibration_store_add(struct store *store, struct calibration *calibration,
                                  struct failure *failure);

/* Number of the calibration a reading rests on that is made at a moment: the meter's latest before, a refused one too,
 * which ends what was in force before it and clears nothing (reading_value.h). 0 when there is none. */
enum status calibration_store_in_force(struct store *store, int64_t meter_id, civil_time at, int64_t *ret_id,
                                       struct failure *failure);

/* All of a meter's, oldest first. Given: calibration_clear() each and free() the array. */
enum status calibration_store_list(struct store *store, int64_t meter_id,
                                   struct calibration **ret_calibrations, size_t *ret_count,
                                   struct failure *failure);

/* Those that readings of meters rest on, and what followed until the meter was calibrated anew after the last of
 * these readings, oldest first. Given likewise. */
enum status calibration_store_of_readings(struct store *store, const struct reading *readings, size_t count,
                                          struct calibration **ret_calibrations, size_t *ret_count,
                                          struct failure *failure);

struct tools;
/* The same, but each lends its texts and points from `tools` (tool_store.h). Given: free() the array alone. */
enum status calibration_store_lend(struct store *store, const struct tools *tools,
                                   const struct reading *readings, size_t count,
                                   struct calibration **ret_calibrations, size_t *ret_count,
                                   struct failure *failure);

#endif
