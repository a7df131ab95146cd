/* test_plan.c - "plan". The workshop is invented. */
#include "check.h"
#include "kitchen.h"

static int
set_up(void **state)
{
    struct kitchen *kitchen;

    if (kitchen_open(state) != 0)
        return -1;
    kitchen = *state; /* the clock stands at 2026-06-01 */
    kitchen_do(kitchen, "batch add W-06 --made 2026-05-22");
    kitchen_do(kitchen, "batch add W-07 --made 2026-05-22");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02");
    kitchen_do(
        kitchen,
        "read W-06 --water distilled --meter bench --ph 10.2 --temperature-c 40 --percent 1 --at 2026-05-29");
    return 0;
}

static void
looking_proposes_ages_and_numbers_and_writes_nothing(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "plan W-06 W-07 --difference 0,1 --power 90");
    check_contains(kitchen->out, "says the stated uncertainties");
    check_contains(kitchen->out, "of 0.1 pH between two recipes to show in 90 of 100 tries");
    check_contains(kitchen->out, "W-06   2026-06-05    14"); /* day 7 was tested, day 14 is next */
    check_contains(kitchen->out, "W-07   2026-06-01    10"); /* days 2 and 7 went by */
    check_lacks(kitchen->out, "dates kept");
    kitchen_do(kitchen, "plan W-06 --ages 2 --csv");
    assert_string_equal(kitchen->out, "batch,due_on,age_d,why,end_half_now,end_half_then,entry\n"
                                      "W-06,2026-06-05,14,usual,,,\n"
                                      "W-06,2026-06-19,28,usual,,,\n");
}

static void
dates_are_entered_once_and_dropped_with_a_reason(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "plan W-06 --ages 2 --enter");
    check_contains(kitchen->out, "entered 2 dates");
    kitchen_do(kitchen, "plan W-06 --ages 3 --enter");
    check_contains(kitchen->out, "entered 1 date\n");
    kitchen_do(kitchen, "plan W-06");
    check_contains(kitchen->out, "dates kept");
    check_contains(kitchen->out, "1  W-06   2026-06-05  test");
    kitchen_refuses(kitchen, "plan W-06 --drop 1", "why is it dropped?");
    kitchen_do(kitchen, "plan W-06 --drop 1 --why 'on holiday'");
    check_contains(kitchen->out, "dropped date 1, 2026-06-05");
    kitchen_refuses(kitchen, "plan W-06 --drop 1 --why again", "");
    kitchen_refuses(kitchen, "plan W-07 --drop 2 --why 'not mine'", "there is no date 2 in the plan of W-07");
    kitchen_do(kitchen, "plan W-06");
    check_lacks(kitchen->out, "1  W-06   2026-06-05");
    kitchen_do(kitchen, "plan W-06 --enter");
    kitchen_do(kitchen, "plan W-06");
    check_contains(kitchen->out, "2026-06-05  test");
}

static void
wrong_plans_are_refused_in_one_line(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"plan", "expected curetrace plan CODE"},    {"plan W-06 W-07 W-08", "one word too many"},
        {"plan W-66", "there is no batch 'W-66'"},   {"plan W-06 --difference 0", "difference"},
        {"plan W-06 --power 100", "power"},          {"plan W-06 --ages 15", "ages"},
        {"plan W-06 --why x", "--why needs --drop"}, {"plan W-06 --drop 1 --enter --why x", "not both"},
    };
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(kitchen, bad[i].line, bad[i].text);
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(looking_proposes_ages_and_numbers_and_writes_nothing),
    KITCHEN_TEST(dates_are_entered_once_and_dropped_with_a_reason),
    KITCHEN_TEST(wrong_plans_are_refused_in_one_line),
};

const struct check_module test_command_plan = CHECK_MODULE("command/plan", tests);
