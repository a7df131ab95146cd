/* filled_notebook.h - a notebook with rows in every table and every column, for tests of the store. */
#ifndef FILLED_NOTEBOOK_H
#define FILLED_NOTEBOOK_H

#include "store.h"

/* Add one row to every table, some with a second one; may be called again, and adds more. Each row is a
 * write of its own. */
void notebook_fill(struct store *store);

/* Log rows of a table as the table holds them, as one entry of the journal, inside a transaction. */
void notebook_journal(struct store *store, const char *table, int64_t first, int64_t last);

#endif
