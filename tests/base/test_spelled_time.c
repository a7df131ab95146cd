/* test_spelled_time.c - dates and times as people and spreadsheets write them. */
#include "spelled_time.h"

#include "check.h"

/* What a text means is what a person who writes like that means by it; the day numbers are those that OpenDocument
 * (OpenFormula 1.2, section 4.3.2, with the null date 1899-12-30) counts: 36526 is 2000-01-01, 45678 is 2025-01-21. */
static const struct {
    const char *text, *meaning;
} certain[] = {
    {"2026-03-04", "2026-03-04"},
    {"2026-03-04T10:05", "2026-03-04T10:05"},
    {"2026-03-04 10:05:30", "2026-03-04T10:05:30"},
    {"2026-3-4", "2026-03-04"},
    {"2026/03/04", "2026-03-04"},
    {"2026.03.04", "2026-03-04"},
    {"20260304", "2026-03-04"},
    {"15 Mar 2025", "2025-03-15"},
    {"15 march 2025 9:05", "2025-03-15T09:05"},
    {"15. März 2025", "2025-03-15"},
    {"15.Mrz.25", "2025-03-15"},
    {"15-Mar-25", "2025-03-15"},
    {"1 Dez 2024", "2024-12-01"},
    {"3 août 2024", "2024-08-03"},
    {"7 sept. 2024", "2024-09-07"},
    {"Mar 15, 2025", "2025-03-15"},
    {"March 15 2025, 3:15 pm", "2025-03-15T15:15"},
    {"15.2.2025", "2025-02-15"},
    {"15.2.25", "2025-02-15"},
    {"15. 2. 2025", "2025-02-15"},
    {"15.02.2025 10:10", "2025-02-15T10:10"},
    {"15.02.2025, 10.10 Uhr", "2025-02-15T10:10"},
    {"2/15/2025", "2025-02-15"},
    {"2/15/2025 12:00 AM", "2025-02-15T00:00"},
    {"2/15/2025 12:01 pm", "2025-02-15T12:01"},
    {"4.4.2026", "2026-04-04"},
    {" 15.2.2025 ", "2025-02-15"},
    {"36526", "2000-01-01"},
    {"45678", "2025-01-21"},
    {"45678.5", "2025-01-21T12:00"},
    {"45678,4236111111", "2025-01-21T10:10"},
};

static void
what_can_be_read_one_way_is_read(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(certain); i++) {
        struct spelled_time spelled;
        char text[MOMENT_TEXT_SIZE], day[DAY_TEXT_SIZE];
        civil_time moment;

        if (!spelled_time_read(certain[i].text, true, &spelled))
            fail_msg("'%s' is not read", certain[i].text);
        moment = spelled.moment[0] == MOMENT_NONE ? spelled.moment[1] : spelled.moment[0];
        if (spelled.moment[0] != MOMENT_NONE && spelled.moment[1] != MOMENT_NONE)
            assert_true(spelled_time_certain(&spelled));
        assert_string_equal(
            spelled.whole_day ? clock_day_text(clock_day_of(moment), day) : clock_moment_text(moment, text),
            certain[i].meaning[10] == '\0' || !spelled.whole_day ? certain[i].meaning : "a time");
    }
}

static void
only_an_order_tells_what_others_mean(void **state)
{
    static const struct {
        const char *text, *day_first, *month_first; /* NULL: none in that order */
    } cases[] = {
        {"3.4.2026", "2026-04-03", "2026-03-04"},   {"3/4/26", "2026-04-03", "2026-03-04"},
        {"03-04-2026", "2026-04-03", "2026-03-04"}, {"13/4/2026", "2026-04-13", NULL},
        {"4/13/2026", NULL, "2026-04-13"},          {"30.2.2026", NULL, NULL},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        const char *const wanted[] = {cases[i].day_first, cases[i].month_first};
        struct spelled_time spelled = {{MOMENT_NONE, MOMENT_NONE}, true};
        char day[DAY_TEXT_SIZE];

        assert_int_equal(spelled_time_read(cases[i].text, false, &spelled),
                         wanted[0] != NULL || wanted[1] != NULL);
        for (int order = 0; order < SPELLED_ORDERS; order++)
            assert_string_equal(clock_day_text(clock_day_of(spelled.moment[order]), day),
                                wanted[order] == NULL ? "" : wanted[order]);
    }
}

