/* budget.c - the uncertainty budget of one result. */
#include "budget.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "flag.h"
#include "memory.h"

/* What is averaged over the readings. */
enum part {
    PART_RESOLUTION,
    PART_LINE,
    PART_BUFFER,
    PART_COMPENSATION,
    PART_DRIFT,
    PART_WATER,
    PART_THERMOMETER,
    PART_WEIGHING,
    PART_COUNT
};

static const struct {
    const char *name;
    enum uncertainty_shape shape;
} parts[PART_COUNT] = {
    [PART_RESOLUTION] = {"meter resolution", UNCERTAINTY_RECTANGULAR},
    [PART_LINE] = {"calibration", UNCERTAINTY_NORMAL},
    [PART_BUFFER] = {"buffers", UNCERTAINTY_NORMAL},
    [PART_COMPENSATION] = {"no temperature compensation", UNCERTAINTY_RECTANGULAR},
    [PART_DRIFT] = {"drift (assumed)", UNCERTAINTY_RECTANGULAR},
    [PART_WATER] = {"carbon dioxide in water", UNCERTAINTY_RECTANGULAR},
    [PART_THERMOMETER] = {"thermometer", UNCERTAINTY_NORMAL},
    [PART_WEIGHING] = {"weighing", UNCERTAINTY_NORMAL},
};

static int
compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

double
budget_mean(double *values, size_t count)
{
    double sum = 0.0;

    if (count == 0)
        return NAN;
    if (count > 1)
        qsort(values, count, sizeof *values, compare);
    for (size_t i = 0; i < count; i++)
        sum += values[i];
    return sum / (double)count;
}

/* Spread of one reading's part, in the part's own unit. */
static double
spread_of(const struct reading_value *value, enum part part)
{
    switch (part) {
    case PART_RESOLUTION:
        return value->meter->resolution_ph / 2.0;
    case PART_LINE:
        return value->correction.u_line_ph;
    case PART_BUFFER:
        return value->correction.u_buffer_ph;
    case PART_COMPENSATION:
        return value->correction.compensation_half_ph;
    case PART_DRIFT:
        return value->drift_half_ph;
    case PART_WATER:
        return value->water_half_ph;
    case PART_THERMOMETER:
        return value->u_temperature_c;
    case PART_WEIGHING:
        return value->u_concentration_pct;
    case PART_COUNT:
        break;
    }
    return 0.0;
}

static double
sensitivity_of(const struct reading_value *value, enum part part)
{
    if (part == PART_THERMOMETER)
        return value->shift.ph_per_c;
    if (part == PART_WEIGHING)
        return -value->shift.ph_per_pct; /* more soap reads higher, and is brought down */
    return 1.0;
}

static double
mean_of(const struct reading_value *values, size_t count, enum part part,
        double (*pick)(const struct reading_value *, enum part), double *scratch)
{
    for (size_t i = 0; i < count; i++)
        scratch[i] = pick(&values[i], part);
    return budget_mean(scratch, count);
}

/* Degrees of freedom of the calibration: the fewest among the readings. */
static double
line_dof(const struct reading_value *values, size_t count)
{
    double dof = INFINITY;

    for (size_t i = 0; i < count; i++)
        dof = fmin(dof, values[i].correction.line_dof);
    return dof;
}

/* Without buffers' values it is the meter's accuracy that stands in for the line. */
static const char *
name_of(const struct reading_value *values, enum part part)
{
    uint64_t flags = values[0].flags;

    if (part == PART_LINE &&
        (flag_is_set(flags, FLAG_METER_UNCHECKED) || flag_is_set(flags, FLAG_CALIBRATION_REFUSED) ||
         flag_is_set(flags, FLAG_CALIBRATION_DECLARED)))
        return "meter accuracy";
    return parts[part].name;
}

/* What the widening of few degrees of freedom multiplies a part by. */
static double
widened(double dof)
{
    double factor = 1.0;

    scatter_widen(&factor, &dof);
    return factor;
}

/* Rule 3 for one of `count` values. */
static void
add_sources(const struct reading_value *value, size_t count, double line_factor, struct sources *sources)
{
    const struct sources *calibration = &value->correction.sources;
    int64_t calibration_id = value->calibration == NULL ? 0 : value->calibration->id;
    double weight = 1.0 / (double)count;
    const struct source_part bench[] = {
        {.source = {SOURCE_DRIFT, calibration_id, NULL},
         .rectangular = true,
         .u_ph = fmax(value->drift_half_ph, value->departure_ph) / sqrt(3.0)},
        {.source = {SOURCE_WATER, value->specimen->session_id, NULL},
         .rectangular = true,
         .u_ph = value->water_half_ph / sqrt(3.0),
         .per_ph = value->water_per_ph / sqrt(3.0)},
        {.source = {SOURCE_THERMOMETER, value->thermometer_id, NULL},
         .u_ph = value->u_temperature_c * value->shift.ph_per_c},
        /* three quarters of the shift are added, one quarter is its half-width */
        {.source = {SOURCE_FREE_SHARE, 0, NULL},
         .rectangular = true,
         .u_ph = value->shift.shift_ph / 3.0 / sqrt(3.0)},
    };

    for (size_t i = 0; i < calibration->count; i++) {
        enum source_kind kind = calibration->parts[i].source.kind;
        bool line = kind == SOURCE_LINE_LEVEL || kind == SOURCE_LINE_SLOPE;

        sources_add(sources, &calibration->parts[i], line ? weight * line_factor : weight);
    }
    for (size_t i = 0; i < LENGTH(bench); i++)
        sources_add(sources, &bench[i], weight);
}

