/* follow_store.h - what follows a test: titrations, states, plans, and the maker's settings. */
#ifndef FOLLOW_STORE_H
#define FOLLOW_STORE_H

#include "dossier.h"
#include "store.h"
#include "text.h"

/* Set the id of what they add. A titration may supersede one, with why. */
enum status titration_store_add(struct store *store, struct titration *titration, struct failure *failure);
enum status state_change_store_add(struct store *store, struct state_change *change, struct failure *failure);
enum status batch_close_store_add(struct store *store, struct batch_close *close, struct failure *failure);
enum status plan_entry_store_add(struct store *store, struct plan_entry *entry, struct failure *failure);

/* Take a plan entry back. STATUS_CONFLICT when that was done already. */
enum status plan_entry_store_drop(struct store *store, int64_t id, civil_time at, const char *why,
                                  struct failure *failure);

/* Arrays oldest first. Given: clear each, free() the array. */
enum status titration_store_of_batch(struct store *store, int64_t batch_id, struct titration **ret_titrations,
                                     size_t *ret_count, struct failure *failure);
enum status state_change_store_of_batch(struct store *store, int64_t batch_id,
                                        struct state_change **ret_changes, size_t *ret_count,
                                        struct failure *failure);
enum status plan_entry_store_of_batch(struct store *store, int64_t batch_id, struct plan_entry **ret_entries,
                                      size_t *ret_count, struct failure *failure);

/* How a batch was closed last; end BATCH_NOT_CLOSED when it never was, or when that was taken back. The caller
 * batch_close_clear()s it. */
enum status batch_close_store_find(struct store *store, int64_t batch_id, struct batch_close *ret_close,
                                   struct failure *failure);

/* A setting's latest value; NULL when it was never set. Given: free() it. */
enum status setting_store_find(struct store *store, const char *name, char **ret_value,
                               struct failure *failure);
enum status setting_store_set(struct store *store, const char *name, const char *value, civil_time at,
                              const char *why, struct failure *failure);

/* The names of settings that begin with a text, without it, joined by ", " and added. */
enum status setting_store_names(struct store *store, const char *beginning, struct text *names,
                                struct failure *failure);

#endif
