/* approach_fit.c - exponential approach to an end value. */
#include "approach_fit.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "distribution.h"
#include "memory.h"

static const double kappa_low = 1e-4, kappa_highest = 1e8;
static const double saturated = 20.0; /* exp(-20) is 2e-9: the end value for any reading */
static const double grid_step = 0.8;  /* in log kappa; the sum of squares varies on a scale of one */

enum { REFINE_LIMIT = 100 };

/* Scaled data, and the model at one kappa. The one allocation is cut into the five arrays. */
struct work {
    size_t count;
    bool start_known;
    double origin, span, y_origin, y_scale, least_sd, weights;
    double *x, *y, *weight; /* scaled age, value and weight */
    double *h, *decay;      /* (1 - exp(-kappa x)) / kappa and exp(-kappa x) */
    double h_mean, slope, shh, squares;
    double gradient, d_mean, d_on_h, sdd; /* for log kappa; sdd is what is left orthogonal to the rest */
};

static enum status
check_points(const double *age, const double *y, const double *y_sd, size_t count, const double *known_start,
             struct failure *failure)
{
    if (count == 0)
        return failure_set(failure, STATUS_RANGE, "an approach cannot be fitted without points");
    if (known_start != NULL && !isfinite(*known_start))
        return failure_set(failure, STATUS_RANGE, "a known start must be a finite number, not %g",
                           *known_start);
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(age[i]) || !isfinite(y[i]))
            return failure_set(failure, STATUS_RANGE, "point %zu (age %g, value %g) is not a pair of numbers",
                               i + 1, age[i], y[i]);
        if (known_start != NULL && age[i] < 0.0)
            return failure_set(failure, STATUS_RANGE, "age of point %zu is %g, allowed is 0 or more", i + 1,
                               age[i]);
        if (y_sd != NULL && !(y_sd[i] > 0.0 && isfinite(y_sd[i])))
            return failure_set(failure, STATUS_RANGE,
                               "standard deviation of point %zu is %g, allowed is above 0", i + 1, y_sd[i]);
    }
    return STATUS_OK;
}

/* Number of different ages, counted no further than 4; age 0 tells nothing when the start is known. */
static size_t
different_ages(const double *age, size_t count, bool start_known)
{
    double seen[4];
    size_t found = 0;

    for (size_t i = 0; i < count && found < LENGTH(seen); i++) {
        size_t j = 0;

        while (j < found && seen[j] != age[i])
            j++;
        if (j == found && !(start_known && age[i] == 0.0))
            seen[found++] = age[i];
    }
    return found;
}

static void
scale_data(struct work *work, const double *age, const double *y, const double *y_sd)
{
    work->least_sd = 1.0;
    work->y_scale = 0.0;
    if (y_sd != NULL) {
        work->least_sd = y_sd[0];
        for (size_t i = 1; i < work->count; i++)
            work->least_sd = fmin(work->least_sd, y_sd[i]);
    }
    for (size_t i = 0; i < work->count; i++) {
        double ratio = y_sd != NULL ? work->least_sd / y_sd[i] : 1.0;

        work->weight[i] = ratio * ratio;
        work->weights += work->weight[i];
        work->x[i] = (age[i] - work->origin) / work->span;
    }
    for (size_t i = 0; i < work->count && !work->start_known; i++)
        work->y_origin += work->weight[i] / work->weights * y[i];
    for (size_t i = 0; i < work->count; i++)
        work->y_scale = fmax(work->y_scale, fabs(y[i] - work->y_origin));
    for (size_t i = 0; i < work->count && work->y_scale > 0.0; i++)
        work->y[i] = (y[i] - work->y_origin) / work->y_scale;
}

static double
residual(const struct work *work, size_t i)
{
    return work->y[i] - work->slope * (work->h[i] - work->h_mean);
}

/* Best line in h at this kappa, and its sum of squares. */
static double
project(struct work *work, double kappa)
{
    double shy = 0.0;

    work->h_mean = work->shh = work->squares = 0.0;
    for (size_t i = 0; i < work->count; i++) {
        double change = expm1(-kappa * work->x[i]); /* keeps its digits where kappa x is small */

        work->h[i] = -change / kappa;
        work->decay[i] = 1.0 + change;
        work->h_mean += work->weight[i] * work->h[i];
    }
    work->h_mean = work->start_known ? 0.0 : work->h_mean / work->weights;
    for (size_t i = 0; i < work->count; i++) {
        double h = work->h[i] - work->h_mean;

        work->shh += work->weight[i] * h * h;
        shy += work->weight[i] * h * work->y[i];
    }
    work->slope = work->shh > 0.0 ? shy / work->shh : 0.0;
    for (size_t i = 0; i < work->count; i++) {
        double r = residual(work, i);

        work->squares += work->weight[i] * r * r;
    }
    return work->squares;
}

