/* verdict.h - what the readings of a bar say: within, doubtful, lye-heavy, or not judged.
 *
 * Rules (JCGM 106:2012, guarded acceptance; the limit itself is common practice and judgement)
 * (1) p is the probability, from Student's t, that the true pH at 40 degC and 1.00 % is above the
 *     session's limit. within when p <= 5 %, lye-heavy when p >= 50 %, doubtful between (treated as lye-heavy
 *     until retested).
 * (2) Only usable readings (reading_value.h) make the mean. Without any the bar is not judged, and that
 *     never releases it.
 * (3) A high reading is never softened by bad evidence: a reading that is not usable, or beyond the
 *     calibration or the electrode's range, that shows more than the limit makes the bar lye-heavy, the flag
 *     beside it.
 * (4) Readings beyond the calibration or the electrode's range can warn by p and cannot clear.
 * (5) Paper alone makes a bar doubtful when its range, with what is known of its bias, reaches the limit;
 *     else the bar is not judged. The same holds for paper beside a meter that cannot be judged. Beside a
 *     meter, a paper range that reaches the limit and lies above the meter's whole interval, or that lies above the limit
 *     altogether, turns within into doubtful: cheap paper errs to the low side.
 * (6) Superseded and withdrawn readings are left out. The order of readings changes nothing.
 * (7) A batch is judged by all specimens with readings of the session that was read last, finished or not,
 *     whenever it was begun; its verdict is the worst of theirs, in the order of enum verdict_word.
 * (8) A pH does not certify free alkali. A titration does, and outranks all of this: who joins the two
 *     takes the verdict_list of the batch and puts the titration's answer over `worst`; nothing in here looks
 *     at titrations.
 * (9) Readings of several meters are not averaged: each meter's are judged by themselves, and the worse
 *     answer counts.
 * (10) Readings of one bar that lie further apart than VERDICT_SCATTERED_PH are no measurement of it: within
 *     becomes doubtful (judgement).
 * (11) A meter that a check found off by more than a check allows was perhaps off by all of that when the bar was
 *     read: within becomes doubtful unless the reading is within with all of it added (judgement).
 * (12) A limit above the usual one is the maker's to set, and clears no bar that the usual one calls lye-heavy: within
 *     becomes doubtful (judgement). */
#ifndef VERDICT_H
#define VERDICT_H

#include <stdbool.h>
#include <stddef.h>

#include "budget.h"
#include "dossier.h"
#include "flag.h"
#include "paper_bias.h"
#include "reading_value.h"
#include "status.h"

#define VERDICT_WITHIN_AT_MOST 0.05     /* rule 1 */
#define VERDICT_LYE_HEAVY_AT_LEAST 0.50 /* rule 1 */
#define VERDICT_SCATTERED_PH 0.15       /* three times what ISO 10523 calls attainable; judgement */
#define VERDICT_BETWEEN_BATCHES_PH 0.1  /* how far sound batches of like recipes lie apart; judgement */
#define VERDICT_USUAL_LOW_PH 8.5        /* below: not soap as expected, or a poor reading; common practice */

/* From best to worst. */
enum verdict_word { VERDICT_WITHIN, VERDICT_NOT_JUDGED, VERDICT_DOUBTFUL, VERDICT_LYE_HEAVY };

struct verdict_list;

/* What a verdict may know beyond its own batch. All lent; zeroed is nothing. */
struct verdict_aid {
    /* Every bar of the reference batch, judged without any reference (verdict_of_all()); NULL: none. */
    const struct verdict_list *reference;
    const struct paper_bias *biases;
    size_t bias_count;
};

/* One specimen's result. Holds no memory of its own; the pointers are lent from the dossier. Not known is
 * NAN. */
