/* lye_balance_model.c - superfat with its spread: bounds, first order, and Monte Carlo. */
#include "lye_balance_model.h"

#include <gsl/gsl_histogram.h>
#include <math.h>
#include <stdlib.h>

#include "draw.h"
#include "memory.h"

enum { BLOCK = 512, STEPS = 32768 };

/* A product of two uncertain factors, each from its `_low` to its `_low` plus `_width`. */
struct product {
    double first_low, first_width;
    double second_low, second_width;
};

/* A recipe as products: what the fats need, and what the lye gives less what the acids take. */
struct recipe {
    struct product *needed, *effective; /* owned; `effective` is a part of the same memory */
    size_t needed_count, effective_count;
};

static enum status
check_range(double low, double high, double lowest, double highest, const char *what, const char *unit,
            struct failure *failure)
{
    if (!(low >= lowest && high <= highest && low <= high))
        return failure_set(failure, STATUS_RANGE, "%s %g to %g: expected low <= high, from %g to %g%s", what,
                           low, high, lowest, highest, unit);
    return STATUS_OK;
}

static enum status
check_mass(double mass_g, double half_width_g, struct failure *failure)
{
    if (!(mass_g > 0.0 && mass_g <= 1e9))
        return failure_set(failure, STATUS_RANGE, "mass %g g: expected above 0 g", mass_g);
    if (!(half_width_g >= 0.0 && half_width_g < mass_g))
        return failure_set(failure, STATUS_RANGE,
                           "weighing half-width %g g: expected from 0 to below the mass of %g g",
                           half_width_g, mass_g);
    return STATUS_OK;
}

static enum status
check_purity(const struct lye_balance_lye *lye, struct failure *failure)
{
    if (!(lye->purity_low_fraction > 0.0))
        return failure_set(failure, STATUS_RANGE, "purity %g: expected above 0, up to 1",
                           lye->purity_low_fraction);
    return check_range(lye->purity_low_fraction, lye->purity_high_fraction, 0.0, 1.0, "purity", "", failure);
}

static enum status
check_fats(const struct lye_balance_model *model, struct failure *failure)
{
    if (model->fat_count == 0)
        return failure_set(failure, STATUS_RANGE, "no fat in the recipe: at least one is needed");
    for (size_t i = 0; i < model->fat_count; i++) {
        const struct lye_balance_fat *fat = &model->fats[i];

        if (check_mass(fat->mass_g, fat->mass_half_width_g, failure) != STATUS_OK ||
            saponification_check(fat->sv_low_mg_koh_per_g, fat->sv_high_mg_koh_per_g, failure) != STATUS_OK)
            return failure_at(failure, "fat %zu: ", i + 1);
    }
    return STATUS_OK;
}

static enum status
check_lyes(const struct lye_balance_model *model, struct failure *failure)
{
    for (size_t i = 0; i < model->lye_count; i++) {
        const struct lye_balance_lye *lye = &model->lyes[i];

        if (check_mass(lye->mass_g, lye->mass_half_width_g, failure) != STATUS_OK ||
            check_purity(lye, failure) != STATUS_OK)
            return failure_at(failure, "lye %zu: ", i + 1);
    }
    return STATUS_OK;
}

static enum status
check_acids(const struct lye_balance_model *model, struct failure *failure)
{
    for (size_t i = 0; i < model->acid_count; i++) {
        const struct lye_balance_acid *acid = &model->acids[i];

        if (check_mass(acid->mass_g, acid->mass_half_width_g, failure) != STATUS_OK ||
            check_range(acid->naoh_low_g_per_g, acid->naoh_high_g_per_g, 0.0, 2.0, "lye taken",
                        " g NaOH per g", failure) != STATUS_OK)
            return failure_at(failure, "acid %zu: ", i + 1);
    }
    return STATUS_OK;
}

static double
middle(double low, double high)
{
    return low + (high - low) / 2.0;
}

