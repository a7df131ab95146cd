/* plot_layout.c - how a page is shared between title, panels, labels and legend. */
#include "plot_layout.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

enum { WIDTH_PX = 800, ENTRY_COLUMNS = 40, AROUND_ENTRY_COLUMNS = 10 };

/* One harmless line of at most `columns` columns; given. */
char *
plot_shown(const char *text, size_t columns)
{
    char *visible = text_visible(text), *cut;

    if (text_width(visible) <= columns)
        return visible;
    cut = text_format("%.*s\xe2\x80\xa6", (int)text_fit(visible, columns - 1), visible);
    free(visible);
    return cut;
}

static bool
has_hollow(const struct figure_series *series)
{
    for (size_t i = 0; i < series->length; i++) {
        if (series->points[i].hollow)
            return true;
    }
    return false;
}

static void
add_entry(struct plot_layout *s, const struct figure_series *series, const char *title)
{
    for (size_t i = 0; i < s->entries_length; i++) {
        const struct figure_series *other = s->entries[i].series;

        if (strcmp(s->entries[i].title, title) == 0 &&
            (series == NULL || other == NULL ? series == other
                                             : other->style == series->style && other->kin == series->kin))
            return;
    }
    s->entries = memory_room(s->entries, s->entries_length, &s->entries_capacity, sizeof *s->entries);
    s->entries[s->entries_length++] = (struct plot_entry){.series = series, .title = memory_copy(title)};
}

static void
collect_entries(struct plot_layout *s)
{
    bool hollow = false;
    size_t widest = 0;

    for (size_t i = 0; i < s->figure->panels_length; i++) {
        const struct figure_panel *panel = s->figure->panels[i];

        for (size_t j = 0; j < panel->series_length; j++) {
            char *title;

            hollow = hollow || has_hollow(panel->series[j]);
            if (panel->series[j]->title == NULL || panel->series[j]->length == 0)
                continue;
            title = plot_shown(panel->series[j]->title, ENTRY_COLUMNS);
            add_entry(s, panel->series[j], title);
            free(title);
        }
    }
    if (hollow)
        add_entry(s, NULL, "hollow: superseded (corrected)");
    for (size_t i = 0; i < s->entries_length; i++) {
        size_t width = text_width(s->entries[i].title);

        widest = width > widest ? width : widest;
    }
    s->entries_columns =
        (size_t)((s->width - s->column * 4) / (s->column * (double)(widest + AROUND_ENTRY_COLUMNS)));
    if (s->entries_columns == 0 || s->text)
        s->entries_columns = 1;
    if (s->entries_columns > s->entries_length)
        s->entries_columns = s->entries_length;
}

size_t
plot_entry_rows(const struct plot_layout *s)
{
    return s->entries_length == 0 ? 0 : (s->entries_length + s->entries_columns - 1) / s->entries_columns;
}

bool
plot_has_calendar(const struct plot_layout *s)
{
    return s->figure->x_axis == FIGURE_X_DAYS && s->figure->origin != DAY_NONE && !s->text;
}

/* Room for names of bars, or for the numbers and the label of an axis. */
static double
left_columns(const struct plot_layout *s)
{
    size_t widest = 0;

    for (size_t i = 0; i < s->figure->panels_length; i++) {
        const struct figure_panel *panel = s->figure->panels[i];

        for (size_t j = 0; j < panel->bars_length; j++) {
            char *name = plot_shown(panel->bars[j], BAR_COLUMNS);
            size_t width = text_width(name);

            widest = width > widest ? width : widest;
            free(name);
        }
    }
    return widest == 0 ? (s->text ? 9.0 : 11.0) : fmax((double)widest + 4.0, 11.0);
}

static double
right_columns(const struct plot_layout *s)
{
    size_t widest = 0;

    for (size_t i = 0; i < s->figure->panels_length; i++) {
        const struct figure_panel *panel = s->figure->panels[i];

        for (size_t j = 0; j < panel->levels_length; j++) {
            char *label = plot_shown(panel->levels[j].label, LEVEL_COLUMNS);
            size_t width = text_width(label);

            widest = width > widest ? width : widest;
            free(label);
        }
    }
    return widest == 0 ? 3.0 : (double)widest + 2.0;
}

