/* approach_fit.h - exponential approach to an end value, and what the points leave open of it.
 *
 *     y(t) = end + drop exp(-rate t),  t counted from the first point
 *
 * Rules
 * (1) Given the rate the model is linear and solved in closed form; the rate is searched on a grid in equal steps of
 *     its logarithm, and between the neighbours of the best one by Brent's method on the projected gradient
 *     (variable projection: Golub and Pereyra 1973, SIAM J. Numer. Anal. 10, 413-432, doi:10.1137/0710036; from
 *     memory). Times are counted from the first point, so nothing can overflow.
 * (2) An interval is taken over all rates that the points allow, by the profile of the sum of squares, without
 *     iteration: with room = least squares + reach^2 - squares(rate) it is the union, over rates whose room is not
 *     below 0, of value +/- sqrt(variance x room). It comes out skewed where the points are skewed.
 * (3) Where the slowest rate of the grid has room, the end lies beyond what the points tell: it is open on the side
 *     to which the values move.
 * (4) Scatter beyond the stated standard deviations: the variance that brings the least sum of squares to its
 *     expectation, count - 3 (R. C. Paule and J. Mandel 1982, J. Res. Natl. Bur. Stand. 87, 377-385; from memory); 0
 *     where it is no larger without any. */
#ifndef APPROACH_FIT_H
#define APPROACH_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "status.h"

enum { APPROACH_RATES = 250, APPROACH_LEAST_POINTS = 3, APPROACH_PARAMETERS = 3 };

/* The usual grid: from where half a unit of change lies within the span to where 95 % of it lies before the second
 * point. */
#define APPROACH_SLOWEST 0.5
#define APPROACH_FASTEST 3.0

/* The points at their times and the decays at every rate: worked out once for many fits. Owns its arrays. */
struct approach_grid {
    size_t count;
    double *t;         /* from the first point */
    double *log_rates; /* APPROACH_RATES */
    double *decay;     /* of rate r at point i: decay[r * count + i] */
};

/* `count` times, rising, each different from the one before, at least APPROACH_LEAST_POINTS; rates per unit of time,
 * 0 < rate_low < rate_high.
 *
 * ret_grid  owned by the caller: approach_grid_clear()
 *
 * STATUS_RANGE for anything else. */
enum status approach_grid_of(const double *t, size_t count, double rate_low, double rate_high,
                             struct approach_grid *ret_grid, struct failure *failure);
void approach_grid_clear(struct approach_grid *grid);

/* The fit at one rate. */
struct approach_rate {
    double rate, squares, end, drop;
    double weights, decay_mean, decay_squares; /* sum of weights; weighted mean and squares of the decays */
};

/* A fit. Owns its rates. */
struct approach {
    struct approach_rate best;
    bool inner;                  /* the best rate lies within the grid, not at an end of it */
    struct approach_rate *rates; /* APPROACH_RATES, rising */
};

/* y and its standard deviations, above 0; `left_out` is the index of a point that is not used, or
 * APPROACH_ALL.
 *
 * ret_approach  owned by the caller: approach_clear() */
#define APPROACH_ALL ((size_t)-1)
void approach_fit(const struct approach_grid *grid, const double *y, const double *sd, size_t left_out,
                  struct approach *ret_approach);
void approach_clear(struct approach *approach);

/* The least weighted sum of squares over the grid alone (enough to compare fits); `extra_variance` is added to each
 * variance. */
double approach_least_squares(const struct approach_grid *grid, const double *y, const double *sd,
                              double extra_variance, size_t left_out);

/* Rule 4. */
double approach_extra_variance(const struct approach_grid *grid, const double *y, const double *sd);

/* The curve at a time (any; INFINITY: the end). */
double approach_value(const struct approach *approach, double t);

/* Rule 2, at a time (INFINITY: the end); reach is the coverage factor, above 0. */
void approach_interval(const struct approach *approach, double t, double reach, double *ret_low,
                       double *ret_high);

/* The rates that have room; and rule 3. */
void approach_rate_interval(const struct approach *approach, double reach, double *ret_low, double *ret_high);
bool approach_end_open(const struct approach *approach, double reach, bool *ret_downwards);

/* How the curve at a time follows each point, to first order: c' (J'WJ)^-1 J'W at the best rate; `count` of them. Where
 * the points cannot carry the rate, at that rate. */
void approach_weights(const struct approach_grid *grid, const struct approach *approach, const double *sd,
                      double t, double *ret_weights);

#endif
