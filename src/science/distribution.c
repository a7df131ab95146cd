/* distribution.c - Student's t, central and not, and the normal distribution. */
#include "distribution.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_randist.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>

#include "root.h"

static const double noncentrality_limit = 1000.0;
static const double normal_from_dof = 1e6; /* rule 1 */

double
student_t_below(double t, double dof)
{
    if (isnan(t) || !(dof > 0.0))
        return NAN;
    return dof > normal_from_dof ? gsl_cdf_ugaussian_P(t) : gsl_cdf_tdist_P(t, dof);
}

double
student_t_above(double t, double dof)
{
    return student_t_below(-t, dof);
}

double
student_t_two_sided(double t, double dof)
{
    return 2.0 * student_t_below(-fabs(t), dof);
}

double
student_t_quantile(double probability, double dof)
{
    if (!(probability > 0.0 && probability < 1.0) || !(dof > 0.0))
        return NAN;
    return dof > normal_from_dof ? gsl_cdf_ugaussian_Pinv(probability) : gsl_cdf_tdist_Pinv(probability, dof);
}

/* A rectangle and a normal variable together, in units of the half-width. */
struct rectangle_normal {
    double sd, probability;
};

static double
rectangle_normal_excess(double x, void *data)
{
    const struct rectangle_normal *sum = data;
    double above = (x + 1.0) / sum->sd, below = (x - 1.0) / sum->sd;
    double g_above = above * gsl_cdf_ugaussian_P(above) + gsl_ran_ugaussian_pdf(above);
    double g_below = below * gsl_cdf_ugaussian_P(below) + gsl_ran_ugaussian_pdf(below);

    return 0.5 * sum->sd * (g_above - g_below) - sum->probability;
}

double
rectangle_normal_quantile(double half_width, double sd, double probability)
{
    struct rectangle_normal sum = {.sd = sd / half_width, .probability = probability};
    double normal;

    if (!(half_width >= 0.0) || !(sd >= 0.0) || !(probability >= 0.5 && probability < 1.0))
        return NAN;
    normal = gsl_cdf_ugaussian_Pinv(probability);
    /* So narrow a rectangle widens the normal part and leaves its shape: their fourth cumulant, (h/sd)^4 2/15, is below
     * 1e-9 then, while the two terms of the exact sum would cancel. Both 0 come here too, and 0 comes out. */
    if (half_width <= 1e-2 * sd)
        return sqrt(sd * sd + half_width * half_width / 3.0) * normal;
    if (sd <= 1e-9 * half_width)
        return half_width * (2.0 * probability - 1.0);
    if (probability == 0.5)
        return 0.0;
    return half_width *
           root_between(rectangle_normal_excess, &sum, 0.0, 1.0 + sum.sd * normal + sum.sd, 0.0, 1e-12);
}

double
student_t_coverage_factor(double coverage, double dof)
{
    if (!(coverage > 0.0 && coverage < 1.0))
        return NAN;
    return -student_t_quantile(0.5 * (1.0 - coverage), dof); /* the lower tail keeps its digits */
}

/* Probability that the variable lies from 0 to t, t >= 0 (AS 243). */
static double
noncentral_from_zero(double t, double dof, double noncentrality)
{
    double mean = 0.5 * noncentrality * noncentrality, x = t * t / (dof + t * t), sum = 0.0;
    double reach = 10.0 * sqrt(mean) + 30.0; /* Poisson weights further out are below 1e-18 */

    for (double j = fmax(0.0, floor(mean - reach)); j <= mean + reach; j++) {
        double log_power = mean > 0.0 ? j * log(mean) - mean : 0.0;
        double even = exp(log_power - gsl_sf_lngamma(j + 1.0));
        double odd = noncentrality / sqrt(2.0) * exp(log_power - gsl_sf_lngamma(j + 1.5));

        if (mean == 0.0 && j > 0.0)
            break;
        sum += even * gsl_sf_beta_inc(j + 0.5, 0.5 * dof, x) + odd * gsl_sf_beta_inc(j + 1.0, 0.5 * dof, x);
    }
    return 0.5 * sum;
}

double
noncentral_t_above(double t, double dof, double noncentrality)
{
    double above;

    if (isnan(t) || isnan(noncentrality) || !(dof > 0.0))
        return NAN;
    if (isinf(dof))
        return gsl_cdf_ugaussian_Q(t - noncentrality);
    if (isinf(t))
        return t > 0.0 ? 0.0 : 1.0;
    if (fabs(noncentrality) > noncentrality_limit)
        return gsl_cdf_ugaussian_Q((t * (1.0 - 0.25 / dof) - noncentrality) / sqrt(1.0 + 0.5 * t * t / dof));
    if (t < 0.0) /* the mirrored variable */
        above = gsl_cdf_ugaussian_Q(-noncentrality) + noncentral_from_zero(-t, dof, -noncentrality);
    else
        above = gsl_cdf_ugaussian_Q(-noncentrality) - noncentral_from_zero(t, dof, noncentrality);
    return fmin(fmax(above, 0.0), 1.0); /* rounding */
}

double
chi_squared_above(double x, double dof)
{
    if (!(x >= 0.0) || !(dof > 0.0) || isinf(dof))
        return NAN;
    return isinf(x) ? 0.0 : gsl_cdf_chisq_Q(x, dof);
}

double
chi_squared_quantile(double probability, double dof)
{
    if (!(probability > 0.0 && probability < 1.0) || !(dof > 0.0) || isinf(dof))
        return NAN;
    return gsl_cdf_chisq_Pinv(probability, dof);
}
