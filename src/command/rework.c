/* rework.c - "rework": what would take up the lye in excess of a batch, and the batch that comes of it. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch_case.h"
#include "batch_store.h"
#include "caution.h"
#include "commands.h"
#include "csv_out.h"
#include "follow_store.h"
#include "gear_store.h"
#include "listing.h"
#include "memory.h"
#include "rework.h"
#include "text.h"

static const struct option_spec rework_options[] = {
    {.name = "with",
     .kind = OPTION_TEXT,
     .value = "NAME",
     .help = "a fat, stearic or oleic acid, citric acid, or bicarbonate; the recipe's heaviest fat when not "
             "said"},
    {.name = "superfat",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = 0,
     .high = 50,
     .help = "the part of all fat that should find no lye afterwards; 5 when not said"},
    {.name = "mass-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .help = "of the soap that is reworked, weighed today; what was poured when not said"},
    {.name = "as",
     .kind = OPTION_TEXT,
     .value = "CODE",
     .help = "record the reworked batch under this code; it is held until titrations of two bars say within"},
    {.name = "added-g",
     .kind = OPTION_MASS,
     .value = "GRAMS",
     .help = "with --as: what was really weighed in; the advised mass when not said"},
    {.name = "made",
     .kind = OPTION_DAY,
     .value = "DATE",
     .help = "with --as: the day of the rework; today when not said"},
    {.name = "title", .kind = OPTION_TEXT, .value = "TEXT", .help = "with --as: its title"},
    CSV_OPTIONS,
    {.name = "csv", .kind = OPTION_FLAG, .help = "one line under fixed headings"},
    {.name = NULL},
};

static enum status
print_csv(const struct context *context, const char *code, const struct rework *rework,
          struct failure *failure)
{
    static const char *const headings[] = {"batch",        "free_naoh_g", "with", "fat_for_zero_g",
                                           "superfat_pct", "fat_total_g", "flags"};
    char *flags = rework_flag_text(rework->flags);
    struct csv_out csv;

    csv_out_start(&csv, context->out, context->csv);
    csv_out_heading(&csv, headings, LENGTH(headings));
    csv_out_text(&csv, code);
    csv_out_number(&csv, rework->free_naoh.central_g);
    csv_out_text(&csv, rework->with);
    csv_out_number(&csv, rework->for_zero.central_g);
    csv_out_number(&csv, rework->superfat_pct);
    csv_out_number(&csv, rework->total.central_g);
    csv_out_text(&csv, flags);
    csv_out_end_row(&csv);
    free(flags);
    return csv_out_finish(&csv, NULL, failure);
}

static void
say(const struct context *context, const char *text)
{
    listing_paragraph(context->out, context->width, 0, text);
}

static void
print_range(const struct context *context, const char *what, const struct rework_range *range)
{
    fprintf(context->out, "%-28s %8.1f g (%.1f to %.1f)\n", what, range->central_g, range->low_g,
            range->high_g);
}

static void
print_evidence(const struct context *context, const struct rework *rework,
               const struct conclusion *conclusion)
{
    char *rests_on = conclusion_text(conclusion), *text;

    switch (rework->evidence) {
    case REWORK_FROM_TITRATION:
        text = text_format("Rests on the titration: %.3f %% of %.0f g. On record now: %s.",
                           rework->titrated_pct, rework->batch_mass_g, rests_on);
        break;
    case REWORK_FROM_BALANCE:
        text = text_format(
            "Rests on the balance of the recipe, as if all its fat were saponified and the lye were "
            "still free. On record: %s. A titration would say more.",
            rests_on);
        break;
    case REWORK_FROM_PH:
    default:
        text = text_format(
            "Rests on a pH alone, which is weak: what it means in free lye is a wide range. Titrate "
            "before you rework. On record: %s.",
            rests_on);
        break;
    }
    say(context, text);
    if ((rework->flags & 1u << REWORK_RECIPE_SAYS_MORE) != 0) {
        free(text);
        text = text_format("The recipe leaves %.1f g of lye too much (%.1f to %.1f), the titration finds "
                           "%.1f g (%.1f to %.1f): one of the two is "
                           "wrong (a pocket, a wrong portion, a wrong recipe). The larger counts here. "
                           "Titrate another bar, or see "
                           "what was really weighed, before you rework.",
                           rework->free_naoh.central_g, rework->free_naoh.low_g, rework->free_naoh.high_g,
                           rework->titrated.central_g, rework->titrated.low_g, rework->titrated.high_g);
        say(context, text);
    }
    if ((rework->flags & 1u << REWORK_BALANCE_DISAGREES) != 0)
        say(context,
            "The recipe on record leaves no lye in excess, the test says otherwise: perhaps something was "
            "weighed or written wrong, or the bar is not mixed evenly.");
    if ((rework->flags & 1u << REWORK_ALREADY_WITHIN) != 0)
        say(context, "The titration is within already: nothing needs to be reworked.");
    if (rework->note != NULL) {
        free(text);
        text = text_format("%s: %s", rework->with, rework->note);
        say(context, text);
    }
    free(text);
    free(rests_on);
}

static void
print_rework(const struct context *context, const struct batch *batch, const struct rework *rework,
             const struct conclusion *conclusion)
{
    char *flags = rework_flag_text(rework->flags);

    fprintf(context->out, "%s: rework with %s\n\n", batch->code, rework->with);
    print_range(context, "free NaOH", &rework->free_naoh);
    print_range(context, "takes it up, nothing left", &rework->for_zero);
    if (rework->superfat_pct > 0.0) {
        char *what = text_format("and leaves %g %% superfat", rework->superfat_pct);

        print_range(context, what, &rework->total);
        free(what);
    }
    if (rework->evidence == REWORK_FROM_PH) { /* a pH tells too little of how much lye there is */
        char *code = text_as_typed(batch->code);

        fprintf(context->out,
                "%sdo not weigh anything yet%s: titrate first (curetrace titrate %s), these are ranges from "
                "a pH alone\n\n",
                context_tone(context, TONE_DOUBT), context_tone(context, TONE_PLAIN), code);
        free(code);
    } else {
        fprintf(context->out, "%s%-28s %8.1f g%s\n%s", context_tone(context, TONE_GOOD), "weigh",
                rework->advised_g, context_tone(context, TONE_PLAIN), rework->balanced ? "" : "\n");
    }
    if (rework->balanced && rework->evidence != REWORK_FROM_PH)
        fprintf(context->out, "%-28s %8.1f %% (%.1f to %.1f)\n\n", "superfat then, by the recipe",
                rework->superfat_after_pct, rework->superfat_after_low_pct, rework->superfat_after_high_pct);
    print_evidence(context, rework, conclusion);
    if (rework->soda_g > 0.0)
        fprintf(context->out,
                "It leaves about %.1f g of washing soda in the soap, which is alkaline itself and "
                "titrates in part.\n",
                rework->soda_g);
    if (*flags != '\0')
        fprintf(context->out, "flags: %s\n", flags);
    say(context,
        "Rework is hard to complete (an old handbook says so): melt or grate, mix until even, and titrate "
        "two bars again. The batch stays held until both say within.");
    free(flags);
}

