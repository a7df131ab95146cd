/* question.h - a procedure and its specimens as one row of questions, and the answers that stand.
 *
 * Rules
 * (1) The order is that of procedure.h. A step with replicates is a question for each; a pH or a paper
 *     reading is followed by the question for its temperature, whose answers have the key "KEY.temperature".
 * (2) An answer stands when nothing supersedes it and it is no note. A question is open when it has none;
 *     the temperature of a reading that was left out is never open.
 * (3) Optional steps for which there is no gear are left out. */
#ifndef QUESTION_H
#define QUESTION_H

#include <stdint.h>

#include "procedure.h"
#include "session.h"

#define QUESTION_SESSION SIZE_MAX

enum question_part { QUESTION_VALUE, QUESTION_TEMPERATURE };

struct question {
    const struct step *step; /* lent by the procedure */
    size_t specimen;         /* index from 0; QUESTION_SESSION: for the whole session */
    enum question_part part;
    int replicate; /* within the step, from 1 */
    int reading;   /* number of the reading by this method in its specimen, from 1; 0: records none */
};

/* Given: free() it. */
struct question *question_list(const struct procedure *procedure, size_t specimen_count, bool has_meter,
                               bool has_paper, size_t *ret_count);

/* The key under which its answers are filed. Given: free() it. */
char *question_key(const struct question *question);

/* The answer that stands, or NULL. `specimen_id` is 0 for the whole session. Lent by `answers`. */
const struct answer *question_answer(const struct question *question, int64_t specimen_id,
                                     const struct answer *answers, size_t count);

#endif
