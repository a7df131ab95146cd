/* conclusion_reasons.c - what speaks for a batch, against it, and what is missing, in sentences. */
#include <math.h>
#include <stdlib.h>

#include "conclusion_parts.h"
#include "memory.h"
#include "text.h"
#include "verdict_reason.h"
#include "verdict_text.h"

static void
add_titration(const struct bar_standing *bar, const char *name, struct sentences *list)
{
    const struct titration_result *figures = &bar->titration->figures;
    char day[DAY_TEXT_SIZE];

    sentences_addf(list, SENTENCE_REASON, "%s: titration found %.3f +/- %.3f %% free NaOH on %s%s", name,
                   figures->free_naoh_pct, figures->half_width_pct,
                   clock_day_text(clock_day_of(bar->titration->first->taken_at), day),
                   bar->titration->count == 1 ? ", in one portion, which clears nothing" : "");
}

static void
add_sitting(const struct verdict *cup, const char *name, const char *behind, struct sentences *list)
{
    char *text = conclusion_bar_text(cup);

    sentences_addf(list, SENTENCE_REASON, "%s, %s%s", name, text, behind);
    free(text);
}

/* What would end a lye-heavy or a doubtful sitting, behind the sentence that tells of it. */
static const char *
ends_heavy(const struct bar_standing *bar)
{
    return bar->bar == NULL ? "; a lower pH does not take that back, titrations of two bars can"
                            : "; a lower pH does not take that back, a titration of two portions of it can";
}

static const char *
ends_doubt(const struct bar_standing *bar)
{
    if (bar->heavy != NULL) /* which no retest ends */
        return "";
    return bar->bar == NULL ? "; two later sittings of two cups each can settle that: label the bars"
                            : "; a retest of it can settle that";
}

/* What stands against a bar, all of it. */
static void
add_against(const struct bar_standing *bar, struct sentences *list)
{
    char *name = bar_name(bar->bar, BAR_NO_LABEL), day[DAY_TEXT_SIZE];

    if (bar->titration != NULL && bar_titration_word(&bar->titration->figures) > VERDICT_NOT_JUDGED)
        add_titration(bar, name, list);
    if (bar->heavy != NULL)
        add_sitting(bar->heavy, name, ends_heavy(bar), list);
    if (bar->doubt != NULL)
        add_sitting(bar->doubt, name, ends_doubt(bar), list);
    if (bar->last != NULL && bar->last != bar->heavy && bar->last != bar->doubt &&
        bar->last->verdict > VERDICT_NOT_JUDGED)
        add_sitting(bar->last, name, "", list);
    if (bar->look != NULL)
        sentences_addf(
            list, SENTENCE_REASON,
            "%s: %s, seen on %s; a titration of two portions, or a retest of two cups with one cut through "
            "the spot, can settle that",
            name, observation_word_text(OBSERVATION_LOOK, bar->look->word),
            clock_day_text(clock_day_of(bar->look->seen_at), day));
    free(name);
}

/* The worst that was read of a bar and stands no more: it is not forgotten. */
static const struct verdict *
worst_settled(const struct bar_standing *bar, const struct conclusion *conclusion)
{
    const struct verdict *worst = NULL;

    for (size_t i = 0; i < conclusion->sittings.count; i++) {
        const struct verdict *cup = &conclusion->sittings.verdicts[i];

        if (bar_label_same(cup->specimen->bar, bar->bar) && cup->verdict > VERDICT_NOT_JUDGED &&
            (worst == NULL || cup->verdict >= worst->verdict))
            worst = cup;
    }
    return worst;
}

static void
add_settled(const struct bar_standing *bar, const char *name, struct conclusion *conclusion)
{
    const struct verdict *worst = worst_settled(bar, conclusion);
    bool used_up = bar->settled_by_others && bar->used_up_on != DAY_NONE;

    if (worst != NULL)
        add_sitting(worst, name,
                    used_up ? "; the bar is used up, and two others settled it"
                            : "; what was tested later settled it",
                    &conclusion->settled);
    else if (bar->settled_by_others && bar->settled_from <= VERDICT_NOT_JUDGED)
        sentences_addf(&conclusion->settled, SENTENCE_REASON,
                       "%s was cleared while young at most, and is used up; two other bars settled that",
                       name);
    else if (bar->settled_by_others)
        sentences_addf(&conclusion->settled, SENTENCE_REASON,
                       used_up ? "%s was %s and is used up; two other bars settled that"
                               : "%s was %s; what was tested later settled that",
                       name, verdict_word(bar->settled_from));
}

