/* plot_layout.h - how a page is shared between title, panels, labels and legend.
 *
 * Rules
 * (1) The legend lies below the last panel, labels of levels to the right of their panel: never on the
 *     data.
 * (2) A text too long for its place is cut and ends in an ellipsis.
 * (3) Lengths are pixels of the page, or characters when the figure is drawn with characters. */
#ifndef PLOT_LAYOUT_H
#define PLOT_LAYOUT_H

#include <stdbool.h>
#include <stddef.h>

#include "figure.h"
#include "status.h"

enum plot_kind { PLOT_SVG, PLOT_PNG, PLOT_PDF, PLOT_TEXT };

enum {
    PLOT_LEAST_PX = 240, /* of the width; half of it of the height */
    PLOT_MOST_PX = 10000,
    PLOT_LEAST_COLUMNS = 40,
    PLOT_LEAST_ROWS = 12
};

enum { FONT_PX = 12, LEVEL_COLUMNS = 24, BAR_COLUMNS = 30 };

/* What kind of file, where and how large. Lent. */
struct plot_page {
    enum plot_kind kind;
    int width,
        height; /* pixels (hundredths of an inch in a PDF), or columns and rows of text; 0: as it fits */
    const char *output; /* what the script calls the file it makes */
    const char *data;   /* and the data file it reads; both without control characters */
};

/* One line of the legend. */
struct plot_entry {
    const struct figure_series *series; /* lent; NULL: what a hollow mark means */
    char *title;                        /* owned, harmless and cut */
};

/* Owns the entries. */
struct plot_layout {
    const struct figure *figure; /* lent */
    const struct plot_page *page;
    bool text;            /* drawn with characters */
    double scale;         /* 1: letters of FONT_PX */
    double width, height; /* of the page */
    double column, line;  /* of a character */
    double left, right;   /* margins */
    double top, bottom;   /* above the first panel and below the last one */
    double gap;           /* between two panels */
    struct plot_entry *entries;
    size_t entries_length, entries_capacity, entries_columns;
};

/* STATUS_RANGE when the page is too small for the labels, or outside the sizes above. */
enum status plot_layout_make(const struct figure *figure, const struct plot_page *page,
                             struct plot_layout *ret_layout, struct failure *failure);
void plot_layout_clear(struct plot_layout *layout);

/* Height of each panel. */
double plot_panel_height(const struct plot_layout *layout);

/* Lines of the legend, entries_columns entries each. */
size_t plot_entry_rows(const struct plot_layout *layout);

/* Whether calendar dates stand above the first panel. */
bool plot_has_calendar(const struct plot_layout *layout);

/* The text as one harmless line of at most `columns` columns. Given: free() it. */
char *plot_shown(const char *text, size_t columns);

#endif
