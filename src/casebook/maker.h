/* maker.h - who makes the soap, as the pages name them: set once in the notebook. */
#ifndef MAKER_H
#define MAKER_H

#include "clock.h"
#include "store.h"

enum { MAKER_TEXT_LONGEST = 120 };

/* Owns its texts; NULL: never set. */
struct maker {
    char *name, *contact;
};

/* What the notebook's settings say. STATUS_SYSTEM.
 *
 * ret_maker  owned by the caller, maker_clear() */
enum status maker_load(struct store *store, struct maker *ret_maker, struct failure *failure);

/* Keep what is not NULL. STATUS_RANGE for a text that is empty or longer than MAKER_TEXT_LONGEST bytes, and what the store
 * refuses. */
enum status maker_set(struct store *store, const char *name, const char *contact, civil_time at,
                      struct failure *failure);

void maker_clear(struct maker *maker);

#endif