struct verdict {
    const struct dossier *dossier;
    const struct session *session;
    civil_time session_read_at; /* latest standing reading of the session; set in a verdict_list */
    const struct specimen *specimen;
    civil_time read_at;                    /* latest standing reading of the portion, used or not */
    const struct reading *reading;         /* the latest that was used */
    const struct calibration *calibration; /* of that reading; NULL: none, or paper */
    const struct gear *gear;               /* of that reading */
    int age_d;                             /* at that reading */
    enum reading_method method;            /* what was judged: meter where there is one */
    size_t n;                              /* readings used */
    size_t left_out;         /* standing meter readings that were not usable, while others were */
    unsigned left_out_flags; /* what is amiss with those */
    double ph;               /* mean as shown; NAN for paper */
    double ph_at_reference;  /* mean, calibrated, at 40 degC and 1.00 %; NAN for paper */
    double spread_ph;        /* standard deviation of the readings used; NAN: one */
    double u_ph, dof, k;     /* standard uncertainty, effective degrees of freedom, coverage factor */
    double ph_low, ph_high;  /* 95 % interval at the reference; paper: its range, bias applied */
    double temperature_c, concentration_pct; /* mean, as measured */
    double limit_ph;
    double p_over_limit;         /* NAN when the verdict does not rest on it */
    bool raised_by_bad_evidence; /* lye-heavy by rule 3 */
    double raised_by_ph;         /* that reading's highest value; 0: none */
    bool raised_by_paper;        /* doubtful by rule 5, beside a meter */
    bool raised_by_drift;        /* doubtful by rule 11 */
    bool raised_by_limit;        /* doubtful by rule 12 */
    enum verdict_word verdict;
    double free_naoh_low_pct, free_naoh_high_pct; /* of the bar, NAN when it cannot be said */
    const struct dossier *reference;              /* whose bar that rests on; NULL: none */
    double reference_ph;
    unsigned flags;
    struct scatter scatter;
    struct budget budget; /* count 0: none */
    double drift_half_ph; /* largest of the readings */
    bool drift_assumed;
    double paper_low, paper_high;  /* of paper readings beside the meter, bias applied; NAN: none */
    const struct paper_bias *bias; /* of the paper used; NULL: not learned */
};

struct verdict_list {
    struct verdict *verdicts; /* owned */
    size_t count;
    enum verdict_word worst;
};

/* "within", "not-judged", "doubtful", "lye-heavy". Lent for ever. */
const char *verdict_word(enum verdict_word verdict);

/* Does an answer of the walk-through say that something about this result deviates? */
bool verdict_deviates(const struct verdict *verdict, const struct answer *answer);

/* Judge one specimen.
 *
 * aid  NULL: nothing known beyond the batch
 *
 * STATUS_MISSING for a specimen that is not there or has no standing reading; otherwise as
 * reading_value_of(). */
enum status verdict_of_specimen(const struct dossier *dossier, const struct verdict_aid *aid,
                                int64_t specimen_id, struct verdict *ret_verdict, struct failure *failure);

/* The batch's current verdict (rule 7): specimens by number. ret_list owned by the caller,
 * verdict_list_clear().
 *
 * STATUS_MISSING when the batch has no standing reading. */
enum status verdict_of_batch(const struct dossier *dossier, const struct verdict_aid *aid,
                             struct verdict_list *ret_list, struct failure *failure);

/* Every specimen with a standing reading, by their session's latest reading, then number; `worst` is that of rule 7, not of
 * all. STATUS_MISSING likewise. */
enum status verdict_of_all(const struct dossier *dossier, const struct verdict_aid *aid,
                           struct verdict_list *ret_list, struct failure *failure);
void verdict_list_clear(struct verdict_list *list);

/* The bars of the session that was read last (rule 7), lent from a verdict_of_all(). */
struct verdict_list verdict_list_latest(const struct verdict_list *all);

/* A single meter reading at the reference, as a curve shows it. */
struct verdict_point {
    double ph_at_reference; /* NAN for paper, and for what cannot be brought there */
    double u_ph;            /* standard uncertainty of that one reading; NAN likewise */
    unsigned flags;
};

/* Every reading of the dossier by itself, superseded ones too (withdrawn ones are NAN).
 *
 * ret_points  dossier->reading_count of them, in the order of dossier->readings; given: free() it
 *
 * STATUS as reading_value_of(). */
enum status verdict_points(const struct dossier *dossier, struct verdict_point **ret_points,
                           struct failure *failure);

#endif
