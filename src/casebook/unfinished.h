/* unfinished.h - walk-throughs that were left and not finished. */
#ifndef UNFINISHED_H
#define UNFINISHED_H

#include <stddef.h>

#include "clock.h"
#include "store.h"

/* What is said of one. Owns its text. */
struct unfinished {
    int64_t id;
    civil_time begun;
    char *codes; /* of its batches, as in "W-07, W-08"; "" for none */
};

/* All of them, the latest first. Given, also on a failure: unfinished_free(). STATUS_SYSTEM. */
enum status unfinished_list(struct store *store, struct unfinished **ret_list, size_t *ret_count,
                            struct failure *failure);

/* The latest one of a batch; 0: none. STATUS_SYSTEM. */
enum status unfinished_of_batch(struct store *store, int64_t batch_id, int64_t *ret_session_id,
                                struct failure *failure);

void unfinished_free(struct unfinished *list, size_t count);

#endif
