/* due.h - what is to be done today: planned tests, retests, meters to calibrate, bottles past their date.
 *
 * Rules
 * (1) A planned test is done when a standing reading of the batch was taken in its slot; a planned
 *     "titrate" when a titration was; other words by either. A slot begins window_days before the planned day,
 *     but not before the middle between it and the planned day before, and ends where that of the next one
 *     begins, so that one test never stands for two. Plans of the same word make one row of slots.
 * (2) A planned test that was not done is overdue from its day on. Once the next one's slot has begun it
 *     is missed: shown until the next one is done, and then no longer.
 * (3) What the conclusion asks for next (conclusion.h) is due from the day of what it rests on, from the day the batch
 *     was held when that came later, or from the day that the step names: the words are the same as the verdict's. A batch
 *     made lye-heavy on purpose is left alone; so is a discarded one. A further test of a batch that is within is what its
 *     plan is there for.
 * (4) A meter is due when it was never calibrated, when its latest calibration was refused, or when that
 *     was more than calibration_days before the first test that is listed (before today, when none is).
 * (5) A bottle of buffer or a paper is due the day after the date printed on it.
 * (6) A batch in cure or held that was never tested, and has nothing planned, is due for its first test from
 *     DUE_FIRST_AGE_D days on, a held one from the day it was held. While a walk-through of it is unfinished,
 *     that is due instead.
 * (7) An unfinished walk-through is due from the day it was begun.
 * (8) A batch that cannot be judged is due for a look at its records today. */
#ifndef DUE_H
#define DUE_H

#include "conclusion.h"
#include "policy.h"

enum due_kind { DUE_PLAN, DUE_RETEST, DUE_FIRST, DUE_SESSION, DUE_METER, DUE_BOTTLE, DUE_TROUBLE };

enum { DUE_FIRST_AGE_D = 2 }; /* the first of the usual ages (planning.h, rule 3) */

/* Owns its texts. */
struct due_item {
    enum due_kind kind;
    char *subject; /* a batch's code, a session's number, or a name of gear */
    char *
        what; /* "test", "titrate", "rework", "resume", "calibrate", "replace", "verify", or the maker's words */
    civil_day due_on;
    int overdue_d;         /* days since due_on; below 0: still to come */
    bool missed;           /* rule 2 */
    char *why;             /* NULL: nothing to say */
    struct sentences next; /* what to type, where the conclusion says it (rule 3); else empty */
};

/* Owns its items; zeroed is empty. */
struct due_list {
    struct due_item *items;
    size_t count, capacity;
};

/* "plan", "retest", "first", "session", "meter", "bottle", "trouble". */
const char *due_kind_word(enum due_kind kind);

/* Add what is due of a batch up to `ahead_d` days from today (rules 1 to 3 and 6).
 *
 * conclusion  of the same dossier */
void due_of_batch(const struct dossier *dossier, const struct conclusion *conclusion,
                  const struct policy *policy, civil_day today, int ahead_d, struct due_list *list);

/* Add an unfinished walk-through (rule 7).
 *
 * codes  its batches, as in "W-07, W-08"; "" for none */
void due_of_session(int64_t session_id, civil_time begun, const char *codes, civil_day today,
                    struct due_list *list);

/* Add a batch that cannot be judged (rule 8). */
void due_of_trouble(const char *code, const char *why, civil_day today, struct due_list *list);

/* Add what is due of one piece of gear (rules 4 and 5); call it after the batches.
 *
 * latest  a meter's latest calibration; NULL: none, or no meter */
void due_of_gear(const struct gear *gear, const struct calibration *latest, const struct policy *policy,
                 civil_day today, int ahead_d, struct due_list *list);

/* The longest overdue first, what was missed last; then by kind and subject. */
void due_sort(struct due_list *list);
void due_list_clear(struct due_list *list);

#endif
