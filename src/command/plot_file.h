/* plot_file.h - --plot FILE, --size WxH and --script, the same for every command that draws. */
#ifndef PLOT_FILE_H
#define PLOT_FILE_H

#include "command.h"
#include "figure.h"

/* What --help says of the three; their lines in a command's table are
 * {.name = "plot", .kind = OPTION_FILE, .value = "FILE", .help = PLOT_FILE_HELP} and so on. */
#define PLOT_FILE_HELP "a plot; FILE ends in .svg, .png or .pdf"
#define PLOT_SIZE_HELP "how large the plot is, in pixels (of a PDF in hundredths of an inch), as in 900x480"
#define PLOT_SCRIPT_HELP "leave the plot's gnuplot script and data beside it, to be reworked"

/* Before anything is worked out: is what was written about the plot right?
 * STATUS_USAGE for --size or --script without --plot, STATUS_FORMAT for a size that is none. */
enum status plot_file_check(const struct options *options, struct failure *failure);

/* Draw into the file of --plot and say so. STATUS as plot_file_check() and plot_write(). */
enum status plot_file_write(const struct context *context, const struct options *options,
                            const struct figure *figure, struct failure *failure);

#endif
