/* verdict.c - what the readings of a bar say. */
#include "verdict.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "text.h"
#include "verdict_parts.h"

static const char *const words[] = {"within", "not-judged", "doubtful", "lye-heavy"};

const char *
verdict_word(enum verdict_word verdict)
{
    return words[verdict];
}

/* Is it of the same bar, labelled alike, in the same sitting? */
static bool
of_one_bar(const struct specimen *a, const struct specimen *b)
{
    return a->session_id == b->session_id && a->bar != NULL && b->bar != NULL &&
           bar_label_same(a->bar, b->bar);
}

bool
verdict_takes(const struct verdict *verdict, const struct reading *reading, enum reading_method method)
{
    const struct specimen *cup;

    if (reading->method != method || !reading_stands(reading))
        return false;
    if (reading->specimen_id == verdict->specimen->id)
        return true;
    cup = verdict->joined ? dossier_specimen(verdict->dossier, reading->specimen_id) : NULL;
    return cup != NULL && of_one_bar(cup, verdict->specimen);
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

/* Does what was said of a portion, 0 for its whole sitting, speak of this cup or one that is joined to it? */
static bool
speaks_of(const struct verdict *verdict, int64_t session_id, int64_t specimen_id)
{
    const struct specimen *cup;

    if (session_id != verdict->session->id)
        return false;
    if (specimen_id == 0 || specimen_id == verdict->specimen->id)
        return true;
    cup = verdict->joined ? dossier_specimen(verdict->dossier, specimen_id) : NULL;
    return cup != NULL && of_one_bar(cup, verdict->specimen);
}

bool
verdict_deviates(const struct verdict *verdict, const struct answer *answer)
{
    return answer->deviation != NULL && answer->superseded_by == 0 &&
           speaks_of(verdict, answer->session_id, answer->specimen_id);
}

static void
note_deviations(struct verdict *verdict)
{
    for (size_t i = 0; i < verdict->dossier->answer_count; i++)
        if (verdict_deviates(verdict, &verdict->dossier->answers[i]))
            flag_set(&verdict->flags, FLAG_DEVIATION);
}

/* The walk-through that the cup is part of was begun and not finished. */
static void
note_open_session(struct verdict *verdict)
{
    if (verdict->session->procedure_id != 0 && verdict->session->finished_at == MOMENT_NONE)
        flag_set(&verdict->flags, FLAG_SESSION_OPEN);
}

/* A walk-through's own steps say of the water and the solution what observations say elsewhere. */
static void
look_at_answers(struct verdict *verdict, bool *ret_stated)
{
    for (size_t i = 0; i < verdict->dossier->answer_count; i++) {
        const struct answer *answer = &verdict->dossier->answers[i];

        if (answer->session_id != verdict->session->id || answer->superseded_by != 0 ||
            answer->outcome != ANSWER_DONE || answer->step == NULL)
            continue;
        if (text_same(answer->step,
                      "boil-water")) /* "Boil distilled water ..." in every procedure that has it */
            *ret_stated = true;
        if (text_same(answer->step, "water-check") && !isnan(answer->value) &&
            !(answer->value >= VERDICT_WATER_LOW_PH && answer->value <= VERDICT_WATER_HIGH_PH))
            flag_set(&verdict->flags, FLAG_WATER_PH);
        if (text_same(answer->step, "look") && answer->text != NULL &&
            text_same(answer->text, "undissolved bits") &&
            speaks_of(verdict, answer->session_id, answer->specimen_id))
            flag_set(&verdict->flags, FLAG_UNDISSOLVED);
    }
}

/* Rule 2. */
static void
look_at_water(struct verdict *verdict)
{
    bool stated = false;
    uint64_t before = verdict->flags;

    for (size_t i = 0; i < verdict->dossier->observation_count; i++) {
        const struct observation *seen = &verdict->dossier->observations[i];

        if (!observation_stands(seen) || !speaks_of(verdict, seen->session_id, seen->specimen_id))
            continue;
        stated = stated || seen->kind == OBSERVATION_WATER;
        if (seen->kind == OBSERVATION_WATER && text_same(seen->word, "other"))
            flag_set(&verdict->flags, FLAG_WATER_OTHER);
        if (seen->kind == OBSERVATION_WATER_PH &&
            !(seen->value >= VERDICT_WATER_LOW_PH && seen->value <= VERDICT_WATER_HIGH_PH))
            flag_set(&verdict->flags, FLAG_WATER_PH);
        if (seen->kind == OBSERVATION_UNDISSOLVED && text_same(seen->word, "soap"))
            flag_set(&verdict->flags, FLAG_UNDISSOLVED);
    }
    look_at_answers(verdict, &stated);
    if (!stated)
        flag_set(&verdict->flags, FLAG_WATER_UNKNOWN);
    verdict->poor = verdict->flags != before;
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
        .half_ph = NAN,
        .reach_ph = NAN,
        .unjudged_reach_ph = NAN,
        .p_over_limit = NAN,
        .p_over_clear = NAN,
        .cups = 1,
        .cups_low_ph = NAN,
        .cups_high_ph = NAN,
        .free_naoh_low_pct = NAN,
        .free_naoh_high_pct = NAN,
        .reference_ph = NAN,
        .surface_low = NAN,
        .surface_high = NAN,
        .paper_low = NAN,
        .paper_high = NAN,
    };
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
    if (aid != NULL) {
        known->pool.between.squares += aid->between.squares;
        known->pool.between.dof += aid->between.dof;
    }
}

