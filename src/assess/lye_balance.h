/* lye_balance.h - the lye balance of a recipe as a batch records it.
 *
 * Rules
 * (1) A fat counts with the supplier's saponification values where the line has them, else with the range
 *     of the table (saponification.h); acids likewise. What is not known is refused by name, nothing is
 *     guessed. Water and other ingredients take no part, except in the mass of the batch.
 * (2) A stated purity of lye holds within half a percentage point (judgement: what a label rounds away).
 *     One that is not stated is taken as 97 to 100 % for NaOH and 85 to 95 % for KOH, which takes up water
 *     (common practice for what shops sell), and flagged.
 * (3) Each mass is two readings of the balance; one that is not stated reads to 1 g, and that is flagged.
 *     The model takes half-widths, so readability d becomes d / sqrt(2), which has the standard uncertainty d
 *     / sqrt(6) of dilution.h.
 * (4) The expected reading is that of the model in soap.h at 40 degC and 1 %. With no lye in excess it
 *     depends on which fatty acids the soap has, so it is a wide range; `excess` is the excess that only 2.5 %
 *     of such pours go beyond, as a share of all that was poured. */
#ifndef LYE_BALANCE_H
#define LYE_BALANCE_H

#include <stdbool.h>

#include "batch.h"
#include "lye_balance_model.h"

#define LYE_BALANCE_DRAWS 100000
#define LYE_BALANCE_SEED 1
#define LYE_BALANCE_READABILITY_ASSUMED_G 1.0
#define LYE_BALANCE_P_USUAL 0.05 /* from here on the recipe is flagged */

enum lye_balance_flag {
    LYE_BALANCE_PURITY_ASSUMED,   /* purity-assumed: rule 2 */
    LYE_BALANCE_WEIGHING_ASSUMED, /* weighing-assumed: rule 3 */
    LYE_BALANCE_NAME_BROAD,       /* name-broad: an acid's name covers more than one thing */
    LYE_BALANCE_SUPPLIER_SV,      /* supplier-sv: saponification values of the supplier were used */
    LYE_BALANCE_MAY_EXCEED,       /* lye-may-exceed: the probability is above 5 % */
    LYE_BALANCE_EXCEEDS,          /* lye-exceeds: it is 50 % or more */
    LYE_BALANCE_FLAGS
};

/* What one line of the recipe counts with. Texts are lent from the batch or for good; NULL: nothing to say.
 */
struct lye_balance_line {
    const struct recipe_line *line;
    const char *found_as, *source, *note;
};

struct lye_balance_expected {
    double plain_low_ph, plain_ph, plain_high_ph; /* without lye in excess */
    double excess_naoh_pct;                       /* rule 4; 0: none */
    double excess_ph, excess_high_ph; /* with it, from the middle and the high end; NAN for none */
};

/* Owns its arrays; lends the batch, which must outlive it. */
struct lye_balance {
    const struct batch *batch;
    struct lye_balance_fat *fats;
    struct lye_balance_lye *lyes;
    struct lye_balance_acid *acids;
    struct lye_balance_line *fat_lines, *lye_lines, *acid_lines;
    struct lye_balance_model model; /* of the arrays above */
    double readability_g;
    double poured_g; /* all lines together */
    unsigned flags;
    bool solved; /* false: fats and acids only, so far (lye_balance_read) */
    struct lye_balance_figures figures;
    struct lye_balance_spread spread;
    struct lye_balance_part *parts; /* largest share first */
    size_t part_count;
    double superfat_sd_pct; /* of the budget, to hold beside spread.sd_pct */
    struct lye_balance_expected expected;
};

/* Read a recipe; the lye may be missing.
 *
 * readability_g  of the balance, above 0; NAN: not stated
 * ret_balance    owned by the caller, lye_balance_clear()
 *
 * STATUS_MISSING without a fat or for a name that is not known, STATUS_RANGE for a figure that cannot be. */
enum status lye_balance_read(const struct batch *batch, double readability_g, struct lye_balance *ret_balance,
                             struct failure *failure);

/* Solve it: figures, spread, budget and expected reading.
 *
 * STATUS_MISSING when the recipe has no lye; STATUS_RANGE as lye_balance_compute() and _simulate(). */
enum status lye_balance_solve(struct lye_balance *balance, size_t draws, uint64_t seed,
                              struct failure *failure);

/* How much of one lye to weigh for a wanted superfat; other lyes of the recipe stay as they are.
 *
 * lye_name  which line of the recipe; NULL: its only lye, or NaOH of unstated purity when it has none
 *
 * STATUS_CONFLICT when there are several and none is named; STATUS_MISSING when the named one is not there;
 * STATUS_RANGE as lye_balance_advise(). */
enum status lye_balance_lye_for(const struct lye_balance *balance, const char *lye_name,
                                double wanted_superfat_pct, size_t draws, uint64_t seed,
                                struct lye_balance_lye *ret_lye, struct lye_balance_advice *ret_advice,
                                struct failure *failure);

/* "saponification value of olive oil", "purity of naoh"; given: free() it. */
char *lye_balance_part_text(const struct lye_balance *balance, const struct lye_balance_part *part);

/* Words of the flags joined by ';'. Given: free() it. */
char *lye_balance_flag_text(unsigned flags);
char *lye_balance_flag_phrases(unsigned flags); /* likewise, for people */

void lye_balance_clear(struct lye_balance *balance);

#endif
