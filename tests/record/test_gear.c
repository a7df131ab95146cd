/* test_gear.c - what each kind of gear must and may have. */
#include "check.h"
#include "gear.h"

static void
each_kind_has_its_own_numbers(void **state)
{
    struct failure failure = {0};
    struct gear gear;
    char name[] = "bench";

    (void)state;
    gear_init(&gear, GEAR_METER);
    gear.name = name;
    check_refused(gear_check(&gear, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "a meter needs --resolution-ph");
    gear.resolution_ph = 0.01;
    check_ok(gear_check(&gear, &failure), &failure);
    gear.readability_g = 0.01;
    check_refused(gear_check(&gear, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "a meter has no --readability-g");
    gear.readability_g = NAN;
    gear.resolution_ph = 0.0;
    check_refused(gear_check(&gear, &failure), STATUS_RANGE, &failure);
    gear.resolution_ph = -0.01;
    check_refused(gear_check(&gear, &failure), STATUS_RANGE, &failure);
}

static void
paper_steps_rise_between_0_and_14(void **state)
{
    static const char *const bad[] = {"", "1", "1,1", "2,1", "1,2,15", "-1,2", "1,x", "1;2;2"};
    struct failure failure = {0};
    struct gear gear;
    char *text;

    (void)state;
    gear_init(&gear, GEAR_PAPER);
    check_ok(gear_parse_steps(&gear, "1, 2,3.5", &failure), &failure);
    text = gear_steps_text(&gear);
    assert_string_equal(text, "1,2,3.5");
    free(text);
    gear_clear(&gear);
    gear_init(&gear, GEAR_PAPER);
    check_ok(gear_parse_steps(&gear, "6;6,5;7", &failure), &failure);
    check_close(gear.steps[1], 6.5, 0.0, "as typed");
    gear_clear(&gear);
    for (size_t i = 0; i < LENGTH(bad); i++) {
        gear_init(&gear, GEAR_PAPER);
        assert_true(gear_parse_steps(&gear, bad[i], &failure) != STATUS_OK);
        gear_clear(&gear);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(each_kind_has_its_own_numbers),
    cmocka_unit_test(paper_steps_rise_between_0_and_14),
};

const struct check_module test_record_gear = CHECK_MODULE("record/gear", tests);
