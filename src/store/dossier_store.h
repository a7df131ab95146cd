/* dossier_store.h - everything about one batch, read from the notebook. */
#ifndef DOSSIER_STORE_H
#define DOSSIER_STORE_H

#include "dossier.h"
#include "store.h"

/* ret_dossier  owned by the caller: dossier_clear()
 * STATUS_MISSING when there is no such batch, STATUS_SYSTEM when reading fails. */
enum status dossier_store_load(struct store *store, const char *code, struct dossier *ret_dossier,
                               struct failure *failure);

#endif
