/* cure.h - how a batch settles: a curve through its results, where it ends, the result that does not fit, and when
 * the batch is likely to reach a pH. Formulas and what they reach: docs/method.md, "Across the cure".
 *
 * Rules
 * (1) Results of one day are one result of the curve: their mean (sources.h). From three days on there is a curve, an
 *     exponential approach to an end (approach_fit.h), rates from 0.5 over the span of the tests to 3 over the gap
 *     between the first two.
 * (2) Only what a result shares with no other weighs it; what lies between tests beyond that (bars differ) is
 *     estimated by Paule and Mandel and drawn towards the maker's own other cures, or towards 0.035 pH with two
 *     degrees of freedom, which is said as assumed (judgement). Intervals use Student's t with the degrees of both.
 * (3) Errors that results share are carried whole, at the curve's own pH: never divided by their number.
 * (4) Where the slowest rate is not excluded the end is open on the side to which the pH moves: "ends at 10.1 or
 *     below".
 * (5) Odd: from five days on the one whose removal explains the most is marked when that is rarer than 5 % by chance,
 *     and with it those that explain nearly as much (likelihood ratio below 3.84). Of several results of that day
 *     those are marked that lie at least half as far off as the furthest. On three or four days only that they do
 *     not lie on one curve can be said, and then no date is. Below five days a rise that is larger than the results' uncertainty is marked at both
 *     its ends: a curing bar falls. Nothing is left out of the curve.
 * (6) Nothing is said about ages further outside the tests than half of their span.
 * (7) Ready: from the first day on which the band's lower edge is at the target or below, to the first on which its
 *     upper edge is below. Beyond the last test both edges hold 99 % one-sided.
 * (8) Trend without a curve: Mann-Kendall and Theil-Sen (rank.h), from three results on.
 * (9) `rising` only where the whole band at the last test lies above the whole band at the first. */
#ifndef CURE_H
#define CURE_H

#include <stdbool.h>
#include <stddef.h>

#include "approach_fit.h"
#include "clock.h"
#include "rank.h"
#include "sources.h"
#include "status.h"

#define CURE_TARGET_PH_USUAL 10.0 /* a target of makers, not a limit: common practice, no source */
#define CURE_COVERAGE 0.95
#define CURE_BETWEEN_ASSUMED_PH 0.035 /* rule 2 */
#define CURE_BETWEEN_ASSUMED_DOF 2.0

/* One result of a batch. */
struct cure_point {
    double age_d;                     /* since pouring, whole days */
    double ph, u_ph;                  /* at 40 degC and 1 %; standard uncertainty, above 0 */
    uint64_t flags;                   /* of the result (flag.h) */
    double resolution_ph;             /* of its meter; 0: not known */
    int64_t meter_id, calibration_id; /* 0: not known, none */
    const struct sources *sources;    /* lent; NULL: it shares nothing with any other */
};

/* What the maker's other cures say of the scatter between tests (rule 2). Zeroed it is none. */
struct cure_history {
    double squares, dof; /* sum of degrees times variance, in pH^2, and of degrees of freedom */
};

enum { CURE_HISTORY_MOST = 20 }; /* other cures that count: the latest */

enum cure_model { CURE_NO_MODEL, CURE_APPROACH };

enum cure_flag {
    CURE_FEW_RESULTS, /* few-results: fewer than three ages; no curve */
    CURE_END_OPEN,    /* end-open: where it ends cannot be told yet (rule 4) */
    CURE_SCATTER, /* scatter: more than the uncertainties and what was known before explain (chi-squared, 5 %) */
    CURE_SCATTER_ASSUMED, /* scatter-assumed: the maker's other cures do not tell it yet (rule 2) */
    CURE_RISING,          /* rising: rule 9 */
    CURE_RECHECK,         /* recheck: at least one result is marked (rule 5) */
    CURE_NOT_ONE_CURVE,   /* not-one-curve: three or four ages that do not lie on one (rule 5) */
    CURE_NOT_PREDICTED,   /* not-predicted: no ready_to_d */
    CURE_FLAG_COUNT
};

/* The curve at an age, or its end, with a 95 % interval. */
struct cure_band {
    double ph, low, high;
};

/* Owns its marks and its curve. */
struct cure {
    size_t count, age_count; /* results, and different ages */
    double age_low_d, age_high_d;
    double age_first_d, age_limit_d; /* rule 6; age_first_d is never below 0 */
    enum cure_model model;
    unsigned flags; /* bits 1 << enum cure_flag */
    struct approach_grid grid;
    struct approach approach;    /* the three with a curve */
    struct shared shared;        /* of the ages */
    double *sd_ph, *fitted_ph;   /* of each age: what weighs it, and the curve there */
    double between_ph, dof;      /* rule 2: scatter between tests, and the degrees of freedom of it all */
    struct cure_history before;  /* of the maker's other cures, as it was followed with */
    struct cure_history history; /* what this cure says itself */
    struct cure_band end;
    bool end_open_low, end_open_high; /* rule 4; that limit then says nothing */
    bool trend_known;
    struct rank_trend trend; /* ages in days */
    bool *marked;            /* `count`, in the order of the points (rule 5) */
    size_t marked_count;
    size_t oddest; /* of the marked ones by rule 5 from five ages on; == count: none */
    double target_ph;
    double ready_from_d,
        ready_to_d; /* whole days; NAN: beyond what may be said; from = to = age_low_d: below all along */
};

/* Follow a cure.
 *
 * points    `count` of them (0 allowed) in order of age
 * history   of the maker's other cures; NULL: none is known
 * ret_cure  owned by the caller: cure_clear()
 *
 * STATUS_RANGE for ages out of order, numbers that are not finite, u_ph not above 0. */
enum status cure_follow(const struct cure_point *points, size_t count, double target_ph,
                        const struct cure_history *history, struct cure *ret_cure, struct failure *failure);
void cure_clear(struct cure *cure);

/* Add what another cure says. */
void cure_history_add(struct cure_history *history, const struct cure_history *other);

/* The curve at an age with its 95 % band.
 *
 * STATUS_RANGE without a curve, or outside age_first_d to age_limit_d. */
enum status cure_at(const struct cure *cure, double age_d, struct cure_band *ret_band,
                    struct failure *failure);

/* As if one more result had been found, on the curve, at an age after the last one: how well the end and the dates
 * would be known then.
 *
 * points  those of the cure
 * STATUS_RANGE without a curve or for an age that is not later than the last. */
enum status cure_with_one_more(const struct cure *cure, const struct cure_point *points, double age_d,
                               struct cure *ret_cure, struct failure *failure);

/* The date of ready_from_d or, when `to`, of ready_to_d; DAY_NONE for NAN. */
civil_day cure_ready_day(const struct cure *cure, civil_day made_on, bool to);

bool cure_has(const struct cure *cure, enum cure_flag flag);

/* "approach" or "none". Lent for ever. */
const char *cure_model_word(enum cure_model model);

/* Words of the flags joined by ';'. Given: free() it. */
char *cure_flag_text(const struct cure *cure);

/* One sentence on why there is no curve, "" when there is one. Given: free() it. */
char *cure_reason_text(const struct cure *cure);

/* "ends at 9.41 (95 %: 9.30 to 9.48)", or "ends at 9.48 or below; how far it will fall cannot be told yet". Needs a
 * curve. Given: free() it. */
char *cure_end_text(const struct cure *cure);

/* What may lie behind a marked result with these flags, the likeliest first. Given: free() it. */
char *cure_causes_text(uint64_t flags);

#endif