static double
fat_needs_g(const struct lye_balance_fat *fat)
{
    return fat->mass_g * middle(fat->sv_low_mg_koh_per_g, fat->sv_high_mg_koh_per_g) *
           SAPONIFICATION_NAOH_PER_SV;
}

static double
lye_gives_g(const struct lye_balance_lye *lye)
{
    return lye->mass_g * middle(lye->purity_low_fraction, lye->purity_high_fraction) * lye_as_naoh(lye->kind);
}

static double
acid_takes_g(const struct lye_balance_acid *acid)
{
    return acid->mass_g * middle(acid->naoh_low_g_per_g, acid->naoh_high_g_per_g);
}

static struct product
product_of(double mass_g, double half_width_g, double low, double high, double factor)
{
    return (struct product){.first_low = mass_g - half_width_g,
                            .first_width = 2.0 * half_width_g,
                            .second_low = low * factor,
                            .second_width = (high - low) * factor};
}

static struct product
lye_product(const struct lye_balance_lye *lye)
{
    return product_of(lye->mass_g, lye->mass_half_width_g, lye->purity_low_fraction,
                      lye->purity_high_fraction, lye_as_naoh(lye->kind));
}

static void
recipe_init(struct recipe *recipe, const struct lye_balance_model *model)
{
    struct product *effective;

    recipe->needed_count = model->fat_count;
    recipe->effective_count = model->lye_count + model->acid_count;
    recipe->needed = memory_new(recipe->needed_count + recipe->effective_count, sizeof *recipe->needed);
    recipe->effective = effective = recipe->needed + recipe->needed_count;
    for (size_t i = 0; i < model->fat_count; i++) {
        const struct lye_balance_fat *fat = &model->fats[i];

        recipe->needed[i] = product_of(fat->mass_g, fat->mass_half_width_g, fat->sv_low_mg_koh_per_g,
                                       fat->sv_high_mg_koh_per_g, SAPONIFICATION_NAOH_PER_SV);
    }
    for (size_t i = 0; i < model->lye_count; i++)
        *effective++ = lye_product(&model->lyes[i]);
    for (size_t i = 0; i < model->acid_count; i++) {
        const struct lye_balance_acid *acid = &model->acids[i];

        *effective++ = product_of(acid->mass_g, acid->mass_half_width_g, acid->naoh_low_g_per_g,
                                  acid->naoh_high_g_per_g, -1.0);
    }
}

static void
recipe_clear(struct recipe *recipe)
{
    free(recipe->needed);
}

/* The ends of a sum of products. The first factor is a mass and never negative. */
static void
sum_ends(const struct product *products, size_t count, double *ret_low, double *ret_high)
{
    *ret_low = *ret_high = 0.0;
    for (size_t i = 0; i < count; i++) {
        const struct product *p = &products[i];
        double least_g = p->first_low, most_g = p->first_low + p->first_width;
        double bottom = fmin(p->second_low, p->second_low + p->second_width);
        double top = fmax(p->second_low, p->second_low + p->second_width);

        *ret_low += bottom * (bottom < 0.0 ? most_g : least_g);
        *ret_high += top * (top < 0.0 ? least_g : most_g);
    }
}

/* The ends of x / y for y above 0. */
static void
quotient_ends(double x_low, double x_high, double y_low, double y_high, double *ret_low, double *ret_high)
{
    *ret_low = x_low / (x_low < 0.0 ? y_low : y_high);
    *ret_high = x_high / (x_high < 0.0 ? y_high : y_low);
}

static double
superfat(double effective_g, double needed_g)
{
    return 100.0 * (1.0 - effective_g / needed_g);
}

