/* test_clock.c - dates and times. */
#include "check.h"
#include "clock.h"

static void
days_are_counted_as_the_calendar_counts_them(void **state)
{
    /* Day numbers: 1970-01-01 is 0 by definition; 2000-03-01 is 11017 and 2026-11-25 is 20782
     * (POSIX seconds since the Epoch divided by 86400). */
    static const struct {
        const char *text;
        civil_day day;
    } known[] = {{"1970-01-01", 0},
                 {"1969-12-31", -1},
                 {"2000-03-01", 11017},
                 {"2026-11-25", 20782},
                 {"1900-01-01", -25567}};

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        char text[DAY_TEXT_SIZE];
        civil_day day = DAY_NONE;

        check_ok(clock_parse_day(known[i].text, &day, &failure), &failure);
        assert_int_equal(day, known[i].day);
        assert_string_equal(clock_day_text(day, text), known[i].text);
    }
}

static void
what_is_no_date_is_refused(void **state)
{
    static const char *const bad[] = {"",           "2026",       "2026-2-3",   "2026-02-30",
                                      "2026-13-01", "2025-02-29", "02.03.2026", "2026-03-02x",
                                      "1899-12-31", "3000-01-01", "2026-00-10"};

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct failure failure = {0};
        civil_day day = 7;

        check_refused(clock_parse_day(bad[i], &day, &failure), STATUS_FORMAT, &failure);
        check_contains(failure.text, "expected YYYY-MM-DD");
        assert_int_equal(day, 7);
    }
}

static void
moments_read_and_show_alike(void **state)
{
    static const char *const same[] = {"2026-03-04T10:00", "2026-03-04T10:00:30", "2024-02-29T23:59:59",
                                       "1969-12-31T23:59"};
    struct failure failure = {0};
    char text[MOMENT_TEXT_SIZE];
    civil_time moment = 0;

    (void)state;
    for (size_t i = 0; i < LENGTH(same); i++) {
        check_ok(clock_parse_moment(same[i], &moment, &failure), &failure);
        assert_string_equal(clock_moment_text(moment, text), same[i]);
    }
    check_ok(clock_parse_moment("2026-03-04 10:00", &moment, &failure), &failure);
    assert_string_equal(clock_moment_text(moment, text), "2026-03-04T10:00");
    check_ok(clock_parse_moment("2026-03-04", &moment, &failure), &failure);
    assert_string_equal(clock_moment_text(moment, text), "2026-03-04T00:00");
    check_refused(clock_parse_moment("2026-03-04T24:00", &moment, &failure), STATUS_FORMAT, &failure);
    check_refused(clock_parse_moment("2026-03-04T1000", &moment, &failure), STATUS_FORMAT, &failure);
    check_refused(clock_parse_moment("2026-03-04T", &moment, &failure), STATUS_FORMAT, &failure);
}

static void
days_between_moments_have_parts(void **state)
{
    (void)state;
    check_close(clock_days_between(86400, 216000), 1.5, 0.0, "a day has 24 hours");
    check_close(clock_days_between(216000, 86400), -1.5, 0.0, "backwards");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(days_are_counted_as_the_calendar_counts_them),
    cmocka_unit_test(what_is_no_date_is_refused),
    cmocka_unit_test(moments_read_and_show_alike),
    cmocka_unit_test(days_between_moments_have_parts),
};

const struct check_module test_base_clock = CHECK_MODULE("base/clock", tests);