/* The height that suits a figure: what stands above and below, and panels as high as the one with most in it.
 */
static double
natural_height(const struct plot_layout *s)
{
    const struct figure *figure = s->figure;
    double around = s->text ? 6 : 150, alone = s->text ? 18 : 340, one_of_many = s->text ? 12 : 220;
    double bar = s->text ? 2 : 30, panel = 0.0;

    for (size_t i = 0; i < figure->panels_length; i++) {
        size_t bars = figure->panels[i]->bars_length;

        if (bars > 0)
            panel = fmax(panel, bar * (double)(bars + 1));
        else
            panel = fmax(panel, figure->panels_length == 1 ? alone : one_of_many);
    }
    return around + (double)figure->panels_length * (panel + (s->text ? 1 : 20));
}

static enum status
set_page(struct plot_layout *s, struct failure *failure)
{
    const struct plot_page *page = s->page;
    int least_width = s->text ? PLOT_LEAST_COLUMNS : PLOT_LEAST_PX;
    int least_height = s->text ? PLOT_LEAST_ROWS : PLOT_LEAST_PX / 2;
    const char *unit = s->text ? "characters" : "pixels";
    double rest;

    s->width = page->width != 0 ? page->width : s->text ? 79 : WIDTH_PX;
    s->height = page->height != 0 ? page->height : natural_height(s);
    if (page->height == 0 && !s->text && page->width > WIDTH_PX)
        s->height *= s->width / WIDTH_PX;
    if (!(s->width >= least_width && s->width <= PLOT_MOST_PX && s->height >= least_height &&
          s->height <= PLOT_MOST_PX))
        return failure_set(failure, STATUS_RANGE,
                           "a plot of %.0f by %.0f %s is not possible, allowed is %d by %d to %d by %d",
                           s->width, s->height, unit, least_width, least_height, PLOT_MOST_PX, PLOT_MOST_PX);
    s->scale = fmin(s->width / WIDTH_PX, s->height / natural_height(s));
    s->scale = s->text ? 1.0 : fmin(fmax(s->scale, 0.75), 6.0);
    s->column = s->text ? 1.0 : 0.6 * FONT_PX * s->scale;
    s->line = s->text ? 1.0 : 1.4 * FONT_PX * s->scale;
    collect_entries(s);
    if (page->height == 0 && plot_entry_rows(s) > 2)
        s->height += (double)(plot_entry_rows(s) - 2) * s->line;
    s->left = left_columns(s) * s->column;
    s->right = right_columns(s) * s->column;
    s->top = (s->text ? 2.0 : plot_has_calendar(s) ? 4.9 : 2.4) * s->line;
    s->bottom = ((s->text ? 3.0 : 3.7) + (double)plot_entry_rows(s)) * s->line;
    s->gap = s->line;
    rest = s->height - s->top - s->bottom;
    if (s->width - s->left - s->right < 12 * s->column ||
        rest < (double)s->figure->panels_length * 4.0 * s->line)
        return failure_set(failure, STATUS_RANGE,
                           "a plot of %.0f by %.0f %s leaves no room beside its labels and legend", s->width,
                           s->height, unit);
    return STATUS_OK;
}

double
plot_panel_height(const struct plot_layout *s)
{
    double gaps = (double)(s->figure->panels_length - 1) * s->gap;

    return (s->height - s->top - s->bottom - gaps) / (double)s->figure->panels_length;
}

void
plot_layout_clear(struct plot_layout *s)
{
    for (size_t i = 0; i < s->entries_length; i++)
        free(s->entries[i].title);
    free(s->entries);
    *s = (struct plot_layout){0};
}

enum status
plot_layout_make(const struct figure *figure, const struct plot_page *page, struct plot_layout *ret_layout,
                 struct failure *failure)
{
    struct plot_layout layout = {.figure = figure, .page = page, .text = page->kind == PLOT_TEXT};
    enum status status;

    assert(figure->panels_length > 0);
    status = set_page(&layout, failure);

    if (status != STATUS_OK) {
        plot_layout_clear(&layout);
        return status;
    }
    *ret_layout = layout;
    return STATUS_OK;
}
