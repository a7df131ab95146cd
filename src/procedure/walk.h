/* walk.h - where a session stands: its questions, the answers in the notebook, and what comes next. */
#ifndef WALK_H
#define WALK_H

#include "bench.h"
#include "clock.h"
#include "question.h"
#include "store.h"

#define WALK_NONE SIZE_MAX

/* Owns all but the store. */
struct walk {
    struct store *store; /* lent */
    struct bench bench;  /* its specimens have the masses weighed so far */
    struct question *questions;
    size_t question_count;
    struct answer *answers; /* as they lie in the notebook, read anew after each filing */
    size_t answer_count;
};

/* STATUS_CONFLICT when the session is finished, else as bench_lay_out(). The caller walk_close()s it after
 * STATUS_OK only. */
enum status walk_open(struct store *store, int64_t session_id, struct walk *ret_walk,
                      struct failure *failure);
void walk_close(struct walk *walk);

/* The answer that stands, or NULL. Lent until the next filing. */
const struct answer *walk_answer(const struct walk *walk, const struct question *question);

/* The standing answer to the other half of a reading, pH to temperature and back; NULL for other kinds. */
const struct answer *walk_other_half(const struct walk *walk, const struct question *question);

/* Index of the first question that is open or whose deviation has no reason yet; WALK_NONE at the end. */
size_t walk_next(const struct walk *walk);

/* Index of the question before `index` that can be answered anew (things done and waited for are passed
 * over); WALK_NONE when there is none. A pH and its temperature are one question, that of the pH. */
size_t walk_before(const struct walk *walk, size_t index);

/* Index of the question that was answered last, a pH and its temperature being one; WALK_NONE when none was. */
size_t walk_last(const struct walk *walk);

/* The temperature of the reading before this one in the same cup; NAN when there is none, or for a question
 * that is no reading's temperature. degC. */
double walk_temperature_before(const struct walk *walk, const struct question *question);

/* An answer to a question with its place filled in and nothing else; owned by the caller. */
struct answer walk_new_answer(const struct walk *walk, const struct question *question,
                              enum answer_outcome outcome, civil_time now);

/* File an answer over the one that stands; its deviation is worked out and set.
 *
 * why    reason of a correction or of leaving out; NULL: none
 * other  as in filing_add(), whose statuses it gives */
enum status walk_file(struct walk *walk, const struct question *question, struct answer *answer,
                      const char *why, const struct answer *other, struct failure *failure);

/* File an answer row and nothing else: a note, or the reason of a deviation. */
enum status walk_file_row(struct walk *walk, struct answer *answer, struct failure *failure);

/* What was left out although it is not optional: "W-07 reading 3 (battery empty); ...". Given: free() it;
 * NULL: nothing. */
char *walk_left_open(const struct walk *walk);

/* What has no answer at all, although it is not optional: "reading 3 of W-07; ...". Given: free() it; NULL:
 * nothing. */
char *walk_not_done(const struct walk *walk);

#endif
