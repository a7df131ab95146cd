/* holding.h - results hold their batches (release.h, rule 2). */
#ifndef HOLDING_H
#define HOLDING_H

#include "all_batches.h"
#include "batch_case.h"

/* The sessions whose readings were filed just now, by number; zeroed: none, as for a titration. */
struct filed_sessions {
    int64_t first, last;
};

/* What holds a batch is filed in `store` as of `now`, and told. */
struct holding {
    struct store *store;
    civil_time now;
    /* A batch came into a state by the rule; why, or what a hold rests on. Lent until it returns. */
    void (*moved)(const char *code, enum batch_state state, const char *why, void *data);
    /* What was put right gave it another verdict; NULL: nobody asks. */
    void (*turned)(const char *code, const char *before, const char *now, void *data);
    void *data;
};

/* Call this in the transaction that filed, corrected or withdrew readings or titrations of these batches: one that is
 * now doubtful or lye-heavy is held at once, and the record keeps what that rests on. So is one of which a session
 * filed just now is lye-heavy, though another was read later (filed late, or by a clock that is wrong), unless a
 * titration cleared it. A batch that the maker released by override is not held again by what did not change it.
 * Nor does a batch go free for which they are the reference bar: it is held when it is doubtful or lye-heavy beside them.
 *
 * STATUS as all_batches() and state_change_store_add(). */
enum status hold_after_results(const struct holding *holding, const char *const *codes, size_t count,
                               struct filed_sessions filed, struct failure *failure);

/* The same for those alone of which these batches are the reference bar: when a hold on it ends. */
enum status hold_beside_reference(const struct holding *holding, const char *const *codes, size_t count,
                                  struct failure *failure);

/* hold_after_results() for one judged batch. */
enum status hold_for_result(const struct holding *holding, const struct batch_case *batch,
                            struct filed_sessions filed, bool *ret_held, struct failure *failure);

/* Keep a change of state by the rule, and tell. A hold is since the time of the evidence. Status as
 * state_change_store_add(). */
enum status holding_keep(const struct holding *holding, const struct batch_case *batch,
                         enum batch_state state, const char *why, const char *rests_on,
                         struct failure *failure);

/* The batches whose reference bar is that of this code, added. STATUS_SYSTEM. */
enum status holding_add_referring(struct store *store, const char *code, struct batch_codes *codes,
                                  struct failure *failure);

#endif
