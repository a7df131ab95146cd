/* test_cup_history.c - what a maker's other batches say of how far cups of one bar lie apart reaches a single cup. */
#include "batch_case.h"
#include "batch_store.h"
#include "check.h"
#include "gear_store.h"
#include "memory.h"
#include "notebook.h"
#include "session_store.h"

enum { POURED = 20000, DAY_S = 86400, PAIRS = 7 };

static int64_t
add_batch(struct store *store, const char *code)
{
    struct failure failure = {0};
    struct batch batch = {
        .code = memory_copy(code), .made_on = POURED, .added_at = (civil_time)POURED * DAY_S};
    int64_t id;

    check_ok(batch_store_add(store, &batch, &failure), &failure);
    id = batch.id;
    batch_clear(&batch);
    return id;
}

/* One sitting of some cups of bar A, two equal readings of each. */
static void
read_cups(struct store *store, int64_t batch_id, int64_t meter_id, int age_d, const double *ph, size_t cups)
{
    struct failure failure = {0};
    struct session session;
    struct reading reading;
    civil_time at = ((civil_time)POURED + age_d) * DAY_S + 36000;

    session_init(&session);
    session.started_at = at;
    session.meter_id = meter_id;
    check_ok(session_store_add(store, &session, &failure), &failure);
    for (size_t i = 0; i < cups; i++) {
        struct specimen cup;

        specimen_init(&cup);
        cup.session_id = session.id;
        cup.batch_id = batch_id;
        cup.bar = memory_copy("A");
        cup.stated_concentration_pct = 1.0;
        check_ok(specimen_store_add(store, &cup, &failure), &failure);
        for (int k = 1; k <= 2; k++) {
            reading_init(&reading);
            reading.specimen_id = cup.id;
            reading.gear_id = meter_id;
            reading.replicate = k;
            reading.ph = ph[i];
            reading.temperature_c = 40.0;
            reading.taken_at = at + 60 * k;
            check_ok(reading_store_add(store, &reading, &failure), &failure);
        }
        specimen_clear(&cup);
    }
    check_ok(session_store_close(store, session.id, at + 3600, NULL, &failure), &failure);
    session_clear(&session);
}

static struct scatter
scatter_of(struct store *store, const char *code)
{
    struct failure failure = {0};
    struct batch_case batch = {0};
    struct scatter scatter;

    check_ok(batch_case_open(store, code, &batch, &failure), &failure);
    assert_int_equal(batch.conclusion.all.count, 1);
    scatter = batch.conclusion.all.verdicts[0].scatter;
    batch_case_clear(&batch);
    return scatter;
}

/* Seven pairs of cups 0.10 apart: each has a variance of 0.10^2/2 on one degree, without any scatter within. */
static void
cups_of_other_batches_tell_of_a_single_one(void **state)
{
    static const double pair[] = {9.80, 9.90}, alone[] = {9.85};
    struct failure failure = {0};
    struct store *store = NULL;
    struct gear meter;
    struct scatter scatter;
    int64_t others, own;

    (void)state;
    check_ok(notebook_open(":memory:", STORE_CREATE, &store, NULL, &failure), &failure);
    gear_init(&meter, GEAR_METER);
    meter.name = memory_copy("bench");
    meter.resolution_ph = 0.01;
    meter.added_at = (civil_time)POURED * DAY_S;
    check_ok(gear_store_add(store, &meter, &failure), &failure);
    others = add_batch(store, "O-01");
    own = add_batch(store, "W-01");
    read_cups(store, own, meter.id, 40, alone, LENGTH(alone));
    for (int i = 0; i < PAIRS; i++) {
        if (i == SCATTER_BETWEEN_DOF - 1.0) {
            scatter = scatter_of(store, "W-01");
            check_close(scatter.between_dof, 0.0, 0.0, "five degrees are too few");
        }
        read_cups(store, others, meter.id, 10 + i, pair, LENGTH(pair));
    }
    scatter = scatter_of(store, "W-01");
    check_close(scatter.between_dof, PAIRS, 0.0, "one degree a pair");
    check_close(scatter.between_sd_ph, 0.0707107, 1e-6, "0.10 / sqrt 2, by hand");
    gear_clear(&meter);
    store_close(store);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(cups_of_other_batches_tell_of_a_single_one),
};

const struct check_module test_casebook_cup_history = CHECK_MODULE("casebook/cup_history", tests);
