/* release.h - the states of a batch: what holds it, what releases it.
 *
 * Rules
 * (1) States: in-cure, held, released, discarded. A discarded batch stays discarded.
 * (2) A test or titration that makes the batch doubtful or lye-heavy holds it at once, a released one too; and so does
 *     what leaves nothing judged of a released one, as when its calibration is withdrawn.
 *     Nothing but the maker's command takes a hold off.
 * (3) hold: from in-cure and released. release: from in-cure and held, when the evidence the policy names is
 *     there, or overridden with a reason. discard: from every other state.
 * (4) The evidence for a release, each asked on its own:
 *     - the conclusion (conclusion.h) is within, by every bar, and each bar by the bound of day 28 as well, whatever its
 *       age was when it was read;
 *     - old enough (rule 5);
 *     - checked-meter: the last judged sitting of every bar was read with a meter calibrated at most
 *       RELEASE_CALIBRATION_DAYS before, or the bar's own titration is within;
 *     - ages: so many different ages at which all that could be judged was within; two titrated bars need no second age;
 *     - deviations-explained: in the session read last, and in those that each bar stands by, no step is off without a reason,
 *       and none of the batch's sessions is left unfinished;
 *     - titration: a titration says within; a reworked batch always needs those of two bars;
 *     - the batch was not made lye-heavy on purpose.
 * (5) By pH a release rests on a judged sitting at the policy's cure-days, 28 at least, counted at the sitting. Two
 *     titrated bars may release from day 7 on (judgement), and speak for young bars that are within by the bound of their
 *     age as long as nothing was tested at 28 days or more; from then on such a bar is read again, or titrated. */
#ifndef RELEASE_H
#define RELEASE_H

#include "conclusion.h"
#include "policy.h"

enum state_cause { STATE_BY_HOLD, STATE_BY_RELEASE, STATE_BY_DISCARD, STATE_BY_RESULT };

struct state_request {
    enum state_cause cause;
    bool evidence_met;         /* for a release */
    bool overridden;           /* likewise */
    bool by_old_rule;          /* likewise: it was released before the rule of this version, and is kept so */
    enum verdict_word verdict; /* STATE_BY_RESULT: the conclusion now */
};

/* The state that follows (rules 1 to 3).
 *
 * ret_state  the same as `from` when a result changes nothing
 *
 * STATUS_CONFLICT when the command is not possible in this state or the evidence is not there. */
enum status release_next_state(enum batch_state from, const struct state_request *request,
                               enum batch_state *ret_state, struct failure *failure);

enum { RELEASE_CALIBRATION_DAYS = 30, RELEASE_TITRATION_AGE_D = 7 }; /* judgement */

/* Is there a judged sitting within at `least_d` days or more, or are two bars titrated (rule 5)? */
bool release_old_enough(const struct conclusion *conclusion, int least_d);

/* The evidence for a release (rules 4 and 5).
 *
 * conclusion  of the same dossier; its bars are weighed up
 * ret_check   owned by the caller, release_check_clear() */
void release_check_of(const struct dossier *dossier, const struct conclusion *conclusion,
                      const struct policy *policy, struct release_check *ret_check);
void release_check_clear(struct release_check *check);

#endif
