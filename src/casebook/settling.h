/* settling.h - what follows for batches when something on record is put right, or a calibration is kept late.
 *
 * Rules
 * (1) One that comes out doubtful or lye-heavy, and worse than before, is held (release.h, rule 2).
 * (2) A release whose evidence was there before and is not any more is held, unless it was by override.
 * (3) A hold by the rule ends when what it came from is gone: back to released when the maker had released the batch before it
 *     and what stands now would release it today; else to in-cure, when no sitting, titration or recipe that stands would
 *     hold it. A maker's own hold never ends by itself, and nothing is released that was not.
 * (4) Whatever the verdict was and is now is told, and the history keeps why. */
#ifndef SETTLING_H
#define SETTLING_H

#include "holding.h"

/* How batches stand before a change. Zeroed is empty. */
struct standing_before {
    char *code; /* owned */
    enum verdict_word verdict;
    const char *word; /* lent for ever */
    bool releasable;  /* all that a release asks for was there */
};
struct standings {
    struct standing_before *batches; /* owned */
    size_t count, capacity;
};

/* Add batches, and those that they are the reference of; each once. Call it before the change. STATUS as
 * batch_case_open(). */
enum status standings_add(struct store *store, const char *const *codes, size_t count,
                          struct standings *standings, struct failure *failure);

/* Add those that gear was used for from a moment on (MOMENT_NONE: ever). Likewise. */
enum status standings_add_gear(struct store *store, int64_t gear_id, civil_time since,
                               struct standings *standings, struct failure *failure);

/* Call it in the transaction of the change.
 *
 * cause  what was done, as in "calibration 3 was put right: wrote 9.21 for 9.12"
 *
 * STATUS as batch_case_open() and state_change_store_add(). */
enum status standings_settle(const struct holding *holding, const struct standings *standings,
                             const char *cause, struct failure *failure);
void standings_clear(struct standings *standings);

#endif
