/* store.h - the notebook: one SQLite file, opened, checked and migrated.
 *
 * Rules
 * (1) Every write is inside a transaction that is on disk when it ends (rollback journal, synchronous
 *     EXTRA): what the screen acknowledged survives a power cut. Between the transactions of one opening the
 *     journal's file stays, made void, because deleting and making it anew costs a third more; the last one to
 *     close removes it.
 * (2) A notebook is not trusted: it is opened in defensive mode with trusted_schema off, and one that
 *     belongs to another program or to a newer version of this one is refused, and so is one with views or
 *     virtual tables.
 * (3) Several processes may use one notebook; a writer waits up to ten seconds for another. */
#ifndef STORE_H
#define STORE_H

#include <stdbool.h>
#include <stdint.h>

#include "status.h"

struct store;

enum store_mode {
    STORE_READ, /* must exist; what a crash left half-written is undone first where the file may be written */
    STORE_WRITE, /* must exist and be writable */
    STORE_CREATE /* made when it is not there */
};

/* Open a notebook and bring its schema up to date (when writing; an older one is first copied to
 * PATH.before-N, N being its version). ":memory:" is one that lasts as long as it is open.
 *
 * ret_store    given: store_close() it
 * ret_created  true when a new notebook was made; may be NULL
 * STATUS_MISSING when it is not there, STATUS_FORMAT when it is no notebook or too new,
 * STATUS_SYSTEM when it cannot be read or written. */
enum status store_open(const char *path, enum store_mode mode, struct store **ret_store, bool *ret_created,
                       struct failure *failure);
void store_close(struct store *store);

/* Begin and end a piece of writing. They nest; only the outermost end commits. store_end() commits when
 * `status` is STATUS_OK and undoes otherwise; it gives `status`, or what went wrong in committing. */
enum status store_begin(struct store *store, struct failure *failure);
enum status store_end(struct store *store, enum status status, struct failure *failure);

/* Between these all reading sees one state of the notebook, and writers of other processes wait. They nest, and
 * may stand inside a piece of writing. */
enum status store_begin_reading(struct store *store, struct failure *failure);
void store_end_reading(struct store *store);

/* The file's path as opened. Lent by the store. */
const char *store_path(const struct store *store);

/* The schema version a notebook of this program has. */
int store_version(void);

#endif
