/* series.h - the results of a batch across its cure, as curves and comparisons take them.
 *
 * Rules
 * (1) A point is the result of one specimen, read with a meter and brought to 40 degC and 1 % (verdict.h),
 *     whatever it was judged; its flags come along. Paper gives no point.
 * (2) Results dated before the pour, or that cannot be brought there, are counted and left out. */
#ifndef SERIES_H
#define SERIES_H

#include <stddef.h>

#include "cure.h"
#include "dossier.h"
#include "verdict.h"

/* Owns its arrays; lends the verdicts. */
struct series {
    const struct verdict_list *verdicts; /* what it was made of; lent */
    struct cure_point *points;           /* in order of age */
    const struct verdict **of;           /* which verdict each point is */
    size_t count;
    size_t left_out; /* rule 2 */
};

/* verdicts    verdict_of_all(), of a batch; none: an empty series. Lent until series_clear()
 * ret_series  owned by the caller: series_clear() */
void series_of(const struct verdict_list *verdicts, struct series *ret_series);
void series_clear(struct series *series);

#endif
