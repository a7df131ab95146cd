/* rework.h - what would take up the lye in excess of a batch, by the best evidence there is.
 *
 * Rules
 * (1) Evidence in this order: a titration; the balance of the recorded recipe, when it leaves lye in
 *     excess; a pH, which is weak and flagged. A recipe that leaves none is passed over when a pH says
 *     otherwise (the recipe was perhaps not what was poured), and that is flagged.
 * (2) Titration: grams are its percentage of the mass of the batch at that time. A mass that is not stated
 *     is what was poured, which errs to the high side because soap dries, and is flagged.
 * (3) Balance: grams of the whole pour, from the superfat and its 95 % range. With a mass of what is left
 *     they are scaled by it over what was poured without the water, so that drying errs to the high side;
 *     flagged.
 * (4) pH: low, estimate and upper bound of soap_free_naoh_pct(), of the worst bar.
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
    struct rework_range free_naoh;
    double batch_mass_g;  /* NAN: not needed */
    const char *with;     /* lent from the tables or the batch */
    const char *note;     /* about the material; NULL: nothing */
    bool is_fat;          /* else an acid or bicarbonate */
    bool leaves_superfat; /* rule 5 */
    double superfat_pct;
    struct rework_range for_zero, total; /* g of the material: for no excess, and with the superfat */
    double advised_g;                    /* to weigh: `total`, and enough for the most excess there may be */
    double soda_g;                       /* left by bicarbonate; 0 */
    unsigned flags;
};

/* conclusion  of the same dossier
 *
 * STATUS_MISSING when nothing on record shows lye in excess, or the material is not known; STATUS_RANGE for
 * numbers that cannot be, or a superfat asked of what cannot leave one. */
enum status rework_of(const struct dossier *dossier, const struct conclusion *conclusion,
                      const struct rework_request *request, struct rework *ret_rework,
                      struct failure *failure);

/* "titration", "recipe", "pH". */
const char *rework_evidence_word(enum rework_evidence evidence);

/* Words of the flags joined by ';'. Given: free() it. */
char *rework_flag_text(unsigned flags);

#endif
