/* censored.c - normal distribution from intervals. */
#include "censored.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <math.h>

enum { STEP_LIMIT = 200, HALVING_LIMIT = 60 };

/* In units of the start spread: an interval narrower than this is as good as a value. */
static const double negligible = 1e-6;

struct intervals {
    const double *low, *high;
    size_t count;
    double centre, scale; /* start values of mean and sd; ends are scaled by them */
};

/* Logarithm of the likelihood at theta = mean / sd and tau = 1 / sd, with its derivatives. */
struct likelihood {
    double log, theta, tau;
    double theta_theta, theta_tau, tau_tau;
};

static void
add_value(struct likelihood *sum, double value, double theta, double tau)
{
    double z = value * tau - theta;

    sum->log += log(tau) + log(gsl_ran_ugaussian_pdf(z));
    sum->theta += z;
    sum->tau += 1.0 / tau - value * z;
    sum->theta_theta -= 1.0;
    sum->theta_tau += value;
    sum->tau_tau -= 1.0 / (tau * tau) + value * value;
}

static void
add_interval(struct likelihood *sum, double low, double high, double theta, double tau)
{
    double a = low * tau - theta, b = high * tau - theta;
    /* in the upper tail differences of small numbers keep their digits, of numbers near 1 not */
    double held = a > 0.0 ? gsl_cdf_ugaussian_Q(a) - gsl_cdf_ugaussian_Q(b)
                          : gsl_cdf_ugaussian_P(b) - gsl_cdf_ugaussian_P(a);
    double at_a = gsl_ran_ugaussian_pdf(a) / held, at_b = gsl_ran_ugaussian_pdf(b) / held;
    double by_theta = at_a - at_b, by_tau = high * at_b - low * at_a;

    sum->log += log(held);
    sum->theta += by_theta;
    sum->tau += by_tau;
    sum->theta_theta += a * at_a - b * at_b - by_theta * by_theta;
    sum->theta_tau += high * b * at_b - low * a * at_a - by_theta * by_tau;
    sum->tau_tau += low * low * a * at_a - high * high * b * at_b - by_tau * by_tau;
}

static struct likelihood
likelihood_at(const struct intervals *intervals, double theta, double tau)
{
    struct likelihood sum = {0};

    for (size_t i = 0; i < intervals->count; i++) {
        double low = (intervals->low[i] - intervals->centre) / intervals->scale;
        double high = (intervals->high[i] - intervals->centre) / intervals->scale;

        if (high - low <= negligible)
            add_value(&sum, 0.5 * (low + high), theta, tau);
        else
            add_interval(&sum, low, high, theta, tau);
    }
    return sum;
}

/* Start: mean and spread of the middles, the spread no smaller than the mean width so that no interval starts
 * far out in a tail. */
static void
set_start(struct intervals *intervals)
{
    double n = (double)intervals->count, squares = 0.0, width = 0.0;

    for (size_t i = 0; i < intervals->count; i++) {
        intervals->centre += 0.5 * (intervals->low[i] / n + intervals->high[i] / n);
        width += intervals->high[i] / n - intervals->low[i] / n;
    }
    for (size_t i = 0; i < intervals->count; i++) {
        double middle = 0.5 * intervals->low[i] + 0.5 * intervals->high[i] - intervals->centre;

        squares += middle * middle / n;
    }
    intervals->scale = fmax(sqrt(squares), width);
}

/* Climb to the maximum; false when it cannot be reached. A spread that has become negligible stops the climb.
 */
static bool
climb(const struct intervals *intervals, double *theta, double *tau, struct likelihood *at)
{
    *theta = 0.0;
    *tau = 1.0;
    *at = likelihood_at(intervals, *theta, *tau);
    for (int i = 0; i < STEP_LIMIT && isfinite(at->log); i++) {
        double determinant = at->theta_theta * at->tau_tau - at->theta_tau * at->theta_tau;
        double step_theta = -(at->tau_tau * at->theta - at->theta_tau * at->tau) / determinant;
        double step_tau = -(at->theta_theta * at->tau - at->theta_tau * at->theta) / determinant;
        double gain = at->theta * step_theta + at->tau * step_tau;
        struct likelihood next = {.log = NAN};
        double share = 1.0;

        if (!isfinite(gain))
            return false;
        for (int j = 0; j < HALVING_LIMIT; j++, share *= 0.5) {
            if (*tau + share * step_tau <= 0.0)
                continue;
            next = likelihood_at(intervals, *theta + share * step_theta, *tau + share * step_tau);
            if (next.log >= at->log - 1e-12 * (1.0 + fabs(at->log))) /* no worse, but for rounding */
                break;
        }
        if (!isfinite(next.log))
            return false;
        *theta += share * step_theta;
        *tau += share * step_tau;
        *at = next;
        if (gain < 1e-18 * (double)intervals->count)
            return true;
    }
    return false;
}

