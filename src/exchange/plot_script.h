/* plot_script.h - a figure as a gnuplot script and its data.
 *
 * Rules
 * (1) A text is data: one harmless line (text_visible()) in single quotes, quotes doubled, and no markup
 *     (noenhanced). Nothing in it is run, looked up or replaced.
 * (2) The same figure and page give the same script, byte for byte. */
#ifndef PLOT_SCRIPT_H
#define PLOT_SCRIPT_H

#include "figure.h"
#include "plot_layout.h"
#include "status.h"
#include "text.h"

/* Add the script and the data to two texts.
 * STATUS_RANGE when the page is smaller or larger than the figure allows. */
enum status plot_script(const struct figure *figure, const struct plot_page *page, struct text *script,
                        struct text *data, struct failure *failure);

#endif
