/* conclusion.c - all that is known of a batch, joined into one judgement. */
#include "conclusion.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "conclusion_parts.h"
#include "release.h"
#include "text.h"
#include "verdict_text.h"

/* Asked first, so that a row that is missing in a damaged record is not taken for "not tested". */
static bool
has_readings(const struct dossier *dossier)
{
    for (size_t i = 0; i < dossier->reading_count; i++)
        if (reading_stands(&dossier->readings[i]))
            return true;
    return false;
}

static bool
has_titrations(const struct dossier *dossier)
{
    for (size_t i = 0; i < dossier->titration_count; i++)
        if (titration_stands(&dossier->titrations[i]))
            return true;
    return false;
}

static int
by_time(const void *a, const void *b)
{
    const struct verdict *x = a, *y = b;

    if (x->read_at != y->read_at)
        return x->read_at < y->read_at ? -1 : 1;
    return (x->specimen->id > y->specimen->id) - (x->specimen->id < y->specimen->id);
}

static enum status
judge_readings(const struct dossier *dossier, const struct verdict_aid *aid, struct conclusion *conclusion,
               struct failure *failure)
{
    enum status status = verdict_of_all(dossier, aid, &conclusion->all, failure);

    if (status != STATUS_OK)
        return status;
    conclusion->ph = verdict_list_latest(&conclusion->all);
    status = verdict_join_cups(dossier, aid, &conclusion->all, &conclusion->sittings, failure);
    if (status == STATUS_OK)
        qsort(conclusion->sittings.verdicts, conclusion->sittings.count,
              sizeof *conclusion->sittings.verdicts, by_time);
    return status;
}

/* When the latest of the portions was read. */
static civil_time
read_at(const struct verdict_list *list)
{
    civil_time latest = MOMENT_NONE;

    for (size_t i = 0; i < list->count; i++)
        if (list->verdicts[i].read_at > latest)
            latest = list->verdicts[i].read_at;
    return latest;
}

/* Does the bar's titration say what is said of it? */
static bool
by_titration(const struct bar_standing *bar)
{
    const struct verdict *deciding = bar_deciding(bar);

    return bar->titration != NULL &&
           (deciding == NULL || deciding->verdict <= bar_titration_word(&bar->titration->figures));
}

/* Does it say something for the batch (rule 1)? */
static bool
says_something(const struct bar_standing *bar)
{
    return bar->judged || bar->verdict > VERDICT_NOT_JUDGED;
}

/* The bar that decides: the worst; of those that are within, the one read or titrated last. */
static const struct bar_standing *
worst_of(const struct bar_standing *bars, size_t count)
{
    const struct bar_standing *worst = NULL;
    civil_time worst_at = MOMENT_NONE;

    for (size_t i = 0; i < count; i++) {
        const struct verdict *deciding = bar_deciding(&bars[i]);
        civil_time at = bars[i].titration != NULL ? bars[i].titration->first->taken_at : MOMENT_NONE;

        if (deciding != NULL && deciding->read_at > at)
            at = deciding->read_at;
        if (!says_something(&bars[i]) ||
            (worst != NULL &&
             (bars[i].verdict < worst->verdict || (bars[i].verdict == worst->verdict && at <= worst_at))))
            continue;
        worst = &bars[i];
        worst_at = at;
    }
    return worst;
}

static void
weigh_bars(const struct dossier *dossier, struct conclusion *conclusion)
{
    const struct bar_evidence evidence = {dossier, &conclusion->sittings, &conclusion->free_alkali};
    const struct bar_standing *worst;

    bar_standings_of(&evidence, &conclusion->bars, &conclusion->bar_count);
    conclusion->titrated_within = bar_titrated_within(conclusion->bars, conclusion->bar_count, MOMENT_NONE);
    worst = conclusion->worst = worst_of(conclusion->bars, conclusion->bar_count);
    if (worst == NULL) {
        if (conclusion->all.count > 0) {
            conclusion->basis = CONCLUSION_PH;
            conclusion->at = read_at(&conclusion->all);
        }
        return;
    }
    conclusion->verdict = worst->verdict;
    conclusion->basis = by_titration(worst) ? CONCLUSION_TITRATION : CONCLUSION_PH;
    conclusion->deciding = conclusion->basis == CONCLUSION_PH ? bar_deciding(worst) : NULL;
    if (conclusion->deciding != NULL)
        conclusion->at = conclusion->deciding->read_at;
    else if (worst->titration != NULL)
        conclusion->at = worst->titration->first->taken_at;
    else if (worst->look != NULL)
        conclusion->at = worst->look->seen_at;
    for (size_t i = 0; worst->titration != NULL && i < conclusion->sittings.count; i++) {
        const struct verdict *cup = &conclusion->sittings.verdicts[i];

        if (bar_label_same(cup->specimen->bar, worst->bar) && !cup->poor)
            conclusion->disagree = cup->verdict != bar_titration_word(&worst->titration->figures);
    }
}

