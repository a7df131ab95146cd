/* bar_standing.c - where one bar of a batch stands. */
#include "bar_standing.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

char *
bar_name(const char *bar, const char *without)
{
    char *label = bar == NULL ? NULL : text_visible(bar), *name;

    name = label == NULL ? memory_copy(without) : text_format("bar %s", label);
    free(label);
    return name;
}

enum verdict_word
bar_titration_word(const struct titration_result *figures)
{
    if (figures->band == TITRATION_WITHIN)
        return VERDICT_WITHIN;
    return figures->mean_band >= TITRATION_HOLD ? VERDICT_LYE_HEAVY : VERDICT_DOUBTFUL;
}

/* Its portions were titrated in the sitting in which the cup was read, and nothing of it was read on a later day. */
static bool
of_one_sitting(const struct free_alkali_result *titrated, const struct verdict *cup)
{
    return titrated->first->session_id != 0 && titrated->first->session_id == cup->session->id &&
           clock_day_of(cup->read_at) <= clock_day_of(titrated->first->taken_at);
}

/* The latest that a moment may have been: a date alone may be its day's last second. */
static civil_time
at_the_latest(civil_time at)
{
    return at != MOMENT_NONE && at % CLOCK_DAY_S == 0 ? at + CLOCK_DAY_S - 1 : at;
}

bool
bar_titrated_after(const struct free_alkali_result *titrated, const struct verdict *cup)
{
    return at_the_latest(cup->read_at) <= titrated->first->taken_at || of_one_sitting(titrated, cup);
}

/* Rule 2: one portion settles nothing. */
static bool
settles_by_titration(const struct free_alkali_result *titrated)
{
    return titrated->count >= 2;
}

/* The worse word, and with the same word the higher upper end: a vague result hides none that is sure. */
static bool
titrated_worse(const struct free_alkali_result *result, const struct free_alkali_result *than)
{
    enum verdict_word word = bar_titration_word(&result->figures);
    enum verdict_word than_word = bar_titration_word(&than->figures);

    return word != than_word ? word > than_word : result->figures.high_pct > than->figures.high_pct;
}

/* Does a result count instead of one of the same day or an earlier one? Of one day the worse does; what was found in two
 * portions and more is taken back by such alone. */
static bool
outweighs(const struct free_alkali_result *result, const struct free_alkali_result *earlier)
{
    if (clock_day_of(result->first->taken_at) == clock_day_of(earlier->first->taken_at))
        return titrated_worse(result, earlier);
    return settles_by_titration(result) ||
           bar_titration_word(&result->figures) >= bar_titration_word(&earlier->figures);
}

/* The day on which two portions and more of the bar were last titrated; DAY_NONE: none. Results are by day. */
static civil_day
last_settled(const struct free_alkali *titrated, const char *bar)
{
    civil_day settled = DAY_NONE;

    for (size_t i = 0; i < titrated->count; i++)
        if (bar_label_same(titrated->results[i].first->bar, bar) &&
            settles_by_titration(&titrated->results[i]))
            settled = clock_day_of(titrated->results[i].first->taken_at);
    return settled;
}

/* The bar's titration that counts. */
static const struct free_alkali_result *
latest_titration(const struct free_alkali *titrated, const char *bar)
{
    const struct free_alkali_result *latest = NULL;
    civil_day settled = last_settled(titrated, bar);

    for (size_t i = 0; i < titrated->count; i++) {
        const struct free_alkali_result *result = &titrated->results[i];

        if (bar_label_same(result->first->bar, bar) && clock_day_of(result->first->taken_at) >= settled &&
            (latest == NULL || outweighs(result, latest)))
            latest = result;
    }
    return latest;
}

/* Was the cup read before a titration of its bar? */
static bool
is_cleared(const struct free_alkali *titrated, const char *bar, const struct verdict *cup)
{
    for (size_t i = 0; i < titrated->count; i++)
        if (bar_label_same(titrated->results[i].first->bar, bar) &&
            settles_by_titration(&titrated->results[i]) && bar_titrated_after(&titrated->results[i], cup))
            return true;
    return false;
}

