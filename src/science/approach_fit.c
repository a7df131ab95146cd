/* approach_fit.c - exponential approach to an end value. */
#include "approach_fit.h"

#include <gsl/gsl_blas.h>
#include <gsl/gsl_linalg.h>
#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "root.h"

enum { COARSE = 10 };

enum status
approach_grid_of(const double *t, size_t count, double rate_low, double rate_high,
                 struct approach_grid *ret_grid, struct failure *failure)
{
    struct approach_grid grid = {.count = count};

    if (count < APPROACH_LEAST_POINTS)
        return failure_set(failure, STATUS_RANGE, "an approach needs %d times, there are %zu",
                           (int)APPROACH_LEAST_POINTS, count);
    for (size_t i = 0; i < count; i++)
        if (!isfinite(t[i]) || (i > 0 && !(t[i] > t[i - 1])))
            return failure_set(failure, STATUS_RANGE, "times of an approach must rise; number %zu is %g",
                               i + 1, t[i]);
    if (!(rate_low > 0.0 && rate_high > rate_low && isfinite(rate_high)))
        return failure_set(failure, STATUS_RANGE, "rates from %g to %g are no range above 0", rate_low,
                           rate_high);
    grid.t = memory_new(count, sizeof *grid.t);
    grid.log_rates = memory_new(APPROACH_RATES, sizeof *grid.log_rates);
    grid.decay = memory_new(count * APPROACH_RATES, sizeof *grid.decay);
    for (size_t i = 0; i < count; i++)
        grid.t[i] = t[i] - t[0];
    for (size_t r = 0; r < APPROACH_RATES; r++) {
        grid.log_rates[r] =
            log(rate_low) + (log(rate_high) - log(rate_low)) * (double)r / (APPROACH_RATES - 1.0);
        for (size_t i = 0; i < count; i++)
            grid.decay[r * count + i] = exp(-exp(grid.log_rates[r]) * grid.t[i]);
    }
    *ret_grid = grid;
    return STATUS_OK;
}

void
approach_grid_clear(struct approach_grid *grid)
{
    if (grid == NULL)
        return;
    free(grid->t);
    free(grid->log_rates);
    free(grid->decay);
    *grid = (struct approach_grid){0};
}

/* What a fit is made from. */
struct work {
    const struct approach_grid *grid;
    const double *y, *sd;
    double extra_variance;
    size_t left_out;
    double *decay; /* at the rate looked at, between the grid's */
};

static double
weight_of(const struct work *work, size_t i)
{
    return i == work->left_out ? 0.0 : 1.0 / (work->sd[i] * work->sd[i] + work->extra_variance);
}

/* Rule 1: weighted least squares on 1 and the decays. Sums are taken about the means: nothing cancels. */
static struct approach_rate
solve(const struct work *work, const double *decay, double rate)
{
    struct approach_rate fit = {.rate = rate};
    size_t count = work->grid->count, base = work->left_out == 0 ? 1 : 0;
    double y_mean = 0.0, both = 0.0;

    for (size_t i = 0; i < count; i++) {
        double weight = weight_of(work, i);

        fit.weights += weight;
        fit.decay_mean += weight * decay[i];
        y_mean += weight * (work->y[i] - work->y[base]);
    }
    fit.decay_mean /= fit.weights;
    y_mean = work->y[base] + y_mean / fit.weights;
    for (size_t i = 0; i < count; i++) {
        double away = decay[i] - fit.decay_mean, weight = weight_of(work, i);

        fit.decay_squares += weight * away * away;
        both += weight * away * (work->y[i] - y_mean);
    }
    fit.drop = fit.decay_squares > 0.0 ? both / fit.decay_squares : 0.0;
    fit.end = y_mean - fit.drop * fit.decay_mean;
    for (size_t i = 0; i < count; i++) {
        double residual = work->y[i] - y_mean - fit.drop * (decay[i] - fit.decay_mean);

        fit.squares += weight_of(work, i) * residual * residual;
    }
    return fit;
}

static struct approach_rate
solve_on_grid(const struct work *work, size_t r)
{
    return solve(work, &work->grid->decay[r * work->grid->count], exp(work->grid->log_rates[r]));
}

static struct approach_rate
solve_between(struct work *work, double log_rate)
{
    for (size_t i = 0; i < work->grid->count; i++)
        work->decay[i] = exp(-exp(log_rate) * work->grid->t[i]);
    return solve(work, work->decay, exp(log_rate));
}

