/* verdict_meter.c - what the meter readings of a test portion say. */
#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "verdict_parts.h"

/* How many meter readings of the specimen stand. */
static size_t
count_readings(const struct dossier *dossier, int64_t specimen_id)
{
    size_t count = 0;

    for (size_t i = 0; i < dossier->reading_count; i++)
        count += verdict_takes(&dossier->readings[i], specimen_id, READING_METER) ? 1 : 0;
    return count;
}

/* The mean of one number over the values, order-proof. */
static double
mean_over(const struct reading_value *values, size_t count, double (*pick)(const struct reading_value *))
{
    double *scratch = memory_new(count + 1, sizeof *scratch), mean;

    for (size_t i = 0; i < count; i++)
        scratch[i] = pick(&values[i]);
    mean = budget_mean(scratch, count);
    free(scratch);
    return mean;
}

static double
shown_ph(const struct reading_value *value)
{
    return value->reading->ph;
}

static double
reference_ph(const struct reading_value *value)
{
    return value->ph_at_reference;
}

static double
temperature_c(const struct reading_value *value)
{
    return value->reading->temperature_c;
}

/* All standing meter readings of the specimen, usable ones first. */
static enum status
value_readings(struct reading_valuer *valuer, int64_t specimen_id, struct reading_value *values,
               size_t *ret_count, size_t *ret_usable, struct failure *failure)
{
    const struct dossier *dossier = valuer->dossier;
    size_t count = 0, usable = 0;

    for (size_t i = 0; i < dossier->reading_count; i++) {
        struct reading_value value = {0};
        enum status status;

        if (!verdict_takes(&dossier->readings[i], specimen_id, READING_METER))
            continue;
        status = reading_value_of(valuer, &dossier->readings[i], &value, failure);
        if (status != STATUS_OK)
            return status;
        values[count] = value;
        if (value.usable) {
            values[count] = values[usable];
            values[usable++] = value;
        }
        count++;
    }
    *ret_count = count;
    *ret_usable = usable;
    return STATUS_OK;
}

/* How far the values used lie from each other, at the reference where that can be said. */
static double
spread_over(const struct reading_value *values, size_t count)
{
    bool at_reference = !isnan(mean_over(values, count, reference_ph));
    double mean = mean_over(values, count, at_reference ? reference_ph : shown_ph), squares = 0.0;

    for (size_t i = 0; i < count; i++)
        squares += pow((at_reference ? reference_ph : shown_ph)(&values[i]) - mean, 2.0);
    return count > 1 ? sqrt(squares / (double)(count - 1)) : (double)NAN;
}

/* Mean, budget and interval of the values used. Without a value at the reference there is no interval. */
static enum status
measure(struct verdict *verdict, const struct reading_value *values, size_t count, struct failure *failure)
{
    enum status status;

    verdict->n = count;
    verdict->ph = mean_over(values, count, shown_ph);
    verdict->ph_at_reference = mean_over(values, count, reference_ph);
    verdict->spread_ph = spread_over(values, count);
    verdict->temperature_c = mean_over(values, count, temperature_c);
    for (size_t i = 0; i < count; i++) {
        verdict_remember(verdict, values[i].reading);
        verdict->drift_half_ph = fmax(verdict->drift_half_ph, values[i].drift_half_ph);
        verdict->drift_assumed |= values[i].drift_assumed;
    }
    for (size_t i = 0; i < count; i++)
        if (values[i].reading == verdict->reading)
            verdict->calibration = values[i].calibration;
    if (count == 1)
        flag_set(&verdict->flags, FLAG_SINGLE_READING);
    if (verdict->scatter.assumed)
        flag_set(&verdict->flags, FLAG_SCATTER_ASSUMED);
    if (isnan(verdict->ph_at_reference))
        return STATUS_OK;
    if (verdict->ph_at_reference < VERDICT_USUAL_LOW_PH)
        flag_set(&verdict->flags, FLAG_BELOW_USUAL);
    status = budget_of(values, count, &verdict->scatter, &verdict->budget, failure);
    if (status != STATUS_OK)
        return status;
    verdict->u_ph = verdict->budget.total.standard_uncertainty;
    verdict->dof = verdict->budget.total.effective_dof;
    verdict->k = verdict->budget.total.coverage_factor;
    verdict->ph_low = verdict->ph_at_reference - verdict->budget.total.expanded_uncertainty;
    verdict->ph_high = verdict->ph_at_reference + verdict->budget.total.expanded_uncertainty;
    return STATUS_OK;
}

/* Rule 11: would it still be within if the meter had been off by all that a check found? */
static enum status
doubt_drift(struct verdict *verdict, struct failure *failure)
{
    double p = NAN;
    enum status status;

    if (verdict->verdict != VERDICT_WITHIN || !(verdict->drift_half_ph > METER_CHECK_AGREEMENT_PH))
        return STATUS_OK;
    status = uncertainty_probability_above(verdict->ph_at_reference + verdict->drift_half_ph, verdict->u_ph,
                                           verdict->dof, verdict->limit_ph, &p, failure);
    if (status == STATUS_OK && p > VERDICT_WITHIN_AT_MOST) {
        verdict->verdict = VERDICT_DOUBTFUL;
        verdict->raised_by_drift = true;
    }
    return status;
}

