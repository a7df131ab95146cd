/* standing.c - where a batch stands, in words. */
#include "standing.h"

#include <math.h>
#include <stdlib.h>

static void
add_state(const struct dossier *dossier, struct text *text)
{
    const struct state_change *change = dossier_last_change(dossier);
    char day[DAY_TEXT_SIZE], *why;

    if (change == NULL || dossier->batch.state == BATCH_IN_CURE)
        return;
    why = text_visible(change->why);
    text_addf(text, "This batch is %s since %s%s: %s\n",
              dossier->batch.state == BATCH_HELD ? "HELD" : batch_state_word(dossier->batch.state),
              clock_day_text(clock_day_of(change->at), day),
              change->overridden ? ", in spite of what the policy asks" : "", why);
    free(why);
}

static void
add_titration(const struct dossier *dossier, const struct conclusion *conclusion, struct text *text)
{
    const struct free_alkali_result *result = conclusion->free_alkali.current;
    char day[DAY_TEXT_SIZE], *words, *code;

    if (result == NULL)
        return;
    if (conclusion->basis != CONCLUSION_TITRATION) {
        text_addf(text, "The titration of %s said %s; a worse pH read after it counts again.\n",
                  clock_day_text(clock_day_of(result->first->taken_at), day),
                  titration_band_name(result->figures.band));
        return;
    }
    words = conclusion_text(conclusion);
    code = text_visible(dossier->batch.code);
    text_addf(text, "%s, %d days old: %s\n  %s\n", code, result->age_d, words,
              free_alkali_band_source(result->figures.band));
    if (conclusion->disagree)
        text_add(text,
                 "pH and titration say different things: titrate a second bar before you rely on either.\n");
    if (conclusion->ph.count > 0 &&
        conclusion_titrated_since(&conclusion->free_alkali, &conclusion->ph.verdicts[0]))
        text_add(text, "The titration outranks the pH read before it. By pH alone:\n");
    else if (conclusion->ph.count > 0)
        text_add(text, "By the pH read since:\n");
    free(words);
    free(code);
}

static void
add_failure(const struct verdict *failure, struct text *text)
{
    char day[DAY_TEXT_SIZE];

    if (failure == NULL)
        return;
    text_add(text, "An earlier test was lye-heavy: ");
    if (isnan(failure->ph_at_reference))
        text_addf(text, "pH %.2f as shown", failure->ph);
    else
        text_addf(text, "pH %.2f", failure->ph_at_reference);
    text_addf(text,
              " on %s (session %lld). A lower reading afterwards does not take that back; a titration can.\n",
              clock_day_text(clock_day_of(failure->reading->taken_at), day), (long long)failure->session->id);
}

static void
add_earlier_titration(const struct free_alkali_result *earlier, struct text *text)
{
    char day[DAY_TEXT_SIZE];

    if (earlier == NULL)
        return;
    text_addf(text, "An earlier titration found %.3f %% free NaOH (%s), on %s: bars may differ.\n",
              earlier->figures.free_naoh_pct, titration_band_name(earlier->figures.band),
              clock_day_text(clock_day_of(earlier->first->taken_at), day));
}

void
standing_add_warnings(const struct dossier *dossier, const struct conclusion *conclusion, struct text *text)
{
    if (dossier->batch.state != BATCH_RELEASED || dossier_released_by_override(dossier))
        add_state(dossier, text);
    if (conclusion->verdict == VERDICT_LYE_HEAVY) /* that says enough */
        return;
    add_failure(conclusion_earlier_failure(conclusion), text);
    add_earlier_titration(conclusion_earlier_titration(conclusion), text);
}

void
standing_add(const struct dossier *dossier, const struct conclusion *conclusion, struct text *text)
{
    if (dossier->batch.state == BATCH_RELEASED && !dossier_released_by_override(dossier))
        add_state(dossier, text);
    standing_add_warnings(dossier, conclusion, text);
    add_titration(dossier, conclusion, text);
}

static const char *
next_after_titration(const struct conclusion *conclusion)
{
    const struct titration_result *figures = &conclusion->free_alkali.current->figures;

    if (figures->band == TITRATION_WITHIN)
        return "release it when the policy's evidence is there: curetrace batch release";
    if (conclusion_of_titration(figures) == VERDICT_LYE_HEAVY)
        return "keep it held, and see what would bring it back: curetrace rework";
    if (figures->band == TITRATION_BORDERLINE)
        return "keep it held, and titrate a second and a third portion with a blank: curetrace titrate";
    return "keep it held, and titrate larger portions, of 10 g or more: curetrace titrate";
}

bool
standing_add_next(const struct dossier *dossier, const struct conclusion *conclusion, struct text *text)
{
    bool failed = conclusion_earlier_failure(conclusion) != NULL;
    bool released = dossier->batch.state == BATCH_RELEASED, within = conclusion->verdict == VERDICT_WITHIN;
    char *code = text_as_typed(dossier->batch.code);
    const char *next = NULL;

    if (dossier->batch.state == BATCH_DISCARDED)
        next = "nothing: a discarded batch stays discarded, see: curetrace batch show";
    else if (within && failed && released)
        next = "hold it again (batch hold), and titrate a portion: curetrace titrate";
    else if (within &&
             (failed || (dossier->batch.state == BATCH_HELD && conclusion->basis != CONCLUSION_TITRATION)))
        next = "keep it held and titrate a portion before it is released: curetrace titrate";
    else if (within && released)
        next = "nothing that the record asks for; it is released: curetrace batch show";
    else if (conclusion->basis == CONCLUSION_TITRATION)
        next = next_after_titration(conclusion);
    if (next != NULL)
        text_addf(text, "Next: %s %s\n", next, code);
    free(code);
    return next != NULL;
}
