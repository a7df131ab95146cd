/* paper_bias.c - how a maker's test paper reads soap. */
#include "paper_bias.h"

#include <math.h>
#include <stdlib.h>

#include "budget.h"
#include "censored.h"
#include "distribution.h"
#include "memory.h"
#include "reading_value.h"
#include "text.h"

/* Intervals that hold the bias, growing. */
struct pairs {
    double *low, *high;
    size_t count, low_room, high_room;
};

static void
add_pair(struct pairs *pairs, double low, double high)
{
    pairs->low = memory_room(pairs->low, pairs->count, &pairs->low_room, sizeof *pairs->low);
    pairs->high = memory_room(pairs->high, pairs->count, &pairs->high_room, sizeof *pairs->high);
    pairs->low[pairs->count] = low;
    pairs->high[pairs->count] = high;
    pairs->count++;
}

/* Mean of what the meter can vouch for in a specimen; NAN when there is nothing. */
static enum status
meter_mean(struct reading_valuer *valuer, int64_t specimen_id, double *ret_ph, struct failure *failure)
{
    const struct dossier *dossier = valuer->dossier;
    double *values = NULL;
    size_t count = 0, capacity = 0;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < dossier->reading_count; i++) {
        const struct reading *reading = &dossier->readings[i];
        struct reading_value value;

        if (reading->specimen_id != specimen_id || reading->method != READING_METER ||
            !reading_stands(reading))
            continue;
        status = reading_value_of(valuer, reading, &value, failure);
        if (status != STATUS_OK || !value.usable || value.beyond)
            continue;
        values = memory_room(values, count, &capacity, sizeof *values);
        values[count++] = value.ph;
    }
    if (status == STATUS_OK)
        *ret_ph = budget_mean(values, count);
    free(values);
    return status;
}

static enum status
collect(struct reading_valuer *valuer, int64_t paper_id, struct pairs *pairs, struct failure *failure)
{
    const struct dossier *dossier = valuer->dossier;

    for (size_t i = 0; i < dossier->reading_count; i++) {
        const struct reading *reading = &dossier->readings[i];
        double meter_ph = NAN;
        enum status status;

        if (reading->method != READING_PAPER || reading->on_surface || reading->gear_id != paper_id ||
            !reading_stands(reading))
            continue;
        status = meter_mean(valuer, reading->specimen_id, &meter_ph, failure);
        if (status != STATUS_OK)
            return status;
        if (!isnan(meter_ph))
            add_pair(pairs, meter_ph - reading->ph_high, meter_ph - reading->ph_low);
    }
    return STATUS_OK;
}

enum status
paper_bias_learn(const struct dossier *dossier, int64_t paper_id, struct paper_bias *ret_bias,
                 struct failure *failure)
{
    struct paper_bias bias = {.paper_id = paper_id, .bias_ph = NAN, .bias_u_ph = NAN, .spread_ph = NAN};
    struct pairs pairs = {0};
    struct censored_normal fit = {0};
    struct failure untold = {0};
    struct reading_valuer valuer = {.dossier = dossier};
    enum status status = collect(&valuer, paper_id, &pairs, failure);

    reading_valuer_clear(&valuer);
    if (status != STATUS_OK)
        goto out;
    bias.pairs = pairs.count;
    /* Pairs that tell nothing leave the bias unknown; they must not stand in the way of a verdict. */
    if (pairs.count >= PAPER_BIAS_LEAST_PAIRS &&
        censored_normal_fit(pairs.low, pairs.high, pairs.count, &fit, &untold) == STATUS_OK &&
        isfinite(fit.mean_sd)) {
        bias.known = true;
        bias.bias_ph = fit.mean;
        bias.bias_u_ph = fit.mean_sd;
        bias.spread_ph = fit.spread_known ? fit.sd : (double)NAN;
    }
    *ret_bias = bias;
out:
    free(pairs.low);
    free(pairs.high);
    return status;
}

/* Rule 3. The likelihood's spread is that about its own mean: n - 1 of n are left of it. */
static double
widening(const struct paper_bias *bias)
{
    double dof = (double)bias->pairs - 1.0, spread = isnan(bias->spread_ph) ? 0.0 : bias->spread_ph;

    return student_t_coverage_factor(0.95, dof) * sqrt((dof + 1.0) / dof) * hypot(bias->bias_u_ph, spread);
}

void
paper_bias_apply(const struct paper_bias *bias, double ph_low, double ph_high, double *ret_low,
                 double *ret_high)
{
    bool known = bias != NULL && bias->known;

    *ret_low = known ? ph_low + bias->bias_ph - widening(bias) : ph_low;
    *ret_high = known ? ph_high + bias->bias_ph + widening(bias) : ph_high;
}

char *
paper_bias_sentence(const struct paper_bias *bias)
{
    if (!bias->known && bias->pairs >= PAPER_BIAS_LEAST_PAIRS)
        return text_format(
            "how it reads soap cannot be told: its %zu pairs with a checked meter lie too far apart",
            bias->pairs);
    if (!bias->known)
        return text_format(
            "how it reads soap is not known yet: %zu of %d pairs with a checked meter are there", bias->pairs,
            (int)PAPER_BIAS_LEAST_PAIRS);
    if (fabs(bias->bias_ph) < 0.05)
        return text_format(
            "reads soap neither high nor low (%zu pairs with a checked meter, +/- %.2f for one "
            "strip)",
            bias->pairs, widening(bias));
    return text_format(
        "reads soap about %.1f pH too %s (%zu pairs with a checked meter, +/- %.1f for one strip)",
        fabs(bias->bias_ph), bias->bias_ph > 0.0 ? "low" : "high", bias->pairs, widening(bias));
}
