/* rework.h - what would take up the lye in excess of a batch, by the best evidence there is.
 *
 * Rules
 * (1) Evidence in this order: a titration; the balance of the recorded recipe, when it leaves lye in
 *     excess; a pH, which is weak and flagged. A recipe that leaves none is passed over when a pH says
 *     otherwise (the recipe was perhaps not what was poured), and that is flagged.
 *     A titration and a recipe that cannot both be true: where the least that the recipe leaves is more than the
 *     most that the titration found, and by the recipe the reworked batch would still have lye in excess, the
 *     recipe's grams count and both are said. So what is promised here is what the recipe of the reworked batch
 *     says, at the least that its lye does not exceed its fat.
 * (2) Titration: the worst that stands of a bar, of whatever day. Grams are its percentage of the mass of the batch at that time. A mass that is not stated
 *     is what was poured, which errs to the high side because soap dries, and is flagged.
 * (3) Balance: grams of the whole pour, from the superfat and its 95 % range. With a mass of what is left
 *     they are scaled by it over what was poured without the water, so that drying errs to the high side;
 *     flagged.
 * (4) pH: low, estimate and upper bound of soap_free_naoh_pct(), of the highest of the sittings that stand
 *     against a bar.
 * (5) A fat, or a fatty acid (stearic, palmitic, oleic, lauric), can leave a superfat; another acid or
 *     bicarbonate takes up the excess and no more. Bicarbonate leaves washing soda, and is flagged.
 * (6) The superfat is counted on all fat, old and added, where the recipe is known; else on the added fat
 *     alone, and that is flagged.
 * (7) A calculation makes no batch safe: a reworked batch stays held until it was titrated (release.h). */
#ifndef REWORK_H
#define REWORK_H

#include "conclusion.h"
#include "rework_model.h"

#define REWORK_SUPERFAT_USUAL_PCT 5.0 /* common practice */

enum rework_evidence { REWORK_FROM_TITRATION, REWORK_FROM_BALANCE, REWORK_FROM_PH };

enum rework_flag {
    REWORK_PH_WEAK,           /* ph-weak: only a pH, whose free alkali is a wide range */
    REWORK_BALANCE_DISAGREES, /* balance-disagrees: the recipe leaves no excess, the test says otherwise */
    REWORK_MASS_ASSUMED,      /* mass-assumed: the mass as poured stands for that of today */
    REWORK_MASS_DRIED,        /* share-from-dry-mass: rule 3 */
    REWORK_SUPERFAT_ON_ADDED, /* superfat-on-added: rule 6 */
    REWORK_LEAVES_SODA,       /* leaves-soda: bicarbonate */
    REWORK_NAME_BROAD,        /* name-broad: the material's name covers more than one thing */
    REWORK_ALREADY_WITHIN,    /* already-within: nothing needs to be reworked */
    REWORK_RECIPE_SAYS_MORE,  /* recipe-says-more: than the titration found; the recipe counts (rule 1) */
    REWORK_FLAGS
};

/* What is asked; the text is lent. */
struct rework_request {
    const char *with;     /* fat or acid; NULL: the heaviest fat of the recipe, else olive oil */
    double superfat_pct;  /* wanted; NAN: 5 for a fat or fatty acid, 0 for another */
    double batch_mass_g;  /* of what is left of the batch; NAN: not stated */
    double readability_g; /* of the balance, for the recipe; NAN: not stated */
};

struct rework {
    enum rework_evidence evidence;
    double titrated_pct; /* free NaOH: the worst that stands of a bar; NAN: not titrated */
    struct rework_range free_naoh;
    struct rework_range
        titrated;        /* what the titration found, 0 without one; as free_naoh unless recipe-says-more */
    double batch_mass_g; /* NAN: not needed */
    double part_left_fraction; /* of what was poured (rule 3) */
    const char *with;          /* lent from the tables or the batch */
    const char *note;          /* about the material; NULL: nothing */
    bool is_fat;               /* else an acid or bicarbonate */
    bool leaves_superfat;      /* rule 5 */
    double superfat_pct;
    struct rework_range for_zero, total; /* g of the material: for no excess, and with the superfat */
    double advised_g;                    /* to weigh: `total`, and enough for the most excess there may be */
    double soda_g;                       /* left by bicarbonate; 0 */
    bool
        balanced; /* the recipe could be balanced, and so can that of the reworked batch, with advised_g added: */
    double superfat_after_pct, superfat_after_low_pct,
        superfat_after_high_pct; /* 95 %, as `recipe` will tell */
    unsigned flags;
};

/* conclusion  of the same dossier
 *
 * STATUS_MISSING when nothing on record shows lye in excess, or the material is not known; STATUS_RANGE for
 * numbers that cannot be, or a superfat asked of what cannot leave one. */
enum status rework_of(const struct dossier *dossier, const struct conclusion *conclusion,
                      const struct rework_request *request, struct rework *ret_rework,
                      struct failure *failure);

/* Add to `child` the recipe lines that `parent` has after the rework: what is left of it, and added_g of the
 * material, with the supplier's saponification values where the parent has them. */
void rework_recipe(const struct batch *parent, const struct rework *rework, double added_g,
                   struct batch *child);

/* Words of the flags joined by ';'. Given: free() it. */
char *rework_flag_text(unsigned flags);

#endif
