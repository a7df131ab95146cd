/* power.h - how many readings a t test needs, and what a number of readings can show.
 *
 * Rules
 * (1) Power is the probability that a two-sided t test at `significance` finds a true difference, in
 *     either direction. It comes from the noncentral t distribution.
 * (2) `sd` is the scatter of one reading about its mean; for pairs, the scatter of one difference.
 * (3) `count` is the number of pairs, or for two samples of readings in each; `significance` is from 1e-9 to below 1.
 *
 * Source, from memory: J. Cohen (1988), Statistical Power Analysis for the Behavioral Sciences, chapter 2. */
#ifndef POWER_H
#define POWER_H

#include <stddef.h>

#include "status.h"

enum power_design {
    POWER_PAIRS,      /* one set of differences, or of readings against a fixed value */
    POWER_TWO_SAMPLES /* two sets of `count` readings each */
};

/* The largest count that is looked at; counts are from 2 up to here. */
enum { POWER_COUNT_LIMIT = 1000000 };

/* Smallest count whose power is at least `power` (above significance, below 1) for a difference other than 0.
 *
 * STATUS_RANGE also when more than POWER_COUNT_LIMIT would be needed. */
enum status power_count_needed(enum power_design design, double difference, double sd, double significance,
                               double power, size_t *ret_count, struct failure *failure);

/* Smallest difference, above 0, that `count` readings find with `power`: to a relative 1e-9. */
enum status power_detectable_difference(enum power_design design, size_t count, double sd,
                                        double significance, double power, double *ret_difference,
                                        struct failure *failure);

#endif
