/* batch.c - "batch add|list|show": what was poured. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch_state.h"
#include "batch_store.h"
#include "commands.h"
#include "dossier_store.h"
#include "follow_store.h"
#include "listing.h"
#include "memory.h"
#include "recipe_lines.h"
#include "text.h"
#include "titration_model.h"

static const struct option_spec add_options[] = {
    {.name = "made", .kind = OPTION_DAY, .value = "DATE", .help = "the day it was poured, as in 2026-03-02"},
    {.name = "title", .kind = OPTION_TEXT, .value = "TEXT", .help = "what it is, as in \"oat bar\""},
    {.name = "role",
     .kind = OPTION_TEXT,
     .value = "ROLE",
     .help = "ordinary (the default), control, variant, or lye-heavy (made so on purpose, as a reference)"},
    {.name = "reference", .kind = OPTION_TEXT, .value = "CODE", .help = "the batch it is compared with"},
    {.name = "fat",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS",
     .many = true,
     .help = "a fat or oil; with the supplier's saponification value: \"olive oil=500@sv 188..192\""},
    {.name = "lye",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS@PURITY",
     .many = true,
     .help = "naoh or koh with its purity, as in \"naoh=104.5@98.5%\""},
    {.name = "acid",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS",
     .many = true,
     .help = "an acid that uses up lye, as in \"citric acid, anhydrous=10\""},
    {.name = "water-g", .kind = OPTION_MASS, .value = "GRAMS", .help = "water of the recipe"},
    {.name = "other",
     .kind = OPTION_TEXT,
     .value = "NAME=GRAMS",
     .many = true,
     .help = "anything else in the recipe"},
    {.name = "note", .kind = OPTION_TEXT, .value = "TEXT", .help = "whatever should be remembered"},
    {.name = NULL},
};
static const struct option_spec list_options[] = {
    {.name = "codes", .kind = OPTION_FLAG, .help = "the codes alone, one a line"},
    {.name = NULL},
};
static const struct option_spec no_options[] = {{.name = NULL}};

static enum status
read_batch(const struct context *context, const struct options *options, struct batch *batch,
           struct failure *failure)
{
    const char *role = options_text(options, "role");
    enum status status = STATUS_OK;

    batch->code = memory_copy(options_name(options, 0));
    batch->title = memory_copy(options_text(options, "title"));
    batch->note = memory_copy(options_text(options, "note"));
    batch->reference_code = memory_copy(options_text(options, "reference"));
    batch->made_on = options_day(options, "made");
    batch->added_at = context_now(context);
    if (role != NULL)
        status = batch_role_parse(role, &batch->role, failure);
    if (status == STATUS_OK)
        status = recipe_lines_read(options, batch, failure);
    return status == STATUS_OK ? batch_check(batch, context_today(context), failure) : status;
}

/* In one transaction: a recipe with more lye than fat holds its batch at once (conclusion.h, rule 5). */
static enum status
file_batch(struct context *context, struct batch *batch, bool *ret_held, struct failure *failure)
{
    struct held_words held;
    enum status status = context_begin(context, &held, failure);

    if (status != STATUS_OK)
        return status;
    status = batch_store_add(context->store, batch, failure);
    if (status == STATUS_OK) {
        fprintf(context->out, "added batch %s\n", batch->code);
        *ret_held = recipe_lines_balance(context, batch);
        status = batch_state_after_results(context, (const char *const[]){batch->code}, 1,
                                           (struct filed_sessions){0}, failure);
    }
    return context_commit(context, &held, status, failure);
}

static enum status
run_add(struct context *context, const struct options *options, struct failure *failure)
{
    struct batch batch = {.made_on = DAY_NONE};
    bool held = false;
    enum status status = read_batch(context, options, &batch, failure);

    if (status == STATUS_OK)
        status = file_batch(context, &batch, &held, failure);
    if (status == STATUS_OK && held)
        status = batch_state_next(context, batch.code, failure);
    else if (status == STATUS_OK)
        context_next(context, "test", batch.code, NULL);
    batch_clear(&batch);
    return status;
}

struct list {
    struct store *store; /* lent */
    struct listing listing;
};

