/* rework.c - what would take up the lye in excess of a batch. */
#include "rework.h"

#include <math.h>
#include <string.h>

#include "flag.h"
#include "lye_balance.h"
#include "memory.h"
#include "saponification.h"
#include "soap.h"
#include "text.h"

static double
poured_g(const struct batch *batch)
{
    double sum_g = 0.0;

    for (size_t i = 0; i < batch->line_count; i++)
        sum_g += batch->lines[i].mass_g;
    return sum_g;
}

static double
water_g(const struct batch *batch)
{
    double sum_g = 0.0;

    for (size_t i = 0; i < batch->line_count; i++)
        if (batch->lines[i].kind == RECIPE_WATER)
            sum_g += batch->lines[i].mass_g;
    return sum_g;
}

/* What part of the pour is left (rule 3); 1 when no mass is stated. */
static double
part_left(const struct batch *batch, double batch_mass_g)
{
    double dry_g = poured_g(batch) - water_g(batch);

    return isnan(batch_mass_g) || dry_g <= 0.0 || batch_mass_g >= dry_g ? 1.0 : batch_mass_g / dry_g;
}

/* Rule 2: the mass a percentage is taken of. */
static enum status
mass_of_percent(const struct dossier *dossier, const struct rework_request *request, struct rework *rework,
                struct failure *failure)
{
    rework->batch_mass_g = request->batch_mass_g;
    if (!isnan(rework->batch_mass_g))
        return STATUS_OK;
    rework->batch_mass_g = poured_g(&dossier->batch);
    rework->flags |= 1u << REWORK_MASS_ASSUMED;
    if (rework->batch_mass_g > 0.0)
        return STATUS_OK;
    return failure_set(failure, STATUS_MISSING,
                       "how much soap is it? the batch has no recipe on record (--mass-g GRAMS)");
}

static enum status
from_titration(const struct dossier *dossier, const struct titration_result *figures,
               const struct rework_request *request, struct rework *rework, struct failure *failure)
{
    if (figures->free_naoh_pct <= 0.0)
        return failure_set(failure, STATUS_MISSING,
                           "the titration of '%s' found no free alkali: there is nothing to take up",
                           dossier->batch.code);
    rework->evidence = REWORK_FROM_TITRATION;
    rework->titrated_pct = figures->free_naoh_pct;
    if (figures->band == TITRATION_WITHIN)
        rework->flags |= 1u << REWORK_ALREADY_WITHIN;
    if (mass_of_percent(dossier, request, rework, failure) != STATUS_OK)
        return failure->status;
    if (rework_free_naoh(figures->free_naoh_pct, figures->half_width_pct, rework->batch_mass_g,
                         &rework->free_naoh, failure) != STATUS_OK)
        return failure->status;
    rework->titrated = rework->free_naoh;
    return STATUS_OK;
}

/* Rule 3: what the recipe leaves; central_g is 0 or less where that is none. */
static struct rework_range
left_by_recipe(const struct lye_balance *balance, double part)
{
    double scale = part * balance->figures.needed_g / 100.0;
    double central_g = -balance->figures.superfat_pct * scale;

    return (struct rework_range){.low_g = fmin(fmax(0.0, -balance->spread.high_pct * scale), central_g),
                                 .central_g = central_g,
                                 .high_g = fmax(-balance->spread.low_pct * scale, central_g)};
}

static void
from_balance(const struct lye_balance *balance, const struct rework_request *request, struct rework *rework)
{
    rework->evidence = REWORK_FROM_BALANCE;
    rework->batch_mass_g = request->batch_mass_g;
    rework->free_naoh = left_by_recipe(balance, rework->part_left_fraction);
    if (rework->part_left_fraction < 1.0)
        rework->flags |= 1u << REWORK_MASS_DRIED;
}

/* Of the sittings that stand against the bars, whenever read, the one with the highest result. */
static const struct verdict *
highest_bar(const struct conclusion *conclusion)
{
    const struct verdict *highest = NULL;

    for (size_t i = 0; i < conclusion->bar_count; i++) {
        const struct verdict *cup = bar_deciding(&conclusion->bars[i]);

        if (cup != NULL && cup->verdict >= VERDICT_DOUBTFUL && !isnan(cup->ph_at_reference) &&
            (highest == NULL || cup->ph_at_reference > highest->ph_at_reference))
            highest = cup;
    }
    return highest;
}

