/* holding.h - results hold their batches (release.h, rule 2). */
#ifndef HOLDING_H
#define HOLDING_H

#include "batch_case.h"

/* The sessions whose readings were filed just now, by number; zeroed: none, as for a titration. */
struct filed_sessions {
    int64_t first, last;
};

/* What holds a batch is filed in `store` as of `now`, and told. */
struct holding {
    struct store *store;
    civil_time now;
    void (*held)(const char *code, const char *rests_on, void *data); /* lent until it returns */
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

/* How the batches stand that a meter was used for, or their reference bar was read with: taken before a change to the meter's record, and given to
 * hold_what_is_worse() after it. */
struct standings {
    char **codes; /* owned, as the verdicts */
    enum verdict_word *verdicts;
    size_t count;
};
enum status standings_of_meter(struct store *store, int64_t meter_id, civil_time since,
                               struct standings *ret_standings, struct failure *failure);

/* Holds those that came out doubtful or lye-heavy and worse than before. Status as hold_after_results(). */
enum status hold_what_is_worse(const struct holding *holding, const struct standings *standings,
                               struct failure *failure);
void standings_clear(struct standings *standings);

#endif
