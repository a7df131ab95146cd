/* take.h - one answer of a walk into the notebook, and what follows from it.
 *
 * Rules
 * (1) One answer is one transaction: the answer, the weighing or reading that it is, and what follows for its batch.
 *     When walk_take() says that it was kept, all of it is on disk.
 * (2) A value outside its tolerance is kept as it is; then the reason is asked. A pH or a range without its
 *     temperature is kept and judged; then the temperature is asked, and replaces it.
 * (3) Nothing is answered before what its cup needs first, nor over an answer that the face had not seen: two
 *     terminals, or two phones, cannot correct each other unawares.
 * (4) A correction supersedes the answer that stands, which stays on record, and says why. */
#ifndef TAKE_H
#define TAKE_H

#include "sentence.h"
#include "walk.h"

enum given_what {
    GIVEN_ANSWER,     /* what the question asks for where it stands: a value, the temperature, the reason */
    GIVEN_CORRECTION, /* a value over the one that stands */
    GIVEN_LEFT_OUT,   /* no value; where the temperature is asked for, no temperature */
    GIVEN_NOTE        /* words beside the question */
};

/* What somebody answers. All lent. */
struct given {
    enum given_what what;
    const char *step;  /* its key */
    size_t cup;        /* from 0; QUESTION_SESSION */
    int replicate;     /* from 1 */
    int64_t seen_id;   /* the answer that stood there when it was asked; 0: none */
    const char *words; /* as typed: a value, a choice, a reason, a note */
    int waited_s;      /* how much of a wait has passed; below 0: nobody waits here */
    civil_time at;
};

enum taken_what {
    TAKEN_KEPT,       /* and nothing is asked any more */
    TAKEN_ASKED_BACK, /* kept; the question asks for more (question.h) */
    TAKEN_REFUSED     /* nothing is kept; what is said tells why */
};

/* Owns what is said. */
struct taken {
    enum taken_what what;
    struct sentences said;
};

/* File one answer. The walk stands behind it afterwards, also when it was refused.
 *
 * ret_taken  taken_clear() it, also on a failure
 * STATUS_CONFLICT when the session was finished meanwhile; STATUS_SYSTEM when the notebook fails: nothing of it is kept then. */
enum status walk_take(struct walk *walk, const struct given *given, struct taken *ret_taken,
                      struct failure *failure);
void taken_clear(struct taken *taken);

/* Close a session in which nothing is asked any more; what was left out is named in it.
 *
 * STATUS_CONFLICT when something is asked still or it was finished meanwhile; STATUS_SYSTEM. */
enum status walk_finish(struct walk *walk, civil_time now, struct sentences *said, struct failure *failure);

#endif
