/* runner.h - the walk-through: asks the questions of a session and files each answer before the next one.
 *
 * Rules
 * (1) Where a walk stands is read from the notebook and nowhere else: resuming, after quit or after a
 *     crash, is walking again.
 * (2) A value outside its tolerance is filed as it is; then the reason is asked and filed with it.
 * (3) "back" asks the question before again. The new answer supersedes the old one and says why; Enter
 *     alone keeps the old one.
 * (4) A reading above the limit is filed and judged as soon as its pH is typed, before its temperature is
 *     asked.
 * (5) When no question is open the session is finished, and what was left out is named in it. */
#ifndef RUNNER_H
#define RUNNER_H

#include "prompt.h"
#include "store.h"

/* What became of a calibration on the way. */
enum runner_calibrated {
    RUNNER_CALIBRATED_NOT,  /* nothing was filed, or what was filed is refused */
    RUNNER_CALIBRATED_WELL, /* the meter counts as checked */
    RUNNER_CALIBRATED_QUIT  /* the maker quit: the walk is left too */
};

struct runner {
    struct store *store;   /* lent */
    struct prompt *prompt; /* lent */
    /* Calibrates the session's meter when the maker asks for it at the meter check; NULL: not offered. */
    enum status (*calibrate)(void *data, int64_t meter_id, enum runner_calibrated *ret_calibrated,
                             struct failure *failure);
    /* Called inside the transaction that files, corrects or withdraws a reading of a batch, so that what
     * follows from it is on disk with it; NULL: nothing follows.
     * ret_words  what is said once all of it is on disk; given: free() it; left NULL: nothing */
    enum status (*after_reading)(void *data, int64_t batch_id, char **ret_words, struct failure *failure);
    void *data; /* for both */
    /* Options that stand behind the commands to type next and behind "resume", as in " --notebook my.sqlite";
     * lent; NULL: none. */
    const char *after_next, *after_resume;
};

/* Walk a session that bench_begin() began, from where it stands.
 *
 * ret_finished  true when it is finished now, false when it was left with quit or the end of the input
 *
 * STATUS_CONFLICT when it was finished before; STATUS_MISSING, STATUS_FORMAT as bench_lay_out();
 * STATUS_SYSTEM when the notebook fails: what was kept before is on disk. */
enum status runner_walk(struct runner *runner, int64_t session_id, bool *ret_finished,
                        struct failure *failure);

#endif
