/* observing.h - what is seen beside the readings: choices of a step, and the observations that they are on record.
 *
 * Which choices a step that records an observation may have, and what each is in observation.h:
 *   water-kind   distilled, deionised, other
 *   undissolved  clear, cloudy, residue, gelled, nothing: nothing of the soap; undissolved soap, soap: soap
 *   bar-look     nothing of it, weeping, white pockets or streaks, crumbling, glassy spots, orange spots
 * Weeping and white pockets are asked about once more with yes or no: condensed water is no weeping, and soda ash no
 * lye pocket (common practice, no source). A pH of the water is an observation too. */
#ifndef OBSERVING_H
#define OBSERVING_H

#include "observation.h"
#include "question.h"
#include "store.h"

/* True for steps whose answers are observations. */
bool observing_records(const struct step *step);

/* True for a choice that such a step may have. */
bool observing_knows(enum step_records records, const char *choice);

/* The choice that other usual words for it mean: "milky" is cloudy, "tap" other. NULL: none. Lent for ever. */
const char *observing_meant(enum step_records records, const char *words);

/* The yes-or-no question for what was chosen ("weeping, orange spots"); NULL: nothing has to be confirmed. Lent for
 * ever. */
const char *observing_confirms(const struct step *step, const char *chosen);

/* File what an answer says as observations, over those that an answer it supersedes left. Inside the transaction of
 * the answer.
 *
 * answer  its value is 1 or 0 where something was confirmed or denied, NAN while that is not known
 * STATUS as observation_store_add() and observation_store_of_session(). */
enum status observing_file(struct store *store, const struct question *question, const struct answer *answer,
                           struct failure *failure);

#endif