/* Rule 4. */
static enum status
from_ph(const struct dossier *dossier, const struct conclusion *conclusion,
        const struct rework_request *request, struct rework *rework, struct failure *failure)
{
    const struct verdict *bar = highest_bar(conclusion);
    struct soap_free_naoh free_naoh;

    if (bar == NULL)
        return failure_set(
            failure, STATUS_MISSING,
            "nothing on record shows lye in excess in '%s': neither a titration, nor its recipe, "
            "nor a pH that could be brought to 40 degC and 1 %%",
            dossier->batch.code);
    if (soap_free_naoh_pct(&(struct soap_reading){.ph = bar->ph_at_reference,
                                                  .u_ph = fmin(bar->u_ph, 2.0),
                                                  .reference_ph = bar->reference_ph,
                                                  .u_reference_ph = 0.05,
                                                  .temperature_c = REFERENCE_TEMPERATURE_C,
                                                  .concentration_pct = REFERENCE_CONCENTRATION_PCT},
                           &free_naoh, failure) != STATUS_OK)
        return failure->status;
    if (free_naoh.estimate_pct <= 0.0) /* the model sees plain soap: half of the upper bound stands in */
        free_naoh.estimate_pct = free_naoh.high_pct / 2.0;
    rework->evidence = REWORK_FROM_PH;
    rework->flags |= 1u << REWORK_PH_WEAK;
    if (mass_of_percent(dossier, request, rework, failure) != STATUS_OK)
        return failure->status;
    rework->free_naoh =
        (struct rework_range){.low_g = free_naoh.low_pct / 100.0 * rework->batch_mass_g,
                              .central_g = free_naoh.estimate_pct / 100.0 * rework->batch_mass_g,
                              .high_g = free_naoh.high_pct / 100.0 * rework->batch_mass_g};
    return STATUS_OK;
}

/* Rule 1. `balance` is not solved when the recipe could not be balanced. */
static enum status
find_excess(const struct dossier *dossier, const struct conclusion *conclusion,
            const struct lye_balance *balance, const struct rework_request *request, struct rework *rework,
            struct failure *failure)
{
    const struct free_alkali_result *titrated;

    if (!isnan(request->batch_mass_g) && !(request->batch_mass_g > 0.0 && request->batch_mass_g <= 1e6))
        return failure_set(failure, STATUS_RANGE, "mass of the batch %g g: expected above 0, to 1000000 g",
                           request->batch_mass_g);
    titrated = bar_titrated_worst(conclusion->bars, conclusion->bar_count);
    if (titrated != NULL)
        return from_titration(dossier, &titrated->figures, request, rework, failure);
    if (balance->solved && balance->figures.superfat_pct < 0.0) {
        from_balance(balance, request, rework);
        return STATUS_OK;
    }
    if (balance->solved)
        rework->flags |= 1u << REWORK_BALANCE_DISAGREES;
    return from_ph(dossier, conclusion, request, rework, failure);
}

/* What a gram of the material takes up, in g NaOH. */
struct material {
    double low_g_per_g, high_g_per_g;
};

/* The name given, else the heaviest fat of the recipe. */
static const char *
material_name(const struct batch *batch, const char *with)
{
    const struct recipe_line *heaviest = NULL;

    if (with != NULL)
        return with;
    for (size_t i = 0; i < batch->line_count; i++)
        if (batch->lines[i].kind == RECIPE_FAT &&
            (heaviest == NULL || batch->lines[i].mass_g > heaviest->mass_g))
            heaviest = &batch->lines[i];
    return heaviest == NULL ? "olive oil" : heaviest->name;
}

static bool
is_fatty_acid(const char *name)
{
    static const char *const beginnings[] = {"stearic", "palmitic", "oleic", "lauric"};

    for (size_t i = 0; i < LENGTH(beginnings); i++)
        if (text_same_start(name, beginnings[i], strlen(beginnings[i])))
            return true;
    return false;
}

/* A fat of the recipe with the supplier's saponification values counts with them. */
static bool
suppliers_fat(const struct batch *batch, const char *name, struct rework *rework, struct material *material)
{
    for (size_t i = 0; i < batch->line_count; i++) {
        const struct recipe_line *line = &batch->lines[i];

        if (line->kind != RECIPE_FAT || isnan(line->sv_min_mg_koh_per_g) || !text_same(line->name, name))
            continue;
        *material = (struct material){.low_g_per_g = line->sv_min_mg_koh_per_g * SAPONIFICATION_NAOH_PER_SV,
                                      .high_g_per_g = line->sv_max_mg_koh_per_g * SAPONIFICATION_NAOH_PER_SV};
        rework->with = line->name;
        rework->is_fat = rework->leaves_superfat = true;
        return true;
    }
    return false;
}

