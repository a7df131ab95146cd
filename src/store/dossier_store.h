/* dossier_store.h - everything about one batch, read from the notebook. */
#ifndef DOSSIER_STORE_H
#define DOSSIER_STORE_H

#include "dossier.h"
#include "store.h"

/* ret_dossier  owned by the caller: dossier_clear()
 * STATUS_MISSING when there is no such batch, STATUS_SYSTEM when reading fails. */
enum status dossier_store_load(struct store *store, const char *code, struct dossier *ret_dossier,
                               struct failure *failure);

/* The same for one of many batches: gear and calibrations are read from the notebook once, when first asked for, and
 * lent by the store until it is closed. For commands that add neither. */
enum status dossier_store_load_of_many(struct store *store, const char *code, struct dossier *ret_dossier,
                                       struct failure *failure);

/* What a paper was lately read on beside a meter: the test portions, of whatever batch, of its latest 200 such
 * readings that stand, with all their readings and what those were made with. Its batch is empty, and so is what belongs to one.
 * ret_dossier  owned by the caller: dossier_clear() */
enum status dossier_store_of_paper(struct store *store, int64_t paper_id, struct dossier *ret_dossier,
                                   struct failure *failure);

/* The latest cups, 200 at most, of whatever batch, that lay beside another of the same bar in their sitting, with their
 * readings: how far cups of one bar lie apart. Nothing else is there. ret_dossier  likewise */
enum status dossier_store_of_several_cups(struct store *store, struct dossier *ret_dossier,
                                          struct failure *failure);

#endif