static civil_day
day_of(const struct verdict *cup)
{
    return clock_day_of(cup->read_at);
}

/* Are there two cups and more of a sitting that could be judged, all of them within? */
static bool
two_cups_within(const struct bar_evidence *evidence, const struct session *session)
{
    size_t cups = 0;

    for (size_t i = 0; i < evidence->sittings->count; i++) {
        const struct verdict *cup = &evidence->sittings->verdicts[i];

        if (cup->session != session)
            continue;
        if (cup->verdict != VERDICT_WITHIN)
            return false;
        cups += cup->cups;
    }
    return cups >= 2;
}

/* Rule 7: sittings after a day that say so, each once. */
static size_t
clean_sittings_after(const struct bar_evidence *evidence, civil_day day)
{
    size_t clean = 0;

    for (size_t i = 0; i < evidence->sittings->count; i++) {
        const struct verdict *cup = &evidence->sittings->verdicts[i];
        bool first = true;

        for (size_t j = 0; j < i; j++)
            first = first && evidence->sittings->verdicts[j].session != cup->session;
        if (first && day_of(cup) > day && two_cups_within(evidence, cup->session))
            clean++;
    }
    return clean;
}

/* Rule 4 for a doubtful sitting that stands when the bar was judged again on a later day. */
static bool
settles(const struct bar_evidence *evidence, const struct verdict *retest, const struct verdict *doubt)
{
    if (retest->verdict != VERDICT_WITHIN || day_of(retest) <= day_of(doubt))
        return false;
    if (doubt->raised_by_reference && retest->reference == NULL)
        return false;
    return doubt->specimen->bar != NULL || clean_sittings_after(evidence, day_of(doubt)) >= 2;
}

/* Of two judged sittings of one day: the worse word, and with the same word the one that may lie higher. */
static bool
is_worse(const struct verdict *cup, const struct verdict *than)
{
    return cup->verdict > than->verdict || (cup->verdict == than->verdict && cup->reach_ph > than->reach_ph);
}

static bool
is_settled_by(const struct bar_evidence *evidence, const struct verdict *retest, const struct verdict *doubt)
{
    return doubt != NULL && !retest->poor && settles(evidence, retest, doubt);
}

/* Take one sitting of the bar into account; they come in the order of time. */
static void
take_sitting(const struct bar_evidence *evidence, const struct verdict *cup, struct bar_standing *standing)
{
    if (cup->verdict == VERDICT_LYE_HEAVY)
        standing->heavy = cup;
    if (cup->poor && cup->unjudged_reach_ph > bounds_for_release(evidence->dossier, cup->session).clear_ph)
        standing->unjudged = cup;
    else if (!cup->poor && standing->unjudged != NULL && day_of(cup) > day_of(standing->unjudged))
        standing->unjudged = NULL;
    if (!cup->poor &&
        (standing->last == NULL || day_of(cup) > day_of(standing->last) || is_worse(cup, standing->last)))
        standing->last = cup;
    if (cup->verdict == VERDICT_DOUBTFUL && cup->raised_by_reference)
        standing->beside_reference = cup;
    else if (cup->verdict == VERDICT_DOUBTFUL)
        standing->doubt = cup;
    if (is_settled_by(evidence, cup, standing->doubt))
        standing->doubt = NULL;
    if (is_settled_by(evidence, cup, standing->beside_reference))
        standing->beside_reference = NULL;
}

/* Does a sitting belong to the bar, and did its latest titration not clear it (rules 2 and 7)? */
static bool
counts(const struct bar_evidence *evidence, const struct bar_standing *standing, const struct verdict *cup)
{
    bool heavy_of_any_bar = standing->bar == NULL && cup->verdict == VERDICT_LYE_HEAVY;

    return bar_label_same(cup->specimen->bar, standing->bar) &&
           (heavy_of_any_bar || !is_cleared(evidence->titrated, standing->bar, cup));
}

