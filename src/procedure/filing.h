/* filing.h - one answer into the notebook, together with the weighing or reading that it is.
 *
 * Rules
 * (1) All of it is one transaction; when the function has given STATUS_OK it is on disk.
 * (2) A reading is filed once its pH and its temperature are answered; the temperature may be left out.
 *     One at or above the session's limit is filed at once, so that nothing that holds a batch can be lost
 *     between the two; with its temperature it is filed anew.
 * (3) What replaces an answer replaces the weighing or reading too: the new row names the old one, keeps
 *     the moment it was taken and the calibration, and says why. A reading left out afterwards is withdrawn. */
#ifndef FILING_H
#define FILING_H

#include "question.h"
#include "session.h"
#include "store.h"

/* File an answer.
 *
 * answer  all set but its id, which is set here; `supersedes` names the answer it replaces
 * other   the standing answer to the other half of the reading (the temperature's to its pH, the pH's to its
 *         temperature), on disk or filed next; NULL: not answered yet (rule 2)
 *
 * STATUS_CONFLICT for a weighing left out after it was filed; STATUS_SYSTEM. */
enum status filing_add(struct store *store, const struct session *session, const struct question *question,
                       struct answer *answer, const struct answer *other, struct failure *failure);

#endif
