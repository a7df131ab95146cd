/* guide.h - what a walk says around its questions. */
#ifndef GUIDE_H
#define GUIDE_H

#include "bench.h"
#include "question.h"
#include "sentence.h"
#include "store.h"

/* The text of an answer whose temperature was left out. */
extern const char guide_no_temperature[];

/* Title, gear and the cautions before the first question, short enough for it to stay on a screen of 24 lines.
 * The summary is in guide_help(). */
void guide_opening(struct sentences *said, const struct bench *bench);

/* The same when a session goes on: which one it is, and what was kept last, at which question. */
void guide_reopening(struct sentences *said, const struct bench *bench, const struct question *last,
                     const struct answer *kept);

/* "Cup 2 of 3: W-07, bar middle", "For all of them". Given: free() it. */
char *guide_cup(const struct bench *bench, size_t cup);

/* A step: its number and text as a heading, target, clause and caution; at a mass what the balance can hold, and how
 * much water belongs to the portion. */
void guide_step(struct sentences *said, const struct bench *bench, const struct question *question);

/* At a meter check: what is known about the meter. STATUS as calibration_store_list(). */
enum status guide_meter(struct sentences *said, struct store *store, const struct bench *bench,
                        civil_time now, struct failure *failure);

/* What the question asks for where it stands. Given: free() it.
 *
 * chosen    what was chosen there, where a yes or no to it is asked; NULL: nothing
 * before_c  the temperature that Enter repeats; NAN: none */
char *guide_question(const struct question *question, const char *chosen, double before_c);

/* What can be typed there, then the method and all cautions. */
void guide_help(struct sentences *said, const struct question *question, const struct bench *bench);

/* An answer in words, with the decimals that the gear shows: "pH 9.87 at 40.1 degC", "8..9", "left out (battery
 * empty)". Given: free() it. */
char *guide_answer(const struct bench *bench, const struct question *question, const struct answer *answer);

/* "reading 2 of W-07", "water check" - where a question stands. Given: free() it. */
char *guide_place(const struct bench *bench, const struct question *question);

/* What to do after the session, and after leaving it. */
void guide_finished(struct sentences *said, const struct bench *bench, const char *left_open);
void guide_left(struct sentences *said, const struct bench *bench);

#endif
