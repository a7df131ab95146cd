/* carbon_dioxide.c - what carbon dioxide that is left in the water does to a soap solution. */
#include "carbon_dioxide.h"

#include <math.h>

#include "acid.h"
#include "soap.h"
#include "water.h"

static const double room_c = 25.0;

enum status
carbon_dioxide_of_water(double water_ph, double *ret_mol_per_kg, struct failure *failure)
{
    double pk1 = 0.0, pkw = 0.0, hydrogen;

    if (!(water_ph >= 4.0 && water_ph <= 7.0))
        return failure_set(failure, STATUS_RANGE, "the water's own pH is %g, allowed is 4 to 7", water_ph);
    if (acid_pka(ACID_CARBONIC, 1, room_c, &pk1, failure) != STATUS_OK ||
        water_pkw(room_c, &pkw, failure) != STATUS_OK)
        return failure->status;
    hydrogen = pow(10.0, -water_ph);
    *ret_mol_per_kg = fmax(0.0, hydrogen - pow(10.0, water_ph - pkw)) * (1.0 + pow(10.0, pk1 - water_ph));
    return STATUS_OK;
}

enum status
carbon_dioxide_fall(double mol_per_kg, double ph, double temperature_c, double concentration_pct,
                    double *ret_fall_ph, double *ret_per_ph, struct failure *failure)
{
    double pk2 = 0.0, hydroxide = 0.0, taken;

    if (!(mol_per_kg >= 0.0))
        return failure_set(failure, STATUS_RANGE, "carbon dioxide is %g mol/kg, allowed is 0 and more",
                           mol_per_kg);
    if (soap_hydroxide(ph, temperature_c, concentration_pct, &hydroxide, failure) != STATUS_OK ||
        acid_pka(ACID_CARBONIC, 2, temperature_c, &pk2, failure) != STATUS_OK)
        return failure->status;
    taken = mol_per_kg * (1.0 + 1.0 / (1.0 + pow(10.0, pk2 - ph))) / hydroxide;
    *ret_fall_ph = 0.5 * log10(1.0 + taken);
    *ret_per_ph = -0.5 * taken / (1.0 + taken); /* the second hydroxide comes on slowly */
    return STATUS_OK;
}