/* Rule 5. */
static enum status
find_material(const struct batch *batch, const char *with, struct rework *rework, struct material *material,
              struct failure *failure)
{
    const char *name = material_name(batch, with);
    struct failure not_a_fat = {0}, not_an_acid = {0};
    struct fat_found fat;
    struct lye_consumer_found acid;

    if (suppliers_fat(batch, name, rework, material))
        return STATUS_OK;
    if (fat_find(name, &fat, &not_a_fat) == STATUS_OK) {
        *material = (struct material){.low_g_per_g = fat.sv_low_mg_koh_per_g * SAPONIFICATION_NAOH_PER_SV,
                                      .high_g_per_g = fat.sv_high_mg_koh_per_g * SAPONIFICATION_NAOH_PER_SV};
        rework->with = fat.name;
        rework->is_fat = rework->leaves_superfat = true;
        return STATUS_OK;
    }
    if (lye_consumer_find(name, &acid, &not_an_acid) != STATUS_OK)
        return failure_set(failure, STATUS_MISSING,
                           "'%.60s' is neither a known fat (%.200s) nor a known acid", name, not_a_fat.text);
    *material =
        (struct material){.low_g_per_g = acid.naoh_low_g_per_g, .high_g_per_g = acid.naoh_high_g_per_g};
    rework->with = acid.name;
    rework->note = acid.note;
    rework->leaves_superfat = is_fatty_acid(acid.name);
    if (acid.note != NULL && acid.naoh_low_g_per_g < acid.naoh_high_g_per_g)
        rework->flags |= 1u << REWORK_NAME_BROAD;
    if (strncmp(acid.name, "sodium bicarbonate", 18) == 0)
        rework->flags |= 1u << REWORK_LEAVES_SODA;
    return STATUS_OK;
}

static enum status
compute_amounts(const struct lye_balance *balance, const struct rework_request *request,
                const struct material *material, struct rework *rework, struct failure *failure)
{
    double sv_low = material->low_g_per_g / SAPONIFICATION_NAOH_PER_SV;
    double sv_high = material->high_g_per_g / SAPONIFICATION_NAOH_PER_SV;
    double bound_g = 0.0;

    rework->superfat_pct = !isnan(request->superfat_pct) ? request->superfat_pct
                           : rework->leaves_superfat     ? REWORK_SUPERFAT_USUAL_PCT
                                                         : 0.0;
    if (!rework->leaves_superfat) {
        if (rework->superfat_pct != 0.0)
            return failure_set(failure, STATUS_RANGE,
                               "%s takes up lye and leaves no superfat: ask for --superfat 0, or use a fat",
                               rework->with);
        if (rework_acid_to_add(&rework->free_naoh, material->low_g_per_g, material->high_g_per_g,
                               &rework->for_zero, failure) != STATUS_OK)
            return failure->status;
        rework->total = rework->for_zero;
        if ((rework->flags & 1u << REWORK_LEAVES_SODA) != 0)
            rework->soda_g = rework_soda_left_g(rework->free_naoh.central_g);
        return STATUS_OK;
    }
    if (balance->solved) /* what the old fat has taken up: all the lye that is not free */
        bound_g = fmax(0.0, balance->figures.effective_g * rework->part_left_fraction -
                                rework->free_naoh.central_g);
    else if (rework->superfat_pct > 0.0)
        rework->flags |= 1u << REWORK_SUPERFAT_ON_ADDED;
    if (rework_fat_to_add(&rework->free_naoh, sv_low, sv_high, 0.0, bound_g, &rework->for_zero, failure) !=
        STATUS_OK)
        return failure->status;
    return rework_fat_to_add(&rework->free_naoh, sv_low, sv_high, rework->superfat_pct, bound_g,
                             &rework->total, failure);
}

/* What is added, with the supplier's saponification values where the recipe has them. */
static struct recipe_line
added_line(const struct batch *parent, const struct rework *rework, double added_g)
{
    struct recipe_line added = {.kind = rework->is_fat ? RECIPE_FAT : RECIPE_ACID,
                                .name = memory_copy(rework->with),
                                .mass_g = added_g,
                                .purity_fraction = (double)NAN,
                                .sv_min_mg_koh_per_g = (double)NAN,
                                .sv_max_mg_koh_per_g = (double)NAN};

    for (size_t i = 0; i < parent->line_count; i++) {
        const struct recipe_line *line = &parent->lines[i];

        if (line->kind == RECIPE_FAT && strcmp(line->name, rework->with) == 0) {
            added.sv_min_mg_koh_per_g = line->sv_min_mg_koh_per_g;
            added.sv_max_mg_koh_per_g = line->sv_max_mg_koh_per_g;
        }
    }
    return added;
}

