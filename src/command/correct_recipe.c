/* correct_recipe.c - "correct recipe": the whole recipe of a batch put right. The wrong one stays on record. */
#include <math.h>
#include <stdlib.h>

#include "batch_state.h"
#include "batch_store.h"
#include "commands.h"
#include "memory.h"
#include "recipe_lines.h"
#include "text.h"

static const struct option_spec correct_recipe_options[] = {
    {.name = "fat",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS",
     .many = true,
     .help = "a fat of the recipe, as for batch add; the whole recipe is said again"},
    {.name = "lye", .kind = OPTION_TEXT, .value = "NAME=GRAMS@PURITY", .many = true, .help = "its lye"},
    {.name = "acid",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS",
     .many = true,
     .help = "an acid that uses up lye"},
    {.name = "water-g", .kind = OPTION_MASS, .value = "GRAMS", .help = "its water"},
    {.name = "other", .kind = OPTION_TEXT, .value = "NAME=GRAMS", .many = true, .help = "anything else"},
    {.name = "add", .kind = OPTION_FLAG, .help = "add these lines to the recipe; it is not said again"},
    {.name = "why", .kind = OPTION_TEXT, .value = "TEXT", .help = "the reason; needed, and kept"},
    {.name = NULL},
};

/* The batch as it is on record, with the recipe that was typed. */
static enum status
read_batch(const struct context *context, const struct options *options, struct batch *batch,
           struct failure *failure)
{
    struct batch found = {0};
    enum status status = batch_store_find(context->store, options_name(options, 0), &found, failure);

    batch->id = found.id;
    batch->made_on = found.made_on;
    batch->code = memory_copy(found.code);
    if (options_has(options, "add")) {
        batch->lines = found.lines;
        batch->line_count = found.line_count;
        found.lines = NULL;
        found.line_count = 0;
    }
    batch_clear(&found);
    if (status == STATUS_OK)
        status = recipe_lines_read(options, batch, failure);
    if (status == STATUS_OK)
        status = batch_check(batch, context_today(context), failure);
    return status == STATUS_OK ? recipe_lines_check(batch, failure) : status;
}

/* In one transaction: a recipe with more lye than fat holds its batch at once, and no recipe releases one. */
static enum status
file_recipe(struct context *context, struct batch *batch, const char *why, struct failure *failure)
{
    struct held_words held;
    struct standings before = {0};
    char *cause = text_format("the recipe was put right: %s", why);
    enum status status = context_begin(context, &held, failure);

    if (status != STATUS_OK) {
        free(cause);
        return status;
    }
    status = standings_add(context->store, (const char *const[]){batch->code}, 1, &before, failure);
    if (status == STATUS_OK)
        status = batch_store_revise(context->store, batch->id, batch->lines, batch->line_count, why,
                                    context_now(context), failure);
    if (status == STATUS_OK) {
        fprintf(context->out, "the recipe of %s is put right; the old one stays on record\n", batch->code);
        recipe_lines_balance(context, batch);
        status = batch_state_after_change(context, &before, cause, failure);
    }
    standings_clear(&before);
    free(cause);
    return context_commit(context, &held, status, failure);
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    const char *why = options_text(options, "why");
    struct batch batch = {.made_on = DAY_NONE};
    enum status status;

    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "say why: --why \"wrote 145 g of lye for 125 g\"");
    if (!options_has(options, "add") && (!options_has(options, "fat") || !options_has(options, "lye")))
        return failure_set(failure, STATUS_USAGE,
                           "say the whole recipe again, with --fat and --lye; what is not said is not in it");
    status = read_batch(context, options, &batch, failure);
    if (status == STATUS_OK)
        status = file_recipe(context, &batch, why, failure);
    if (status == STATUS_OK)
        context_next(context, "verdict", batch.code, NULL);
    batch_clear(&batch);
    return status;
}

const struct command correct_recipe_command = {
    .name = "correct recipe",
    .names = "CODE --fat NAME=GRAMS --lye NAME=GRAMS@PURITY --why TEXT",
    .fewest = 1,
    .most = 1,
    .summary = "put the whole recipe of a batch right; what was there stays, with the reason",
    .example = "curetrace correct recipe W-07 --fat \"olive oil=500\" --lye \"naoh=64@98.5%\" --why \"wrote "
               "74 for 64\"",
    .options = correct_recipe_options,
    .needs = COMMAND_CHANGES_STORE,
    .run = run,
};