static void
superfat_ends(const struct recipe *recipe, double *ret_lowest_pct, double *ret_highest_pct)
{
    double needed_low, needed_high, effective_low, effective_high, ratio_low, ratio_high;

    sum_ends(recipe->needed, recipe->needed_count, &needed_low, &needed_high);
    sum_ends(recipe->effective, recipe->effective_count, &effective_low, &effective_high);
    quotient_ends(effective_low, effective_high, needed_low, needed_high, &ratio_low, &ratio_high);
    *ret_lowest_pct = 100.0 * (1.0 - ratio_high);
    *ret_highest_pct = 100.0 * (1.0 - ratio_low);
}

/* N, L and A at the middle of every range. */
static void
sum_middles(const struct lye_balance_model *model, struct lye_balance_figures *figures)
{
    for (size_t i = 0; i < model->fat_count; i++)
        figures->needed_g += fat_needs_g(&model->fats[i]);
    for (size_t i = 0; i < model->lye_count; i++)
        figures->given_g += lye_gives_g(&model->lyes[i]);
    for (size_t i = 0; i < model->acid_count; i++)
        figures->taken_by_acids_g += acid_takes_g(&model->acids[i]);
    figures->effective_g = figures->given_g - figures->taken_by_acids_g;
}

enum status
lye_balance_compute(const struct lye_balance_model *model, struct lye_balance_figures *ret_figures,
                    struct failure *failure)
{
    struct lye_balance_figures figures = {0};
    struct recipe recipe;

    if (check_fats(model, failure) != STATUS_OK || check_lyes(model, failure) != STATUS_OK ||
        check_acids(model, failure) != STATUS_OK)
        return failure->status;
    if (model->lye_count == 0)
        return failure_set(failure, STATUS_RANGE, "no lye in the recipe: at least one is needed");
    sum_middles(model, &figures);
    if (!(figures.effective_g > 0.0))
        return failure_set(failure, STATUS_RANGE,
                           "the acids take up all the lye: they need %.4g g NaOH and there are %.4g g",
                           figures.taken_by_acids_g, figures.given_g);

    figures.superfat_pct = superfat(figures.effective_g, figures.needed_g);
    recipe_init(&recipe, model);
    sum_ends(recipe.needed, recipe.needed_count, &figures.needed_low_g, &figures.needed_high_g);
    superfat_ends(&recipe, &figures.superfat_lowest_pct, &figures.superfat_highest_pct);
    recipe_clear(&recipe);
    *ret_figures = figures;
    return STATUS_OK;
}

size_t
lye_balance_part_count(const struct lye_balance_model *model)
{
    return 2 * (model->fat_count + model->lye_count + model->acid_count);
}

/* Both factors of one weighed thing: `slope_pct` is the superfat per gram of NaOH it needs, gives or takes.
 */
static struct lye_balance_part *
add_parts(struct lye_balance_part *parts, enum lye_balance_source mass_source,
          enum lye_balance_source other_source, size_t index, struct product product, double slope_pct)
{
    double first = product.first_low + product.first_width / 2.0;
    double second = product.second_low + product.second_width / 2.0;

    parts[0] = (struct lye_balance_part){.source = mass_source,
                                         .index = index,
                                         .superfat_sd_pct =
                                             fabs(slope_pct * second * product.first_width) / sqrt(12.0)};
    parts[1] = (struct lye_balance_part){.source = other_source,
                                         .index = index,
                                         .superfat_sd_pct =
                                             fabs(slope_pct * first * product.second_width) / sqrt(12.0)};
    return parts + 2;
}

static int
larger_share_first(const void *left, const void *right)
{
    const struct lye_balance_part *a = left, *b = right;

    if (a->share_fraction != b->share_fraction)
        return a->share_fraction > b->share_fraction ? -1 : 1;
    if (a->source != b->source) /* a fixed order for equal shares, whatever the library's qsort does */
        return a->source < b->source ? -1 : 1;
    return (a->index > b->index) - (a->index < b->index);
}

