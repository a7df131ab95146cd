/* titration_model.h - free alkali of soap by titration in neutralised ethanol, with its uncertainty and band.
 *
 * The soap is dissolved in ethanol that was neutralised to phenolphthalein, and titrated with acid until the
 * pink goes (outline: ISO 456, AOCS Da 4a). Counted as NaOH, potassium hydroxide too: free NaOH in % by mass
 * = 0.1 * 39.997 (V - V_blank) c / m        V in mL, c in mol H+ per L, m in g.
 *
 * Rules
 * (1) Portions are of one soap and share burette, acid, balance and blank. The result is their plain mean
 *     M; k is the mean of their % per mL.
 * (2) What all portions share is not divided by their number n. A burette read to w = half a division and a
 *     blank known to b make k w where no blank counts (b = 0), k 1.96 d/sqrt(6) where both are read to d/2;
 *     in general the lesser of w + b, which they cannot exceed, and 1.96 sqrt((w^2 + b^2)/3). It is added to
 *     the scatter and never taken out of it, so that a coarser burette never narrows an interval. Acid: 1.96
 *     times its relative standard uncertainty times M; balance: likewise, tare and load of readability d
 *     giving d/sqrt(6) a portion.
 * (3) Scatter of a portion: two portions alone leave one degree of freedom. So what is known beforehand
 *     counts with nu0 degrees: the maker's own, from 6 degrees on; else nu0 = 3 and s0 = 0.0075 % (judgement,
 *     marked as assumed). With the variance v of the portions the half-width is
 *     t_{0.975, nu0+n-1} sqrt((nu0 s0^2 + (n-1) v) / ((nu0+n-1) n)). The interval joins it with rule 2's parts
 *     in quadrature; a low end below 0 is 0.
 * (4) Bands, of % NaOH by mass: up to 0.05 within, the strictest limit found for toilet soap (IS
 *     2888:2004); up to 0.1 borderline (SNI 06-3532-1994); below 0.5 hold, that is hold and rework; from 0.5
 *     irritant; from 2 corrosive; from 5 severely corrosive (CLP, EU 1272/2008 Annex VI, specific limits for
 *     NaOH).
 * (5) The band is that of the interval's upper end (guarded acceptance, JCGM 106:2012). Doubt thus moves a
 *     bar to the worse band, never to a better one. A single portion is never better than borderline.
 * (6) What this does not see: free fat that boiling saponifies, and lye that air turned to soda, both make
 *     it read low. It speaks of the portion titrated. */
#ifndef TITRATION_MODEL_H
#define TITRATION_MODEL_H

#include <stdbool.h>
#include <stddef.h>

#include "status.h"

/* Rule 3. */
#define TITRATION_ASSUMED_SD_PCT 0.0075
#define TITRATION_ASSUMED_DOF 3.0
#define TITRATION_OWN_DOF 6.0

/* What can be, from above 0 or from the lowest to the highest: for what is typed, asked, kept and reckoned with. */
#define TITRATION_SOAP_HIGHEST_G 1000.0
#define TITRATION_ACID_LOWEST_MOL_PER_L 0.001
#define TITRATION_ACID_HIGHEST_MOL_PER_L 2.0
#define TITRATION_U_ACID_HIGHEST 0.5
#define TITRATION_VOLUME_HIGHEST_ML 1000.0
#define TITRATION_BLANK_HIGHEST_ML 100.0
#define TITRATION_BURETTE_HIGHEST_ML 10.0

struct titration_portion {
    double soap_mass_g;
    double volume_ml; /* of acid, 0 and up */
};

struct titration_setup {
    double acid_mol_per_l;                /* of H+, so twice that of sulfuric acid */
    double acid_relative_u;               /* standard uncertainty of it, 0 and up */
    double blank_ml, blank_half_width_ml; /* of acid for the ethanol alone, 0 and up */
    double burette_half_width_ml;         /* 0 and up */
    double readability_g;                 /* of the balance, 0 to 10 */
    double own_sd_pct, own_dof;           /* the maker's other portions, without these; NAN: none */
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
    TITRATION_FROM_BURETTE, /* and the blank, which is read on it */
    TITRATION_FROM_BALANCE,
    TITRATION_FROM_ACID,
    TITRATION_SOURCES
};

struct titration_result {
    double free_naoh_pct;               /* the mean; slightly below 0 when the blank is above the volume */
    double sd_pct;                      /* of the portions; NAN for one */
    bool scatter_assumed;               /* rule 3 */
    double half_width_pct;              /* of the 95 % interval */
    double low_pct, high_pct;           /* its ends, 0 or more */
    double part_pct[TITRATION_SOURCES]; /* half-width that each source alone gives */
    double share_fraction[TITRATION_SOURCES]; /* of the squared half-width, together 1 */
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

/* "scatter", "burette", "balance", "acid". */
const char *titration_source_name(enum titration_source source);

#endif