static void
describe_coarse(struct censored_normal *fit, double narrowest)
{
    fit->spread_known = false;
    fit->mean = 0.5 * fit->common_low + 0.5 * fit->common_high;
    fit->mean_sd = narrowest / sqrt(12.0);
    fit->sd = fit->sd_sd = fit->covariance = fit->log_likelihood = NAN;
}

/* Standard errors: inverse of minus the second derivatives, carried from theta and tau to mean and sd. */
static void
describe(struct censored_normal *fit, const struct intervals *intervals, double theta, double tau,
         const struct likelihood *at)
{
    double determinant = at->theta_theta * at->tau_tau - at->theta_tau * at->theta_tau;
    double var_theta = -at->tau_tau / determinant, var_tau = -at->theta_theta / determinant;
    double cov = at->theta_tau / determinant, sd = 1.0 / tau, mean = theta / tau;
    double variance = sd * sd * (var_theta - 2.0 * mean * cov + mean * mean * var_tau);

    fit->spread_known = true;
    fit->common_low = fit->common_high = NAN;
    fit->mean = intervals->centre + intervals->scale * mean;
    fit->sd = intervals->scale * sd;
    fit->mean_sd = intervals->scale * sqrt(variance);
    fit->sd_sd = intervals->scale * sd * sd * sqrt(var_tau);
    fit->covariance = intervals->scale * intervals->scale * -sd * sd * sd * (cov - mean * var_tau);
    fit->log_likelihood = at->log;
    for (size_t i = 0; i < intervals->count; i++) /* densities are per unit of the data, not of the scale */
        if (intervals->high[i] - intervals->low[i] <= negligible * intervals->scale)
            fit->log_likelihood -= log(intervals->scale);
}

enum status
censored_normal_fit(const double *low, const double *high, size_t count, struct censored_normal *ret_fit,
                    struct failure *failure)
{
    struct censored_normal fit = {.count = count, .common_low = -(double)INFINITY, .common_high = INFINITY};
    struct intervals intervals = {.low = low, .high = high, .count = count};
    double narrowest = INFINITY, theta, tau;
    bool coarse;
    struct likelihood at;

    if (count < CENSORED_LEAST)
        return failure_set(failure, STATUS_RANGE, "bias and spread need at least %d pairs, not %zu",
                           CENSORED_LEAST, count);
    for (size_t i = 0; i < count; i++) {
        if (!(low[i] <= high[i] && isfinite(low[i]) && isfinite(high[i])))
            return failure_set(failure, STATUS_RANGE, "pair %zu: %g to %g is not an interval", i + 1, low[i],
                               high[i]);
        fit.common_low = fmax(fit.common_low, low[i]);
        fit.common_high = fmin(fit.common_high, high[i]);
        narrowest = fmin(narrowest, high[i] - low[i]);
    }
    set_start(&intervals);
    if (!(intervals.scale > 0.0 && isfinite(intervals.scale)))
        return failure_set(failure, STATUS_RANGE,
                           "bias and spread cannot be told: the values are all the same, or too large");
    /* Ends that touch, but for the rounding of a subtraction, hide the spread too. */
    coarse = fit.common_low <= fit.common_high + 1e-9 * intervals.scale;
    if (coarse && narrowest == 0.0)
        return failure_set(failure, STATUS_RANGE,
                           "bias and spread cannot be told: one exact value lies in every interval");
    if (coarse) {
        describe_coarse(&fit, narrowest);
    } else {
        if (!climb(&intervals, &theta, &tau, &at))
            return failure_set(failure, STATUS_RANGE,
                               "bias and spread cannot be told from these %zu pairs: they lie too far apart",
                               count);
        describe(&fit, &intervals, theta, tau, &at);
    }
    *ret_fit = fit;
    return STATUS_OK;
}
