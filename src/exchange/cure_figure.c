/* cure_figure.c - what a plot of one or several cures shows. */
#include "cure_figure.h"

#include <math.h>
#include <stdlib.h>

#include "free_alkali.h"
#include "text.h"

enum { CURVE_POINTS = 120, MOST_LIMITS = 3 };

#define STRICTEST_FREE_NAOH_PCT 0.05 /* src/science/reference/limits.csv */

static char *
title_of(const struct dossier *dossier)
{
    const char *title = dossier->batch.title;

    return text_format("%s%s%s", dossier->batch.code, title == NULL ? "" : " ", title == NULL ? "" : title);
}

static struct figure_series *
add_series(struct figure_panel *panel, const char *title, const char *suffix, enum figure_style style,
           size_t kin)
{
    char *whole = text_format("%s%s", title, suffix);
    struct figure_series *series = figure_add_series(panel, whole, style, (unsigned)kin);

    free(whole);
    return series;
}

static void
add_results(struct figure_panel *panel, const struct cure_figure_batch *batch, const char *title, size_t kin)
{
    struct figure_series *marks;

    if (batch->series->count == 0)
        return;
    marks = add_series(panel, title, "", FIGURE_POINTS, kin);
    for (size_t i = 0; i < batch->series->count; i++) {
        const struct verdict *verdict = batch->series->of[i];

        figure_add_point(marks, verdict->age_d, verdict->ph_at_reference, verdict->ph_low, verdict->ph_high,
                         false);
    }
}

/* Superseded meter readings, hollow, and paper. */
static void
add_readings(struct figure_panel *panel, const struct cure_figure_batch *batch, const char *title, size_t kin)
{
    struct figure_series *superseded = NULL, *ranges = NULL;

    for (size_t i = 0; batch->points != NULL && i < batch->dossier->reading_count; i++) {
        const struct reading *reading = &batch->dossier->readings[i];
        const struct verdict_point *point = &batch->points[i];
        double age_d = dossier_age_d(batch->dossier, reading->taken_at);
        bool hollow = reading->superseded_by != 0;

        if (reading->withdrawn || age_d < 0.0)
            continue;
        if (reading->on_surface)
            continue; /* a panel of their own */
        if (reading->method == READING_PAPER) {
            if (ranges == NULL)
                ranges = add_series(panel, batch->dossier->batch.code, ", paper", FIGURE_RANGES, kin);
            figure_add_point(ranges, age_d, (double)NAN, reading->ph_low, reading->ph_high, hollow);
        } else if (hollow && isfinite(point->ph_at_reference)) {
            if (superseded == NULL)
                superseded = add_series(panel, title, "", FIGURE_POINTS, kin);
            figure_add_point(superseded, age_d, point->ph_at_reference, (double)NAN, (double)NAN, true);
        }
    }
}

/* Strips pressed on the wet bar, apart: they are of no 1 % solution. Nothing where there is none. */
static void
add_surface(struct figure *figure, const struct cure_figure_batch *batches, size_t count)
{
    struct figure_panel *panel = NULL;

    for (size_t b = 0; b < count; b++) {
        const struct dossier *dossier = batches[b].dossier;
        struct figure_series *ranges = NULL;

        for (size_t i = 0; i < dossier->reading_count; i++) {
            const struct reading *reading = &dossier->readings[i];
            double age_d = dossier_age_d(dossier, reading->taken_at);

            if (!reading->on_surface || reading->withdrawn || age_d < 0.0)
                continue;
            if (panel == NULL)
                panel = figure_add_panel(figure, "pH on the wet bar (warns only)");
            if (ranges == NULL)
                ranges = add_series(panel, dossier->batch.code, ", strip on the wet bar", FIGURE_RANGES, b);
            figure_add_point(ranges, age_d, (double)NAN, reading->ph_low, reading->ph_high,
                             reading->superseded_by != 0);
        }
    }
}

