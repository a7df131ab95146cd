/* batch_state.h - a batch's state changes: by its own results at once, or by the maker. */
#ifndef BATCH_STATE_H
#define BATCH_STATE_H

#include "command.h"
#include "dossier.h"
#include "settling.h"

enum { BATCH_STATE_TOLD = 20 };

/* hold_after_results() for the batches of these codes, in the transaction that filed what they are judged on: a line
 * on context->out for each of the first BATCH_STATE_TOLD that are held. Status likewise. */
enum status batch_state_after_results(struct context *context, const char *const *codes, size_t count,
                                      struct filed_sessions filed, struct failure *failure);

/* standings_settle(), told likewise, with each verdict that is another one now. */
enum status batch_state_after_change(struct context *context, const struct standings *before,
                                     const char *cause, struct failure *failure);

/* Say the one next step of a batch. STATUS as batch_case_open(). */
enum status batch_state_next(struct context *context, const char *code, struct failure *failure);

/* Release it when the evidence is there, or in spite of what is missing, with a reason; says what was asked and found.
 * since_at: since when; 0 for now.
 * STATUS_CONFLICT when it is not there, STATUS_USAGE for an override without a reason. */
enum status batch_state_release(struct context *context, const char *code, bool overridden, const char *why,
                                civil_time since_at, struct failure *failure);

/* Every state change of the batch with its reason and evidence, overrides marked. */
void batch_state_print(const struct context *context, const struct dossier *dossier);

#endif
