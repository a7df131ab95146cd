/* cure_figure.h - what a plot of one or several cures shows.
 *
 * Rules
 * (1) Results at 40 degC and 1 % with their 95 % intervals; paper as the ranges it was read between;
 *     superseded readings hollow, where they were; the limits that the sessions had.
 * (2) The x axis is days since pouring, with calendar dates too when there is one batch.
 * (3) A curve is drawn from the first result to the last, and on to the ready date where that is known,
 *     with the 95 % band of its mean.
 * (4) Free alkali, when asked for: a panel of what pH says of it (a wide range) and of the titrations with
 *     their 95 % intervals, and one of the verdicts. */
#ifndef CURE_FIGURE_H
#define CURE_FIGURE_H

#include <stdbool.h>
#include <stddef.h>

#include "comparison.h"
#include "cure.h"
#include "dossier.h"
#include "figure.h"
#include "series.h"
#include "verdict.h"

/* One batch; all lent. */
struct cure_figure_batch {
    const struct dossier *dossier;
    const struct series *series;
    const struct cure *cure;
    const struct verdict_point *points; /* of the readings; NULL: superseded ones are not shown */
};

struct cure_figure_wish {
    bool model, free_alkali;
};

/* ret_figure  owned by the caller: figure_clear() */
void cure_figure(const struct cure_figure_batch *batches, size_t count, struct cure_figure_wish wish,
                 struct figure *ret_figure);

/* All cures with their curves, and below the differences of each from the first: those of the pairs, whose
 * bars are the stated uncertainties, their mean with its interval, and the margin.
 *
 * comparisons  count - 1 of them, with the first batch */
void cure_figure_difference(const struct cure_figure_batch *batches, size_t count,
                            const struct comparison *comparisons, struct figure *ret_figure);

#endif
