/* electrode.h - what an ideal glass electrode shows (Nernst). */
#ifndef ELECTRODE_H
#define ELECTRODE_H

#include "status.h"

/* Ideal electrode slope R T ln 10 / F, in millivolts per pH (positive).
 *
 * temperature_c  0 to 100 degrees Celsius. STATUS_RANGE outside.
 * Source: Nernst equation with the exact constants of the SI (2019). */
enum status electrode_slope(double temperature_c, double *ret_slope_mv_per_ph, struct failure *failure);

/* Potential of an ideal electrode that reads 0 mV at pH 7: slope * (7 - pH). Alkaline reads negative.
 *
 * ph  -2 to 16. STATUS_RANGE outside, or as electrode_slope(). */
enum status electrode_potential(double ph, double temperature_c, double *ret_potential_mv,
                                struct failure *failure);

/* The other way round: the pH at which an ideal electrode shows this potential.
 *
 * potential_mv  -1000 to 1000. STATUS_RANGE outside, or as electrode_slope(). */
enum status electrode_ph(double potential_mv, double temperature_c, double *ret_ph, struct failure *failure);

#endif
