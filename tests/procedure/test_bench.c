/* test_bench.c - what a session needs to begin, and that it lies there again as it was begun. */
#include "workshop.h"

static void
a_session_lies_there_as_it_was_begun(void **state)
{
    struct failure failure = {0};
    struct workshop workshop;
    struct bench bench = {0};
    int64_t session_id;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 2);
    check_ok(bench_lay_out(workshop.store, session_id, &bench, &failure), &failure);
    assert_string_equal(bench.procedure.name, "soap-1pct-40c");
    assert_string_equal(bench.procedure.hash, workshop.procedure.hash);
    assert_string_equal(bench.session.procedure_hash, workshop.procedure.hash);
    assert_string_equal(bench.meter->name, "bench");
    assert_string_equal(bench.paper->name, "strips");
    assert_string_equal(bench.balance->name, "scale");
    assert_null(bench.thermometer);
    assert_int_equal(bench.specimen_count, 2);
    assert_string_equal(bench.codes[0], "W-07");
    assert_string_equal(bench.codes[1], "W-08");
    assert_string_equal(bench.specimens[1].bar, "middle");
    check_close(bench.session.limit_ph, 11.0, 0, "the procedure's");
    bench_clear(&bench);
    workshop_close(&workshop);
}

static void
what_is_needed_is_said(void **state)
{
    struct failure failure = {0};
    struct workshop workshop;
    struct bench_bar bar;
    struct bench_setup setup;
    int64_t session_id = 7;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    bar = (struct bench_bar){workshop.batch_ids[0], NULL};
    setup = workshop_setup(&workshop, &bar, 0);
    check_refused(bench_begin(workshop.store, &setup, 0, &session_id, &failure), STATUS_MISSING, &failure);
    assert_string_equal(failure.text, "procedure 'soap-1pct-40c' needs a batch to test");
    setup = workshop_setup(&workshop, &bar, 1);
    setup.meter = NULL;
    check_refused(bench_begin(workshop.store, &setup, 0, &session_id, &failure), STATUS_MISSING, &failure);
    assert_string_equal(failure.text, "procedure 'soap-1pct-40c' needs a meter");
    assert_int_equal(session_id, 7);
    workshop_close(&workshop);

    workshop_open(&workshop, ":memory:", "paper-only");
    setup = workshop_setup(&workshop, &bar, 1);
    setup.meter = NULL; /* not needed */
    setup.paper = NULL;
    check_refused(bench_begin(workshop.store, &setup, 0, &session_id, &failure), STATUS_MISSING, &failure);
    assert_string_equal(failure.text, "procedure 'paper-only' needs pH paper");
    workshop_close(&workshop);

    workshop_open(&workshop, ":memory:", "meter-check");
    setup = workshop_setup(&workshop, &bar, 1);
    check_refused(bench_begin(workshop.store, &setup, 0, &session_id, &failure), STATUS_USAGE, &failure);
    workshop_close(&workshop);
}

static void
a_half_begun_session_leaves_nothing(void **state)
{
    struct failure failure = {0};
    struct workshop workshop;
    struct bench_bar bars[2] = {{0, NULL}, {99, NULL}}; /* the second batch is not there */
    struct bench_setup setup;
    int64_t session_id = 7, *ids = NULL;
    size_t count = 9;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    bars[0].batch_id = workshop.batch_ids[0];
    setup = workshop_setup(&workshop, bars, 2);
    assert_true(bench_begin(workshop.store, &setup, 0, &session_id, &failure) != STATUS_OK);
    check_ok(session_store_unfinished(workshop.store, &ids, &count, &failure), &failure);
    assert_int_equal(count, 0);
    free(ids);
    assert_int_equal(session_id, 7);
    workshop_close(&workshop);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_session_lies_there_as_it_was_begun),
    cmocka_unit_test(what_is_needed_is_said),
    cmocka_unit_test(a_half_begun_session_leaves_nothing),
};

const struct check_module test_procedure_bench = CHECK_MODULE("procedure/bench", tests);
