/* test_csv_near.c - which column a heading may stand for: the rule of csv_near.h, which is the job's own. */
#include "check.h"
#include "csv_near.h"
#include "text.h"

static const char *const names[] = {"batch",  "made_on",       "taken_at",          "gear", "ph",
                                    "ph_low", "temperature_c", "concentration_pct", "note"};

static void
the_nearest_comes_first(void **state)
{
    static const struct {
        const char *heading, *near;
    } cases[] = {
        {"percent", "concentration_pct"},
        {"Percent", "concentration_pct"},
        {"soap_pct", "concentration_pct"},
        {"noet", "note"},
        {"Meter pH", "ph gear ph_low"},
        {"Date", "taken_at note"},
        {"taken at", "taken_at"},
        {"temp.", "temperature_c"},
        {"made", "made_on"},
        {"Colour", ""},
        {"", ""},
        {"  ", ""},
        {"x_c", ""},
        {"pH2", "ph"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        const char *near[3];
        size_t count = csv_near(cases[i].heading, names, LENGTH(names), near, LENGTH(near));
        struct text text = {0};

        for (size_t k = 0; k < count; k++)
            text_addf(&text, "%s%s", k == 0 ? "" : " ", near[k]);
        if (strcmp(text_of(&text), cases[i].near) != 0)
            print_error("%s\n", cases[i].heading);
        assert_string_equal(text_of(&text), cases[i].near);
        text_clear(&text);
    }
}

static void
no_more_than_there_is_room_for(void **state)
{
    const char *near[1] = {NULL};

    (void)state;
    assert_int_equal(csv_near("Meter pH", names, LENGTH(names), near, 0), 0);
    assert_null(near[0]);
    assert_int_equal(csv_near("Meter pH", names, LENGTH(names), near, 1), 1);
    assert_int_equal(csv_near("ph", names, 0, near, 1), 0);
}

static const struct csv_column columns[] = {{.name = "batch", .need = CSV_VALUE},
                                            {.name = "gear", .need = CSV_OPTIONAL},
                                            {.name = "ph", .need = CSV_COLUMN},
                                            {.name = "ph_low", .need = CSV_OPTIONAL},
                                            {.name = "concentration_pct", .need = CSV_OPTIONAL}};

static void
other_names_are_checked(void **state)
{
    static const struct {
        const char *text, *message;
    } wrong[] = {
        {"ph", "'ph' is not of the form COLUMN=HEADING"},
        {"=x", "'=x' is not of the form COLUMN=HEADING"},
        {"ph=", "'ph=' is not of the form COLUMN=HEADING"},
        {"bathc=x", "'bathc' is no known column, did you mean 'batch'?"},
        {"soap_pct=x", "'soap_pct' is no known column, did you mean 'concentration_pct'?"},
        {"meter ph=x", "'meter ph' is no known column, near it are ph, gear, ph_low"},
        {"colour=x", "'colour' is no known column, there are batch, gear, ph, ph_low, concentration_pct"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(wrong); i++) {
        struct csv_rename rename = {0};
        struct failure failure = {0};

        check_refused(csv_rename_parse(wrong[i].text, columns, LENGTH(columns), &rename, &failure),
                      STATUS_USAGE, &failure);
        assert_string_equal(failure.text, wrong[i].message);
        assert_null(rename.heading);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_nearest_comes_first),
    cmocka_unit_test(other_names_are_checked),
    cmocka_unit_test(no_more_than_there_is_room_for),
};

const struct check_module test_exchange_csv_near = CHECK_MODULE("exchange/csv_near", tests);