/* Rule 12. */
static enum status
doubt_limit(struct verdict *verdict, struct failure *failure)
{
    double p = NAN;
    enum status status;

    if (!(verdict->limit_ph > LIMIT_PH_USUAL))
        return STATUS_OK;
    status = uncertainty_probability_above(verdict->ph_at_reference, verdict->u_ph, verdict->dof,
                                           LIMIT_PH_USUAL, &p, failure);
    if (status == STATUS_OK && verdict->verdict == VERDICT_WITHIN && p >= VERDICT_LYE_HEAVY_AT_LEAST) {
        verdict->verdict = VERDICT_DOUBTFUL;
        verdict->raised_by_limit = true;
    }
    return status;
}

/* Rules 1 and 4, for usable readings. */
static enum status
decide(struct verdict *verdict, bool beyond, struct failure *failure)
{
    enum status status = uncertainty_probability_above(verdict->ph_at_reference, verdict->u_ph, verdict->dof,
                                                       verdict->limit_ph, &verdict->p_over_limit, failure);

    if (status != STATUS_OK)
        return status;
    if (verdict->p_over_limit >= VERDICT_LYE_HEAVY_AT_LEAST)
        verdict->verdict = VERDICT_LYE_HEAVY;
    else if (verdict->p_over_limit > VERDICT_WITHIN_AT_MOST)
        verdict->verdict = VERDICT_DOUBTFUL;
    else
        verdict->verdict = beyond ? VERDICT_NOT_JUDGED : VERDICT_WITHIN;
    status = doubt_drift(verdict, failure);
    return status == STATUS_OK ? doubt_limit(verdict, failure) : status;
}

/* Sort by meter; the order within one meter does not matter (budget.h, rule 2). */
static int
compare_meters(const void *a, const void *b)
{
    const struct reading_value *x = a, *y = b;

    return (x->meter->id > y->meter->id) - (x->meter->id < y->meter->id);
}

static bool
worse(const struct verdict *a, const struct verdict *b)
{
    return a->verdict != b->verdict ? a->verdict > b->verdict : a->p_over_limit > b->p_over_limit;
}

/* Rule 9: the usable readings, each meter's by themselves. */
static enum status
judge_each_meter(struct verdict *verdict, struct reading_value *values, size_t count, struct failure *failure)
{
    struct verdict worst = *verdict;
    size_t end;

    qsort(values, count, sizeof *values, compare_meters);
    for (size_t first = 0; first < count; first = end) {
        struct verdict one = *verdict;
        bool beyond = false;
        enum status status;

        for (end = first; end < count && values[end].meter == values[first].meter; end++)
            beyond = beyond || values[end].beyond;
        if (end - first < count)
            flag_set(&one.flags, FLAG_SEVERAL_METERS);
        status = measure(&one, &values[first], end - first, failure);
        if (status == STATUS_OK)
            status = decide(&one, beyond, failure);
        if (status != STATUS_OK)
            return status;
        if (first == 0 || worse(&one, &worst))
            worst = one;
    }
    *verdict = worst;
    return STATUS_OK;
}

/* Rule 3. The highest of such readings is the one that is named. */
static void
never_soften(struct verdict *verdict, const struct reading_value *values, size_t count)
{
    if (verdict->verdict == VERDICT_LYE_HEAVY)
        return;
    for (size_t i = 0; i < count; i++) {
        if ((values[i].usable && !values[i].beyond) || !(values[i].highest_ph > verdict->limit_ph) ||
            values[i].highest_ph <= verdict->raised_by_ph)
            continue;
        verdict->verdict = VERDICT_LYE_HEAVY;
        verdict->raised_by_bad_evidence = true;
        verdict->raised_by_ph = values[i].highest_ph;
        verdict->p_over_limit = NAN;
    }
}

static enum status
judge_meter(struct verdict *verdict, struct reading_value *values, size_t count, size_t usable,
            struct failure *failure)
{
    enum status status;

    verdict->method = READING_METER;
    verdict->verdict = VERDICT_NOT_JUDGED;
    for (size_t i = 0; i < count; i++) /* the usable ones stand first */
        *(usable == 0 || i < usable ? &verdict->flags : &verdict->left_out_flags) |= values[i].flags;
    if (usable > 0 && usable < count) {
        verdict->left_out = count - usable;
        flag_set(&verdict->flags, FLAG_LEFT_OUT);
    }
    status = usable > 0 ? judge_each_meter(verdict, values, usable, failure)
                        : measure(verdict, values, count, failure);
    if (status == STATUS_OK)
        never_soften(verdict, values, count);
    return status;
}

enum status
verdict_by_meter(struct verdict *verdict, struct reading_valuer *valuer, size_t *ret_count,
                 struct failure *failure)
{
    size_t most = count_readings(verdict->dossier, verdict->specimen->id), usable = 0;
    struct reading_value *values = memory_new(most + 1, sizeof *values);
    enum status status = value_readings(valuer, verdict->specimen->id, values, ret_count, &usable, failure);

    if (status == STATUS_OK && *ret_count > 0)
        status = judge_meter(verdict, values, *ret_count, usable, failure);
    free(values);
    return status;
}
