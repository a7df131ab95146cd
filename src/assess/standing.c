/* standing.c - where a batch stands, in words. */
#include "standing.h"

#include <math.h>
#include <stdlib.h>

#include "text.h"
#include "verdict_text.h"

/* "HELD since", "Released on". */
static const char *
state_words(enum batch_state state)
{
    switch (state) {
    case BATCH_HELD:
        return "HELD since";
    case BATCH_RELEASED:
        return "Released on";
    case BATCH_DISCARDED:
        return "Discarded on";
    case BATCH_IN_CURE:
    default:
        return "In cure since";
    }
}

void
standing_say_state(const struct dossier *dossier, struct sentences *list)
{
    const struct state_change *change = dossier_last_change(dossier);
    char *since, *why;

    if (change == NULL || dossier->batch.state == BATCH_IN_CURE)
        return;
    why = text_visible(change->why);
    since = state_change_since_text(change);
    if (change->automatic) /* what is known by now stands below, and may be another thing */
        sentences_addf(list, SENTENCE_PLAIN, "%s %s; that day: %s", state_words(dossier->batch.state), since,
                       why);
    else
        sentences_addf(list, SENTENCE_PLAIN, "%s %s%s: %s", state_words(dossier->batch.state), since,
                       change->overridden ? ", in spite of what the policy asks" : "", why);
    free(since);
    free(why);
}

static void
add_list(const char *heading, const struct sentences *from, struct sentences *list)
{
    if (from->count > 0)
        sentences_add(list, SENTENCE_PLAIN, heading);
    for (size_t i = 0; i < from->count; i++)
        sentences_add(list, SENTENCE_REASON, from->items[i].text);
}

/* What within means, as far as the evidence reaches. */
static void
add_meaning(const struct conclusion *conclusion, struct sentences *list)
{
    double clear_ph = conclusion->deciding == NULL ? (double)NAN : conclusion->deciding->clear_ph;
    double hidden_pct = bounds_hidden_naoh_pct(clear_ph);

    if (conclusion->verdict != VERDICT_WITHIN || conclusion->basis == CONCLUSION_TITRATION)
        return;
    if (isnan(hidden_pct))
        sentences_add(list, SENTENCE_PLAIN, "within: no sign of too much lye, as far as a pH can tell");
    else
        sentences_addf(list, SENTENCE_PLAIN,
                       "%s: no sign of too much lye, as far as a pH can tell: up to about %.1f %% could hide",
                       conclusion_word(conclusion), hidden_pct);
}

void
standing_say_reasons(const struct conclusion *conclusion, struct sentences *list)
{
    if (conclusion->in_favour.count > 1) /* of one bar the verdict itself says it */
        add_list("What speaks for it:", &conclusion->in_favour, list);
    add_list("What speaks against it:", &conclusion->against, list);
    add_list("What is missing:", &conclusion->missing, list);
    add_list("What was settled:", &conclusion->settled, list);
}

static void
add_warning(enum verdict_word verdict, struct sentences *list)
{
    if (verdict_warning(verdict) != NULL)
        sentences_add(list, SENTENCE_PLAIN, verdict_warning(verdict));
}

void
standing_say_meaning(const struct conclusion *conclusion, struct sentences *list)
{
    if (conclusion->basis == CONCLUSION_NOTHING && !conclusion_holds(conclusion))
        sentences_add(list, SENTENCE_PLAIN,
                      "Nothing was tested that counts, so nothing releases this batch.");
    else if (conclusion->verdict == VERDICT_NOT_JUDGED)
        sentences_add(list, SENTENCE_PLAIN,
                      "The readings do not allow a verdict, so nothing releases this batch.");
    else if (conclusion->basis == CONCLUSION_TITRATION && conclusion->worst != NULL)
        sentences_add(list, SENTENCE_PLAIN,
                      free_alkali_band_source(conclusion->worst->titration->figures.band));
    add_meaning(conclusion, list);
    add_warning(conclusion->verdict, list);
    if (conclusion->disagree)
        sentences_add(list, SENTENCE_PLAIN, "pH and titration say different things about this bar");
}

void
standing_say_verdict(const struct dossier *dossier, const struct conclusion *conclusion,
                     struct sentences *list)
{
    char *words, *code;

    if (conclusion->basis == CONCLUSION_NOTHING && !conclusion->recipe_holds)
        return;
    words = conclusion_text(conclusion);
    code = text_visible(dossier->batch.code);
    sentences_addf(list, SENTENCE_HEADING, "%s: %s", code, words);
    add_warning(conclusion->verdict, list);
    if (conclusion->basis == CONCLUSION_TITRATION)
        sentences_add(list, SENTENCE_PLAIN,
                      free_alkali_band_source(conclusion->worst->titration->figures.band));
    free(words);
    free(code);
}

void
standing_say(const struct dossier *dossier, const struct conclusion *conclusion, struct sentences *list)
{
    standing_say_state(dossier, list);
    standing_say_verdict(dossier, conclusion, list);
    add_meaning(conclusion, list);
    if (conclusion->disagree)
        sentences_add(list, SENTENCE_PLAIN, "pH and titration say different things about this bar");
    standing_say_reasons(conclusion, list);
}

void
standing_say_next(const struct conclusion *conclusion, struct sentences *list)
{
    const struct sentence *next = sentences_find(&conclusion->next, SENTENCE_NEXT);

    if (next != NULL)
        sentences_next(list, (const char *const *)next->words, "%s", next->text);
}
