/* Many batches are worked out in the order asked for, on any number of cores. */
#include <string.h>

#include "all_batches.h"
#include "batch_store.h"
#include "check.h"
#include "notebook.h"

/* What arrives, in order; refuses the batch that is named `refused`. */
struct arrivals {
    size_t count;
    char last[8];
    const char *refused;
};

static enum status
arrive(struct batch_case *batch, struct batch_rows rows, void *payload, struct failure *failure)
{
    struct arrivals *arrivals = payload;
    const char *code = batch->dossier.batch.code;
    enum status status = STATUS_OK;

    (void)rows;
    assert_true(strcmp(code, arrivals->last) > 0);
    snprintf(arrivals->last, sizeof arrivals->last, "%s", code);
    arrivals->count++;
    if (arrivals->refused != NULL && strcmp(code, arrivals->refused) == 0)
        status = failure_set(failure, STATUS_CONFLICT, "refused %s", code);
    batch_case_free(batch);
    return status;
}

enum { MANY = 60 };

static void
several_cores_keep_the_order_and_stop_at_the_first_failure(void **state)
{
    struct store *store = NULL;
    struct failure failure = {0};
    char codes[MANY][8];
    const char *names[MANY];

    (void)state;
    check_ok(notebook_open(":memory:", STORE_CREATE, &store, NULL, &failure), &failure);
    for (int i = 0; i < MANY; i++) {
        struct batch batch = {.code = codes[i], .made_on = 20000};

        snprintf(codes[i], sizeof codes[i], "X-%03d", i);
        names[i] = codes[i];
        check_ok(batch_store_add(store, &batch, &failure), &failure);
    }
    for (size_t cores = 1; cores <= 8; cores++) {
        struct batches_request request = {.codes = names,
                                          .count = MANY,
                                          .points = true,
                                          .followed = true,
                                          .target_ph = 10.0,
                                          .cores = cores};
        struct arrivals arrivals = {0};

        check_ok(all_batches(store, &request, arrive, &arrivals, &failure), &failure);
        assert_int_equal(arrivals.count, MANY);
        arrivals = (struct arrivals){.refused = "X-017"};
        check_refused(all_batches(store, &request, arrive, &arrivals, &failure), STATUS_CONFLICT, &failure);
        assert_int_equal(arrivals.count, 18);
        names[30] = "none";
        arrivals = (struct arrivals){0};
        check_refused(all_batches(store, &request, arrive, &arrivals, &failure), STATUS_MISSING, &failure);
        assert_true(arrivals.count <= 30);
        names[30] = codes[30];
    }
    store_close(store);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(several_cores_keep_the_order_and_stop_at_the_first_failure),
};

const struct check_module test_casebook_all_batches = CHECK_MODULE("casebook/all_batches", tests);
