/* verdict_parts.h - the parts a verdict is made of, for the assess room alone; the rules are verdict.h's. */
#ifndef VERDICT_PARTS_H
#define VERDICT_PARTS_H

#include "verdict.h"

/* Is it a standing reading of the verdict's cup or cups, by that method? */
bool verdict_takes(const struct verdict *verdict, const struct reading *reading, enum reading_method method);

/* Keep the latest reading as the one whose gear and calibration are named. */
void verdict_remember(struct verdict *verdict, const struct reading *reading);

/* Judge by the meter readings (rules 1 to 4, 9 and 10), whose number is given; with none the verdict stays as it is.
 * The verdict knows its cup, its bounds, whether its sitting is poor, and how replicates scatter. Status as
 * reading_value_of() and budget_of(). */
enum status verdict_by_meter(struct verdict *verdict, struct reading_valuer *valuer, size_t *ret_count,
                             struct failure *failure);

/* Judge by the paper readings (rule 5), or compare them with what the meter said. */
void verdict_by_paper(struct verdict *verdict, const struct verdict_aid *aid, bool beside_meter);

/* Hold the bar against a reference of about its age (rule 7), where there is one, and say what its pH means in free
 * alkali. */
void verdict_by_reference(struct verdict *verdict, const struct verdict_aid *aid);

#endif
