/* filing.h - one answer into the notebook, together with the weighing or reading that it is.
 *
 * Rules
 * (1) Call it inside the transaction of the answer, which is on disk when that ends.
 * (2) A reading is filed as soon as its pH or its range is known, so that nothing that holds a batch can be lost
 *     before the temperature is; with its temperature it is filed anew.
 * (3) What replaces an answer replaces the weighing or reading too: the new row names the old one, keeps
 *     the moment it was taken and the calibration, and says why. A reading left out afterwards is withdrawn. */
#ifndef FILING_H
#define FILING_H

#include "question.h"
#include "session.h"
#include "store.h"

/* File an answer.
 *
 * answer  all set but its id, which is set here; one that supersedes another says why
 *
 * STATUS_SYSTEM; STATUS_CONFLICT when what it supersedes is superseded already. */
enum status filing_add(struct store *store, const struct session *session, const struct question *question,
                       struct answer *answer, struct failure *failure);

#endif