static void
forget(struct bench_knowledge *known)
{
    scatter_pool_clear(&known->pool);
    reading_valuer_clear(&known->valuer);
}

/* The latest of what stands of the cup or cups, and the first. */
static civil_time
cups_read_at(const struct verdict *verdict, civil_time *ret_first)
{
    civil_time latest = MOMENT_NONE;

    for (size_t i = 0; i < verdict->dossier->reading_count; i++) {
        const struct reading *reading = &verdict->dossier->readings[i];

        if (!verdict_takes(verdict, reading, reading->method))
            continue;
        if (latest == MOMENT_NONE || reading->taken_at < *ret_first)
            *ret_first = reading->taken_at;
        if (reading->taken_at > latest)
            latest = reading->taken_at;
    }
    return latest;
}

/* How its readings scatter; of several cups that are joined, those of the one that scatters most. */
static struct scatter
scatter_of_cups(const struct verdict *verdict, const struct scatter_pool *pool)
{
    struct scatter widest = scatter_of_specimen(pool, verdict->specimen->id);

    for (size_t i = 0; verdict->joined && i < verdict->dossier->specimen_count; i++) {
        const struct specimen *cup = &verdict->dossier->specimens[i];
        struct scatter scatter = scatter_of_specimen(pool, cup->id);

        if (of_one_bar(cup, verdict->specimen) && has_readings(verdict->dossier, cup->id) &&
            scatter.sd_ph > widest.sd_ph)
            widest = scatter;
    }
    return widest;
}

static enum status
judge(struct verdict *verdict, struct bench_knowledge *known, struct failure *failure)
{
    struct bounds bounds;
    civil_time first_at = MOMENT_NONE;
    size_t count = 0;
    enum status status;

    verdict->read_at = cups_read_at(verdict, &first_at);
    verdict->age_d = dossier_age_d(verdict->dossier, verdict->read_at);
    bounds = bounds_of(verdict->dossier, verdict->session, verdict->age_d);
    verdict->limit_ph = bounds.limit_ph;
    verdict->clear_ph = bounds.clear_ph;
    verdict->usual_low_ph = bounds.usual_low_ph;
    verdict->scatter = scatter_of_cups(verdict, &known->pool);
    look_at_water(verdict);
    if (verdict->read_at - first_at > CLOCK_DAY_S) {
        flag_set(&verdict->flags, FLAG_CUP_STOOD);
        verdict->poor = true;
    }
    status = verdict_by_meter(verdict, &known->valuer, &count, failure);
    if (status != STATUS_OK)
        return status;
    verdict_by_paper(verdict, known->aid, count > 0);
    if (verdict->session->limit_ph > LIMIT_PH_USUAL)
        flag_set(&verdict->flags, FLAG_LIMIT_RAISED);
    note_deviations(verdict);
    note_open_session(verdict);
    verdict_by_reference(verdict, known->aid);
    assert(verdict->reading != NULL); /* verdict_of_all() asks has_readings() first */
    verdict->gear = dossier_gear(verdict->dossier, verdict->reading->gear_id);
    return STATUS_OK;
}

