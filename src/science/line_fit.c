/* line_fit.c - straight line by least squares. */
#include "line_fit.h"

#include <assert.h>
#include <math.h>

#include "distribution.h"

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

/* Weight of a point relative to the heaviest, so that tiny sds do not overflow. */
static double
weight(const double *y_sd, size_t i, double least_sd)
{
    double ratio = y_sd != NULL ? least_sd / y_sd[i] : 1.0;

    return ratio * ratio;
}

enum status
line_fit(const double *x, const double *y, const double *y_sd, size_t count, enum line_scale scale,
         struct line *ret_line, struct failure *failure)
{
    struct line line = {.count = count, .x_low = INFINITY, .x_high = -(double)INFINITY};
    double least_sd = INFINITY, weights = 0.0, span, sxx = 0.0, sxy = 0.0, squares = 0.0, unit_sd;
    enum status status = check_points(x, y, y_sd, count, scale, failure);

    assert(y_sd != NULL || scale == LINE_SD_FROM_SCATTER);
    if (status != STATUS_OK)
        return status;
    for (size_t i = 0; i < count; i++) {
        line.x_low = fmin(line.x_low, x[i]);
        line.x_high = fmax(line.x_high, x[i]);
        least_sd = y_sd != NULL ? fmin(least_sd, y_sd[i]) : 1.0;
    }
    if (line.x_low == line.x_high)
        return failure_set(failure, STATUS_RANGE, "a line cannot be fitted: every point has x = %g",
                           line.x_low);
    span = line.x_high - line.x_low;

    for (size_t i = 0; i < count; i++)
        weights += weight(y_sd, i, least_sd);
    for (size_t i = 0; i < count; i++) {
        line.x_centre += weight(y_sd, i, least_sd) / weights * x[i];
        line.y_centre += weight(y_sd, i, least_sd) / weights * y[i];
    }
    for (size_t i = 0; i < count; i++) {
        double dx = (x[i] - line.x_centre) / span, w = weight(y_sd, i, least_sd);

        sxx += w * dx * dx;
        sxy += w * dx * (y[i] - line.y_centre);
    }
    line.slope = sxy / sxx / span;
    line.intercept = line.y_centre - line.slope * line.x_centre;
    for (size_t i = 0; i < count; i++) {
        double residual = y[i] - line.y_centre - line.slope * (x[i] - line.x_centre);

        squares += weight(y_sd, i, least_sd) * residual * residual;
    }

    /* sd of a point with the largest weight */
    unit_sd = scale == LINE_SD_AS_STATED ? least_sd : sqrt(squares / (double)(count - 2));
    line.residual_sd = count > 2 ? sqrt(squares / (double)(count - 2)) / least_sd : (double)NAN;
    line.dof = scale == LINE_SD_AS_STATED ? (double)INFINITY : (double)(count - 2);
    line.slope_sd = unit_sd / sqrt(sxx) / span;
    line.y_centre_sd = unit_sd / sqrt(weights);
    line.intercept_sd = hypot(line.y_centre_sd, line.x_centre * line.slope_sd);
    line.covariance = -line.x_centre * line.slope_sd * line.slope_sd;
    line.correlation = line.intercept_sd > 0.0 ? -line.x_centre * line.slope_sd / line.intercept_sd : 0.0;
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
