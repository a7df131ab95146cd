/* scatter.h - how far replicate readings of one solution scatter.
 *
 * Rules
 * (1) Replicates are standing meter readings of one specimen with one meter, compared at one temperature.
 * (2) A specimen with five degrees of freedom or more speaks for itself; otherwise all specimens of the
 *     batch are pooled. A specimen that scatters more than three times as widely as the others speaks for
 *     itself too.
 * (3) Fewer than five degrees of freedom are not trusted to show less than 0.05 pH, the standard deviation
 *     ISO 10523:1994 calls attainable; with none at all it is what is assumed. Both are marked as assumed. */
#ifndef SCATTER_H
#define SCATTER_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "dossier.h"

#define SCATTER_ASSUMED_PH 0.05
#define SCATTER_TRUSTED_DOF 5.0

struct scatter {
    double sd_ph; /* of a single reading */
    double dof;   /* INFINITY when assumed */
    bool assumed; /* rule 3 */
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
