/* distribution.c - Student's t, central and not, and the normal distribution. */
#include "distribution.h"

#include <gsl/gsl_cdf.h>
#include <gsl/gsl_sf_gamma.h>
#include <math.h>

static const double noncentrality_limit = 1000.0;

double
student_t_below(double t, double dof)
{
    if (isnan(t) || !(dof > 0.0))
        return NAN;
    return isinf(dof) ? gsl_cdf_ugaussian_P(t) : gsl_cdf_tdist_P(t, dof);
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
    return isinf(dof) ? gsl_cdf_ugaussian_Pinv(probability) : gsl_cdf_tdist_Pinv(probability, dof);
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
