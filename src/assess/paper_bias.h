/* paper_bias.h - how a maker's test paper reads soap, learned from pairs with a checked meter.
 *
 * Rules
 * (1) A pair is a standing paper reading of a solution and the mean of the usable meter readings (reading_value.h,
 *     neither beyond the buffers) of the same specimen. Both are compared as read, at their own temperature.
 * (2) meter - high to meter - low is an interval that holds the paper's bias; bias and spread by maximum
 *     likelihood for interval-censored normal values (censored.h). From five pairs up.
 * (3) Applied to a reading, the range moves by the bias and widens at each end by Student's t (95 %, pairs - 1
 *     degrees of freedom) times the spread and the bias's own standard error in quadrature, both freed of the
 *     likelihood's n for n - 1. Where the steps are too coarse to show the spread (censored.h, rule 3), it is taken as
 *     no more than the standard error says.
 * (4) The latest 200 pairs of a paper count; readings of paper alone count for nothing and push nothing out
 *     (dossier_store_of_paper()).
 */
#ifndef PAPER_BIAS_H
#define PAPER_BIAS_H

#include <stdbool.h>
#include <stddef.h>

#include "dossier.h"
#include "status.h"

enum { PAPER_BIAS_LEAST_PAIRS = 5 };

struct paper_bias {
    int64_t paper_id;
    size_t pairs;
    bool known;                /* enough pairs that tell it; the rest is NAN otherwise */
    double bias_ph, bias_u_ph; /* meter minus paper, and its standard error */
    double spread_ph;          /* from strip to strip; NAN when the steps are too coarse to show it */
};

/* Learn the bias of one paper from all its readings in a dossier, in any order.
 *
 * STATUS_OK with `known` false for fewer than five pairs, and for pairs from which censored_normal_fit() can
 * tell nothing. Otherwise as reading_value_of(). */
enum status paper_bias_learn(const struct dossier *dossier, int64_t paper_id, struct paper_bias *ret_bias,
                             struct failure *failure);

/* The range in which soap of a paper reading lies (rule 3). `bias` may be NULL or not known: unchanged then.
 */
void paper_bias_apply(const struct paper_bias *bias, double ph_low, double ph_high, double *ret_low,
                      double *ret_high);

/* One sentence for gear show: "reads soap 1.2 pH low (7 pairs, +/- 0.3)". Given: free() it. */
char *paper_bias_sentence(const struct paper_bias *bias);

#endif