static void
what_is_no_date_is_not_read(void **state)
{
    static const char *const bad[] = {
        "",
        "yesterday",
        "2026",
        "2026-02-30",
        "2026-03-04x",
        "15 Mra 2025",
        "15.2",
        "15.2.2",
        "15.2.20255",
        "15/2-2025",
        "32.1.2026",
        "15.2.2025 25:00",
        "15.2.2025 10",
        "15.2.2025 13:00 pm",
        "9-10",
        "1234567",
        "32873",
        "73051",
        "45678.5x",
        "-45678",
        "15 Marmalade 2025",
        "ma 15 2025",
        "15.2.2025 10:1",
        "1er",
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct spelled_time spelled = {{7, 7}, true};

        if (spelled_time_read(bad[i], true, &spelled))
            fail_msg("'%s' is read", bad[i]);
        assert_true(spelled.moment[0] == 7);
    }
    assert_false(spelled_time_read("45678", false, &(struct spelled_time){{7, 7}, true}));
}

static void
times_of_day_alone(void **state)
{
    static const struct {
        const char *text;
        int seconds;
    } cases[] = {{"10:00", 36000}, {"9:05", 32700}, {"10.15", 36900},    {"10h15", 36900}, {"10 Uhr", 36000},
                 {"3pm", 54000},   {"12 am", 0},    {"23:59:59", 86399}, {"10", -1},       {"24:00", -1},
                 {"10:60", -1},    {"", -1},        {"noon", -1},        {"10:00 oh", -1}, {"0 pm", -1}};

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++)
        if (spelled_time_of_day(cases[i].text) != cases[i].seconds)
            fail_msg("'%s' is read as %d", cases[i].text, spelled_time_of_day(cases[i].text));
}

/* 2026-11-28 was a Saturday by any calendar; the rest is the definition of the words. */
static void
what_is_typed_is_read_at_its_time(void **state)
{
    static const struct {
        const char *text, *means;
        bool whole_day;
    } good[] = {{"today", "2026-11-28T00:00", true},       {" Yesterday ", "2026-11-27T00:00", true},
                {"today 9:05", "2026-11-28T09:05", false}, {"yesterday, 22:10", "2026-11-27T22:10", false},
                {"28.11.2026", "2026-11-28T00:00", true},  {"28.11.2026 10:10", "2026-11-28T10:10", false},
                {"3.4.2026", "2026-04-03T00:00", true}, /* full stops: the day first */
                {"20/07/2026", "2026-07-20T00:00", true},  {"07/20/2026", "2026-07-20T00:00", true},
                {"05/05/2026", "2026-05-05T00:00", true},  {"2026-03-04T10:00", "2026-03-04T10:00", false},
                {"15 Mar 2025", "2025-03-15T00:00", true}};
    static const struct {
        const char *text, *says;
    } bad[] = {{"03/07/2026", "can be read two ways: write 2026-07-03 or 2026-03-07"},
               {"3-7-26 10:10", "write 2026-07-03T10:10 or 2026-03-07T10:10"},
               {"31/31/2026", "is not a date, expected YYYY-MM-DD"},
               {"todays", "is not a date"},
               {"tomorrow", "is not a date"},
               {"45678", "is not a date"},
               {"today at ten", "is not a date"}};
    struct failure failure = {0};
    civil_time now, moment = 7;
    bool whole_day = false;
    char text[MOMENT_TEXT_SIZE];

    (void)state;
    check_ok(clock_parse_moment("2026-11-28T16:00", &now, &failure), &failure);
    for (size_t i = 0; i < LENGTH(good); i++) {
        check_ok(spelled_time_typed(good[i].text, now, &moment, &whole_day, &failure), &failure);
        assert_string_equal(clock_moment_text(moment, text), good[i].means);
        assert_int_equal(whole_day, good[i].whole_day);
    }
    moment = 7;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        check_refused(spelled_time_typed(bad[i].text, now, &moment, &whole_day, &failure), STATUS_FORMAT,
                      &failure);
        check_contains(failure.text, bad[i].says);
        assert_true(moment == 7);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(what_is_typed_is_read_at_its_time),
    cmocka_unit_test(what_can_be_read_one_way_is_read),
    cmocka_unit_test(only_an_order_tells_what_others_mean),
    cmocka_unit_test(what_is_no_date_is_not_read),
    cmocka_unit_test(times_of_day_alone),
};
const struct check_module test_base_spelled_time = CHECK_MODULE("base/spelled_time", tests);
