/* water.c - properties of pure, air-free water at 0.1 MPa. */
#include "water.h"

#include <math.h>

/* a1 to a5 of Tanaka et al. (2001), with the signs and digits printed there. */
static const double a1_c = -3.983035, a2_c = 301.797, a3_c2 = 522528.9, a4_c = 69.34881;
static const double a5_g_per_ml = 0.999974950;

/* Numerator (powers 0 to 5 of the temperature) and denominator of Kell (1975), in kg/m3. */
static const double kell[] = {999.83952,     16.945176,    -7.9870401e-3,
                              -46.170461e-6, 105.56302e-9, -280.54253e-12};
static const double kell_b = 16.879850e-3;

/* IAPWS R11-24; the gamma, n and the molar mass are those of R11-07 too. */
static const double alpha[] = {-0.702132, 8681.05, -24145.1};
static const double beta[] = {0.813876, -51.4471, -0.46992};
static const double gas[] = {0.61415, 48251.33, -67707.93, 10102100.0};
static const double hydration_n = 6.0, molar_mass_g_per_mol = 18.015268;

static double
density_tanaka(double temperature_c)
{
    double from_densest_c = temperature_c + a1_c;
    double drop =
        from_densest_c * from_densest_c * (temperature_c + a2_c); /* fraction lighter than at densest */

    drop /= a3_c2 * (temperature_c + a4_c);
    return a5_g_per_ml * (1.0 - drop);
}

static double
density_kell(double temperature_c)
{
    double sum = 0.0;

    for (int power = 5; power >= 0; power--)
        sum = sum * temperature_c + kell[power];
    return sum / (1.0 + kell_b * temperature_c) / 1000.0;
}

enum status
water_density(double temperature_c, double *ret_density_g_per_ml, struct failure *failure)
{
    /* Asked as "is it inside?" so that NaN, for which every comparison is false, is refused. */
    if (!(temperature_c >= 0.0 && temperature_c <= 100.0))
        return failure_set(failure, STATUS_RANGE, "density of water is known from 0 to 100 degC, not at %g",
                           temperature_c);
    *ret_density_g_per_ml =
        temperature_c <= 40.0 ? density_tanaka(temperature_c) : density_kell(temperature_c);
    return STATUS_OK;
}

enum status
water_pkw_at_density(double temperature_c, double density_g_per_ml, double *ret_pkw, struct failure *failure)
{
    double t_k = temperature_c + 273.15, density = density_g_per_ml;
    double q, pkw_gas;

    if (!(temperature_c >= 0.0 && temperature_c <= 800.0))
        return failure_set(failure, STATUS_RANGE,
                           "ion product of water is known from 0 to 800 degC, not at %g", temperature_c);
    if (!(density > 0.0 && density <= 1.25))
        return failure_set(failure, STATUS_RANGE,
                           "ion product of water is known up to a density of 1.25 g/mL, not at %g", density);
    q = density * exp(alpha[0] + alpha[1] / t_k + alpha[2] * pow(density, 2.0 / 3.0) / (t_k * t_k));
    pkw_gas = gas[0] + gas[1] / t_k + gas[2] / (t_k * t_k) + gas[3] / (t_k * t_k * t_k);
    *ret_pkw =
        -2.0 * hydration_n *
            (log10(1.0 + q) - q / (q + 1.0) * density * (beta[0] + beta[1] / t_k + beta[2] * density)) +
        pkw_gas + 2.0 * log10(molar_mass_g_per_mol / 1000.0);
    return STATUS_OK;
}

enum status
water_pkw(double temperature_c, double *ret_pkw, struct failure *failure)
{
    double density_g_per_ml = 0.0;

    if (!(temperature_c >= 0.0 && temperature_c <= 100.0))
        return failure_set(failure, STATUS_RANGE,
                           "ion product of water is known here from 0 to 100 degC, not at %g", temperature_c);
    if (water_density(temperature_c, &density_g_per_ml, failure) != STATUS_OK)
        return failure->status;
    return water_pkw_at_density(temperature_c, density_g_per_ml, ret_pkw, failure);
}
