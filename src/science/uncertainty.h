/* uncertainty.h - uncertainty budget, coverage and the probability of conformity.
 *
 * Sources: JCGM 100:2008 (GUM) clauses 4.3, 5.1.2, G.4 and table G.2; JCGM 106:2012. Clause and equation
 * numbers in this file are from memory.
 *
 * Rules
 * (1) Components are independent of each other.
 * (2) A component with no spread or no sensitivity is allowed; it has a share of zero.
 * (3) When every component is zero the degrees of freedom are infinite and all shares are zero. */
#ifndef UNCERTAINTY_H
#define UNCERTAINTY_H

#include <stddef.h>

#include "status.h"

/* What is known about one component, and so what its `spread` is (JCGM 100:2008, 4.3.7 to 4.3.9). */
enum uncertainty_shape {
    UNCERTAINTY_NORMAL,      /* spread is a standard deviation */
    UNCERTAINTY_RECTANGULAR, /* spread is a half-width; divided by the square root of 3 */
    UNCERTAINTY_TRIANGULAR,  /* spread is a half-width; divided by the square root of 6 */
    UNCERTAINTY_ARCSINE      /* spread is a half-width, the ends likeliest; divided by the square root of 2 */
};

struct uncertainty_component {
    const char *name; /* lent; used in messages */
    enum uncertainty_shape shape;
    double spread;      /* in the component's own unit, 0 or more */
    double sensitivity; /* change of the result for a change of one unit of the component */
    double dof;         /* degrees of freedom, above 0; INFINITY for a stated limit */
};

struct uncertainty {
    double standard_uncertainty;
    double effective_dof;        /* Welch-Satterthwaite, not rounded down; INFINITY allowed */
    double coverage_factor;      /* k, from Student's t at the effective degrees of freedom */
    double expanded_uncertainty; /* k times the standard uncertainty */
};

/* Standard uncertainty of a component in the unit of the result: |sensitivity| times spread over the
 * divisor of its shape. The component has passed uncertainty_combine(). */
double uncertainty_component_standard(const struct uncertainty_component *component);

/* Combine a budget.
 *
 * components            `count` of them, at least one
 * coverage_probability  above 0 and below 1; 0.95 is usual
 * ret_shares            each component's part of the variance, together 1 (rule 3 apart), `count` of them;
 *                       may be NULL
 *
 * STATUS_RANGE for a spread below zero, a sensitivity or spread that is not finite, degrees of freedom not
 * above zero, an empty budget, or a coverage outside 0 to 1.
 * Source: JCGM 100:2008, equations 11a (combined), G.2b (effective degrees of freedom) and G.1d. */
enum status uncertainty_combine(const struct uncertainty_component *components, size_t count,
                                double coverage_probability, struct uncertainty *ret_uncertainty,
                                double *ret_shares, struct failure *failure);

/* The standard uncertainty of that result alone. STATUS_RANGE likewise. */
enum status uncertainty_standard(const struct uncertainty_component *components, size_t count,
                                 double *ret_standard_uncertainty, struct failure *failure);

/* Probability that the true value is above `limit`, given the estimate, its standard uncertainty (0 or more)
 * and degrees of freedom (INFINITY: normal). With an uncertainty of zero: 0, 1, or 0.5 exactly at the limit.
 *
 * STATUS_RANGE for numbers that are not finite, an uncertainty below zero, degrees of freedom not above zero.
 * Source: JCGM 106:2012, clause 7 (conformance probability, normal); with few degrees of freedom the scaled
 * and shifted t of JCGM 101:2008, 6.4.9. */
enum status uncertainty_probability_above(double estimate, double standard_uncertainty, double dof,
                                          double limit, double *ret_probability, struct failure *failure);

/* Pooled standard deviation of groups that share one true scatter.
 *
 * sds, dofs         standard deviation (0 or more) and degrees of freedom (above 0, finite) of each group
 * ret_sd, ret_dof   sqrt(sum(dof sd^2) / sum(dof)) and sum(dof)
 *
 * STATUS_RANGE for anything else.
 * Source: JCGM 100:2008, 4.2.4 (a pooled estimate from earlier observations). */
enum status uncertainty_pooled_sd(const double *sds, const double *dofs, size_t count, double *ret_sd,
                                  double *ret_dof, struct failure *failure);

#endif
