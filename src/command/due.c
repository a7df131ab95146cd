/* due.c - "due": what is to be done today. */
#include <stdlib.h>

#include "caution.h"
#include "commands.h"
#include "csv_out.h"
#include "due_batches.h"
#include "listing.h"
#include "memory.h"
#include "say.h"
#include "text.h"

enum { AHEAD_USUAL_D = 7 };

static const struct option_spec due_options[] = {
    {.name = "days",
     .kind = OPTION_INTEGER,
     .value = "NUMBER",
     .low = 0,
     .high = 3650,
     .help = "look so many days ahead; 7 when not said"},
    CSV_OPTIONS,
    {.name = "csv",
     .kind = OPTION_FLAG,
     .help = "under the headings subject,kind,what,due_on,overdue_d,missed,why"},
    {.name = NULL},
};

static enum status
print_csv(const struct context *context, const struct due_list *list, struct failure *failure)
{
    static const char *const headings[] = {"subject", "kind", "what", "due_on", "overdue_d", "missed", "why"};
    struct csv_out csv;

    csv_out_start(&csv, context->out, context->csv);
    csv_out_heading(&csv, headings, LENGTH(headings));
    for (size_t i = 0; i < list->count; i++) {
        const struct due_item *item = &list->items[i];

        csv_out_text(&csv, item->subject);
        csv_out_text(&csv, due_kind_word(item->kind));
        csv_out_text(&csv, item->what);
        csv_out_day(&csv, item->due_on);
        csv_out_integer(&csv, item->overdue_d);
        csv_out_text(&csv, item->missed ? "yes" : "no");
        csv_out_text(&csv, item->why);
        csv_out_end_row(&csv);
    }
    return csv_out_finish(&csv, NULL, failure);
}

static void
cell_when(struct listing *listing, const struct due_item *item)
{
    if (item->missed)
        listing_cell(listing, "missed");
    else if (item->overdue_d > 0)
        listing_cellf(listing, "%d d overdue", item->overdue_d);
    else if (item->overdue_d == 0)
        listing_cell(listing, "today");
    else
        listing_cellf(listing, "in %d d", -item->overdue_d);
}

static const char *
command_for(const struct due_item *item)
{
    if (item->kind == DUE_BOTTLE)
        return NULL;
    if (text_same(item->what, "test") || text_same(item->what, "titrate") ||
        text_same(item->what, "rework") || text_same(item->what, "resume") ||
        text_same(item->what, "calibrate"))
        return item->what;
    return NULL;
}

static void
print(const struct context *context, const struct due_list *list, int ahead_d)
{
    struct listing listing = {0};
    const struct due_item *first = list->count == 0 ? NULL : &list->items[0];
    bool bars = false;

    if (first == NULL) {
        fprintf(context->out, "nothing is due today or in the next %d days\n", ahead_d);
        return;
    }
    listing_column(&listing, "due", LISTING_LEFT);
    listing_column(&listing, "on", LISTING_LEFT);
    listing_column(&listing, "what", LISTING_LEFT);
    listing_column(&listing, "", LISTING_LEFT);
    listing_column(&listing, "why", LISTING_WRAPPED);
    for (size_t i = 0; i < list->count; i++) {
        char day[DAY_TEXT_SIZE];

        cell_when(&listing, &list->items[i]);
        listing_cell(&listing, clock_day_text(list->items[i].due_on, day));
        listing_cell(&listing, list->items[i].what);
        listing_cell(&listing, list->items[i].subject);
        listing_cell(&listing, list->items[i].why);
        bars = bars || list->items[i].kind == DUE_RETEST || list->items[i].kind == DUE_SESSION;
    }
    listing_print(&listing, context->out, context->width);
    listing_clear(&listing);
    if (first->next.count > 0)
        say(context, &first->next);
    else if (!first->missed && command_for(first) != NULL)
        context_next(context, command_for(first), first->subject, NULL);
    for (size_t i = 1; i < list->count; i++)
        if (list->items[i].kind == DUE_SESSION)
            context_next(context, "resume", list->items[i].subject, NULL);
    if (bars)
        caution_print(context, CAUTION_BAR);
}

static void
say_trouble(struct context *context, const struct due_list *list)
{
    for (size_t i = 0; i < list->count; i++)
        if (list->items[i].kind == DUE_TROUBLE) {
            struct failure why = {0};

            failure_set(&why, STATUS_FORMAT, "%s", list->items[i].why);
            say_refused(context, list->items[i].subject, &why);
        }
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    struct due_list list = {0};
    int ahead_d = (int)options_number_or(options, "days", AHEAD_USUAL_D);
    enum status status = due_in_notebook(context->store, context_today(context), ahead_d, &list, failure);

    if (status == STATUS_OK) {
        if (options_has(options, "csv"))
            status = print_csv(context, &list, failure);
        else
            print(context, &list, ahead_d);
        say_trouble(context, &list);
    }
    due_list_clear(&list);
    return status;
}

const struct command due_command = {
    .name = "due",
    .names = "",
    .summary =
        "what to test today, what to test again or go on with, meters to calibrate, bottles past their date",
    .example = "curetrace due --days 14",
    .options = due_options,
    .needs = COMMAND_READS_STORE,
    .run = run,
};
