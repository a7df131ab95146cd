/* recipe.c - "recipe": does the lye of a recipe exceed what its fats can take, and how sure is that? */
#include <math.h>
#include <stdlib.h>

#include "batch_store.h"
#include "caution.h"
#include "commands.h"
#include "csv_out.h"
#include "gear_store.h"
#include "listing.h"
#include "lye_balance.h"
#include "memory.h"
#include "recipe_lines.h"
#include "text.h"

enum { PARTS_SHOWN = 4 };

static const struct option_spec recipe_options[] = {
    {.name = "lye-for",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = 0,
     .high = 50,
     .help = "how much lye to weigh so that this percentage of the fat finds none, as in 5 (0 is allowed)"},
    {.name = "lye-name",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "which lye is to be weighed, when the recipe has two: naoh or koh"},
    {.name = "fat",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS",
     .many = true,
     .help = "without a batch: a fat of the recipe, as for batch add"},
    {.name = "lye",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS@PURITY",
     .many = true,
     .help = "without a batch: its lye"},
    {.name = "acid",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS",
     .many = true,
     .help = "without a batch: an acid that uses up lye"},
    {.name = "water-g", .kind = OPTION_MASS, .value = "GRAMS", .help = "without a batch: its water"},
    {.name = "other",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS",
     .many = true,
     .help = "without a batch: anything else"},
    {.name = "readability-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .low = 1e-6,
     .high = 100,
     .help = "last digit of the balance; of the only one in the notebook when not said, else 1 g"},
    {.name = "draws",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .low = 1000,
     .high = 1e9,
     .help = "how many recipes the Monte Carlo draws; 100000 when not said"},
    {.name = "seed",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .low = 0,
     .high = 1e15,
     .help = "where the draws begin, so that they can be repeated; 1 when not said"},
    CSV_OPTIONS,
    {.name = "csv", .kind = OPTION_FLAG, .help = "one line under fixed headings"},
    {.name = NULL},
};

static enum status
print_csv(const struct context *context, const struct lye_balance *balance, struct failure *failure)
{
    static const char *const headings[] = {"batch",
                                           "lye_needed_low_g",
                                           "lye_needed_g",
                                           "lye_needed_high_g",
                                           "lye_taken_by_acids_g",
                                           "lye_effective_g",
                                           "superfat_pct",
                                           "superfat_low_pct",
                                           "superfat_high_pct",
                                           "p_lye_exceeds_fat",
                                           "flags"};
    char *flags = lye_balance_flag_text(balance->flags);
    struct csv_out csv;

    csv_out_start(&csv, context->out, context->csv);
    csv_out_heading(&csv, headings, LENGTH(headings));
    csv_out_text(&csv, balance->batch->code);
    csv_out_number(&csv, balance->figures.needed_low_g);
    csv_out_number(&csv, balance->figures.needed_g);
    csv_out_number(&csv, balance->figures.needed_high_g);
    csv_out_number(&csv, balance->figures.taken_by_acids_g);
    csv_out_number(&csv, balance->figures.effective_g);
    csv_out_number(&csv, balance->figures.superfat_pct);
    csv_out_number(&csv, balance->spread.low_pct);
    csv_out_number(&csv, balance->spread.high_pct);
    csv_out_number(&csv, balance->spread.p_lye_exceeds_fat);
    csv_out_text(&csv, flags);
    csv_out_end_row(&csv);
    free(flags);
    return csv_out_finish(&csv, NULL, failure);
}

