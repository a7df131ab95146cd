/* standing.h - where a batch stands, in words: its state, what a titration says over the pH, an earlier test that was
 * lye-heavy, and what to do next. */
#ifndef STANDING_H
#define STANDING_H

#include "conclusion.h"
#include "sentence.h"

/* What belongs above the bars of verdict_text.h; nothing where there is nothing to say. */
void standing_say(const struct dossier *dossier, const struct conclusion *conclusion, struct sentences *list);

/* The first part of it: the state, and an earlier lye-heavy test. */
void standing_say_warnings(const struct dossier *dossier, const struct conclusion *conclusion,
                           struct sentences *list);

/* The one next step of a batch: by its state and titration where these decide, else by its worst bar. */
void standing_say_next(const struct dossier *dossier, const struct conclusion *conclusion,
                       struct sentences *list);

#endif
