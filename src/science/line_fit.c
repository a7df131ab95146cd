/* line_fit.c - straight line by least squares. */
#include "line_fit.h"

#include <assert.h>
#include <gsl/gsl_fit.h>
#include <gsl/gsl_statistics_double.h>
#include <math.h>
#include <stdlib.h>

#include "distribution.h"
#include "memory.h"

static enum status
check_points(const double *x, const double *y, const double *y_sd, size_t count, enum line_scale scale,
             struct failure *failure)
{
    size_t least = scale == LINE_SD_FROM_SCATTER ? 3 : 2;

    if (count < least)
        return failure_set(failure, STATUS_RANGE, "a straight line needs at least %zu points, not %zu", least,
                           count);
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(x[i]) || !isfinite(y[i]))
            return failure_set(failure, STATUS_RANGE,
                               "point %zu of the line (%g, %g) is not a pair of numbers", i + 1, x[i], y[i]);
        if (y_sd != NULL && !(y_sd[i] > 0.0 && isfinite(y_sd[i])))
            return failure_set(failure, STATUS_RANGE,
                               "standard deviation of point %zu is %g, allowed is above 0", i + 1, y_sd[i]);
    }
    return STATUS_OK;
}

/* Weights relative to the heaviest, so that tiny sds do not overflow. */
static double *
relative_weights(const double *y_sd, size_t count, double *ret_least_sd)
{
    double *weights = memory_new(count, sizeof *weights);

    *ret_least_sd = y_sd != NULL ? gsl_stats_min(y_sd, 1, count) : 1.0;
    for (size_t i = 0; i < count; i++)
        weights[i] = y_sd != NULL ? pow(*ret_least_sd / y_sd[i], 2.0) : 1.0;
    return weights;
}

enum status
line_fit(const double *x, const double *y, const double *y_sd, size_t count, enum line_scale scale,
         struct line *ret_line, struct failure *failure)
{
    struct line line = {.count = count};
    double *weights, least_sd, squares = 0.0, variance = 0.0, covariance = 0.0, slope_variance = 0.0, unit_sd;
    enum status status = check_points(x, y, y_sd, count, scale, failure);

    assert(y_sd != NULL || scale == LINE_SD_FROM_SCATTER);
    if (status != STATUS_OK)
        return status;
    gsl_stats_minmax(&line.x_low, &line.x_high, x, 1, count);
    if (line.x_low == line.x_high)
        return failure_set(failure, STATUS_RANGE, "a line cannot be fitted: every point has x = %g",
                           line.x_low);
    weights = relative_weights(y_sd, count, &least_sd);
    gsl_fit_wlinear(x, 1, weights, 1, y, 1, count, &line.intercept, &line.slope, &variance, &covariance,
                    &slope_variance, &squares);
    line.x_centre = gsl_stats_wmean(weights, 1, x, 1, count);
    line.y_centre = gsl_stats_wmean(weights, 1, y, 1, count);

    /* sd of a point with the largest weight */
    unit_sd = scale == LINE_SD_AS_STATED ? least_sd : sqrt(squares / (double)(count - 2));
    line.residual_sd = count > 2 ? sqrt(squares / (double)(count - 2)) / least_sd : (double)NAN;
    line.dof = scale == LINE_SD_AS_STATED ? (double)INFINITY : (double)(count - 2);
    line.slope_sd = unit_sd * sqrt(slope_variance);
    line.y_centre_sd = unit_sd / sqrt(gsl_stats_mean(weights, 1, count) * (double)count);
    line.intercept_sd = unit_sd * sqrt(variance);
    line.covariance = unit_sd * unit_sd * covariance;
    line.correlation = unit_sd > 0.0 ? covariance / sqrt(variance * slope_variance) : 0.0;
    free(weights);
    if (!isfinite(line.intercept) || !isfinite(line.slope) || !isfinite(line.intercept_sd) ||
        !isfinite(line.slope_sd) || !isfinite(line.covariance) || !isfinite(line.correlation))
        return failure_set(failure, STATUS_RANGE,
                           "a line cannot be fitted: the numbers are too large or too close together");
    *ret_line = line;
    return STATUS_OK;
}

void
line_at(const struct line *line, double x, double *ret_y, double *ret_y_sd)
{
    double from_centre = x - line->x_centre;

    *ret_y = line->y_centre + line->slope * from_centre;
    *ret_y_sd = hypot(line->y_centre_sd, from_centre * line->slope_sd);
}

enum status
line_invert(const struct line *line, double y, double y_sd, double *ret_x, double *ret_x_sd,
            struct failure *failure)
{
    double x, at_x, line_sd;

    if (!isfinite(y))
        return failure_set(failure, STATUS_RANGE, "an observed value must be a finite number, not %g", y);
    if (!(y_sd >= 0.0 && isfinite(y_sd)))
        return failure_set(failure, STATUS_RANGE, "standard deviation is %g, allowed is 0 or more", y_sd);
    if (!(fabs(line->slope) > student_t_coverage_factor(0.95, line->dof) * line->slope_sd))
        return failure_set(failure, STATUS_RANGE,
                           "the line cannot be read backwards: its slope %g cannot be told from zero",
                           line->slope);
    x = line->x_centre + (y - line->y_centre) / line->slope;
    line_at(line, x, &at_x, &line_sd);
    if (!isfinite(x) || !isfinite(line_sd))
        return failure_set(failure, STATUS_RANGE, "the line cannot be read backwards at %g", y);
    *ret_x = x;
    *ret_x_sd = hypot(y_sd, line_sd) / fabs(line->slope);
    return STATUS_OK;
}
