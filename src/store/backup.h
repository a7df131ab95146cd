/* backup.h - a copy of a notebook that is whole, checked and on disk before it gets its name. */
#ifndef BACKUP_H
#define BACKUP_H

#include <stdbool.h>

#include "journal.h"
#include "store.h"

struct sqlite3;

/* Copy an open notebook to `path`, a file of the owner alone (0600). It is written beside that path,
 * verified as verify_notebook() does (or, with `whole` false, by SQLite's integrity_check alone: for a
 * notebook of an older version), synced and renamed. Other programs may use the notebook meanwhile.
 *
 * overwrite  replace a file that is there; never the notebook itself
 * ret_head   hash of the copy's latest entry, whatever is written to the notebook meanwhile; may be NULL
 * STATUS_CONFLICT when something is there already, STATUS_SYSTEM when copying fails or the copy is not
 * sound; nothing is then left behind, and what was there is untouched. */
enum status backup_write(struct store *store, const char *path, bool overwrite, bool whole,
                         char ret_head[JOURNAL_HASH_SIZE], struct failure *failure);

/* Copy all pages as they are at one moment into another, empty database; `path` is what a failure calls it. */
enum status backup_pages(struct store *store, struct sqlite3 *copy, const char *path,
                         struct failure *failure);

#endif
