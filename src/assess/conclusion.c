/* conclusion.c - pH and titration of a batch taken together. */
#include "conclusion.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "text.h"
#include "verdict_text.h"

static enum verdict_word
of_band(enum titration_band band)
{
    switch (band) {
    case TITRATION_WITHIN:
        return VERDICT_WITHIN;
    case TITRATION_BORDERLINE:
        return VERDICT_DOUBTFUL;
    case TITRATION_HOLD:
    case TITRATION_IRRITANT:
    case TITRATION_CORROSIVE:
    case TITRATION_SEVERELY_CORROSIVE:
    default:
        return VERDICT_LYE_HEAVY;
    }
}

enum verdict_word
conclusion_of_titration(const struct titration_result *figures)
{
    enum verdict_word verdict = of_band(figures->band);

    return verdict == VERDICT_LYE_HEAVY && of_band(figures->mean_band) != VERDICT_LYE_HEAVY ? VERDICT_DOUBTFUL
                                                                                            : verdict;
}

/* Its portions were titrated in the sitting in which the bar was read, and nothing of it was read on a later day. */
static bool
of_one_sitting(const struct free_alkali_result *titrated, const struct verdict *bar)
{
    return titrated->first->session_id != 0 && titrated->first->session_id == bar->session->id &&
           clock_day_of(bar->read_at) <= clock_day_of(titrated->first->taken_at);
}

bool
conclusion_comes_after(const struct free_alkali_result *titrated, const struct verdict *bar)
{
    civil_time read = bar->read_at, day = 86400;

    if (read % day == 0) /* a date alone: it may have been as late as that */
        read += day - 1;
    return read <= titrated->first->taken_at || of_one_sitting(titrated, bar);
}

/* The worst of the batch's bars: of equal words, the one most likely above the limit. */
static const struct verdict *
worst_bar(const struct verdict_list *list)
{
    const struct verdict *worst = NULL;

    for (size_t i = 0; i < list->count; i++) {
        const struct verdict *bar = &list->verdicts[i];

        if (worst == NULL || bar->verdict > worst->verdict ||
            (bar->verdict == worst->verdict && bar->p_over_limit > worst->p_over_limit))
            worst = bar;
    }
    return worst;
}

/* When the latest of the bars was read. */
static civil_time
read_at(const struct verdict_list *list)
{
    civil_time latest = MOMENT_NONE;

    for (size_t i = 0; i < list->count; i++)
        if (list->verdicts[i].reading->taken_at > latest)
            latest = list->verdicts[i].reading->taken_at;
    return latest;
}

bool
conclusion_titrated_since(const struct free_alkali *titrated, const struct verdict *bar)
{
    civil_day day = clock_day_of(titrated->current->first->taken_at);

    for (size_t i = 0; i < titrated->count; i++)
        if (clock_day_of(titrated->results[i].first->taken_at) == day &&
            conclusion_comes_after(&titrated->results[i], bar))
            return true;
    return false;
}

/* The worst of the bars read after all titrations; not judged when there is none. */
static enum verdict_word
worst_after(const struct verdict_list *list, const struct free_alkali *titrated)
{
    enum verdict_word worst = VERDICT_NOT_JUDGED;

    for (size_t i = 0; i < list->count; i++)
        if (!conclusion_titrated_since(titrated, &list->verdicts[i]) && list->verdicts[i].verdict > worst)
            worst = list->verdicts[i].verdict;
    return worst;
}

/* Rules 1 to 3. */
static void
join(struct conclusion *conclusion)
{
    const struct free_alkali_result *titrated = conclusion->free_alkali.current;
    enum verdict_word said = conclusion_of_titration(&titrated->figures), ph = conclusion->ph.worst;

    conclusion->basis = CONCLUSION_TITRATION;
    conclusion->verdict = said;
    conclusion->at = titrated->first->taken_at;
    if (conclusion->ph.count == 0)
        return;
    conclusion->disagree = ph != VERDICT_NOT_JUDGED && ph != said;
    if (worst_after(&conclusion->ph, &conclusion->free_alkali) >
        (said > VERDICT_NOT_JUDGED ? said : VERDICT_NOT_JUDGED)) {
        conclusion->basis = CONCLUSION_PH;
        conclusion->verdict = ph;
        conclusion->at = read_at(&conclusion->ph);
    }
}

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
        if (dossier->titrations[i].superseded_by == 0)
            return true;
    return false;
}

enum status
conclusion_of(const struct dossier *dossier, const struct verdict_aid *aid, struct conclusion *ret_conclusion,
              struct failure *failure)
{
    struct conclusion conclusion = {.verdict = VERDICT_NOT_JUDGED, .at = MOMENT_NONE};
    enum status status = STATUS_OK;

    if (has_readings(dossier)) {
        status = verdict_of_all(dossier, aid, &conclusion.all, failure);
        if (status != STATUS_OK)
            return status;
        conclusion.ph = verdict_list_latest(&conclusion.all);
        conclusion.basis = CONCLUSION_PH;
        conclusion.verdict = conclusion.ph.worst;
        conclusion.at = read_at(&conclusion.ph);
    }
    if (has_titrations(dossier)) {
        status = free_alkali_of(dossier, &conclusion.free_alkali, failure);
        if (status != STATUS_OK) {
            conclusion_clear(&conclusion);
            return status;
        }
        join(&conclusion);
    }
    *ret_conclusion = conclusion;
    return STATUS_OK;
}

