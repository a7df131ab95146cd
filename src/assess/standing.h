/* standing.h - where a batch stands, in words: its state, what a titration says over the pH, and an earlier test
 * that was lye-heavy. It belongs above the bars of verdict_text.h, and says nothing where there is nothing. */
#ifndef STANDING_H
#define STANDING_H

#include "conclusion.h"
#include "text.h"

/* One line each, ended by a newline. */
void standing_add(const struct dossier *dossier, const struct conclusion *conclusion, struct text *text);

/* The first part of it: the state, and an earlier lye-heavy test. */
void standing_add_warnings(const struct dossier *dossier, const struct conclusion *conclusion,
                           struct text *text);

/* The line that says what to do next where the pH alone does not decide it: after a titration, and for a batch
 * that is within and held, or was lye-heavy before. False, and nothing added, where the pH's own line holds. */
bool standing_add_next(const struct dossier *dossier, const struct conclusion *conclusion, struct text *text);

#endif
