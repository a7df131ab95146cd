/* verdict.h - what the readings of a cup, or of the cups of a bar in one sitting, say: within, doubtful, lye-heavy, or
 * not judged.
 *
 * Rules (JCGM 106:2012, guarded acceptance; the bounds are common practice and judgement: bounds.h)
 * (1) y is the mean at 40 degC and 1.00 %, u its standard uncertainty on nu degrees of freedom, a the half-width of the
 *     free share of temperature and concentration, d a departure that a check found. within when
 *     y + d + a + t_{0.95,nu} u <= clear_ph and y >= usual_low_ph; lye-heavy when y > limit_ph; doubtful between
 *     (treated as lye-heavy until retested). d and a never make a bar lye-heavy.
 * (2) Only usable readings (reading_value.h) of a sitting that is not poor make the mean. A sitting is poor when its water
 *     was not distilled or deionised, or read outside 5.5 to 7.5, or soap was left undissolved: hard water and a rest at
 *     the bottom make lye look like less. So does carbon dioxide from the air: it is poor too when its first and last
 *     reading lie more than a day apart.
 * (3) What is poor is not judged: it never clears. It speaks against a bar: doubtful when its value, brought as far as
 *     known to 40 degC and 1 %, lies above clear_ph less 0.2; lye-heavy when the least it can be lies above limit_ph. The
 *     least is the value itself where the meter was calibrated and all is known that brings it to the reference: water,
 *     residue, drift and distance from the buffers take nothing off a high reading.
 *     Such a sitting is doubtful too where it would be by rule 1: not being judged makes nothing better.
 *     Readings more than 1 pH beyond the buffers or outside pH 2 to 12 are poor.
 * (4) Cups of one labelled bar in one sitting are joined: C of them, the scatter within them and between them in u; they
 *     are apart when chi-squared of their means has p below 1 %, and then the worst counts with the u of one cup.
 * (5) Paper whose whole range, its bias taken off, lies above clear_ph makes a bar doubtful where no meter could judge
 *     it, never lye-heavy; else it says nothing. Paper never clears.
 * (6) Superseded and withdrawn readings are left out. The order of readings changes nothing.
 * (7) A reference bar of the same recipe and about the same age (verdict_reference.c) can only speak against: the low
 *     end of free alkali against it above 0.2 % is doubtful, above 0.5 % lye-heavy.
 * (8) A pH does not certify free alkali. A titration does: conclusion.h joins the two and all bars of a batch.
 * (9) Readings of several meters are not averaged: each meter's are judged by themselves, and the worse
 *     answer counts.
 * (10) Readings of one cup that lie further apart than VERDICT_SCATTERED_PH are no measurement of it: within
 *     becomes doubtful (judgement). */
#ifndef VERDICT_H
#define VERDICT_H

#include <stdbool.h>
#include <stddef.h>

#include "bounds.h"
#include "budget.h"
#include "dossier.h"
#include "flag.h"
#include "paper_bias.h"
#include "reading_value.h"
#include "status.h"

#define VERDICT_LYE_HEAVY_AT_LEAST 0.50    /* rule 1 */
#define VERDICT_CONFIDENCE 0.95            /* rule 1, one-sided */
#define VERDICT_POOR_MARGIN_PH 0.2         /* rule 3; judgement */
#define VERDICT_CUPS_P 0.01                /* rule 4 */
#define VERDICT_REFERENCE_DOUBTFUL_PCT 0.2 /* rule 7 */
#define VERDICT_REFERENCE_HEAVY_PCT 0.5
#define VERDICT_SCATTERED_PH 0.15 /* three times what ISO 10523 calls attainable; judgement */
#define VERDICT_APART_PH                                                                                     \
    0.2 /* of two readings of one cup: said at once; judgement, two of them then have that scatter */
#define VERDICT_WATER_LOW_PH 5.5 /* rule 2 */
#define VERDICT_WATER_HIGH_PH 7.5
#define VERDICT_SOUND_SPREAD_PH 0.05 /* of sound bars of one recipe and age; judgement */

/* From best to worst. */
enum verdict_word { VERDICT_WITHIN, VERDICT_NOT_JUDGED, VERDICT_DOUBTFUL, VERDICT_LYE_HEAVY };

struct verdict_list;
struct policy;

/* What the balance of a batch's recipe says (lye_balance.h). Zeroed: no recipe that can be balanced. */
struct recipe_evidence {
    bool known;
    double p_excess;        /* probability that lye exceeds fat, of the recipe in force */
    double p_excess_noise;  /* half-width of its own doubt: the draws are finite */
    double p_excess_before; /* the largest of the recipes before it was put right; NAN: it never was */
    double
        most_naoh_pct; /* free NaOH that it can leave: upper end of the effective lye less the lower end of the
                                fats' need, in % of the batch's mass, 0 or more */
};

