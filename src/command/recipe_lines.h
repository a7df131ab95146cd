/* recipe_lines.h - a recipe on the command line: --fat, --lye, --acid, --other and --water-g. */
#ifndef RECIPE_LINES_H
#define RECIPE_LINES_H

#include <stdbool.h>

#include "batch.h"
#include "command.h"

/* Add the recipe's lines to a batch, in the order in which they were written. STATUS as recipe_line_parse().
 */
enum status recipe_lines_read(const struct options *options, struct batch *batch, struct failure *failure);

/* A recipe that is put right must be one that can be balanced: else it would take away what the one before it says about its
 * lye. STATUS as lye_balance_read() and lye_balance_solve(). */
enum status recipe_lines_check(const struct batch *batch, struct failure *failure);

/* What the recipe promises, said while the pot may still be empty. A recipe that cannot be balanced is filed all the
 * same; what stands in the way is said. Nothing for one without a fat or a lye. True: more likely than not its lye
 * exceeds the fat, so that its batch is held. */
bool recipe_lines_balance(const struct context *context, const struct batch *batch);

#endif