/* Rule 5. */
static void
weigh_recipe(const struct verdict_aid *aid, struct conclusion *conclusion)
{
    const struct recipe_evidence *recipe = &aid->recipe;

    conclusion->recipe_holds = recipe->known && conclusion->titrated_within < 2 &&
                               recipe->p_excess >= CONCLUSION_RECIPE_HELD - recipe->p_excess_noise;
    if (conclusion->recipe_holds && conclusion->verdict < VERDICT_DOUBTFUL)
        conclusion->verdict = VERDICT_DOUBTFUL;
}

enum status
conclusion_of(const struct dossier *dossier, const struct verdict_aid *aid, struct conclusion *ret_conclusion,
              struct failure *failure)
{
    static const struct verdict_aid nothing = {0};
    struct conclusion conclusion = {.verdict = VERDICT_NOT_JUDGED, .at = MOMENT_NONE, .step_from = DAY_NONE};
    struct policy policy;
    enum status status = STATUS_OK;

    if (aid == NULL)
        aid = &nothing;
    policy_init(&policy);
    if (has_readings(dossier))
        status = judge_readings(dossier, aid, &conclusion, failure);
    if (status == STATUS_OK && has_titrations(dossier))
        status = free_alkali_of(dossier, &conclusion.free_alkali, failure);
    if (status != STATUS_OK) {
        conclusion_clear(&conclusion);
        return status;
    }
    weigh_bars(dossier, &conclusion);
    weigh_recipe(aid, &conclusion);
    conclusion.so_far =
        conclusion.verdict == VERDICT_WITHIN && !release_old_enough(&conclusion, CLEAR_RIPE_AGE_D);
    release_check_of(dossier, &conclusion, aid->policy == NULL ? &policy : aid->policy, &conclusion.release);
    conclusion.by_old_rule = dossier_released_by_old_rule(dossier) && !conclusion.release.met;
    conclusion_add_reasons(dossier, aid, &conclusion);
    conclusion_add_next(dossier, &conclusion);
    *ret_conclusion = conclusion;
    return STATUS_OK;
}

bool
conclusion_holds(const struct conclusion *conclusion)
{
    return conclusion->verdict == VERDICT_DOUBTFUL || conclusion->verdict == VERDICT_LYE_HEAVY;
}

const char *
conclusion_word(const struct conclusion *conclusion)
{
    return conclusion->so_far ? "within so far" : verdict_word(conclusion->verdict);
}

static void
add_ph(struct text *text, const struct verdict *bar)
{
    if (bar->raised_by_bad_evidence && bar->poor)
        text_addf(text, "pH %.2f as far as is known, which cannot be judged", bar->raised_by_ph);
    else if (bar->raised_by_bad_evidence)
        text_addf(text, "a reading that cannot clear comes to pH %.2f; beside it ", bar->raised_by_ph);
    if (bar->raised_by_bad_evidence && bar->poor) {
        /* that is all there is */
    } else if (isnan(bar->ph_at_reference) && !isnan(bar->ph))
        text_addf(text, "pH %.2f as shown", bar->ph);
    else if (isnan(bar->ph_at_reference))
        text_add(text, bar->surface_only ? "a strip on the wet bar alone" : "paper alone");
    else
        text_addf(text, "pH %.2f +/- %.2f at 40 degC and 1 %%", bar->ph_at_reference, bar->half_ph);
    if (!isnan(bar->p_over_clear)) {
        text_add(text, ", ");
        verdict_text_add_probability(
            bar->verdict == VERDICT_LYE_HEAVY ? bar->p_over_limit : bar->p_over_clear, text);
        text_addf(text, " probable above %g",
                  bar->verdict == VERDICT_LYE_HEAVY ? bar->limit_ph : bar->clear_ph);
    }
    if (bar->raised_by_paper)
        text_add(text, bar->raised_by_surface ? ", doubted because a strip on the wet bar reads higher"
                                              : ", doubted because paper reads higher");
    if (bar->raised_by_reference)
        text_addf(text, ", %.2f %% free NaOH or more beside a sound bar at %.2f", bar->free_naoh_low_pct,
                  bar->reference_ph);
    if (flag_is_set(bar->flags, FLAG_BELOW_USUAL) && bar->verdict == VERDICT_DOUBTFUL)
        text_addf(text, ", lower than soap reads (%g)", bar->usual_low_ph);
    if (flag_is_set(bar->flags, FLAG_CUPS_APART))
        text_addf(text, ", its cups disagree, from %.2f to %.2f", bar->cups_low_ph, bar->cups_high_ph);
    if (flag_is_set(bar->flags, FLAG_SCATTERED))
        text_add(text, ", its readings disagree");
}

