/* titration_view.h - what titrations of a batch say, on the screen and as CSV. */
#ifndef TITRATION_VIEW_H
#define TITRATION_VIEW_H

#include "command.h"

/* Result, uncertainty, band with its sources, what pH says beside it, cautions and what to do next.
 * STATUS as free_alkali_of(). */
enum status titration_view_print(const struct context *context, const char *code, struct failure *failure);

/* One row for each batch named: batch,free_naoh_pct,low_pct,high_pct,band,flags. */
enum status titration_view_csv(const struct context *context, const struct options *options,
                               struct failure *failure);

#endif
