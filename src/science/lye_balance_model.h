/* lye_balance_model.h - does the lye of a recipe exceed what its fats can take, and how sure is that?
 *
 * Everything is counted in grams of pure NaOH. With N the lye the fats need, L the lye given and A what acids
 * take up first, the superfat is 100 (1 - (L - A) / N) percent: the part of the fat that finds no lye.
 *
 * Rules
 * (1) Every weighing, saponification value, purity and acid figure is rectangular between its two ends and
 *     independent of every other one (JCGM 100:2008, 4.3.7). The middle of each range is its central value. Of
 *     a natural fat this says: the lot on the bench may be anywhere in its published range.
 * (2) Acids react completely before fat does. Nothing is said about how far the saponification got: the
 *     model is the recipe, and a mixing fault is found by titration only.
 * (3) Fats: mass above 0 g, weighing half-width 0 or more and below the mass, saponification value from 10
 *     to 600 mg KOH per g with low <= high. Lyes: mass likewise; purity above 0 up to 1, low <= high. Acids:
 *     mass likewise; from 0 to 2 g NaOH per g with low <= high. All finite. STATUS_RANGE otherwise, with the
 *     place.
 * (4) At least one fat and one lye, and in the middle of all ranges more lye than the acids take up;
 *     otherwise STATUS_RANGE.
 * (5) Nothing is shared between calls, so calls on several threads do not meet. */
#ifndef LYE_BALANCE_MODEL_H
#define LYE_BALANCE_MODEL_H

#include <stddef.h>
#include <stdint.h>

#include "saponification.h"
#include "status.h"

struct lye_balance_fat {
    double mass_g, mass_half_width_g;
    double sv_low_mg_koh_per_g, sv_high_mg_koh_per_g;
};

struct lye_balance_lye {
    enum lye_kind kind;
    double mass_g, mass_half_width_g;
    double purity_low_fraction, purity_high_fraction;
};

struct lye_balance_acid {
    double mass_g, mass_half_width_g;
    double naoh_low_g_per_g, naoh_high_g_per_g;
};

/* A recipe; the arrays are lent. */
struct lye_balance_model {
    const struct lye_balance_fat *fats;
    size_t fat_count;
    const struct lye_balance_lye *lyes;
    size_t lye_count;
    const struct lye_balance_acid *acids;
    size_t acid_count;
};

/* The recipe taken at the middle of every range, and the ends that cannot be passed. Grams are of NaOH. */
struct lye_balance_figures {
    double needed_low_g, needed_g, needed_high_g;     /* N; low and high with every fat at its end */
    double given_g;                                   /* L */
    double taken_by_acids_g;                          /* A */
    double effective_g;                               /* L - A, what meets the fat */
    double superfat_pct;                              /* below 0: lye in excess */
    double superfat_lowest_pct, superfat_highest_pct; /* every input at its worst, or its best, end at once */
};

enum status lye_balance_compute(const struct lye_balance_model *model,
                                struct lye_balance_figures *ret_figures, struct failure *failure);

/* One uncertain input and what it does to the superfat. */
enum lye_balance_source {
    LYE_BALANCE_FAT_MASS,
    LYE_BALANCE_FAT_SV,
    LYE_BALANCE_LYE_MASS,
    LYE_BALANCE_LYE_PURITY,
    LYE_BALANCE_ACID_MASS,
    LYE_BALANCE_ACID_STRENGTH
};

struct lye_balance_part {
    enum lye_balance_source source;
    size_t index;           /* which fat, lye or acid of the model, from 0 */
    double superfat_sd_pct; /* standard uncertainty it gives the superfat, percentage points */
    double share_fraction;  /* of the variance, together 1; 0 when nothing is uncertain */
};

/* Number of uncertain inputs: two for each fat, lye and acid. */
size_t lye_balance_part_count(const struct lye_balance_model *model);

/* First-order (law of propagation) standard uncertainty of the superfat and what dominates it.
 *
 * ret_parts   room for lye_balance_part_count() of them; filled with the largest share first
 *
 * Exact to first order in the half-widths; lye_balance_simulate() has no such limit.
 * Source: JCGM 100:2008, equations 10 and 11a, with half-width / sqrt(3) (4.3.7). */
enum status lye_balance_budget(const struct lye_balance_model *model, struct lye_balance_part *ret_parts,
                               double *ret_superfat_sd_pct, struct failure *failure);

/* What a Monte Carlo found. */
struct lye_balance_spread {
    uint64_t seed;
    size_t draws;
    double mean_pct, sd_pct;        /* of the superfat */
    double mean_standard_error_pct; /* of mean_pct, from the finite number of draws */
    double low_pct, high_pct;       /* 2.5 % and 97.5 % quantile of the superfat */
    double p_lye_exceeds_fat;       /* part of the draws with a superfat below 0 */
    double p_standard_error;        /* never 0, also when no draw or every draw was in excess */
};

/* Spread of the superfat by Monte Carlo (JCGM 101:2008). The same model, seed and draws give the same result.
 *
 * draws   1000 to 1000000000; STATUS_RANGE outside. 100000 fix p to better than 0.002
 *
 * Quantiles are read from a histogram of 32768 equal steps between superfat_lowest_pct and _highest_pct, so
 * they carry up to one step besides the scatter of the draws. p_standard_error is the standard deviation of
 * the posterior of p under a flat prior: close to sqrt(p (1 - p) / draws) away from 0 and 1. */
enum status lye_balance_simulate(const struct lye_balance_model *model, size_t draws, uint64_t seed,
                                 struct lye_balance_spread *ret_spread, struct failure *failure);

/* How much of a lye to weigh out. */
struct lye_balance_advice {
    double wanted_g;     /* for the wanted superfat, with everything at the middle of its range */
    double wanted_p;     /* probability that this much lye exceeds the fat */
    double safe_g;       /* the most that exceeds the fat with a probability of `p_max` or less */
    double advised_g;    /* the smaller of both */
    double superfat_pct; /* at advised_g, with everything at the middle of its range */
};

/* Lye to weigh for a wanted superfat, and the most that is safe.
 *
 * model                the fats and acids, and those lyes that are already decided (there may be none)
 * sought               kind, purity and weighing half-width of the lye to weigh; its mass_g is not read
 * wanted_superfat_pct  0 to 50
 * p_max                probability of excess lye that is accepted, above 0 and below 0.5; 0.05 is usual
 * draws, seed          as for lye_balance_simulate()
 *
 * Each draw has a greatest amount (N + A - L) / purity - weighing error; safe_g is the p_max quantile of it.
 * STATUS_RANGE as in rule 3, for the arguments above, or when the lyes already decided leave nothing to add.
 */
enum status lye_balance_advise(const struct lye_balance_model *model, const struct lye_balance_lye *sought,
                               double wanted_superfat_pct, double p_max, size_t draws, uint64_t seed,
                               struct lye_balance_advice *ret_advice, struct failure *failure);

#endif