static void
add_label(struct text *text, const char *bar)
{
    char *label = bar == NULL ? NULL : text_visible(bar);

    if (label != NULL)
        text_addf(text, ", bar %s", label);
    free(label);
}

/* The band is named where it says more than the verdict. */
static void
add_titration(struct text *text, const struct free_alkali_result *titrated)
{
    const struct titration_result *figures = &titrated->figures;

    text_addf(text, "%.3f +/- %.3f %% free NaOH by titration", figures->free_naoh_pct,
              figures->half_width_pct);
    if (bar_titration_word(figures) == VERDICT_DOUBTFUL)
        text_addf(text, " (too uncertain to tell, perhaps %.3f %%)", figures->high_pct);
    else if (figures->band != TITRATION_WITHIN)
        text_addf(text, " (%s)", titration_band_name(figures->band));
}

/* The sitting that is named where none decides: the latest. */
static const struct verdict *
named(const struct conclusion *conclusion)
{
    if (conclusion->deciding != NULL || conclusion->sittings.count == 0)
        return conclusion->deciding;
    return &conclusion->sittings.verdicts[conclusion->sittings.count - 1];
}

char *
conclusion_text(const struct conclusion *conclusion)
{
    const struct bar_standing *worst = conclusion->worst;
    const struct verdict *cup = named(conclusion);
    struct text text = {0};
    char day[DAY_TEXT_SIZE];

    if (conclusion->basis == CONCLUSION_NOTHING && !conclusion->recipe_holds && worst == NULL)
        return text_format("not tested yet");
    text_addf(&text, "%s: ", conclusion_word(conclusion));
    if (conclusion->recipe_holds && (worst == NULL || worst->verdict < VERDICT_DOUBTFUL))
        text_add(&text, "by its recipe lye exceeds fat");
    else if (worst != NULL && worst->look != NULL && worst->heavy == NULL && worst->doubt == NULL)
        text_addf(&text, "%s were seen on a bar",
                  text_same(worst->look->word, "weeping") ? "drops of lye" : "pockets of lye");
    else if (worst != NULL && conclusion->basis == CONCLUSION_TITRATION)
        add_titration(&text, worst->titration);
    else if (cup != NULL) {
        add_ph(&text, cup);
        add_label(&text, cup->specimen->bar);
    }
    if (conclusion->at != MOMENT_NONE)
        text_addf(&text, ", %s", clock_day_text(clock_day_of(conclusion->at), day));
    return text_take(&text);
}

char *
conclusion_bar_text(const struct verdict *bar)
{
    struct text text = {0};
    char day[DAY_TEXT_SIZE];

    text_addf(&text, "%s: ", verdict_word(bar->verdict));
    add_ph(&text, bar);
    text_addf(&text, ", %s", clock_day_text(clock_day_of(bar->read_at), day));
    return text_take(&text);
}

const char *
next_step_word(enum next_step step)
{
    static const char *const words[] = {"",        "test", "titrate", "rework",
                                        "release", "hold", "recipe",  "resume"};

    return words[step];
}

void
conclusion_clear(struct conclusion *conclusion)
{
    verdict_list_clear(&conclusion->all);
    verdict_list_clear(&conclusion->sittings);
    free(conclusion->bars);
    free_alkali_clear(&conclusion->free_alkali);
    release_check_clear(&conclusion->release);
    sentences_clear(&conclusion->in_favour);
    sentences_clear(&conclusion->against);
    sentences_clear(&conclusion->missing);
    sentences_clear(&conclusion->settled);
    sentences_clear(&conclusion->next);
    *conclusion = (struct conclusion){0};
}
