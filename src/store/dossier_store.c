/* dossier_store.c - everything about one batch, read from the notebook. */
#include "dossier_store.h"

#include <stdlib.h>
#include <string.h>

#include "batch_store.h"
#include "calibration_store.h"
#include "correction_store.h"
#include "follow_store.h"
#include "gear_store.h"
#include "memory.h"
#include "observation_store.h"
#include "session_store.h"
#include "tool_store.h"

/* Add `more` elements of `size` bytes to the end of an array and free them; gives the array. */
static void *
append(void *array, size_t *count, void *more, size_t more_count, size_t size)
{
    unsigned char *all = array;

    if (more_count > 0) {
        all = memory_resize(array, *count + more_count, size);
        for (size_t i = 0; i < more_count * size; i++)
            all[*count * size + i] = ((unsigned char *)more)[i];
        *count += more_count;
    }
    free(more);
    return all;
}

/* The session's answers without those for other batches' specimens. */
static enum status
load_answers(struct store *store, struct dossier *dossier, int64_t session_id, struct failure *failure)
{
    struct answer *answers = NULL;
    size_t count = 0, kept = 0;
    enum status status = answer_store_of_session(store, session_id, &answers, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (answers[i].specimen_id == 0 || dossier_specimen(dossier, answers[i].specimen_id) != NULL)
            answers[kept++] = answers[i];
        else
            answer_clear(&answers[i]);
    }
    dossier->answers = append(dossier->answers, &dossier->answer_count, answers, kept, sizeof *answers);
    return status;
}

static int
by_time(const void *a, const void *b)
{
    const struct reading *first = a, *second = b;

    if (first->taken_at != second->taken_at)
        return first->taken_at < second->taken_at ? -1 : 1;
    return first->id < second->id ? -1 : first->id > second->id ? 1 : 0;
}

static enum status
load_bench(struct store *store, const struct portions *portions, struct dossier *dossier,
           struct failure *failure)
{
    enum status status =
        session_store_of(store, portions, &dossier->sessions, &dossier->session_count, failure);

    if (status == STATUS_OK)
        status = specimen_store_of(store, portions, &dossier->specimens, &dossier->specimen_count,
                                   &dossier->weighings, &dossier->weighing_count, failure);
    if (status == STATUS_OK)
        status = reading_store_of(store, portions, &dossier->readings, &dossier->reading_count, failure);
    if (dossier->reading_count > 1)
        qsort(dossier->readings, dossier->reading_count, sizeof *dossier->readings, by_time);
    return status;
}

/* What the bench work was done with. */
static enum status
load_tools(struct store *store, struct dossier *dossier, struct failure *failure)
{
    enum status status = gear_store_list(store, &dossier->gear, &dossier->gear_count, failure);

    if (status == STATUS_OK)
        status = calibration_store_of_readings(store, dossier->readings, dossier->reading_count,
                                               &dossier->calibrations, &dossier->calibration_count, failure);
    return status;
}

/* Likewise, from what was read already. */
static enum status
lend_tools(struct store *store, struct dossier *dossier, struct failure *failure)
{
    const struct tools *tools = NULL;
    enum status status = tool_store_load(store, &tools, failure);

    if (status != STATUS_OK)
        return status;
    dossier->tools_lent = true;
    dossier->gear = tools->gear;
    dossier->gear_count = tools->gear_count;
    calibration_store_lend(tools, dossier->readings, dossier->reading_count, &dossier->calibrations,
                           &dossier->calibration_count);
    return STATUS_OK;
}

static bool
has_point(const struct dossier *dossier, int64_t point_id)
{
    for (size_t i = 0; i < dossier->calibration_count; i++)
        for (size_t k = 0; k < dossier->calibrations[i].point_count; k++)
            if (dossier->calibrations[i].points[k].id == point_id)
                return true;
    return false;
}

static bool
used(const struct dossier *dossier, int64_t gear_id)
{
    for (size_t i = 0; i < dossier->reading_count; i++)
        if (dossier->readings[i].gear_id == gear_id)
            return true;
    for (size_t i = 0; i < dossier->weighing_count; i++)
        if (dossier->weighings[i].balance_id == gear_id)
            return true;
    for (size_t i = 0; i < dossier->titration_count; i++)
        if (dossier->titrations[i].balance_id == gear_id)
            return true;
    return false;
}

static bool
has_plan(const struct dossier *dossier, int64_t id)
{
    for (size_t i = 0; i < dossier->plan_entry_count; i++)
        if (dossier->plan_entries[i].id == id)
            return true;
    return false;
}

