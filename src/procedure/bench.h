/* bench.h - what lies ready for a session: its procedure, its gear and its specimens. */
#ifndef BENCH_H
#define BENCH_H

#include "gear.h"
#include "procedure.h"
#include "session.h"
#include "store.h"

/* One bar that a session tests; the texts are lent. */
struct bench_bar {
    int64_t batch_id;
    const char *bar; /* which one of the batch; NULL: not said */
};

/* What a session is begun with; all lent. Gear is NULL when there is none. */
struct bench_setup {
    const struct procedure *procedure;
    const struct gear *meter, *paper, *balance, *thermometer;
    const struct bench_bar *bars;
    size_t bar_count;
    const char *note; /* NULL: none */
    const char *by;   /* who reads; NULL: not said */
};

/* A session as it lies in the notebook. Owns all of it; the gear pointers are NULL when there is none. */
struct bench {
    struct session session;
    struct procedure procedure;
    struct gear *gear;
    size_t gear_count;
    const struct gear *meter, *paper, *balance, *thermometer;
    struct specimen *specimens;
    char **codes; /* the batch's code, for each specimen */
    size_t specimen_count;
};

/* Begin a session: keeps the procedure's text, adds the session and a specimen for each bar.
 *
 * STATUS_MISSING when the procedure needs a meter, paper or a bar that is not there, STATUS_USAGE for bars
 * with a procedure that has no specimens. */
enum status bench_begin(struct store *store, const struct bench_setup *setup, civil_time now,
                        int64_t *ret_session_id, struct failure *failure);

/* Lay a session out as it was begun.
 *
 * ret_bench  owned by the caller, bench_clear()
 * STATUS_MISSING: no such session, or one without a procedure; STATUS_FORMAT: its procedure is not
 * understood by this version. */
enum status bench_lay_out(struct store *store, int64_t session_id, struct bench *ret_bench,
                          struct failure *failure);
void bench_clear(struct bench *bench);

#endif
