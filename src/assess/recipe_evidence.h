/* recipe_evidence.h - what the balance of a batch's recipe says for its verdict (conclusion.h, rule 5). */
#ifndef RECIPE_EVIDENCE_H
#define RECIPE_EVIDENCE_H

#include "lye_balance.h"
#include "verdict.h"

/* Of the recipe in force, and of the one before where it was put right.
 *
 * solved  its balance, lye_balance_solve(); NULL: there is no recipe that can be balanced, and it says nothing */
struct recipe_evidence recipe_evidence_of(const struct dossier *dossier, const struct lye_balance *solved);

#endif