void
rework_recipe(const struct batch *parent, const struct rework *rework, double added_g, struct batch *child)
{
    for (size_t i = 0; i < parent->line_count; i++) {
        struct recipe_line line = parent->lines[i];

        line.id = 0;
        line.name = memory_copy(line.name);
        line.mass_g *= rework->part_left_fraction;
        batch_add_line(child, line);
    }
    batch_add_line(child, added_line(parent, rework, added_g));
}

static void
balance_recipe(const struct batch *batch, double readability_g, struct lye_balance *balance)
{
    struct failure not_balanced = {0};

    if (lye_balance_read(batch, readability_g, balance, &not_balanced) == STATUS_OK)
        lye_balance_solve(balance, LYE_BALANCE_DRAWS, LYE_BALANCE_SEED, &not_balanced);
}

/* The amounts, and what the recipe of the reworked batch will say. */
static enum status
work_out(const struct batch *batch, const struct lye_balance *balance, const struct rework_request *request,
         const struct material *material, struct rework *rework, struct failure *failure)
{
    struct batch child = {0};
    struct lye_balance after = {0};

    if (compute_amounts(balance, request, material, rework, failure) != STATUS_OK)
        return failure->status;
    rework->advised_g = fmax(rework->total.central_g, rework->for_zero.high_g);
    rework_recipe(batch, rework, rework->advised_g, &child);
    balance_recipe(&child, request->readability_g, &after);
    rework->balanced = after.solved;
    rework->superfat_after_pct = after.figures.superfat_pct;
    rework->superfat_after_low_pct = after.spread.low_pct;
    rework->superfat_after_high_pct = after.spread.high_pct;
    lye_balance_clear(&after);
    batch_clear(&child);
    return STATUS_OK;
}

/* Rule 1: does the recipe leave more than the titration can have overlooked, and would it hold the reworked batch? */
static bool
recipe_says_more(const struct lye_balance *balance, const struct rework *rework)
{
    return rework->evidence == REWORK_FROM_TITRATION && balance->solved && rework->balanced &&
           left_by_recipe(balance, rework->part_left_fraction).low_g > rework->titrated.high_g &&
           rework->superfat_after_pct < 0.0;
}

enum status
rework_of(const struct dossier *dossier, const struct conclusion *conclusion,
          const struct rework_request *request, struct rework *ret_rework, struct failure *failure)
{
    const struct batch *batch = &dossier->batch;
    struct rework rework = {.titrated_pct = (double)NAN,
                            .batch_mass_g = (double)NAN,
                            .part_left_fraction = part_left(batch, request->batch_mass_g)};
    struct lye_balance balance = {0};
    struct material material = {0};
    enum status status = find_material(batch, request->with, &rework, &material, failure);

    balance_recipe(batch, request->readability_g, &balance);
    if (status == STATUS_OK)
        status = find_excess(dossier, conclusion, &balance, request, &rework, failure);
    if (status == STATUS_OK)
        status = work_out(batch, &balance, request, &material, &rework, failure);
    if (status == STATUS_OK && recipe_says_more(&balance, &rework)) {
        rework.flags &= ~(1u << REWORK_ALREADY_WITHIN | 1u << REWORK_MASS_ASSUMED);
        rework.flags |= 1u << REWORK_RECIPE_SAYS_MORE;
        from_balance(&balance, request, &rework);
        status = work_out(batch, &balance, request, &material, &rework, failure);
    }
    lye_balance_clear(&balance);
    if (status == STATUS_OK)
        *ret_rework = rework;
    return status;
}

char *
rework_flag_text(unsigned flags)
{
    static const char *const words[REWORK_FLAGS] = {
        [REWORK_PH_WEAK] = "ph-weak",
        [REWORK_BALANCE_DISAGREES] = "balance-disagrees",
        [REWORK_MASS_ASSUMED] = "mass-assumed",
        [REWORK_MASS_DRIED] = "share-from-dry-mass",
        [REWORK_SUPERFAT_ON_ADDED] = "superfat-on-added",
        [REWORK_LEAVES_SODA] = "leaves-soda",
        [REWORK_NAME_BROAD] = "name-broad",
        [REWORK_ALREADY_WITHIN] = "already-within",
        [REWORK_RECIPE_SAYS_MORE] = "recipe-says-more",
    };

    return flag_text_of(flags, words, REWORK_FLAGS);
}
