/* plan.c - "plan": how many readings a question needs, the ages worth testing, and dates to keep.
 *
 * Rules
 * (1) Looking writes nothing; --enter adds the proposed dates, --drop takes one back and says why.
 * (2) A date that stands already is not entered again.
 * (3) With two batches each is planned on its own ages: results of about one age are pairs. */
#include <math.h>
#include <stdlib.h>

#include "batches_named.h"
#include "commands.h"
#include "csv_out.h"
#include "follow_store.h"
#include "listing.h"
#include "memory.h"
#include "planning.h"
#include "text.h"

static const struct option_spec plan_options[] = {
    {.name = "difference",
     .kind = OPTION_PH,
     .value = "PH",
     .low = 0.01,
     .high = 5,
     .help = "the difference between recipes that is to show; 0.2 when not said"},
    {.name = "power",
     .kind = OPTION_PERCENT,
     .value = "PERCENT",
     .low = 50,
     .high = 99.9,
     .help = "how surely it is to show when it is there; 80 when not said"},
    {.name = "target-ph",
     .kind = OPTION_PH,
     .value = "PH",
     .low = 0,
     .high = 14,
     .help = "the pH wanted at the end of the cure; 10.0 when not said"},
    {.name = "ages",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .low = 1,
     .high = PLANNING_MOST_AGES,
     .help = "how many ages to propose; 4 when not said"},
    {.name = "enter", .kind = OPTION_FLAG, .help = "keep the proposed dates, so that due lists them"},
    {.name = "drop",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .help = "take a date back (its number is in the list)"},
    {.name = "why",
     .kind = OPTION_TEXT,
     .value = "TEXT",
     .help = "with --drop: the reason; needed, and kept"},
    CSV_OPTIONS,
    {.name = "csv", .kind = OPTION_FLAG, .help = "the dates as a table"},
    {.name = NULL},
};

/* What is planned for one batch. */
struct plan {
    struct batch_case *batch; /* owned */
    struct planning_age ages[PLANNING_MOST_AGES];
    size_t count;
};

struct plans {
    struct context *context;
    const struct options *options;
    struct plan plans[2];
    size_t count;
};

static const struct dossier *
dossier_of(const struct plan *plan)
{
    return &plan->batch->dossier;
}

static enum status
take(struct batch_case *batch, struct batch_rows rows, void *payload, struct failure *failure)
{
    struct plans *plans = payload;
    struct plan *plan = &plans->plans[plans->count++];
    int today_age_d = context_today(plans->context) - batch->dossier.batch.made_on;

    (void)rows;
    (void)failure;
    plan->batch = batch;
    plan->count = planning_ages(&batch->cure, batch->series.points, today_age_d,
                                (size_t)options_number_or(plans->options, "ages", 4), plan->ages);
    return STATUS_OK;
}

static civil_day
due_on(const struct plan *plan, const struct planning_age *age)
{
    return dossier_of(plan)->batch.made_on + (civil_day)age->age_d;
}

/* The entry for a test on that day that stands; NULL: none. */
static const struct plan_entry *
entry_on(const struct dossier *dossier, civil_day day)
{
    for (size_t i = 0; i < dossier->plan_entry_count; i++)
        if (!dossier->plan_entries[i].dropped && dossier->plan_entries[i].due_on == day &&
            text_same(dossier->plan_entries[i].what, "test"))
            return &dossier->plan_entries[i];
    return NULL;
}

/* Rule 2. */
static enum status
enter_all(const struct plans *plans, size_t *ret_entered, struct failure *failure)
{
    struct store *store = plans->context->store;
    enum status status = store_begin(store, failure);

    if (status != STATUS_OK)
        return status;
    for (size_t p = 0; status == STATUS_OK && p < plans->count; p++)
        for (size_t i = 0; status == STATUS_OK && i < plans->plans[p].count; i++) {
            const struct plan *plan = &plans->plans[p];
            char *what = memory_copy("test"), *why = memory_copy(planning_why_text(plan->ages[i].why));
            struct plan_entry entry = {.batch_id = dossier_of(plan)->batch.id,
                                       .due_on = due_on(plan, &plan->ages[i]),
                                       .what = what,
                                       .why = why,
                                       .added_at = context_now(plans->context)};

            if (entry_on(dossier_of(plan), entry.due_on) == NULL) {
                status = plan_entry_store_add(store, &entry, failure);
                (*ret_entered)++;
            }
            plan_entry_clear(&entry);
        }
    return store_end(store, status, failure);
}

