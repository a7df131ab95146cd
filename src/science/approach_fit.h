/* approach_fit.h - exponential approach to an end value, fitted by weighted least squares.
 *
 *     y(age) = end + (start - end) exp(-rate age),  rate > 0
 *
 * Rules
 * (1) Given the rate the model is linear: the rate alone is searched, on a logarithmic grid and then by
 *     safeguarded Gauss-Newton steps on the projected gradient (variable projection: Golub and Pereyra 1973,
 *     SIAM J. Numer. Anal. 10, 413-432, doi:10.1137/0710036; from memory). No start value is needed, and the
 *     best minimum on the grid is the one refined.
 * (2) The search spans rate x (age span) from 1e-4, a straight line, to where the second age already sits
 *     at the end value. A rate at either bound, or one whose 95 % interval holds zero, is not identified: that
 *     is said in `reasons`, not failed.
 * (3) Standard deviations come from the linearised model, from scatter or as stated (line_fit.h, rule 2).
 * (4) With STATUS_OK no number is NAN. A standard deviation that the data cannot give is INFINITY. */
#ifndef APPROACH_FIT_H
#define APPROACH_FIT_H

#include <stdbool.h>
#include <stddef.h>

#include "line_fit.h"
#include "status.h"

/* Why a fit must not be used for conclusions; bits. */
enum approach_reason {
    APPROACH_FEW_AGES = 1 << 0,   /* fewer than 4 different ages (3 after age 0 when the start is known):
                                   * no fit; start (unless known) and end are the mean, rate is 0 */
    APPROACH_FLAT = 1 << 1,       /* the values do not change at all; as above */
    APPROACH_NO_END = 1 << 2,     /* rate at its lower bound: no sign yet of levelling off */
    APPROACH_TOO_FAST = 1 << 3,   /* rate at its upper bound: all change lies before the second age */
    APPROACH_RATE_UNSURE = 1 << 4 /* the 95 % interval of the rate holds zero */
};

struct approach {
    size_t count;
    unsigned reasons;        /* 0 when the fit may be used; else bits of enum approach_reason */
    bool start_known;        /* start was given, not fitted */
    double end, start, rate; /* start is at age 0; rate per unit of age */
    double end_sd, start_sd, rate_sd;
    double end_start_covariance, end_rate_covariance, start_rate_covariance; /* 0 where a sd is INFINITY */
    double residual_sd;             /* as in line_fit.h; 0 without degrees of freedom */
    double dof;                     /* for Student's t: count - 3 (count - 2), or INFINITY as stated; 0 when
                                     * nothing was fitted */
    double age_low, age_high;       /* what was measured; beyond is extrapolation */
    double y_unit_sd;               /* what a stated sd is multiplied by: 1 as stated, else residual_sd */
    struct approach_basis {         /* the fit in orthogonal coordinates, for approach_at() */
        double origin, span, kappa; /* scaled age (age - origin) / span, rate x span */
        double level, slope;        /* y = level + slope (h - h_mean), h = (1 - exp(-kappa x)) / kappa */
        double h_mean, d_mean, d_on_h;
        double level_sd, slope_sd, log_rate_sd;
    } basis;
};

/* Fit an approach to `count` points (at least one).
 *
 * age          finite; 0 or more when the start is known
 * y_sd         standard deviation of each y, above 0; NULL for equal weights (then scale must be
 *              LINE_SD_FROM_SCATTER)
 * known_start  value at age 0 when it is known and not to be fitted; NULL otherwise
 *
 * STATUS_RANGE for numbers that are not finite, an sd not above 0, too large to compute with, or ages so far
 * from zero that the value at age 0 is not a number (count them from the first reading then).
 * Work grows as the number of points: about thirty passes. Nothing is kept between calls. */
enum status approach_fit(const double *age, const double *y, const double *y_sd, size_t count,
                         const double *known_start, enum line_scale scale, struct approach *ret_approach,
                         struct failure *failure);

/* The fitted mean at `age` and its standard error, INFINITY when the fit has no degrees of freedom; age and status
 * as approach_at(). */
enum status approach_mean(const struct approach *approach, double age, double *ret_y, double *ret_y_sd,
                          struct failure *failure);

/* The fitted mean at `age`, its standard error, and the half-widths of two intervals about it.
 *
 * age                  finite; beyond age_low to age_high it is extrapolated
 * coverage             above 0 and below 1
 * new_y_sd             stated sd of one new reading (1 when the fit had equal weights), 0 or more
 * ret_mean_half        half-width of the interval for the mean
 * ret_prediction_half  half-width of the interval for the new reading
 *
 * The sd and both half-widths are INFINITY when the fit has no degrees of freedom.
 * STATUS_RANGE for numbers outside these ranges or an age at which the mean is not a number. */
enum status approach_at(const struct approach *approach, double age, double coverage, double new_y_sd,
                        double *ret_y, double *ret_y_sd, double *ret_mean_half, double *ret_prediction_half,
                        struct failure *failure);

/* One sentence for the first reason set in `reasons`, "" for none; lent for ever. */
const char *approach_reason_text(unsigned reasons);

#endif
