/* dilution.h - soap and water for a test solution of so many percent by mass, and how well a balance holds
 * it.
 *
 * Rules
 * (1) Percent is mass fraction: 100 soap / (soap + water). 1.00 g and 99.00 g make 1.000 %.
 * (2) Soap and water are each weighed as a difference of two readings (tare and load), each rounded to the
 *     readability d, which is rectangular: u = d / sqrt(12) a reading, d / sqrt(6) a mass (JCGM 100:2008,
 *     F.2.2.1).
 * (3) A balance holds a tolerance when twice the standard uncertainty of the percent is inside it. */
#ifndef DILUTION_H
#define DILUTION_H

#include "status.h"

struct dilution {
    double soap_g, percent, water_g, total_g;
    double u_percent; /* standard uncertainty, in percent by mass; NAN when no balance is stated */
};

/* Water for a portion of soap.
 *
 * soap_g         above 0 to 10000 g
 * percent        0.001 to 99.999
 * readability_g  of the balance, above 0 to 1000 g; NAN: not stated
 *
 * STATUS_RANGE outside. */
enum status dilution_for_percent(double soap_g, double percent, double readability_g,
                                 struct dilution *ret_dilution, struct failure *failure);

/* The percent two masses make. soap_g as above, water_g above 0 to 1e6 g; STATUS_RANGE outside. */
enum status dilution_from_masses(double soap_g, double water_g, double readability_g,
                                 struct dilution *ret_dilution, struct failure *failure);

/* The smallest portion of soap with which a balance holds percent +/- tolerance (rule 3).
 *
 * tolerance_pct  above 0, in percent by mass (0.02 for 1.00 +/- 0.02 %)
 *
 * STATUS_RANGE for numbers outside. */
enum status dilution_smallest_portion(double percent, double tolerance_pct, double readability_g,
                                      double *ret_soap_g, struct failure *failure);

#endif