/* Rule 3: all of it. */
static void
name_sources(const struct reading_value *values, size_t count, const struct scatter *scatter,
             struct sources *sources, double *scratch)
{
    double line_factor = widened(line_dof(values, count));

    *sources = (struct sources){0};
    sources_add_own(sources, scatter->sd_ph * widened(scatter->dof) / sqrt((double)count));
    sources_add_own(sources, mean_of(values, count, PART_RESOLUTION, spread_of, scratch) / sqrt(3.0));
    sources_add_own(sources, mean_of(values, count, PART_WEIGHING, spread_of, scratch) *
                                 mean_of(values, count, PART_WEIGHING, sensitivity_of, scratch));
    for (size_t i = 0; i < count; i++)
        add_sources(&values[i], count, line_factor, sources);
    for (size_t i = 0; i < count; i++)
        scratch[i] = values[i].ph_at_reference;
    sources->ph = budget_mean(scratch, count);
}

/* A part that is nothing gets no line. */
static void
add(struct budget *budget, struct uncertainty_component line)
{
    assert(budget->count < BUDGET_MOST_LINES);
    if (line.spread == 0.0 || line.sensitivity == 0.0)
        return;
    scatter_widen(&line.spread, &line.dof);
    budget->lines[budget->count++] = line;
}

/* One unknown for all values: it moves their mean shift. */
static double
share_half_ph(const struct reading_value *values, size_t count, double *scratch)
{
    double shift_ph, concentration_ph;

    for (size_t i = 0; i < count; i++)
        scratch[i] = values[i].shift.shift_ph;
    shift_ph = budget_mean(scratch, count);
    for (size_t i = 0; i < count; i++)
        scratch[i] = values[i].shift.concentration_ph;
    concentration_ph = budget_mean(scratch, count);
    return (AT_REFERENCE_HALF_PART * fabs(shift_ph) + AT_REFERENCE_FELT_PART * fabs(concentration_ph)) /
           AT_REFERENCE_MIDDLE_PART;
}

static void
fill(const struct reading_value *values, size_t count, const struct scatter *scatter, struct budget *budget)
{
    double *scratch = memory_new(count, sizeof *scratch), floor_ph;

    assert(count > 0);
    floor_ph = mean_of(values, count, PART_RESOLUTION, spread_of, scratch) / sqrt(3.0);
    add(budget, (struct uncertainty_component){.name = scatter->assumed ? "scatter (assumed)" : "scatter",
                                               .shape = UNCERTAINTY_NORMAL,
                                               .spread = fmax(scatter->sd_ph, floor_ph),
                                               .sensitivity = 1.0 / sqrt((double)count),
                                               .dof = scatter->dof});
    for (enum part part = PART_RESOLUTION; part < PART_COUNT; part++)
        add(budget, (struct uncertainty_component){
                        .name = name_of(values, part),
                        .shape = parts[part].shape,
                        .spread = mean_of(values, count, part, spread_of, scratch),
                        .sensitivity = mean_of(values, count, part, sensitivity_of, scratch),
                        .dof = part == PART_LINE ? line_dof(values, count) : (double)INFINITY});
    name_sources(values, count, scatter, &budget->sources, scratch);
    budget->share_half_ph = share_half_ph(values, count, scratch);
    budget->departure_ph = 0.0;
    for (size_t i = 0; i < count; i++)
        budget->departure_ph = fmax(budget->departure_ph, values[i].departure_ph);
    free(scratch);
}

enum status
budget_of(const struct reading_value *values, size_t count, const struct scatter *scatter,
          struct budget *ret_budget, struct failure *failure)
{
    struct budget budget = {0};
    enum status status;

    fill(values, count, scatter, &budget);
    status = uncertainty_combine(budget.lines, budget.count, 0.95, &budget.total, budget.shares, failure);
    if (status == STATUS_OK)
        *ret_budget = budget;
    return status;
}

enum status
budget_u_ph(const struct reading_value *values, size_t count, const struct scatter *scatter, double *ret_u_ph,
            struct failure *failure)
{
    struct budget budget;

    budget.count = 0;
    fill(values, count, scatter, &budget);
    return uncertainty_standard(budget.lines, budget.count, ret_u_ph, failure);
}