static enum status
drop(const struct plans *plans, struct failure *failure)
{
    int64_t id = (int64_t)options_number(plans->options, "drop");
    const char *why = options_text(plans->options, "why");

    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "why is it dropped? --why TEXT is kept with it");
    for (size_t p = 0; p < plans->count; p++) {
        const struct dossier *dossier = dossier_of(&plans->plans[p]);

        for (size_t i = 0; i < dossier->plan_entry_count; i++) {
            char day[DAY_TEXT_SIZE];
            enum status status;

            if (dossier->plan_entries[i].id != id)
                continue;
            status =
                plan_entry_store_drop(plans->context->store, id, context_now(plans->context), why, failure);
            if (status == STATUS_OK)
                fprintf(plans->context->out, "dropped date %lld, %s\n", (long long)id,
                        clock_day_text(dossier->plan_entries[i].due_on, day));
            return status;
        }
    }
    return failure_set(failure, STATUS_MISSING, "there is no date %lld in the plan of %s%s", (long long)id,
                       dossier_of(&plans->plans[0])->batch.code,
                       plans->count > 1 ? " or the other batch" : "");
}

/* -- what is shown -- */

static enum status
print_need(const struct plans *plans, struct failure *failure)
{
    const struct context *context = plans->context;
    const struct cure *cures[2];
    const struct cure_point *points[2];
    struct comparison pairs = {0};
    struct planning_scatter scatter;
    struct planning_need need;
    double difference = options_number_or(plans->options, "difference", COMPARISON_MARGIN_USUAL_PH);
    double power = options_number_or(plans->options, "power", 100.0 * COMPARISON_POWER);
    double shared_ph;
    enum status status = STATUS_OK;
    char *line, *certainty;

    for (size_t i = 0; i < plans->count; i++) {
        cures[i] = &plans->plans[i].batch->cure;
        points[i] = plans->plans[i].batch->series.points;
    }
    if (plans->count == 2)
        status = comparison_make(points[0], cures[0]->count, points[1], cures[1]->count,
                                 COMPARISON_WINDOW_USUAL, COMPARISON_MARGIN_USUAL_PH, &pairs, failure);
    if (status != STATUS_OK)
        return status;
    scatter = planning_scatter_of(cures, points, plans->count, &pairs);
    status = planning_need(scatter, difference, power / 100.0, &need, failure);
    shared_ph = plans->count == 2 && pairs.pair_count > 0 ? pairs.shared_half_ph : 0.0;
    comparison_clear(&pairs);
    if (status != STATUS_OK)
        return status;
    certainty = planning_certainty_text(&scatter);
    line = text_format(
        "A result scatters by %.3f pH, says %s.%s For a difference of %g pH between two recipes to show "
        "in %g of 100 tries: test both at %zu ages, or %zu bars of each at one age.%s",
        scatter.sd_ph, planning_source_text(scatter.source), certainty, difference, power, need.pairs,
        need.bars,
        shared_ph < difference ? " Both in the same sittings, with one meter after one calibration."
                               : " As they are read now no number of tests shows it, for what the "
                                 "two do not share is larger: read both in the same sittings, with "
                                 "one meter.");
    listing_paragraph(context->out, context->width, 0, line);
    free(certainty);
    free(line);
    return STATUS_OK;
}

static void
add_half(struct listing *listing, double half_ph)
{
    if (isnan(half_ph))
        listing_cell(listing, NULL);
    else
        listing_cellf(listing, "%.2f", half_ph);
}

static void
list_ages(struct listing *listing, const struct plan *plan)
{
    for (size_t i = 0; i < plan->count; i++) {
        const struct planning_age *age = &plan->ages[i];
        const struct plan_entry *entry = entry_on(dossier_of(plan), due_on(plan, age));
        char day[DAY_TEXT_SIZE];

        listing_cell(listing, dossier_of(plan)->batch.code);
        listing_cell(listing, clock_day_text(due_on(plan, age), day));
        listing_cellf(listing, "%g", age->age_d);
        add_half(listing, age->end_half_now);
        add_half(listing, age->end_half_then);
        listing_cell(listing, entry == NULL ? "" : "yes");
        listing_cell(listing, planning_why_text(age->why));
    }
}

static void
print_ages(const struct plans *plans)
{
    struct listing listing = {0};

    listing_column(&listing, "batch", LISTING_LEFT);
    listing_column(&listing, "test on", LISTING_LEFT);
    listing_column(&listing, "days", LISTING_RIGHT);
    listing_column(&listing, "end +/-", LISTING_RIGHT);
    listing_column(&listing, "then +/-", LISTING_RIGHT);
    listing_column(&listing, "kept", LISTING_LEFT);
    listing_column(&listing, "why", LISTING_WRAPPED);
    for (size_t p = 0; p < plans->count; p++)
        list_ages(&listing, &plans->plans[p]);
    if (listing.cell_count > 0)
        listing_print(&listing, plans->context->out, plans->context->width);
    else
        fputs("no age is left that is usually tested\n", plans->context->out);
    listing_clear(&listing);
}

