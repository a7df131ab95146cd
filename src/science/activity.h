/* activity.h - how strongly ions in water are felt: Debye-Hueckel slope and the Davies equation (molal). */
#ifndef ACTIVITY_H
#define ACTIVITY_H

#include "status.h"

/* Highest ionic strength, mol/kg, for which the Davies equation is meant. */
#define ACTIVITY_IONIC_STRENGTH_MAX 0.5

/* Debye-Hueckel slope A for log10, molal, kg^0.5 mol^-0.5.
 *
 * temperature_c  0 to 100 degrees Celsius. STATUS_RANGE outside.
 * Source: A = sqrt(2 pi N rho) (e^2 / (4 pi eps0 eps k T))^1.5 / ln 10 with CODATA constants, permittivity of
 * D. J. Bradley and K. S. Pitzer (1979), J. Phys. Chem. 83, 1599-1603 (constants from memory), density of
 * water_density(). */
enum status activity_debye_huckel(double temperature_c, double *ret_a, struct failure *failure);

/* log10 of the activity coefficient by Davies: -A z^2 (sqrt I / (1 + sqrt I) - 0.3 I).
 * No check of the range: the caller knows that `ionic_strength` is 0 to 0.5 mol/kg.
 * Source: C. W. Davies, Ion Association (1962). */
double activity_davies(double a, double charge, double ionic_strength_mol_per_kg);

/* The same, checked.
 *
 * charge                     -3 to 3
 * ionic_strength_mol_per_kg  0 to 0.5
 * temperature_c              0 to 100
 *
 * STATUS_RANGE outside. */
enum status activity_log_gamma(double charge, double ionic_strength_mol_per_kg, double temperature_c,
                               double *ret_log_gamma, struct failure *failure);

#endif
