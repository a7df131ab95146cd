/* cure_text.h - what is to be said of a cure (cure.h). */
#ifndef CURE_TEXT_H
#define CURE_TEXT_H

#include "cure.h"
#include "dossier.h"
#include "sentence.h"
#include "series.h"

/* What is amiss: results to recheck with likely causes, and those that could not be used. */
void cure_say_remarks(const struct dossier *dossier, const struct series *series, const struct cure *cure,
                      struct sentences *list);

/* What was fitted: curve, trend, ready dates, and which test would settle what is open. */
void cure_say_model(const struct dossier *dossier, const struct series *series, const struct cure *cure,
                    struct sentences *list);

/* "2026-03-20 to 2026-03-25", "below at every age", "levels off above it",
 * "not yet predictable, not before 2026-04-01". Given: free() it. */
char *cure_ready_text(const struct cure *cure, civil_day made_on);

#endif
