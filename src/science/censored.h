/* censored.h - mean and spread of a normal quantity that is only known to lie in intervals.
 *
 * Use: a test paper shows a range, the meter a value; meter - high to meter - low holds the paper's bias in
 * that pair. The mean is the bias, the sd its spread from strip to strip.
 *
 * Rules
 * (1) Maximum likelihood; standard errors from the observed information.
 * (2) Solved by Newton steps in mean/sd and 1/sd, in which the logarithm of the likelihood is concave:
 *     there is one maximum, found from anywhere (J. Burridge 1981, J. R. Stat. Soc. B 43, 41-45; from memory).
 * (3) When one value lies in every interval, or at its end, the likelihood is greatest without any spread:
 *     the intervals are too coarse to show it. That is said, not failed, and the mean is then known no better
 *     than the narrowest interval. */
#ifndef CENSORED_H
#define CENSORED_H

#include <stdbool.h>
#include <stddef.h>

#include "status.h"

enum { CENSORED_LEAST = 5 };

struct censored_normal {
    size_t count;
    bool spread_known;     /* false: rule 3 */
    double mean, mean_sd;  /* with spread_known false: middle of common_low to common_high, and the width of
                            * the narrowest interval over the square root of 12 */
    double sd, sd_sd;      /* NAN when the spread is not known */
    double covariance;     /* of mean and sd; NAN when the spread is not known */
    double log_likelihood; /* at the maximum; NAN when the spread is not known */
    double common_low, common_high; /* what lies in every interval; NAN when nothing does */
};

/* Fit `count` intervals, at least CENSORED_LEAST, finite, low not above high; equal ends are an exact value.
 *
 * STATUS_RANGE for anything else, for exact values that are all the same, or when the intervals are spread so
 * widely that no maximum can be computed. */
enum status censored_normal_fit(const double *low, const double *high, size_t count,
                                struct censored_normal *ret_fit, struct failure *failure);

#endif
