/* release.c - the states of a batch. */
#include "release.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "text.h"

static enum status
not_possible(const char *what, enum batch_state from, struct failure *failure)
{
    return failure_set(failure, STATUS_CONFLICT, "the batch is %s: it cannot be %s", batch_state_word(from),
                       what);
}

static enum status
after_release(enum batch_state from, const struct state_request *request, enum batch_state *ret_state,
              struct failure *failure)
{
    if (from != BATCH_IN_CURE && from != BATCH_HELD)
        return not_possible("released", from, failure);
    if (!request->evidence_met && !request->overridden)
        return failure_set(failure, STATUS_CONFLICT, "the evidence that the policy asks for is not there");
    *ret_state = BATCH_RELEASED;
    return STATUS_OK;
}

enum status
release_next_state(enum batch_state from, const struct state_request *request, enum batch_state *ret_state,
                   struct failure *failure)
{
    bool bad = request->verdict == VERDICT_DOUBTFUL || request->verdict == VERDICT_LYE_HEAVY;

    switch (request->cause) {
    case STATE_BY_HOLD:
        if (from != BATCH_IN_CURE && from != BATCH_RELEASED)
            return not_possible("held", from, failure);
        *ret_state = BATCH_HELD;
        return STATUS_OK;
    case STATE_BY_RELEASE:
        return after_release(from, request, ret_state, failure);
    case STATE_BY_DISCARD:
        if (from == BATCH_DISCARDED)
            return not_possible("discarded", from, failure);
        *ret_state = BATCH_DISCARDED;
        return STATUS_OK;
    case STATE_BY_RESULT:
    default:
        *ret_state = bad && from != BATCH_DISCARDED ? BATCH_HELD : from;
        return STATUS_OK;
    }
}

static void
add(struct release_check *check, const char *asked, bool met, char *found)
{
    check->items[check->count++] = (struct release_item){.asked = asked, .met = met, .found = found};
}

/* Does a bar stand in the way of a conclusion that is within? After a titration only one read since, and only
 * when it is worse than not judged (conclusion.h, rule 3). */
static bool
speaks_against(const struct conclusion *conclusion, const struct verdict *bar)
{
    if (conclusion->basis != CONCLUSION_TITRATION)
        return bar->verdict != VERDICT_WITHIN;
    return !conclusion_titrated_since(&conclusion->free_alkali, bar) && bar->verdict > VERDICT_NOT_JUDGED;
}

/* Is the conclusion within, and every bar of the latest day? */
static void
add_verdict(struct release_check *check, const struct conclusion *conclusion)
{
    const struct verdict_list *all = &conclusion->all;
    civil_day latest = DAY_NONE;
    const struct verdict *bad = NULL;
    char *text = conclusion_text(conclusion);

    for (size_t i = 0; i < all->count; i++)
        if (clock_day_of(all->verdicts[i].reading->taken_at) > latest)
            latest = clock_day_of(all->verdicts[i].reading->taken_at);
    for (size_t i = 0; i < all->count; i++)
        if (clock_day_of(all->verdicts[i].reading->taken_at) == latest &&
            speaks_against(conclusion, &all->verdicts[i]))
            bad = &all->verdicts[i];
    if (conclusion->verdict != VERDICT_WITHIN || bad == NULL) {
        add(check, "the latest verdict is within", conclusion->verdict == VERDICT_WITHIN, text);
        return;
    }
    free(text);
    add(check, "the latest verdict is within", false,
        text_format("another bar of the same day is %s (test portion %lld)", verdict_word(bad->verdict),
                    (long long)bad->specimen->id));
}

/* Days before its reading that the calibration of a bar was made; more than any when there is no good one. */
static double
calibration_age_d(const struct verdict *bar)
{
    if (bar->calibration == NULL || flag_is_set(bar->flags, FLAG_METER_UNCHECKED) ||
        flag_is_set(bar->flags, FLAG_CALIBRATION_REFUSED))
        return INFINITY;
    return (double)(bar->reading->taken_at - bar->calibration->taken_at) / 86400.0;
}

static void
add_meter(struct release_check *check, const struct conclusion *conclusion)
{
    static const char asked[] = "on a checked meter, or by titration";
    double oldest_d = 0.0;
    size_t unchecked = 0;

    if (conclusion->basis == CONCLUSION_TITRATION || conclusion->ph.count == 0) {
        bool titrated = conclusion->basis == CONCLUSION_TITRATION;

        add(check, asked, titrated, memory_copy(titrated ? "by titration" : "not tested yet"));
        return;
    }
    for (size_t i = 0; i < conclusion->ph.count; i++) {
        double age_d = calibration_age_d(&conclusion->ph.verdicts[i]);

        unchecked += isinf(age_d) ? 1 : 0;
        oldest_d = fmax(oldest_d, age_d);
    }
    if (unchecked > 0)
        add(check, asked, false,
            text_format("%zu of %zu bars without a good calibration on record", unchecked,
                        conclusion->ph.count));
    else if (floor(oldest_d) > RELEASE_CALIBRATION_DAYS)
        add(check, asked, false,
            text_format("%s, calibrated %.0f days before; asked are at most %d",
                        conclusion->ph.verdicts[0].gear->name, floor(oldest_d), RELEASE_CALIBRATION_DAYS));
    else
        add(check, asked, true, memory_copy(conclusion->ph.verdicts[0].gear->name));
}

