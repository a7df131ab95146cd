/* electrode.c - what an ideal glass electrode shows (Nernst). */
#include "electrode.h"

#include <math.h>

/* Exact in the SI: gas constant = Boltzmann * Avogadro, Faraday = charge * Avogadro; Avogadro cancels. */
static const double boltzmann_j_per_k = 1.380649e-23, charge_c = 1.602176634e-19;

enum status
electrode_slope(double temperature_c, double *ret_slope_mv_per_ph, struct failure *failure)
{
    if (!(temperature_c >= 0.0 && temperature_c <= 100.0))
        return failure_set(failure, STATUS_RANGE, "an electrode is used from 0 to 100 degC, not at %g",
                           temperature_c);
    *ret_slope_mv_per_ph = 1000.0 * boltzmann_j_per_k * (temperature_c + 273.15) * log(10.0) / charge_c;
    return STATUS_OK;
}

enum status
electrode_ph(double potential_mv, double temperature_c, double *ret_ph, struct failure *failure)
{
    double slope_mv_per_ph = 0.0;

    if (!(potential_mv >= -1000.0 && potential_mv <= 1000.0))
        return failure_set(failure, STATUS_RANGE, "potential is %g mV, allowed is -1000 to 1000",
                           potential_mv);
    if (electrode_slope(temperature_c, &slope_mv_per_ph, failure) != STATUS_OK)
        return failure->status;
    *ret_ph = 7.0 - potential_mv / slope_mv_per_ph;
    return STATUS_OK;
}
