/* guide.h - what the walk-through says around its questions. */
#ifndef GUIDE_H
#define GUIDE_H

#include "bench.h"
#include "prompt.h"
#include "question.h"

/* Title, summary, gear and the cautions, before the first question. */
void guide_opening(struct prompt *prompt, const struct bench *bench);

/* Which specimen comes now; nothing for the session's own steps. */
void guide_specimen(struct prompt *prompt, const struct bench *bench, size_t specimen);

/* A step: its number, text, target, clause and caution. */
void guide_step(struct prompt *prompt, const struct bench *bench, const struct question *question);

/* At a mass: what the balance can hold, and how much water belongs to the portion. */
void guide_mass(struct prompt *prompt, const struct bench *bench, const struct question *question);

/* At a meter check: what is known about the meter. */
enum status guide_meter(struct prompt *prompt, struct store *store, const struct bench *bench,
                        struct failure *failure);

/* The question itself and the help for it. Given: free() both. */
char *guide_question(const struct question *question);
char *guide_help(const struct question *question, const struct bench *bench);

/* An answer in words: "pH 9.87", "8..9", "skipped (battery empty)". Given: free() it. */
char *guide_answer(const struct question *question, const struct answer *answer);

/* "W-07, reading 2" - where a question stands, for lists. Given: free() it. */
char *guide_place(const struct bench *bench, const struct question *question);

/* What to do after the session, and after leaving it. */
void guide_finished(struct prompt *prompt, const struct bench *bench, const char *left_open);
void guide_left(struct prompt *prompt, const struct bench *bench);

#endif