/* One row a line of the recipe that counts. */
static void
print_lines(const struct context *context, const struct lye_balance *balance)
{
    struct listing listing = {0};

    listing_column(&listing, "recipe", LISTING_LEFT);
    listing_column(&listing, "g", LISTING_RIGHT);
    listing_column(&listing, "name", LISTING_FLEXIBLE);
    listing_column(&listing, "counts as", LISTING_LEFT);
    for (size_t i = 0; i < balance->model.fat_count; i++) {
        listing_cell(&listing, "fat");
        listing_cellf(&listing, "%.2f", balance->fats[i].mass_g);
        listing_cell(&listing, balance->fat_lines[i].line->name);
        listing_cellf(&listing, "SV %g to %g mg KOH/g", balance->fats[i].sv_low_mg_koh_per_g,
                      balance->fats[i].sv_high_mg_koh_per_g);
    }
    for (size_t i = 0; i < balance->model.lye_count; i++) {
        listing_cell(&listing, "lye");
        listing_cellf(&listing, "%.2f", balance->lyes[i].mass_g);
        listing_cell(&listing, balance->lye_lines[i].line->name);
        listing_cellf(&listing, "%g to %g %% pure", 100.0 * balance->lyes[i].purity_low_fraction,
                      100.0 * balance->lyes[i].purity_high_fraction);
    }
    for (size_t i = 0; i < balance->model.acid_count; i++) {
        listing_cell(&listing, "acid");
        listing_cellf(&listing, "%.2f", balance->acids[i].mass_g);
        listing_cell(&listing, balance->acid_lines[i].line->name);
        listing_cellf(&listing, "%.3g to %.3g g NaOH/g", balance->acids[i].naoh_low_g_per_g,
                      balance->acids[i].naoh_high_g_per_g);
    }
    listing_print(&listing, context->out, context->width);
    listing_clear(&listing);
}

/* Where the figures come from, and what had to be assumed. */
static void
print_sources(const struct context *context, const struct lye_balance *balance)
{
    const struct lye_balance_line *groups[] = {balance->fat_lines, balance->lye_lines, balance->acid_lines};
    const size_t counts[] = {balance->model.fat_count, balance->model.lye_count, balance->model.acid_count};

    fputs("\nSources and assumptions\n", context->out);
    for (size_t g = 0; g < LENGTH(groups); g++) {
        for (size_t i = 0; i < counts[g]; i++) {
            const struct lye_balance_line *line = &groups[g][i];
            char *text;

            if (line->source == NULL && line->note == NULL)
                continue;
            text = text_format("%s: %s%s%s", line->line->name, line->note == NULL ? "" : line->note,
                               line->note == NULL || line->source == NULL ? "" : "; ",
                               line->source == NULL ? "" : line->source);
            fputs("  ", context->out);
            listing_paragraph(context->out, context->width - 2, 2, text);
            free(text);
        }
    }
    fprintf(context->out, "  weighed to %g g%s\n", balance->readability_g,
            (balance->flags & 1u << LYE_BALANCE_WEIGHING_ASSUMED) != 0
                ? ", which is assumed (gear add, or --readability-g)"
                : "");
}

static void
print_p(FILE *out, double p, size_t draws)
{
    if (p <= 0.0) /* none in n draws: below 3/n with 95 % confidence */
        fprintf(out, "below %.2g %%", 300.0 / (double)draws);
    else if (p > 0.999)
        fputs("more than 99.9 %", out);
    else
        fprintf(out, p < 0.995 ? "%.2g %%" : "%.3g %%", 100.0 * p);
}

static void
print_probability(const struct context *context, const struct lye_balance_spread *spread)
{
    double p = spread->p_lye_exceeds_fat;
    enum tone tone = p >= 0.5 ? TONE_BAD : p > LYE_BALANCE_P_USUAL ? TONE_DOUBT : TONE_GOOD;

    fprintf(context->out, "%sprobability that the lye exceeds the fat: ", context_tone(context, tone));
    print_p(context->out, p, spread->draws);
    fprintf(context->out, "%s (%zu draws from seed %llu)\n", context_tone(context, TONE_PLAIN), spread->draws,
            (unsigned long long)spread->seed);
}

static void
print_doubt(const struct context *context, const struct lye_balance *balance)
{
    fputs("\nWhat dominates the doubt about the superfat\n", context->out);
    for (size_t i = 0; i < balance->part_count && i < PARTS_SHOWN; i++) {
        char *part = lye_balance_part_text(balance, &balance->parts[i]), *visible = text_visible(part);

        if (balance->parts[i].share_fraction > 0.0)
            fprintf(context->out, "  %3.0f %%  %s (+/- %.2g points)\n",
                    100.0 * balance->parts[i].share_fraction, visible, balance->parts[i].superfat_sd_pct);
        free(visible);
        free(part);
    }
}