static void
add_bar(const struct bar_standing *bar, struct conclusion *conclusion)
{
    char *name;

    if (bar->verdict > VERDICT_NOT_JUDGED) {
        add_against(bar, &conclusion->against);
        return;
    }
    name = bar_name(bar->bar, BAR_NO_LABEL);
    if (bar->verdict == VERDICT_WITHIN)
        add_settled(bar, name, conclusion);
    if (bar->titration != NULL && bar_titration_word(&bar->titration->figures) == VERDICT_WITHIN)
        add_titration(bar, name, &conclusion->in_favour);
    if (bar->last != NULL)
        add_sitting(bar->last, name, "", &conclusion->in_favour);
    if (bar->verdict == VERDICT_WITHIN && !bar->meets_release && bar->last != NULL)
        sentences_addf(
            &conclusion->missing, SENTENCE_REASON,
            "%s was cleared at %d days only; from day %d on the bound is %g, so it is to be read again", name,
            bar->last->age_d, CLEAR_RIPE_AGE_D,
            bounds_for_release(bar->last->dossier, bar->last->session).clear_ph);
    free(name);
}

/* When the batch was last judged. */
static civil_time
judged_at(const struct conclusion *conclusion)
{
    civil_time at = MOMENT_NONE;

    for (size_t i = 0; i < conclusion->sittings.count; i++)
        if (!conclusion->sittings.verdicts[i].poor && conclusion->sittings.verdicts[i].read_at > at)
            at = conclusion->sittings.verdicts[i].read_at;
    return at;
}

/* Rule 2: those that came later than what was judged. */
static void
add_later_not_judged(struct conclusion *conclusion)
{
    civil_time since = judged_at(conclusion);

    for (size_t i = 0; since != MOMENT_NONE && i < conclusion->sittings.count; i++) {
        const struct verdict *cup = &conclusion->sittings.verdicts[i];
        char *name, day[DAY_TEXT_SIZE];
        bool calibrates = false;

        if (!cup->poor || cup->verdict != VERDICT_NOT_JUDGED || cup->read_at < since)
            continue;
        name = bar_name(cup->specimen->bar, BAR_NO_LABEL);
        sentences_addf(&conclusion->missing, SENTENCE_REASON,
                       "read later, on %s, and not judged: %s (put right first: %s)",
                       clock_day_text(clock_day_of(cup->read_at), day), name,
                       verdict_reason_to_put_right(cup, &calibrates));
        free(name);
    }
}

/* -- the recipe (rule 5) -- */

/* The least free alkali that the evidence shows, and of what; 0: none. */
static double
least_free_naoh_pct(const struct conclusion *conclusion, const char **ret_by)
{
    double least_pct = 0.0;

    for (size_t i = 0; i < conclusion->free_alkali.count; i++) {
        const struct free_alkali_result *result = &conclusion->free_alkali.results[i];

        if (result->age_d >= 2 && result->figures.low_pct > least_pct) {
            least_pct = result->figures.low_pct;
            *ret_by = "titration";
        }
    }
    for (size_t i = 0; i < conclusion->sittings.count; i++) {
        const struct verdict *cup = &conclusion->sittings.verdicts[i];

        if (cup->age_d >= 2 && cup->free_naoh_low_pct > least_pct) {
            least_pct = cup->free_naoh_low_pct;
            *ret_by = "pH";
        }
    }
    return least_pct;
}

static void
add_recipe(const struct verdict_aid *aid, struct conclusion *conclusion)
{
    const struct recipe_evidence *recipe = &aid->recipe;
    struct text p = {0};
    const char *by = "";
    double least_pct = least_free_naoh_pct(conclusion, &by);
    double most_pct = fmax(recipe->most_naoh_pct, CONCLUSION_TRACE_PCT);

    if (!recipe->known)
        return;
    if (recipe->p_excess >= CONCLUSION_RECIPE_NAMED) {
        verdict_text_add_probability(recipe->p_excess, &p);
        sentences_addf(
            &conclusion->against, SENTENCE_REASON, "by its recipe lye exceeds fat with a probability of %s%s",
            text_of(&p),
            conclusion->recipe_holds
                ? ": it stays held until the recipe is put right, with the reason, or two bars were titrated"
                : "");
        text_clear(&p);
    }
    if (least_pct > most_pct)
        sentences_addf(&conclusion->against, SENTENCE_REASON,
                       "the %s shows %.2f %% free NaOH or more, and by its recipe the batch can hold about "
                       "%.2f %% at most: one of "
                       "the two is wrong (a pocket of lye, a wrong portion, a wrong recipe)",
                       by, least_pct, most_pct);
    if (recipe->p_excess_before >= CONCLUSION_RECIPE_NAMED && recipe->p_excess < recipe->p_excess_before) {
        verdict_text_add_probability(recipe->p_excess_before, &p);
        sentences_addf(&conclusion->against, SENTENCE_REASON,
                       "the recipe was put right: before, lye exceeded fat with a probability of %s",
                       text_of(&p));
        text_clear(&p);
    }
}

