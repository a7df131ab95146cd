/* conclusion.h - pH and titration of a batch taken together.
 *
 * Rules
 * (1) A titration outranks pH: band within is within, borderline is doubtful, everything above is
 *     lye-heavy; but doubtful where only its uncertainty reaches that far and its mean does not. Both stay visible.
 * (2) A titration that found too much is cleared by a later titration only; a pH cannot show that free
 *     alkali is gone (method 5).
 * (3) A titration clears a bar that was read before it, all of its readings, or in its own sitting. Of what was
 *     filed with a date alone the order is not known, and counts against the bar. A pH read afterwards that is
 *     worse than the titration counts again: the bar, or the test, changed since. A later pH that is better, or
 *     is not judged, changes nothing.
 * (4) Without either there is nothing to conclude. */
#ifndef CONCLUSION_H
#define CONCLUSION_H

#include "free_alkali.h"
#include "verdict.h"

enum conclusion_basis { CONCLUSION_NOTHING, CONCLUSION_PH, CONCLUSION_TITRATION };

/* Owns `all` and `free_alkali`; lends the dossier. */
struct conclusion {
    enum conclusion_basis basis;
    enum verdict_word verdict;      /* not judged when there is nothing */
    struct verdict_list all;        /* every portion that was read; count 0: no readings */
    struct verdict_list ph;         /* those of the session read last, lent from `all` */
    struct free_alkali free_alkali; /* count 0: no titration */
    bool disagree;                  /* pH and titration of rule 1 to 3 say different things */
    civil_time at;                  /* of what it rests on; MOMENT_NONE for nothing */
};

/* aid             as for verdict_of_all(); NULL: nothing
 * ret_conclusion  owned by the caller, conclusion_clear()
 *
 * STATUS as verdict_of_all() and free_alkali_of(); no readings and no titrations is CONCLUSION_NOTHING. */
enum status conclusion_of(const struct dossier *dossier, const struct verdict_aid *aid,
                          struct conclusion *ret_conclusion, struct failure *failure);

/* The verdict a titration stands for (rule 1). */
enum verdict_word conclusion_of_titration(const struct titration_result *figures);

/* Was the bar read before a titration, or in its session, so that this speaks after it (rule 3)? */
bool conclusion_comes_after(const struct free_alkali_result *titrated, const struct verdict *bar);

/* Likewise for any of the titrations of the current one's day, of which the worst counts. */
bool conclusion_titrated_since(const struct free_alkali *titrated, const struct verdict *bar);

/* One line for people: "doubtful: pH 10.8 at 40 degC and 1 %, 31 % probable above 11.0 (2026-05-30)" or
 * "within: 0.031 +/- 0.012 % free NaOH by titration (2026-05-30)". Given: free() it. */
char *conclusion_text(const struct conclusion *conclusion);

/* The same for one bar of the batch: "lye-heavy: pH 11.60 +/- 0.06 at 40 degC and 1 %, ...". Given: free() it. */
char *conclusion_bar_text(const struct verdict *bar);

/* The latest lye-heavy test before those that the conclusion rests on, unless a titration that says within comes
 * after it (rule 3): a lower pH afterwards does not take it back. NULL when there is none; lent from the conclusion. */
const struct verdict *conclusion_earlier_failure(const struct conclusion *conclusion);

/* The same among the sessions of these numbers. */
const struct verdict *conclusion_failure_among(const struct conclusion *conclusion, int64_t first_session,
                                               int64_t last_session);

/* The latest titration before the current one that made the batch lye-heavy; NULL when there is none. */
const struct free_alkali_result *conclusion_earlier_titration(const struct conclusion *conclusion);

void conclusion_clear(struct conclusion *conclusion);

#endif
