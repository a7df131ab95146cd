/* verdict_reason.h - the sentence that belongs to each flag of a verdict, and what to do next. */
#ifndef VERDICT_REASON_H
#define VERDICT_REASON_H

#include "text.h"
#include "verdict.h"

/* Add "  - sentence" for one flag that is set: a line, for deviations one each. */
void verdict_reason_add(const struct verdict *verdict, enum flag flag, struct text *text);

/* Add "Next: ..." for this verdict: one line. */
void verdict_reason_add_next(const struct verdict *verdict, struct text *text);

#endif
