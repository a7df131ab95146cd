/* correct_portion.h - say afterwards how strong the solution of a test portion was.
 *
 * Rules
 * (1) Masses that were not written down are added to the portion as weighings with the reason. What was weighed
 *     already is corrected as a weighing.
 * (2) A concentration that was told stands in the portion's own row, which is never changed: a new portion of the
 *     same session and bar has it, and each standing reading is superseded by one of the new portion.
 * (3) A portion of a walk-through is told by its masses only: what was seen of its solution belongs to it. */
#ifndef CORRECT_PORTION_H
#define CORRECT_PORTION_H

#include "command.h"
#include "session.h"

/* True when the command line speaks of a portion: --percent, --soap-g, --water-g. */
bool correct_portion_asked(const struct options *options);

/* STATUS_USAGE when that does not go together. */
enum status correct_portion_check(const struct options *options, struct failure *failure);

/* Inside a transaction; says what it filed on context->out.
 *
 * reading  one of the portion's, whose session is finished
 *
 * STATUS_CONFLICT for what was weighed already and by rule 3. */
enum status correct_portion(struct context *context, const struct options *options,
                            const struct reading *reading, struct failure *failure);

#endif
