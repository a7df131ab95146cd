/* test_due.c - what is to be done today: the rules of due.h, which are the job's own (issue 5). */
#include "bench.h"
#include "due.h"

enum { TODAY = POURED + 28 };

static void
plan(struct dossier *bench, int age_d, const char *what)
{
    struct plan_entry *entry;

    bench->plan_entries =
        memory_resize(bench->plan_entries, bench->plan_entry_count + 1, sizeof *bench->plan_entries);
    entry = &bench->plan_entries[bench->plan_entry_count++];
    *entry = (struct plan_entry){.id = (int64_t)bench->plan_entry_count,
                                 .batch_id = 1,
                                 .due_on = POURED + age_d,
                                 .what = memory_copy(what)};
}

static void
read_at(struct dossier *bench, int age_d, double ph)
{
    int64_t specimen = bench_specimen(bench, bench_session(bench, bench_day(age_d)), 1.0);
    int64_t calibration = bench_calibrated(bench, bench_day(age_d) - 1800);

    for (int i = -1; i <= 1; i++)
        bench_ph(bench, specimen, ph + 0.01 * i, 40.0)->calibration_id = calibration;
}

static struct due_list
due_today(const struct dossier *bench, int ahead_d)
{
    struct failure failure = {0};
    struct policy policy;
    struct conclusion conclusion;
    struct due_list list = {0};

    policy_init(&policy);
    check_ok(conclusion_of(bench, NULL, &conclusion, &failure), &failure);
    due_of_batch(bench, &conclusion, &policy, TODAY, ahead_d, &list);
    due_sort(&list);
    conclusion_clear(&conclusion);
    return list;
}

/* As text: "test@14" planned for that age, "!" when missed; the retest is "titrate*", the first test "test?2" due
 * at that age. Joined by blanks. */
static void
check_due(const struct dossier *bench, int ahead_d, const char *expected, const char *rule)
{
    struct due_list list = due_today(bench, ahead_d);
    char text[400] = "";

    for (size_t i = 0; i < list.count; i++) {
        const struct due_item *item = &list.items[i];
        size_t used = strlen(text);

        assert_int_equal(item->overdue_d, TODAY - item->due_on);
        if (item->kind == DUE_RETEST)
            snprintf(text + used, sizeof text - used, "%s%s*", used > 0 ? " " : "", item->what);
        else if (item->kind == DUE_FIRST)
            snprintf(text + used, sizeof text - used, "%s%s?%d", used > 0 ? " " : "", item->what,
                     item->due_on - POURED);
        else
            snprintf(text + used, sizeof text - used, "%s%s@%d%s", used > 0 ? " " : "", item->what,
                     item->due_on - POURED, item->missed ? "!" : "");
    }
    if (strcmp(text, expected) != 0)
        print_error("%s\n", rule);
    assert_string_equal(text, expected);
    due_list_clear(&list);
}

