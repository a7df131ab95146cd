/* batch_state.h - a batch's state changes: by its own results at once, or by the maker. */
#ifndef BATCH_STATE_H
#define BATCH_STATE_H

#include "command.h"
#include "dossier.h"
#include "policy.h"
#include "verdict.h"

/* The sessions whose readings were filed just now, by number; zeroed: none, as for a titration. */
struct filed_sessions {
    int64_t first, last;
};

/* Call this in the transaction that filed, corrected or withdrew a reading or a titration of batch `code`:
 * when the batch is now doubtful or lye-heavy it is held at once (release.h, rule 2), one line on
 * context->out says so, and the record keeps what it rested on. So is one of which a session filed just now is
 * lye-heavy, though another was read later (filed late, or by a clock that is wrong), unless a titration cleared it.
 *
 * STATUS as dossier_store_load(), conclusion_of() and state_change_store_add(). */
enum status batch_state_after_result(struct context *context, const char *code, struct filed_sessions filed,
                                     struct failure *failure);

enum { BATCH_STATE_TOLD = 20 };

/* The same for many batches at once, judged on all cores; the first BATCH_STATE_TOLD that are held are told.
 * codes  lent; STATUS likewise, and as follow_batches() */
enum status batch_state_after_many(struct context *context, const char *const *codes, size_t count,
                                   struct filed_sessions filed, struct failure *failure);

/* What a change to a meter's record does to the batches it was read for: file it between the two. Holds those
 * that came out doubtful or lye-heavy and worse than before, as batch_state_after_result() does; a batch that
 * the maker released by override is not held again by what did not change it. */
struct batch_standings {
    char **codes; /* owned, as the verdicts */
    enum verdict_word *verdicts;
    size_t count;
};
enum status batch_standings_of_meter(struct context *context, int64_t meter_id, civil_time since,
                                     struct batch_standings *ret_standings, struct failure *failure);
enum status batch_standings_hold_worse(struct context *context, const struct batch_standings *standings,
                                       struct failure *failure);
void batch_standings_clear(struct batch_standings *standings);

/* The maker's policy, from the notebook's settings. STATUS_SYSTEM; a setting that cannot be read is refused
 * as policy_set() does. */
enum status batch_state_policy(struct store *store, struct policy *ret_policy, struct failure *failure);

/* Every state change of the batch with its reason and evidence, overrides marked. */
void batch_state_print(const struct context *context, const struct dossier *dossier);

#endif
