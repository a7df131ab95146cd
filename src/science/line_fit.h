/* line_fit.h - straight line by least squares, what it predicts, and the reading back of x from y.
 *
 * Sources: JCGM 100:2008 (GUM) H.3; for the reading back, ISO 11095 and JCGM 100:2008, 5.1.2. Clause and
 * equation numbers are from memory.
 *
 * Rules
 * (1) x is known much better than y.
 * (2) Standard deviations come from the scatter about the line (count - 2 degrees of freedom), or, when
 *     the sd of each y is stated and to be believed, from those alone (infinite degrees of freedom).
 * (3) Sums are taken about the weighted centre, where level and slope are uncorrelated. */
#ifndef LINE_FIT_H
#define LINE_FIT_H

#include <stddef.h>

#include "status.h"

/* Where the standard deviations of a line come from (rule 2). */
enum line_scale {
    LINE_SD_FROM_SCATTER, /* from the residuals; needs three points */
    LINE_SD_AS_STATED     /* from the stated sd of each y; needs two points */
};

struct line {
    size_t count;
    double intercept, slope;       /* y = intercept + slope x */
    double intercept_sd, slope_sd; /* standard deviations */
    double covariance;             /* of intercept and slope */
    double correlation;            /* of intercept and slope, -1 to 1; 0 when a perfect fit has no scatter */
    double residual_sd;            /* scatter about the line: unit of y with equal weights; with stated sds a
                                    * pure number, near 1 when they are honest; NAN with two points */
    double dof;                    /* for Student's t: count - 2, or INFINITY for LINE_SD_AS_STATED */
    double x_low, x_high;          /* what was measured; beyond is extrapolation */
    double x_centre, y_centre, y_centre_sd; /* the weighted centre: predictions start here (rule 3) */
};

/* Fit a line to `count` points.
 *
 * y_sd   standard deviation of each y, above 0; NULL for equal weights (then scale must be
 *        LINE_SD_FROM_SCATTER)
 * scale  rule 2
 *
 * STATUS_RANGE for too few points, numbers that are not finite, an sd not above 0, x all the same, or numbers
 * too large or too small to compute with.
 * Source: JCGM 100:2008, equations H.13a to H.13f; weights as 1/sd^2. */
enum status line_fit(const double *x, const double *y, const double *y_sd, size_t count,
                     enum line_scale scale, struct line *ret_line, struct failure *failure);

/* The line's y at `x` (any finite number, also outside x_low to x_high) and the standard error of that mean.
 * A single new observation scatters more: add its own variance.
 * Source: JCGM 100:2008, equation H.15 in its centred form. */
void line_at(const struct line *line, double x, double *ret_y, double *ret_y_sd);

/* The x at which the line has the observed `y`, and its standard error to first order:
 * sqrt(y_sd^2 + error of the line at x ^2) / |slope|.
 *
 * y_sd  standard deviation of the observed y, 0 or more
 *
 * STATUS_RANGE when a number is not finite, y_sd is below 0, or the slope cannot be told from zero at 95 %
 * (then no finite interval for x exists; Fieller 1954, J. R. Stat. Soc. B 16, 175-185). */
enum status line_invert(const struct line *line, double y, double y_sd, double *ret_x, double *ret_x_sd,
                        struct failure *failure);

#endif
