/* test_unfinished.c - walk-throughs that were left: they are listed, pointed at, and can be closed. */
#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

/* Two batches; W-07 has a walk-through that stopped at the water. */
static int
leave_one(void **state)
{
    struct answers left = {0};
    int failed = kitchen_open(state);

    if (failed != 0)
        return failed;
    kitchen_do(*state, "batch add W-07 --made 2026-04-08");
    kitchen_do(*state, "batch add 'oat bar' --made 2026-05-31");
    kitchen_do(*state, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(*state, "calibrate bench --buffer borax@24=9.19 --buffer 'lime water@25=12.45'");
    answers_usual(&left);
    answers_add(&left, "meter-check", 1, "quit");
    assert_int_equal(kitchen_walk(*state, "test W-07 --at 2026-05-20T10:00", &left), STATUS_OK);
    return 0;
}

static void
a_walk_that_was_left_is_due(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "12 d overdue  2026-05-20  resume  1");
    check_contains(kitchen->out, "next: curetrace resume 1\n");
    check_lacks(kitchen->out, "nothing is due");
    check_lacks(kitchen->out, "test    W-07"); /* going on with it is the test */
    kitchen_do(kitchen, "due --csv");
    check_contains(kitchen->out,
                   "1,session,resume,2026-05-20,12,no,\"W-07: begun 2026-05-20, not finished\"");
    check_contains(kitchen->out, "oat bar,first,test,2026-06-02,-1,no,\"never tested, and nothing planned\"");
    kitchen_do(kitchen, "batch add W-01 --made 2026-03-01");
    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "next: curetrace test W-01\nnext: curetrace resume 1\n");
}

/* By a clock that was put back, readings would stand before the weighing they belong to. */
static void
a_clock_that_went_back_is_noticed(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_set_time(kitchen, "2026-05-20T09:00");
    kitchen_refuses(
        kitchen, "resume 1",
        "the computer's clock went back: it says 2026-05-20T09:00, and session 1 has an answer of "
        "2026-05-20T10:00; put it right, or say when the rest was done with --at");
    kitchen_refuses(kitchen, "resume 1 --at 2026-05-20T08:59", "--at is before session 1 began");
    kitchen_set_time(kitchen, "2026-05-20T10:05");
    assert_int_equal(kitchen_run_with(kitchen, "resume 1", "quit\n"), STATUS_OK);
}

static void
verdict_and_test_point_at_it(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "verdict W-07",
                    "batch 'W-07' has no readings yet; its session 1 is not finished (curetrace resume 1)");
    kitchen_refuses(kitchen, "verdict 'oat bar'", "has no readings yet (curetrace test 'oat bar')");
    assert_int_equal(kitchen_run_with(kitchen, "test W-07 W-07/2", "quit\n"), STATUS_OK);
    check_contains(kitchen->out,
                   "W-07 has a session that is not finished: curetrace resume 1 goes on with it\nSession 2");
    assert_int_equal(kitchen_run_with(kitchen, "test 'oat bar'", "quit\n"), STATUS_OK);
    check_lacks(kitchen->out, "not finished");
}

static void
an_unwanted_walk_is_closed_and_kept(void **state)
{
    struct kitchen *kitchen = *state;
    struct failure failure = {0};
    char *path, *line, *page = NULL;

    kitchen_refuses(kitchen, "resume 1 --close", "why? the record keeps the reason");
    kitchen_refuses(kitchen, "resume 1 --why lost", "--why goes with --close");
    kitchen_refuses(kitchen, "resume 7 --close --why lost", "7");
    kitchen_do(kitchen, "read W-07 --water distilled --ph 9.8 --temperature-c 40 --percent 1");
    kitchen->width = 200;
    assert_int_equal(kitchen_run(kitchen, "batch release W-07"), STATUS_CONFLICT);
    check_contains(kitchen->err, "session 1 is not finished: go on with it by");
    check_contains(kitchen->err, "--close --why REASON)");
    kitchen_do(kitchen, "resume --close --why 'the solution went cold'");
    check_contains(kitchen->out, "session 1 is closed before its end: the solution went cold; not done:");
    check_contains(kitchen->out, "next: curetrace due\n");
    kitchen_do(kitchen, "due");
    check_lacks(kitchen->out, "resume");
    assert_int_equal(kitchen_run(kitchen, "batch release W-07"), STATUS_CONFLICT); /* one age only */
    check_lacks(kitchen->err, "not finished");
    kitchen_refuses(kitchen, "resume 1 --close --why again", "finished");
    kitchen_refuses(kitchen, "resume 1", "finished");
    kitchen_do(kitchen, "verify");
    path = file_join(kitchen->folder->path, "w-07.html");
    line = text_format("report W-07 --output '%s'", path);
    kitchen_do(kitchen, line);
    check_ok(file_read(path, 1 << 20, &page, &failure), &failure);
    check_contains(page, "closed before its end: the solution went cold; not done: meter check;");
    free(page);
    free(line);
    free(path);
}

