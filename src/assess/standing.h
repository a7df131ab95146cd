/* standing.h - where a batch stands, in words: its state, its verdict by all bars, what speaks against it, what is missing,
 * and what to do next. */
#ifndef STANDING_H
#define STANDING_H

#include "conclusion.h"
#include "sentence.h"

/* What belongs above the bars of verdict_text.h; nothing where there is nothing to say. */
void standing_say(const struct dossier *dossier, const struct conclusion *conclusion, struct sentences *list);

/* The state, and what speaks against it. */
void standing_say_warnings(const struct dossier *dossier, const struct conclusion *conclusion,
                           struct sentences *list);

/* The one next step of the conclusion. */
void standing_say_next(const struct conclusion *conclusion, struct sentences *list);

#endif
