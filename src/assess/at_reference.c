/* at_reference.c - bring a pH to 40 degC and 1.00 %. */
#include "at_reference.h"

#include <math.h>

#include "session.h"
#include "water.h"

static enum status
check(double temperature_c, double concentration_pct, struct failure *failure)
{
    if (!(temperature_c >= AT_REFERENCE_LOW_C && temperature_c <= AT_REFERENCE_HIGH_C))
        return failure_set(failure, STATUS_RANGE,
                           "a reading at %g degC cannot be brought to 40 degC, allowed is 15 to 50",
                           temperature_c);
    if (!(concentration_pct >= AT_REFERENCE_LOW_PCT && concentration_pct <= AT_REFERENCE_HIGH_PCT))
        return failure_set(failure, STATUS_RANGE,
                           "a reading at %g %% cannot be brought to 1 %%, allowed is 0.5 to 2",
                           concentration_pct);
    return STATUS_OK;
}

enum status
at_reference_temperature(double temperature_c, double *ret_ph, struct failure *failure)
{
    double reference = NAN, here = NAN;
    enum status status = check(temperature_c, REFERENCE_CONCENTRATION_PCT, failure);

    if (status == STATUS_OK)
        status = water_pkw(REFERENCE_TEMPERATURE_C, &reference, failure);
    if (status == STATUS_OK)
        status = water_pkw(temperature_c, &here, failure);
    if (status == STATUS_OK)
        *ret_ph = AT_REFERENCE_MIDDLE_PART * (reference - here);
    return status;
}

enum status
at_reference(double temperature_c, double concentration_pct, struct at_reference *ret_shift,
             struct failure *failure)
{
    double reference = NAN, here = NAN, below = NAN, above = NAN, decades;
    enum status status = check(temperature_c, concentration_pct, failure);

    if (status == STATUS_OK)
        status = water_pkw(REFERENCE_TEMPERATURE_C, &reference, failure);
    if (status == STATUS_OK)
        status = water_pkw(temperature_c, &here, failure);
    if (status == STATUS_OK)
        status = water_pkw(temperature_c - 0.5, &below, failure);
    if (status == STATUS_OK)
        status = water_pkw(temperature_c + 0.5, &above, failure);
    if (status != STATUS_OK)
        return status;
    decades = log10(REFERENCE_CONCENTRATION_PCT / concentration_pct);
    *ret_shift = (struct at_reference){
        .temperature_ph = AT_REFERENCE_MIDDLE_PART * (reference - here),
        .concentration_ph = AT_REFERENCE_MIDDLE_PART * decades,
        .shift_ph = AT_REFERENCE_MIDDLE_PART * (reference - here + decades),
        .share_half_ph = AT_REFERENCE_HALF_PART * fabs(reference - here + decades) +
                         AT_REFERENCE_FELT_PART * fabs(decades),
        .ph_per_c = AT_REFERENCE_MIDDLE_PART * (below - above),
        .ph_per_pct = AT_REFERENCE_MIDDLE_PART / (concentration_pct * log(10.0)),
    };
    return STATUS_OK;
}
