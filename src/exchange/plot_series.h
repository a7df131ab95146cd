/* plot_series.h - series as data blocks and the clauses that draw them.
 *
 * Rules
 * (1) Colours are those of M. Okabe and K. Ito, "Color Universal Design" (2008), without the yellow, which
 *     is too pale for a line on white, and the black, which is for limits.
 * (2) Marks and dashes tell series apart without colour: six colours and six shapes, the shapes moved on
 *     by one each time the colours begin again, so that 36 kins look different.
 * (3) What lies below what: bands, bars, curves, paper ranges, uncertainty, superseded marks, marks. */
#ifndef PLOT_SERIES_H
#define PLOT_SERIES_H

#include "plot_layout.h"
#include "text.h"

struct plot_writer {
    const struct plot_layout *layout; /* lent, as is what it writes to */
    struct text *script, *data;
    size_t blocks;  /* data blocks so far */
    size_t clauses; /* plot clauses of this panel so far */
};

/* All series of a panel. */
void plot_draw_series(struct plot_writer *writer, const struct figure_panel *panel);

/* The legend, as clauses of the last panel. */
void plot_draw_entries(struct plot_writer *writer);

/* Write what stands before a clause: "plot " or a comma. */
void plot_begin_clause(struct plot_writer *writer);

/* Add a harmless text in single quotes. In a list of tics a percent sign begins a number format and is
 * doubled. */
void plot_add_quoted(struct text *script, const char *text, bool tic);

#endif
