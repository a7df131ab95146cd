/* titrating.h - the titrations that the answers of a walk are.
 *
 * Rules
 * (1) A portion is on record from the answer on with which its soap, the acid it took and the acid's strength are
 *     known, in the transaction of that answer: what happens to the walk afterwards cannot cost it.
 * (2) An answer of these, or the blank or the burette, that is put right puts a new row over the titrations it speaks of;
 *     nothing else of them is touched, so that what was put right elsewhere stays so.
 * (3) The n-th portion of its batch in the session is replicate n. It was taken when its acid was read.
 * (4) What stands as an answer but cannot be reckoned with must not cost the titration: a blank larger than the
 *     titration is left out as not measured, and the titration's note says so. */
#ifndef TITRATING_H
#define TITRATING_H

#include "bench.h"
#include "question.h"

/* Where the answers come from; all lent. */
struct titrating {
    struct store *store;
    const struct bench *bench;
    const struct answer *answers; /* those of the session */
    size_t answer_count;
    const struct answer *filed; /* filed just now and not among them; NULL: none */
};

/* True for steps whose answers go into a titration. */
bool titrating_takes(const struct step *step);

/* File what the answer filed just now completes or changes; without one, what should be on record and is not.
 *
 * STATUS as titration_store_of_batch(), titration_check() and titration_store_add(). */
enum status titrating_file(const struct titrating *titrating, struct failure *failure);

/* Index of a portion that was titrated with an acid of which nobody said how strong it is; SIZE_MAX: none. */
size_t titrating_without_acid(const struct titrating *titrating);

/* Was any portion of the same batch titrated here, with all that it takes? */
bool titrating_filed(const struct titrating *titrating, size_t specimen);

/* May the batch of a portion be judged by its titrations? When each of its portions in this session was titrated or
 * left out, or one is lye-heavy by itself: a single portion is at best doubtful, and would hold every batch half way. */
bool titrating_may_judge(const struct titrating *titrating, size_t specimen);

/* What follows at once from an answer: how strong the acid is that was made, or what the portion comes to by itself.
 * Given: free() it; NULL: nothing. */
char *titrating_says(const struct titrating *titrating, const struct question *question);

/* The standing value of the step that records something in a portion (0: in the session); NAN when it is open or left
 * out. */
double titrating_value(const struct titrating *titrating, enum step_records records, int64_t specimen_id);

#endif
