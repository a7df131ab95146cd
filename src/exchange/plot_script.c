/* plot_script.c - a figure as a gnuplot script and its data. */
#include "plot_script.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "plot_series.h"

struct script {
    const struct figure *figure;
    struct plot_layout layout;
    struct plot_writer writer;
    struct text *text;    /* the script */
    double x_low, x_high; /* of the axis */
    double x_first;       /* where dates begin, a whole day */
    bool no_numbers;      /* the panel before this one had none at its y axis */
};

static void
add_shown(struct script *s, const char *text, double room)
{
    char *line = plot_shown(text, room < 4.0 ? 4 : (size_t)room);

    plot_add_quoted(s->text, line, false);
    free(line);
}

/* -- axes -- */

/* Room that figure_x_range() leaves at the left, less a little for rounding. */
#define ROOM_IN_RANGE (0.0299 / 1.06)

/* The smallest step in days that leaves at most `most` labels. */
static double
day_step(double extent, double most)
{
    static const double steps[] = {1, 2, 7, 14, 28, 56, 84, 182, 364, 728, 1820, 3640};

    for (size_t i = 0; i < LENGTH(steps); i++) {
        if (extent / steps[i] <= most)
            return steps[i];
    }
    return ceil(extent / most);
}

static void
add_date_tics(struct script *s, const char *axis, double first, double step, civil_day origin, bool named)
{
    char day[DAY_TEXT_SIZE];
    const char *between = "";

    text_addf(s->text, "set %s (", axis);
    for (double x = first; x <= s->x_high; x += step) {
        text_addf(s->text, "%s'%s' %.10g", between, named ? clock_day_text(origin + (civil_day)x, day) : "",
                  x);
        between = ", ";
    }
    text_add(s->text, ") nomirror scale 0.6\n");
}

static void
set_x_axis(struct script *s, bool first, bool last)
{
    double room = s->layout.width - s->layout.left - s->layout.right, extent = s->x_high - s->x_low;
    double step, dates = floor(room / (11.5 * s->layout.column));

    text_addf(s->text, "set xrange [%.10g:%.10g]\n", s->x_low, s->x_high);
    if (s->figure->x_axis == FIGURE_X_DATES) {
        step = day_step(extent, fmax(dates - 1.0, 1.0));
        add_date_tics(s, "xtics", s->x_first, step, 0, last);
    } else if (s->figure->x_axis == FIGURE_X_DAYS && extent >= 4.0) {
        step = day_step(extent, fmin(room / (5.0 * s->layout.column), 14.0));
        text_addf(s->text, "set xtics 0,%g nomirror scale 0.6\n", step);
    } else {
        text_add(s->text, "set xtics autofreq nomirror scale 0.6\n");
    }
    text_addf(s->text, "set format x '%s'\n", last ? "%g" : "");
    if (plot_has_calendar(&s->layout) && first && extent >= 1.0) {
        double days = day_step(extent, fmin(room / (5.0 * s->layout.column), 14.0));

        step = days;
        while (extent / step > fmax(dates - 1.0, 1.0))
            step += days;
        text_addf(s->text, "set x2range [%.10g:%.10g]\n", s->x_low, s->x_high);
        add_date_tics(s, "x2tics", ceil(fmax(s->x_low, 0.0) / step) * step, step, s->figure->origin, true);
        text_add(s->text, "set x2label 'calendar date' offset 0,-0.3\n");
    } else {
        text_add(s->text, "unset x2tics\nunset x2label\n");
    }
    text_add(s->text, "set xlabel ");
    add_shown(s, last && s->figure->x_label != NULL ? s->figure->x_label : "", room / s->layout.column);
    text_add(s->text, " offset 0,0.3\n");
}

static void
set_y_axis(struct script *s, const struct figure_panel *panel, double low, double high)
{
    if (panel->bars_length == 0) {
        const char *format = panel->no_numbers ? " format ''" : s->no_numbers ? " format '%h'" : "";

        s->no_numbers = panel->no_numbers; /* gnuplot keeps a format until it is told another */
        text_addf(s->text, "set yrange [%.10g:%.10g]\nset ytics autofreq nomirror scale 0.6%s\n", low, high,
                  format);
        if (s->layout.text) {
            text_add(s->text, "set label ");
            add_shown(s, panel->y_label == NULL ? "" : panel->y_label, s->layout.width - 8.0);
            text_add(s->text, " at graph 0, graph 1 left offset -4,1\n");
        } else {
            text_add(s->text, "set grid ytics\nset ylabel ");
            add_shown(s, panel->y_label == NULL ? "" : panel->y_label,
                      plot_panel_height(&s->layout) / s->layout.column);
            text_add(s->text, " offset 0.5,0\n");
        }
        return;
    }
    text_addf(s->text, "set yrange [%.10g:%.10g]\nset ytics (", high, low); /* the first bar on top */
    for (size_t i = 0; i < panel->bars_length; i++) {
        char *name = plot_shown(panel->bars[i], BAR_COLUMNS);

        text_add(s->text, i == 0 ? "" : ", ");
        plot_add_quoted(s->text, name, true);
        text_addf(s->text, " %zu", i);
        free(name);
    }
    text_add(s->text, ") nomirror scale 0\nset grid noytics\nunset ylabel\n");
}

