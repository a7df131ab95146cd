/* trend_view.c - results across the cure, as a person reads them. */
#include <math.h>
#include <stdlib.h>

#include "cure_text.h"
#include "listing.h"
#include "trend_view.h"

static double
expanded_u(const struct verdict *verdict)
{
    return 0.5 * (verdict->ph_high - verdict->ph_low);
}

static void
ph_cells(struct listing *listing, const struct verdict *verdict)
{
    if (verdict->method == READING_PAPER) {
        listing_cellf(listing, "%g..%g", verdict->ph_low, verdict->ph_high);
        listing_cell(listing, NULL);
    } else if (isnan(verdict->ph_at_reference)) {
        listing_cellf(listing, "(%.2f)", verdict->ph);
        listing_cell(listing, NULL);
    } else {
        listing_cellf(listing, "%.2f", verdict->ph_at_reference);
        listing_cellf(listing, "%.2f", expanded_u(verdict));
    }
}

static bool
is_marked(const struct batch_case *batch, const struct verdict *verdict)
{
    for (size_t i = 0; i < batch->series.count; i++)
        if (batch->series.of[i] == verdict)
            return batch->cure.marked[i];
    return false;
}

static void
add_row(struct listing *listing, const struct batch_case *batch, const struct verdict *verdict)
{
    char day[DAY_TEXT_SIZE], *flags = flag_text(verdict->flags);
    bool marked = is_marked(batch, verdict);

    listing_cell(listing, batch->dossier.batch.code);
    listing_cellf(listing, "%d", verdict->age_d);
    listing_cell(listing, clock_day_text(clock_day_of(verdict->reading->taken_at), day));
    ph_cells(listing, verdict);
    listing_cell(listing, verdict_word(verdict->verdict));
    if (verdict->surface_only)
        listing_cellf(listing, "wet bar%s%s", *flags == '\0' ? "" : ";", flags);
    else
        listing_cellf(listing, "%s%s%s%s", marked ? "recheck" : "", marked && *flags != '\0' ? ";" : "",
                      flags, verdict->method == READING_PAPER ? (*flags == '\0' ? "paper" : ";paper") : "");
    free(flags);
}

void
trend_view_results(const struct context *context, struct batch_case *const *batches, size_t count)
{
    struct listing listing = {0};

    listing_column(&listing, "batch", LISTING_LEFT);
    listing_column(&listing, "days", LISTING_RIGHT);
    listing_column(&listing, "tested", LISTING_LEFT);
    listing_column(&listing, "pH", LISTING_RIGHT);
    listing_column(&listing, "+/-", LISTING_RIGHT);
    listing_column(&listing, "verdict", LISTING_LEFT);
    listing_column(&listing, "remarks", LISTING_FLEXIBLE);
    for (size_t b = 0; b < count; b++)
        for (size_t i = 0; i < batches[b]->series.verdicts->count; i++)
            add_row(&listing, batches[b], &batches[b]->series.verdicts->verdicts[i]);
    if (listing.cell_count == 0) {
        fputs("nothing was tested yet\n", context->out);
    } else {
        fputs("pH at 40 degC and 1 %; +/- is half of the 95 % interval\n", context->out);
        listing_print(&listing, context->out, context->width);
    }
    listing_clear(&listing);
}

void
trend_view_summary_start(struct listing *listing)
{
    listing_column(listing, "batch", LISTING_FLEXIBLE);
    listing_column(listing, "results", LISTING_RIGHT);
    listing_column(listing, "days", LISTING_RIGHT);
    listing_column(listing, "pH", LISTING_RIGHT);
    listing_column(listing, "verdict", LISTING_LEFT);
    listing_column(listing, "curve", LISTING_LEFT);
    listing_column(listing, "target reached", LISTING_LEFT);
    listing_column(listing, "recheck", LISTING_RIGHT);
}

void
trend_view_summary_add(struct listing *listing, const struct batch_case *batch)
{
    const struct series *series = &batch->series;
    char *ready = cure_ready_text(&batch->cure, batch->dossier.batch.made_on);
    size_t last = series->count;

    listing_cell(listing, batch->dossier.batch.code);
    listing_cellf(listing, "%zu", series->verdicts->count);
    if (last > 0) {
        listing_cellf(listing, "%g", series->points[last - 1].age_d);
        listing_cellf(listing, "%.2f", series->points[last - 1].ph);
    } else {
        listing_cell(listing, NULL);
        listing_cell(listing, NULL);
    }
    listing_cell(listing, batch->conclusion.basis == CONCLUSION_NOTHING
                              ? "not tested"
                              : conclusion_word(&batch->conclusion));
    listing_cell(listing, cure_model_word(batch->cure.model));
    listing_cell(listing, series->count == 0 ? NULL : ready);
    listing_cellf(listing, "%zu", batch->cure.marked_count);
    free(ready);
}

void
trend_view_summary_refuse(struct listing *listing, const char *code)
{
    listing_cell(listing, code);
    for (int i = 0; i < 3; i++) /* results to pH */
        listing_cell(listing, NULL);
    listing_cell(listing, "cannot be told");
    for (int i = 0; i < 3; i++)
        listing_cell(listing, NULL);
}
