/* due_batches.h - what is due in a whole notebook (due.h says what counts). */
#ifndef DUE_BATCHES_H
#define DUE_BATCHES_H

#include "due.h"
#include "store.h"

/* Of all batches, unfinished walk-throughs and gear, up to `ahead_d` days from today, in the order of due_sort().
 *
 * ret_list  owned by the caller: due_list_clear()
 *
 * STATUS as makers_policy(), all_batches() and calibration_store_list(). */
enum status due_in_notebook(struct store *store, civil_day today, int ahead_d, struct due_list *ret_list,
                            struct failure *failure);

#endif