static bool
is_lye_like(const struct observation *seen)
{
    return seen->kind == OBSERVATION_LOOK && observation_stands(seen) &&
           (text_same(seen->word, "weeping") || text_same(seen->word, "lye-pockets"));
}

/* Rule 6: was one of the cups cut through the spot? */
static bool
cut_through_spot(const struct dossier *dossier, const struct verdict *retest)
{
    for (size_t i = 0; i < dossier->observation_count; i++) {
        const struct observation *seen = &dossier->observations[i];
        const struct specimen *cup = dossier_specimen(dossier, seen->specimen_id);

        if (seen->kind == OBSERVATION_CUT && observation_stands(seen) && cup != NULL &&
            seen->session_id == retest->session->id && bar_label_same(cup->bar, retest->specimen->bar))
            return true;
    }
    return false;
}

static bool
look_is_settled(const struct bar_evidence *evidence, const struct bar_standing *standing,
                const struct observation *seen)
{
    for (size_t i = 0; i < evidence->titrated->count; i++) {
        const struct free_alkali_result *result = &evidence->titrated->results[i];

        if (bar_label_same(result->first->bar, standing->bar) && settles_by_titration(result) &&
            result->first->taken_at >= at_the_latest(seen->seen_at))
            return true;
    }
    for (size_t i = 0; i < evidence->sittings->count; i++) {
        const struct verdict *cup = &evidence->sittings->verdicts[i];

        if (bar_label_same(cup->specimen->bar, standing->bar) && day_of(cup) > clock_day_of(seen->seen_at) &&
            !cup->poor && cup->verdict == VERDICT_WITHIN && cup->cups >= 2 &&
            cut_through_spot(evidence->dossier, cup))
            return true;
    }
    return false;
}

/* The label of the bar that was looked at; NULL: none was said. */
static const char *
label_of(const struct dossier *dossier, const struct observation *seen)
{
    const struct specimen *cup = dossier_specimen(dossier, seen->specimen_id);

    return cup == NULL ? NULL : cup->bar;
}

static void
take_looks(const struct bar_evidence *evidence, struct bar_standing *standing)
{
    for (size_t i = 0; i < evidence->dossier->observation_count; i++) {
        const struct observation *seen = &evidence->dossier->observations[i];

        if (is_lye_like(seen) && bar_label_same(label_of(evidence->dossier, seen), standing->bar) &&
            !look_is_settled(evidence, standing, seen))
            standing->look = seen;
    }
}

static enum verdict_word
worse_of(enum verdict_word a, enum verdict_word b)
{
    return a > b ? a : b;
}

/* Does what is left of a bar that is within meet the bound of day 28 as well? */
static bool
meets_release(const struct bar_standing *standing)
{
    struct bounds bounds;

    if (standing->unjudged != NULL)
        return false;
    if (standing->last == NULL)
        return true;
    bounds = bounds_for_release(standing->last->dossier, standing->last->session);
    return verdict_meets(standing->last, &bounds);
}

/* The word of all of it (rules 1 to 6). */
static void
weigh_up(struct bar_standing *standing)
{
    enum verdict_word word = VERDICT_WITHIN;

    standing->judged = standing->last != NULL || standing->titration != NULL;
    if (standing->titration != NULL)
        word = worse_of(word, bar_titration_word(&standing->titration->figures));
    if (standing->last != NULL)
        word = worse_of(word, standing->last->verdict);
    if (standing->doubt != NULL || standing->look != NULL)
        word = worse_of(word, VERDICT_DOUBTFUL);
    if (standing->heavy != NULL)
        word = VERDICT_LYE_HEAVY;
    if (!standing->judged)
        word = worse_of(word, VERDICT_NOT_JUDGED);
    standing->verdict = word;
    standing->meets_release = word == VERDICT_WITHIN && meets_release(standing);
}