enum status
lye_balance_budget(const struct lye_balance_model *model, struct lye_balance_part *ret_parts,
                   double *ret_superfat_sd_pct, struct failure *failure)
{
    struct lye_balance_figures figures = {0};
    struct lye_balance_part *next = ret_parts;
    struct recipe recipe;
    double fat_slope_pct, lye_slope_pct, variance = 0.0;
    size_t count = lye_balance_part_count(model);

    if (lye_balance_compute(model, &figures, failure) != STATUS_OK)
        return failure->status;
    fat_slope_pct = 100.0 * figures.effective_g / (figures.needed_g * figures.needed_g);
    lye_slope_pct = -100.0 / figures.needed_g;

    recipe_init(&recipe, model);
    for (size_t i = 0; i < model->fat_count; i++)
        next = add_parts(next, LYE_BALANCE_FAT_MASS, LYE_BALANCE_FAT_SV, i, recipe.needed[i], fat_slope_pct);
    for (size_t i = 0; i < model->lye_count; i++)
        next = add_parts(next, LYE_BALANCE_LYE_MASS, LYE_BALANCE_LYE_PURITY, i, recipe.effective[i],
                         lye_slope_pct);
    for (size_t i = 0; i < model->acid_count; i++)
        next = add_parts(next, LYE_BALANCE_ACID_MASS, LYE_BALANCE_ACID_STRENGTH, i,
                         recipe.effective[model->lye_count + i], lye_slope_pct);
    recipe_clear(&recipe);

    for (size_t i = 0; i < count; i++)
        variance += ret_parts[i].superfat_sd_pct * ret_parts[i].superfat_sd_pct;
    for (size_t i = 0; i < count && variance > 0.0; i++)
        ret_parts[i].share_fraction = ret_parts[i].superfat_sd_pct * ret_parts[i].superfat_sd_pct / variance;
    qsort(ret_parts, count, sizeof *ret_parts, larger_share_first);
    *ret_superfat_sd_pct = sqrt(variance);
    return STATUS_OK;
}

/* Counts of equal steps between two ends, which may coincide. Given: gsl_histogram_free(). */
static gsl_histogram *
steps_between(double low, double high)
{
    gsl_histogram *steps = gsl_histogram_alloc(STEPS);

    gsl_histogram_set_ranges_uniform(steps, low, fmax(high, nextafter(low, (double)INFINITY)));
    return steps;
}

/* Rounding can put a value a hair outside the ends. */
static void
count_in(gsl_histogram *steps, const double *values, size_t count)
{
    double low = steps->range[0], high = nextafter(steps->range[STEPS], low);

    for (size_t i = 0; i < count; i++)
        gsl_histogram_increment(steps, fmin(fmax(values[i], low), high));
}

/* Linear within a step. */
static double
quantile(const gsl_histogram *steps, double probability)
{
    gsl_histogram_pdf *sums = gsl_histogram_pdf_alloc(STEPS);
    double value;

    gsl_histogram_pdf_init(sums, steps);
    value = gsl_histogram_pdf_sample(sums, probability);
    gsl_histogram_pdf_free(sums);
    return value;
}

/* Add one draw of the sum of products to each of `count` sums. */
static void
add_products(struct draw *stream, const struct product *products, size_t product_count, double *sums,
             size_t count)
{
    struct draw local = *stream; /* so that the compiler keeps the state in registers */

    for (size_t j = 0; j < product_count; j++) {
        struct product p = products[j];

        for (size_t i = 0; i < count; i++) {
            double first, second;

            draw_pair(&local, &first, &second);
            sums[i] += (p.first_low + p.first_width * first) * (p.second_low + p.second_width * second);
        }
    }
    *stream = local;
}

/* N and L - A of `count` draws. */
static void
draw_recipe(struct draw *stream, const struct recipe *recipe, double *needed, double *effective, size_t count)
{
    for (size_t i = 0; i < count; i++)
        needed[i] = effective[i] = 0.0;
    add_products(stream, recipe->needed, recipe->needed_count, needed, count);
    add_products(stream, recipe->effective, recipe->effective_count, effective, count);
}

