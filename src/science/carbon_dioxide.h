/* carbon_dioxide.h - what carbon dioxide that is left in the water does to a soap solution. */
#ifndef CARBON_DIOXIDE_H
#define CARBON_DIOXIDE_H

#include "status.h"

/* Carbon dioxide, all its forms together, of pure water by the water's own pH at 25 degC, in mol per kg:
 * (h - Kw/h)(1 + h/K1), from charge balance, ions taken as ideal (an ionic strength of 1e-5 at most).
 *
 * water_ph  4 to 7. STATUS_RANGE outside. K1: Plummer and Busenberg (acid.h). */
enum status carbon_dioxide_of_water(double water_ph, double *ret_mol_per_kg, struct failure *failure);

/* How much higher a plain bar's solution would read without the carbon dioxide. It takes one hydroxide each, or two: 1 +
 * 1/(1 + 10^(pK2 - pH)). With x the hydroxide left, x0 that of the plain bar without (soap.h): x - x0^2/x is minus what
 * was taken, so the fall is log10(x0/x) = log10(1 + taken/x)/2. A bar whose hydroxide were all lye would fall twice as
 * far; such bars read high, where neither is felt.
 *
 * ph               as read, 0 to 14
 * temperature_c    0 to 60
 * concentration_pct  0.1 to 5
 * ret_per_ph       how the fall changes with the pH
 *
 * STATUS_RANGE as soap_hydroxide() and for less than no carbon dioxide. */
enum status carbon_dioxide_fall(double mol_per_kg, double ph, double temperature_c, double concentration_pct,
                                double *ret_fall_ph, double *ret_per_ph, struct failure *failure);

#endif
