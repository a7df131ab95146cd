/* batches_named.h - the batches that a command line names. */
#ifndef BATCHES_NAMED_H
#define BATCHES_NAMED_H

#include "all_batches.h"
#include "batch.h"
#include "command.h"

/* The codes named on a command line, or with --all-batches those of the whole notebook by pour date.
 *
 * ret_codes  owned by the caller: batch_codes_clear()
 *
 * STATUS_MISSING for one that is not there, STATUS_USAGE for one named twice, for none, and for both kinds. */
enum status batches_named(struct context *context, const struct options *options,
                          struct batch_codes *ret_codes, struct failure *failure);

/* The batch that CODE or CODE/BAR names, and the bar; a code may hold a slash itself.
 *
 * ret_batch  owned by the caller: batch_clear()
 * ret_bar    NULL: none named. Given: free() it
 *
 * STATUS_MISSING. */
enum status batch_named(struct store *store, const char *name, struct batch *ret_batch, char **ret_bar,
                        struct failure *failure);

#endif
