/* notebook.h - opening a notebook: is it one, is it as a released version makes it, is it up to date?
 *
 * Rules
 * (1) What belongs to another program or to a newer version of this one is refused, and so is what has views or virtual
 *     tables.
 * (2) The whole schema is compared with that of the version that the notebook says it has. Where anything differs it is
 *     opened for reading only, under the limits of store.h, rule 2, and store_foreign() says what differs; nothing is ever
 *     written to it.
 * (3) An older notebook that is opened for writing is first copied to PATH.before-N, N being its version (or to
 *     PATH.before-N-2 and so on: an earlier copy of another state stays), then brought up to date by one transaction a
 *     version, in which the triggers that refuse to delete may be lifted, and verified before the last one ends.
 * (4) An older notebook that is opened for reading is brought up to date in memory; the file stays as it is. */
#ifndef NOTEBOOK_H
#define NOTEBOOK_H

#include "store.h"

/* What opening did that a person should know. Zeroed is nothing. */
struct notebook_news {
    bool created;
    char *
        kept; /* where the notebook is kept as it was before it was brought up to date; owned; NULL: it was */
};
void notebook_news_clear(struct notebook_news *news);

/* ":memory:" is a notebook that lasts as long as it is open.
 *
 * ret_store  given: store_close() it
 * ret_news   notebook_news_clear(); may be NULL
 * STATUS_MISSING when it is not there, STATUS_FORMAT when rule 1 refuses it, or rule 2 for writing, STATUS_SYSTEM when it
 * cannot be read or written. */
enum status notebook_open(const char *path, enum store_mode mode, struct store **ret_store,
                          struct notebook_news *ret_news, struct failure *failure);

/* STATUS_USAGE for names that SQLite would take for something else than a file: a command's notebook is one. */
enum status notebook_check_name(const char *path, struct failure *failure);

#endif