static struct batch
child_of(const struct context *context, const struct options *options, const struct batch *parent,
         const struct rework *rework)
{
    civil_day made_on = options_day(options, "made");
    double added_g = options_number_or(options, "added-g", rework->advised_g);
    struct batch child = {
        .code = memory_copy(options_text(options, "as")),
        .title = memory_copy(options_has(options, "title") ? options_text(options, "title") : parent->title),
        .made_on = made_on == DAY_NONE ? context_today(context) : made_on,
        .role = parent->role == BATCH_LYE_HEAVY ? BATCH_ORDINARY : parent->role,
        .reference_code = memory_copy(parent->reference_code),
        .parent_code = memory_copy(parent->code),
        .note = text_format("reworked from %s with %.1f g of %s", parent->code, added_g, rework->with),
        .added_at = context_now(context)};

    rework_recipe(parent, rework, added_g, &child);
    return child;
}

static void
print_filed(const struct context *context, const struct batch *child, const struct batch *parent)
{
    char *why = text_format("reworked into %s", child->code), *why_typed = text_as_typed(why);
    char *one = text_format("%s/1", child->code), *two = text_format("%s/2", child->code);
    char *parent_typed = text_as_typed(parent->code), *notebook = context_notebook_typed(context);

    fprintf(context->out, "\nadded batch %s, reworked from %s; it is held\n", child->code, parent->code);
    context_next(context, "titrate", one, two, NULL);
    fprintf(context->out, "when nothing of %s is left: curetrace batch discard %s --why %s%s\n", parent->code,
            parent_typed, why_typed, notebook);
    free(one);
    free(two);
    free(why);
    free(why_typed);
    free(parent_typed);
    free(notebook);
}

