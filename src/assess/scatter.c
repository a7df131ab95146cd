/* scatter.c - how far replicate readings scatter. */
#include "scatter.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "at_reference.h"
#include "distribution.h"
#include "memory.h"
#include "session.h"

static const double departure = 3.0; /* rule 2 */

/* Student's t, 95 % one-sided, at SCATTER_TRUSTED_DOF: asked for with every part of every reading. A test has it from
 * student_t_quantile(). */
static const double t95_trusted = 2.0150483733330224;

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

/* Of one cup with one meter: where it comes from, and the mean of its readings. */
struct cup {
    int64_t session_id, meter_id;
    const char *bar;
    double mean_ph, n;
};

static int
compare_cups(const void *a, const void *b)
{
    const struct cup *x = a, *y = b;
    int by_bar = strcmp(x->bar, y->bar);

    if (x->session_id != y->session_id)
        return x->session_id < y->session_id ? -1 : 1;
    if (by_bar != 0)
        return by_bar;
    if (x->meter_id != y->meter_id)
        return x->meter_id < y->meter_id ? -1 : 1;
    return (x->mean_ph > y->mean_ph) - (x->mean_ph < y->mean_ph);
}

static bool
same_bar(const struct cup *a, const struct cup *b)
{
    return a->session_id == b->session_id && a->meter_id == b->meter_id && strcmp(a->bar, b->bar) == 0;
}

/* Rule 4, for cups of one bar: their sum of squares less what the scatter within them makes. */
static void
add_between(struct scatter_pool *pool, const struct cup *cups, size_t count, double within_variance)
{
    double mean = 0.0, squares = 0.0, inverse_n = 0.0, dof = (double)count - 1.0;

    for (size_t i = 0; i < count; i++) {
        mean += cups[i].mean_ph / (double)count;
        inverse_n += 1.0 / cups[i].n / (double)count;
    }
    for (size_t i = 0; i < count; i++)
        squares += pow(cups[i].mean_ph - mean, 2.0);
    pool->between.squares += fmax(0.0, squares - dof * within_variance * inverse_n);
    pool->between.dof += dof;
}

/* The cups of labelled bars. */
static size_t
list_cups(const struct dossier *dossier, const struct sample *samples, size_t count, struct cup *cups)
{
    size_t found = 0, end;

    for (size_t first = 0; first < count; first = end) {
        const struct specimen *specimen = dossier_specimen(dossier, samples[first].specimen_id);
        struct cup cup = {.meter_id = samples[first].meter_id};

        end = group_end(samples, first, count);
        if (specimen == NULL || specimen->bar == NULL)
            continue;
        cup.session_id = specimen->session_id;
        cup.bar = specimen->bar;
        cup.n = (double)(end - first);
        for (size_t i = first; i < end; i++)
            cup.mean_ph += samples[i].ph / cup.n;
        cups[found++] = cup;
    }
    return found;
}

static void
pool_between(struct scatter_pool *pool, const struct dossier *dossier, const struct sample *samples,
             size_t count)
{
    struct cup *cups = memory_new(count + 1, sizeof *cups);
    size_t found = list_cups(dossier, samples, count, cups), end;
    double squares = 0.0, dof = 0.0;

    for (size_t i = 0; i < pool->count; i++) {
        squares += pool->groups[i].squares;
        dof += pool->groups[i].dof;
    }
    qsort(cups, found, sizeof *cups, compare_cups);
    for (size_t first = 0; first < found; first = end) {
        for (end = first + 1; end < found && same_bar(&cups[end], &cups[first]); end++)
            ;
        if (end - first > 1)
            add_between(pool, &cups[first], end - first, dof > 0.0 ? squares / dof : 0.0);
    }
    free(cups);
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
    pool_between(pool, dossier, samples, count);
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
    struct scatter scatter = {.sd_ph = SCATTER_ASSUMED_PH, .dof = SCATTER_ASSUMED_DOF, .assumed = true};
    double sd_ph, dof;
    bool alone;

    for (size_t i = 0; i < pool->count; i++) {
        struct scatter_group *sum = pool->groups[i].specimen_id == specimen_id ? &own : &others;

        sum->squares += pool->groups[i].squares;
        sum->dof += pool->groups[i].dof;
    }
    all = (struct scatter_group){.squares = own.squares + others.squares, .dof = own.dof + others.dof};
    if (pool->between.dof >= SCATTER_BETWEEN_DOF) {
        scatter.between_sd_ph = sqrt(pool->between.squares / pool->between.dof);
        scatter.between_dof = pool->between.dof;
    }
    if (!(all.dof > 0.0))
        return scatter;
    alone = own.dof >= SCATTER_TRUSTED_DOF || (others.dof > 0.0 && sd_of(own) > departure * sd_of(others));
    sd_ph = sd_of(alone ? own : all);
    dof = alone ? own.dof : all.dof;
    scatter.sd_ph = sd_ph;
    scatter.dof = dof;
    scatter.assumed = false;
    return scatter;
}

void
scatter_widen(double *spread, double *dof)
{
    if (!(*dof < SCATTER_TRUSTED_DOF))
        return;
    *spread *= student_t_quantile(0.95, *dof) / t95_trusted;
    *dof = SCATTER_TRUSTED_DOF;
}
