/* rework_model.c - grams of fat, acid or bicarbonate for grams of free lye. */
#include "rework_model.h"

#include <math.h>

#include "saponification.h"

static const double soda_g_per_mol = 105.988; /* Na2CO3, standard atomic masses */

enum status
rework_free_naoh(double free_naoh_pct, double half_width_pct, double batch_mass_g,
                 struct rework_range *ret_free_naoh, struct failure *failure)
{
    if (!(free_naoh_pct >= 0.0 && free_naoh_pct <= 100.0))
        return failure_set(failure, STATUS_RANGE, "free NaOH %g %%: expected 0 to 100 %%", free_naoh_pct);
    if (!(half_width_pct >= 0.0 && half_width_pct <= 100.0))
        return failure_set(failure, STATUS_RANGE, "uncertainty of free NaOH %g %%: expected 0 to 100 %%",
                           half_width_pct);
    if (!(batch_mass_g > 0.0 && isfinite(batch_mass_g)))
        return failure_set(failure, STATUS_RANGE, "mass of the batch %g g: expected above 0 g", batch_mass_g);
    *ret_free_naoh =
        (struct rework_range){.low_g = fmax(0.0, free_naoh_pct - half_width_pct) / 100.0 * batch_mass_g,
                              .central_g = free_naoh_pct / 100.0 * batch_mass_g,
                              .high_g = (free_naoh_pct + half_width_pct) / 100.0 * batch_mass_g};
    return STATUS_OK;
}

static enum status
check_free_naoh(const struct rework_range *free_naoh, struct failure *failure)
{
    if (!(free_naoh->central_g > 0.0))
        return failure_set(failure, STATUS_RANGE, "free NaOH %g g: there is no excess to take up",
                           free_naoh->central_g);
    if (!(free_naoh->low_g >= 0.0 && free_naoh->low_g <= free_naoh->central_g &&
          free_naoh->central_g <= free_naoh->high_g && isfinite(free_naoh->high_g)))
        return failure_set(failure, STATUS_RANGE,
                           "free NaOH from %g over %g to %g g: expected 0 <= low <= central <= high",
                           free_naoh->low_g, free_naoh->central_g, free_naoh->high_g);
    return STATUS_OK;
}

/* The least taken by the strongest material, the most by the weakest. */
static struct rework_range
divided(struct rework_range naoh, double low_g_per_g, double high_g_per_g)
{
    return (struct rework_range){.low_g = naoh.low_g / high_g_per_g,
                                 .central_g = naoh.central_g / ((low_g_per_g + high_g_per_g) / 2.0),
                                 .high_g = naoh.high_g / low_g_per_g};
}

enum status
rework_fat_to_add(const struct rework_range *free_naoh, double sv_low_mg_koh_per_g,
                  double sv_high_mg_koh_per_g, double superfat_pct, double bound_naoh_g,
                  struct rework_range *ret_fat, struct failure *failure)
{
    double superfat = superfat_pct / 100.0;
    struct rework_range naoh;

    if (check_free_naoh(free_naoh, failure) != STATUS_OK ||
        saponification_check(sv_low_mg_koh_per_g, sv_high_mg_koh_per_g, failure) != STATUS_OK)
        return failure->status;
    if (!(superfat_pct >= 0.0 && superfat_pct <= 50.0))
        return failure_set(failure, STATUS_RANGE, "a wanted superfat of %g %%: expected 0 to 50 %%",
                           superfat_pct);
    if (!(bound_naoh_g >= 0.0 && isfinite(bound_naoh_g)))
        return failure_set(failure, STATUS_RANGE, "NaOH already taken up %g g: expected 0 g or more",
                           bound_naoh_g);
    naoh.low_g = (free_naoh->low_g + superfat * bound_naoh_g) / (1.0 - superfat);
    naoh.central_g = (free_naoh->central_g + superfat * bound_naoh_g) / (1.0 - superfat);
    naoh.high_g = (free_naoh->high_g + superfat * bound_naoh_g) / (1.0 - superfat);
    *ret_fat = divided(naoh, sv_low_mg_koh_per_g * SAPONIFICATION_NAOH_PER_SV,
                       sv_high_mg_koh_per_g * SAPONIFICATION_NAOH_PER_SV);
    return STATUS_OK;
}

enum status
rework_acid_to_add(const struct rework_range *free_naoh, double naoh_low_g_per_g, double naoh_high_g_per_g,
                   struct rework_range *ret_acid, struct failure *failure)
{
    if (check_free_naoh(free_naoh, failure) != STATUS_OK)
        return failure->status;
    if (!(naoh_low_g_per_g > 0.0 && naoh_low_g_per_g <= naoh_high_g_per_g && naoh_high_g_per_g <= 2.0))
        return failure_set(failure, STATUS_RANGE,
                           "lye taken %g to %g g NaOH per g: expected above 0, low <= high, up to 2",
                           naoh_low_g_per_g, naoh_high_g_per_g);
    *ret_acid = divided(*free_naoh, naoh_low_g_per_g, naoh_high_g_per_g);
    return STATUS_OK;
}

double
rework_soda_left_g(double naoh_g)
{
    return naoh_g * soda_g_per_mol / SAPONIFICATION_NAOH_G_PER_MOL;
}
