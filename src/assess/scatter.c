/* scatter.c - how far replicate readings scatter. */
#include "scatter.h"

#include <math.h>
#include <stdlib.h>

#include "at_reference.h"
#include "distribution.h"
#include "memory.h"
#include "session.h"

static const double departure = 3.0; /* rule 2 */

/* One reading as it is compared with its replicates. */
struct sample {
    int64_t specimen_id, meter_id;
    double ph;
};

/* Sorted before it is summed, so that the order of readings cannot matter. */
static int
compare_samples(const void *a, const void *b)
{
    const struct sample *x = a, *y = b;

    if (x->specimen_id != y->specimen_id)
        return x->specimen_id < y->specimen_id ? -1 : 1;
    if (x->meter_id != y->meter_id)
        return x->meter_id < y->meter_id ? -1 : 1;
    return (x->ph > y->ph) - (x->ph < y->ph);
}

/* Smallest first, for the same reason. */
static int
compare_groups(const void *a, const void *b)
{
    const struct scatter_group *x = a, *y = b;

    if (x->squares != y->squares)
        return x->squares < y->squares ? -1 : 1;
    return (x->dof > y->dof) - (x->dof < y->dof);
}

/* What temperature alone makes different between replicates is no scatter; where it cannot be taken off the
 * reading stays as shown, which only widens. */
static double
comparable_ph(const struct reading *reading)
{
    struct failure ignored = {0};
    double shift_ph = 0.0;

    if (at_reference_temperature(reading->temperature_c, &shift_ph, &ignored) != STATUS_OK)
        return reading->ph;
    return reading->ph + shift_ph;
}

/* Read so warm or cold that it makes no mean (reading_value.h, rule 1), and so no scatter either. */
static bool
is_out_of_range(const struct reading *reading)
{
    return reading->temperature_c < AT_REFERENCE_LOW_C || reading->temperature_c > AT_REFERENCE_HIGH_C;
}

static struct scatter_group
group_of(const struct sample *samples, size_t count)
{
    struct scatter_group group = {.specimen_id = samples[0].specimen_id, .dof = (double)count - 1.0};
    double mean = 0.0; /* above the first: equal values have no scatter at all, not one of 1e-16 */

    for (size_t i = 1; i < count; i++)
        mean += samples[i].ph - samples[0].ph;
    mean /= (double)count;
    for (size_t i = 0; i < count; i++) {
        double away = samples[i].ph - samples[0].ph - mean;

        group.squares += away * away;
    }
    return group;
}

static size_t
group_end(const struct sample *samples, size_t first, size_t count)
{
    size_t end = first + 1;

    while (end < count && samples[end].specimen_id == samples[first].specimen_id &&
           samples[end].meter_id == samples[first].meter_id)
        end++;
    return end;
}

void
scatter_pool_init(struct scatter_pool *pool, const struct dossier *dossier)
{
    struct sample *samples = memory_new(dossier->reading_count + 1, sizeof *samples);
    size_t count = 0, end;

    *pool = (struct scatter_pool){.groups = memory_new(dossier->reading_count + 1, sizeof *pool->groups)};
    for (size_t i = 0; i < dossier->reading_count; i++) {
        const struct reading *reading = &dossier->readings[i];

        if (reading->method == READING_METER && reading_stands(reading) && !is_out_of_range(reading))
            samples[count++] =
                (struct sample){reading->specimen_id, reading->gear_id, comparable_ph(reading)};
    }
    qsort(samples, count, sizeof *samples, compare_samples);
    for (size_t first = 0; first < count; first = end) {
        end = group_end(samples, first, count);
        if (end - first > 1)
            pool->groups[pool->count++] = group_of(&samples[first], end - first);
    }
    qsort(pool->groups, pool->count, sizeof *pool->groups, compare_groups);
    free(samples);
}

void
scatter_pool_clear(struct scatter_pool *pool)
{
    if (pool == NULL)
        return;
    free(pool->groups);
    *pool = (struct scatter_pool){0};
}

static double
sd_of(struct scatter_group sum)
{
    return sum.dof > 0.0 ? sqrt(sum.squares / sum.dof) : 0.0;
}

struct scatter
scatter_of_specimen(const struct scatter_pool *pool, int64_t specimen_id)
{
    struct scatter_group own = {0}, others = {0}, all;
    struct scatter scatter = {.sd_ph = SCATTER_ASSUMED_PH, .dof = INFINITY, .assumed = true};
    double sd_ph, dof;
    bool alone;

    for (size_t i = 0; i < pool->count; i++) {
        struct scatter_group *sum = pool->groups[i].specimen_id == specimen_id ? &own : &others;

        sum->squares += pool->groups[i].squares;
        sum->dof += pool->groups[i].dof;
    }
    all = (struct scatter_group){.squares = own.squares + others.squares, .dof = own.dof + others.dof};
    if (!(all.dof > 0.0))
        return scatter;
    alone = own.dof >= SCATTER_TRUSTED_DOF || (others.dof > 0.0 && sd_of(own) > departure * sd_of(others));
    sd_ph = sd_of(alone ? own : all);
    dof = alone ? own.dof : all.dof;
    scatter_widen(&sd_ph, &dof);
    if (all.dof >= SCATTER_TRUSTED_DOF || sd_ph > SCATTER_ASSUMED_PH)
        scatter = (struct scatter){.sd_ph = sd_ph, .dof = dof, .assumed = false};
    return scatter;
}

void
scatter_widen(double *spread, double *dof)
{
    if (!(*dof < SCATTER_TRUSTED_DOF))
        return;
    *spread *= student_t_quantile(0.95, *dof) / student_t_quantile(0.95, SCATTER_TRUSTED_DOF);
    *dof = SCATTER_TRUSTED_DOF;
}
