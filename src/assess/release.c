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
    if (from != BATCH_IN_CURE && from != BATCH_HELD && !(from == BATCH_RELEASED && request->by_old_rule))
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
        bad = bad || (from == BATCH_RELEASED && request->verdict == VERDICT_NOT_JUDGED);
        *ret_state = bad && from != BATCH_DISCARDED ? BATCH_HELD : from;
        return STATUS_OK;
    }
}

static void
add(struct release_check *check, const char *asked, bool met, char *found)
{
    check->items[check->count++] = (struct release_item){.asked = asked, .met = met, .found = found};
}

static void
add_verdict(struct release_check *check, const struct conclusion *conclusion)
{
    add(check, "the verdict is within, by every bar", conclusion->verdict == VERDICT_WITHIN,
        conclusion_text(conclusion));
}

/* Age at which the second bar was titrated within, from day 7 on; -1: fewer. */
static int
two_titrated_d(const struct conclusion *conclusion)
{
    size_t found = 0;
    int oldest_d = -1;

    for (size_t i = 0; i < conclusion->bar_count; i++) {
        const struct free_alkali_result *titration = conclusion->bars[i].titration;

        if (titration == NULL || bar_titration_word(&titration->figures) != VERDICT_WITHIN ||
            titration->age_d < RELEASE_TITRATION_AGE_D)
            continue;
        found++;
        oldest_d = titration->age_d > oldest_d ? titration->age_d : oldest_d;
    }
    return found >= 2 ? oldest_d : -1;
}

/* Rule 5: was nothing tested at 28 days or more, so that two titrated bars speak for others that are within by then? */
static bool
tested_young_only(const struct conclusion *conclusion)
{
    for (size_t i = 0; i < conclusion->sittings.count; i++)
        if (conclusion->sittings.verdicts[i].age_d >= CLEAR_RIPE_AGE_D)
            return false;
    for (size_t i = 0; i < conclusion->free_alkali.count; i++)
        if (conclusion->free_alkali.results[i].age_d >= CLEAR_RIPE_AGE_D)
            return false;
    return true;
}

/* Rule 4: every bar against the bound of day 28. */
static void
add_bars(struct release_check *check, const struct conclusion *conclusion)
{
    static const char asked[] = "every bar is within by the bound of day 28";
    bool young_may = two_titrated_d(conclusion) >= 0 && tested_young_only(conclusion);

    for (size_t i = 0; i < conclusion->bar_count; i++) {
        const struct bar_standing *bar = &conclusion->bars[i];
        char *label;

        if (bar->meets_release ||
            (!bar->judged && bar->unjudged == NULL && bar->verdict <= VERDICT_NOT_JUDGED) ||
            (bar->verdict == VERDICT_WITHIN && young_may))
            continue;
        label = bar_name(bar->bar, BAR_NO_LABEL);
        if (bar->last != NULL && bar->verdict == VERDICT_WITHIN)
            add(check, asked, false,
                text_format("%s was read at %d days, and pH %.2f clears it only until day 28", label,
                            bar->last->age_d, bar->last->ph_at_reference));
        else
            add(check, asked, false, text_format("%s is %s", label, verdict_word(bar->verdict)));
        free(label);
        return;
    }
    add(check, asked, conclusion->bar_count > 0,
        conclusion->bar_count > 0 ? text_format("%zu", conclusion->bar_count)
                                  : memory_copy("not tested yet"));
}

/* Age of the oldest judged sitting that is within. */
static int
oldest_within_d(const struct conclusion *conclusion)
{
    int oldest_d = -1;

    for (size_t i = 0; i < conclusion->sittings.count; i++) {
        const struct verdict *cup = &conclusion->sittings.verdicts[i];

        if (!cup->poor && cup->verdict == VERDICT_WITHIN && cup->age_d > oldest_d)
            oldest_d = cup->age_d;
    }
    return oldest_d;
}

bool
release_old_enough(const struct conclusion *conclusion, int least_d)
{
    return two_titrated_d(conclusion) >= 0 || oldest_within_d(conclusion) >= least_d;
}

/* Rule 5. */
static void
add_age(struct release_check *check, const struct conclusion *conclusion, int least_d)
{
    static const char asked[] = "a judged sitting that is old enough, or two bars titrated";
    int read_d = oldest_within_d(conclusion), titrated_d = two_titrated_d(conclusion);

    if (titrated_d >= 0)
        add(check, asked, true, text_format("two bars titrated, at %d days", titrated_d));
    else if (read_d >= 0)
        add(check, asked, read_d >= least_d, text_format("within at %d days, asked are %d", read_d, least_d));
    else
        add(check, asked, false, text_format("none is within, asked are %d days", least_d));
}

