/* batch_store.h - batches and their recipes in the notebook. */
#ifndef BATCH_STORE_H
#define BATCH_STORE_H

#include "dossier.h"
#include "store.h"

/* Add a batch with its recipe; sets batch->id and the lines' ids. reference_code and parent_code name
 * other batches or are NULL.
 * STATUS_CONFLICT when the code is taken, STATUS_MISSING when a named batch is not there. */
enum status batch_store_add(struct store *store, struct batch *batch, struct failure *failure);

/* One batch with its recipe and state. Upper and lower case are alike.
 * ret_batch  owned by the caller: batch_clear()
 * STATUS_MISSING with near codes when there is none. */
enum status batch_store_find(struct store *store, const char *code, struct batch *ret_batch,
                             struct failure *failure);

/* The same without its recipe, and without a word when there is none: *ret_found is false then. */
enum status batch_store_look(struct store *store, const char *code, struct batch *ret_batch, bool *ret_found,
                             struct failure *failure);

/* The number of a code, as batch_store_find() but without loading the batch. */
enum status batch_store_id(struct store *store, const char *code, int64_t *ret_id, struct failure *failure);

/* The code of a batch's number. Given: free() it. STATUS_MISSING. */
enum status batch_store_code(struct store *store, int64_t id, char **ret_code, struct failure *failure);

/* Put a recipe right: the lines given are then the whole recipe in force, and what was there before stays on record.
 * Sets the lines' ids. STATUS_MISSING for a batch that is not there. */
enum status batch_store_revise(struct store *store, int64_t batch_id, struct recipe_line *lines,
                               size_t line_count, const char *why, civil_time added_at,
                               struct failure *failure);

/* Every recipe that the batch had, the first one and the one in force too, oldest first; none when it was never put
 * right. Given, also on a failure: recipe_revision_clear() each, free() the array. */
enum status batch_store_revisions(struct store *store, int64_t batch_id,
                                  struct recipe_revision **ret_revisions, size_t *ret_count,
                                  struct failure *failure);

/* Every batch by pour date, without recipes. The batch is lent until the sink returns. */
typedef enum status (*batch_sink)(const struct batch *batch, void *payload, struct failure *failure);
enum status batch_store_list(struct store *store, batch_sink sink, void *payload, struct failure *failure);

/* Codes of the batches that gear was used for at or after a moment. Given: free() each and the array. */
enum status batch_store_of_gear(struct store *store, int64_t gear_id, civil_time since, char ***ret_codes,
                                size_t *ret_count, struct failure *failure);

/* The code of the batch of a test portion. Given: free() it. STATUS_MISSING. */
enum status batch_store_of_portion(struct store *store, int64_t specimen_id, char **ret_code,
                                   struct failure *failure);

/* Codes of the batches whose reference is the batch of this code, in the order they were added. Given likewise. */
enum status batch_store_referring(struct store *store, const char *code, char ***ret_codes, size_t *ret_count,
                                  struct failure *failure);

/* Codes of the batches that were tested in that session or a later one, in the order they were added. Given likewise. */
enum status batch_store_of_sessions(struct store *store, int64_t first_session, char ***ret_codes,
                                    size_t *ret_count, struct failure *failure);

#endif
