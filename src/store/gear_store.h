/* gear_store.h - gear in the notebook. */
#ifndef GEAR_STORE_H
#define GEAR_STORE_H

#include "gear.h"
#include "store.h"

/* Sets gear->id. STATUS_CONFLICT when the name is taken. */
enum status gear_store_add(struct store *store, struct gear *gear, struct failure *failure);

/* Gear of a kind by name (upper and lower case alike).
 * ret_gear  owned by the caller: gear_clear()
 * STATUS_MISSING with the names there are; STATUS_CONFLICT when it is gear of another kind. */
enum status gear_store_find(struct store *store, enum gear_kind kind, const char *name, struct gear *ret_gear,
                            struct failure *failure);

/* The gear of a kind that is meant when none is named: the only one in use, or of several the usual one.
 * STATUS_MISSING when there is none, STATUS_CONFLICT with their names when there are several. */
enum status gear_store_only(struct store *store, enum gear_kind kind, struct gear *ret_gear,
                            struct failure *failure);

/* The bottle of a buffer (buffer.h's name) that is meant at a moment when none is named: the usual one, else the one added
 * last by then, one that is used no more only where there is no other. Its number is 0 when there is none.
 * ret_bottle  owned by the caller: gear_clear()
 * ret_opened  how many there were by then */
enum status gear_store_bottle(struct store *store, const char *buffer, civil_time at, struct gear *ret_bottle,
                              size_t *ret_opened, struct failure *failure);

/* All gear in the order it was added. Given: gear_clear() each and free() the array. */
enum status gear_store_list(struct store *store, struct gear **ret_gear, size_t *ret_count,
                            struct failure *failure);

#endif
