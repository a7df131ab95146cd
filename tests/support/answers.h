/* answers.h - answers to a walk by the step that asks, not by position: a stream to type from.
 *
 * Before each line is read, where the walk stands is looked up in the notebook (walk.h), and the answer for that step
 * and cup is given. So a new step, or another order, breaks no test that does not speak of it. */
#ifndef ANSWERS_H
#define ANSWERS_H

#include <stdio.h>

#include "store.h"
#include "text.h"

/* `typed` may hold several lines, typed one after the other: a value and the reason that is asked for it. Where two
 * answers have the same step and cup, the second is for the next time that it is asked; one for cup 0 (any cup, and
 * the whole session) is given as often as it is asked, unless another one fits. */
struct answer_for {
    const char *step;
    int cup; /* from 1; 0: any */
    const char *typed;
};

struct answers {
    const char *notebook; /* path; lent; NULL: `store` */
    struct store *store;  /* lent */
    struct answer_for list[128];
    size_t count;
    bool used[128];
    const char *rest;   /* of an answer with several lines */
    const char *last;   /* typed when nothing is known for a step; NULL: the end of the input */
    struct text *typed; /* gets all that was typed; lent; NULL: nobody asks */
    int asked;
};

/* Put an answer behind the others, so that it is taken before those for any cup. */
void answers_add(struct answers *answers, const char *step, int cup, const char *typed);

/* The usual ones for the procedures that come with the program: a sound bar, everything as it should be. */
void answers_usual(struct answers *answers);

/* A stream that types; fclose() it. */
FILE *answers_open(struct answers *answers);

#endif
