/* standing.h - where a batch stands, in words: its state, its verdict by all bars, what speaks against it, what is missing,
 * and what to do next. */
#ifndef STANDING_H
#define STANDING_H

#include "conclusion.h"
#include "sentence.h"

/* What belongs above the bars of verdict_text.h; nothing where there is nothing to say. */
void standing_say(const struct dossier *dossier, const struct conclusion *conclusion, struct sentences *list);

/* The verdict by all that is known, and what it means for hands; nothing where nothing is known. */
void standing_say_verdict(const struct dossier *dossier, const struct conclusion *conclusion,
                          struct sentences *list);

/* The state alone, where it is not that of every batch. */
void standing_say_state(const struct dossier *dossier, struct sentences *list);

/* What the verdict means, in one sentence that a customer understands; nothing where nothing is known. */
void standing_say_meaning(const struct conclusion *conclusion, struct sentences *list);

/* What speaks for the bars where there are several, what against the batch, what is missing, what was settled. */
void standing_say_reasons(const struct conclusion *conclusion, struct sentences *list);

/* The one next step of the conclusion. */
void standing_say_next(const struct conclusion *conclusion, struct sentences *list);

#endif