/* Rule 3. */
static void
add_curve(struct figure_panel *panel, const struct cure *cure, const char *title, size_t kin)
{
    struct figure_series *curve;
    double from = cure->age_low_d, to = cure->age_high_d;

    if (cure->model == CURE_NO_MODEL)
        return;
    if (!isnan(cure->ready_to_d))
        to = fmax(to, cure->ready_to_d);
    curve = add_series(panel, title, ", curve and 95 % band", FIGURE_CURVE, kin);
    for (int i = 0; i <= CURVE_POINTS; i++) {
        double age_d = i == CURVE_POINTS ? to : from + (to - from) * i / CURVE_POINTS;
        struct cure_band band;
        struct failure ignored;

        if (cure_at(cure, age_d, &band, &ignored) == STATUS_OK)
            figure_add_point(curve, age_d, band.ph, band.low, band.high, false);
    }
}

static void
add_limits(struct figure_panel *panel, const struct cure_figure_batch *batches, size_t count)
{
    double limits[MOST_LIMITS] = {0};
    size_t made = 0;

    for (size_t b = 0; b < count; b++)
        for (size_t i = 0; made < MOST_LIMITS && i < batches[b].dossier->session_count; i++) {
            double limit = batches[b].dossier->sessions[i].limit_ph;
            bool known = false;

            for (size_t k = 0; k < made; k++)
                known = known || limits[k] == limit;
            if (!known)
                limits[made++] = limit;
        }
    for (size_t k = 0; k < made; k++) {
        char *label = text_format("lye-heavy above %.4g", limits[k]);

        figure_add_limit(panel, limits[k], label);
        free(label);
    }
}

static void
add_ph_panel(struct figure *figure, const struct cure_figure_batch *batches, size_t count, bool model)
{
    struct figure_panel *panel = figure_add_panel(figure, "pH at 40 degC and 1 %");

    for (size_t i = 0; i < count; i++) {
        char *title = title_of(batches[i].dossier);

        add_results(panel, &batches[i], title, i);
        add_readings(panel, &batches[i], title, i);
        if (model)
            add_curve(panel, batches[i].cure, batches[i].dossier->batch.code, i);
        free(title);
    }
    add_limits(panel, batches, count);
    if (model && count > 0) {
        char *label = text_format("target %.4g", batches[0].cure->target_ph);

        figure_add_limit(panel, batches[0].cure->target_ph, label);
        free(label);
    }
}

static void
add_titrations(struct figure_panel *panel, const struct dossier *dossier, size_t kin)
{
    struct free_alkali titrations = {0};
    struct failure ignored;
    struct figure_series *marks;

    if (free_alkali_of(dossier, &titrations, &ignored) != STATUS_OK)
        return; /* none that stands */
    marks = add_series(panel, dossier->batch.code, ", free NaOH by titration", FIGURE_POINTS, kin);
    for (size_t i = 0; i < titrations.count; i++) {
        const struct free_alkali_result *result = &titrations.results[i];

        if (result->age_d >= 0)
            figure_add_point(marks, result->age_d, result->figures.free_naoh_pct, result->figures.low_pct,
                             result->figures.high_pct, false);
    }
    free_alkali_clear(&titrations);
}

/* Rule 4, first panel. */
static void
add_free_alkali(struct figure *figure, const struct cure_figure_batch *batches, size_t count)
{
    struct figure_panel *panel = figure_add_panel(figure, "free NaOH, %");

    panel->y_low = 0.0;
    for (size_t i = 0; i < count; i++) {
        const struct verdict_list *list = batches[i].series->verdicts;
        const char *code = batches[i].dossier->batch.code;
        struct figure_series *ranges = NULL;

        for (size_t k = 0; k < list->count; k++) {
            const struct verdict *verdict = &list->verdicts[k];

            if (isnan(verdict->free_naoh_high_pct) || verdict->age_d < 0)
                continue;
            if (ranges == NULL)
                ranges = add_series(panel, code, ", free NaOH from pH", FIGURE_RANGES, i);
            figure_add_point(ranges, verdict->age_d, (double)NAN, verdict->free_naoh_low_pct,
                             verdict->free_naoh_high_pct, false);
        }
        add_titrations(panel, batches[i].dossier, i);
    }
    figure_add_limit(panel, STRICTEST_FREE_NAOH_PCT, "0.05 %, strictest limit");
}