static enum status
judge_specimen(struct bench_knowledge *known, const struct specimen *specimen, struct verdict *ret_verdict,
               struct failure *failure)
{
    const struct dossier *dossier = known->valuer.dossier;
    const struct session *session = dossier_session(dossier, specimen->session_id);
    struct verdict verdict;
    enum status status;

    if (session == NULL)
        return failure_set(failure, STATUS_MISSING, "batch '%s' has no such test portion",
                           dossier->batch.code);
    verdict = unknown(dossier, session, specimen);
    status = judge(&verdict, known, failure);
    if (status == STATUS_OK)
        *ret_verdict = verdict;
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

/* The list is sorted, so the latest session stands last. */
static void
find_worst(struct verdict_list *list)
{
    struct verdict_list latest = verdict_list_latest(list);

    list->worst = latest.verdicts[0].verdict;
    for (size_t i = 1; i < latest.count; i++)
        if (latest.verdicts[i].verdict > list->worst)
            list->worst = latest.verdicts[i].verdict;
}

enum status
verdict_of_all(const struct dossier *dossier, const struct verdict_aid *aid, struct verdict_list *ret_list,
               struct failure *failure)
{
    struct verdict_list list = {.verdicts = memory_new(dossier->specimen_count + 1, sizeof *list.verdicts)};
    struct bench_knowledge known;
    enum status status = STATUS_OK;

    know(&known, dossier, aid);
    for (size_t i = 0; status == STATUS_OK && i < dossier->specimen_count; i++) {
        const struct specimen *specimen = &dossier->specimens[i];

        if (!has_readings(dossier, specimen->id))
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

/* Is it the first of its bar's cups in the list, and are there more? */
static bool
first_of_several(const struct verdict_list *all, size_t index, bool *ret_several)
{
    *ret_several = false;
    for (size_t i = 0; i < all->count; i++) {
        if (i == index || !of_one_bar(all->verdicts[i].specimen, all->verdicts[index].specimen))
            continue;
        if (i < index)
            return false;
        *ret_several = true;
    }
    return true;
}

enum status
verdict_join_cups(const struct dossier *dossier, const struct verdict_aid *aid,
                  const struct verdict_list *all, struct verdict_list *ret_list, struct failure *failure)
{
    struct verdict_list list = {.verdicts = memory_new(all->count + 1, sizeof *list.verdicts)};
    struct bench_knowledge known;
    enum status status = STATUS_OK;

    know(&known, dossier, aid);
    for (size_t i = 0; status == STATUS_OK && i < all->count; i++) {
        struct verdict verdict = all->verdicts[i];
        bool several;

        if (!first_of_several(all, i, &several))
            continue;
        if (several) {
            verdict = unknown(dossier, verdict.session, verdict.specimen);
            verdict.joined = true;
            verdict.session_read_at = all->verdicts[i].session_read_at;
            status = judge(&verdict, &known, failure);
        }
        list.verdicts[list.count++] = verdict;
    }
    forget(&known);
    if (status != STATUS_OK) {
        verdict_list_clear(&list);
        return status;
    }
    *ret_list = list;
    return STATUS_OK;
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
