/* conclusion.c - pH and titration of a batch taken together. */
#include "conclusion.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "text.h"
#include "verdict_text.h"

enum verdict_word
conclusion_of_band(enum titration_band band)
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

/* The worst of the batch's bars. */
static const struct verdict *
worst_bar(const struct verdict_list *list)
{
    const struct verdict *worst = NULL;

    for (size_t i = 0; i < list->count; i++)
        if (worst == NULL || list->verdicts[i].verdict > worst->verdict)
            worst = &list->verdicts[i];
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

/* Rules 1 to 3. */
static void
join(struct conclusion *conclusion)
{
    enum verdict_word titrated = conclusion_of_band(conclusion->free_alkali.current->figures.band);
    civil_time titrated_at = conclusion->free_alkali.current->first->taken_at;
    enum verdict_word ph = conclusion->ph.worst;
    bool later;

    conclusion->basis = CONCLUSION_TITRATION;
    conclusion->verdict = titrated;
    conclusion->at = titrated_at;
    if (conclusion->ph.count == 0)
        return;
    later = clock_day_of(read_at(&conclusion->ph)) > clock_day_of(titrated_at);
    conclusion->disagree = ph != VERDICT_NOT_JUDGED && ph != titrated;
    if (later && ph != VERDICT_NOT_JUDGED && ph > titrated) {
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
        status = verdict_of_batch(dossier, aid, &conclusion.ph, failure);
        if (status != STATUS_OK)
            return status;
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
conclusion_earlier_failure(const struct conclusion *conclusion, const struct verdict_list *all)
{
    const struct free_alkali_result *titrated = conclusion->free_alkali.current;
    bool cleared = titrated != NULL && titrated->figures.band == TITRATION_WITHIN;
    civil_day cleared_on = cleared ? clock_day_of(titrated->first->taken_at) : DAY_NONE; /* before any day */
    const struct verdict *latest = NULL;

    for (size_t i = 0; i < all->count; i++) {
        const struct verdict *verdict = &all->verdicts[i];

        if (verdict->verdict != VERDICT_LYE_HEAVY || among(&conclusion->ph, verdict) ||
            cleared_on >= clock_day_of(verdict->reading->taken_at))
            continue;
        if (latest == NULL || verdict->reading->taken_at > latest->reading->taken_at)
            latest = verdict;
    }
    return latest;
}

static void
add_ph(struct text *text, const struct verdict *bar)
{
    assert(bar != NULL); /* there is one where pH is the basis */
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
    if (bar->specimen->bar != NULL)
        text_addf(text, ", bar %s", bar->specimen->bar);
}

/* The band is named where it says more than the verdict. */
static void
add_titration(struct text *text, const struct conclusion *conclusion)
{
    const struct titration_result *figures = &conclusion->free_alkali.current->figures;

    text_addf(text, "%.3f +/- %.3f %% free NaOH by titration", figures->free_naoh_pct,
              figures->uncertainty.expanded_uncertainty);
    if (figures->band != TITRATION_WITHIN)
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

void
conclusion_clear(struct conclusion *conclusion)
{
    verdict_list_clear(&conclusion->ph);
    free_alkali_clear(&conclusion->free_alkali);
    *conclusion = (struct conclusion){0};
}
