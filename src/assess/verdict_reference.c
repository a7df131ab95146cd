/* verdict_reference.c - a bar held against a sound bar of the same recipe and about the same age.
 *
 * Rules
 * (1) A reference is of the same recipe when its fats make the same shares of all fat, within one hundredth each, and
 *     the lye is the same share of the fat within one hundredth of itself (so the superfat is within about one point).
 *     Where neither recipe is on record the maker's word stands; where one is and the other is not, nothing is claimed.
 * (2) Its batch is neither held nor discarded and no cup of it was ever lye-heavy. The sitting that is used was within,
 *     by itself, at an age that differs from the bar's by at most the larger of a day and a quarter of the bar's age;
 *     the nearest in age, of equal ones the later.
 * (3) What both readings share (calibration, bottle, thermometer ...) moves both alike: it is taken out of both
 *     uncertainties and set beside them (soap.h), with what a check found; what sound bars of one recipe differ by is put
 *     in. That is not learned from the maker's own pairs of batches: the more these differ in lye, the less of it would be
 *     seen. */
#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "soap.h"
#include "text.h"
#include "verdict_parts.h"

static double
mass_of(const struct batch *batch, enum recipe_kind kind, const char *name)
{
    double mass_g = 0.0;

    for (size_t i = 0; i < batch->line_count; i++)
        if (batch->lines[i].kind == kind && (name == NULL || text_same(batch->lines[i].name, name)))
            mass_g += batch->lines[i].mass_g;
    return mass_g;
}

static double
lye_of(const struct batch *batch)
{
    double mass_g = 0.0;

    for (size_t i = 0; i < batch->line_count; i++)
        if (batch->lines[i].kind == RECIPE_LYE)
            mass_g += batch->lines[i].mass_g *
                      (isnan(batch->lines[i].purity_fraction) ? 1.0 : batch->lines[i].purity_fraction);
    return mass_g;
}

/* Does each fat of `a` make the same share in `b`? */
static bool
same_fats(const struct batch *a, const struct batch *b)
{
    static const double alike = 0.01;

    for (size_t i = 0; i < a->line_count; i++) {
        const struct recipe_line *line = &a->lines[i];

        if (line->kind == RECIPE_FAT &&
            fabs(mass_of(a, RECIPE_FAT, line->name) / mass_of(a, RECIPE_FAT, NULL) -
                 mass_of(b, RECIPE_FAT, line->name) / mass_of(b, RECIPE_FAT, NULL)) > alike)
            return false;
    }
    return true;
}

/* Rule 1. */
static bool
same_recipe(const struct batch *a, const struct batch *b)
{
    static const double alike = 0.01;
    double fat_a = mass_of(a, RECIPE_FAT, NULL), fat_b = mass_of(b, RECIPE_FAT, NULL), lye_a, lye_b;

    if (!(fat_a > 0.0) || !(fat_b > 0.0))
        return !(fat_a > 0.0) && !(fat_b > 0.0);
    lye_a = lye_of(a) / fat_a;
    lye_b = lye_of(b) / fat_b;
    return same_fats(a, b) && same_fats(b, a) && fabs(lye_a - lye_b) <= alike * fmax(lye_a, lye_b);
}

/* Rule 2, the batch. */
static bool
is_sound(const struct verdict_list *reference)
{
    enum batch_state state;

    if (reference == NULL || reference->count == 0)
        return false;
    state = reference->verdicts[0].dossier->batch.state;
    for (size_t i = 0; i < reference->count; i++)
        if (reference->verdicts[i].verdict == VERDICT_LYE_HEAVY)
            return false;
    return state != BATCH_HELD && state != BATCH_DISCARDED;
}

