/* verdict_reason.h - the sentence that belongs to each flag of a verdict, and what to do next. */
#ifndef VERDICT_REASON_H
#define VERDICT_REASON_H

#include "sentence.h"
#include "verdict.h"

/* Add the reason for one flag that is set: one sentence, for deviations one each. */
void verdict_reason_add(const struct verdict *verdict, enum flag flag, struct sentences *list);

/* Add what to do next by this bar. */
void verdict_reason_next(const struct verdict *verdict, struct sentences *list);

#endif
