/* walk.h - where a session stands: the table of its questions and what each still asks for, read from the notebook
 * and nowhere else. */
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
    struct bench bench;  /* its specimens are the cups, with the masses weighed so far */
    struct question *questions;
    size_t question_count;
    struct answer *answers; /* all rows, notes and superseded ones too, as they lie in the notebook */
    size_t answer_count;
};

/* Where a session stands. STATUS_CONFLICT when it is finished, else as bench_lay_out(). The caller walk_clear()s it
 * after STATUS_OK only. */
enum status walk_standing(struct store *store, int64_t session_id, struct walk *ret_walk,
                          struct failure *failure);
void walk_clear(struct walk *walk);

/* Read the answers anew, as when another terminal filed some. STATUS_SYSTEM; then it stands as before. */
enum status walk_refresh(struct walk *walk, struct failure *failure);

/* The question of a step in a cup (QUESTION_SESSION: of the whole session), or NULL. Lent. */
struct question *walk_question(const struct walk *walk, const char *step, size_t cup, int replicate);

/* The number of a question's specimen; 0 for the whole session. */
int64_t walk_specimen_id(const struct walk *walk, const struct question *question);

/* The answer that stands, or NULL. Lent until the next filing. */
const struct answer *walk_answer(const struct walk *walk, const struct question *question);

/* True while a question still asks for something. */
bool walk_asks(const struct question *question);

/* What must be answered before this one: the first open question of an earlier step in its cup or in the session
 * (for a step of the session: in any cup) that is not optional; NULL when there is none. */
const struct question *walk_first_needed(const struct walk *walk, const struct question *question);

/* Index of what the terminal asks next: what is left of the round in the cup of question `here`, else the first
 * question that still asks for something; WALK_NONE at the end. `here` may be WALK_NONE. */
size_t walk_next(const struct walk *walk, size_t here);

/* Index of the first question in a cup that still asks for something; WALK_NONE when there is none. */
size_t walk_next_of_cup(const struct walk *walk, size_t cup);

/* Index of the question that was answered before `index` was, or last of all where that is still open; things done
 * and waited for are passed over. WALK_NONE when there is none. */
size_t walk_before(const struct walk *walk, size_t index);

/* Index of the question whose answer was filed last; WALK_NONE when none was. */
size_t walk_last(const struct walk *walk);

/* The temperature of the reading before this one in the same cup; NAN when there is none. degC. */
double walk_temperature_before(const struct walk *walk, const struct question *question);

/* What is left of a wait: it began when the step before it was answered in that cup. 0 to its duration, s. */
int walk_wait_left_s(const struct walk *walk, const struct question *question, civil_time now);

/* What was left out although it is not optional: "reading 3 of W-07 (battery empty); ...". Given: free() it;
 * NULL: nothing. */
char *walk_left_open(const struct walk *walk);

/* What has no answer at all, although it is not optional: "reading 3 of W-07; ...". Given: free() it; NULL:
 * nothing. */
char *walk_not_done(const struct walk *walk);

#endif