static enum status
check_draws(size_t draws, struct failure *failure)
{
    if (draws < 1000 || draws > 1000000000)
        return failure_set(failure, STATUS_RANGE, "%zu draws: expected 1000 to 1000000000", draws);
    return STATUS_OK;
}

/* Standard deviation of Beta(hits + 1, draws - hits + 1). */
static double
proportion_standard_error(size_t hits, size_t draws)
{
    double p = ((double)hits + 1.0) / ((double)draws + 2.0);

    return sqrt(p * (1.0 - p) / ((double)draws + 3.0));
}

enum status
lye_balance_simulate(const struct lye_balance_model *model, size_t draws, uint64_t seed,
                     struct lye_balance_spread *ret_spread, struct failure *failure)
{
    struct lye_balance_figures figures = {0};
    struct recipe recipe;
    gsl_histogram *steps;
    struct draw stream;
    double sum = 0.0, sum_of_squares = 0.0, n = (double)draws, mean, variance;
    size_t hits = 0;

    if (lye_balance_compute(model, &figures, failure) != STATUS_OK ||
        check_draws(draws, failure) != STATUS_OK)
        return failure->status;

    recipe_init(&recipe, model);
    steps = steps_between(figures.superfat_lowest_pct, figures.superfat_highest_pct);
    draw_init(&stream, seed);
    for (size_t done = 0; done < draws;) {
        double needed[BLOCK], effective[BLOCK];
        size_t count = draws - done < BLOCK ? draws - done : BLOCK;

        draw_recipe(&stream, &recipe, needed, effective, count);
        for (size_t i = 0; i < count; i++) {
            double pct = superfat(effective[i], needed[i]);
            double departure = pct - figures.superfat_pct; /* small, so that the squares keep their digits */

            hits += effective[i] > needed[i];
            sum += departure;
            sum_of_squares += departure * departure;
            needed[i] = pct;
        }
        count_in(steps, needed, count);
        done += count;
    }
    mean = sum / n;
    variance = fmax(0.0, (sum_of_squares - n * mean * mean) / (n - 1.0));
    *ret_spread = (struct lye_balance_spread){.seed = seed,
                                              .draws = draws,
                                              .mean_pct = figures.superfat_pct + mean,
                                              .sd_pct = sqrt(variance),
                                              .mean_standard_error_pct = sqrt(variance / n),
                                              .low_pct = quantile(steps, 0.025),
                                              .high_pct = quantile(steps, 0.975),
                                              .p_lye_exceeds_fat = (double)hits / n,
                                              .p_standard_error = proportion_standard_error(hits, draws)};
    gsl_histogram_free(steps);
    recipe_clear(&recipe);
    return STATUS_OK;
}

/* The greatest amount of the sought lye in each of `draws` draws: a histogram of it, and how many are below
 * `wanted_g`. */
static void
draw_greatest(const struct recipe *recipe, const struct product *sought, size_t draws, uint64_t seed,
              double wanted_g, gsl_histogram *steps, size_t *ret_below)
{
    /* The weighing error is the first factor of the sought lye, its purity the second. */
    struct product error = {.first_low = sought->first_low,
                            .first_width = sought->first_width,
                            .second_low = 1.0,
                            .second_width = 0.0};
    struct product purity = {.first_low = 1.0,
                             .first_width = 0.0,
                             .second_low = sought->second_low,
                             .second_width = sought->second_width};
    struct draw stream;
    size_t below = 0;

    draw_init(&stream, seed);
    for (size_t done = 0; done < draws;) {
        double needed[BLOCK], effective[BLOCK], error_g[BLOCK] = {0}, strength[BLOCK] = {0};
        size_t count = draws - done < BLOCK ? draws - done : BLOCK;

        draw_recipe(&stream, recipe, needed, effective, count);
        add_products(&stream, &error, 1, error_g, count);
        add_products(&stream, &purity, 1, strength, count);
        for (size_t i = 0; i < count; i++) {
            needed[i] = (needed[i] - effective[i]) / strength[i] - error_g[i];
            below += needed[i] < wanted_g;
        }
        count_in(steps, needed, count);
        done += count;
    }
    *ret_below = below;
}

