/* verdict_parts.h - the parts a verdict is made of, for the assess room alone; the rules are verdict.h's. */
#ifndef VERDICT_PARTS_H
#define VERDICT_PARTS_H

#include "verdict.h"

/* Is it a standing reading of the test portion, by that method? */
bool verdict_takes(const struct reading *reading, int64_t specimen_id, enum reading_method method);

/* Keep the latest reading as the one whose gear and calibration are named. */
void verdict_remember(struct verdict *verdict, const struct reading *reading);

/* Judge by the meter readings (rules 1, 3, 4 and 9), whose number is given; with none the verdict stays as it is.
 * The verdict knows its test portion and how replicates scatter. Status as reading_value_of() and budget_of(). */
enum status verdict_by_meter(struct verdict *verdict, struct reading_valuer *valuer, size_t *ret_count,
                             struct failure *failure);

/* Judge by the paper readings (rule 5), or compare them with what the meter said. */
void verdict_by_paper(struct verdict *verdict, const struct verdict_aid *aid, bool beside_meter);

#endif