/* A lower pH does not take a lye-heavy one back, nor does time. */
static void
add_earlier(struct release_check *check, const struct conclusion *conclusion)
{
    static const char asked[] = "no earlier lye-heavy test stands";
    const struct verdict *failure = conclusion_earlier_failure(conclusion);
    char *bar;

    if (failure == NULL) {
        add(check, asked, true, memory_copy("none"));
        return;
    }
    bar = conclusion_bar_text(failure);
    add(check, asked, false,
        text_format("session %lld was %s; a titration since that says within takes it back",
                    (long long)failure->session->id, bar));
    free(bar);
}

static bool
spoilt(const struct verdict_list *all, int age_d)
{
    for (size_t i = 0; i < all->count; i++)
        if (all->verdicts[i].age_d == age_d && all->verdicts[i].verdict > VERDICT_NOT_JUDGED)
            return true;
    return false;
}

/* Was a bar of this age read after a titration of it, and worse than not judged? */
static bool
spoilt_since(const struct verdict_list *all, const struct free_alkali_result *titrated)
{
    for (size_t i = 0; i < all->count; i++)
        if (all->verdicts[i].age_d == titrated->age_d && all->verdicts[i].verdict > VERDICT_NOT_JUDGED &&
            !conclusion_comes_after(titrated, &all->verdicts[i]))
            return true;
    return false;
}

/* Different ages at which every reading that could be judged, or a titration, was within. One bad bar of an age
 * spoils it. */
static size_t
ages_within(const struct verdict_list *all, const struct free_alkali *free_alkali)
{
    int *ages = memory_new(all->count + free_alkali->count + 1, sizeof *ages);
    size_t found = 0, different = 0;

    for (size_t i = 0; i < all->count; i++)
        if (all->verdicts[i].verdict == VERDICT_WITHIN && !spoilt(all, all->verdicts[i].age_d))
            ages[found++] = all->verdicts[i].age_d;
    for (size_t i = 0; i < free_alkali->count; i++)
        if (free_alkali->results[i].figures.band == TITRATION_WITHIN &&
            !spoilt_since(all, &free_alkali->results[i]))
            ages[found++] = free_alkali->results[i].age_d;
    for (size_t i = 0; i < found; i++) {
        bool new = true;

        for (size_t j = 0; j < i; j++)
            new = new &&ages[j] != ages[i];
        different += new ? 1 : 0;
    }
    free(ages);
    return different;
}

static bool
rests_on(const struct conclusion *conclusion, int64_t session_id)
{
    if (conclusion->free_alkali.count > 0 && conclusion->free_alkali.current->first->session_id == session_id)
        return true;
    for (size_t i = 0; i < conclusion->ph.count; i++)
        if (conclusion->ph.verdicts[i].session->id == session_id)
            return true;
    return false;
}

static void
add_deviations(struct release_check *check, const struct dossier *dossier,
               const struct conclusion *conclusion)
{
    static const char asked[] = "what was not done as written has a reason";
    size_t unexplained = 0;
    const char *first = NULL;

    for (size_t i = 0; i < dossier->session_count; i++) {
        if (dossier->sessions[i].finished_at == MOMENT_NONE) {
            add(check, asked, false,
                text_format("session %lld is not finished", (long long)dossier->sessions[i].id));
            return;
        }
    }
    for (size_t i = 0; i < dossier->answer_count; i++) {
        const struct answer *answer = &dossier->answers[i];

        if (answer->deviation == NULL || answer->why != NULL || answer->superseded_by != 0 ||
            !rests_on(conclusion, answer->session_id))
            continue;
        first = unexplained++ == 0 ? answer->step : first;
    }
    add(check, asked, unexplained == 0,
        unexplained == 0 ? memory_copy("nothing open")
                         : text_format("%zu without a reason, the first at step '%s'", unexplained, first));
}

static void
add_titration(struct release_check *check, const struct dossier *dossier, const struct conclusion *conclusion)
{
    const struct free_alkali *free_alkali = &conclusion->free_alkali;
    const char *asked = dossier->batch.parent_id != 0 ? "a reworked batch: a titration says within"
                                                      : "a titration says within";

    if (free_alkali->count == 0)
        add(check, asked, false, memory_copy("not titrated"));
    else
        add(check, asked, free_alkali->current->figures.band == TITRATION_WITHIN,
            text_format("%.3f %% free NaOH, %s", free_alkali->current->figures.free_naoh_pct,
                        titration_band_name(free_alkali->current->figures.band)));
}

void
release_check_of(const struct dossier *dossier, const struct conclusion *conclusion,
                 const struct policy *policy, civil_day today, struct release_check *ret_check)
{
    struct release_check check = {.met = true};
    int age_d = today - dossier->batch.made_on;

    add_verdict(&check, conclusion);
    add_earlier(&check, conclusion);
    if (policy->checked_meter)
        add_meter(&check, conclusion);
    if (policy->ages > 0) {
        size_t ages = ages_within(&conclusion->all, &conclusion->free_alkali);

        add(&check, "within at enough different ages", ages >= (size_t)policy->ages,
            text_format("%zu, asked are %d", ages, policy->ages));
    }
    if (policy->deviations_explained)
        add_deviations(&check, dossier, conclusion);
    if (policy->titration || dossier->batch.parent_id != 0)
        add_titration(&check, dossier, conclusion);
    if (policy->cure_days > 0)
        add(&check, "old enough", age_d >= policy->cure_days,
            text_format("%d days, asked are %d", age_d, policy->cure_days));
    if (dossier->batch.role == BATCH_LYE_HEAVY)
        add(&check, "not made lye-heavy on purpose", false, memory_copy("its role is lye-heavy"));
    for (size_t i = 0; i < check.count; i++)
        check.met = check.met && check.items[i].met;
    *ret_check = check;
}

void
release_check_clear(struct release_check *check)
{
    for (size_t i = 0; i < check->count; i++)
        free(check->items[i].found);
    *check = (struct release_check){0};
}
