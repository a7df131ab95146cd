/* guide.h - what the walk-through says around its questions. */
#ifndef GUIDE_H
#define GUIDE_H

#include "bench.h"
#include "prompt.h"
#include "question.h"

/* Title, gear and the cautions before the first question, short enough for it to stay on a screen of 24 lines.
 * The summary is in guide_help(). */
void guide_opening(struct prompt *prompt, const struct bench *bench);

/* The same when a session goes on: which one it is, and what was kept last, in words: `kept` of question `last`. */
void guide_reopening(struct prompt *prompt, const struct bench *bench, const struct question *last,
                     const char *kept);

/* Which bar comes now, or that it is about all of them. */
void guide_specimen(struct prompt *prompt, const struct bench *bench, size_t specimen);

/* A step: its number, text, target, clause and caution. */
void guide_step(struct prompt *prompt, const struct bench *bench, const struct question *question);

/* At a mass: what the balance can hold, and how much water belongs to the portion. */
void guide_mass(struct prompt *prompt, const struct bench *bench, const struct question *question);

/* At a meter check: what is known about the meter. */
enum status guide_meter(struct prompt *prompt, struct store *store, const struct bench *bench,
                        struct failure *failure);

/* The question itself and the help for it, with the method and all cautions. Given: free() both.
 *
 * before_c  the temperature that Enter repeats; NAN: none */
char *guide_question(const struct question *question, double before_c);
char *guide_help(const struct question *question, const struct bench *bench);

/* An answer in words, with the decimals that the gear shows: "pH 9.87", "8..9", "left out (battery empty)".
 * Given: free() it. */
char *guide_answer(const struct bench *bench, const struct question *question, const struct answer *answer);

/* "reading 2 of W-07", "water check" - where a question stands. Given: free() it. */
char *guide_place(const struct bench *bench, const struct question *question);

/* What to do after the session, and after leaving it: command lines that no line end breaks. `after` is written
 * behind them, as in " --notebook 'my soap'"; "" for nothing. */
void guide_finished(struct prompt *prompt, const struct bench *bench, const char *left_open,
                    const char *after);
void guide_left(struct prompt *prompt, const struct bench *bench, const char *after);

#endif