static void
print_expected(const struct context *context, const struct lye_balance *balance)
{
    const struct lye_balance_expected *expected = &balance->expected;
    struct text text = {0};

    fputs("\nWhat the 1 % solution should read at 40 degC\n  ", context->out);
    text_addf(&text,
              "Without lye in excess pH %.1f to %.1f by the model, %.1f for middling fats: which fatty acids "
              "the soap has moves it more than a little lye does.",
              expected->plain_low_ph, expected->plain_high_ph, expected->plain_ph);
    if (expected->excess_naoh_pct > 0.0)
        text_addf(
            &text,
            " One pour in forty like this has %.2g %% free NaOH or more, and that reads from %.1f up to "
            "%.1f.",
            expected->excess_naoh_pct, expected->excess_ph, expected->excess_high_ph);
    text_add(&text, " A low reading does not prove the balance right; titration can.");
    listing_paragraph(context->out, context->width - 2, 2, text_of(&text));
    text_clear(&text);
}

static void
print_what_next(const struct context *context, const struct lye_balance *balance)
{
    const char *text = "The recipe leaves fat without lye, as it should.";

    if ((balance->flags & 1u << LYE_BALANCE_EXCEEDS) != 0)
        text =
            "Do not pour this: more likely than not its lye exceeds the fat. If it was poured, hold it and "
            "titrate it; --lye-for 5 says how much lye would be right.";
    else if ((balance->flags & 1u << LYE_BALANCE_MAY_EXCEED) != 0)
        text =
            "Too close: within what is known of these fats and this lye there may be lye in excess. Before "
            "pouring take less lye (--lye-for 5 says how much); after pouring titrate it.";
    fputc('\n', context->out);
    listing_paragraph(context->out, context->width, 0, text);
}

static void
print_balance(const struct context *context, const struct lye_balance *balance)
{
    const struct lye_balance_figures *figures = &balance->figures;
    char *flags = lye_balance_flag_text(balance->flags);

    if (balance->batch->code != NULL)
        fprintf(context->out, "%s: ", balance->batch->code);
    fputs("lye balance, in grams of pure NaOH\n\n", context->out);
    print_lines(context, balance);
    fprintf(context->out, "\nthe fats need  %8.2f g (%.2f to %.2f)\n", figures->needed_g,
            figures->needed_low_g, figures->needed_high_g);
    fprintf(context->out, "the lye gives  %8.2f g\n", figures->given_g);
    fprintf(context->out, "acids take     %8.2f g\n", figures->taken_by_acids_g);
    fprintf(context->out, "left for fat   %8.2f g\n", figures->effective_g);
    fprintf(context->out, "superfat       %8.1f %% (95 %% range %.1f to %.1f %%)\n", figures->superfat_pct,
            balance->spread.low_pct, balance->spread.high_pct);
    print_probability(context, &balance->spread);
    print_doubt(context, balance);
    print_expected(context, balance);
    print_sources(context, balance);
    if (*flags != '\0')
        fprintf(context->out, "flags: %s\n", flags);
    print_what_next(context, balance);
    free(flags);
}

static enum status
print_lye_for(const struct context *context, const struct lye_balance *balance, const struct options *options,
              size_t draws, uint64_t seed, struct failure *failure)
{
    double wanted_pct = options_number(options, "lye-for");
    struct lye_balance_lye lye;
    struct lye_balance_advice advice;
    enum status status = lye_balance_lye_for(balance, options_text(options, "lye-name"), wanted_pct, draws,
                                             seed, &lye, &advice, failure);

    if (status != STATUS_OK)
        return status;
    print_lines(context, balance);
    fprintf(context->out, "\nfor %g %% superfat: %.2f g of %s, %g to %g %% pure\n", wanted_pct,
            advice.wanted_g, lye.kind == LYE_KOH ? "koh" : "naoh", 100.0 * lye.purity_low_fraction,
            100.0 * lye.purity_high_fraction);
    fputs("with that much the probability that the lye exceeds the fat is ", context->out);
    print_p(context->out, advice.wanted_p, draws);
    fputc('\n', context->out);
    fprintf(context->out, "the most that keeps the probability at 5 %% or below: %.2f g\n", advice.safe_g);
    fprintf(context->out, "%sweigh %.2f g%s: superfat %.1f %% (%zu draws from seed %llu)\n",
            context_tone(context, TONE_GOOD), advice.advised_g, context_tone(context, TONE_PLAIN),
            advice.superfat_pct, draws, (unsigned long long)seed);
    print_sources(context, balance);
    return STATUS_OK;
}