static enum status
list_one(const struct batch *batch, void *payload, struct failure *failure)
{
    struct list *list = payload;
    struct listing *listing = &list->listing;
    struct batch_close closed = {0};
    char made_on[DAY_TEXT_SIZE];
    enum status status = batch_close_store_find(list->store, batch->id, &closed, failure);

    if (status != STATUS_OK)
        return status;
    listing_cell(listing, batch->code);
    listing_cell(listing, clock_day_text(batch->made_on, made_on));
    listing_cell(listing, batch_role_word(batch->role));
    listing_cellf(listing, "%s%s%s", batch_state_word(batch->state),
                  closed.end == BATCH_NOT_CLOSED ? "" : ", ",
                  closed.end == BATCH_NOT_CLOSED ? "" : batch_end_text(closed.end));
    listing_cell(listing, batch->reference_code);
    listing_cell(listing, batch->title);
    batch_close_clear(&closed);
    return STATUS_OK;
}

/* One line a batch, as completion and scripts take it. */
static enum status
print_code(const struct batch *batch, void *payload, struct failure *failure)
{
    char *visible = text_visible(batch->code);

    (void)failure;
    fprintf(payload, "%s\n", visible);
    free(visible);
    return STATUS_OK;
}

static enum status
run_list(struct context *context, const struct options *options, struct failure *failure)
{
    struct list list = {.store = context->store};
    struct listing *listing = &list.listing;
    enum status status;

    if (options_has(options, "codes"))
        return batch_store_list(context->store, print_code, context->out, failure);
    listing_column(listing, "batch", LISTING_LEFT);
    listing_column(listing, "made", LISTING_LEFT);
    listing_column(listing, "role", LISTING_LEFT);
    listing_column(listing, "state", LISTING_LEFT);
    listing_column(listing, "reference", LISTING_LEFT);
    listing_column(listing, "title", LISTING_FLEXIBLE);
    status = batch_store_list(context->store, list_one, &list, failure);
    if (status == STATUS_OK && listing->cell_count == 0)
        fputs("no batches yet\n", context->out);
    else if (status == STATUS_OK)
        listing_print(listing, context->out, context->width);
    if (status == STATUS_OK && listing->cell_count == 0)
        context_next(context, "batch", "add", "CODE", "--made", "DATE", NULL);
    listing_clear(listing);
    return status;
}

static void
show_pair(FILE *out, const char *name, const char *text)
{
    char *visible = text_visible(text);

    if (*visible != '\0')
        fprintf(out, "%-10s %s\n", name, visible);
    free(visible);
}

static void
show_closed(const struct context *context, const struct batch_close *closed)
{
    char day[DAY_TEXT_SIZE], *line;

    if (closed->end == BATCH_NOT_CLOSED)
        return;
    line = text_format("%s, %s%s%s", batch_end_text(closed->end), clock_day_text(closed->closed_on, day),
                       closed->why == NULL ? "" : ": ", closed->why == NULL ? "" : closed->why);
    fprintf(context->out, "%-10s ", "closed");
    listing_paragraph(context->out, context->width > 30 ? context->width - 11 : 19, 11, line);
    free(line);
}

static void
show_recipe(const char *heading, const struct recipe_line *lines, size_t count, FILE *out, size_t width)
{
    struct listing listing = {0};

    listing_column(&listing, "line", LISTING_RIGHT);
    listing_column(&listing, heading, LISTING_LEFT);
    listing_column(&listing, "g", LISTING_RIGHT);
    listing_column(&listing, "name", LISTING_FLEXIBLE);
    listing_column(&listing, "stated", LISTING_LEFT);
    for (size_t i = 0; i < count; i++) {
        const struct recipe_line *line = &lines[i];

        listing_cellf(&listing, "%lld", (long long)line->id);
        listing_cell(&listing, recipe_kind_word(line->kind));
        listing_cellf(&listing, "%.2f", line->mass_g);
        listing_cell(&listing, line->name);
        if (!isnan(line->purity_fraction))
            listing_cellf(&listing, "%g %% pure", line->purity_fraction * 100.0);
        else if (!isnan(line->sv_min_mg_koh_per_g))
            listing_cellf(&listing, "sv %g..%g mg KOH/g", line->sv_min_mg_koh_per_g,
                          line->sv_max_mg_koh_per_g);
        else
            listing_cell(&listing, "");
    }
    if (count > 0)
        listing_print(&listing, out, width);
    listing_clear(&listing);
}