/* Rule 4, second panel: the words of enum verdict_word as levels. */
static void
add_verdicts(struct figure *figure, const struct cure_figure_batch *batches, size_t count)
{
    struct figure_panel *panel = figure_add_panel(figure, "verdict");

    panel->no_numbers = true;
    panel->y_low = VERDICT_WITHIN - 0.5;
    panel->y_high = VERDICT_LYE_HEAVY + 0.5;
    for (size_t i = 0; i < count; i++) {
        const struct verdict_list *list = batches[i].series->verdicts;
        char *title = title_of(batches[i].dossier);
        struct figure_series *marks = add_series(panel, title, "", FIGURE_POINTS, i);

        for (size_t k = 0; k < list->count; k++)
            if (list->verdicts[k].age_d >= 0)
                figure_add_point(marks, list->verdicts[k].age_d, (double)list->verdicts[k].verdict,
                                 (double)NAN, (double)NAN, false);
        free(title);
    }
    for (int word = VERDICT_WITHIN; word <= VERDICT_LYE_HEAVY; word++)
        figure_add_limit(panel, word, verdict_word((enum verdict_word)word));
}

static void
begin(struct figure *figure, const char *title, const struct cure_figure_batch *batches, size_t count)
{
    figure_init(figure, title, "days since pouring", FIGURE_X_DAYS);
    figure->origin = count == 1 ? batches[0].dossier->batch.made_on : DAY_NONE;
}

void
cure_figure(const struct cure_figure_batch *batches, size_t count, struct cure_figure_wish wish,
            struct figure *ret_figure)
{
    char *title = count == 1 ? title_of(batches[0].dossier) : NULL;
    char *whole = count == 1 ? text_format("Cure of %s", title) : text_format("Cure of %zu batches", count);

    begin(ret_figure, whole, batches, count);
    add_ph_panel(ret_figure, batches, count, wish.model);
    add_surface(ret_figure, batches, count);
    if (wish.free_alkali) {
        add_free_alkali(ret_figure, batches, count);
        add_verdicts(ret_figure, batches, count);
    }
    free(title);
    free(whole);
}

static void
add_difference(struct figure_panel *panel, const struct comparison *comparison, const char *code, size_t kin)
{
    struct figure_series *marks, *mean;

    if (comparison->pair_count > 0) {
        marks = add_series(panel, code, ", differences", FIGURE_POINTS, kin);
        for (size_t i = 0; i < comparison->pair_count; i++) {
            const struct comparison_pair *pair = &comparison->pairs[i];
            double difference = pair->second_ph - pair->first_ph, half = 1.96 * pair->u_difference;

            figure_add_point(marks, 0.5 * (pair->first_age_d + pair->second_age_d), difference,
                             difference - half, difference + half, false);
        }
    }
    if (comparison->pair_count < 2 || isnan(comparison->low))
        return;
    mean = add_series(panel, code, ", mean difference, 95 %", FIGURE_CURVE, kin);
    for (size_t i = 0; i < comparison->pair_count; i += comparison->pair_count - 1)
        figure_add_point(mean, 0.5 * (comparison->pairs[i].first_age_d + comparison->pairs[i].second_age_d),
                         comparison->mean_difference, comparison->low, comparison->high, false);
}

void
cure_figure_difference(const struct cure_figure_batch *batches, size_t count,
                       const struct comparison *comparisons, struct figure *ret_figure)
{
    const char *control = batches[0].dossier->batch.code;
    char *title = count == 2 ? text_format("%s and %s", control, batches[1].dossier->batch.code)
                             : text_format("%s and %zu others", control, count - 1);
    char *label = text_format("difference from %s, pH", control);
    char *margin = text_format("within %.3g pH", comparisons[0].margin);
    struct figure_panel *panel;

    begin(ret_figure, title, batches, count);
    add_ph_panel(ret_figure, batches, count, false);
    for (size_t i = 0; i < count; i++)
        add_curve(ret_figure->panels[0], batches[i].cure, batches[i].dossier->batch.code, i);
    panel = figure_add_panel(ret_figure, label);
    for (size_t i = 1; i < count; i++)
        add_difference(panel, &comparisons[i - 1], batches[i].dossier->batch.code, i);
    figure_add_band(panel, -comparisons[0].margin, comparisons[0].margin, margin);
    free(title);
    free(label);
    free(margin);
}
