/* budget_figure.h - where the uncertainty of a result comes from, as bars. */
#ifndef BUDGET_FIGURE_H
#define BUDGET_FIGURE_H

#include "figure.h"
#include "verdict.h"

/* One panel a verdict that has a budget, a bar a component, largest first: its share of the variance in per
 * cent, to one decimal. Verdicts without a budget (paper, or what cannot be brought to 40 degC and 1 %) have no panel.
 *
 * ret_figure  owned by the caller: figure_clear()
 *
 * STATUS_MISSING when none of them has a budget. */
enum status budget_figure(const struct verdict_list *list, struct figure *ret_figure,
                          struct failure *failure);

#endif