static bool
among(const struct verdict_list *list, const struct verdict *verdict)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->verdicts[i].specimen->id == verdict->specimen->id)
            return true;
    return false;
}

const struct verdict *
conclusion_failure_among(const struct conclusion *conclusion, int64_t first_session, int64_t last_session)
{
    const struct verdict_list *all = &conclusion->all;
    const struct free_alkali_result *titrated = conclusion->free_alkali.current;
    bool clear = titrated != NULL && titrated->figures.band == TITRATION_WITHIN;
    const struct verdict *latest = NULL;

    for (size_t i = 0; i < all->count; i++) {
        const struct verdict *verdict = &all->verdicts[i];

        if (verdict->verdict != VERDICT_LYE_HEAVY || among(&conclusion->ph, verdict) ||
            verdict->session->id < first_session || verdict->session->id > last_session ||
            (clear && conclusion_titrated_since(&conclusion->free_alkali, verdict)))
            continue;
        if (latest == NULL || verdict->reading->taken_at > latest->reading->taken_at)
            latest = verdict;
    }
    return latest;
}

const struct verdict *
conclusion_earlier_failure(const struct conclusion *conclusion)
{
    return conclusion_failure_among(conclusion, INT64_MIN, INT64_MAX);
}

const struct free_alkali_result *
conclusion_earlier_titration(const struct conclusion *conclusion)
{
    const struct free_alkali *all = &conclusion->free_alkali;
    const struct free_alkali_result *latest = NULL;

    for (size_t i = 0; i < all->count; i++) {
        const struct free_alkali_result *result = &all->results[i];

        if (result == all->current || conclusion_of_titration(&result->figures) != VERDICT_LYE_HEAVY)
            continue;
        if (latest == NULL || result->first->taken_at > latest->first->taken_at)
            latest = result;
    }
    return latest;
}

static void
add_ph(struct text *text, const struct verdict *bar)
{
    assert(bar != NULL); /* there is one where pH is the basis */
    if (bar->raised_by_bad_evidence)
        text_addf(text, "a reading that cannot clear shows pH %.2f; beside it ", bar->raised_by_ph);
    if (isnan(bar->ph_at_reference) && !isnan(bar->ph))
        text_addf(text, "pH %.2f as shown", bar->ph);
    else if (isnan(bar->ph_at_reference))
        text_add(text, "paper alone");
    else
        text_addf(text, "pH %.2f +/- %.2f at 40 degC and 1 %%", bar->ph_at_reference, bar->k * bar->u_ph);
    if (!isnan(bar->p_over_limit)) {
        text_add(text, ", ");
        verdict_text_add_probability(bar->p_over_limit, text);
        text_addf(text, " probable above %g", bar->limit_ph);
    }
    if (bar->raised_by_paper)
        text_add(text, ", doubted because paper reads higher");
    if (bar->raised_by_drift)
        text_add(text, ", doubted because a check found the meter off");
    if (bar->raised_by_limit)
        text_addf(text, ", doubted because it is above the usual limit of %g", LIMIT_PH_USUAL);
    if (flag_is_set(bar->flags, FLAG_SCATTERED))
        text_add(text, ", its readings disagree");
    if (bar->specimen->bar != NULL)
        text_addf(text, ", bar %s", bar->specimen->bar);
}

/* The band is named where it says more than the verdict. */
static void
add_titration(struct text *text, const struct conclusion *conclusion)
{
    const struct titration_result *figures = &conclusion->free_alkali.current->figures;

    text_addf(text, "%.3f +/- %.3f %% free NaOH by titration", figures->free_naoh_pct,
              figures->half_width_pct);
    if (of_band(figures->band) != conclusion_of_titration(figures))
        text_addf(text, " (too uncertain to tell, perhaps %.3f %%)", figures->high_pct);
    else if (figures->band != TITRATION_WITHIN)
        text_addf(text, " (%s)", titration_band_name(figures->band));
}

char *
conclusion_text(const struct conclusion *conclusion)
{
    struct text text = {0};
    char day[DAY_TEXT_SIZE];

    if (conclusion->basis == CONCLUSION_NOTHING)
        return text_format("not tested yet");
    text_addf(&text, "%s: ", verdict_word(conclusion->verdict));
    if (conclusion->basis == CONCLUSION_TITRATION)
        add_titration(&text, conclusion);
    else
        add_ph(&text, worst_bar(&conclusion->ph));
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
    text_addf(&text, ", %s", clock_day_text(clock_day_of(bar->reading->taken_at), day));
    return text_take(&text);
}

void
conclusion_clear(struct conclusion *conclusion)
{
    verdict_list_clear(&conclusion->all);
    free_alkali_clear(&conclusion->free_alkali);
    *conclusion = (struct conclusion){0};
}