/* -- levels -- */

struct label {
    const struct figure_level *level;
    double from_top; /* of the page */
};

static int
higher_first(const void *a, const void *b)
{
    const struct label *one = a, *other = b;

    return one->from_top < other->from_top ? -1 : one->from_top > other->from_top ? 1 : 0;
}

/* Labels at the right of their levels, moved down where they would overlap. */
static void
add_level_labels(struct script *s, const struct figure_panel *panel, double top, double y_low, double y_high)
{
    struct label *labels = memory_new(panel->levels_length, sizeof *labels);
    size_t count = 0;
    double height = plot_panel_height(&s->layout), below = -INFINITY;

    for (size_t i = 0; i < panel->levels_length; i++) {
        const struct figure_level *level = &panel->levels[i];
        double middle = (fmax(level->low, y_low) + fmin(level->high, y_high)) / 2.0;

        if (level->label != NULL && middle >= y_low && middle <= y_high)
            labels[count++] = (struct label){level, top + height * (y_high - middle) / (y_high - y_low)};
    }
    qsort(labels, count, sizeof *labels, higher_first);
    for (size_t i = 0; i < count; i++) {
        double place = fmax(labels[i].from_top, below + s->layout.line);

        text_add(s->text, "set label ");
        add_shown(s, labels[i].level->label, LEVEL_COLUMNS);
        text_addf(s->text, " at screen %.5f,%.5f left front",
                  1.0 - (s->layout.right - s->layout.column) / s->layout.width,
                  1.0 - place / s->layout.height);
        text_addf(s->text, s->layout.text ? "\n" : " tc rgb '%s'\n",
                  labels[i].level->low < labels[i].level->high ? "#3f6b4c" : "#333333");
        below = place;
    }
    free(labels);
}

static void
add_levels(struct script *s, const struct figure_panel *panel, double y_low, double y_high)
{
    for (size_t i = 0; i < panel->levels_length; i++) {
        const struct figure_level *level = &panel->levels[i];
        double low = fmax(level->low, y_low), high = fmin(level->high, y_high);

        if (low > high)
            continue;
        if (level->low < level->high && !s->layout.text)
            text_addf(s->text,
                      "set object rectangle from graph 0, first %.10g to graph 1, first %.10g "
                      "fs solid noborder fc rgb '%s' behind\n",
                      low, high, "#e6f0e8");
        else if (level->low == level->high && !s->layout.text)
            text_addf(s->text,
                      "set arrow from graph 0, first %.10g to graph 1, first %.10g nohead back lw 1.6 dt 2 "
                      "lc rgb '#333333'\n",
                      low, low);
    }
}

/* With characters a line that is plotted meets its row; an arrow does not. */
static void
draw_text_levels(struct script *s, const struct figure_panel *panel)
{
    for (size_t i = 0; s->layout.text && i < panel->levels_length; i++) {
        plot_begin_clause(&s->writer);
        text_addf(s->text, "%.10g with lines lt 0 notitle", panel->levels[i].low);
        if (panel->levels[i].high > panel->levels[i].low)
            text_addf(s->text, ", %.10g with lines lt 0 notitle", panel->levels[i].high);
    }
}

/* -- the whole -- */

#define TITLE_LARGER 1.25
#define PDF_LINES 1.3

/* What a font size of one pixel is called: by each terminal's own measure, the PDF's by eye, so that a page
 * of hundredths of an inch looks like one of as many pixels. */
static double
points(enum plot_kind kind)
{
    return kind == PLOT_PNG ? 0.75 : kind == PLOT_PDF ? 0.56 : 1.0;
}

