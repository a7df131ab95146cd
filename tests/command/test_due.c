/* test_due.c - "due". The clock stands at 2026-06-01. */
#include "batch_store.h"
#include "check.h"
#include "file.h"
#include "follow_store.h"
#include "kitchen.h"
#include "notebook.h"

/* What the plan command files. */
static void
plan(const struct kitchen *kitchen, const char *code, const char *day, const char *what)
{
    struct failure failure = {0};
    struct store *store = NULL;
    struct plan_entry entry = {.what = memory_copy(what), .added_at = kitchen->now};

    check_ok(notebook_open(kitchen->notebook, STORE_WRITE, &store, NULL, &failure), &failure);
    check_ok(batch_store_id(store, code, &entry.batch_id, &failure), &failure);
    check_ok(clock_parse_day(day, &entry.due_on, &failure), &failure);
    check_ok(plan_entry_store_add(store, &entry, &failure), &failure);
    plan_entry_clear(&entry);
    store_close(store);
}

/* Each line of the screen in docs/due.md, which has another day than the tests of pages, is printed here. */
static void
check_page(const char *screen)
{
    char *path = file_join(getenv("SOURCE_ROOT"), "docs/due.md"), *page = NULL, *rest, *line;
    struct failure failure = {0};
    size_t lines = 0;

    check_ok(file_read(path, 1 << 16, &page, &failure), &failure);
    rest = strstr(page, "    due          on ");
    assert_non_null(rest);
    while ((line = strsep(&rest, "\n")) != NULL && strncmp(line, "    ", 4) == 0) {
        check_contains(screen, line + 4);
        lines++;
    }
    assert_int_equal(lines, 10);
    free(page);
    free(path);
}

static void
the_longest_overdue_comes_first(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-06 --made 2026-05-01");
    kitchen_do(kitchen, "batch add W-07 --made 2026-05-02");
    kitchen_do(kitchen, "batch add W-08 --made 2026-05-03");
    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "29 d overdue  2026-05-03  test  W-06  never tested, and nothing planned\n");
    check_contains(kitchen->out, "next: curetrace test W-06\n");
    plan(kitchen, "W-06", "2026-09-01", "test");
    plan(kitchen, "W-07", "2026-09-01", "test");
    plan(kitchen, "W-08", "2026-09-01", "test");
    kitchen_do(kitchen, "due");
    assert_string_equal(kitchen->out, "nothing is due today or in the next 7 days\n");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01");
    kitchen_do(kitchen, "gear add bottle --kind buffer --buffer borax --expires 2026-05-30");
    kitchen_do(kitchen, "titrate W-08 --soap-g 10 --acid-mol-l 0.1 --volume-ml 25");
    plan(kitchen, "W-06", "2026-06-01", "test");
    plan(kitchen, "W-07", "2026-05-28", "test");
    plan(kitchen, "W-07", "2026-06-20", "test");
    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "4 d overdue  2026-05-28  test       W-07");
    check_contains(kitchen->out, "1 d overdue  2026-05-31  replace    bottle  its date is 2026-05-30");
    check_contains(kitchen->out, "today        2026-06-01  test       W-06");
    check_contains(kitchen->out, "today        2026-06-01  rework     W-08");
    check_contains(kitchen->out, "today        2026-06-01  calibrate  bench   never calibrated");
    check_contains(kitchen->out, "next: curetrace test W-07\n");
    check_page(kitchen->out);
    check_contains(kitchen->out, "never taste-test");
    check_lacks(kitchen->out, "2026-06-20");
    kitchen_do(kitchen, "due --days 30");
    check_contains(kitchen->out, "in 19 d      2026-06-20  test");
    kitchen_do(kitchen, "due --csv --days 0");
    check_contains(kitchen->out, "subject,kind,what,due_on,overdue_d,missed,why\n"
                                 "W-07,plan,test,2026-05-28,4,no,\n"
                                 "bottle,bottle,replace,2026-05-31,1,no,its date is 2026-05-30\n"
                                 "W-06,plan,test,2026-06-01,0,no,\n");
    kitchen_refuses(kitchen, "due --days -1", "--days: -1 is outside 0 to 3650");
}

static void
a_test_that_was_made_is_no_longer_due(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-07 --made 2026-05-02");
    kitchen_do(kitchen, "gear add strips --kind paper --steps 6,7,8,9,10,11,12");
    plan(kitchen, "W-07", "2026-05-28", "test");
    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "test  W-07");
    kitchen_do(kitchen,
               "read W-07 --water distilled --paper strips --between 9..10 --temperature-c 40 --percent 1");
    kitchen_do(kitchen, "due --csv");
    check_lacks(kitchen->out, "plan");
    check_contains(kitchen->out, "W-07,retest,test,2026-06-01,0,no,"); /* paper alone does not judge it */
    kitchen_do(kitchen, "batch discard W-07 --why 'given to nobody'");
    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "nothing is due");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(the_longest_overdue_comes_first, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(a_test_that_was_made_is_no_longer_due, kitchen_open, kitchen_close),
};

const struct check_module test_command_due = CHECK_MODULE("command/due", tests);
