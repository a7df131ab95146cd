/* trend_view.c - results across the cure, as a person reads them. */
#include <math.h>
#include <stdlib.h>

#include "distribution.h"
#include "listing.h"
#include "number.h"
#include "text.h"
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
        listing_cell(listing, "paper");
    } else if (isnan(verdict->ph_at_reference)) {
        listing_cellf(listing, "(%.2f)", verdict->ph);
        listing_cell(listing, "?");
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
    listing_cellf(listing, "%s%s%s", marked ? "recheck" : "", marked && *flags != '\0' ? ";" : "", flags);
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

/* "(9.94 at 2 days, 9.54 at 120 days)": the results before and after those of the same age. */
static void
add_neighbours(struct text *text, const struct cure_point *points, size_t count, size_t i)
{
    size_t before = i, after = i;

    while (before > 0 && points[before].age_d == points[i].age_d)
        before--;
    while (after + 1 < count && points[after].age_d == points[i].age_d)
        after++;
    text_add(text, " (");
    if (points[before].age_d < points[i].age_d)
        text_addf(text, "%.2f at %g days", points[before].ph, points[before].age_d);
    if (points[after].age_d > points[i].age_d)
        text_addf(text, "%s%.2f at %g days", points[before].age_d < points[i].age_d ? ", " : "",
                  points[after].ph, points[after].age_d);
    text_add(text, ")");
}

static void
print_paragraph(const struct context *context, struct text *text)
{
    listing_paragraph(context->out, context->width, 2, text_of(text));
    text_clear(text);
}

/* The batch's code, harmless, at the beginning of a paragraph. */
static void
begin(struct text *text, const struct batch_case *batch)
{
    char *code = text_visible(batch->dossier.batch.code);

    text_addf(text, "%s: ", code);
    free(code);
}

void
trend_view_remarks(const struct context *context, const struct batch_case *batch)
{
    const struct series *series = &batch->series;
    struct text text = {0};

    for (size_t i = 0; i < series->count; i++) {
        char *causes;

        if (!batch->cure.marked[i])
            continue;
        causes = cure_causes_text(series->points[i].flags);
        begin(&text, batch);
        text_addf(&text,
                  "recheck pH %.2f at %g days: a curing bar falls, and this does not fit its neighbours",
                  series->points[i].ph, series->points[i].age_d);
        add_neighbours(&text, series->points, series->count, i);
        text_addf(&text, ". Likely causes: %s.", causes);
        print_paragraph(context, &text);
        free(causes);
    }
    if (series->left_out > 0) {
        begin(&text, batch);
        text_addf(&text,
                  "%zu result%s could not be brought to 40 degC and 1 %%, or %s dated before the pour; in no "
                  "curve.",
                  series->left_out, series->left_out == 1 ? "" : "s", series->left_out == 1 ? "is" : "are");
        print_paragraph(context, &text);
    }
}

static void
add_approach(struct text *text, const struct cure *cure)
{
    const struct approach *a = &cure->approach;
    double factor = student_t_coverage_factor(CURE_COVERAGE, a->dof);

    text_addf(text,
              "%s from %.2f at pouring towards %.2f (95 %%: %.2f to %.2f), half of the way in %.3g days; the "
              "results scatter about the curve by %.2f pH.",
              a->end > a->start ? "rises" : "falls", a->start, a->end, a->end - factor * a->end_sd,
              a->end + factor * a->end_sd, M_LN2 / a->rate, cure->residual_sd);
}

/* From pH a day; without an interval where that is not finite. */
static void
add_slope(struct text *text, double slope, double low, double high)
{
    char number[NUMBER_TEXT_SIZE], from[NUMBER_TEXT_SIZE], to[NUMBER_TEXT_SIZE];

    text_addf(text, "%s pH a week", number_signed(7.0 * slope, 2, number));
    if (isfinite(low) && isfinite(high))
        text_addf(text, " (95 %%: %s to %s)", number_signed(7.0 * low, 2, from),
                  number_signed(7.0 * high, 2, to));
}

static void
add_line(struct text *text, const struct cure *cure)
{
    double margin = student_t_coverage_factor(CURE_COVERAGE, cure->line.dof) * cure->line.slope_sd;

    text_add(text, "a straight line, ");
    add_slope(text, cure->line.slope, cure->line.slope - margin, cure->line.slope + margin);
}

static void
add_curve(struct text *text, const struct cure *cure)
{
    char *why = cure_reason_text(cure);

    if (cure->model == CURE_APPROACH)
        add_approach(text, cure);
    else if (cure->model == CURE_LINE)
        add_line(text, cure);
    else
        text_add(text, "no curve");
    if (cure->model != CURE_APPROACH)
        text_addf(text, ": %s.", why);
    if (cure_has(cure, CURE_SCATTER))
        text_add(text,
                 " They scatter more than their stated uncertainties explain; the intervals rest on the "
                 "scatter.");
    free(why);
}

static void
add_trend(struct text *text, const struct cure *cure)
{
    const struct rank_trend *trend = &cure->trend;

    text_add(text, "trend by ranks: ");
    add_slope(text, trend->slope, trend->slope_low, trend->slope_high);
    text_addf(text, ", Kendall's tau %.2f, p %.2g%s.", trend->tau_b, trend->p_value,
              trend->count < 10 ? " (rough below ten results)" : "");
}

/* The whole 95 % interval of the end value lies above the target. */
static bool
levels_off_above(const struct cure *cure)
{
    double factor;

    if (cure->model != CURE_APPROACH || cure->approach.end > cure->approach.start)
        return false;
    factor = student_t_coverage_factor(CURE_COVERAGE, cure->approach.dof);
    return cure->approach.end - factor * cure->approach.end_sd > cure->target_ph;
}

char *
trend_view_ready_text(const struct batch_case *batch)
{
    const struct cure *cure = &batch->cure;
    civil_day made_on = batch->dossier.batch.made_on;
    char from[DAY_TEXT_SIZE], to[DAY_TEXT_SIZE];

    clock_day_text(cure_ready_day(cure, made_on, false), from);
    clock_day_text(cure_ready_day(cure, made_on, true), to);
    if (!isnan(cure->ready_to_d) && cure->ready_to_d <= cure->age_low_d)
        return text_format("at every age tested");
    if (!isnan(cure->ready_to_d))
        return text_format("%s to %s", from, to);
    if (!isnan(cure->ready_from_d) && cure->ready_from_d > cure->age_low_d)
        return text_format("not yet predictable, not before %s", from);
    if (levels_off_above(cure))
        return text_format("levels off above it");
    return text_format("not yet predictable");
}

static void
add_ready(struct text *text, const struct batch_case *batch)
{
    const struct cure *cure = &batch->cure;
    char *ready = trend_view_ready_text(batch);
    bool future = !isnan(cure->ready_to_d) && cure->ready_to_d > cure->age_high_d;

    text_addf(text, "pH %g or below: %s%s.", cure->target_ph, ready,
              isnan(cure->ready_to_d) || cure->ready_to_d <= cure->age_low_d ? "" : " (95 %)");
    if (future)
        text_add(text, " This is a forecast: test the bar then, before it is used.");
    free(ready);
}

void
trend_view_model(const struct context *context, const struct batch_case *batch)
{
    struct text text = {0};

    begin(&text, batch);
    add_curve(&text, &batch->cure);
    print_paragraph(context, &text);
    if (batch->cure.trend_known) {
        begin(&text, batch);
        add_trend(&text, &batch->cure);
        print_paragraph(context, &text);
    }
    begin(&text, batch);
    add_ready(&text, batch);
    print_paragraph(context, &text);
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
    char *ready = trend_view_ready_text(batch);
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
    listing_cell(listing, series->verdicts->count > 0 ? verdict_word(series->verdicts->worst) : "not tested");
    listing_cell(listing, cure_model_word(batch->cure.model));
    listing_cell(listing, series->count == 0 ? NULL : ready);
    listing_cellf(listing, "%zu", batch->cure.marked_count);
    free(ready);
}
