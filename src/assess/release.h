/* release.h - the states of a batch: what holds it, what releases it.
 *
 * Rules
 * (1) States: in-cure, held, released, discarded. A discarded batch stays discarded.
 * (2) A test or titration that makes the batch doubtful or lye-heavy holds it at once, a released one too.
 *     Nothing but the maker's command takes a hold off.
 * (3) hold: from in-cure and released. release: from in-cure and held, when the evidence the policy names is
 *     there, or overridden with a reason. discard: from every other state.
 * (4) The evidence for a release, each asked on its own:
 *     - the conclusion (conclusion.h) is within, and so is every bar read on the day of its latest readings;
 *     - no earlier test was lye-heavy, unless a titration that says within comes after it;
 *     - checked-meter: each of those bars was read with a meter calibrated at most RELEASE_CALIBRATION_DAYS before, or a
 *       titration says it;
 *     - ages: so many different ages at which all that could be judged was within;
 *     - deviations-explained: in the sessions that the conclusion rests on no step is off without a reason,
 *       and none of the batch's sessions is left unfinished;
 *     - titration: a titration says within; a reworked batch always needs one (method 10);
 *     - cure-days: old enough;
 *     - the batch was not made lye-heavy on purpose. */
#ifndef RELEASE_H
#define RELEASE_H

#include "conclusion.h"
#include "policy.h"

enum state_cause { STATE_BY_HOLD, STATE_BY_RELEASE, STATE_BY_DISCARD, STATE_BY_RESULT };

struct state_request {
    enum state_cause cause;
    bool evidence_met;         /* for a release */
    bool overridden;           /* likewise */
    enum verdict_word verdict; /* STATE_BY_RESULT: the conclusion now */
};

/* The state that follows (rules 1 to 3).
 *
 * ret_state  the same as `from` when a result changes nothing
 *
 * STATUS_CONFLICT when the command is not possible in this state or the evidence is not there. */
enum status release_next_state(enum batch_state from, const struct state_request *request,
                               enum batch_state *ret_state, struct failure *failure);

/* One thing asked for, and what was found. */
struct release_item {
    const char *asked; /* lent for ever */
    bool met;
    char *found; /* owned */
};

enum { RELEASE_ITEMS = 8, RELEASE_CALIBRATION_DAYS = 30 /* judgement */ };

/* Owns its items. */
struct release_check {
    struct release_item items[RELEASE_ITEMS];
    size_t count;
    bool met; /* all of them */
};

/* The evidence for a release (rule 4).
 *
 * conclusion  of the same dossier
 * today       for the age
 * ret_check   owned by the caller, release_check_clear()
 */
void release_check_of(const struct dossier *dossier, const struct conclusion *conclusion,
                      const struct policy *policy, civil_day today, struct release_check *ret_check);
void release_check_clear(struct release_check *check);

#endif
