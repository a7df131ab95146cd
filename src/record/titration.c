/* titration.c - free alkali by titration. */
#include "titration.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>

#include "memory.h"
#include "titration_model.h"

const char *
titration_acid_unit(const struct titration *titration)
{
    return titration->acid_weighed ? "g" : "mL";
}

const char *
titration_strength_unit(const struct titration *titration)
{
    return titration->acid_weighed ? "mol/kg" : "mol/L";
}

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
    free(titration->by);
    *titration = (struct titration){0};
}

static enum status
check_number(const char *what, double number, double low, bool above, double high, struct failure *failure)
{
    if ((above ? number > low : number >= low) && number <= high)
        return STATUS_OK;
    return failure_set(failure, STATUS_RANGE, "%s is %g, allowed is %s%g to %g", what, number,
                       above ? "above " : "", low, high);
}

enum status
titration_check(const struct titration *titration, struct failure *failure)
{
    enum status status =
        check_number("soap_mass_g", titration->soap_mass_g, 0.0, true, TITRATION_SOAP_HIGHEST_G, failure);

    if (status == STATUS_OK)
        status = check_number("acid_mol_per_l", titration->acid_mol_per_l, TITRATION_ACID_LOWEST_MOL_PER_L,
                              false, TITRATION_ACID_HIGHEST_MOL_PER_L, failure);
    if (status == STATUS_OK)
        status =
            check_number("volume_ml", titration->volume_ml, 0.0, false, TITRATION_VOLUME_HIGHEST_ML, failure);
    if (status == STATUS_OK && titration->blank_ml > titration->volume_ml)
        return failure_set(failure, STATUS_RANGE, "blank_ml is %g, allowed is 0 to volume_ml, %g",
                           titration->blank_ml, titration->volume_ml);
    if (status == STATUS_OK && !isnan(titration->blank_ml))
        status =
            check_number("blank_ml", titration->blank_ml, 0.0, false, TITRATION_BLANK_HIGHEST_ML, failure);
    if (status == STATUS_OK && !isnan(titration->burette_ml))
        status = check_number("burette_ml", titration->burette_ml, 0.0, true, TITRATION_BURETTE_HIGHEST_ML,
                              failure);
    if (status == STATUS_OK && !isnan(titration->u_acid_relative))
        status = check_number("u_acid_relative", titration->u_acid_relative, 0.0, true,
                              TITRATION_U_ACID_HIGHEST, failure);
    return status;
}

bool
titration_stands(const struct titration *titration)
{
    return titration->superseded_by == 0 && !titration->withdrawn;
}
