/* observation_store.h - what was seen or said beside the readings, and bars that are used up. */
#ifndef OBSERVATION_STORE_H
#define OBSERVATION_STORE_H

#include "observation.h"
#include "store.h"

/* Set the id of what they add. What supersedes one says why; STATUS_CONFLICT when that one is superseded
 * already. An observation should have passed observation_check(). */
enum status observation_store_add(struct store *store, struct observation *observation,
                                  struct failure *failure);
enum status used_up_store_add(struct store *store, struct used_up *used_up, struct failure *failure);

/* Of the batch's sittings and portions, oldest first, superseded ones too. Given: clear each, free() the array. */
enum status observation_store_of_batch(struct store *store, int64_t batch_id,
                                       struct observation **ret_observations, size_t *ret_count,
                                       struct failure *failure);
/* Likewise of one sitting, all batches' portions. */
enum status observation_store_of_session(struct store *store, int64_t session_id,
                                         struct observation **ret_observations, size_t *ret_count,
                                         struct failure *failure);
enum status used_up_store_of_batch(struct store *store, int64_t batch_id, struct used_up **ret_used_up,
                                   size_t *ret_count, struct failure *failure);

#endif
