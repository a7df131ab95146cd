/* titration_model.h - free alkali of soap by titration in neutralised ethanol, with its uncertainty and band.
 *
 * The soap is dissolved in ethanol that was neutralised to phenolphthalein, and titrated with acid until the
 * pink goes (outline: ISO 456, AOCS Da 4a). Counted as NaOH, potassium hydroxide too: free NaOH in % by mass
 * = 0.1 * 39.997 (V - V_blank) c / m        V in mL, c in mol H+ per L, m in g.
 *
 * Rules
 * (1) Replicates are of one soap and share burette, acid, balance and blank. The result is their plain
 *     mean.
 * (2) Burette, blank and balance are rectangular: burette and blank as a half-width that is the same error
 *     in every replicate; the balance by its readability d, taring and loading, u = d / sqrt(6) for each
 *     portion. The acid's concentration has a relative standard uncertainty.
 * (3) Scatter is the standard deviation of the replicates over sqrt(n), n - 1 degrees of freedom; or, when
 *     the maker's own earlier scatter is given, that one with its degrees of freedom. One titration without it
 *     has an unknown scatter: 0 is counted and `scatter_known` is false.
 * (4) Bands, of % NaOH by mass: up to 0.05 within, the strictest limit found for toilet soap (IS
 *     2888:2004); up to 0.1 borderline (SNI 06-3532-1994); below 0.5 hold, that is hold and rework; from 0.5
 *     irritant; from 2 corrosive; from 5 severely corrosive (CLP, EU 1272/2008 Annex VI, specific limits for
 *     NaOH).
 * (5) The band is that of the upper end: the value that the true one is above with a probability of 5 %
 *     (one-sided Student's t; JCGM 106:2012, guarded acceptance). Doubt thus moves a bar to the worse band,
 *     never to a better one. With an unknown scatter it is never better than borderline.
 * (6) What this does not see: free fat that boiling saponifies, and lye that air turned to soda, both make
 *     it read low. It speaks of the portion titrated. */
#ifndef TITRATION_MODEL_H
#define TITRATION_MODEL_H

#include <stdbool.h>
#include <stddef.h>

#include "status.h"
#include "uncertainty.h"

struct titration_portion {
    double soap_mass_g; /* above 0, to 1000 */
    double volume_ml;   /* of acid, 0 to 1000 */
};

struct titration_setup {
    double acid_mol_per_l;                /* of H+, so twice that of sulfuric acid; 0.001 to 2 */
    double acid_relative_u;               /* standard uncertainty of it, 0 to 0.5 */
    double blank_ml, blank_half_width_ml; /* of acid for the ethanol alone, 0 to 100 each */
    double burette_half_width_ml;         /* 0 to 10 */
    double readability_g;                 /* of the balance, 0 to 10 */
    double own_sd_pct, own_dof;           /* the maker's earlier scatter of one titration; NAN: none */
};

enum titration_band {
    TITRATION_WITHIN,
    TITRATION_BORDERLINE,
    TITRATION_HOLD,
    TITRATION_IRRITANT,
    TITRATION_CORROSIVE,
    TITRATION_SEVERELY_CORROSIVE
};

enum titration_source {
    TITRATION_FROM_SCATTER,
    TITRATION_FROM_BURETTE,
    TITRATION_FROM_BLANK,
    TITRATION_FROM_BALANCE,
    TITRATION_FROM_ACID,
    TITRATION_SOURCES
};

struct titration_result {
    double free_naoh_pct;                 /* the mean; slightly below 0 when the blank is above the volume */
    double sd_pct;                        /* of the replicates; NAN for one */
    bool scatter_known;                   /* rule 3 */
    struct uncertainty uncertainty;       /* of the mean, coverage 95 % two-sided */
    double part_u_pct[TITRATION_SOURCES]; /* standard uncertainty each source gives the mean */
    double share_fraction[TITRATION_SOURCES]; /* of the variance, together 1 */
    double upper_pct;                         /* rule 5 */
    enum titration_band band;                 /* rule 5: this one counts */
    enum titration_band mean_band;            /* of the mean alone */
};

/* Free NaOH of one portion, % by mass, from the volume less the blank (any sign). Inputs as above, not
 * checked. */
double titration_free_naoh_pct(double net_volume_ml, double acid_mol_per_l, double soap_mass_g);

/* Result of `count` (at least one) replicates.
 *
 * STATUS_RANGE for numbers outside the ranges above; and for a volume that is below the blank by more than
 * both half-widths together, which is a mistake at the bench and not a low result. */
enum status titration_compute(const struct titration_setup *setup, const struct titration_portion *portions,
                              size_t count, struct titration_result *ret_result, struct failure *failure);

/* Band of a percentage (rule 4); NAN is "severely-corrosive", for what is unknown is not released. */
enum titration_band titration_band_of(double free_naoh_pct);

/* "within", "borderline", "hold", "irritant", "corrosive", "severely-corrosive". */
const char *titration_band_name(enum titration_band band);

/* "scatter", "burette", "blank", "balance", "acid". */
const char *titration_source_name(enum titration_source source);

#endif
