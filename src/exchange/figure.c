/* figure.c - what a plot shows. */
#include "figure.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>

#include "memory.h"

void
figure_init(struct figure *figure, const char *title, const char *x_label, enum figure_axis x_axis)
{
    *figure = (struct figure){
        .title = memory_copy(title),
        .x_label = memory_copy(x_label),
        .x_axis = x_axis,
        .origin = DAY_NONE,
        .x_low = NAN,
        .x_high = NAN,
    };
}

static void
panel_free(struct figure_panel *panel)
{
    for (size_t i = 0; i < panel->series_length; i++) {
        free(panel->series[i]->title);
        free(panel->series[i]->points);
        free(panel->series[i]);
    }
    for (size_t i = 0; i < panel->levels_length; i++)
        free(panel->levels[i].label);
    for (size_t i = 0; i < panel->bars_length; i++)
        free(panel->bars[i]);
    free(panel->series);
    free(panel->levels);
    free(panel->bars);
    free(panel->y_label);
    free(panel);
}

void
figure_clear(struct figure *figure)
{
    for (size_t i = 0; i < figure->panels_length; i++)
        panel_free(figure->panels[i]);
    free(figure->panels);
    free(figure->title);
    free(figure->x_label);
    *figure = (struct figure){0};
}

struct figure_panel *
figure_add_panel(struct figure *figure, const char *y_label)
{
    struct figure_panel *panel = memory_new(1, sizeof *panel);

    panel->y_label = memory_copy(y_label);
    panel->y_low = panel->y_high = NAN;
    figure->panels = memory_room(figure->panels, figure->panels_length, &figure->panels_capacity,
                                 sizeof(struct figure_panel *));
    figure->panels[figure->panels_length++] = panel;
    return panel;
}

struct figure_series *
figure_add_series(struct figure_panel *panel, const char *title, enum figure_style style, unsigned kin)
{
    struct figure_series *series = memory_new(1, sizeof *series);

    series->title = memory_copy(title);
    series->style = style;
    series->kin = kin;
    panel->series = memory_room(panel->series, panel->series_length, &panel->series_capacity,
                                sizeof(struct figure_series *));
    panel->series[panel->series_length++] = series;
    return series;
}

void
figure_add_point(struct figure_series *series, double x, double y, double y_low, double y_high, bool hollow)
{
    bool range = series->style == FIGURE_RANGES;
    bool ends = isfinite(y_low) && isfinite(y_high);

    if (!isfinite(x) || (range ? !ends : !isfinite(y)))
        return;
    series->points = memory_room(series->points, series->length, &series->capacity, sizeof *series->points);
    series->points[series->length++] = (struct figure_point){x, y, y_low, y_high, hollow};
    if (range)
        series->points[series->length - 1].y = NAN;
    if (!ends)
        series->points[series->length - 1].y_low = series->points[series->length - 1].y_high = NAN;
}

void
figure_add_bar(struct figure_panel *panel, struct figure_series *series, const char *name, double length)
{
    assert(series->style == FIGURE_BARS);
    panel->bars = memory_room(panel->bars, panel->bars_length, &panel->bars_capacity, sizeof(char *));
    panel->bars[panel->bars_length] = memory_copy(name);
    figure_add_point(series, length, (double)panel->bars_length, NAN, NAN, false);
    panel->bars_length++;
}

static void
add_level(struct figure_panel *panel, double low, double high, const char *label)
{
    if (!isfinite(low) || !isfinite(high))
        return;
    panel->levels =
        memory_room(panel->levels, panel->levels_length, &panel->levels_capacity, sizeof *panel->levels);
    panel->levels[panel->levels_length++] =
        (struct figure_level){.low = low, .high = high, .label = memory_copy(label)};
}

void
figure_add_limit(struct figure_panel *panel, double y, const char *label)
{
    add_level(panel, y, y, label);
}

void
figure_add_band(struct figure_panel *panel, double low, double high, const char *label)
{
    add_level(panel, low, high, label);
}

struct range {
    double low, high;
};

static void
widen(struct range *range, double value)
{
    range->low = fmin(range->low, value); /* fmin() and fmax() pass over NAN */
    range->high = fmax(range->high, value);
}

/* With room on both sides, and never without extent. */
static void
finish(struct range range, double room, double *ret_low, double *ret_high)
{
    double extent;

    if (!(range.low <= range.high))
        range = (struct range){0.0, 1.0};
    if (range.high - range.low < 1e-9 * fmax(1.0, fabs(range.high))) {
        extent = fmax(1.0, fabs(range.high) * 0.1);
        range.low -= extent / 2.0;
        range.high += extent / 2.0;
    }
    extent = range.high - range.low;
    *ret_low = range.low - room * extent;
    *ret_high = range.high + room * extent;
}

bool
figure_is_empty(const struct figure *figure)
{
    for (size_t p = 0; p < figure->panels_length; p++)
        for (size_t i = 0; i < figure->panels[p]->series_length; i++)
            if (figure->panels[p]->series[i]->length > 0)
                return false;
    return true;
}

void
figure_x_range(const struct figure *figure, double *ret_low, double *ret_high)
{
    struct range range = {INFINITY, -INFINITY};
    bool bars = false;

    for (size_t i = 0; i < figure->panels_length; i++) {
        const struct figure_panel *panel = figure->panels[i];

        bars = bars || panel->bars_length > 0;
        for (size_t j = 0; j < panel->series_length; j++) {
            for (size_t k = 0; k < panel->series[j]->length; k++)
                widen(&range, panel->series[j]->points[k].x);
        }
    }
    if (figure->x_axis == FIGURE_X_DAYS || bars)
        widen(&range, 0.0);
    if (figure->x_axis == FIGURE_X_DAYS)
        widen(&range, 1.0);
    if (figure->x_axis == FIGURE_X_DATES && range.low <= range.high && range.high - range.low < 6.0) {
        range.low -= 3.0; /* a day or two stand in their week */
        range.high += 3.0;
    }
    finish(range, bars ? 0.12 : 0.03, ret_low, ret_high); /* bars have their length written at the end */
    if (bars && range.low >= 0.0)
        *ret_low = 0.0;
    *ret_low = isnan(figure->x_low) ? *ret_low : figure->x_low;
    *ret_high = isnan(figure->x_high) ? *ret_high : figure->x_high;
}

void
figure_y_range(const struct figure_panel *panel, double *ret_low, double *ret_high)
{
    struct range range = {INFINITY, -INFINITY};

    if (panel->bars_length > 0) {
        *ret_low = -0.6;
        *ret_high = (double)panel->bars_length - 0.4;
        return;
    }
    for (size_t i = 0; i < panel->series_length; i++) {
        for (size_t j = 0; j < panel->series[i]->length; j++) {
            widen(&range, panel->series[i]->points[j].y);
            widen(&range, panel->series[i]->points[j].y_low);
            widen(&range, panel->series[i]->points[j].y_high);
        }
    }
    for (size_t i = 0; i < panel->levels_length; i++) {
        widen(&range, panel->levels[i].low);
        widen(&range, panel->levels[i].high);
    }
    finish(range, 0.06, ret_low, ret_high);
    *ret_low = isnan(panel->y_low) ? *ret_low : panel->y_low;
    *ret_high = isnan(panel->y_high) ? *ret_high : panel->y_high;
}