/* Dates on record, whatever is proposed now. */
static void
print_kept(const struct plans *plans)
{
    struct listing listing = {0};

    listing_column(&listing, "date", LISTING_RIGHT);
    listing_column(&listing, "batch", LISTING_LEFT);
    listing_column(&listing, "due", LISTING_LEFT);
    listing_column(&listing, "what", LISTING_LEFT);
    listing_column(&listing, "why", LISTING_WRAPPED);
    for (size_t p = 0; p < plans->count; p++) {
        const struct dossier *dossier = dossier_of(&plans->plans[p]);

        for (size_t i = 0; i < dossier->plan_entry_count; i++) {
            const struct plan_entry *entry = &dossier->plan_entries[i];
            char day[DAY_TEXT_SIZE];

            if (entry->dropped)
                continue;
            listing_cellf(&listing, "%lld", (long long)entry->id);
            listing_cell(&listing, dossier->batch.code);
            listing_cell(&listing, clock_day_text(entry->due_on, day));
            listing_cell(&listing, entry->what);
            listing_cell(&listing, entry->why);
        }
    }
    if (listing.cell_count > 0) {
        fputs("\ndates kept\n", plans->context->out);
        listing_print(&listing, plans->context->out, plans->context->width);
    }
    listing_clear(&listing);
}

static enum status
write_csv(const struct plans *plans, struct failure *failure)
{
    static const char *const names[] = {"batch",        "due_on",        "age_d", "why",
                                        "end_half_now", "end_half_then", "entry"};
    struct csv_out csv;

    csv_out_start(&csv, plans->context->out, plans->context->csv);
    csv_out_heading(&csv, names, LENGTH(names));
    for (size_t p = 0; p < plans->count; p++)
        for (size_t i = 0; i < plans->plans[p].count; i++) {
            const struct plan *plan = &plans->plans[p];
            const struct planning_age *age = &plan->ages[i];
            const struct plan_entry *entry = entry_on(dossier_of(plan), due_on(plan, age));

            csv_out_text(&csv, dossier_of(plan)->batch.code);
            csv_out_day(&csv, due_on(plan, age));
            csv_out_integer(&csv, (int64_t)age->age_d);
            csv_out_text(&csv, planning_why_word(age->why));
            csv_out_number(&csv, age->end_half_now);
            csv_out_number(&csv, age->end_half_then);
            if (entry == NULL)
                csv_out_text(&csv, NULL);
            else
                csv_out_integer(&csv, entry->id);
            csv_out_end_row(&csv);
        }
    return csv_out_finish(&csv, NULL, failure);
}

static enum status
show(const struct plans *plans, struct failure *failure)
{
    FILE *out = plans->context->out;
    size_t entered = 0;
    enum status status = STATUS_OK;

    if (options_has(plans->options, "enter")) {
        status = enter_all(plans, &entered, failure);
        if (status == STATUS_OK) {
            fprintf(out, "entered %zu date%s\n", entered, entered == 1 ? "" : "s");
            context_next(plans->context, "due", NULL);
        }
        return status;
    }
    if (options_has(plans->options, "csv"))
        return write_csv(plans, failure);
    status = print_need(plans, failure);
    if (status != STATUS_OK)
        return status;
    fputc('\n', out);
    print_ages(plans);
    print_kept(plans);
    fputs("next: the same with --enter keeps the proposed dates\n", out);
    return STATUS_OK;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct plans plans = {.context = context, .options = options};
    struct batch_codes codes = {0};
    struct batches_request request = {
        .followed = true, .target_ph = options_number_or(options, "target-ph", CURE_TARGET_PH_USUAL)};
    enum status status = STATUS_OK;

    if (options_has(options, "why") && !options_has(options, "drop"))
        return failure_set(failure, STATUS_USAGE, "--why needs --drop");
    if (options_has(options, "drop") && options_has(options, "enter"))
        return failure_set(failure, STATUS_USAGE, "--drop or --enter, not both");
    status = batches_named(context, options, &codes, failure);
    if (status != STATUS_OK)
        return status;
    request.codes = (const char *const *)codes.codes;
    request.count = codes.count;
    status = all_batches(context->store, &request, take, &plans, failure);
    if (status == STATUS_OK)
        status = options_has(options, "drop") ? drop(&plans, failure) : show(&plans, failure);
    for (size_t i = 0; i < plans.count; i++)
        batch_case_free(plans.plans[i].batch);
    batch_codes_clear(&codes);
    return status;
}

static bool
only_reads(const struct options *options)
{
    return !options_has(options, "enter") && !options_has(options, "drop");
}

const struct command plan_command = {
    .name = "plan",
    .names = "CODE [CODE]",
    .fewest = 1,
    .most = 2,
    .summary = "how many readings show a difference, which ages are worth testing, and dates to keep",
    .example = "curetrace plan W-06 W-07 --difference 0.1 --enter",
    .options = plan_options,
    .needs = COMMAND_CHANGES_STORE,
    .only_reads = only_reads,
    .run = run,
};
