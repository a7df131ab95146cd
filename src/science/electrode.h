/* electrode.h - what an ideal glass electrode shows (Nernst). */
#ifndef ELECTRODE_H
#define ELECTRODE_H

#include "status.h"

/* Ideal electrode slope R T ln 10 / F, in millivolts per pH (positive).
 *
 * temperature_c  0 to 100 degrees Celsius. STATUS_RANGE outside.
 * Source: Nernst equation with the exact constants of the SI (2019). */
enum status electrode_slope(double temperature_c, double *ret_slope_mv_per_ph, struct failure *failure);

/* The pH at which an ideal electrode, which reads 0 mV at pH 7, shows this potential: 7 - potential / slope.
 * Alkaline reads negative.
 *
 * potential_mv  -1000 to 1000. STATUS_RANGE outside, or as electrode_slope(). */
enum status electrode_ph(double potential_mv, double temperature_c, double *ret_ph, struct failure *failure);

#endif
