/* free_alkali.c - the titrations of a batch as results. */
#include "free_alkali.h"

#include <math.h>
#include <stdlib.h>

#include "flag.h"
#include "memory.h"
#include "text.h"
#include "uncertainty.h"

static bool
same_number(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

bool
free_alkali_replicates(const struct titration *a, const struct titration *b)
{
    bool together = a->session_id != 0
                        ? a->session_id == b->session_id
                        : b->session_id == 0 && clock_day_of(a->taken_at) == clock_day_of(b->taken_at);

    return together && a->balance_id == b->balance_id && a->acid_weighed == b->acid_weighed &&
           bar_label_same(a->bar, b->bar) && same_number(a->acid_mol_per_l, b->acid_mol_per_l) &&
           same_number(a->u_acid_relative, b->u_acid_relative) && same_number(a->blank_ml, b->blank_ml) &&
           same_number(a->burette_ml, b->burette_ml);
}

static double
readability(const struct dossier *dossier, int64_t balance_id)
{
    const struct gear *balance = dossier_gear(dossier, balance_id);

    return balance == NULL ? (double)NAN : balance->readability_g;
}

/* Rule 3: `value`, or what is assumed for it, flagged. */
static double
known_or(double value, double assumed, enum free_alkali_flag flag, unsigned *flags)
{
    if (!isnan(value))
        return value;
    *flags |= 1u << flag;
    return assumed;
}

/* How far a reading of the acid may be off: half a division, or half a drop and two roundings of the balance. */
static double
reading_half_width(const struct titration *titration, double readability_g, unsigned *flags)
{
    double assumed = titration->acid_weighed ? FREE_ALKALI_DROP_ASSUMED_G : FREE_ALKALI_BURETTE_ASSUMED_ML;
    double half = known_or(titration->burette_ml, assumed, FREE_ALKALI_BURETTE_ASSUMED, flags) / 2.0;

    return titration->acid_weighed ? half + readability_g : half;
}

static struct titration_setup
setup_of(const struct dossier *dossier, const struct titration *titration, unsigned *flags)
{
    double readability_g = known_or(readability(dossier, titration->balance_id),
                                    FREE_ALKALI_BALANCE_ASSUMED_G, FREE_ALKALI_WEIGHING_ASSUMED, flags);
    double half_width = reading_half_width(titration, readability_g, flags);

    return (struct titration_setup){
        .acid_mol_per_l = titration->acid_mol_per_l,
        .acid_relative_u = known_or(titration->u_acid_relative, FREE_ALKALI_ACID_ASSUMED_RELATIVE,
                                    FREE_ALKALI_ACID_ASSUMED, flags),
        .blank_half_width_ml = isnan(titration->blank_ml) ? FREE_ALKALI_BLANK_ASSUMED_ML : half_width,
        .blank_ml = known_or(titration->blank_ml, 0.0, FREE_ALKALI_BLANK_MISSING, flags),
        .burette_half_width_ml = half_width,
        .readability_g = readability_g,
        .own_sd_pct = (double)NAN,
        .own_dof = (double)NAN,
    };
}

/* Compute the result of all titrations that are replicates of result->first. */
static enum status
compute(const struct dossier *dossier, struct free_alkali_result *result, struct failure *failure)
{
    struct titration_portion *portions = memory_new(dossier->titration_count, sizeof *portions);
    enum status status;

    result->count = 0;
    for (size_t i = 0; i < dossier->titration_count; i++) {
        const struct titration *titration = &dossier->titrations[i];

        if (titration_stands(titration) && free_alkali_replicates(titration, result->first))
            portions[result->count++] = (struct titration_portion){.soap_mass_g = titration->soap_mass_g,
                                                                   .volume_ml = titration->volume_ml};
    }
    status = titration_compute(&result->setup, portions, result->count, &result->figures, failure);
    free(portions);
    return status;
}

/* The first of its replicates in the dossier's order. */
static bool
begins_a_result(const struct dossier *dossier, size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (titration_stands(&dossier->titrations[i]) &&
            free_alkali_replicates(&dossier->titrations[i], &dossier->titrations[index]))
            return false;
    return titration_stands(&dossier->titrations[index]);
}

/* Rule 4: once all results are there, give each the scatter of the others. */
static enum status
pool(const struct dossier *dossier, struct free_alkali *found, size_t index, struct failure *failure)
{
    struct free_alkali_result *result = &found->results[index];
    double *sds = memory_new(found->count, sizeof *sds), *dofs = memory_new(found->count, sizeof *dofs);
    size_t count = 0;
    enum status status = STATUS_OK;

    for (size_t i = 0; i < found->count; i++) {
        if (i == index || found->results[i].count < 2)
            continue;
        sds[count] = found->results[i].figures.sd_pct;
        dofs[count++] = (double)(found->results[i].count - 1);
    }
    if (count > 0)
        status = uncertainty_pooled_sd(sds, dofs, count, &result->setup.own_sd_pct, &result->setup.own_dof,
                                       failure);
    if (status == STATUS_OK)
        status = compute(dossier, result, failure);
    if (result->count == 1)
        result->flags |= 1u << FREE_ALKALI_SINGLE;
    if (result->figures.scatter_assumed)
        result->flags |= 1u << FREE_ALKALI_SCATTER_ASSUMED;
    free(sds);
    free(dofs);
    return status;
}

/* Rule 2. */
static void
choose(struct free_alkali *found)
{
    civil_day last = clock_day_of(found->results[found->count - 1].first->taken_at);
    struct free_alkali_result *current = NULL;
    size_t of_that_day = 0;

    for (size_t i = 0; i < found->count; i++) {
        struct free_alkali_result *result = &found->results[i];

        if (clock_day_of(result->first->taken_at) != last)
            continue;
        of_that_day++;
        if (current == NULL || result->figures.high_pct > current->figures.high_pct)
            current = result;
    }
    if (of_that_day > 1)
        current->flags |= 1u << FREE_ALKALI_SEVERAL;
    found->current = current;
}

enum status
free_alkali_of(const struct dossier *dossier, struct free_alkali *ret_free_alkali, struct failure *failure)
{
    struct free_alkali found = {.results = memory_new(dossier->titration_count + 1, sizeof *found.results)};
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < dossier->titration_count; i++) {
        struct free_alkali_result *result = &found.results[found.count];

        if (!begins_a_result(dossier, i))
            continue;
        *result =
            (struct free_alkali_result){.first = &dossier->titrations[i],
                                        .age_d = dossier_age_d(dossier, dossier->titrations[i].taken_at)};
        result->setup = setup_of(dossier, result->first, &result->flags);
        status = compute(dossier, result, failure);
        found.count++;
    }
    if (status == STATUS_OK && found.count == 0)
        status = failure_set(failure, STATUS_MISSING, "batch '%s' was not titrated", dossier->batch.code);
    for (size_t i = 0; status == STATUS_OK && i < found.count; i++)
        status = pool(dossier, &found, i, failure);
    if (status != STATUS_OK) {
        free_alkali_clear(&found);
        return status;
    }
    choose(&found);
    *ret_free_alkali = found;
    return STATUS_OK;
}

