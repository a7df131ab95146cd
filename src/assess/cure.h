/* cure.h - how a batch settles: a curve through its results, their trend, the one that does not fit, and when
 * the batch is likely to reach a pH.
 *
 * Rules
 * (1) The curve is an exponential approach to an end value, weighted by 1/u^2 (approach_fit.h). Where the
 *     results cannot carry it: a straight line over three ages or more, unless its misfit has a probability
 *     below 0.001; else no curve. Which and why is said.
 * (2) Uncertainties of a curve rest on the stated ones, unless the results scatter about it more than
 *     those explain (chi-squared, 5 %): then on the scatter, by Student's t.
 * (3) A curing bar falls. Where a result lies above the one before by more than their combined expanded
 *     uncertainty, the later one is marked for rechecking; the earlier one when it lies as far below the one
 *     after next too, and then the later one only when it lies as far above the one two before. The coverage
 *     factor is Bonferroni's, so that a sound series is marked at most once in twenty. Of several results of
 *     that age those are marked that depart by themselves, or all. Nothing is left out of the fit.
 * (4) Nothing is said about ages beyond half again the observed span.
 * (5) Ready: the 95 % band of the mean brackets the target from ready_from_d to ready_to_d. Before, the
 *     mean is above the target; after, below. This is the calibration interval of E. C. Fieller (1954), J. R.
 *     Stat. Soc. B 16, 175-185; it holds the true age as often as the band holds the mean.
 * (6) Trend without a curve: Mann-Kendall and Theil-Sen (rank.h), from three results on. */
#ifndef CURE_H
#define CURE_H

#include <stdbool.h>
#include <stddef.h>

#include "approach_fit.h"
#include "clock.h"
#include "line_fit.h"
#include "rank.h"
#include "status.h"

#define CURE_TARGET_PH_USUAL 10.0 /* a target of makers, not a limit: common practice, no source */
#define CURE_COVERAGE 0.95

/* One result of a batch. */
struct cure_point {
    double age_d;    /* since pouring */
    double ph, u_ph; /* at 40 degC and 1 %; standard uncertainty, above 0 */
    unsigned flags;  /* of the result (flag.h) */
};

enum cure_model { CURE_NO_MODEL, CURE_LINE, CURE_APPROACH };

enum cure_flag {
    CURE_FEW_RESULTS,   /* few-results: fewer than three ages; no curve */
    CURE_FEW_AGES,      /* few-ages: fewer than four; no approach */
    CURE_FLAT,          /* flat: the results do not change at all */
    CURE_NO_END,        /* no-end: no sign yet of levelling off */
    CURE_TOO_FAST,      /* too-fast: all change lies before the second age */
    CURE_RATE_UNSURE,   /* rate-unsure: the results scatter too much to fix the rate */
    CURE_LINE_REFUTED,  /* line-refuted: no straight line fits either */
    CURE_SCATTER,       /* scatter: more than the stated uncertainties explain (rule 2) */
    CURE_RISING,        /* rising: the curve rises */
    CURE_RECHECK,       /* recheck: at least one result is marked (rule 3) */
    CURE_NOT_PREDICTED, /* not-predicted: no ready_to_d */
    CURE_FLAG_COUNT
};

/* Owns its marks. */
struct cure {
    size_t count, age_count; /* results, and different ages */
    double age_low_d, age_high_d;
    double age_limit_d; /* rule 4 */
    enum cure_model model;
    unsigned flags;           /* bits 1 << enum cure_flag */
    struct approach approach; /* when model is CURE_APPROACH */
    struct line line;         /* when it is CURE_LINE */
    double residual_sd;       /* about the curve, in pH; NAN without degrees of freedom or curve */
    bool trend_known;
    struct rank_trend trend; /* ages in days */
    bool *marked;            /* `count`, in the order of the points (rule 3) */
    size_t marked_count;
    double target_ph;
    double ready_from_d,
        ready_to_d; /* NAN: beyond what may be said; from = to = age_low_d: below all along */
};

/* Follow a cure.
 *
 * points    `count` of them (0 allowed) in order of age
 * ret_cure  owned by the caller: cure_clear()
 *
 * STATUS_RANGE for ages out of order, numbers that are not finite, u_ph not above 0 or numbers too large to
 * compute with. */
enum status cure_follow(const struct cure_point *points, size_t count, double target_ph,
                        struct cure *ret_cure, struct failure *failure);
void cure_clear(struct cure *cure);

/* The curve's mean at an age and the half-widths of two 95 % intervals about it: for the mean, and for one
 * new result with standard uncertainty `new_u_ph`.
 *
 * STATUS_RANGE without a curve, or outside age_low_d to age_limit_d. */
enum status cure_at(const struct cure *cure, double age_d, double new_u_ph, double *ret_ph,
                    double *ret_mean_half, double *ret_new_half, struct failure *failure);

/* The date of ready_from_d (rounded down) or, when `to`, of ready_to_d (rounded up); DAY_NONE for NAN. */
civil_day cure_ready_day(const struct cure *cure, civil_day made_on, bool to);

bool cure_has(const struct cure *cure, enum cure_flag flag);

/* "approach", "line" or "none". Lent for ever. */
const char *cure_model_word(enum cure_model model);

/* Words of the flags joined by ';'. Given: free() it. */
char *cure_flag_text(const struct cure *cure);

/* One sentence on why there is no approach (and no line), "" when there is one. Given: free() it. */
char *cure_reason_text(const struct cure *cure);

/* What may lie behind a marked result with these flags, the likeliest first. Given: free() it. */
char *cure_causes_text(unsigned flags);

#endif
