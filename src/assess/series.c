/* series.c - the results of a batch across its cure. */
#include "series.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"

static int
by_age(const void *a, const void *b)
{
    const struct verdict *first = *(const struct verdict *const *)a;
    const struct verdict *second = *(const struct verdict *const *)b;

    if (first->age_d != second->age_d)
        return first->age_d < second->age_d ? -1 : 1;
    return (first->specimen->id > second->specimen->id) - (first->specimen->id < second->specimen->id);
}

static bool
has_place(const struct verdict *verdict)
{
    return isfinite(verdict->ph_at_reference) && verdict->u_ph > 0.0 && isfinite(verdict->u_ph) &&
           verdict->age_d >= 0;
}

static struct cure_point
point_of(const struct verdict *verdict)
{
    return (struct cure_point){.age_d = verdict->age_d,
                               .ph = verdict->ph_at_reference,
                               .u_ph = verdict->u_ph,
                               .flags = verdict->flags,
                               .resolution_ph = verdict->gear->resolution_ph,
                               .meter_id = verdict->gear->id,
                               .calibration_id = verdict->calibration == NULL ? 0 : verdict->calibration->id,
                               .sources = &verdict->budget.sources};
}

void
series_of(const struct verdict_list *verdicts, struct series *ret_series)
{
    struct series series = {.verdicts = verdicts};

    series.points = memory_new(verdicts->count + 1, sizeof *series.points);
    series.of = memory_new(verdicts->count + 1, sizeof *series.of);
    for (size_t i = 0; i < verdicts->count; i++) {
        const struct verdict *verdict = &verdicts->verdicts[i];

        if (has_place(verdict))
            series.of[series.count++] = verdict;
        else if (verdict->method == READING_METER)
            series.left_out++;
    }
    qsort(series.of, series.count, sizeof *series.of, by_age);
    for (size_t i = 0; i < series.count; i++)
        series.points[i] = point_of(series.of[i]);
    *ret_series = series;
}

void
series_clear(struct series *series)
{
    free(series->points);
    free(series->of);
    *series = (struct series){0};
}
