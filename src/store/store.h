/* store.h - the file of a notebook: its connection and its transactions. notebook.h opens it.
 *
 * Rules
 * (1) Every write is inside a transaction that is on disk when it ends (rollback journal, synchronous
 *     EXTRA): what the screen acknowledged survives a power cut. Between the transactions of one opening the
 *     journal's file stays, made void, because deleting and making it anew costs a third more; the last one to
 *     close removes it.
 * (2) A file is not trusted: it is opened in defensive mode with trusted_schema off, extensions cannot be loaded and
 *     other files not attached. Until its schema is known to be that of a released version, no value may be longer than
 *     1 MiB and reading it may take 5 s of processor time and 1 s for each MiB of the file.
 * (3) Several processes may use one notebook; a writer waits up to ten seconds for another. When one of them changes the
 *     schema, the others write no more. */
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

void store_close(struct store *store);

/* Begin and end a piece of writing. They nest; only the outermost end commits. store_end() commits when
 * `status` is STATUS_OK and undoes otherwise; it gives `status`, or what went wrong in committing. */
enum status store_begin(struct store *store, struct failure *failure);
enum status store_end(struct store *store, enum status status, struct failure *failure);

/* Between these all reading sees one state of the notebook, and writers of other processes wait. They nest, and
 * may stand inside a piece of writing. */
enum status store_begin_reading(struct store *store, struct failure *failure);
void store_end_reading(struct store *store);

/* How many rows were added through this opening so far. */
int store_changes(const struct store *store);

/* What in its schema is not as a released version makes it, as in "trigger 'sly' does not belong there": then it can only
 * be read. NULL: nothing. Lent by the store. */
const char *store_foreign(const struct store *store);

#endif
