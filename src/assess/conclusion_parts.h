/* conclusion_parts.h - the parts a conclusion is made of, for the assess room alone. */
#ifndef CONCLUSION_PARTS_H
#define CONCLUSION_PARTS_H

#include "conclusion.h"

/* What speaks for the batch, against it, and what is missing; the conclusion is complete but for these and the next step. */
void conclusion_add_reasons(const struct dossier *dossier, const struct verdict_aid *aid,
                            struct conclusion *conclusion);

/* The one next step, when all else is there. */
void conclusion_add_next(const struct dossier *dossier, struct conclusion *conclusion);

#endif
