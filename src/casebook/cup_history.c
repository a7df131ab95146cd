/* cup_history.c - how far cups of one bar lie apart at this maker's bench. */
#include "cup_history.h"

#include <stdlib.h>

#include "dossier_store.h"
#include "memory.h"

/* The readings of one batch among those of all, lent from them, each with its portion. */
static void
add_batch(const struct dossier *all, int64_t batch_id, struct cup_history *history)
{
    struct dossier own = *all;
    struct scatter_pool pool;

    own.reading_count = 0;
    own.readings = memory_new(all->reading_count + 1, sizeof *own.readings);
    for (size_t i = 0; i < all->reading_count; i++)
        if (dossier_specimen(all, all->readings[i].specimen_id)->batch_id == batch_id)
            own.readings[own.reading_count++] = all->readings[i];
    scatter_pool_init(&pool, &own);
    if (pool.between.dof > 0.0)
        history->batches[history->count++] = (struct cups_of_batch){batch_id, pool.between};
    scatter_pool_clear(&pool);
    free(own.readings);
}

static bool
is_first_of_batch(const struct dossier *all, size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (all->specimens[i].batch_id == all->specimens[index].batch_id)
            return false;
    return true;
}

enum status
cup_history_learn(struct store *store, struct cup_history *ret_history, struct failure *failure)
{
    struct dossier all = {0};
    enum status status = dossier_store_of_several_cups(store, &all, failure);

    *ret_history =
        (struct cup_history){.batches = memory_new(all.specimen_count + 1, sizeof *ret_history->batches)};
    for (size_t i = 0; status == STATUS_OK && i < all.specimen_count; i++)
        if (is_first_of_batch(&all, i))
            add_batch(&all, all.specimens[i].batch_id, ret_history);
    dossier_clear(&all);
    return status;
}

struct scatter_group
cup_history_of_others(const struct cup_history *history, int64_t batch_id)
{
    struct scatter_group sum = {0};

    for (size_t i = 0; i < history->count; i++) {
        if (history->batches[i].batch_id == batch_id)
            continue;
        sum.squares += history->batches[i].between.squares;
        sum.dof += history->batches[i].between.dof;
    }
    return sum;
}

void
cup_history_clear(struct cup_history *history)
{
    free(history->batches);
    *history = (struct cup_history){0};
}