/* What a verdict may know beyond its own batch. All lent; zeroed is nothing. */
struct verdict_aid {
    /* Every bar of the reference batch, judged without any reference (verdict_of_all()); NULL: none. */
    const struct verdict_list *reference;
    const struct paper_bias *biases;
    size_t bias_count;
    struct scatter_group between; /* cups of one bar, over the maker's other batches (scatter.h, rule 4) */
    /* The rest is for conclusion_of() alone. */
    struct recipe_evidence recipe;
    const struct policy *policy; /* NULL: the defaults */
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
    uint64_t left_out_flags; /* what is amiss with those */
    double ph;               /* mean as shown; NAN for paper */
    double ph_at_reference;  /* mean, calibrated, at 40 degC and 1.00 %; NAN for paper */
    double spread_ph;        /* standard deviation of the readings used; NAN: one */
    double cup_spread_ph;    /* the same of one cup's, the largest; 0: of none two (rule 10) */
    double u_ph, dof, k;     /* standard uncertainty, effective degrees of freedom, coverage factor */
    double ph_low, ph_high;  /* 95 % interval at the reference; paper: its range, bias applied */
    double temperature_c, concentration_pct; /* mean, as measured */
    double limit_ph, clear_ph, usual_low_ph;
    double share_half_ph, departure_ph; /* a and d of rule 1 */
    double half_ph;                     /* half-width of the 95 % interval: k u_ph, and a whole */
    double reach_ph;                    /* y + d + a + t u of rule 1; NAN for paper and what is not judged */
    double unjudged_reach_ph;    /* the same of a poor sitting that all but that could be judged; NAN */
    double p_over_limit;         /* of y alone; NAN when the verdict does not rest on it */
    double p_over_clear;         /* that y + d + a lies above clear_ph; NAN likewise */
    bool poor;                   /* nothing in it was judged (rules 2 and 3) */
    bool raised_by_bad_evidence; /* made worse by rule 3 */
    double raised_by_ph;         /* that reading's value, brought as far as known; 0: none */
    bool raised_by_paper;        /* doubtful by rule 5 */
    bool raised_by_reference;    /* doubtful or lye-heavy by rule 7 */
    size_t cups;                 /* 1, or those of the bar that are joined (rule 4) */
    bool joined; /* it speaks for all cups of its bar in its sitting; `specimen` is the first */
    double cups_low_ph, cups_high_ph; /* least and highest mean of a cup */
    enum verdict_word verdict;
    double free_naoh_low_pct, free_naoh_high_pct; /* of the bar, NAN when it cannot be said */
    const struct dossier *reference;              /* whose bar that rests on; NULL: none */
    double reference_ph;
    uint64_t flags;
    struct scatter scatter;
    struct budget budget;             /* count 0: none */
    double drift_half_ph;             /* assumed; largest of the readings */
    double paper_low, paper_high;     /* of paper readings beside the meter, bias applied; NAN: none */
    const struct paper_bias *bias;    /* of the paper used; NULL: not learned */
    double surface_low, surface_high; /* of strips pressed on the wet bar, as read; NAN: none */
    bool raised_by_surface;           /* raised_by_paper by one of those */
    bool surface_only;                /* there is nothing else */
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

/* Judge every specimen with a standing reading: by their session's latest reading, then number; `worst` is that of the
 * session read last, not of all.
 *
 * aid       NULL: nothing known beyond the batch
 * ret_list  owned by the caller: verdict_list_clear()
 *
 * STATUS_MISSING when the batch has no standing reading; otherwise as reading_value_of(). */
enum status verdict_of_all(const struct dossier *dossier, const struct verdict_aid *aid,
                           struct verdict_list *ret_list, struct failure *failure);
void verdict_list_clear(struct verdict_list *list);

/* The same, but the cups of one labelled bar in one sitting joined (rule 4): what bars are judged by. A cup that stands
 * alone is taken from `all`; only those that are joined are judged here.
 *
 * all  verdict_of_all() of the same dossier and aid */
enum status verdict_join_cups(const struct dossier *dossier, const struct verdict_aid *aid,
                              const struct verdict_list *all, struct verdict_list *ret_list,
                              struct failure *failure);

/* Would it be within by these bounds? What a release asks of every bar (bounds_for_release()). */
bool verdict_meets(const struct verdict *verdict, const struct bounds *bounds);

/* The specimens of the session that was read last, lent from a verdict_of_all(). */
struct verdict_list verdict_list_latest(const struct verdict_list *all);

/* A single meter reading at the reference, as a curve shows it. */
struct verdict_point {
    double ph_at_reference; /* NAN for paper, and for what cannot be brought there */
    double u_ph;            /* standard uncertainty of that one reading; NAN likewise */
    uint64_t flags;
};

/* Every reading of the dossier by itself, superseded ones too (withdrawn ones are NAN).
 *
 * ret_points  dossier->reading_count of them, in the order of dossier->readings; given: free() it
 *
 * STATUS as reading_value_of(). */
enum status verdict_points(const struct dossier *dossier, struct verdict_point **ret_points,
                           struct failure *failure);

#endif