/* The recipes that no longer stand, each with why the one after it took its place. */
static void
show_old_recipes(const struct dossier *dossier, FILE *out, size_t width)
{
    for (size_t i = 0; i + 1 < dossier->revision_count; i++) {
        const struct recipe_revision *old = &dossier->revisions[i], *next = &dossier->revisions[i + 1];
        char at[MOMENT_TEXT_SIZE];
        char *line = text_format("put right %s: %s", clock_moment_text(next->added_at, at), next->why);

        fputc('\n', out);
        listing_paragraph(out, width, 2, line);
        show_recipe("before", old->lines, old->line_count, out, width);
        free(line);
    }
}

static void
show_used_up(const struct dossier *dossier, FILE *out, size_t width)
{
    for (size_t i = 0; i < dossier->used_up_count; i++) {
        const struct used_up *used_up = &dossier->used_up[i];
        char day[DAY_TEXT_SIZE];
        char *line;

        if (!used_up_stands(used_up))
            continue;
        line = text_format("bar %s is used up since %s: %s", used_up->bar,
                           clock_day_text(used_up->used_up_on, day), used_up->why);
        fputc('\n', out);
        listing_paragraph(out, width, 2, line);
        free(line);
    }
}

/* "corrected by 13", "withdrawn", or the reason of a correction. */
static void
cell_fate(struct listing *listing, int64_t superseded_by, int64_t supersedes, bool withdrawn, const char *why)
{
    if (superseded_by != 0)
        listing_cellf(listing, "corrected by %lld", (long long)superseded_by);
    else if (withdrawn)
        listing_cellf(listing, "withdraws %lld: %.150s", (long long)supersedes, why);
    else if (supersedes != 0)
        listing_cellf(listing, "corrects %lld: %.150s", (long long)supersedes, why);
    else
        listing_cell(listing, "");
}

static void
cell_value(struct listing *listing, const struct reading *reading, const struct gear *gear)
{
    int decimals = gear != NULL && gear->resolution_ph > 0.05 ? 1 : 2; /* as the meter shows it */

    if (reading->withdrawn)
        listing_cell(listing, "-");
    else if (reading->method == READING_METER)
        listing_cellf(listing, "%.*f", decimals, reading->ph);
    else
        listing_cellf(listing, "%g..%g%s", reading->ph_low, reading->ph_high,
                      reading->on_surface ? " wet bar" : "");
}

static void
show_readings(const struct dossier *dossier, FILE *out, size_t width)
{
    struct listing listing = {0};
    char at[MOMENT_TEXT_SIZE];

    listing_column(&listing, "reading", LISTING_RIGHT);
    listing_column(&listing, "taken at", LISTING_LEFT);
    listing_column(&listing, "age d", LISTING_RIGHT);
    listing_column(&listing, "bar", LISTING_LEFT);
    listing_column(&listing, "with", LISTING_LEFT);
    listing_column(&listing, "pH", LISTING_RIGHT);
    listing_column(&listing, "degC", LISTING_RIGHT);
    listing_column(&listing, "", LISTING_WRAPPED);
    for (size_t i = 0; i < dossier->reading_count; i++) {
        const struct reading *reading = &dossier->readings[i];
        const struct gear *gear = dossier_gear(dossier, reading->gear_id);
        const struct specimen *specimen = dossier_specimen(dossier, reading->specimen_id);

        listing_cellf(&listing, "%lld", (long long)reading->id);
        listing_cell(&listing, clock_moment_text(reading->taken_at, at));
        listing_cellf(&listing, "%d", dossier_age_d(dossier, reading->taken_at));
        listing_cell(&listing, specimen == NULL ? NULL : specimen->bar);
        listing_cell(&listing, gear == NULL ? "?" : gear->name);
        cell_value(&listing, reading, gear);
        if (isnan(reading->temperature_c))
            listing_cell(&listing, "-");
        else
            listing_cellf(&listing, "%.1f", reading->temperature_c);
        cell_fate(&listing, reading->superseded_by, reading->supersedes, reading->withdrawn, reading->why);
    }
    if (dossier->reading_count > 0) {
        fputc('\n', out);
        listing_print(&listing, out, width);
    }
    listing_clear(&listing);
}