/* -- corrections -- */

static const struct reading *
reading_of(const struct dossier *dossier, int64_t id)
{
    for (size_t i = 0; i < dossier->reading_count; i++)
        if (dossier->readings[i].id == id)
            return &dossier->readings[i];
    return NULL;
}

/* What a pH comes to as far as it can be brought to the reference; of paper its low end. */
static double
brought_ph(const struct reading *read, double concentration_pct)
{
    struct at_reference shift = {0};
    struct failure ignored = {0};

    if (read->method != READING_METER)
        return read->ph_low;
    if (at_reference(read->temperature_c, concentration_pct, &shift, &ignored) != STATUS_OK)
        shift.shift_ph = 0.0;
    return read->ph + shift.shift_ph;
}

/* Would it have stood against the bar? */
static bool
would_stand(const struct dossier *dossier, const struct specimen *cup, const struct reading *read,
            double concentration_pct)
{
    const struct session *session = dossier_session(dossier, cup->session_id);

    return session != NULL &&
           brought_ph(read, concentration_pct) >
               bounds_of(dossier, session, dossier_age_d(dossier, read->taken_at)).clear_ph -
                   VERDICT_POOR_MARGIN_PH;
}

static bool
differs(double a, double b)
{
    return isnan(a) != isnan(b) || a < b || a > b;
}

static void
add_value(struct text *text, const struct reading *read)
{
    if (read->method == READING_METER)
        text_addf(text, "%.2f", read->ph);
    else
        text_addf(text, "%g to %g by paper", read->ph_low, read->ph_high);
}

/* "replaced by 9.98, said to be of 25.0 degC, before: 40.0". */
static void
add_change(struct text *text, const struct reading *old, const struct reading *new, double before_pct,
           double after_pct)
{
    if (differs(new->ph, old->ph) || differs(new->ph_low, old->ph_low)) {
        text_add(text, "replaced by ");
        add_value(text, new);
    }
    if (differs(new->temperature_c, old->temperature_c))
        text_addf(text, "%ssaid to be of %.1f degC, before: %.1f", text->length > 0 ? ", " : "",
                  new->temperature_c, old->temperature_c);
    if (differs(after_pct, before_pct))
        text_addf(text, "%ssaid to be of a %.2f %% solution, before: %.2f", text->length > 0 ? ", " : "",
                  after_pct, before_pct);
}

/* A reading that was withdrawn, or replaced by one that comes to less at the reference or could not be brought there
 * before, and would have stood above the bound. */
static void
add_correction(const struct dossier *dossier, const struct reading *old, struct sentences *list)
{
    const struct reading *new = reading_of(dossier, old->superseded_by);
    const struct specimen *cup = dossier_specimen(dossier, old->specimen_id),
                          *new_cup = new == NULL ? NULL : dossier_specimen(dossier, new->specimen_id);
    double before_pct, after_pct;
    struct text change = {0}, value = {0};
    char *why, day[DAY_TEXT_SIZE];

    if (cup == NULL || new_cup == NULL)
        return;
    before_pct = specimen_concentration_pct(cup);
    after_pct = specimen_concentration_pct(new_cup);
    if (new->withdrawn)
        text_add(&change, "withdrawn");
    else if (brought_ph(new, after_pct) < brought_ph(old, before_pct) ||
             (isnan(old->temperature_c) && !isnan(new->temperature_c)))
        add_change(&change, old, new, before_pct, after_pct);
    if (change.length > 0 && would_stand(dossier, cup, old, before_pct)) {
        why = text_visible(new->why == NULL ? "" : new->why);
        add_value(&value, old);
        sentences_addf(list, SENTENCE_REASON, "a reading of %s on %s was %s: %s", text_of(&value),
                       clock_day_text(clock_day_of(old->taken_at), day), text_of(&change), why);
        free(why);
    }
    text_clear(&change);
    text_clear(&value);
}

/* Was a reading of the cup high, had its solution been of this concentration? */
static bool
stood_high(const struct dossier *dossier, const struct specimen *cup, double concentration_pct)
{
    for (size_t i = 0; i < dossier->reading_count; i++)
        if (dossier->readings[i].specimen_id == cup->id && reading_stands(&dossier->readings[i]) &&
            dossier->readings[i].method == READING_METER &&
            would_stand(dossier, cup, &dossier->readings[i], concentration_pct))
            return true;
    return false;
}

/* A concentration as stated, which masses that were weighed made stronger. */
static void
add_stated(const struct dossier *dossier, const struct specimen *cup, struct sentences *list)
{
    double now_pct = specimen_concentration_pct(cup);

    if (now_pct > cup->stated_concentration_pct && stood_high(dossier, cup, cup->stated_concentration_pct))
        sentences_addf(list, SENTENCE_REASON,
                       "a solution that was said to be of %.2f %% is of %.2f %% by its masses",
                       cup->stated_concentration_pct, now_pct);
}

