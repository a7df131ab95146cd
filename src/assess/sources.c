/* sources.c - where the parts of a result's uncertainty come from. */
#include "sources.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "distribution.h"
#include "memory.h"
#include "text.h"

static int
compare_sources(const struct source *a, const struct source *b)
{
    if (a->kind != b->kind)
        return a->kind < b->kind ? -1 : 1;
    if (a->id != b->id)
        return a->id < b->id ? -1 : 1;
    if (a->name == b->name)
        return 0;
    return a->name == NULL ? -1 : b->name == NULL ? 1 : strcmp(a->name, b->name);
}

void
sources_add_own(struct sources *sources, double u_ph)
{
    sources->own_u_ph = hypot(sources->own_u_ph, u_ph);
}

void
sources_add(struct sources *sources, const struct source_part *part, double weight)
{
    struct source_part *kept = sources->parts;

    if (part->u_ph == 0.0 && part->per_ph == 0.0)
        return;
    while (kept < sources->parts + sources->count && compare_sources(&kept->source, &part->source) != 0)
        kept++;
    if (kept == sources->parts + SOURCES_MOST) {
        sources_add_own(sources, weight * part->u_ph);
        return;
    }
    if (kept == sources->parts + sources->count) {
        *kept = (struct source_part){.source = part->source, .rectangular = part->rectangular};
        sources->count++;
    }
    kept->u_ph += weight * part->u_ph;
    kept->per_ph += weight * part->per_ph;
}

double
sources_u_ph(const struct sources *sources)
{
    return sqrt(sources->own_u_ph * sources->own_u_ph + sources_covariance(sources, sources));
}

double
sources_covariance(const struct sources *a, const struct sources *b)
{
    double sum = 0.0;

    for (size_t i = 0; i < a->count; i++)
        for (size_t k = 0; k < b->count; k++)
            if (compare_sources(&a->parts[i].source, &b->parts[k].source) == 0)
                sum += a->parts[i].u_ph * b->parts[k].u_ph;
    return sum;
}

/* -- many results -- */

/* One part of one group, while they are sorted. */
struct entry {
    struct source_part part;
    size_t group;
};

static int
compare_entries(const void *a, const void *b)
{
    const struct entry *x = a, *y = b;
    int order = compare_sources(&x->part.source, &y->part.source);

    if (order != 0)
        return order;
    if (x->group != y->group)
        return x->group < y->group ? -1 : 1;
    return (x->part.u_ph > y->part.u_ph) - (x->part.u_ph < y->part.u_ph); /* sums do not hang on the order */
}

/* Every part of every member, its weight in the mean of its group applied; sorted. Given. */
static struct entry *
entries_of(const struct shared_member *members, size_t count, const double *weights, size_t *ret_count)
{
    struct entry *entries;
    size_t most = 0, made = 0;

    for (size_t i = 0; i < count; i++)
        most += members[i].sources->count;
    entries = memory_new(most + 1, sizeof *entries);
    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < members[i].sources->count; k++) {
            struct entry *entry = &entries[made++];

            *entry = (struct entry){.part = members[i].sources->parts[k], .group = members[i].group};
            entry->part.u_ph *= weights[members[i].group];
            entry->part.per_ph *= weights[members[i].group];
        }
    qsort(entries, made, sizeof *entries, compare_entries);
    *ret_count = made;
    return entries;
}

/* The entries of one source, from `first`: what a group has of it becomes one part. Gives where the next begins. */
static size_t
take_source(struct shared *shared, const struct entry *entries, size_t first, size_t count,
            struct shared_part *room)
{
    struct shared_source source = {
        .source = entries[first].part.source, .rectangular = entries[first].part.rectangular, .parts = room};
    size_t end = first;

    for (; end < count && compare_sources(&entries[end].part.source, &source.source) == 0; end++) {
        if (source.count == 0 || room[source.count - 1].group != entries[end].group)
            room[source.count++] = (struct shared_part){.group = entries[end].group};
        room[source.count - 1].u_ph += entries[end].part.u_ph;
        room[source.count - 1].per_ph += entries[end].part.per_ph;
    }
    if (source.count > 1 || source.source.kind == SOURCE_FREE_SHARE)
        shared->sources[shared->source_count++] = source;
    else
        shared->own_u_ph[room[0].group] = hypot(shared->own_u_ph[room[0].group], room[0].u_ph);
    return end;
}

void
shared_of(const struct shared_member *members, size_t count, size_t group_count, struct shared *ret_shared)
{
    struct shared shared = {.own_u_ph = memory_new(group_count + 1, sizeof *shared.own_u_ph),
                            .ph = memory_new(group_count + 1, sizeof *shared.ph)};
    double *weights = memory_new(group_count + 1, sizeof *weights);
    struct entry *entries;
    size_t made, kept = 0;

    for (size_t i = 0; i < count; i++)
        weights[members[i].group] += 1.0;
    for (size_t g = 0; g < group_count; g++) {
        assert(weights[g] > 0.0);
        weights[g] = 1.0 / weights[g];
    }
    for (size_t i = 0; i < count; i++) {
        size_t g = members[i].group;

        shared.ph[g] += weights[g] * members[i].sources->ph;
        shared.own_u_ph[g] = hypot(shared.own_u_ph[g], weights[g] * members[i].sources->own_u_ph);
    }
    entries = entries_of(members, count, weights, &made);
    shared.sources = memory_new(made + 1, sizeof *shared.sources);
    shared.parts = memory_new(made + 1, sizeof *shared.parts);
    for (size_t first = 0; first < made;) {
        size_t before = shared.source_count;

        first = take_source(&shared, entries, first, made, &shared.parts[kept]);
        if (shared.source_count > before)
            kept += shared.sources[before].count;
    }
    free(entries);
    free(weights);
    *ret_shared = shared;
}

void
shared_clear(struct shared *shared)
{
    if (shared == NULL)
        return;
    free(shared->own_u_ph);
    free(shared->ph);
    free(shared->sources);
    free(shared->parts);
    *shared = (struct shared){0};
}

struct shared_sum
shared_sum_of(const struct shared *shared, const double *weights, const double *at_ph)
{
    struct shared_sum sum = {0};
    double squares = 0.0, widest = 0.0;

    for (size_t j = 0; j < shared->source_count; j++) {
        const struct shared_source *source = &shared->sources[j];
        double u_ph = 0.0;

        for (size_t i = 0; i < source->count; i++) {
            const struct shared_part *part = &source->parts[i];
            double away = at_ph == NULL ? 0.0 : at_ph[part->group] - shared->ph[part->group];

            u_ph += weights[part->group] * (part->u_ph + part->per_ph * away);
        }
        if (source->source.kind == SOURCE_FREE_SHARE) {
            sum.whole_half_ph += sqrt(3.0) * fabs(u_ph);
            continue;
        }
        squares += u_ph * u_ph;
        if (source->rectangular)
            widest = fmax(widest, fabs(u_ph));
    }
    sum.u_ph = sqrt(squares);
    sum.rectangle_ph = sqrt(3.0) * widest;
    sum.rest_u_ph = sqrt(fmax(0.0, squares - widest * widest));
    return sum;
}

double
shared_half_ph(const struct shared_sum *sum, double own_half_ph, double probability)
{
    double normal = student_t_quantile(probability, INFINITY);
    double rest_u_ph = normal > 0.0 ? hypot(sum->rest_u_ph, own_half_ph / normal) : sum->rest_u_ph;

    return rectangle_normal_quantile(sum->rectangle_ph, rest_u_ph, probability) + sum->whole_half_ph;
}
