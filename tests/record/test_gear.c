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

static void
paper_steps_may_be_written_from_one_to_another(void **state)
{
    static const struct {
        const char *typed, *kept;
    } known[] = {
        {"1-14", "1,2,3,4,5,6,7,8,9,10,11,12,13,14"},
        {"1..14", "1,2,3,4,5,6,7,8,9,10,11,12,13,14"},
        {"1 to 14", "1,2,3,4,5,6,7,8,9,10,11,12,13,14"},
        {"0 - 3", "0,1,2,3"},
        {"5.5..7 by 0.5", "5.5,6,6.5,7"},
        {"6-7 by 0.2", "6,6.2,6.4,6.6,6.8,7"},
        {"5,5..7 by 0,5;8", "5.5,6,6.5,7,8"},
        {"1..3,3.5,4", "1,2,3,3.5,4"},
        {"14-1", NULL},
        {"1-15", NULL},
        {"1-2.5", NULL},
        {"1-", NULL},
        {"-14", NULL},
        {"1..4 by 0", NULL},
        {"1 by 2", NULL},
    };
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct gear gear;
        enum status status;
        char *text;

        gear_init(&gear, GEAR_PAPER);
        status = gear_parse_steps(&gear, known[i].typed, &failure);
        if (known[i].kept == NULL) {
            assert_true(status != STATUS_OK);
            check_contains(failure.text, "steps are written 1-14, 5.5..9 by 0.5 or 4.5,5,6: ");
        } else {
            check_ok(status, &failure);
            text = gear_steps_text(&gear);
            assert_string_equal(text, known[i].kept);
            free(text);
        }
        gear_clear(&gear);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(paper_steps_may_be_written_from_one_to_another),
    cmocka_unit_test(each_kind_has_its_own_numbers),
    cmocka_unit_test(paper_steps_rise_between_0_and_14),
};

const struct check_module test_record_gear = CHECK_MODULE("record/gear", tests);