/* How the least sum of squares falls with the logarithm of the rate, but for a factor of 2. */
static double
gradient(double log_rate, void *data)
{
    struct work *work = data;
    struct approach_rate fit = solve_between(work, log_rate);
    double sum = 0.0;

    for (size_t i = 0; i < work->grid->count; i++) {
        double residual = work->y[i] - fit.end - fit.drop * work->decay[i];

        sum += weight_of(work, i) * residual * fit.drop * fit.rate * work->grid->t[i] * work->decay[i];
    }
    return sum;
}

/* The minimum between two rates, where the gradient changes its sign there; else `fit` as it is. */
static struct approach_rate
refine(struct work *work, double low, double high, struct approach_rate fit)
{
    struct approach_rate finer;

    if (!(gradient(low, work) * gradient(high, work) < 0.0))
        return fit;
    finer = solve_between(work, root_between(gradient, work, low, high, 1e-13, 0.0));
    return finer.squares <= fit.squares ? finer : fit;
}

void
approach_fit(const struct approach_grid *grid, const double *y, const double *sd, size_t left_out,
             struct approach *ret_approach)
{
    struct approach approach = {.rates = memory_new(APPROACH_RATES, sizeof *approach.rates)};
    struct work work = {.grid = grid, .y = y, .sd = sd, .left_out = left_out};
    size_t best = 0;

    for (size_t r = 0; r < APPROACH_RATES; r++) {
        approach.rates[r] = solve_on_grid(&work, r);
        if (approach.rates[r].squares < approach.rates[best].squares)
            best = r;
    }
    approach.best = approach.rates[best];
    approach.inner = best > 0 && best + 1 < APPROACH_RATES;
    if (approach.inner) {
        work.decay = memory_new(grid->count, sizeof *work.decay);
        approach.best = refine(&work, grid->log_rates[best - 1], grid->log_rates[best + 1], approach.best);
        free(work.decay);
    }
    *ret_approach = approach;
}

void
approach_clear(struct approach *approach)
{
    if (approach == NULL)
        return;
    free(approach->rates);
    *approach = (struct approach){0};
}

double
approach_least_squares(const struct approach_grid *grid, const double *y, const double *sd,
                       double extra_variance, size_t left_out)
{
    struct work work = {
        .grid = grid, .y = y, .sd = sd, .extra_variance = extra_variance, .left_out = left_out};
    double least = INFINITY;
    size_t best = 0;

    /* Coarsely, then about the best: the sum of squares varies on a much wider scale than the grid's step. */
    for (size_t r = 0; r < APPROACH_RATES; r += COARSE) {
        double squares = solve_on_grid(&work, r).squares;

        if (squares < least) {
            least = squares;
            best = r;
        }
    }
    for (size_t r = best > COARSE ? best - COARSE : 0; r < APPROACH_RATES && r <= best + COARSE; r++)
        least = fmin(least, solve_on_grid(&work, r).squares);
    return least;
}

/* Rule 4: what is left of the least sum of squares above its expectation. */
static double
excess(double extra_variance, void *data)
{
    const struct work *work = data;

    return approach_least_squares(work->grid, work->y, work->sd, extra_variance, APPROACH_ALL) -
           ((double)work->grid->count - APPROACH_PARAMETERS);
}

double
approach_extra_variance(const struct approach_grid *grid, const double *y, const double *sd)
{
    struct work work = {.grid = grid, .y = y, .sd = sd};
    double most = 0.0;

    if (grid->count <= APPROACH_PARAMETERS || excess(0.0, &work) <= 0.0)
        return 0.0;
    for (size_t i = 0; i < grid->count; i++) /* with all of it, a constant already fits */
        most += (y[i] - y[0]) * (y[i] - y[0]);
    return root_between(excess, &work, 0.0, most / ((double)grid->count - APPROACH_PARAMETERS), 1e-10, 1e-6);
}

double
approach_value(const struct approach *approach, double t)
{
    return approach->best.end + approach->best.drop * exp(-approach->best.rate * t);
}

/* Widen an interval by what one rate allows. */
static void
take_rate(const struct approach_rate *fit, double t, double limit, double *low, double *high)
{
    double room = limit - fit->squares, away, decay, half, value;

    if (!(room >= 0.0))
        return;
    decay = exp(-fit->rate * t);
    away = decay - fit->decay_mean;
    value = fit->end + fit->drop * decay;
    half = sqrt((1.0 / fit->weights + away * away / fit->decay_squares) * room);
    *low = fmin(*low, value - half);
    *high = fmax(*high, value + half);
}

