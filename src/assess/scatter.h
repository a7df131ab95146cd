/* scatter.h - how far replicate readings of one solution scatter.
 *
 * Rules
 * (1) Replicates are standing meter readings of one specimen with one meter, compared at one temperature.
 * (2) A specimen with five degrees of freedom or more speaks for itself; otherwise all specimens of the
 *     batch are pooled. A specimen that scatters more than three times as widely as the others speaks for
 *     itself too.
 * (3) Without any replicates 0.02 pH with two degrees of freedom are assumed, and marked as that (judgement).
 * (4) Between cups of one bar in one sitting: what their means differ by beyond the scatter within them, pooled over
 *     the sittings of several cups of one labelled bar, of all the maker's batches; known from six degrees of freedom on
 *     (SCATTER_BETWEEN_DOF). */
#ifndef SCATTER_H
#define SCATTER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "dossier.h"

#define SCATTER_ASSUMED_PH 0.02
#define SCATTER_ASSUMED_DOF 2.0
#define SCATTER_TRUSTED_DOF 5.0
#define SCATTER_BETWEEN_DOF 6.0

struct scatter {
    double sd_ph; /* of a single reading */
    double dof;
    bool assumed;                      /* rule 3 */
    double between_sd_ph, between_dof; /* between cups of one bar (rule 4); 0 and 0: not known */
};

/* Replicates of one specimen and meter. */
struct scatter_group {
    int64_t specimen_id;
    double squares, dof; /* sum of squares about their mean, and its degrees of freedom */
};

/* All groups of a batch. Owns them; zeroed is none. */
struct scatter_pool {
    struct scatter_group *groups;
    size_t count;
    struct scatter_group
        between; /* of cup means, squares beyond the scatter within; specimen_id 0 (rule 4) */
};

void scatter_pool_init(struct scatter_pool *pool, const struct dossier *dossier);
void scatter_pool_clear(struct scatter_pool *pool);

/* The scatter to be reckoned with for a specimen; any id. */
struct scatter scatter_of_specimen(const struct scatter_pool *pool, int64_t specimen_id);

/* Few degrees of freedom, made safe: below five, the spread is multiplied by t95(dof) / t95(5), one-sided,
 * and counts with five. Taken alone it then reaches as far as before; combined by Welch-Satterthwaite it can
 * no longer happen that a further component makes the interval narrower (it can below five). */
void scatter_widen(double *spread, double *dof);

#endif
