/* rank.h - trend and difference by ranks: no model, no normal scatter, little moved by a wild reading.
 *
 * Rules
 * (1) Mann-Kendall: S, the pairs that rise less the pairs that fall, with its variance corrected for ties
 *     in x and in y, and a continuity correction of one. Two-sided p from the normal distribution: an
 *     approximation, fair from about ten points; below, a p near the threshold decides nothing.
 * (2) Theil-Sen: the median of the slopes of all pairs that differ in x.
 * (3) Up to 1000 points every slope is computed. Beyond, order statistics of the slopes are found by
 *     counting inversions and halving, to a relative 1e-12: n log n work and memory for n, so that long series
 *     do not hang. */
#ifndef RANK_H
#define RANK_H

#include <stddef.h>

#include "status.h"

struct rank_trend {
    size_t count;
    double s;                     /* rising pairs less falling pairs; a whole number */
    double s_sd;                  /* standard deviation of s if there were no trend; 0 when all y are equal */
    double p_value;               /* two-sided; 1 when all y are equal */
    double tau_b;                 /* Kendall's tau-b, -1 to 1; 0 when all y are equal */
    double slope;                 /* Theil-Sen, unit of y per unit of x */
    double slope_low, slope_high; /* its interval; -INFINITY and INFINITY with too few points for it */
    double intercept;             /* median of y - slope x */
};

/* Trend of y along x.
 *
 * x, y      `count` finite numbers in any order, at least 3 points, not all with the same x
 * coverage  of the slope's interval, above 0 and below 1
 *
 * STATUS_RANGE for anything else or numbers too large to compute with.
 * Sources, from memory: H. B. Mann (1945), Econometrica 13, 245-259; M. G. Kendall, Rank Correlation Methods
 * (variance with ties in both); P. K. Sen (1968), J. Am. Stat. Assoc. 63, 1379-1389,
 * doi:10.1080/01621459.1968.10480934, with the interval of R. O. Gilbert (1987), Statistical Methods
 * for Environmental Pollution Monitoring, section 16.5: ranks (N - C)/2 and (N + C)/2 + 1 of N slopes with C
 * = z sd(S), rounded to whole ranks. */
enum status rank_trend(const double *x, const double *y, size_t count, double coverage,
                       struct rank_trend *ret_trend, struct failure *failure);

/* Two-sided p values of two tests of a difference by ranks; equal sizes share their mean rank. Up to
 * RANK_EXACT_MOST values they are exact, from the distribution of the ranks at hand over all signs or all choices;
 * beyond, normal with a continuity correction of a half.
 *
 * rank_signed()  differences of pairs, at least one (F. Wilcoxon 1945, Biometrics Bull. 1, 80-83; from memory).
 *                Differences of 0 are left out; 1 when none is left
 * rank_sum()     two sets, at least one value each (H. B. Mann and D. R. Whitney 1947, Ann. Math. Stat. 18, 50-60; from
 *                memory)
 *
 * STATUS_RANGE for fewer, or numbers that are not finite. */
enum { RANK_EXACT_MOST = 40 };
enum status rank_signed(const double *differences, size_t count, double *ret_p_value,
                        struct failure *failure);
enum status rank_sum(const double *first, size_t first_count, const double *second, size_t second_count,
                     double *ret_p_value, struct failure *failure);

#endif