/* d, the change of the model with log kappa, for the kappa of the last project(). */
static double
rate_derivative(const struct work *work, size_t i)
{
    return work->slope * (work->x[i] * work->decay[i] - work->h[i]);
}

/* Gradient of the projected sum of squares (over -2) and what is left of d beside level and h. */
static void
differentiate(struct work *work)
{
    double sdh = 0.0;

    work->d_mean = work->gradient = work->sdd = 0.0;
    for (size_t i = 0; i < work->count && !work->start_known; i++)
        work->d_mean += work->weight[i] / work->weights * rate_derivative(work, i);
    for (size_t i = 0; i < work->count; i++)
        sdh += work->weight[i] * (rate_derivative(work, i) - work->d_mean) * (work->h[i] - work->h_mean);
    work->d_on_h = work->shh > 0.0 ? sdh / work->shh : 0.0;
    for (size_t i = 0; i < work->count; i++) {
        double d = rate_derivative(work, i) - work->d_mean - work->d_on_h * (work->h[i] - work->h_mean);

        work->gradient += work->weight[i] * d * residual(work, i);
        work->sdd += work->weight[i] * d * d;
    }
}

static double
highest_kappa(const struct work *work)
{
    double second = INFINITY;

    for (size_t i = 0; i < work->count; i++)
        if (work->x[i] > 0.0)
            second = fmin(second, work->x[i]);
    return fmin(saturated / second, kappa_highest);
}

/* Minimum between `low` and `high` (log kappa), where the sum of squares falls at `low` or is no smaller
 * there than at the best grid point, and likewise at `high`. Leaves the work at the minimum. */
static double
refine(struct work *work, double low, double middle, double high)
{
    double at = middle;

    for (int i = 0; i < REFINE_LIMIT; i++) {
        double step, next;

        project(work, exp(at));
        differentiate(work);
        step = work->sdd > 0.0 ? work->gradient / work->sdd : 0.0;
        if (work->gradient > 0.0)
            low = at;
        else
            high = at;
        next = at + step;
        if (fabs(step) <= 1e-14 || high - low <= 1e-14)
            break;
        if (!(next > low && next < high))
            next = 0.5 * (low + high);
        at = next;
    }
    return at;
}

/* Search the rate (rules 1 and 2); gives kappa and leaves the work there. */
static double
search(struct work *work, unsigned *reasons)
{
    double low = log(kappa_low), high = log(highest_kappa(work)), step, best_squares = INFINITY, kappa;
    size_t last = (size_t)ceil((high - low) / grid_step), best = 0;

    step = (high - low) / (double)last;
    for (size_t i = 0; i <= last; i++) {
        double squares = project(work, exp(low + step * (double)i));

        if (squares < best_squares) {
            best = i;
            best_squares = squares;
        }
    }
    kappa = exp(low + step * (double)best);
    project(work, kappa);
    differentiate(work);
    if (best == 0 && !(work->gradient > 0.0))
        *reasons |= APPROACH_NO_END;
    else if (best == last && !(work->gradient < 0.0))
        *reasons |= APPROACH_TOO_FAST;
    else
        kappa =
            exp(refine(work, low + step * (best > 0 ? (double)best - 1.0 : 0.0), low + step * (double)best,
                       low + step * (best < last ? (double)best + 1.0 : (double)best)));
    return kappa;
}

/* Change of the model at scaled age x (INFINITY: the end) with the three orthogonal coordinates. */
static void
directions(const struct approach_basis *basis, bool start_known, double x, double along[3])
{
    double change = isinf(x) ? -1.0 : expm1(-basis->kappa * x);
    double h = -change / basis->kappa;
    double spread = isinf(x) ? 0.0 : x * (1.0 + change);

    along[0] = start_known ? 0.0 : 1.0;
    along[1] = h - basis->h_mean;
    along[2] = basis->slope * (spread - h) - basis->d_mean - basis->d_on_h * along[1];
}

static double
mean_at(const struct approach_basis *basis, const double along[3])
{
    return basis->level + basis->slope * along[1];
}

