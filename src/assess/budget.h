/* budget.h - the uncertainty budget of one result: readings of one specimen, valued and averaged.
 *
 * Rules
 * (1) Calibration, drift, thermometer and weighing are the same for all readings of a specimen, so
 *     they are averaged and not divided by their number; only the scatter is. A scatter is never less than what the
 *     meter's last digit gives (resolution / sqrt 12).
 * (2) Values are sorted before they are summed: the order of readings changes nothing.
 * (3) Each part names its source as well (sources.h), so that what several results share is known.
 * (4) The free share of temperature and concentration (at_reference.h) and a departure that a check found are no lines
 *     here: they are added whole to what the decision looks at, the share to the interval too.
 * (5) Components with fewer than five degrees of freedom are widened first (scatter_widen()). */
#ifndef BUDGET_H
#define BUDGET_H

#include <stddef.h>

#include "reading_value.h"
#include "scatter.h"
#include "sources.h"
#include "uncertainty.h"

enum { BUDGET_MOST_LINES = 10 };

struct budget {
    size_t count;
    struct uncertainty_component lines[BUDGET_MOST_LINES]; /* names are lent for ever */
    double shares[BUDGET_MOST_LINES];                      /* together 1 */
    struct uncertainty total;                              /* coverage 95 % */
    double share_half_ph, departure_ph;                    /* rule 4 */
    struct sources sources;                                /* the same parts by source (rule 3) */
};

/* Mean after sorting (rule 2); sorts in place. NAN for none. */
double budget_mean(double *values, size_t count);

/* The budget of the mean of `count` values, at least one.
 *
 * STATUS_RANGE as uncertainty_combine(). */
enum status budget_of(const struct reading_value *values, size_t count, const struct scatter *scatter,
                      struct budget *ret_budget, struct failure *failure);

/* The standard uncertainty of that budget alone, for a curve of many readings. STATUS_RANGE likewise. */
enum status budget_u_ph(const struct reading_value *values, size_t count, const struct scatter *scatter,
                        double *ret_u_ph, struct failure *failure);

#endif
