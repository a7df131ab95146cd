/* activity.c - Debye-Hueckel slope and the Davies equation. */
#include "activity.h"

#include <math.h>

#include "water.h"

/* U1 to U9 of Bradley and Pitzer (1979), pressure in bar, temperature in kelvin. */
static const double u[] = {3.4279e2,  -5.0866e-3, 9.4690e-7, -2.0525, 3.1159e3,
                           -1.8289e2, -8.0325e3,  4.2142e6,  2.1417};

/* sqrt(2 pi N 1000 kg/m3) (e^2 / (4 pi eps0 k))^1.5 / ln 10 of the constants of 2018, in K^1.5. */
static const double slope_factor = 1.8248117e6;

static double
permittivity(double t_k)
{
    const double pressure_bar = 1.0;
    double c = u[3] + u[4] / (u[5] + t_k);
    double b = u[6] + u[7] / t_k + u[8] * t_k;

    return u[0] * exp(u[1] * t_k + u[2] * t_k * t_k) + c * log((b + pressure_bar) / (b + 1000.0));
}

enum status
activity_debye_huckel(double temperature_c, double *ret_a, struct failure *failure)
{
    double t_k = temperature_c + 273.15, density_g_per_ml = 0.0;

    if (water_density(temperature_c, &density_g_per_ml, failure) != STATUS_OK)
        return failure->status;
    *ret_a = slope_factor * sqrt(density_g_per_ml) / pow(permittivity(t_k) * t_k, 1.5);
    return STATUS_OK;
}

double
activity_davies(double a, double charge, double ionic_strength_mol_per_kg)
{
    double root = sqrt(ionic_strength_mol_per_kg);

    return -a * charge * charge * (root / (1.0 + root) - 0.3 * ionic_strength_mol_per_kg);
}

enum status
activity_log_gamma(double charge, double ionic_strength_mol_per_kg, double temperature_c,
                   double *ret_log_gamma, struct failure *failure)
{
    double a = 0.0;

    if (!(ionic_strength_mol_per_kg >= 0.0 && ionic_strength_mol_per_kg <= ACTIVITY_IONIC_STRENGTH_MAX))
        return failure_set(failure, STATUS_RANGE,
                           "activities are known for ionic strengths from 0 to %g mol/kg, not at %g",
                           ACTIVITY_IONIC_STRENGTH_MAX, ionic_strength_mol_per_kg);
    if (!(fabs(charge) <= 3.0))
        return failure_set(failure, STATUS_RANGE, "charge is %g, allowed is -3 to 3", charge);
    if (activity_debye_huckel(temperature_c, &a, failure) != STATUS_OK)
        return failure->status;
    *ret_log_gamma = activity_davies(a, charge, ionic_strength_mol_per_kg);
    return STATUS_OK;
}
