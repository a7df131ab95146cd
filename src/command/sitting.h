/* sitting.h - what follows a walk-through: titrations are worked out, and bad results hold their batches. */
#ifndef SITTING_H
#define SITTING_H

#include <stdbool.h>

#include "command.h"

/* Call it when walk_prompt() has given the word back, finished or not.
 *
 * What a titration's answers complete is on record already (titrating.h); a walk of an earlier version is made up for
 * here. Then batch_state_after_results() for every batch of the session, and the result of a finished titration on the
 * screen.
 *
 * STATUS_MISSING when the acid was left out, otherwise as bench_lay_out(), titrating_file() and
 * batch_state_after_results(). */
enum status sitting_after(struct context *context, int64_t session_id, bool finished,
                          struct failure *failure);

/* Close one before its end: nothing is deleted, what was read counts as before, and the record keeps why it was
 * closed and what was left undone. Says so on context->out.
 *
 * closed_at  not before the session began
 *
 * STATUS_USAGE without a reason, STATUS_MISSING for no such walk-through, STATUS_CONFLICT when it is finished;
 * otherwise as sitting_after(). */
enum status sitting_close_early(struct context *context, int64_t session_id, civil_time closed_at,
                                const char *why, struct failure *failure);

#endif
