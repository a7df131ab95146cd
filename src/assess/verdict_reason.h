/* verdict_reason.h - the sentence that belongs to each flag of a verdict, and what to do next. */
#ifndef VERDICT_REASON_H
#define VERDICT_REASON_H

#include "sentence.h"
#include "verdict.h"

/* Add the reason for one flag that is set: one sentence, for deviations one each. */
void verdict_reason_add(const struct verdict *verdict, enum flag flag, struct sentences *list);

/* What is to be put right before the bar can be judged, as in "weigh a 1 % solution". Lent for ever.
 *
 * ret_calibrates  the meter it was read with is to be calibrated */
const char *verdict_reason_to_put_right(const struct verdict *verdict, bool *ret_calibrates);

/* What makes the next reading surer, as in "calibrate the meter as warm as the solution". Lent for ever. */
const char *verdict_reason_to_be_surer(const struct verdict *verdict);

#endif
