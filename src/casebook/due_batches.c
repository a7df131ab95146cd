/* due_batches.c - what is due in a whole notebook. */
#include "due_batches.h"

#include <stdlib.h>

#include "all_batches.h"
#include "calibration_store.h"
#include "gear_store.h"
#include "makers_policy.h"
#include "unfinished.h"

struct collecting {
    struct store *store;
    struct policy policy;
    civil_day today;
    int ahead_d;
    struct due_list list;
};

static enum status
add_batch(struct batch_case *batch, struct batch_rows rows, void *payload, struct failure *failure)
{
    struct collecting *due = payload;

    (void)rows;
    (void)failure;
    due_of_batch(&batch->dossier, &batch->conclusion, &due->policy, due->today, due->ahead_d, &due->list);
    batch_case_free(batch);
    return STATUS_OK;
}

static void
add_trouble(const char *code, const struct failure *why, void *payload)
{
    struct collecting *due = payload;

    due_of_trouble(code, why->text, due->today, &due->list);
}

static enum status
add_batches(struct collecting *due, struct failure *failure)
{
    struct batch_codes codes = {0};
    enum status status = batch_codes_all(due->store, &codes, failure);
    struct batches_request request = {.codes = (const char *const *)codes.codes,
                                      .count = codes.count,
                                      .judged = true,
                                      .refused = add_trouble};

    if (status == STATUS_OK)
        status = all_batches(due->store, &request, add_batch, due, failure);
    batch_codes_clear(&codes);
    return status;
}

static enum status
add_sessions(struct collecting *due, struct failure *failure)
{
    struct unfinished *sessions = NULL;
    size_t count = 0;
    enum status status = unfinished_list(due->store, &sessions, &count, failure);

    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        due_of_session(sessions[i].id, sessions[i].begun, sessions[i].codes, due->today, &due->list);
    unfinished_free(sessions, count);
    return status;
}

static enum status
add_piece(struct collecting *due, const struct gear *gear, struct failure *failure)
{
    struct calibration latest = {0};
    enum status status = STATUS_OK;

    if (gear->kind == GEAR_METER)
        status = calibration_store_in_force(due->store, gear->id, INT64_MAX, &latest, failure);
    if (status == STATUS_OK)
        due_of_gear(gear, latest.id == 0 ? NULL : &latest, &due->policy, due->today, due->ahead_d,
                    &due->list);
    calibration_clear(&latest);
    return status;
}

static enum status
add_gear(struct collecting *due, struct failure *failure)
{
    struct gear *gear = NULL;
    size_t count = 0;
    enum status status = gear_store_list(due->store, &gear, &count, failure);

    for (size_t i = 0; i < count; i++) {
        if (status == STATUS_OK && !gear[i].retired)
            status = add_piece(due, &gear[i], failure);
        gear_clear(&gear[i]);
    }
    free(gear);
    return status;
}

enum status
due_in_notebook(struct store *store, civil_day today, int ahead_d, struct due_list *ret_list,
                struct failure *failure)
{
    struct collecting due = {.store = store, .today = today, .ahead_d = ahead_d};
    enum status status = makers_policy(store, &due.policy, failure);

    if (status == STATUS_OK)
        status = add_batches(&due, failure);
    if (status == STATUS_OK)
        status = add_sessions(&due, failure);
    if (status == STATUS_OK)
        status = add_gear(&due, failure);
    if (status != STATUS_OK) {
        due_list_clear(&due.list);
        return status;
    }
    due_sort(&due.list);
    *ret_list = due.list;
    return STATUS_OK;
}
