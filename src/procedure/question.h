/* question.h - a procedure and its cups as a table of questions (step x cup x replicate), and where each stands.
 *
 * Rules
 * (1) The order is the one that the terminal offers: the session's steps that come before the cups, then round
 *     after round (procedure.h), then the session's steps that come after. In a round one cup is done after the
 *     other. A step with replicates is a question for each of them, one after the other in one cup.
 * (2) A pH or a paper reading and its temperature are one answer. It is kept without the temperature too, which is
 *     then asked for until it is given or left out.
 * (3) An answer stands when nothing supersedes it and it is no note.
 * (4) Optional steps for which there is no gear are left out. */
#ifndef QUESTION_H
#define QUESTION_H

#include <stdint.h>

#include "procedure.h"
#include "session.h"

#define QUESTION_SESSION SIZE_MAX

/* What a question still asks for. */
enum standing {
    STANDING_OPEN,        /* an answer */
    STANDING_TEMPERATURE, /* the temperature of what was read */
    STANDING_SURE,        /* a yes or no to what was seen (observing.h) */
    STANDING_REASON,      /* why it is outside its tolerance */
    STANDING_ANSWERED,    /* nothing */
    STANDING_LEFT_OUT     /* nothing: it was left out, with a reason */
};

struct question {
    const struct step *step; /* lent by the procedure */
    size_t cup;              /* index from 0; QUESTION_SESSION: for the whole session */
    int replicate;           /* within the step, from 1 */
    int reading;             /* number of the reading by this method in its cup, from 1; 0: records none */
    enum standing standing;
    size_t answer; /* index of the answer that stands; QUESTION_OPEN: none */
};

#define QUESTION_OPEN SIZE_MAX

/* All open. Given: free() it. */
struct question *question_list(const struct procedure *procedure, size_t cups, bool has_meter, bool has_paper,
                               size_t *ret_count);

/* Find the answer that stands and what the question still asks for.
 *
 * specimen_id  of the question's cup; 0 for the whole session */
void question_stand(struct question *question, int64_t specimen_id, const struct answer *answers,
                    size_t count);

/* True where a temperature may be typed, alone or behind a reading. */
bool question_asks_temperature(const struct question *question);

/* True for a pH or a paper reading, whose temperature belongs to it. */
bool question_has_temperature(const struct question *question);

#endif