static void
weigh_bar(const struct bar_evidence *evidence, struct bar_standing *standing)
{
    standing->titration = latest_titration(evidence->titrated, standing->bar);
    for (size_t i = 0; i < evidence->sittings->count; i++)
        if (counts(evidence, standing, &evidence->sittings->verdicts[i]))
            take_sitting(evidence, &evidence->sittings->verdicts[i], standing);
    if (standing->doubt == NULL)
        standing->doubt = standing->beside_reference;
    take_looks(evidence, standing);
    for (size_t i = 0; i < evidence->dossier->used_up_count; i++)
        if (used_up_stands(&evidence->dossier->used_up[i]) &&
            bar_label_same(evidence->dossier->used_up[i].bar, standing->bar))
            standing->used_up_on = evidence->dossier->used_up[i].used_up_on;
    weigh_up(standing);
}

/* -- all bars -- */

static void
list_bar(struct bar_standing *bars, size_t *count, const char *bar)
{
    for (size_t i = 0; i < *count; i++)
        if (bar_label_same(bars[i].bar, bar))
            return;
    bars[(*count)++] = (struct bar_standing){.bar = bar, .used_up_on = DAY_NONE};
}

size_t
bar_titrated_within(const struct bar_standing *bars, size_t count, civil_time since)
{
    size_t found = 0;

    for (size_t i = 0; i < count; i++)
        found += bars[i].titration != NULL && bars[i].titration->first->taken_at >= since &&
                         bar_titration_word(&bars[i].titration->figures) == VERDICT_WITHIN
                     ? 1
                     : 0;
    return found;
}

const struct free_alkali_result *
bar_titrated_worst(const struct bar_standing *bars, size_t count)
{
    const struct free_alkali_result *worst = NULL;

    for (size_t i = 0; i < count; i++)
        if (bars[i].titration != NULL && (worst == NULL || titrated_worse(bars[i].titration, worst)))
            worst = bars[i].titration;
    return worst;
}

static bool
titrated_adverse(const struct bar_standing *bar)
{
    return bar->titration != NULL && bar_titration_word(&bar->titration->figures) > VERDICT_NOT_JUDGED;
}

static civil_time
later_of(civil_time at, civil_time other)
{
    return other > at ? other : at;
}

/* The latest that what stands against the bar, or keeps it from a release, was read, seen or titrated. */
static civil_time
adverse_at(const struct bar_standing *bar)
{
    bool young_only = bar->verdict == VERDICT_WITHIN && !bar->meets_release,
         adverse = bar->last != NULL && bar->last->verdict > VERDICT_NOT_JUDGED;
    const struct verdict *read[] = {bar->heavy, bar->doubt, bar->unjudged,
                                    adverse || young_only ? bar->last : NULL};
    civil_time at = MOMENT_NONE;

    for (size_t i = 0; i < LENGTH(read); i++)
        if (read[i] != NULL)
            at = later_of(at, at_the_latest(read[i]->read_at));
    if (bar->look != NULL)
        at = later_of(at, at_the_latest(bar->look->seen_at));
    if (titrated_adverse(bar))
        at = later_of(at, at_the_latest(bar->titration->first->taken_at));
    return at;
}

/* Other bars than this one that stand within, read at 28 days or more after a moment, or titrated after it. */
static size_t
others_within(const struct bar_standing *bars, size_t count, const struct bar_standing *but, civil_time since)
{
    size_t found = 0;

    for (size_t i = 0; i < count; i++) {
        const struct bar_standing *other = &bars[i];
        bool read = other->last != NULL && other->last->read_at > since &&
                    other->last->age_d >= CLEAR_RIPE_AGE_D && other->last->verdict == VERDICT_WITHIN;

        if (other != but && other->bar != NULL && other->verdict == VERDICT_WITHIN &&
            (read || bar_titrated_within(other, 1, since) == 1))
            found++;
    }
    return found;
}

/* Does something stand against the bar, or, of one that can be read no more, keep the batch from its release? */
static bool
has_to_be_settled(const struct bar_standing *bar)
{
    return bar->verdict > VERDICT_NOT_JUDGED ||
           (bar->used_up_on != DAY_NONE && !bar->meets_release && (bar->judged || bar->unjudged != NULL));
}