static enum status
check_advice(const struct lye_balance_model *model, const struct lye_balance_lye *sought,
             double wanted_superfat_pct, double p_max, size_t draws, struct failure *failure)
{
    if (check_fats(model, failure) != STATUS_OK || check_lyes(model, failure) != STATUS_OK ||
        check_acids(model, failure) != STATUS_OK || check_draws(draws, failure) != STATUS_OK)
        return failure->status;
    if (check_purity(sought, failure) != STATUS_OK)
        return failure_at(failure, "the lye to weigh: ");
    if (!(sought->mass_half_width_g >= 0.0 && sought->mass_half_width_g <= 1e9))
        return failure_set(failure, STATUS_RANGE,
                           "the lye to weigh: weighing half-width %g g: expected 0 g or more",
                           sought->mass_half_width_g);
    if (!(wanted_superfat_pct >= 0.0 && wanted_superfat_pct <= 50.0))
        return failure_set(failure, STATUS_RANGE, "a wanted superfat of %g %%: expected 0 to 50 %%",
                           wanted_superfat_pct);
    if (!(p_max > 0.0 && p_max < 0.5))
        return failure_set(failure, STATUS_RANGE,
                           "an accepted probability of %g: expected above 0 and below 0.5", p_max);
    return STATUS_OK;
}

enum status
lye_balance_advise(const struct lye_balance_model *model, const struct lye_balance_lye *sought,
                   double wanted_superfat_pct, double p_max, size_t draws, uint64_t seed,
                   struct lye_balance_advice *ret_advice, struct failure *failure)
{
    struct lye_balance_figures figures = {0};
    struct lye_balance_advice advice = {0};
    struct product product;
    struct recipe recipe;
    gsl_histogram *steps;
    double strength, needed_low, needed_high, effective_low, effective_high, low_g, high_g;
    size_t below;

    if (check_advice(model, sought, wanted_superfat_pct, p_max, draws, failure) != STATUS_OK)
        return failure->status;
    sum_middles(model, &figures);
    product = lye_product(sought);
    product.first_low = -sought->mass_half_width_g;
    strength = product.second_low + product.second_width / 2.0;
    advice.wanted_g =
        (figures.needed_g * (1.0 - wanted_superfat_pct / 100.0) - figures.effective_g) / strength;

    recipe_init(&recipe, model);
    sum_ends(recipe.needed, recipe.needed_count, &needed_low, &needed_high);
    sum_ends(recipe.effective, recipe.effective_count, &effective_low, &effective_high);
    quotient_ends(needed_low - effective_high, needed_high - effective_low, product.second_low,
                  product.second_low + product.second_width, &low_g, &high_g);
    steps = steps_between(low_g - sought->mass_half_width_g, high_g + sought->mass_half_width_g);
    draw_greatest(&recipe, &product, draws, seed, advice.wanted_g, steps, &below);
    advice.wanted_p = (double)below / (double)draws;
    advice.safe_g = quantile(steps, p_max);
    advice.advised_g = fmin(advice.wanted_g, advice.safe_g);
    gsl_histogram_free(steps);
    recipe_clear(&recipe);

    if (!(advice.advised_g > 0.0))
        return failure_set(failure, STATUS_RANGE,
                           "the lyes already decided leave nothing to add for a superfat of %g %%",
                           wanted_superfat_pct);
    advice.superfat_pct = superfat(figures.effective_g + advice.advised_g * strength, figures.needed_g);
    *ret_advice = advice;
    return STATUS_OK;
}
