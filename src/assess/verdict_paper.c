/* verdict_paper.c - what the paper readings of a test portion say. */
#include <math.h>
#include <stdlib.h>

#include "at_reference.h"
#include "memory.h"
#include "verdict_parts.h"

static const struct paper_bias *
bias_of(const struct verdict_aid *aid, int64_t paper_id)
{
    for (size_t i = 0; aid != NULL && i < aid->bias_count; i++)
        if (aid->biases[i].paper_id == paper_id && aid->biases[i].known)
            return &aid->biases[i];
    return NULL;
}

/* One paper reading, bias applied, at the reference where that can be said; bringing it there never lowers
 * the high end (rule 3 holds for paper too). */
static void
paper_range(const struct verdict *verdict, const struct paper_bias *bias, const struct reading *reading,
            double *ret_low, double *ret_high)
{
    struct at_reference shift = {0};
    struct failure ignored = {0};
    double by_ph;

    if (reading->on_surface) { /* of a concentration that nobody knows: as read */
        *ret_low = reading->ph_low;
        *ret_high = reading->ph_high;
        return;
    }
    paper_bias_apply(bias, reading->ph_low, reading->ph_high, ret_low, ret_high);
    if (at_reference(reading->temperature_c, verdict->concentration_pct, &shift, &ignored) != STATUS_OK)
        return;
    by_ph = shift.shift_ph;
    *ret_low += by_ph;
    *ret_high = fmax(*ret_high, *ret_high + by_ph);
}

/* The range of all paper readings of the specimen together. */
static void
range_of_paper(struct verdict *verdict, const struct verdict_aid *aid, size_t *ret_count)
{
    size_t count = 0;

    for (size_t i = 0; i < verdict->dossier->reading_count; i++) {
        const struct reading *reading = &verdict->dossier->readings[i];
        const struct paper_bias *bias = bias_of(aid, reading->gear_id);
        double low = NAN, high = NAN;

        if (!verdict_takes(verdict, reading, READING_PAPER))
            continue;
        paper_range(verdict, bias, reading, &low, &high);
        if (reading->on_surface) {
            verdict->surface_low = fmin(low, verdict->surface_low);
            verdict->surface_high = fmax(high, verdict->surface_high);
            continue;
        }
        verdict->paper_low = fmin(low, verdict->paper_low); /* fmin() and fmax() pass over NAN */
        verdict->paper_high = fmax(high, verdict->paper_high);
        if (bias == NULL)
            flag_set(&verdict->flags, FLAG_BIAS_UNKNOWN);
        else
            verdict->bias = bias;
        count++;
    }
    *ret_count = count;
}

/* Temperature, concentration and gear of a result by paper alone. */
static void
describe_paper(struct verdict *verdict)
{
    double *temperatures = memory_new(verdict->n + 1, sizeof *temperatures);
    size_t count = 0;

    for (size_t i = 0; i < verdict->dossier->reading_count; i++) {
        const struct reading *reading = &verdict->dossier->readings[i];

        if (!verdict_takes(verdict, reading, READING_PAPER))
            continue;
        verdict_remember(verdict, reading);
        temperatures[count++] = reading->temperature_c;
    }
    verdict->temperature_c = budget_mean(temperatures, count);
    free(temperatures);
    if (!verdict->surface_only) /* where nothing is brought to 40 degC and 1 % anyway */
        reading_value_flag_conditions(verdict->temperature_c, verdict->concentration_pct, &verdict->flags);
}

/* Rule 5 for each paper reading by itself, so that a low one beside it hides nothing. */
static void
doubt_by_paper(struct verdict *verdict, const struct verdict_aid *aid)
{
    for (size_t i = 0; i < verdict->dossier->reading_count; i++) {
        const struct reading *reading = &verdict->dossier->readings[i];
        double low = NAN, high = NAN;

        if (!verdict_takes(verdict, reading, READING_PAPER))
            continue;
        paper_range(verdict, bias_of(aid, reading->gear_id), reading, &low, &high);
        if (!reading->on_surface && low > (isnan(verdict->ph_high) ? verdict->ph : verdict->ph_high))
            flag_set(&verdict->flags, FLAG_PAPER_HIGHER);
        if (low > verdict->clear_ph && verdict->verdict == VERDICT_NOT_JUDGED) {
            verdict->verdict = VERDICT_DOUBTFUL;
            verdict->raised_by_paper = true;
            verdict->raised_by_surface = reading->on_surface;
        }
    }
}

/* A bar that only paper was held to. */
static void
judge_paper(struct verdict *verdict, const struct verdict_aid *aid, size_t count)
{
    verdict->method = READING_PAPER;
    verdict->n = count;
    verdict->poor = true;
    verdict->verdict = VERDICT_NOT_JUDGED;
    doubt_by_paper(verdict, aid);
    verdict->ph_low = verdict->surface_only ? verdict->surface_low : verdict->paper_low;
    verdict->ph_high = verdict->surface_only ? verdict->surface_high : verdict->paper_high;
    flag_set(&verdict->flags, FLAG_PAPER_ONLY);
    if (verdict->surface_only) /* there was none to dissolve it in */
        verdict->flags &= ~(1u << FLAG_WATER_UNKNOWN);
    describe_paper(verdict);
    if (!verdict->surface_only && verdict->ph_high < verdict->usual_low_ph)
        flag_set(&verdict->flags, FLAG_BELOW_USUAL);
}

void
verdict_by_paper(struct verdict *verdict, const struct verdict_aid *aid, bool beside_meter)
{
    size_t count = 0;

    range_of_paper(verdict, aid, &count);
    verdict->surface_only = count == 0 && !beside_meter;
    count += isnan(verdict->surface_low) ? 0 : 1;
    if (count > 0 && beside_meter)
        doubt_by_paper(verdict, aid);
    else if (count > 0)
        judge_paper(verdict, aid, count);
}