/* Rules 7 and 8. Titrations of two bars settle more than the pH of two. What a titration found in a bar that is used up
 * only titrations take back, and in the cups without a label only a titration of such. */
static bool
settled_by_others(const struct bar_evidence *evidence, const struct bar_standing *bars, size_t count,
                  const struct bar_standing *bar)
{
    bool unnamed = bar->bar == NULL && !titrated_adverse(bar), used_up = bar->used_up_on != DAY_NONE;
    civil_time since = adverse_at(bar);
    size_t titrated;

    if (!has_to_be_settled(bar) || (!unnamed && !used_up))
        return false;
    titrated = bar_titrated_within(bars, count, since);
    if (!unnamed)
        titrated -= bar_titrated_within(bar, 1, since);
    if (titrated >= 2)
        return true;
    if (bar->verdict == VERDICT_LYE_HEAVY)
        return false;
    return (used_up && !titrated_adverse(bar) && others_within(bars, count, bar, since) >= 2) ||
           (unnamed && bar->look == NULL && bar->beside_reference == NULL &&
            clean_sittings_after(evidence, clock_day_of(since)) >= 2);
}

/* What stood against it is no more what is told of the bar. */
static void
settle(struct bar_standing *bar)
{
    bar->settled_by_others = true;
    bar->settled_from = bar->verdict;
    bar->verdict = VERDICT_WITHIN;
    bar->heavy = bar->doubt = bar->beside_reference = NULL;
    bar->look = NULL;
    bar->unjudged = NULL;
    if (bar->last != NULL && (bar->last->verdict > VERDICT_NOT_JUDGED || bar->used_up_on != DAY_NONE))
        bar->last = NULL;
    if (titrated_adverse(bar))
        bar->titration = NULL;
    bar->meets_release = meets_release(bar);
}

static void
settle_by_others(const struct bar_evidence *evidence, struct bar_standing *bars, size_t count)
{
    bool *settled = memory_new(count + 1, sizeof *settled);

    for (size_t i = 0; i < count; i++)
        settled[i] = settled_by_others(evidence, bars, count, &bars[i]);
    for (size_t i = 0; i < count; i++)
        if (settled[i])
            settle(&bars[i]);
    free(settled);
}

static int
compare_bars(const void *a, const void *b)
{
    const struct bar_standing *x = a, *y = b;

    if (x->verdict != y->verdict)
        return x->verdict > y->verdict ? -1 : 1;
    if (x->bar == NULL || y->bar == NULL)
        return (x->bar != NULL) - (y->bar != NULL);
    return strcmp(x->bar, y->bar);
}

void
bar_standings_of(const struct bar_evidence *evidence, struct bar_standing **ret_bars, size_t *ret_count)
{
    const struct dossier *dossier = evidence->dossier;
    struct bar_standing *bars = memory_new(
        evidence->sittings->count + evidence->titrated->count + dossier->observation_count + 1, sizeof *bars);
    size_t count = 0;

    for (size_t i = 0; i < evidence->sittings->count; i++)
        list_bar(bars, &count, evidence->sittings->verdicts[i].specimen->bar);
    for (size_t i = 0; i < evidence->titrated->count; i++)
        list_bar(bars, &count, evidence->titrated->results[i].first->bar);
    for (size_t i = 0; i < dossier->observation_count; i++)
        if (is_lye_like(&dossier->observations[i]))
            list_bar(bars, &count, label_of(dossier, &dossier->observations[i]));
    for (size_t i = 0; i < count; i++)
        weigh_bar(evidence, &bars[i]);
    settle_by_others(evidence, bars, count);
    qsort(bars, count, sizeof *bars, compare_bars);
    *ret_bars = bars;
    *ret_count = count;
}

const struct verdict *
bar_deciding(const struct bar_standing *bar)
{
    if (bar->heavy != NULL)
        return bar->heavy;
    if (bar->doubt != NULL)
        return bar->doubt;
    return bar->last;
}