const char *
free_alkali_band_source(enum titration_band band)
{
    static const char *const sources[] = {
        [TITRATION_WITHIN] = "at most 0.05 %, the strictest limit found: IS 2888:2004 for toilet soap (read "
                             "second-hand), ASTM D2179 for combination bars",
        [TITRATION_BORDERLINE] =
            "at most 0.1 %: SNI 06-3532-1994 for bath soap, while stricter ones say 0.05 %",
        [TITRATION_HOLD] =
            "above 0.1 %, the limit of SNI 06-3532-1994 for bath soap; ASTM D496 allows chip soap "
            "0.2 %",
        [TITRATION_IRRITANT] =
            "from 0.5 % NaOH a mixture counts as irritant to skin and eyes: CLP, EU 1272/2008 "
            "Annex VI",
        [TITRATION_CORROSIVE] = "from 2 % NaOH a mixture counts as corrosive: CLP, EU 1272/2008 Annex VI",
        [TITRATION_SEVERELY_CORROSIVE] =
            "from 5 % NaOH a mixture counts as severely corrosive: CLP, EU 1272/2008 "
            "Annex VI",
    };

    return sources[band];
}

char *
free_alkali_flag_text(unsigned flags)
{
    static const char *const words[FREE_ALKALI_FLAGS] = {
        [FREE_ALKALI_BLANK_MISSING] = "blank-missing",
        [FREE_ALKALI_ACID_ASSUMED] = "acid-assumed",
        [FREE_ALKALI_BURETTE_ASSUMED] = "burette-assumed",
        [FREE_ALKALI_WEIGHING_ASSUMED] = "weighing-assumed",
        [FREE_ALKALI_SCATTER_ASSUMED] = "scatter-assumed",
        [FREE_ALKALI_SINGLE] = "single-titration",
        [FREE_ALKALI_SEVERAL] = "several-results",
    };

    return flag_text_of(flags, words, FREE_ALKALI_FLAGS);
}

char *
free_alkali_flag_phrases(unsigned flags)
{
    static const char *const phrases[FREE_ALKALI_FLAGS] = {
        [FREE_ALKALI_BLANK_MISSING] = "no blank was run",
        [FREE_ALKALI_ACID_ASSUMED] = "strength of the acid assumed",
        [FREE_ALKALI_BURETTE_ASSUMED] = "burette assumed",
        [FREE_ALKALI_WEIGHING_ASSUMED] = "balance assumed",
        [FREE_ALKALI_SCATTER_ASSUMED] = "scatter assumed",
        [FREE_ALKALI_SINGLE] = "a single portion",
        [FREE_ALKALI_SEVERAL] = "several results that day, the highest counts",
    };

    return flag_phrases_of(flags, phrases, FREE_ALKALI_FLAGS);
}

void
free_alkali_clear(struct free_alkali *free_alkali)
{
    free(free_alkali->results);
    *free_alkali = (struct free_alkali){0};
}
