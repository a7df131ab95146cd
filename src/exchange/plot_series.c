/* plot_series.c - series as data blocks and the clauses that draw them. */
#include "plot_series.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "number.h"

/* Blue, vermilion, bluish green, reddish purple, orange, sky blue (plot_script.h, rule 3). */
static const char *const colours[] = {"#0072b2", "#d55e00", "#009e73", "#cc79a7", "#e69f00", "#56b4e9"};

/* Circle, square, triangle, diamond, triangle upside down, pentagon; as characters in a text. */
static const struct {
    int filled, hollow;
    char letter;
} marks[] = {{7, 6, 'o'}, {5, 4, '#'}, {9, 8, 'x'}, {13, 12, '&'}, {11, 10, '*'}, {15, 14, '@'}};

static const int dashes[] = {1, 2, 4, 5, 3, 1};

/* Of the mark in the legend that stands for all that is hollow. */
static const char grey[] = "#5b5b5b";

#define RANGE_WIDTH 3.0

/* A quoted text. In the list of tics alone a percent sign begins a number format. */
void
plot_add_quoted(struct text *script, const char *text, bool tic)
{
    text_add(script, "'");
    for (; *text != '\0'; text++) {
        if (*text == '\'' || (tic && *text == '%'))
            text_add_bytes(script, text, 1);
        text_add_bytes(script, text, 1);
    }
    text_add(script, "'");
}

/* Begin a data block that the next clauses read. */
static void
begin_block(struct plot_writer *s, const char *what, const char *title)
{
    char *visible = text_visible(title == NULL ? "" : title);

    text_addf(s->data, "%s# %s; %s\n", s->blocks == 0 ? "" : "\n\n", visible, what);
    s->blocks++;
    free(visible);
}

static void
add_row(struct plot_writer *s, size_t count, const double *numbers)
{
    char number[NUMBER_TEXT_SIZE];

    for (size_t i = 0; i < count; i++)
        text_addf(s->data, "%s%s", i == 0 ? "" : " ", number_format(numbers[i], number));
    text_add(s->data, "\n");
}

/* Begin a plot clause that reads the newest block. */
void
plot_begin_clause(struct plot_writer *s)
{
    text_add(s->script, s->clauses++ == 0 ? "plot " : ", \\\n     ");
}

static void
begin_data_clause(struct plot_writer *s)
{
    plot_begin_clause(s);
    plot_add_quoted(s->script, s->layout->page->data, false);
    text_addf(s->script, " index %zu ", s->blocks - 1);
}

/* What a point is needed for. */
enum part { PART_MARK, PART_ENDS };

static bool
is_part(const struct figure_point *point, enum part part)
{
    return part == PART_MARK || !isnan(point->y_low);
}

/* The rows of one kind as a block; false when there are none. `hollow`: -1 for both kinds. */
static bool
add_block(struct plot_writer *s, const struct figure_series *series, enum part part, int hollow,
          const char *what)
{
    size_t rows = 0;

    for (size_t i = 0; i < series->length; i++) {
        const struct figure_point *point = &series->points[i];
        double both[] = {point->x, point->y}, ends[] = {point->x, point->y_low, point->y_high};

        if (!is_part(point, part) || (hollow >= 0 && point->hollow != (hollow == 1)))
            continue;
        if (rows++ == 0)
            begin_block(s, what, series->title);
        add_row(s, part == PART_MARK ? 2 : 3, part == PART_MARK ? both : ends);
    }
    return rows > 0;
}

static const char *
colour_of(const struct figure_series *series)
{
    return colours[series->kin % LENGTH(colours)];
}

/* How marks look: six shapes, shifted by one each time the six colours begin again. */
static void
add_mark(struct plot_writer *s, const struct figure_series *series, bool hollow, double size,
         double line_width)
{
    size_t shape = series == NULL ? 0 : (series->kin + series->kin / LENGTH(colours)) % LENGTH(marks);

    if (s->layout->text)
        text_addf(s->script, "pt '%c'", hollow ? '.' : marks[shape].letter);
    else
        text_addf(s->script, "pt %d ps %g lw %g lc rgb '%s'",
                  hollow ? marks[shape].hollow : marks[shape].filled, size * s->layout->scale, line_width,
                  series == NULL ? grey : colour_of(series));
}

static void
draw_band(struct plot_writer *s, const struct figure_series *series)
{
    if (s->layout->text || series->style != FIGURE_CURVE ||
        !add_block(s, series, PART_ENDS, -1, "band: x, low, high"))
        return;
    begin_data_clause(s);
    text_addf(s->script,
              "using 1:2:3 with filledcurves fs transparent solid 0.18 noborder lc rgb '%s' notitle",
              colour_of(series));
}

