/* dilution.c - soap and water for a test solution. */
#include "dilution.h"

#include <math.h>

/* Standard uncertainty of a mass weighed as the difference of two readings (rule 2). */
static double
mass_u(double readability_g)
{
    return readability_g / sqrt(6.0);
}

static enum status
check(const char *what, double value, double low, double high, const char *unit, struct failure *failure)
{
    if (!(value >= low && value <= high))
        return failure_set(failure, STATUS_RANGE, "%s is %g %s, allowed is %g to %g %s", what, value, unit,
                           low, high, unit);
    return STATUS_OK;
}

static enum status
check_portion(double soap_g, double readability_g, struct failure *failure)
{
    if (!(soap_g > 0.0 && soap_g <= 1e4))
        return failure_set(failure, STATUS_RANGE, "soap is %g g, allowed is above 0 to 10000 g", soap_g);
    if (isnan(readability_g))
        return STATUS_OK;
    return check("readability of the balance", readability_g, 1e-6, 1000.0, "g", failure);
}

/* d percent / d soap = 100 water / total^2 and d percent / d water = -100 soap / total^2. */
static struct dilution
made(double soap_g, double water_g, double readability_g)
{
    double total_g = soap_g + water_g;

    return (struct dilution){.soap_g = soap_g,
                             .percent = 100.0 * soap_g / total_g,
                             .water_g = water_g,
                             .total_g = total_g,
                             .u_percent = 100.0 * mass_u(readability_g) * hypot(soap_g, water_g) /
                                          (total_g * total_g)};
}

enum status
dilution_for_percent(double soap_g, double percent, double readability_g, struct dilution *ret_dilution,
                     struct failure *failure)
{
    enum status status = check_portion(soap_g, readability_g, failure);

    if (status == STATUS_OK)
        status = check("concentration", percent, 0.001, 99.999, "%", failure);
    if (status != STATUS_OK)
        return status;
    *ret_dilution = made(soap_g, soap_g * (100.0 / percent - 1.0), readability_g);
    ret_dilution->percent = percent; /* as asked for, not a rounding error away */
    return STATUS_OK;
}

enum status
dilution_from_masses(double soap_g, double water_g, double readability_g, struct dilution *ret_dilution,
                     struct failure *failure)
{
    enum status status = check_portion(soap_g, readability_g, failure);

    if (status != STATUS_OK)
        return status;
    if (!(water_g > 0.0 && water_g <= 1e6))
        return failure_set(failure, STATUS_RANGE, "water is %g g, allowed is above 0 to 1000000 g", water_g);
    *ret_dilution = made(soap_g, water_g, readability_g);
    return STATUS_OK;
}

/* With w the fraction, water = soap (1 - w) / w, and u(percent) falls as 1 / soap: rule 3 solved for soap. */
enum status
dilution_smallest_portion(double percent, double tolerance_pct, double readability_g, double *ret_soap_g,
                          struct failure *failure)
{
    enum status status = check("concentration", percent, 0.001, 99.999, "%", failure);
    double fraction = percent / 100.0;

    if (status == STATUS_OK)
        status = check("readability of the balance", readability_g, 1e-6, 1000.0, "g", failure);
    if (status != STATUS_OK)
        return status;
    if (!(tolerance_pct > 0.0 && tolerance_pct < 100.0))
        return failure_set(failure, STATUS_RANGE, "tolerance is %g %%, allowed is above 0 to below 100 %%",
                           tolerance_pct);
    *ret_soap_g = 2.0 * mass_u(readability_g) * percent * hypot(fraction, 1.0 - fraction) / tolerance_pct;
    return STATUS_OK;
}
