/* rework_model.h - what takes up a known excess of lye in a batch.
 *
 * Rules
 * (1) Work in grams of NaOH, not percent: a drying bar loses water and its percentage rises, its grams
 *     stay. The percentage and the mass must be of the same day.
 * (2) Every answer has a central value and the ends that the excess and the material allow: `high` is what
 *     takes up the excess even when there is most of it and the material takes least.
 * (3) The excess is free lye found by titration, or by the balance of a recipe whose fat is all
 *     saponified. Fat that is not yet saponified would take up a part of it by itself; the answers do not
 *     count on that.
 * (4) A calculation makes no batch safe: it stays held until it was titrated again after the rework. */
#ifndef REWORK_MODEL_H
#define REWORK_MODEL_H

#include "status.h"

/* Free lye, or an amount to add: a central value and its ends. */
struct rework_range {
    double low_g, central_g, high_g;
};

/* Free NaOH in a batch: free_naoh_pct (0 to 100 % by mass) of batch_mass_g (above 0).
 *
 * half_width_pct   expanded uncertainty of the percentage, 0 or more
 *
 * The low end is never below 0. STATUS_RANGE for anything else. */
enum status rework_free_naoh(double free_naoh_pct, double half_width_pct, double batch_mass_g,
                             struct rework_range *ret_free_naoh, struct failure *failure);

/* Fat to add.
 *
 * free_naoh        0 <= low <= central <= high; central above 0
 * sv_...           range of the added fat's saponification value, as in saponification_check()
 * superfat_pct     wanted afterwards, 0 to 50
 * bound_naoh_g     NaOH that the fat already in the batch has taken up, 0 or more
 *
 * Superfat afterwards is the part of all fat, old and added, that finds no lye: with g the free NaOH, B the
 * NaOH already bound and x the grams of added fat of saponification value S (k = 7.128955e-4 g NaOH per g and
 * mg/g), 1 - (B + g) / (B + x S k) = s     so     x = (g + s B) / ((1 - s) S k). With bound_naoh_g 0 the
 * superfat is counted on the added fat alone: x = g / ((1 - s) S k). With superfat_pct 0 it is x = g / (S k),
 * whatever was bound before.
 *
 * STATUS_RANGE for anything else. Source: stoichiometry (ISO 3657 defines the saponification value). */
enum status rework_fat_to_add(const struct rework_range *free_naoh, double sv_low_mg_koh_per_g,
                              double sv_high_mg_koh_per_g, double superfat_pct, double bound_naoh_g,
                              struct rework_range *ret_fat, struct failure *failure);

/* Acid (citric, stearic, oleic, ...) or sodium bicarbonate to add, just enough for the excess.
 *
 * free_naoh   as above
 * naoh_...    what a gram of it takes up, above 0 to 2 g NaOH per g, low <= high: lye_consumer_find() gives
 * it
 *
 * STATUS_RANGE for anything else. Source: stoichiometry. */
enum status rework_acid_to_add(const struct rework_range *free_naoh, double naoh_low_g_per_g,
                               double naoh_high_g_per_g, struct rework_range *ret_acid,
                               struct failure *failure);

/* Washing soda (Na2CO3, anhydrous) that sodium bicarbonate leaves in the soap when it takes up `naoh_g`:
 * NaHCO3 + NaOH -> Na2CO3 + H2O, 105.988 g for 39.997 g. It is itself alkaline, and titrates in part. */
double rework_soda_left_g(double naoh_g);

#endif
