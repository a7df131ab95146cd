/* titration.c - free alkali by titration. */
#include "titration.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"

void
titration_init(struct titration *titration)
{
    *titration = (struct titration){.replicate = 1,
                                    .soap_mass_g = NAN,
                                    .acid_mol_per_l = NAN,
                                    .u_acid_relative = NAN,
                                    .volume_ml = NAN,
                                    .blank_ml = NAN,
                                    .burette_ml = NAN,
                                    .taken_at = MOMENT_NONE};
}

void
titration_clear(struct titration *titration)
{
    free(titration->bar);
    free(titration->method);
    free(titration->why);
    free(titration->note);
    *titration = (struct titration){0};
}

/* NAN passes where the number may be left out. */
static enum status
check_number(const char *what, double number, double above, double most, struct failure *failure)
{
    if (!(number > above && number <= most))
        return failure_set(failure, STATUS_RANGE, "%s is %g, allowed is above %g to %g", what, number, above,
                           most);
    return STATUS_OK;
}

enum status
titration_check(const struct titration *titration, struct failure *failure)
{
    enum status status = check_number("soap_mass_g", titration->soap_mass_g, 0.0, 1000.0, failure);

    if (status != STATUS_OK)
        return status;
    if (!(titration->acid_mol_per_l >= 0.001 && titration->acid_mol_per_l <= 2.0))
        return failure_set(failure, STATUS_RANGE, "acid_mol_per_l is %g, allowed is 0.001 to 2",
                           titration->acid_mol_per_l);
    if (!(titration->volume_ml >= 0.0 && titration->volume_ml <= 1000.0))
        return failure_set(failure, STATUS_RANGE, "volume_ml is %g, allowed is 0 to 1000",
                           titration->volume_ml);
    if (!isnan(titration->blank_ml) &&
        !(titration->blank_ml >= 0.0 && titration->blank_ml <= titration->volume_ml))
        return failure_set(failure, STATUS_RANGE, "blank_ml is %g, allowed is 0 to volume_ml, %g",
                           titration->blank_ml, titration->volume_ml);
    if (!isnan(titration->burette_ml))
        status = check_number("burette_ml", titration->burette_ml, 0.0, 10.0, failure);
    if (status == STATUS_OK && !isnan(titration->u_acid_relative))
        status = check_number("u_acid_relative", titration->u_acid_relative, 0.0, 0.5, failure);
    return status;
}