static void
show_weighings(const struct dossier *dossier, FILE *out, size_t width)
{
    struct listing listing = {0};

    listing_column(&listing, "weighing", LISTING_RIGHT);
    listing_column(&listing, "session", LISTING_RIGHT);
    listing_column(&listing, "of", LISTING_LEFT);
    listing_column(&listing, "g", LISTING_RIGHT);
    listing_column(&listing, "", LISTING_WRAPPED);
    for (size_t i = 0; i < dossier->weighing_count; i++) {
        const struct weighing *weighing = &dossier->weighings[i];
        int64_t superseded_by = 0;

        for (size_t k = 0; k < dossier->weighing_count; k++)
            if (dossier->weighings[k].supersedes == weighing->id)
                superseded_by = dossier->weighings[k].id;
        listing_cellf(&listing, "%lld", (long long)weighing->id);
        listing_cellf(&listing, "%lld",
                      (long long)dossier_specimen(dossier, weighing->specimen_id)->session_id);
        listing_cell(&listing, weighing_of_word(weighing->of));
        listing_cellf(&listing, "%g", weighing->mass_g);
        cell_fate(&listing, superseded_by, weighing->supersedes, weighing->withdrawn, weighing->why);
    }
    if (dossier->weighing_count > 0) {
        fputc('\n', out);
        listing_print(&listing, out, width);
        fprintf(out, "session: %s\n", session_meaning);
    }
    listing_clear(&listing);
}

static bool
any_weighed(const struct dossier *dossier)
{
    for (size_t i = 0; i < dossier->titration_count; i++)
        if (dossier->titrations[i].acid_weighed)
            return true;
    return false;
}

static void
show_titrations(const struct dossier *dossier, FILE *out, size_t width)
{
    struct listing listing = {0};
    char day[DAY_TEXT_SIZE];

    listing_column(&listing, "titration", LISTING_RIGHT);
    listing_column(&listing, "done on", LISTING_LEFT);
    listing_column(&listing, "bar", LISTING_LEFT);
    listing_column(&listing, "soap g", LISTING_RIGHT);
    listing_column(&listing, "mol/L", LISTING_RIGHT);
    listing_column(&listing, any_weighed(dossier) ? "mL or g" : "mL", LISTING_RIGHT);
    listing_column(&listing, "blank", LISTING_RIGHT);
    listing_column(&listing, "NaOH %", LISTING_RIGHT);
    listing_column(&listing, "", LISTING_WRAPPED);
    for (size_t i = 0; i < dossier->titration_count; i++) {
        const struct titration *titration = &dossier->titrations[i];
        bool blank = !isnan(titration->blank_ml);

        listing_cellf(&listing, "%lld", (long long)titration->id);
        listing_cell(&listing, clock_day_text(clock_day_of(titration->taken_at), day));
        listing_cell(&listing, titration->bar);
        listing_cellf(&listing, "%g", titration->soap_mass_g);
        listing_cellf(&listing, "%.4g", titration->acid_mol_per_l);
        listing_cellf(&listing, "%g%s", titration->volume_ml, titration->acid_weighed ? " g" : "");
        if (blank)
            listing_cellf(&listing, "%g", titration->blank_ml);
        else
            listing_cell(&listing, "-");
        listing_cellf(&listing, "%.3f",
                      titration_free_naoh_pct(titration->volume_ml - (blank ? titration->blank_ml : 0.0),
                                              titration->acid_mol_per_l, titration->soap_mass_g));
        cell_fate(&listing, titration->superseded_by, titration->supersedes, titration->withdrawn,
                  titration->why);
    }
    if (dossier->titration_count > 0) {
        fputc('\n', out);
        listing_print(&listing, out, width);
    }
    listing_clear(&listing);
}

