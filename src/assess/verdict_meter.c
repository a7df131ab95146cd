/* verdict_meter.c - what the meter readings of a test portion say. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "distribution.h"
#include "memory.h"
#include "verdict_parts.h"

/* How many meter readings of its cups stand. */
static size_t
count_readings(const struct verdict *verdict)
{
    const struct dossier *dossier = verdict->dossier;
    size_t count = 0;

    for (size_t i = 0; i < dossier->reading_count; i++)
        count += verdict_takes(verdict, &dossier->readings[i], READING_METER) ? 1 : 0;
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

/* Rules 2 and 3. */
static bool
can_clear(const struct verdict *verdict, const struct reading_value *value)
{
    return value->usable && !value->beyond && !verdict->poor;
}

/* All standing meter readings of the cups, those that can clear first. */
static enum status
value_readings(const struct verdict *verdict, struct reading_valuer *valuer, struct reading_value *values,
               size_t *ret_count, size_t *ret_usable, struct failure *failure)
{
    const struct dossier *dossier = valuer->dossier;
    size_t count = 0, usable = 0;

    for (size_t i = 0; i < dossier->reading_count; i++) {
        struct reading_value value = {0};
        enum status status;

        if (!verdict_takes(verdict, &dossier->readings[i], READING_METER))
            continue;
        status = reading_value_of(valuer, &dossier->readings[i], &value, failure);
        if (status != STATUS_OK)
            return status;
        values[count] = value;
        if (can_clear(verdict, &value)) {
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

/* -- cups (rule 4) -- */

/* The mean of one cup's values, which stand together, and what its own weighing and temperature make of it. */
struct cup {
    size_t first, end;
    double mean_ph, own_u_ph;
};

static int
compare_cups(const void *a, const void *b)
{
    const struct reading_value *x = a, *y = b;

    return (x->specimen->id > y->specimen->id) - (x->specimen->id < y->specimen->id);
}

static size_t
list_cups(struct reading_value *values, size_t count, struct cup *cups)
{
    size_t found = 0, end;

    qsort(values, count, sizeof *values, compare_cups);
    for (size_t first = 0; first < count; first = end) {
        const struct reading_value *value = &values[first];

        for (end = first + 1; end < count && values[end].specimen == value->specimen; end++)
            ;
        cups[found++] = (struct cup){first, end, mean_over(value, end - first, reference_ph),
                                     hypot(value->u_temperature_c * value->shift.ph_per_c,
                                           value->u_concentration_pct * value->shift.ph_per_pct)};
    }
    return found;
}

/* Variance of the cups' means, two and more. */
static double
variance_between(const struct cup *cups, size_t count)
{
    double mean = 0.0, squares = 0.0;

    for (size_t i = 0; i < count; i++)
        mean += (cups[i].mean_ph - cups[0].mean_ph) / (double)count;
    for (size_t i = 0; i < count; i++)
        squares += pow(cups[i].mean_ph - cups[0].mean_ph - mean, 2.0);
    return squares / ((double)count - 1.0);
}

/* Do they differ by more than their readings, weighings and temperatures let expect? */
static bool
are_apart(const struct cup *cups, size_t count, double sd_ph)
{
    double mean = 0.0, chi_squared = 0.0;

    for (size_t i = 0; i < count; i++)
        mean += cups[i].mean_ph / (double)count;
    for (size_t i = 0; i < count; i++) {
        double n = (double)(cups[i].end - cups[i].first);

        chi_squared += pow(cups[i].mean_ph - mean, 2.0) / (sd_ph * sd_ph / n + pow(cups[i].own_u_ph, 2.0));
    }
    return chi_squared_above(chi_squared, (double)count - 1.0) < VERDICT_CUPS_P;
}

/* A scatter that gives the mean of `n` values this variance. */
static void
set_scatter(struct scatter *scatter, double variance, double dof, double n)
{
    scatter->sd_ph = sqrt(variance * n);
    scatter->dof = dof;
}

/* One cup: what cups of one bar differ by, where the maker's own sittings tell. */
static void
add_between(struct scatter *scatter, size_t count)
{
    double within = scatter->sd_ph * scatter->sd_ph / (double)count;
    double between = scatter->between_sd_ph * scatter->between_sd_ph, both = within + between;

    if (scatter->between_dof > 0.0 && both > 0.0)
        set_scatter(scatter, both,
                    both * both / (within * within / scatter->dof + between * between / scatter->between_dof),
                    (double)count);
}

/* The scatter that counts for the mean of these values; cups that are apart leave the worst of them alone.
 * values, ret_count  in the order of cups; what is left to be averaged stands first */
static struct scatter
join_cups(struct verdict *verdict, struct reading_value *values, size_t *ret_count)
{
    struct cup *cups = memory_new(*ret_count + 1, sizeof *cups);
    size_t count = list_cups(values, *ret_count, cups), worst = 0;
    struct scatter scatter = verdict->scatter;
    double inverse_n = 0.0, between, within;
    bool apart;

    verdict->cups = count;
    for (size_t i = 0; i < count; i++)
        verdict->cup_spread_ph =
            fmax(verdict->cup_spread_ph, spread_over(&values[cups[i].first], cups[i].end - cups[i].first));
    if (count < 2) {
        verdict->cups_low_ph = verdict->cups_high_ph = cups[0].mean_ph;
        add_between(&scatter, *ret_count);
        free(cups);
        return scatter;
    }
    for (size_t i = 0; i < count; i++) {
        inverse_n += 1.0 / (double)(cups[i].end - cups[i].first) / (double)count;
        worst = cups[i].mean_ph > cups[worst].mean_ph ? i : worst;
        verdict->cups_low_ph = i == 0 ? cups[i].mean_ph : fmin(verdict->cups_low_ph, cups[i].mean_ph);
    }
    verdict->cups_high_ph = cups[worst].mean_ph;
    within = fmax(scatter.sd_ph, values[0].meter->resolution_ph / sqrt(12.0));
    between = variance_between(cups, count);
    apart = are_apart(cups, count, within);
    within *= within * inverse_n;
    if (apart) {
        flag_set(&verdict->flags, FLAG_CUPS_APART);
        *ret_count = cups[worst].end - cups[worst].first;
        memmove(values, &values[cups[worst].first], *ret_count * sizeof *values);
        set_scatter(&scatter, fmax(between, within), (double)count - 1.0, (double)*ret_count);
    } else if (between > within) {
        set_scatter(&scatter, between / (double)count, (double)count - 1.0, (double)*ret_count);
    } else {
        set_scatter(&scatter, within / (double)count, scatter.dof, (double)*ret_count);
    }
    free(cups);
    return scatter;
}

/* -- the result -- */

/* Mean, budget and interval of the values used. Without a value at the reference there is no interval. */
static enum status
measure(struct verdict *verdict, struct reading_value *values, size_t count, struct failure *failure)
{
    struct scatter scatter;
    enum status status;

    verdict->n = count;
    verdict->spread_ph = spread_over(values, count);
    scatter = join_cups(verdict, values, &count);
    verdict->ph = mean_over(values, count, shown_ph);
    verdict->ph_at_reference = mean_over(values, count, reference_ph);
    verdict->temperature_c = mean_over(values, count, temperature_c);
    for (size_t i = 0; i < count; i++) {
        verdict_remember(verdict, values[i].reading);
        verdict->drift_half_ph = fmax(verdict->drift_half_ph, values[i].drift_half_ph);
        verdict->departure_ph = fmax(verdict->departure_ph, values[i].departure_ph);
    }
    for (size_t i = 0; i < count; i++)
        if (values[i].reading == verdict->reading)
            verdict->calibration = values[i].calibration;
    if (verdict->n == 1)
        flag_set(&verdict->flags, FLAG_SINGLE_READING);
    if (verdict->scatter.assumed)
        flag_set(&verdict->flags, FLAG_SCATTER_ASSUMED);
    if (isnan(verdict->ph_at_reference))
        return STATUS_OK;
    if (verdict->ph_at_reference < verdict->usual_low_ph)
        flag_set(&verdict->flags, FLAG_BELOW_USUAL);
    status = budget_of(values, count, &scatter, &verdict->budget, failure);
    if (status != STATUS_OK)
        return status;
    verdict->u_ph = verdict->budget.total.standard_uncertainty;
    verdict->dof = verdict->budget.total.effective_dof;
    verdict->k = verdict->budget.total.coverage_factor;
    verdict->share_half_ph = verdict->budget.share_half_ph;
    verdict->half_ph = verdict->budget.total.expanded_uncertainty + verdict->share_half_ph;
    verdict->ph_low = verdict->ph_at_reference - verdict->half_ph;
    verdict->ph_high = verdict->ph_at_reference + verdict->half_ph;
    return STATUS_OK;
}

bool
verdict_meets(const struct verdict *verdict, const struct bounds *bounds)
{
    return verdict->reach_ph <= bounds->clear_ph && verdict->ph_at_reference >= bounds->usual_low_ph;
}

/* Rules 1 and 10, for values that can clear. */
static enum status
decide(struct verdict *verdict, struct failure *failure)
{
    const struct bounds bounds = {verdict->limit_ph, verdict->clear_ph, verdict->usual_low_ph};
    double whole_ph = verdict->ph_at_reference + verdict->departure_ph + verdict->share_half_ph;
    enum status status = uncertainty_probability_above(verdict->ph_at_reference, verdict->u_ph, verdict->dof,
                                                       verdict->limit_ph, &verdict->p_over_limit, failure);

    if (status == STATUS_OK)
        status = uncertainty_probability_above(whole_ph, verdict->u_ph, verdict->dof, verdict->clear_ph,
                                               &verdict->p_over_clear, failure);
    if (status != STATUS_OK)
        return status;
    verdict->reach_ph = whole_ph + student_t_quantile(VERDICT_CONFIDENCE, verdict->dof) * verdict->u_ph;
    if (verdict->p_over_limit >= VERDICT_LYE_HEAVY_AT_LEAST)
        verdict->verdict = VERDICT_LYE_HEAVY;
    else
        verdict->verdict = verdict_meets(verdict, &bounds) ? VERDICT_WITHIN : VERDICT_DOUBTFUL;
    if (verdict->cup_spread_ph > VERDICT_SCATTERED_PH) {
        flag_set(&verdict->flags, FLAG_SCATTERED);
        if (verdict->verdict == VERDICT_WITHIN)
            verdict->verdict = VERDICT_DOUBTFUL;
    }
    return STATUS_OK;
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
    return a->verdict != b->verdict ? a->verdict > b->verdict : a->reach_ph > b->reach_ph;
}

/* Rule 9: the readings that can clear, each meter's by themselves. */
static enum status
judge_each_meter(struct verdict *verdict, struct reading_value *values, size_t count, struct failure *failure)
{
    struct verdict worst = *verdict;
    size_t end;

    qsort(values, count, sizeof *values, compare_meters);
    for (size_t first = 0; first < count; first = end) {
        struct verdict one = *verdict;
        enum status status;

        for (end = first; end < count && values[end].meter == values[first].meter; end++)
            ;
        if (end - first < count)
            flag_set(&one.flags, FLAG_SEVERAL_METERS);
        status = measure(&one, &values[first], end - first, failure);
        if (status == STATUS_OK)
            status = decide(&one, failure);
        if (status != STATUS_OK)
            return status;
        if (first == 0 || worse(&one, &worst))
            worst = one;
    }
    *verdict = worst;
    return STATUS_OK;
}

/* Made with a calibrated meter and brought to the reference: only its water, what was left undissolved, a drift of the
 * meter or the distance from its buffers keep it from being judged. Such doubt leaves lye-heavy what is above the limit. */
static bool
is_placed(const struct reading_value *value)
{
    return !isnan(value->ph_at_reference) && !flag_is_set(value->flags, FLAG_METER_UNCHECKED) &&
           !flag_is_set(value->flags, FLAG_CALIBRATION_REFUSED);
}

/* Rule 3 for one reading; the worst of them is the one that is named. */
static enum status
speak_against(struct verdict *verdict, const struct reading_value *value, struct failure *failure)
{
    static const double two_sided = 1.96;
    static const struct scatter assumed = {
        .sd_ph = SCATTER_ASSUMED_PH, .dof = SCATTER_ASSUMED_DOF, .assumed = true}; /* its own would hide it */
    double u_ph = NAN, least_ph;
    enum verdict_word says = VERDICT_NOT_JUDGED;
    enum status status = budget_u_ph(value, 1, &assumed, &u_ph, failure);

    if (status != STATUS_OK)
        return status;
    least_ph = value->known_ph - value->below_ph - value->departure_ph - two_sided * u_ph;
    if (is_placed(value))
        least_ph = value->known_ph;
    if (least_ph > verdict->limit_ph)
        says = VERDICT_LYE_HEAVY;
    else if (value->known_ph > verdict->clear_ph - VERDICT_POOR_MARGIN_PH)
        says = VERDICT_DOUBTFUL;
    if (says <= VERDICT_NOT_JUDGED || says < verdict->verdict ||
        (says == verdict->verdict && value->known_ph <= verdict->raised_by_ph))
        return STATUS_OK;
    verdict->raised_by_bad_evidence = true;
    verdict->raised_by_ph = value->known_ph;
    if (says > verdict->verdict)
        verdict->p_over_limit = verdict->p_over_clear = NAN;
    verdict->verdict = says;
    return STATUS_OK;
}

/* Put those that are placed first, and give how many they are. */
static size_t
placed_first(struct reading_value *values, size_t count)
{
    size_t placed = 0;

    for (size_t i = 0; i < count; i++) {
        struct reading_value value = values[i];

        if (!is_placed(&value))
            continue;
        values[i] = values[placed];
        values[placed++] = value;
    }
    return placed;
}

/* What cannot be judged for its water, residue, drift or buffers alone is doubtful where it would be without that. */
static void
doubt_unjudged(struct verdict *verdict)
{
    verdict->unjudged_reach_ph = verdict->ph_at_reference + verdict->departure_ph + verdict->share_half_ph +
                                 student_t_quantile(VERDICT_CONFIDENCE, verdict->dof) * verdict->u_ph;
    if (verdict->unjudged_reach_ph > verdict->clear_ph && verdict->verdict == VERDICT_NOT_JUDGED)
        verdict->verdict = VERDICT_DOUBTFUL;
}

static enum status
judge_meter(struct verdict *verdict, struct reading_value *values, size_t count, size_t usable,
            struct failure *failure)
{
    struct reading_value *poor = memory_new(count - usable + 1, sizeof *poor);
    size_t placed = usable == 0 ? placed_first(values, count) : 0;
    enum status status;

    verdict->method = READING_METER;
    verdict->verdict = VERDICT_NOT_JUDGED;
    verdict->poor = usable == 0;
    for (size_t i = 0; i < count; i++) { /* those that can clear stand first */
        *(usable == 0 || i < usable ? &verdict->flags : &verdict->left_out_flags) |= values[i].flags;
        if (i >= usable)
            poor[i - usable] = values[i];
    }
    if (usable > 0 && usable < count) {
        verdict->left_out = count - usable;
        flag_set(&verdict->flags, FLAG_LEFT_OUT);
    }
    status = usable > 0 ? judge_each_meter(verdict, values, usable, failure)
                        : measure(verdict, values, placed > 0 ? placed : count, failure);
    for (size_t i = 0; status == STATUS_OK && i < count - usable; i++)
        status = speak_against(verdict, &poor[i], failure);
    if (status == STATUS_OK && placed > 0)
        doubt_unjudged(verdict);
    free(poor);
    return status;
}

enum status
verdict_by_meter(struct verdict *verdict, struct reading_valuer *valuer, size_t *ret_count,
                 struct failure *failure)
{
    size_t most = count_readings(verdict), usable = 0;
    struct reading_value *values = memory_new(most + 1, sizeof *values);
    enum status status = value_readings(verdict, valuer, values, ret_count, &usable, failure);

    if (status == STATUS_OK && *ret_count > 0)
        status = judge_meter(verdict, values, *ret_count, usable, failure);
    free(values);
    return status;
}
