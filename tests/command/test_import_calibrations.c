/* test_import_calibrations.c - "import calibrations": buffers from old years judge the readings that are there. */
#include <stdlib.h>

#include "check.h"
#include "kitchen.h"
#include "memory.h"
#include "text.h"

static char *
import_line(const struct kitchen *kitchen, const char *content, const char *rest)
{
    return kitchen_import_line(kitchen, "calibrations", "buffers.csv", content, rest);
}

static void
import_well(struct kitchen *kitchen, const char *content, const char *rest, const char *said)
{
    char *line = import_line(kitchen, content, rest);

    kitchen_do(kitchen, line);
    check_contains(kitchen->out, said);
    free(line);
}

static void
furnish(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02");
    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02");
}

/* A row a buffer, in any order of time, and a column a buffer: the same calibrations. */
static const char one_a_row[] = "meter,taken_at,purpose,buffer,temperature_c,displayed_ph,potential_mv,note\n"
                                "bench,2026-03-09T16:00,check,borax,25,9.19,,after\n"
                                "bench,2026-03-09T09:00,,borax,25,9.18,,fresh\n"
                                "bench,2026-03-09T09:00,,lime water,25,12.45,,\n"
                                "bench,2026-03-01,,phosphate,25,,5.0,\nbench,2026-03-01,,borax,25,,-130.0,\n";
static const char one_a_column[] = "Tag;um;was;Borax;lime water;phosphate;temperature_c\n"
                                   "9.3.2026;16.00;check;9,19;;;25\n9.3.2026;9:00;;9,18;12,45;;25\n"
                                   "1.3.26;;;-130,0mV;;5,0 mV;25\n13.2.26;;;9,18;12,45;;25\n";

static void
calibrations_come_in_once_in_the_order_of_time(void **state)
{
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    import_well(kitchen, one_a_row, "--check", "3 calibrations would be added; nothing was changed\n");
    import_well(kitchen, one_a_row, "", "3 calibrations added\n");
    import_well(kitchen, one_a_row, "", "0 calibrations added, 3 were there already\n");
    import_well(kitchen, one_a_column, "--column taken_at=Tag --column time=um --column purpose=was",
                "1 calibrations added, 3 were there already\n");
    kitchen_do(kitchen, "gear show bench");
    check_contains(kitchen->out, "2026-03-01T00:00  calibration");
    check_contains(kitchen->out, "2026-03-09T16:00  check");
    check_contains(kitchen->out, "0.010 pH fr"); /* 9.19 where 9.18 was shown */
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
}

/* Order does not matter: buffers that come after the readings judge them as if they had come before. */
static void
readings_that_are_there_are_judged_by_what_comes_later(void **state)
{
    static const char read[] = "read W-07 --water distilled --at 2026-03-09T10:00 --meter bench --ph 11.60 "
                               "--temperature-c 40 --percent 1";
    static const char *const verdict = "verdict W-07 --all";
    struct kitchen *kitchen = *state;
    char *before;

    furnish(kitchen);
    import_well(kitchen, one_a_row, "", "3 calibrations added\n");
    kitchen_do(kitchen, read);
    kitchen_do(kitchen, verdict);
    before = memory_copy(kitchen->out);
    kitchen_other_notebook(kitchen);
    furnish(kitchen);
    kitchen_do(kitchen, read);
    import_well(kitchen, one_a_row, "", "3 calibrations added\n");
    kitchen_do(kitchen, verdict);
    assert_string_equal(kitchen->out, before);
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "held");
    free(before);
}

static void
all_that_is_wrong_is_listed(void **state)
{
    static const char bad[] = "meter,taken_at,buffer,temperature_c,displayed_ph,own_routine\n"
                              "other,2026-03-01,borax,25,9.18,\n"
                              "bench,2026-03-02,boraks,25,9.18,\n"
                              "bench,2026-03-03,borax,,9.18,\n"
                              "bench,2026-03-04,borax,25,,\n"
                              "bench,2026-03-05,borax,25,9.18,maybe\n"
                              "bench,2099-03-06,borax,25,9.18,\n"
                              "bench,2026-03-07,,25,9.18,\n"
                              "bench,2026-03-08,borax,25,19.18,\n"
                              "bench,2026-03-08,borax,25,9.18,yes\n";
    static const char *const parts[] = {
        "buffers.csv:2: column 'meter': there is no meter 'other'",
        "buffers.csv:3: column 'buffer': ",
        "buffers.csv:4: column 'temperature_c': is empty: the buffer's temperature is needed",
        "buffers.csv:5: column 'buffer': what did the meter show in it?",
        "buffers.csv:6: column 'own_routine': 'maybe' is neither yes nor no",
        "buffers.csv:7: column 'taken_at': is in the future",
        "buffers.csv:8: column 'buffer': no buffer is named",
        "buffers.csv:9: column 'displayed_ph': is 19.18, allowed is 0 to 14",
        "buffers.csv:10: column 'buffer': the meter's own routine has no values",
    };
    struct kitchen *kitchen = *state;
    char *line = import_line(kitchen, bad, "");

    furnish(kitchen);
    assert_int_not_equal(kitchen_run(kitchen, line), STATUS_OK);
    check_contains(kitchen->failure.text, "nothing was imported: 9 problems in ");
    for (size_t i = 0; i < LENGTH(parts); i++)
        check_contains(kitchen->err, parts[i]);
    kitchen_do(kitchen, "gear show bench");
    check_contains(kitchen->out, "not calibrated yet");
    free(line);
}

/* Said only once the rows are put together: other values at a known time, and a check of nothing. */
static void
what_contradicts_the_notebook_is_refused(void **state)
{
    struct kitchen *kitchen = *state;
    char *line;

    furnish(kitchen);
    line = import_line(kitchen, "taken_at,purpose,borax,temperature_c\n2026-03-09,check,9.18,25\n", "");
    kitchen_refuses(kitchen, line, "buffers.csv:2: bench has no calibration that this could check");
    free(line);
    import_well(kitchen, one_a_row, "", "3 calibrations added\n");
    line = import_line(kitchen, "taken_at,borax,temperature_c\n2026-03-01,9.10,25\n2026-03-03,9.18,25\n", "");
    kitchen_refuses(kitchen, line, "buffers.csv:2: the notebook has one of that time with other values");
    free(line);
}

static void
the_meters_own_routine_names_its_buffers(void **state)
{
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    import_well(kitchen, "taken_at,own_routine,10.01,7.00,4.00\n2026-03-01,yes,x,x,no\n", "",
                "1 calibrations added\n");
    kitchen_do(kitchen, "gear show bench");
    check_contains(kitchen->out, "2026-03-01T00:00  own routine");
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(calibrations_come_in_once_in_the_order_of_time),
    KITCHEN_TEST(readings_that_are_there_are_judged_by_what_comes_later),
    KITCHEN_TEST(all_that_is_wrong_is_listed),
    KITCHEN_TEST(what_contradicts_the_notebook_is_refused),
    KITCHEN_TEST(the_meters_own_routine_names_its_buffers),
};
const struct check_module test_command_import_calibrations =
    CHECK_MODULE("command/import_calibrations", tests);