/* A weighing that was replaced so that the solution was stronger than thought, and a reading of it stood high. */
static void
add_weighing(const struct dossier *dossier, const struct weighing *old, const struct weighing *new,
             struct sentences *list)
{
    const struct specimen *cup = dossier_specimen(dossier, old->specimen_id);
    struct specimen before;
    char *why, day[DAY_TEXT_SIZE];

    if (cup == NULL || (old->of == WEIGHING_SOAP ? new->mass_g <= old->mass_g : new->mass_g >= old->mass_g))
        return;
    before = *cup;
    *(old->of == WEIGHING_SOAP ? &before.soap_mass_g : &before.water_mass_g) = old->mass_g;
    if (!stood_high(dossier, cup, specimen_concentration_pct(&before)))
        return;
    why = text_visible(new->why == NULL ? "" : new->why);
    sentences_addf(list, SENTENCE_REASON, "a weighing of %.2f g of %s on %s was replaced by %.2f g: %s",
                   old->mass_g, weighing_of_word(old->of), clock_day_text(clock_day_of(old->taken_at), day),
                   new->mass_g, why);
    free(why);
}

static void
add_corrections(const struct dossier *dossier, struct sentences *list)
{
    for (size_t i = 0; i < dossier->reading_count; i++)
        if (dossier->readings[i].superseded_by != 0)
            add_correction(dossier, &dossier->readings[i], list);
    for (size_t i = 0; i < dossier->specimen_count; i++)
        add_stated(dossier, &dossier->specimens[i], list);
    for (size_t i = 0; i < dossier->weighing_count; i++)
        for (size_t j = 0; dossier->weighings[i].supersedes != 0 && j < dossier->weighing_count; j++)
            if (dossier->weighings[j].id == dossier->weighings[i].supersedes)
                add_weighing(dossier, &dossier->weighings[j], &dossier->weighings[i], list);
    for (size_t i = 0; i < dossier->titration_count; i++) {
        const struct titration *old = &dossier->titrations[i], *new = NULL;
        char day[DAY_TEXT_SIZE];

        for (size_t j = 0; j < dossier->titration_count; j++)
            new = dossier->titrations[j].id == old->superseded_by ? &dossier->titrations[j] : new;
        if (old->superseded_by != 0 && new != NULL &&new->volume_ml *new->acid_mol_per_l / new->soap_mass_g <
                                                  old->volume_ml * old->acid_mol_per_l / old->soap_mass_g) {
            char *why = text_visible(new->why == NULL ? "" : new->why);

            sentences_addf(list, SENTENCE_REASON, "a titration of %s was replaced by one that finds less: %s",
                           clock_day_text(clock_day_of(old->taken_at), day), why);
            free(why);
        }
    }
}

/* What verdicts follow from and was put right by field, whatever it did to this one. */
static void
add_fields(const struct dossier *dossier, struct sentences *list)
{
    for (size_t i = 0; i < dossier->correction_count; i++) {
        const struct correction *correction = &dossier->corrections[i];
        char *what, *why;

        if (!correction->field->judged)
            continue;
        what = correction_text(correction);
        why = text_visible(correction->why);
        sentences_addf(list, SENTENCE_REASON, "put right: %s: %s", what, why);
        free(why);
        free(what);
    }
}

void
conclusion_add_reasons(const struct dossier *dossier, const struct verdict_aid *aid,
                       struct conclusion *conclusion)
{
    if (conclusion->by_old_rule)
        sentences_addf(&conclusion->against, SENTENCE_REASON,
                       "released before the rule of this version; by it the batch is %s%s",
                       conclusion_word(conclusion),
                       conclusion_holds(conclusion) ? ", and would be held" : ", and would not be released");
    for (size_t i = 0; i < conclusion->bar_count; i++)
        add_bar(&conclusion->bars[i], conclusion);
    add_later_not_judged(conclusion);
    add_recipe(aid, conclusion);
    add_corrections(dossier, &conclusion->against);
    add_fields(dossier, &conclusion->against);
    if (dossier->batch.parent_id != 0 && conclusion->titrated_within < 2)
        sentences_addf(&conclusion->missing, SENTENCE_REASON,
                       "a reworked batch is released by titrations of two of its bars: %zu of 2",
                       conclusion->titrated_within);
    if (conclusion->so_far)
        sentences_addf(&conclusion->missing, SENTENCE_REASON,
                       "no test at %d days or more that is within, which a release by pH rests on",
                       CLEAR_RIPE_AGE_D);
}