/* Days before its reading that the calibration of a bar was made; more than any when there is no good one. */
static double
calibration_age_d(const struct verdict *bar)
{
    if (bar->calibration == NULL || flag_is_set(bar->flags, FLAG_METER_UNCHECKED) ||
        flag_is_set(bar->flags, FLAG_CALIBRATION_REFUSED))
        return INFINITY;
    return clock_days_between(bar->calibration->taken_at, bar->reading->taken_at);
}

/* The judged sittings that speak for the bars: what was read later and not judged takes nothing from them. A bar that was
 * titrated within needs no meter. */
static bool
add_judged_meters(struct release_check *check, const char *asked, const struct conclusion *conclusion)
{
    const struct verdict *oldest = NULL;

    for (size_t i = 0; i < conclusion->bar_count; i++) {
        const struct verdict *last = conclusion->bars[i].last;

        if (bar_titrated_within(&conclusion->bars[i], 1, MOMENT_NONE) == 0 && last != NULL &&
            (oldest == NULL || calibration_age_d(last) > calibration_age_d(oldest)))
            oldest = last;
    }
    if (oldest == NULL)
        return false;
    if (isinf(calibration_age_d(oldest)))
        add(check, asked, false, text_format("%s, without a good calibration on record", oldest->gear->name));
    else if (floor(calibration_age_d(oldest)) > RELEASE_CALIBRATION_DAYS)
        add(check, asked, false,
            text_format("%s, calibrated %.0f days before; asked are at most %d", oldest->gear->name,
                        floor(calibration_age_d(oldest)), RELEASE_CALIBRATION_DAYS));
    else
        add(check, asked, true, memory_copy(oldest->gear->name));
    return true;
}

static void
add_meter(struct release_check *check, const struct conclusion *conclusion)
{
    static const char asked[] = "on a checked meter, or by titration";

    if (add_judged_meters(check, asked, conclusion))
        return;
    if (conclusion->titrated_within > 0)
        add(check, asked, true, memory_copy("by titration"));
    else
        add(check, asked, false,
            memory_copy(conclusion->ph.count == 0 ? "not tested yet"
                                                  : "nothing that was read could be judged"));
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
            !bar_titrated_after(titrated, &all->verdicts[i]))
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
    for (size_t i = 0; i < conclusion->bar_count; i++) {
        const struct bar_standing *bar = &conclusion->bars[i];

        if ((bar->last != NULL && bar->last->session->id == session_id) ||
            (bar->titration != NULL && bar->titration->first->session_id == session_id))
            return true;
    }
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
                text_format(
                    "session %lld is not finished: go on with it by curetrace resume %lld, or close it by "
                    "curetrace resume %lld --close --why REASON",
                    (long long)dossier->sessions[i].id, (long long)dossier->sessions[i].id,
                    (long long)dossier->sessions[i].id));
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
    bool reworked = dossier->batch.parent_id != 0;
    size_t asked = reworked ? 2 : 1;

    add(check, reworked ? "a reworked batch: two bars titrated, and within" : "a titration says within",
        conclusion->titrated_within >= asked,
        conclusion->free_alkali.count == 0 ? memory_copy("not titrated")
                                           : text_format("%zu bar%s", conclusion->titrated_within,
                                                         conclusion->titrated_within == 1 ? "" : "s"));
}

void
release_check_of(const struct dossier *dossier, const struct conclusion *conclusion,
                 const struct policy *policy, struct release_check *ret_check)
{
    struct release_check check = {.met = true};

    add_verdict(&check, conclusion);
    add_bars(&check, conclusion);
    add_age(&check, conclusion, policy->cure_days);
    if (policy->checked_meter)
        add_meter(&check, conclusion);
    if (policy->ages > 0 && two_titrated_d(conclusion) < 0) {
        size_t ages = ages_within(&conclusion->all, &conclusion->free_alkali);

        add(&check, "within at enough different ages", ages >= (size_t)policy->ages,
            text_format("%zu, asked are %d", ages, policy->ages));
    }
    if (policy->deviations_explained)
        add_deviations(&check, dossier, conclusion);
    if (policy->titration || dossier->batch.parent_id != 0)
        add_titration(&check, dossier, conclusion);
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