/* Covariance of two quantities from their changes along the coordinates. */
static double
covariance(const struct approach_basis *basis, const double one[3], const double two[3])
{
    const double sd[3] = {basis->level_sd, basis->slope_sd, basis->log_rate_sd};
    double sum = 0.0;

    for (size_t i = 0; i < 3; i++)
        if (one[i] != 0.0 && two[i] != 0.0)
            sum += (one[i] * sd[i]) * (two[i] * sd[i]);
    return sum;
}

/* A standard deviation that overflowed or has no scatter to rest on is not known (rule 4). */
static double
known_or_infinite(double sd)
{
    return isfinite(sd) ? sd : (double)INFINITY;
}

static double
known_or_zero(double value)
{
    return isfinite(value) ? value : 0.0;
}

static void
describe(struct approach *approach, const struct work *work, double kappa, enum line_scale scale)
{
    struct approach_basis *basis = &approach->basis;
    size_t parameters = work->start_known ? 2 : 3;
    double unit_sd, dof = (double)(approach->count - parameters);
    double at_end[3], at_start[3], of_rate[3] = {0.0, 0.0, 0.0};

    /* Unit of y restored; sd of a point with the largest weight. */
    approach->residual_sd = sqrt(work->squares / dof) * work->y_scale / work->least_sd;
    approach->y_unit_sd = scale == LINE_SD_AS_STATED ? 1.0 : approach->residual_sd;
    approach->dof = scale == LINE_SD_AS_STATED ? (double)INFINITY : dof;
    unit_sd = approach->y_unit_sd * work->least_sd;

    *basis = (struct approach_basis){
        .origin = work->origin,
        .span = work->span,
        .kappa = kappa,
        .level = work->y_origin,
        .slope = work->slope * work->y_scale,
        .h_mean = work->h_mean,
        .d_mean = work->d_mean * work->y_scale,
        .d_on_h = work->d_on_h * work->y_scale,
        .level_sd = work->start_known ? 0.0 : unit_sd / sqrt(work->weights),
        .slope_sd = known_or_infinite(unit_sd / sqrt(work->shh)),
        .log_rate_sd = known_or_infinite(unit_sd / (sqrt(work->sdd) * work->y_scale)),
    };
    approach->rate = kappa / work->span;
    of_rate[2] = approach->rate;
    directions(basis, work->start_known, INFINITY, at_end);
    directions(basis, work->start_known, -work->origin / work->span, at_start);
    approach->end = mean_at(basis, at_end);
    approach->start = work->start_known ? work->y_origin : mean_at(basis, at_start);
    approach->end_sd = known_or_infinite(sqrt(covariance(basis, at_end, at_end)));
    approach->start_sd = known_or_infinite(sqrt(covariance(basis, at_start, at_start)));
    approach->rate_sd = known_or_infinite(approach->rate * basis->log_rate_sd);
    approach->end_start_covariance = known_or_zero(covariance(basis, at_end, at_start));
    approach->end_rate_covariance = known_or_zero(covariance(basis, at_end, of_rate));
    approach->start_rate_covariance = known_or_zero(covariance(basis, at_start, of_rate));
    if (!(approach->rate > student_t_coverage_factor(0.95, approach->dof) * approach->rate_sd))
        approach->reasons |= APPROACH_RATE_UNSURE;
}

/* Nothing can be fitted: the mean stands in, with nothing known about its error. */
static void
give_up(struct approach *approach, unsigned reason, double mean, double start)
{
    approach->reasons = reason;
    approach->end = mean;
    approach->start = start;
    approach->end_sd = approach->rate_sd = INFINITY;
    approach->start_sd = approach->start_known ? 0.0 : (double)INFINITY;
    approach->y_unit_sd = approach->residual_sd = approach->dof = 0.0;
    approach->basis = (struct approach_basis){.span = 1.0, .kappa = 1.0, .level = mean};
}

static double
mean_of(const double *y, size_t count)
{
    double mean = 0.0;

    for (size_t i = 0; i < count; i++)
        mean += y[i] / (double)count;
    return mean;
}

static bool
all_equal(const double *y, size_t count)
{
    for (size_t i = 1; i < count; i++)
        if (y[i] != y[0])
            return false;
    return true;
}

enum status
approach_fit(const double *age, const double *y, const double *y_sd, size_t count, const double *known_start,
             enum line_scale scale, struct approach *ret_approach, struct failure *failure)
{
    struct approach approach = {.count = count, .start_known = known_start != NULL};
    struct work work = {.count = count, .start_known = known_start != NULL};
    enum status status = check_points(age, y, y_sd, count, known_start, failure);
    bool few;
    double kappa;

