/* verdict.c - what the readings of a bar say. */
#include "verdict.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "soap.h"
#include "verdict_parts.h"

static const char *const words[] = {"within", "not-judged", "doubtful", "lye-heavy"};

const char *
verdict_word(enum verdict_word verdict)
{
    return words[verdict];
}

bool
verdict_takes(const struct reading *reading, int64_t specimen_id, enum reading_method method)
{
    return reading->specimen_id == specimen_id && reading->method == method && reading_stands(reading);
}

void
verdict_remember(struct verdict *verdict, const struct reading *reading)
{
    const struct reading *known = verdict->reading;

    if (known == NULL || reading->taken_at > known->taken_at ||
        (reading->taken_at == known->taken_at && reading->id > known->id))
        verdict->reading = reading;
}

static bool
has_readings(const struct dossier *dossier, int64_t specimen_id)
{
    for (size_t i = 0; i < dossier->reading_count; i++)
        if (reading_stands(&dossier->readings[i]) && dossier->readings[i].specimen_id == specimen_id)
            return true;
    return false;
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

/* Nothing the notebook says of it speaks against it: no hold, and no bar that ever was lye-heavy. */
static bool
is_sound(const struct verdict_list *reference)
{
    enum batch_state state = reference->verdicts[0].dossier->batch.state;
    bool sound = state != BATCH_HELD && state != BATCH_DISCARDED && reference->worst == VERDICT_WITHIN;

    for (size_t i = 0; i < reference->count; i++)
        sound = sound && reference->verdicts[i].verdict != VERDICT_LYE_HEAVY;
    return sound;
}

/* pH of a sound reference bar: the mean of its latest session, when all of that is within; and the largest of
 * its uncertainties. False when it is not sound. */
static bool
reference_of(const struct verdict_list *reference, double *ret_ph, double *ret_u_ph)
{
    struct verdict_list latest;
    double *values, u_ph = 0.0;

    if (reference == NULL || reference->count == 0 || !is_sound(reference))
        return false;
    latest = verdict_list_latest(reference);
    values = memory_new(latest.count, sizeof *values);
    for (size_t i = 0; i < latest.count; i++) {
        values[i] = latest.verdicts[i].ph_at_reference;
        u_ph = fmax(u_ph, latest.verdicts[i].u_ph);
    }
    *ret_ph = budget_mean(values, latest.count);
    *ret_u_ph = hypot(u_ph, VERDICT_BETWEEN_BATCHES_PH);
    free(values);
    return true;
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

    if (isnan(verdict->p_over_limit))
        return;
    if (aid != NULL && reference_of(aid->reference, &reading.reference_ph, &reading.u_reference_ph)) {
        verdict->reference = aid->reference->verdicts[0].dossier;
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

/* What the portions of one batch are judged with. */
struct bench_knowledge {
    const struct verdict_aid *aid; /* lent; NULL: nothing */
    struct scatter_pool pool;
    struct reading_valuer valuer;
};

static void
know(struct bench_knowledge *known, const struct dossier *dossier, const struct verdict_aid *aid)
{
    *known = (struct bench_knowledge){.aid = aid, .valuer = {.dossier = dossier}};
    scatter_pool_init(&known->pool, dossier);
}

static void
forget(struct bench_knowledge *known)
{
    scatter_pool_clear(&known->pool);
    reading_valuer_clear(&known->valuer);
}

static enum status
judge(struct verdict *verdict, struct bench_knowledge *known, struct failure *failure)
{
    size_t count = 0;
    enum status status;

    verdict->scatter = scatter_of_specimen(&known->pool, verdict->specimen->id);
    status = verdict_by_meter(verdict, &known->valuer, &count, failure);
    if (status != STATUS_OK)
        return status;
    verdict_by_paper(verdict, known->aid, count > 0);
    if (verdict->limit_ph > LIMIT_PH_USUAL)
        flag_set(&verdict->flags, FLAG_LIMIT_RAISED);
    doubt_scattered(verdict);
    note_deviations(verdict);
    note_open_sessions(verdict);
    add_free_alkali(verdict, known->aid);
    assert(verdict->reading != NULL); /* judge_specimen() asks has_readings() first */
    verdict->read_at = last_read_at(verdict->dossier, verdict->specimen->id);
    verdict->age_d = dossier_age_d(verdict->dossier, verdict->reading->taken_at);
    verdict->gear = dossier_gear(verdict->dossier, verdict->reading->gear_id);
    return STATUS_OK;
}

static enum status
judge_specimen(struct bench_knowledge *known, const struct specimen *specimen, struct verdict *ret_verdict,
               struct failure *failure)
{
    const struct dossier *dossier = known->valuer.dossier;
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
    status = judge(&verdict, known, failure);
    if (status == STATUS_OK)
        *ret_verdict = verdict;
    return status;
}

enum status
verdict_of_specimen(const struct dossier *dossier, const struct verdict_aid *aid, int64_t specimen_id,
                    struct verdict *ret_verdict, struct failure *failure)
{
    struct bench_knowledge known;
    enum status status;

    know(&known, dossier, aid);
    status = judge_specimen(&known, dossier_specimen(dossier, specimen_id), ret_verdict, failure);
    forget(&known);
    return status;
}

/* Give each verdict the time of the latest reading of its session. */
static void
time_sessions(struct verdict_list *list)
{
    for (size_t i = 0; i < list->count; i++)
        list->verdicts[i].session_read_at = list->verdicts[i].read_at;
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

struct verdict_list
verdict_list_latest(const struct verdict_list *all)
{
    size_t first = all->count;

    while (first > 0 && all->verdicts[first - 1].session == all->verdicts[all->count - 1].session)
        first--;
    return (struct verdict_list){
        .verdicts = all->verdicts + first, .count = all->count - first, .worst = all->worst};
}

/* Rule 7; the list is sorted, so the latest session stands last. */
static void
find_worst(struct verdict_list *list)
{
    struct verdict_list latest = verdict_list_latest(list);

    list->worst = latest.verdicts[0].verdict;
    for (size_t i = 1; i < latest.count; i++)
        if (latest.verdicts[i].verdict > list->worst)
            list->worst = latest.verdicts[i].verdict;
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
    struct bench_knowledge known;
    enum status status = STATUS_OK;

    know(&known, dossier, aid);
    for (size_t i = 0; status == STATUS_OK && i < dossier->specimen_count; i++) {
        const struct specimen *specimen = &dossier->specimens[i];

        if (!has_readings(dossier, specimen->id) || (session != NULL && specimen->session_id != session->id))
            continue;
        status = judge_specimen(&known, specimen, &list.verdicts[list.count], failure);
        list.count++;
    }
    forget(&known);
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
point_of(struct bench_knowledge *known, const struct reading *reading, struct verdict_point *ret_point,
         struct failure *failure)
{
    struct reading_value value = {0};
    struct scatter scatter;
    enum status status;

    *ret_point = (struct verdict_point){.ph_at_reference = NAN, .u_ph = NAN};
    if (reading->method != READING_METER || isnan(reading->ph))
        return STATUS_OK;
    status = reading_value_of(&known->valuer, reading, &value, failure);
    if (status != STATUS_OK)
        return status;
    ret_point->flags = value.flags;
    if (isnan(value.ph_at_reference))
        return STATUS_OK;
    scatter = scatter_of_specimen(&known->pool, reading->specimen_id);
    status = budget_u_ph(&value, 1, &scatter, &ret_point->u_ph, failure);
    if (status == STATUS_OK)
        ret_point->ph_at_reference = value.ph_at_reference;
    return status;
}

enum status
verdict_points(const struct dossier *dossier, struct verdict_point **ret_points, struct failure *failure)
{
    struct verdict_point *points = memory_new(dossier->reading_count + 1, sizeof *points);
    struct bench_knowledge known;
    enum status status = STATUS_OK;

    know(&known, dossier, NULL);
    for (size_t i = 0; status == STATUS_OK && i < dossier->reading_count; i++)
        status = point_of(&known, &dossier->readings[i], &points[i], failure);
    forget(&known);
    if (status == STATUS_OK)
        *ret_points = points;
    else
        free(points);
    return status;
}
