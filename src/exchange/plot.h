/* plot.h - figures drawn by gnuplot, which is started as a program of its own.
 *
 * Rules
 * (1) gnuplot is started by argument list in a fresh private folder, without a shell, without the person's
 *     own gnuplot settings and with a small environment; the folder is removed afterwards.
 * (2) A file is written whole or not at all.
 * (3) Without gnuplot the script and the data are left beside the file that was wanted. */
#ifndef PLOT_H
#define PLOT_H

#include <stdbool.h>
#include <stdio.h>

#include "figure.h"
#include "status.h"

struct plot_options {
    int width_px, height_px; /* 0: as the figure asks; in a PDF hundredths of an inch */
    bool keep_script;        /* leave FILE.gnuplot and FILE.dat beside FILE, ready to be run there */
};

/* Draw into a file whose name ends in .svg, .png or .pdf. `options` may be NULL.
 *
 * STATUS_USAGE for another ending, STATUS_RANGE for an impossible size, STATUS_MISSING when gnuplot is not
 * installed (the message says how to get it and where the script is), STATUS_SYSTEM when it fails or the
 * file cannot be written. */
enum status plot_write(const struct figure *figure, const char *path, const struct plot_options *options,
                       struct failure *failure);

/* Draw with characters; 0 columns or rows: 79, and as many rows as the figure asks. Statuses as above. */
enum status plot_text(const struct figure *figure, int columns, int rows, FILE *out, struct failure *failure);

/* Draw as an <svg> element to be put into a page: no prologue, ids begin with `id_prefix` (letters and
 * digits) so that several can stand in one page, and the figure's title is its <title>. Given: free() it.
 * Statuses as above. */
enum status plot_svg(const struct figure *figure, const struct plot_options *options, const char *id_prefix,
                     char **ret_svg, struct failure *failure);

#endif