void
approach_interval(const struct approach *approach, double t, double reach, double *ret_low, double *ret_high)
{
    double limit = approach->best.squares + reach * reach, low = INFINITY, high = -(double)INFINITY;

    take_rate(&approach->best, t, limit, &low, &high);
    for (size_t r = 0; r < APPROACH_RATES; r++)
        take_rate(&approach->rates[r], t, limit, &low, &high);
    *ret_low = low;
    *ret_high = high;
}

void
approach_rate_interval(const struct approach *approach, double reach, double *ret_low, double *ret_high)
{
    double limit = approach->best.squares + reach * reach;

    *ret_low = *ret_high = approach->best.rate;
    for (size_t r = 0; r < APPROACH_RATES; r++)
        if (approach->rates[r].squares <= limit) {
            *ret_low = fmin(*ret_low, approach->rates[r].rate);
            *ret_high = fmax(*ret_high, approach->rates[r].rate);
        }
}

bool
approach_end_open(const struct approach *approach, double reach, bool *ret_downwards)
{
    const struct approach_rate *slowest = &approach->rates[0];

    *ret_downwards = slowest->drop >= 0.0;
    return slowest->squares <= approach->best.squares + reach * reach;
}

/* c' (J'WJ)^-1 J'W by QR of the weighted J: with W^1/2 J = QR it is W^1/2 Q R'^-1 c, and weights that differ by many
 * powers of ten keep their digits. False where a column adds nothing. */
static bool
follow_points(const double *columns, const double *root_weights, size_t count, size_t parameters,
              const double *target, double *ret_weights)
{
    gsl_matrix *qr = gsl_matrix_alloc(count, parameters);
    gsl_vector *tau = gsl_vector_alloc(parameters), *along = gsl_vector_calloc(count);
    gsl_vector_view head = gsl_vector_subvector(along, 0, parameters);
    gsl_matrix_view r = gsl_matrix_submatrix(qr, 0, 0, parameters, parameters);
    bool full = true;

    for (size_t i = 0; i < count; i++)
        for (size_t p = 0; p < parameters; p++)
            gsl_matrix_set(qr, i, p, root_weights[i] * columns[i * APPROACH_PARAMETERS + p]);
    gsl_linalg_QR_decomp(qr, tau);
    for (size_t p = 0; p < parameters; p++) {
        full = full && fabs(gsl_matrix_get(qr, p, p)) > 1e-12 * fabs(gsl_matrix_get(qr, 0, 0));
        gsl_vector_set(along, p, target[p]);
    }
    if (full) {
        gsl_blas_dtrsv(CblasUpper, CblasTrans, CblasNonUnit, &r.matrix, &head.vector);
        gsl_linalg_QR_Qvec(qr, tau, along);
        for (size_t i = 0; i < count; i++)
            ret_weights[i] = root_weights[i] * gsl_vector_get(along, i);
    }
    gsl_vector_free(along);
    gsl_vector_free(tau);
    gsl_matrix_free(qr);
    return full;
}

void
approach_weights(const struct approach_grid *grid, const struct approach *approach, const double *sd,
                 double t, double *ret_weights)
{
    size_t count = grid->count;
    double *columns = memory_new(count * APPROACH_PARAMETERS, sizeof *columns);
    double *root_weights = memory_new(count, sizeof *root_weights), rate = approach->best.rate;
    /* The third column is the change with the rate over -drop: what follows is the same for any drop. */
    double target[] = {1.0, exp(-rate * t), isinf(t) ? 0.0 : t * exp(-rate * t)};

    for (size_t i = 0; i < count; i++) {
        double *column = &columns[i * APPROACH_PARAMETERS];

        column[0] = 1.0;
        column[1] = exp(-rate * grid->t[i]);
        column[2] = grid->t[i] * column[1];
        root_weights[i] = 1.0 / sd[i];
        ret_weights[i] = 0.0;
    }
    if (!follow_points(columns, root_weights, count, APPROACH_PARAMETERS, target, ret_weights))
        follow_points(columns, root_weights, count, APPROACH_PARAMETERS - 1, target, ret_weights);
    free(root_weights);
    free(columns);
}