/* The batch named, or the recipe on the command line. A notebook is needed only for the first. */
static enum status
read_recipe(const struct context *context, const struct options *options, struct batch *batch,
            double *ret_readability_g, struct failure *failure)
{
    bool named = options_name_count(options) > 0;
    struct failure none = {0};
    struct store *store = NULL;
    struct gear balance = {0};
    enum status status = STATUS_OK;

    *ret_readability_g = options_number(options, "readability-g");
    if (!named && context->notebook != NULL)
        context_open_notebook(context, STORE_READ, &store, &none);
    if (named && context->notebook == NULL)
        return failure_set(failure, STATUS_MISSING, "there is no notebook with a batch '%.60s'",
                           options_name(options, 0));
    if (named) {
        status = context_open_notebook(context, STORE_READ, &store, failure);
        if (status == STATUS_OK)
            status = batch_store_find(store, options_name(options, 0), batch, failure);
    }
    if (status == STATUS_OK)
        status = recipe_lines_read(options, batch, failure);
    if (status == STATUS_OK && isnan(*ret_readability_g) && store != NULL &&
        gear_store_only(store, GEAR_BALANCE, &balance, &none) == STATUS_OK)
        *ret_readability_g = balance.readability_g;
    gear_clear(&balance);
    store_close(store);
    return status;
}

static enum status
check_use(const struct options *options, struct failure *failure)
{
    bool typed = options_has(options, "fat") || options_has(options, "lye") || options_has(options, "acid") ||
                 options_has(options, "water-g") || options_has(options, "other");

    if (options_name_count(options) == 0 && !typed)
        return failure_set(
            failure, STATUS_USAGE,
            "expected a batch, or a recipe: curetrace recipe --fat \"olive oil=500\" --lye-for 5");
    if (options_name_count(options) > 0 && typed)
        return failure_set(failure, STATUS_USAGE,
                           "a batch has its recipe already: --fat, --lye, --acid, "
                           "--water-g and --other are for a recipe without a batch");
    if (options_has(options, "csv") && options_has(options, "lye-for"))
        return failure_set(failure, STATUS_USAGE, "--csv shows a balance and does not go with --lye-for");
    return STATUS_OK;
}

static enum status
run_recipe(struct context *context, const struct options *options, struct failure *failure)
{
    size_t draws = (size_t)options_number_or(options, "draws", LYE_BALANCE_DRAWS);
    uint64_t seed = (uint64_t)options_number_or(options, "seed", LYE_BALANCE_SEED);
    struct batch batch = {0};
    struct lye_balance balance = {0};
    double readability_g = (double)NAN;
    enum status status = check_use(options, failure);

    if (status == STATUS_OK)
        status = read_recipe(context, options, &batch, &readability_g, failure);
    if (status == STATUS_OK)
        status = lye_balance_read(&batch, readability_g, &balance, failure);
    if (status == STATUS_OK && options_has(options, "lye-for"))
        status = print_lye_for(context, &balance, options, draws, seed, failure);
    else if (status == STATUS_OK) {
        status = lye_balance_solve(&balance, draws, seed, failure);
        if (status == STATUS_OK && options_has(options, "csv"))
            status = print_csv(context, &balance, failure);
        else if (status == STATUS_OK)
            print_balance(context, &balance);
    }
    if (status == STATUS_OK && !options_has(options, "csv"))
        caution_print(context,
                      CAUTION_LYE | (balance.solved && balance.spread.p_lye_exceeds_fat > LYE_BALANCE_P_USUAL
                                         ? (unsigned)CAUTION_BAR
                                         : 0u));
    lye_balance_clear(&balance);
    batch_clear(&batch);
    return status;
}

const struct command recipe_command = {
    .name = "recipe",
    .names = "[CODE]",
    .fewest = 0,
    .most = 1,
    .summary = "balance a recipe's lye against its fats, or say how much lye to weigh",
    .example = "curetrace recipe --fat \"olive oil=500\" --fat \"coconut oil=250\" --lye-for 5",
    .options = recipe_options,
    .needs = COMMAND_NOTHING,
    .run = run_recipe,
};