static void
what_was_read_in_a_closed_walk_counts(void **state)
{
    struct kitchen *kitchen = *state;

    struct answers answers = {0};

    answers_usual(&answers);
    answers_add(&answers, "reading", 1, "11.6 40\nquit");
    assert_int_equal(kitchen_walk(kitchen, "resume 1 --at 2026-05-20T10:30", &answers), STATUS_OK);
    kitchen_refuses(kitchen, "resume 1 --close --why lost --at 2026-05-20T09:00", "before session 1 began");
    kitchen_do(kitchen, "resume 1 --close --why 'the cup fell' --at 2026-05-20T11:00");
    check_contains(kitchen->out, "not done: reading 2 of W-07;\n  reading 3 of W-07; clean up");
    check_lacks(kitchen->out, "temperature of reading 2");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "11.6");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "held");
}

static void
a_closed_titration_is_filed_as_far_as_it_was_measured(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = {0};

    answers_usual(&answers);
    answers_add(&answers, "soap-mass", 0, "10");
    answers_add(&answers, "titrant", 0, "25.05");
    answers_add(&answers, "look", 0, "quit");
    kitchen_do(kitchen, "resume 1 --close --why lost");
    kitchen_do(kitchen, "gear add scale --kind balance --readability-g 0.01");
    assert_int_equal(kitchen_run_with(kitchen, "titrate W-07", "\n"), STATUS_OK);
    kitchen_do(kitchen, "resume --close --why 'no alcohol left'");
    check_contains(kitchen->out, "session 2 is closed before its end: no alcohol left");
    check_lacks(kitchen->out, "free NaOH");
    assert_int_equal(kitchen_walk(kitchen, "titrate W-07 --portions 1", &answers), STATUS_OK);
    check_contains(kitchen->out,
                   "W-07 is held now"); /* with the answer that tells it, not when it is closed */
    kitchen_do(kitchen, "resume --close --why 'the cup fell'");
    check_contains(kitchen->out, "1.000");
    answers_add(&answers, "acid", 1, "skip label lost");
    assert_int_equal(kitchen_walk(kitchen, "titrate W-07 --portions 1", &answers), STATUS_OK);
    kitchen_do(kitchen, "resume --close --why 'the label'");
    check_contains(kitchen->out, "left out: acid");
    check_contains(kitchen->out, "the acid's concentration was left out: file the titration with");
    kitchen_do(kitchen, "due");
    check_lacks(kitchen->out, "resume");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_walk_that_was_left_is_due, leave_one, kitchen_close),
    cmocka_unit_test_setup_teardown(verdict_and_test_point_at_it, leave_one, kitchen_close),
    cmocka_unit_test_setup_teardown(a_clock_that_went_back_is_noticed, leave_one, kitchen_close),
    cmocka_unit_test_setup_teardown(an_unwanted_walk_is_closed_and_kept, leave_one, kitchen_close),
    cmocka_unit_test_setup_teardown(what_was_read_in_a_closed_walk_counts, leave_one, kitchen_close),
    cmocka_unit_test_setup_teardown(a_closed_titration_is_filed_as_far_as_it_was_measured, leave_one,
                                    kitchen_close),
};

const struct check_module test_command_unfinished = CHECK_MODULE("command/unfinished", tests);