static void
planned_tests_are_due_until_they_are_done(void **state)
{
    static const struct {
        int planned[3], read[2]; /* ages; 0: none */
        int ahead_d;
        const char *due, *rule;
    } cases[] = {
        {{28}, {0}, 0, "test@28", "on its day"},
        {{27}, {0}, 0, "test@27", "overdue"},
        {{29}, {0}, 0, "", "not yet"},
        {{29, 35}, {0}, 7, "test@29 test@35", "looking ahead"},
        {{28}, {28}, 0, "", "done on the day"},
        {{28}, {26}, 0, "", "rule 1: done two days early"},
        {{28}, {25}, 0, "test@28", "rule 1: three days early is another test"},
        {{14}, {20}, 0, "", "rule 1: done late"},
        {{14, 28}, {27}, 0, "", "one test in the second slot: the first was missed and is past"},
        {{14, 28}, {0}, 0, "test@28 test@14!", "rule 2: missed, last"},
        {{14, 28}, {16}, 0, "test@28", "the first was done"},
        {{14, 35}, {0}, 0, "test@14", "the second's slot has not begun"},
        {{27, 28, 29}, {27, 28}, 1, "release* test@29", "rule 1: days apart, each its own"},
        {{27, 28}, {27}, 0, "test@28", "rule 1: one test never stands for two"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = bench_new();

        for (size_t k = 0; k < 3; k++)
            if (cases[i].planned[k] > 0)
                plan(&bench, cases[i].planned[k], "test");
        for (size_t k = 0; k < 2; k++)
            if (cases[i].read[k] > 0)
                read_at(&bench, cases[i].read[k], 9.9);
        check_due(&bench, cases[i].ahead_d, cases[i].due, cases[i].rule);
        dossier_clear(&bench);
    }
}

static void
words_of_the_plan_are_done_by_their_own_kind(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    plan(&bench, 28, "test");
    plan(&bench, 28, "titrate");
    plan(&bench, 28, "look at the ash");
    check_due(&bench, 0, "test@28 titrate@28 look at the ash@28", "nothing done");
    read_at(&bench, 28, 9.9);
    check_due(&bench, 0, "titrate@28", "a reading is a test and a look");
    bench.plan_entries[1].dropped = true;
    check_due(&bench, 0, "", "taken back");
    bench.plan_entries[1].dropped = false;
    for (int i = 0; i < 3; i++)
        bench_titration(&bench, bench_day(28), 0.40 + 0.01 * i);
    check_due(&bench, 0, "", "titrated");
    for (size_t i = 0; i < bench.reading_count; i++)
        bench.readings[i].superseded_by = 99;
    check_due(&bench, 0, "test@28", "a withdrawn reading is no test");
    dossier_clear(&bench);
}

static void
bad_results_ask_for_a_retest(void **state)
{
    static const struct {
        double ph, volume_ml;
        const char *due, *rule;
    } cases[] = {
        {9.9, 0, "test*", "rule 3: within so far, again from day 28 on"},
        {10.97, 0, "titrate*", "rule 3: doubtful"},
        {11.31, 0, "titrate*", "rule 3: lye-heavy by pH"},
        {11.31, 5.0, "rework*", "rule 3: lye-heavy by titration"},
        {9.9, 1.9, "titrate*", "rule 3: borderline"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = bench_new();

        read_at(&bench, 20, cases[i].ph);
        if (cases[i].volume_ml > 0)
            bench_titration(&bench, bench_day(20), cases[i].volume_ml);
        check_due(&bench, 0, cases[i].due, cases[i].rule);
        bench.batch.role = BATCH_LYE_HEAVY;
        check_due(&bench, 0, "", "rule 3: made so on purpose");
        bench.batch.role = BATCH_ORDINARY;
        bench.batch.state = BATCH_DISCARDED;
        check_due(&bench, 0, "", "rule 3: discarded");
        dossier_clear(&bench);
    }
}

static void
unjudged_and_reworked_batches_are_to_be_tested(void **state)
{
    struct dossier bench = bench_new(), child = bench_new();

    (void)state;
    read_at(&bench, 20, 9.9);
    for (size_t i = 0; i < bench.reading_count; i++)
        bench.readings[i].calibration_id = 0;
    check_due(&bench, 0, "test*", "rule 3: not judged");
    dossier_clear(&bench);
    child.batch.parent_id = 7;
    child.batch.parent_code = memory_copy("W-06");
    check_due(&child, 0, "titrate*", "rule 3: reworked, held or not");
    child.batch.state = BATCH_HELD;
    check_due(&child, 0, "titrate*", "rule 3: reworked");
    read_at(&child, 20, 9.9);
    check_due(&child, 0, "titrate*", "rule 3: a pH does not do");
    dossier_clear(&child);
}

static void
a_batch_that_was_never_tested_is_due_for_its_first_test(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    check_due(&bench, 0, "test?2", "rule 6: in cure");
    bench.batch.made_on = TODAY - 1;
    check_due(&bench, 0, "", "rule 6: too fresh");
    check_due(&bench, 1, "test?29", "rule 6: looking ahead");
    bench.batch.made_on = POURED;
    bench.batch.state = BATCH_RELEASED;
    check_due(&bench, 0, "", "rule 6: released");
    bench.batch.state = BATCH_IN_CURE;
    bench.batch.role = BATCH_LYE_HEAVY;
    check_due(&bench, 0, "", "rule 3: made so on purpose");
    bench.batch.role = BATCH_ORDINARY;
    plan(&bench, 60, "test");
    check_due(&bench, 0, "", "rule 6: planned");
    bench.plan_entries[0].dropped = true;
    check_due(&bench, 0, "test?2", "rule 6: the plan was taken back");
    bench_session(&bench, bench_day(20));
    bench.sessions[0].procedure_id = 1;
    bench.sessions[0].finished_at = MOMENT_NONE;
    check_due(&bench, 0, "", "rule 6: its walk-through is listed instead");
    bench.sessions[0].finished_at = bench_day(20);
    check_due(&bench, 0, "test?2", "rule 6: finished without a reading");
    read_at(&bench, 21, 9.9);
    check_due(&bench, 0, "test*", "rule 3: again from day 28 on");
    bench.batch.made_on = POURED + 1;
    check_due(&bench, 0, "", "which is tomorrow");
    dossier_clear(&bench);
}

static void
hold(struct dossier *bench, civil_time at, bool automatic)
{
    bench->state_changes = memory_resize(bench->state_changes, 1, sizeof *bench->state_changes);
    if (bench->state_change_count == 1)
        state_change_clear(&bench->state_changes[0]);
    bench->state_changes[0] = (struct state_change){
        .batch_id = 1, .state = BATCH_HELD, .at = at, .why = memory_copy("crystals"), .automatic = automatic};
    bench->state_change_count = 1;
    bench->batch.state = BATCH_HELD;
}

static void
a_held_batch_waits_for_its_test_or_titration(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    hold(&bench, bench_day(1), false);
    check_due(&bench, 0, "test?1", "rule 6: held, so from that day on");
    read_at(&bench, 20, 9.9);
    check_due(&bench, 0, "test*", "rule 3: again from day 28 on");
    read_at(&bench, 10, 11.5);
    check_due(&bench, 0, "titrate*", "rule 3: lye-heavy before, and a lower pH does not take that back");
    for (int i = 0; i < 6; i++)
        bench_titration(&bench, bench_day(26), 0.40 + 0.01 * i)->bar = memory_copy(i < 3 ? "A" : "B");
    check_due(&bench, 0, "release*", "rule 3: two bars titrated");
    dossier_clear(&bench);
}

static void
an_unfinished_walk_through_is_due(void **state)
{
    struct due_list list = {0};

    (void)state;
    due_of_session(3, bench_day(20), "W-07, W-08", TODAY, &list);
    due_of_session(4, bench_day(28), "", TODAY, &list);
    assert_int_equal(list.count, 2);
    assert_int_equal(list.items[0].kind, DUE_SESSION);
    assert_string_equal(list.items[0].subject, "3");
    assert_string_equal(list.items[0].what, "resume");
    assert_int_equal(list.items[0].overdue_d, 8);
    check_contains(list.items[0].why, "W-07, W-08: begun 2024-10-24, not finished");
    assert_string_equal(list.items[1].why, "begun 2024-11-01, not finished");
    due_list_clear(&list);
}

static void
meters_are_due_before_the_test(void **state)
{
    static const struct {
        int calibrated; /* age; 0: never */
        enum calibration_verdict verdict;
        int test; /* planned at that age; 0: none */
        int due;  /* days from today; -1: not due */
        const char *rule;
    } cases[] = {
        {0, CALIBRATION_ACCEPTED, 0, 0, "rule 4: never"},
        {28, CALIBRATION_ACCEPTED, 0, -1, "today"},
        {27, CALIBRATION_ACCEPTED, 0, -1, "yesterday: one day is allowed"},
        {26, CALIBRATION_ACCEPTED, 0, 0, "two days"},
        {28, CALIBRATION_REFUSED, 0, 0, "rule 4: refused"},
        {28, CALIBRATION_MARGINAL, 0, -1, "marginal counts"},
        {28, CALIBRATION_ACCEPTED, 29, -1, "a day before the test"},
        {28, CALIBRATION_ACCEPTED, 31, 3, "three days before the test"},
        {26, CALIBRATION_ACCEPTED, 14, 0, "the test is overdue"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = bench_new();
        struct calibration calibration = {.taken_at = bench_day(cases[i].calibrated),
                                          .verdict = cases[i].verdict};
        struct policy policy;
        struct due_list list;
        size_t meters = 0;

        policy_init(&policy);
        if (cases[i].test > 0)
            plan(&bench, cases[i].test, "test");
        list = due_today(&bench, 7);
        due_of_gear(&bench.gear[0], cases[i].calibrated > 0 ? &calibration : NULL, &policy, TODAY, 7, &list);
        for (size_t k = 0; k < list.count; k++) {
            if (list.items[k].kind != DUE_METER)
                continue;
            meters++;
            assert_string_equal(list.items[k].what, "calibrate");
            assert_int_equal(-list.items[k].overdue_d, cases[i].due);
        }
        if (meters != (cases[i].due >= 0))
            print_error("%s\n", cases[i].rule);
        assert_int_equal(meters, cases[i].due >= 0);
        due_list_clear(&list);
        dossier_clear(&bench);
    }
}

static void
bottles_and_papers_past_their_date_are_due(void **state)
{
    static const struct {
        int date; /* age; 0: none printed */
        int ahead_d, overdue_d;
        bool due;
    } cases[] = {{27, 0, 0, true}, {28, 0, 0, false}, {28, 7, -1, true}, {20, 0, 7, true}, {0, 7, 0, false}};

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = bench_new();
        struct policy policy;
        struct due_list list = {0};

        policy_init(&policy);
        if (cases[i].date > 0)
            bench.gear[3].expires_on = POURED + cases[i].date;
        due_of_gear(&bench.gear[3], NULL, &policy, TODAY, cases[i].ahead_d, &list);
        assert_int_equal(list.count, cases[i].due ? 1 : 0);
        if (cases[i].due) {
            assert_string_equal(list.items[0].subject, "strips");
            assert_string_equal(list.items[0].what, "replace");
            assert_int_equal(list.items[0].overdue_d, cases[i].overdue_d);
        }
        due_list_clear(&list);
        dossier_clear(&bench);
    }
}

/* What was sold and is held since is with somebody: it leaves the list only when it was thrown away or is released. */
static void
a_closed_batch_that_is_held_since_stays_on_the_list(void **state)
{
    static const struct {
        enum batch_end end;
        enum batch_state state;
        const char *due;
    } cases[] = {{BATCH_SOLD, BATCH_HELD, "titrate*"},
                 {BATCH_SOLD, BATCH_RELEASED, ""},
                 {BATCH_THROWN_AWAY, BATCH_HELD, ""}};

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = bench_new();

        read_at(&bench, 20, 11.31);
        bench.closed = (struct batch_close){.id = 1, .end = cases[i].end, .closed_on = POURED + 21};
        bench.batch.state = cases[i].state;
        check_due(&bench, 0, cases[i].due, "held since");
        dossier_clear(&bench);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(planned_tests_are_due_until_they_are_done),
    cmocka_unit_test(words_of_the_plan_are_done_by_their_own_kind),
    cmocka_unit_test(bad_results_ask_for_a_retest),
    cmocka_unit_test(unjudged_and_reworked_batches_are_to_be_tested),
    cmocka_unit_test(a_batch_that_was_never_tested_is_due_for_its_first_test),
    cmocka_unit_test(a_held_batch_waits_for_its_test_or_titration),
    cmocka_unit_test(an_unfinished_walk_through_is_due),
    cmocka_unit_test(meters_are_due_before_the_test),
    cmocka_unit_test(bottles_and_papers_past_their_date_are_due),
    cmocka_unit_test(a_closed_batch_that_is_held_since_stays_on_the_list),
};

const struct check_module test_assess_due = CHECK_MODULE("assess/due", tests);
