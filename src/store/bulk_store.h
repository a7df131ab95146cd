/* bulk_store.h - many readings at once: what an import adds, as fast as SQLite takes it.
 *
 * Rules
 * (1) All of it is one transaction and is journalled in blocks (journal.h, rule 1).
 * (2) A reading that the notebook has already, or that came before in the same file, is not added again:
 *     same batch, gear, time, replicate and value, whether it was superseded since or not.
 * (3) Readings of one batch with the same session label and concentration share a session and specimen;
 *     without a label, those of one day do, because they may well be one solution. Sessions so made are
 *     closed.
 * (4) A reading without a replicate number gets the next one of its session, batch and gear, counted in
 *     the file, so that the same file gives the same numbers again.
 * (5) Memory: 8 bytes a reading of the batches in the file, and 16 a session, at two thirds full at most. */
#ifndef BULK_STORE_H
#define BULK_STORE_H

#include "batch.h"
#include "gear.h"
#include "session.h"
#include "store.h"

struct bulk;

/* What one row says. All lent. */
struct bulk_reading {
    const struct bulk_batch *batch;
    const struct gear *gear;
    const char *session; /* label; NULL: none */
    int replicate;       /* 0: not said */
    double ph, ph_low, ph_high, temperature_c, concentration_pct;
    civil_time taken_at;
    const char *note;
};

/* A batch as the import sees it. */
struct bulk_batch {
    int64_t id;
    char *code;
    civil_day made_on;
    enum batch_role role;
    bool added; /* readings of it were added */
    bool known; /* its readings in the notebook are among those compared with (rule 2) */
};

/* Begin: opens a transaction. Until bulk_close() nothing else may use the store. */
enum status bulk_open(struct store *store, civil_time now, struct bulk **ret_bulk, struct failure *failure);

/* Lent until bulk_close(); a batch until the next one is added. NULL when there is none of that name. */
const struct bulk_batch *bulk_find_batch(const struct bulk *bulk, const char *code);
const struct gear *bulk_find_gear(const struct bulk *bulk, enum reading_method method, const char *name);

/* The only gear for a method; NULL when there is none or more than one. */
const struct gear *bulk_only_gear(const struct bulk *bulk, enum reading_method method);

/* Add a batch that the file names and bulk_find_batch() does not know. The statuses of batch_check(), and
 * STATUS_SYSTEM. */
enum status bulk_add_batch(struct bulk *bulk, const char *code, civil_day made_on, enum batch_role role,
                           struct failure *failure);

/* Rows are written a block at a time, and by another thread: STATUS_SYSTEM, when the notebook cannot be written, may
 * be about rows before.
 * ret_added  false when it was there already (rule 2) */
enum status bulk_add_reading(struct bulk *bulk, const struct bulk_reading *reading, bool *ret_added,
                             struct failure *failure);

/* The batches that readings were added to, and the first session made for them: 0 when there is none.
 * Given: free() each code and the array. */
void bulk_added(const struct bulk *bulk, char ***ret_codes, size_t *ret_count, int64_t *ret_first_session);

/* End: journal what is not journalled yet, and commit when `status` is STATUS_OK and `keep` is true; else
 * undo everything. Gives `status` or what went wrong. NULL is allowed. */
enum status bulk_close(struct bulk *bulk, bool keep, enum status status, struct failure *failure);

#endif