static void
add_panel(struct script *s, size_t number)
{
    const struct figure_panel *panel = s->figure->panels[number];
    bool first = number == 0, last = number + 1 == s->figure->panels_length;
    double height = plot_panel_height(&s->layout),
           top = s->layout.top + (double)number * (height + s->layout.gap);
    double y_low, y_high;

    figure_y_range(panel, &y_low, &y_high);
    text_addf(s->text, "\n# panel %zu\nunset label\nunset object\nunset arrow\n", number + 1);
    text_addf(s->text, "set tmargin at screen %.5f\nset bmargin at screen %.5f\n",
              1.0 - top / s->layout.height, 1.0 - (top + height) / s->layout.height);
    if (first && s->figure->title != NULL) {
        text_add(s->text, "set label ");
        add_shown(s, s->figure->title,
                  (s->layout.width / s->layout.column - 3.0) / (s->layout.text ? 1.0 : 1.25));
        text_addf(s->text, " at screen %.5f,%.5f left front", s->layout.column * 1.5 / s->layout.width,
                  1.0 - (s->layout.text ? 0.5 : 1.1) * s->layout.line / s->layout.height);
        if (!s->layout.text)
            text_addf(s->text, " font ',%.4g'",
                      TITLE_LARGER * FONT_PX * s->layout.scale * points(s->layout.page->kind));
        text_add(s->text, "\n");
    }
    set_x_axis(s, first, last);
    set_y_axis(s, panel, y_low, y_high);
    add_levels(s, panel, y_low, y_high);
    add_level_labels(s, panel, top, y_low, y_high);
    s->writer.clauses = 0;
    draw_text_levels(s, panel);
    plot_draw_series(&s->writer, panel);
    if (s->writer.clauses == 0) {
        plot_begin_clause(&s->writer);
        text_add(s->text, "NaN notitle");
    }
    if (last)
        plot_draw_entries(&s->writer);
    text_add(s->text, "\n");
}

static void
add_terminal(struct script *s)
{
    double font = FONT_PX * s->layout.scale * points(s->layout.page->kind);

    switch (s->layout.page->kind) {
    case PLOT_SVG:
        text_addf(s->text,
                  "set terminal svg size %.0f,%.0f dynamic noenhanced font 'sans-serif,%.4g' linewidth %.4g "
                  "background '#ffffff'\n",
                  s->layout.width, s->layout.height, font, s->layout.scale);
        break;
    case PLOT_PNG:
        text_addf(s->text,
                  "set terminal pngcairo size %.0f,%.0f noenhanced font 'DejaVu Sans,%.4g' linewidth %.4g "
                  "background '#ffffff'\n",
                  s->layout.width, s->layout.height, font, s->layout.scale);
        break;
    case PLOT_PDF:
        text_addf(s->text,
                  "set terminal pdfcairo size %.4gin,%.4gin noenhanced font 'DejaVu Sans,%.4g' fontscale 1 "
                  "linewidth %.4g background '#ffffff'\n",
                  s->layout.width / 100.0, s->layout.height / 100.0, font, s->layout.scale * PDF_LINES);
        break;
    case PLOT_TEXT:
        text_addf(s->text, "set terminal dumb nofeed size %.0f,%.0f noenhanced mono\n", s->layout.width,
                  s->layout.height);
        break;
    }
}

static void
add_common(struct script *s)
{
    text_add(s->text, "# A plot made by curetrace. To rework it, change this file and run gnuplot on it.\n"
                      "set encoding utf8\n");
    add_terminal(s);
    text_add(s->text, "set output ");
    plot_add_quoted(s->text, s->layout.page->output, false);
    text_addf(s->text, "\nset multiplot\nset lmargin at screen %.5f\nset rmargin at screen %.5f\n",
              s->layout.left / s->layout.width, 1.0 - s->layout.right / s->layout.width);
    if (!s->layout.text)
        text_add(s->text, "set border 3 lw 0.8 lc rgb '#444444'\n"
                          "set grid xtics ytics back lt 1 lw 0.5 lc rgb '#d0d0d0'\n"
                          "set errorbars 0.7\n");
    text_addf(s->text,
              "set key at screen %.5f,%.5f center bottom vertical Left reverse samplen %s "
              "spacing 1 maxrows %zu noenhanced\n",
              0.5, 0.3 * s->layout.line / s->layout.height, s->layout.text ? "1" : "2.5",
              plot_entry_rows(&s->layout) == 0 ? 1 : plot_entry_rows(&s->layout));
}

enum status
plot_script(const struct figure *figure, const struct plot_page *page, struct text *script, struct text *data,
            struct failure *failure)
{
    struct script s = {.figure = figure, .text = script};
    enum status status = plot_layout_make(figure, page, &s.layout, failure);

    if (status != STATUS_OK)
        return status;
    s.writer = (struct plot_writer){.layout = &s.layout, .script = script, .data = data};
    figure_x_range(figure, &s.x_low, &s.x_high);
    s.x_first = isnan(figure->x_low) ? ceil(s.x_low + ROOM_IN_RANGE * (s.x_high - s.x_low)) : ceil(s.x_low);
    add_common(&s);
    for (size_t i = 0; i < figure->panels_length; i++)
        add_panel(&s, i);
    text_add(script, "\nunset multiplot\nunset output\n");
    plot_layout_clear(&s.layout);
    return STATUS_OK;
}
