/* recipe_evidence.c - what the balance of a batch's recipe says for its verdict. */
#include "recipe_evidence.h"

#include <math.h>

/* The probability that an earlier recipe of the batch had lye in excess; NAN when that cannot be told. */
static double
p_excess_of(const struct batch *batch)
{
    struct lye_balance balance = {0};
    struct failure ignored = {0};
    double p_excess = NAN;

    if (lye_balance_read(batch, (double)NAN, &balance, &ignored) != STATUS_OK)
        return NAN;
    if (lye_balance_solve(&balance, LYE_BALANCE_DRAWS, LYE_BALANCE_SEED, &ignored) == STATUS_OK)
        p_excess = balance.spread.p_lye_exceeds_fat;
    lye_balance_clear(&balance);
    return p_excess;
}

struct recipe_evidence
recipe_evidence_of(const struct dossier *dossier, const struct lye_balance *solved)
{
    static const double two_sided = 1.96;
    struct recipe_evidence evidence = {.p_excess_before = NAN};

    if (solved == NULL)
        return evidence;
    evidence.known = true;
    evidence.p_excess = solved->spread.p_lye_exceeds_fat;
    evidence.p_excess_noise = two_sided * solved->spread.p_standard_error;
    /* superfat_lowest_pct is 100 (1 - most effective lye / least need) */
    evidence.most_naoh_pct =
        fmax(0.0, -solved->figures.superfat_lowest_pct * solved->figures.needed_low_g / solved->poured_g);
    for (size_t i = 0; i + 1 < dossier->revision_count; i++) {
        const struct recipe_revision *old = &dossier->revisions[i];
        const struct batch before = {
            .code = dossier->batch.code, .lines = old->lines, .line_count = old->line_count};

        evidence.p_excess_before = fmax(evidence.p_excess_before, p_excess_of(&before));
    }
    return evidence;
}