/* Has it to do with anything in the dossier? A calibration that was withdrawn is not in it any more. */
static bool
is_of_dossier(const struct correction *correction, const void *payload)
{
    const struct dossier *dossier = payload;
    const char *word = correction->record->word;
    int64_t number = correction->number;
    bool withdrawn = strcmp(correction->field->column, "withdrawn") == 0;

    if (correction->field->kind == CORRECT_WORKED_OUT && !withdrawn)
        return false;
    if (strcmp(word, "batch") == 0)
        return number == dossier->batch.id;
    if (strcmp(word, "portion") == 0)
        return dossier_specimen(dossier, number) != NULL;
    if (strcmp(word, "sitting") == 0)
        return dossier_session(dossier, number) != NULL;
    if (strcmp(word, "gear") == 0)
        return used(dossier, number);
    if (strcmp(word, "calibration") == 0)
        return dossier_calibration(dossier, number) != NULL || withdrawn;
    if (strcmp(word, "buffer") == 0)
        return has_point(dossier, number);
    return strcmp(word, "plan") == 0 && has_plan(dossier, number);
}

static enum status
load_rest(struct store *store, struct dossier *dossier, struct failure *failure)
{
    int64_t batch_id = dossier->batch.id;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < dossier->session_count; i++)
        if (dossier->sessions[i].procedure_id != 0) /* a single reading has no answers */
            status = load_answers(store, dossier, dossier->sessions[i].id, failure);
    if (status == STATUS_OK)
        status = observation_store_of_batch(store, batch_id, &dossier->observations,
                                            &dossier->observation_count, failure);
    if (status == STATUS_OK)
        status = used_up_store_of_batch(store, batch_id, &dossier->used_up, &dossier->used_up_count, failure);
    if (status == STATUS_OK)
        status = batch_close_store_find(store, batch_id, &dossier->closed, failure);
    if (status == STATUS_OK)
        status =
            batch_store_revisions(store, batch_id, &dossier->revisions, &dossier->revision_count, failure);
    if (status == STATUS_OK)
        status = titration_store_of_batch(store, batch_id, &dossier->titrations, &dossier->titration_count,
                                          failure);
    if (status == STATUS_OK)
        status = state_change_store_of_batch(store, batch_id, &dossier->state_changes,
                                             &dossier->state_change_count, failure);
    if (status == STATUS_OK)
        status = plan_entry_store_of_batch(store, batch_id, &dossier->plan_entries,
                                           &dossier->plan_entry_count, failure);
    if (status == STATUS_OK)
        status = correction_store_list(store, is_of_dossier, dossier, &dossier->corrections,
                                       &dossier->correction_count, failure);
    return status;
}

/* All of a batch; without a code, what there is of a paper. */
static enum status
load(struct store *store, const char *code, int64_t paper_id, bool lend, struct dossier *ret_dossier,
     struct failure *failure)
{
    struct dossier dossier = {0};
    struct portions portions = {.paper_id = paper_id};
    enum status status = store_begin_reading(store, failure); /* one state, and one lock for all of it */

    if (status != STATUS_OK)
        return status;
    if (code != NULL)
        status = batch_store_find(store, code, &dossier.batch, failure);
    portions.batch_id = dossier.batch.id;
    if (status == STATUS_OK)
        status = load_bench(store, &portions, &dossier, failure);
    if (status == STATUS_OK)
        status = lend ? lend_tools(store, &dossier, failure) : load_tools(store, &dossier, failure);
    if (status == STATUS_OK && code != NULL)
        status = load_rest(store, &dossier, failure);
    store_end_reading(store);
    if (status == STATUS_OK)
        *ret_dossier = dossier;
    else
        dossier_clear(&dossier);
    return status;
}

enum status
dossier_store_load(struct store *store, const char *code, struct dossier *ret_dossier,
                   struct failure *failure)
{
    return load(store, code, 0, false, ret_dossier, failure);
}

enum status
dossier_store_load_of_many(struct store *store, const char *code, struct dossier *ret_dossier,
                           struct failure *failure)
{
    return load(store, code, 0, true, ret_dossier, failure);
}

enum status
dossier_store_of_paper(struct store *store, int64_t paper_id, struct dossier *ret_dossier,
                       struct failure *failure)
{
    return load(store, NULL, paper_id, false, ret_dossier, failure);
}

enum status
dossier_store_of_several_cups(struct store *store, struct dossier *ret_dossier, struct failure *failure)
{
    enum { MOST = 200 };
    struct dossier dossier = {0};
    enum status status = store_begin_reading(store, failure);

    if (status != STATUS_OK)
        return status;
    status = specimen_store_of_several(store, MOST, &dossier.specimens, &dossier.specimen_count, failure);
    if (status == STATUS_OK && dossier.specimen_count > 0)
        status = reading_store_of_several(store, MOST, &dossier.readings, &dossier.reading_count, failure);
    store_end_reading(store);
    if (status == STATUS_OK)
        *ret_dossier = dossier;
    else
        dossier_clear(&dossier);
    return status;
}
