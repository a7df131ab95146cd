/* distribution.c - Student's t and the normal distribution. */
#include "distribution.h"

#include <gsl/gsl_cdf.h>
#include <math.h>

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
