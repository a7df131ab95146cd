/* verdict.c - what the readings of a bar say. */
#include "verdict.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "at_reference.h"
#include "memory.h"
#include "soap.h"

static const char *const words[] = {"within", "not-judged", "doubtful", "lye-heavy"};

const char *
verdict_word(enum verdict_word verdict)
{
    return words[verdict];
}

static bool
belongs(const struct reading *reading, int64_t specimen_id, enum reading_method method)
{
    return reading->specimen_id == specimen_id && reading->method == method && reading_stands(reading);
}

/* How many meter readings of the specimen stand. */
static size_t
count_readings(const struct dossier *dossier, int64_t specimen_id)
{
    size_t count = 0;

    for (size_t i = 0; i < dossier->reading_count; i++)
        count += belongs(&dossier->readings[i], specimen_id, READING_METER) ? 1 : 0;
    return count;
}

static bool
has_readings(const struct dossier *dossier, int64_t specimen_id)
{
    for (size_t i = 0; i < dossier->reading_count; i++)
        if (reading_stands(&dossier->readings[i]) && dossier->readings[i].specimen_id == specimen_id)
            return true;
    return false;
}

/* Keep the latest reading as the one whose gear and calibration are named. */
static void
remember_latest(struct verdict *verdict, const struct reading *reading)
{
    const struct reading *known = verdict->reading;

    if (known == NULL || reading->taken_at > known->taken_at ||
        (reading->taken_at == known->taken_at && reading->id > known->id))
        verdict->reading = reading;
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
value_readings(const struct dossier *dossier, int64_t specimen_id, struct reading_value *values,
               size_t *ret_count, size_t *ret_usable, struct failure *failure)
{
    size_t count = 0, usable = 0;

    for (size_t i = 0; i < dossier->reading_count; i++) {
        struct reading_value value = {0};
        enum status status;

        if (!belongs(&dossier->readings[i], specimen_id, READING_METER))
            continue;
        status = reading_value_of(dossier, &dossier->readings[i], &value, failure);
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
        remember_latest(verdict, values[i].reading);
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

/* Rule 3. */
static void
never_soften(struct verdict *verdict, const struct reading_value *values, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        if ((values[i].usable && !values[i].beyond) || !(values[i].highest_ph > verdict->limit_ph) ||
            verdict->verdict == VERDICT_LYE_HEAVY)
            continue;
        verdict->verdict = VERDICT_LYE_HEAVY;
        verdict->raised_by_bad_evidence = true;
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
    for (size_t i = 0; i < count; i++)
        verdict->flags |= values[i].flags;
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

    paper_bias_apply(bias, reading->ph_low, reading->ph_high, ret_low, ret_high);
    if (at_reference(reading->temperature_c, verdict->concentration_pct, &shift, &ignored) != STATUS_OK)
        return;
    by_ph = shift.temperature_ph + shift.concentration_ph;
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

        if (!belongs(reading, verdict->specimen->id, READING_PAPER))
            continue;
        paper_range(verdict, bias, reading, &low, &high);
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

        if (!belongs(reading, verdict->specimen->id, READING_PAPER))
            continue;
        remember_latest(verdict, reading);
        temperatures[count++] = reading->temperature_c;
    }
    verdict->temperature_c = budget_mean(temperatures, count);
    free(temperatures);
    reading_value_flag_conditions(verdict->temperature_c, verdict->concentration_pct, &verdict->flags);
}

/* Rule 5, first part. */
static void
judge_paper(struct verdict *verdict, size_t count)
{
    verdict->method = READING_PAPER;
    verdict->n = count;
    verdict->ph_low = verdict->paper_low;
    verdict->ph_high = verdict->paper_high;
    verdict->verdict = verdict->ph_high >= verdict->limit_ph ? VERDICT_DOUBTFUL : VERDICT_NOT_JUDGED;
    flag_set(&verdict->flags, FLAG_PAPER_ONLY);
    describe_paper(verdict);
    if (verdict->ph_high < VERDICT_USUAL_LOW_PH)
        flag_set(&verdict->flags, FLAG_BELOW_USUAL);
}

/* Rule 5, second part: each paper reading by itself, so that a low one beside it hides nothing. */
static void
compare_paper(struct verdict *verdict, const struct verdict_aid *aid)
{
    double meter_high = isnan(verdict->ph_high) ? verdict->ph : verdict->ph_high;

    for (size_t i = 0; i < verdict->dossier->reading_count; i++) {
        const struct reading *reading = &verdict->dossier->readings[i];
        double low = NAN, high = NAN;

        if (!belongs(reading, verdict->specimen->id, READING_PAPER))
            continue;
        paper_range(verdict, bias_of(aid, reading->gear_id), reading, &low, &high);
        if (low > meter_high)
            flag_set(&verdict->flags, FLAG_PAPER_HIGHER);
        if (high >= verdict->limit_ph && (verdict->verdict == VERDICT_NOT_JUDGED ||
                                          (verdict->verdict == VERDICT_WITHIN && low > meter_high))) {
            verdict->verdict = VERDICT_DOUBTFUL;
            verdict->raised_by_paper = true;
        }
    }
}

bool
verdict_deviates(const struct verdict *verdict, const struct answer *answer)
{
    return answer->deviation != NULL && answer->superseded_by == 0 &&
           answer->session_id == verdict->session->id &&
           (answer->specimen_id == 0 || answer->specimen_id == verdict->specimen->id);
}

static void
note_deviations(struct verdict *verdict)
{
    for (size_t i = 0; i < verdict->dossier->answer_count; i++)
        if (verdict_deviates(verdict, &verdict->dossier->answers[i]))
            flag_set(&verdict->flags, FLAG_DEVIATION);
}

/* A walk-through of this session or a later one that was begun and not finished. */
static void
note_open_sessions(struct verdict *verdict)
{
    for (size_t i = 0; i < verdict->dossier->session_count; i++) {
        const struct session *session = &verdict->dossier->sessions[i];

        if (session->finished_at == MOMENT_NONE && session->started_at >= verdict->session->started_at)
            flag_set(&verdict->flags, FLAG_SESSION_OPEN);
    }
}

/* pH of a sound reference bar: the mean of its latest session, when all of that is within; and the largest of
 * its uncertainties. False when it is not sound. */
static bool
reference_of(const struct dossier *reference, double *ret_ph, double *ret_u_ph)
{
    struct verdict_list list = {0};
    struct failure ignored = {0};
    double *values, u_ph = 0.0;
    bool sound;

    if (reference == NULL || verdict_of_batch(reference, NULL, &list, &ignored) != STATUS_OK)
        return false;
    sound = list.worst == VERDICT_WITHIN;
    values = memory_new(list.count + 1, sizeof *values);
    for (size_t i = 0; i < list.count; i++) {
        values[i] = list.verdicts[i].ph_at_reference;
        u_ph = fmax(u_ph, list.verdicts[i].u_ph);
    }
    *ret_ph = budget_mean(values, list.count);
    *ret_u_ph = hypot(u_ph, VERDICT_BETWEEN_BATCHES_PH);
    free(values);
    verdict_list_clear(&list);
    return sound;
}

/* Free alkali, where the verdict rests on a measured pH. What cannot be computed stays unsaid. */
static void
add_free_alkali(struct verdict *verdict, const struct verdict_aid *aid)
{
    struct soap_reading reading = {.ph = verdict->ph_at_reference,
                                   .u_ph = verdict->u_ph,
                                   .reference_ph = NAN,
                                   .u_reference_ph = NAN,
                                   .temperature_c = REFERENCE_TEMPERATURE_C,
                                   .concentration_pct = REFERENCE_CONCENTRATION_PCT};
    struct soap_free_naoh free_naoh = {0};
    struct failure ignored = {0};

    if (isnan(verdict->p_over_limit) || (aid != NULL && aid->ph_alone))
        return;
    if (aid != NULL && reference_of(aid->reference, &reading.reference_ph, &reading.u_reference_ph)) {
        verdict->reference = aid->reference;
        verdict->reference_ph = reading.reference_ph;
    } else {
        reading.reference_ph = NAN;
    }
    if (soap_free_naoh_pct(&reading, &free_naoh, &ignored) != STATUS_OK)
        return;
    verdict->free_naoh_low_pct = free_naoh.low_pct;
    verdict->free_naoh_high_pct = free_naoh.high_pct;
}

static struct verdict
unknown(const struct dossier *dossier, const struct session *session, const struct specimen *specimen)
{
    return (struct verdict){
        .dossier = dossier,
        .session = session,
        .specimen = specimen,
        .ph = NAN,
        .ph_at_reference = NAN,
        .u_ph = NAN,
        .dof = NAN,
        .k = NAN,
        .ph_low = NAN,
        .ph_high = NAN,
        .temperature_c = NAN,
        .concentration_pct = specimen_concentration_pct(specimen),
        .limit_ph = session->limit_ph,
        .p_over_limit = NAN,
        .free_naoh_low_pct = NAN,
        .free_naoh_high_pct = NAN,
        .reference_ph = NAN,
        .paper_low = NAN,
        .paper_high = NAN,
    };
}

/* Replicates that do not agree are no measurement of the bar, however far their mean lies below the limit. */
static void
doubt_scattered(struct verdict *verdict)
{
    if (verdict->method != READING_METER || !(verdict->spread_ph > VERDICT_SCATTERED_PH))
        return;
    flag_set(&verdict->flags, FLAG_SCATTERED);
    if (verdict->verdict == VERDICT_WITHIN)
        verdict->verdict = VERDICT_DOUBTFUL;
}

static enum status
judge(struct verdict *verdict, const struct verdict_aid *aid, const struct scatter_pool *pool,
      struct failure *failure)
{
    size_t most = count_readings(verdict->dossier, verdict->specimen->id);
    struct reading_value *values = memory_new(most + 1, sizeof *values);
    size_t count = 0, usable = 0, papers = 0;
    enum status status =
        value_readings(verdict->dossier, verdict->specimen->id, values, &count, &usable, failure);

    verdict->scatter = scatter_of_specimen(pool, verdict->specimen->id);
    if (status == STATUS_OK && count > 0)
        status = judge_meter(verdict, values, count, usable, failure);
    free(values);
    if (status != STATUS_OK)
        return status;
    range_of_paper(verdict, aid, &papers);
    if (count > 0 && papers > 0)
        compare_paper(verdict, aid);
    else if (papers > 0)
        judge_paper(verdict, papers);
    doubt_scattered(verdict);
    note_deviations(verdict);
    note_open_sessions(verdict);
    add_free_alkali(verdict, aid);
    assert(verdict->reading != NULL); /* judge_specimen() asks has_readings() first */
    verdict->age_d = dossier_age_d(verdict->dossier, verdict->reading->taken_at);
    verdict->gear = dossier_gear(verdict->dossier, verdict->reading->gear_id);
    return STATUS_OK;
}

static enum status
judge_specimen(const struct dossier *dossier, const struct verdict_aid *aid, const struct scatter_pool *pool,
               const struct specimen *specimen, struct verdict *ret_verdict, struct failure *failure)
{
    const struct session *session = specimen != NULL ? dossier_session(dossier, specimen->session_id) : NULL;
    struct verdict verdict;
    enum status status;

    if (session == NULL)
        return failure_set(failure, STATUS_MISSING, "batch '%s' has no such test portion",
                           dossier->batch.code);
    if (!has_readings(dossier, specimen->id))
        return failure_set(failure, STATUS_MISSING, "batch '%s': test portion number %lld has no reading",
                           dossier->batch.code, (long long)specimen->id);
    verdict = unknown(dossier, session, specimen);
    status = judge(&verdict, aid, pool, failure);
    if (status == STATUS_OK)
        *ret_verdict = verdict;
    return status;
}

enum status
verdict_of_specimen(const struct dossier *dossier, const struct verdict_aid *aid, int64_t specimen_id,
                    struct verdict *ret_verdict, struct failure *failure)
{
    struct scatter_pool pool = {0};
    enum status status;

    scatter_pool_init(&pool, dossier);
    status =
        judge_specimen(dossier, aid, &pool, dossier_specimen(dossier, specimen_id), ret_verdict, failure);
    scatter_pool_clear(&pool);
    return status;
}

/* When the portion was last read. */
static civil_time
last_read_at(const struct dossier *dossier, int64_t specimen_id)
{
    civil_time latest = MOMENT_NONE;

    for (size_t i = 0; i < dossier->reading_count; i++)
        if (reading_stands(&dossier->readings[i]) && dossier->readings[i].specimen_id == specimen_id &&
            dossier->readings[i].taken_at > latest)
            latest = dossier->readings[i].taken_at;
    return latest;
}

/* Give each verdict the time of the latest reading of its session. */
static void
time_sessions(struct verdict_list *list)
{
    for (size_t i = 0; i < list->count; i++)
        list->verdicts[i].session_read_at =
            last_read_at(list->verdicts[i].dossier, list->verdicts[i].specimen->id);
    for (size_t i = 0; i < list->count; i++)
        for (size_t j = 0; j < list->count; j++)
            if (list->verdicts[j].session == list->verdicts[i].session &&
                list->verdicts[j].session_read_at > list->verdicts[i].session_read_at)
                list->verdicts[i].session_read_at = list->verdicts[j].session_read_at;
}

/* By the session's latest reading, session, specimen. */
static int
compare_verdicts(const void *a, const void *b)
{
    const struct verdict *x = a, *y = b;

    if (x->session_read_at != y->session_read_at)
        return x->session_read_at < y->session_read_at ? -1 : 1;
    if (x->session->id != y->session->id)
        return x->session->id < y->session->id ? -1 : 1;
    return (x->specimen->id > y->specimen->id) - (x->specimen->id < y->specimen->id);
}

/* Rule 7; the list is sorted, so the latest session stands last. */
static void
find_worst(struct verdict_list *list)
{
    size_t last = list->count - 1;

    list->worst = list->verdicts[last].verdict;
    for (size_t i = last; i > 0 && list->verdicts[i - 1].session == list->verdicts[last].session; i--)
        if (list->verdicts[i - 1].verdict > list->worst)
            list->worst = list->verdicts[i - 1].verdict;
}

/* The session that was read last, as compare_verdicts() orders them; NULL when nothing that stands was read, or when
 * a session is missing in a damaged record. */
static const struct session *
latest_session(const struct dossier *dossier)
{
    const struct session *latest = NULL;
    civil_time latest_at = MOMENT_NONE;

    for (size_t i = 0; i < dossier->specimen_count; i++) {
        const struct specimen *specimen = &dossier->specimens[i];
        const struct session *session = dossier_session(dossier, specimen->session_id);
        civil_time read_at;

        if (!has_readings(dossier, specimen->id))
            continue;
        if (session == NULL)
            return NULL;
        read_at = last_read_at(dossier, specimen->id);
        if (latest == NULL || read_at > latest_at || (read_at == latest_at && session->id > latest->id)) {
            latest = session;
            latest_at = read_at;
        }
    }
    return latest;
}

/* All specimens, or those of one session. */
static enum status
judge_list(const struct dossier *dossier, const struct verdict_aid *aid, const struct session *session,
           struct verdict_list *ret_list, struct failure *failure)
{
    struct verdict_list list = {.verdicts = memory_new(dossier->specimen_count + 1, sizeof *list.verdicts)};
    struct scatter_pool pool = {0};
    enum status status = STATUS_OK;

    scatter_pool_init(&pool, dossier);
    for (size_t i = 0; status == STATUS_OK && i < dossier->specimen_count; i++) {
        const struct specimen *specimen = &dossier->specimens[i];

        if (!has_readings(dossier, specimen->id) || (session != NULL && specimen->session_id != session->id))
            continue;
        status = judge_specimen(dossier, aid, &pool, specimen, &list.verdicts[list.count], failure);
        list.count++;
    }
    scatter_pool_clear(&pool);
    if (status == STATUS_OK && list.count == 0)
        status = failure_set(failure, STATUS_MISSING, "batch '%s' has no readings yet", dossier->batch.code);
    if (status != STATUS_OK) {
        verdict_list_clear(&list);
        return status;
    }
    time_sessions(&list);
    qsort(list.verdicts, list.count, sizeof *list.verdicts, compare_verdicts);
    find_worst(&list);
    *ret_list = list;
    return STATUS_OK;
}

enum status
verdict_of_all(const struct dossier *dossier, const struct verdict_aid *aid, struct verdict_list *ret_list,
               struct failure *failure)
{
    return judge_list(dossier, aid, NULL, ret_list, failure);
}

enum status
verdict_of_batch(const struct dossier *dossier, const struct verdict_aid *aid, struct verdict_list *ret_list,
                 struct failure *failure)
{
    const struct session *latest = latest_session(dossier);

    if (latest == NULL) /* which says why */
        return verdict_of_all(dossier, aid, ret_list, failure);
    return judge_list(dossier, aid, latest, ret_list, failure);
}

void
verdict_list_clear(struct verdict_list *list)
{
    if (list == NULL)
        return;
    free(list->verdicts);
    *list = (struct verdict_list){0};
}

static enum status
point_of(const struct dossier *dossier, const struct scatter_pool *pool, const struct reading *reading,
         struct verdict_point *ret_point, struct failure *failure)
{
    struct reading_value value = {0};
    struct scatter scatter;
    enum status status;

    *ret_point = (struct verdict_point){.ph_at_reference = NAN, .u_ph = NAN};
    if (reading->method != READING_METER || isnan(reading->ph))
        return STATUS_OK;
    status = reading_value_of(dossier, reading, &value, failure);
    if (status != STATUS_OK)
        return status;
    ret_point->flags = value.flags;
    if (isnan(value.ph_at_reference))
        return STATUS_OK;
    scatter = scatter_of_specimen(pool, reading->specimen_id);
    status = budget_u_ph(&value, 1, &scatter, &ret_point->u_ph, failure);
    if (status == STATUS_OK)
        ret_point->ph_at_reference = value.ph_at_reference;
    return status;
}

enum status
verdict_points(const struct dossier *dossier, struct verdict_point **ret_points, struct failure *failure)
{
    struct verdict_point *points = memory_new(dossier->reading_count + 1, sizeof *points);
    struct scatter_pool pool = {0};
    enum status status = STATUS_OK;

    scatter_pool_init(&pool, dossier);
    for (size_t i = 0; status == STATUS_OK && i < dossier->reading_count; i++)
        status = point_of(dossier, &pool, &dossier->readings[i], &points[i], failure);
    scatter_pool_clear(&pool);
    if (status == STATUS_OK)
        *ret_points = points;
    else
        free(points);
    return status;
}
