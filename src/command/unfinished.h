/* unfinished.h - walk-throughs that were left and not finished. */
#ifndef UNFINISHED_H
#define UNFINISHED_H

#include "command.h"

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

/* Close one before its end: nothing is deleted, what was read counts as before, and the record keeps why it was
 * closed and what was left undone. Says so on context->out.
 *
 * closed_at  not before the session began
 *
 * STATUS_USAGE without a reason, STATUS_MISSING for no such walk-through, STATUS_CONFLICT when it is finished;
 * otherwise as sitting_after(). */
enum status unfinished_close(struct context *context, int64_t session_id, civil_time closed_at,
                             const char *why, struct failure *failure);
void unfinished_free(struct unfinished *list, size_t count);

#endif