/* The reworked batch and its hold, together or not at all. */
static enum status
file_child(struct context *context, const struct options *options, const struct batch *parent,
           const struct rework *rework, struct failure *failure)
{
    struct batch child;
    char *why = text_format("reworked from %s: held until titrations of two bars say within", parent->code);
    struct state_change change = {
        .state = BATCH_HELD, .at = context_now(context), .why = why, .automatic = true};
    enum status status = STATUS_OK;

    if (parent->state == BATCH_DISCARDED) {
        free(why);
        return failure_set(failure, STATUS_CONFLICT, "%s is discarded: there is nothing left to rework",
                           parent->code);
    }
    child = child_of(context, options, parent, rework);
    status = batch_check(&child, context_today(context), failure);
    if (status == STATUS_OK && child.made_on < parent->made_on)
        status = failure_set(failure, STATUS_RANGE, "--made: the rework is not before the pour");
    if (status == STATUS_OK)
        status = store_begin(context->store, failure);
    if (status == STATUS_OK) {
        status = batch_store_add(context->store, &child, failure);
        change.batch_id = child.id;
        if (status == STATUS_OK)
            status = state_change_store_add(context->store, &change, failure);
        status = store_end(context->store, status, failure);
    }
    if (status == STATUS_OK)
        print_filed(context, &child, parent);
    batch_clear(&child);
    free(why);
    return status;
}

static enum status
check_use(const struct options *options, struct failure *failure)
{
    if (!options_has(options, "as") &&
        (options_has(options, "added-g") || options_has(options, "made") || options_has(options, "title")))
        return failure_set(failure, STATUS_USAGE, "--added-g, --made and --title go with --as CODE");
    if (options_has(options, "as") && options_has(options, "csv"))
        return failure_set(failure, STATUS_USAGE, "--csv shows amounts and files nothing: leave out --as");
    return STATUS_OK;
}

static enum status
compute(const struct context *context, const struct options *options, const struct batch_case *known,
        struct rework *rework, struct failure *failure)
{
    struct gear balance = {0};
    struct failure none = {0};
    struct rework_request request = {.with = options_text(options, "with"),
                                     .superfat_pct = options_number(options, "superfat"),
                                     .batch_mass_g = options_number(options, "mass-g"),
                                     .readability_g = (double)NAN};

    if (gear_store_only(context->store, GEAR_BALANCE, &balance, &none) == STATUS_OK)
        request.readability_g = balance.readability_g;
    gear_clear(&balance);
    return rework_of(&known->dossier, &known->conclusion, &request, rework, failure);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct batch_case known = {0};
    struct rework rework = {0};
    const struct batch *batch = &known.dossier.batch;
    enum status status = check_use(options, failure);

    if (status == STATUS_OK)
        status = batch_case_open(context->store, options_name(options, 0), &known, failure);
    if (status == STATUS_OK)
        status = compute(context, options, &known, &rework, failure);
    if (status == STATUS_OK && options_has(options, "csv")) {
        status = print_csv(context, batch->code, &rework, failure);
    } else if (status == STATUS_OK) {
        if (options_has(options, "as"))
            status = file_child(context, options, batch, &rework, failure);
        else
            print_rework(context, batch, &rework, &known.conclusion);
        if (status == STATUS_OK)
            caution_print(context, CAUTION_LYE | CAUTION_HEAT | CAUTION_BAR);
    }
    batch_case_clear(&known);
    return status;
}

static bool
only_reads(const struct options *options)
{
    return !options_has(options, "as");
}

const struct command rework_command = {
    .name = "rework",
    .names = "CODE",
    .fewest = 1,
    .most = 1,
    .summary = "what would bring a lye-heavy batch back, and record the batch that comes of it",
    .example = "curetrace rework W-07 --with \"olive oil\" --superfat 5 --mass-g 940",
    .options = rework_options,
    .needs = COMMAND_CHANGES_STORE,
    .only_reads = only_reads,
    .run = run,
};