/* Rule 2, the sitting; NULL: none of about that age. */
static const struct verdict *
nearest_in_age(const struct verdict_list *reference, int age_d)
{
    double most_d = fmax(1.0, 0.25 * age_d), best_d = INFINITY;
    const struct verdict *best = NULL;

    for (size_t i = 0; i < reference->count; i++) {
        const struct verdict *bar = &reference->verdicts[i];
        double apart_d = abs(bar->age_d - age_d);

        if (bar->verdict != VERDICT_WITHIN || isnan(bar->ph_at_reference) || apart_d > most_d ||
            apart_d > best_d)
            continue;
        best = bar;
        best_d = apart_d;
    }
    return best;
}

/* Half-width of what moves both readings alike (rule 3). */
static double
both_move_ph(const struct verdict *verdict, const struct verdict *reference)
{
    static const double most_ph = 4.0, probability = 0.975, half_each[] = {0.5, 0.5};
    const struct shared_member members[] = {{&verdict->budget.sources, 0}, {&reference->budget.sources, 1}};
    struct shared shared;
    struct shared_sum sum;

    shared_of(members, LENGTH(members), LENGTH(members), &shared);
    sum = shared_sum_of(&shared, half_each, NULL);
    shared_clear(&shared);
    return fmin(most_ph, hypot(shared_half_ph(&sum, 0.0, probability),
                               fmax(verdict->departure_ph, reference->departure_ph)));
}

/* Rule 3. The share of temperature and concentration is one unknown too (sources.h, rule 4), whole in what is left. */
static void
take_reference(const struct verdict *verdict, const struct verdict *reference, struct soap_reading *reading)
{
    double shared = sources_covariance(&verdict->budget.sources, &reference->budget.sources);
    double left = fabs(verdict->budget.share_half_ph - reference->budget.share_half_ph) / sqrt(3.0);
    double own = fmax(0.0, verdict->u_ph * verdict->u_ph - fmax(0.0, shared));
    double its = fmax(0.0, reference->u_ph * reference->u_ph - fmax(0.0, shared));

    reading->u_ph = sqrt(own + left * left);
    reading->reference_ph = reference->ph_at_reference;
    reading->u_reference_ph = hypot(sqrt(its), VERDICT_SOUND_SPREAD_PH);
    reading->shared_half_ph = both_move_ph(verdict, reference);
}

static void
hold_against(struct verdict *verdict, double low_pct)
{
    enum verdict_word says = low_pct > VERDICT_REFERENCE_HEAVY_PCT      ? VERDICT_LYE_HEAVY
                             : low_pct > VERDICT_REFERENCE_DOUBTFUL_PCT ? VERDICT_DOUBTFUL
                                                                        : VERDICT_WITHIN;

    if (says <= verdict->verdict)
        return;
    verdict->verdict = says;
    verdict->raised_by_reference = true;
}

void
verdict_by_reference(struct verdict *verdict, const struct verdict_aid *aid)
{
    const struct verdict *reference = NULL;
    struct soap_reading reading = {.ph = verdict->ph_at_reference,
                                   .u_ph = verdict->u_ph,
                                   .reference_ph = NAN,
                                   .u_reference_ph = NAN,
                                   .temperature_c = REFERENCE_TEMPERATURE_C,
                                   .concentration_pct = REFERENCE_CONCENTRATION_PCT};
    struct soap_free_naoh free_naoh = {0};
    struct failure ignored = {0};

    if (isnan(verdict->p_over_limit))
        return;
    if (aid != NULL && is_sound(aid->reference) &&
        same_recipe(&verdict->dossier->batch, &aid->reference->verdicts[0].dossier->batch))
        reference = nearest_in_age(aid->reference, verdict->age_d);
    if (reference != NULL) {
        take_reference(verdict, reference, &reading);
        verdict->reference = reference->dossier;
        verdict->reference_ph = reference->ph_at_reference;
    }
    if (soap_free_naoh_pct(&reading, &free_naoh, &ignored) != STATUS_OK)
        return;
    verdict->free_naoh_low_pct = free_naoh.low_pct;
    verdict->free_naoh_high_pct = free_naoh.high_pct;
    if (reference != NULL)
        hold_against(verdict, free_naoh.low_pct);
}
