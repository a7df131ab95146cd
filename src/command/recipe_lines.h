/* recipe_lines.h - a recipe on the command line: --fat, --lye, --acid, --other and --water-g. */
#ifndef RECIPE_LINES_H
#define RECIPE_LINES_H

#include "batch.h"
#include "options.h"

/* Add the recipe's lines to a batch, in the order in which they were written. STATUS as recipe_line_parse().
 */
enum status recipe_lines_read(const struct options *options, struct batch *batch, struct failure *failure);

#endif
