/* standing.c - where a batch stands, in words. */
#include "standing.h"

#include <math.h>
#include <stdlib.h>

#include "text.h"
#include "verdict_text.h"

static void
add_state(const struct dossier *dossier, struct sentences *list)
{
    const struct state_change *change = dossier_last_change(dossier);
    char day[DAY_TEXT_SIZE], *why;

    if (change == NULL || dossier->batch.state == BATCH_IN_CURE)
        return;
    why = text_visible(change->why);
    sentences_addf(list, SENTENCE_PLAIN, "This batch is %s since %s%s: %s",
                   dossier->batch.state == BATCH_HELD ? "HELD" : batch_state_word(dossier->batch.state),
                   clock_day_text(clock_day_of(change->at), day),
                   change->overridden ? ", in spite of what the policy asks" : "", why);
    free(why);
}

static void
add_titration(const struct dossier *dossier, const struct conclusion *conclusion, struct sentences *list)
{
    const struct free_alkali_result *result = conclusion->free_alkali.current;
    char day[DAY_TEXT_SIZE], *words, *code;

    if (result == NULL)
        return;
    if (conclusion->basis != CONCLUSION_TITRATION) {
        sentences_addf(list, SENTENCE_PLAIN,
                       "The titration of %s said %s; a worse pH read after it counts again.",
                       clock_day_text(clock_day_of(result->first->taken_at), day),
                       titration_band_name(result->figures.band));
        return;
    }
    words = conclusion_text(conclusion);
    code = text_visible(dossier->batch.code);
    sentences_addf(list, SENTENCE_HEADING, "%s, %d days old: %s", code, result->age_d, words);
    sentences_add(list, SENTENCE_PLAIN, free_alkali_band_source(result->figures.band));
    if (conclusion->disagree)
        sentences_add(
            list, SENTENCE_PLAIN,
            "pH and titration say different things: titrate a second bar before you rely on either.");
    if (conclusion->ph.count > 0 &&
        conclusion_titrated_since(&conclusion->free_alkali, &conclusion->ph.verdicts[0]))
        sentences_add(list, SENTENCE_PLAIN, "The titration outranks the pH read before it. By pH alone:");
    else if (conclusion->ph.count > 0)
        sentences_add(list, SENTENCE_PLAIN, "By the pH read since:");
    free(words);
    free(code);
}

static void
add_failure(const struct verdict *failure, struct sentences *list)
{
    char day[DAY_TEXT_SIZE];
    bool shown = failure != NULL && isnan(failure->ph_at_reference);

    if (failure == NULL)
        return;
    sentences_addf(
        list, SENTENCE_PLAIN,
        "An earlier test was lye-heavy: pH %.2f%s on %s (session %lld). A lower reading afterwards "
        "does not take that back; a titration can.",
        shown ? failure->ph : failure->ph_at_reference, shown ? " as shown" : "",
        clock_day_text(clock_day_of(failure->reading->taken_at), day), (long long)failure->session->id);
}

static void
add_earlier_titration(const struct free_alkali_result *earlier, struct sentences *list)
{
    char day[DAY_TEXT_SIZE];

    if (earlier == NULL)
        return;
    sentences_addf(list, SENTENCE_PLAIN,
                   "An earlier titration found %.3f %% free NaOH (%s), on %s: bars may differ.",
                   earlier->figures.free_naoh_pct, titration_band_name(earlier->figures.band),
                   clock_day_text(clock_day_of(earlier->first->taken_at), day));
}

void
standing_say_warnings(const struct dossier *dossier, const struct conclusion *conclusion,
                      struct sentences *list)
{
    if (dossier->batch.state != BATCH_RELEASED || dossier_released_by_override(dossier))
        add_state(dossier, list);
    if (conclusion->verdict == VERDICT_LYE_HEAVY) /* that says enough */
        return;
    add_failure(conclusion_earlier_failure(conclusion), list);
    add_earlier_titration(conclusion_earlier_titration(conclusion), list);
}

void
standing_say(const struct dossier *dossier, const struct conclusion *conclusion, struct sentences *list)
{
    if (dossier->batch.state == BATCH_RELEASED && !dossier_released_by_override(dossier))
        add_state(dossier, list);
    standing_say_warnings(dossier, conclusion, list);
    add_titration(dossier, conclusion, list);
}

/* A next step: a command on the batch, and what it is for. */
struct step {
    const char *command[2]; /* the second word NULL for most */
    const char *text;
};

static struct step
after_titration(const struct conclusion *conclusion)
{
    const struct titration_result *figures = &conclusion->free_alkali.current->figures;

    if (figures->band == TITRATION_WITHIN)
        return (struct step){{"batch", "release"}, "release it when the policy's evidence is there"};
    if (conclusion_of_titration(figures) == VERDICT_LYE_HEAVY)
        return (struct step){{"rework"}, "keep it held, and see what would bring it back"};
    if (figures->band == TITRATION_BORDERLINE)
        return (struct step){{"titrate"},
                             "keep it held, and titrate a second and a third portion with a blank"};
    return (struct step){{"titrate"}, "keep it held, and titrate larger portions, of 10 g or more"};
}

/* Without text where the bars decide. */
static struct step
step_of(const struct dossier *dossier, const struct conclusion *conclusion)
{
    bool failed = conclusion_earlier_failure(conclusion) != NULL;
    bool released = dossier->batch.state == BATCH_RELEASED, within = conclusion->verdict == VERDICT_WITHIN;
    bool held = dossier->batch.state == BATCH_HELD;

    if (dossier->batch.state == BATCH_DISCARDED)
        return (struct step){{"batch", "show"}, "nothing: a discarded batch stays discarded"};
    if (within && failed && released)
        return (struct step){{"titrate"}, "hold it again (batch hold), and titrate a portion"};
    if (within && (failed || (held && conclusion->basis != CONCLUSION_TITRATION)))
        return (struct step){{"titrate"}, "keep it held and titrate a portion before it is released"};
    if (within && released)
        return (struct step){{"batch", "show"}, "nothing that the record asks for; it is released"};
    if (conclusion->basis == CONCLUSION_TITRATION && conclusion->disagree && within)
        return (struct step){{"titrate"}, "titrate a second bar before it is released"};
    if (conclusion->basis == CONCLUSION_TITRATION)
        return after_titration(conclusion);
    return (struct step){0};
}

void
standing_say_next(const struct dossier *dossier, const struct conclusion *conclusion, struct sentences *list)
{
    struct step step = step_of(dossier, conclusion);
    const char *code = dossier->batch.code;
    const char *words[] = {step.command[0], step.command[1] == NULL ? code : step.command[1],
                           step.command[1] == NULL ? NULL : code, NULL};

    if (step.text != NULL)
        sentences_next(list, words, "%s", step.text);
    else
        verdict_say_next(&conclusion->ph, conclusion->verdict, list);
}