static void
add_curve_style(struct plot_writer *s, const struct figure_series *series)
{
    if (s->layout->text)
        text_add(s->script, "with lines");
    else
        text_addf(s->script, "with lines lw 1.8 dt %d lc rgb '%s'", dashes[series->kin % LENGTH(dashes)],
                  colour_of(series));
}

static void
draw_curve(struct plot_writer *s, const struct figure_series *series)
{
    if (series->style != FIGURE_CURVE || !add_block(s, series, PART_MARK, -1, "curve: x, y"))
        return;
    begin_data_clause(s);
    text_add(s->script, "using 1:2 ");
    add_curve_style(s, series);
    text_add(s->script, " notitle");
}

static void
draw_ranges(struct plot_writer *s, const struct figure_series *series)
{
    if (series->style != FIGURE_RANGES)
        return;
    for (int hollow = 0; hollow < 2; hollow++) {
        if (!add_block(s, series, PART_ENDS, hollow,
                       hollow ? "superseded range: x, low, high" : "range: x, low, high"))
            continue;
        begin_data_clause(s);
        text_add(s->script, "using 1:2:(0):($3-$2) with vectors nohead ");
        if (s->layout->text)
            text_add(s->script, "lt -1 ");
        else
            text_addf(s->script, "lw %g lc rgb '%s' ", hollow ? 1.0 : RANGE_WIDTH, colour_of(series));
        text_add(s->script, "notitle");
        for (int end = 2; end <= 3; end++) {
            begin_data_clause(s);
            text_addf(s->script, "using 1:%d with points ", end);
            add_mark(s, series, hollow == 1, 0.5, 1.3);
            text_add(s->script, " notitle");
        }
    }
}

static void
draw_uncertainty(struct plot_writer *s, const struct figure_series *series)
{
    if (series->style != FIGURE_POINTS || !add_block(s, series, PART_ENDS, -1, "uncertainty: x, low, high"))
        return;
    begin_data_clause(s);
    text_add(s->script, "using 1:(($2+$3)/2):2:3 with yerrorbars ");
    if (s->layout->text)
        text_add(s->script, "lt -1 pt '|'");
    else
        text_addf(s->script, "pt 0 lw 1.2 lc rgb '%s'", colour_of(series));
    text_add(s->script, " notitle");
}

static void
draw_marks(struct plot_writer *s, const struct figure_series *series)
{
    if (series->style != FIGURE_POINTS)
        return;
    for (int hollow = 1; hollow >= 0; hollow--) { /* what counts lies on top */
        if (!add_block(s, series, PART_MARK, hollow, hollow == 1 ? "superseded: x, y" : "marks: x, y"))
            continue;
        begin_data_clause(s);
        text_add(s->script, "using 1:2 with points ");
        add_mark(s, series, hollow == 1, 0.95, 1.3);
        text_add(s->script, " notitle");
    }
}

static void
draw_bars(struct plot_writer *s, const struct figure_series *series)
{
    if (series->style != FIGURE_BARS || !add_block(s, series, PART_MARK, -1, "bars: length, row"))
        return;
    begin_data_clause(s);
    if (s->layout->text)
        text_add(s->script, "using (0):2:1:(0) with vectors nohead lt 1 notitle");
    else
        text_addf(s->script,
                  "using (0):2:(0):1:($2-0.32):($2+0.32) with boxxyerror fs solid 0.85 noborder lc rgb '%s' "
                  "notitle",
                  colour_of(series));
    begin_data_clause(s);
    text_add(s->script, "using 1:2:(sprintf('%.3g', $1)) with labels left offset 1,0 notitle");
}

void
plot_draw_entries(struct plot_writer *s)
{
    for (size_t i = 0; i < s->layout->entries_length; i++) {
        const struct figure_series *series = s->layout->entries[i].series;

        plot_begin_clause(s);
        text_add(s->script, "keyentry ");
        if (series != NULL && series->style == FIGURE_CURVE) {
            add_curve_style(s, series);
        } else if (series != NULL && series->style == FIGURE_BARS) {
            text_addf(s->script, "with boxes fs solid 0.85 noborder lc rgb '%s'", colour_of(series));
        } else {
            bool range = series != NULL && series->style == FIGURE_RANGES;

            text_add(s->script, range && !s->layout->text ? "with linespoints " : "with points ");
            add_mark(s, series, series == NULL, range ? 0.5 : 0.95, range ? RANGE_WIDTH : 1.3);
        }
        text_add(s->script, " title ");
        plot_add_quoted(s->script, s->layout->entries[i].title, false);
    }
}

void
plot_draw_series(struct plot_writer *s, const struct figure_panel *panel)
{
    static void (*const passes[])(struct plot_writer *, const struct figure_series *) = {
        draw_band, draw_bars, draw_curve, draw_ranges, draw_uncertainty, draw_marks};

    for (size_t pass = 0; pass < LENGTH(passes); pass++) {
        for (size_t i = 0; i < panel->series_length; i++)
            passes[pass](s, panel->series[i]);
    }
}