    assert(y_sd != NULL || scale == LINE_SD_FROM_SCATTER);
    if (status != STATUS_OK)
        return status;
    approach.age_low = approach.age_high = age[0];
    for (size_t i = 1; i < count; i++) {
        approach.age_low = fmin(approach.age_low, age[i]);
        approach.age_high = fmax(approach.age_high, age[i]);
    }
    few = different_ages(age, count, work.start_known) < (work.start_known ? 3U : 4U);
    if (few || (all_equal(y, count) && (known_start == NULL || *known_start == y[0]))) {
        double mean = mean_of(y, count);

        give_up(&approach, few ? APPROACH_FEW_AGES : APPROACH_FLAT, mean,
                known_start != NULL ? *known_start : mean);
        *ret_approach = approach;
        return STATUS_OK;
    }

    work.origin = work.start_known ? 0.0 : approach.age_low;
    work.span = approach.age_high - work.origin;
    work.y_origin = work.start_known ? *known_start : 0.0;
    work.x = memory_new(5 * count, sizeof *work.x);
    work.y = work.x + count;
    work.weight = work.y + count;
    work.h = work.weight + count;
    work.decay = work.h + count;
    scale_data(&work, age, y, y_sd);
    if (isfinite(work.span) && isfinite(work.y_scale) && work.y_scale > 0.0) {
        kappa = search(&work, &approach.reasons);
        describe(&approach, &work, kappa, scale);
    } else
        approach.start = NAN;
    free(work.x);

    if (!isfinite(approach.start) || !isfinite(approach.end) || !isfinite(approach.rate) ||
        !isfinite(approach.residual_sd))
        return failure_set(
            failure, STATUS_RANGE,
            "an approach cannot be fitted: values are too large, or ages (%g to %g) too far from "
            "zero; count them from the first reading",
            approach.age_low, approach.age_high);
    *ret_approach = approach;
    return STATUS_OK;
}

enum status
approach_mean(const struct approach *approach, double age, double *ret_y, double *ret_y_sd,
              struct failure *failure)
{
    const struct approach_basis *basis = &approach->basis;
    double along[3], y;

    if (!isfinite(age))
        return failure_set(failure, STATUS_RANGE, "an age must be a finite number, not %g", age);
    if (!(approach->dof > 0.0)) {
        *ret_y = approach->end;
        *ret_y_sd = INFINITY;
        return STATUS_OK;
    }
    directions(basis, approach->start_known, (age - basis->origin) / basis->span, along);
    y = mean_at(basis, along);
    if (!isfinite(y))
        return failure_set(failure, STATUS_RANGE, "the fitted approach gives no number at age %g", age);
    *ret_y = y;
    *ret_y_sd = known_or_infinite(sqrt(covariance(basis, along, along)));
    return STATUS_OK;
}

enum status
approach_at(const struct approach *approach, double age, double coverage, double new_y_sd, double *ret_y,
            double *ret_y_sd, double *ret_mean_half, double *ret_prediction_half, struct failure *failure)
{
    double factor;

    if (!(coverage > 0.0 && coverage < 1.0))
        return failure_set(failure, STATUS_RANGE, "coverage is %g, allowed is above 0 and below 1", coverage);
    if (!(new_y_sd >= 0.0 && isfinite(new_y_sd)))
        return failure_set(failure, STATUS_RANGE, "standard deviation is %g, allowed is 0 or more", new_y_sd);
    if (approach_mean(approach, age, ret_y, ret_y_sd, failure) != STATUS_OK)
        return failure->status;
    factor = approach->dof > 0.0 ? student_t_coverage_factor(coverage, approach->dof) : (double)INFINITY;
    *ret_mean_half = factor * *ret_y_sd;
    *ret_prediction_half = factor * hypot(*ret_y_sd, approach->y_unit_sd * new_y_sd);
    return STATUS_OK;
}

const char *
approach_reason_text(unsigned reasons)
{
    if (reasons & APPROACH_FEW_AGES)
        return "too few different ages to follow an approach";
    if (reasons & APPROACH_FLAT)
        return "the values do not change";
    if (reasons & APPROACH_NO_END)
        return "no sign yet of levelling off";
    if (reasons & APPROACH_TOO_FAST)
        return "nearly all change lies before the second age";
    if (reasons & APPROACH_RATE_UNSURE)
        return "the readings scatter too much to fix the rate";
    return "";
}
