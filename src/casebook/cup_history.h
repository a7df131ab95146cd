/* cup_history.h - how far cups of one bar lie apart at this maker's bench, over all batches (scatter.h, rule 4). */
#ifndef CUP_HISTORY_H
#define CUP_HISTORY_H

#include "scatter.h"
#include "store.h"

/* Owns the batches; zeroed it is none. */
struct cup_history {
    struct cups_of_batch {
        int64_t batch_id;
        struct scatter_group between;
    } * batches;
    size_t count;
};

/* Learn it from the latest cups of the notebook that lay beside another of their bar (dossier_store_of_several_cups()).
 *
 * ret_history  given, also on a failure: cup_history_clear() it */
enum status cup_history_learn(struct store *store, struct cup_history *ret_history, struct failure *failure);

/* What all batches but this one say; 0 degrees of freedom: nothing. */
struct scatter_group cup_history_of_others(const struct cup_history *history, int64_t batch_id);
void cup_history_clear(struct cup_history *history);

#endif