static void
show_corrections(const struct dossier *dossier, FILE *out, size_t width)
{
    for (size_t i = 0; i < dossier->correction_count; i++) {
        const struct correction *correction = &dossier->corrections[i];
        char at[MOMENT_TEXT_SIZE];
        char *what = correction_text(correction), *why = text_visible(correction->why);
        char *line = text_format("%s %s: %s", clock_moment_text(correction->at, at), what, why);

        fputs(i == 0 ? "\nput right\n  " : "  ", out);
        listing_paragraph(out, width > 40 ? width - 4 : 36, 4, line);
        free(line);
        free(why);
        free(what);
    }
}

static void
show_plans(const struct dossier *dossier, FILE *out, size_t width)
{
    struct listing listing = {0};
    char day[DAY_TEXT_SIZE];

    listing_column(&listing, "plan", LISTING_RIGHT);
    listing_column(&listing, "due", LISTING_LEFT);
    listing_column(&listing, "what", LISTING_FLEXIBLE);
    for (size_t i = 0; i < dossier->plan_entry_count; i++) {
        if (dossier->plan_entries[i].dropped)
            continue;
        listing_cellf(&listing, "%lld", (long long)dossier->plan_entries[i].id);
        listing_cell(&listing, clock_day_text(dossier->plan_entries[i].due_on, day));
        listing_cell(&listing, dossier->plan_entries[i].what);
    }
    if (listing.cell_count > 0) {
        fputc('\n', out);
        listing_print(&listing, out, width);
    }
    listing_clear(&listing);
}

static enum status
run_show(struct context *context, const struct options *options, struct failure *failure)
{
    struct dossier dossier = {0};
    const struct batch *batch = &dossier.batch;
    char made_on[DAY_TEXT_SIZE];
    enum status status = dossier_store_load(context->store, options_name(options, 0), &dossier, failure);

    if (status != STATUS_OK)
        return status;
    show_pair(context->out, "batch", batch->code);
    show_pair(context->out, "title", batch->title);
    show_pair(context->out, "made", clock_day_text(batch->made_on, made_on));
    fprintf(context->out, "%-10s %d days\n", "age", context_today(context) - batch->made_on);
    show_pair(context->out, "role", batch_role_word(batch->role));
    show_pair(context->out, "state", batch_state_word(batch->state));
    show_closed(context, &dossier.closed);
    show_pair(context->out, "reference", batch->reference_code);
    show_pair(context->out, "parent", batch->parent_code);
    show_pair(context->out, "note", batch->note);
    show_recipe("recipe", batch->lines, batch->line_count, context->out, context->width);
    show_old_recipes(&dossier, context->out, context->width);
    show_readings(&dossier, context->out, context->width);
    show_weighings(&dossier, context->out, context->width);
    show_titrations(&dossier, context->out, context->width);
    show_used_up(&dossier, context->out, context->width);
    show_plans(&dossier, context->out, context->width);
    show_corrections(&dossier, context->out, context->width);
    batch_state_print(context, &dossier);
    dossier_clear(&dossier);
    return STATUS_OK;
}

const struct command batch_add_command = {
    .name = "batch add",
    .names = "CODE --made DATE",
    .fewest = 1,
    .most = 1,
    .summary = "record a batch and its recipe",
    .example = "curetrace batch add W-07 --made 2026-03-02 --fat \"olive oil=500\" --lye \"naoh=64@98.5%\"",
    .options = add_options,
    .needs = COMMAND_WRITES_STORE,
    .run = run_add,
};
const struct command batch_list_command = {
    .name = "batch list",
    .names = "",
    .summary = "list the batches",
    .options = list_options,
    .needs = COMMAND_READS_STORE,
    .run = run_list,
};
const struct command batch_show_command = {
    .name = "batch show",
    .names = "CODE",
    .fewest = 1,
    .most = 1,
    .summary = "show a batch with its recipe, its readings and titrations, and their numbers",
    .options = no_options,
    .needs = COMMAND_READS_STORE,
    .run = run_show,
};
