/* test_csv_row.c - the fields of a row as numbers, dates and texts. */
#include "csv_row.h"

#include "check.h"

static const struct csv_column columns[] = {{.name = "ph", .need = CSV_OPTIONAL},
                                            {.name = "batch", .need = CSV_VALUE},
                                            {.name = "note", .need = CSV_COLUMN}};
static const char *fields[] = {NULL, "", ""};
static const char *const headings[] = {NULL, "Batch no", "note"};

static struct csv_row
row_with(size_t column, const char *field)
{
    struct csv_row row = {
        .file = "spring.csv", .line = 7, .columns = columns, .fields = fields, .headings = headings};

    fields[0] = NULL;
    fields[1] = fields[2] = "";
    fields[column] = field;
    return row;
}

static const struct {
    const char *field;
    enum number_decimal decimal;
    double number;
} numbers[] = {
    {"9.87", NUMBER_POINT, 9.87}, {"9,87", NUMBER_COMMA, 9.87},  {"-1", NUMBER_POINT, -1},
    {"14", NUMBER_POINT, 14},     {"'-0.5", NUMBER_POINT, -0.5},
};

static void
numbers_are_read_with_the_decimal_sign_of_the_file(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(numbers); i++) {
        struct csv_row row = row_with(2, numbers[i].field);
        struct failure failure = {0};
        double number = NAN;

        row.decimal = numbers[i].decimal;
        check_ok(csv_in_number(&row, 2, -1, 14, &number, &failure), &failure);
        check_close(number, numbers[i].number, 0.0, "the field itself");
    }
}

static const struct {
    const char *field;
    enum status status;
    const char *text;
} refused[] = {
    {"21.5x", STATUS_FORMAT, "spring.csv:7: column 'note': '21.5x' is not a number"},
    {"9,87", STATUS_FORMAT, "spring.csv:7: column 'note': '9,87' is not a number with a decimal point"},
    {"14.01", STATUS_RANGE, "spring.csv:7: column 'note': is 14.01, allowed is -1 to 14"},
    {"-1.01", STATUS_RANGE, "spring.csv:7: column 'note': is -1.01, allowed is -1 to 14"},
    {"nan", STATUS_FORMAT, "spring.csv:7: column 'note': 'nan' is not a number"},
    {"9\n8", STATUS_FORMAT, "spring.csv:7: column 'note': '9\\n8' is not a number"},
    {"\x1b[31m", STATUS_FORMAT, "spring.csv:7: column 'note': '\\x1b[31m' is not a number"},
};

static void
messages_name_the_place_and_the_value(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(refused); i++) {
        struct csv_row row = row_with(2, refused[i].field);
        struct failure failure = {0};
        double number = -5.0;

        check_refused(csv_in_number(&row, 2, -1, 14, &number, &failure), refused[i].status, &failure);
        assert_string_equal(failure.text, refused[i].text);
        assert_true(number == -5.0);
    }
}

static void
a_unit_that_fits_may_stand_in_a_field(void **state)
{
    struct csv_row row = row_with(2, "9.87 pH");
    struct failure failure = {0};
    double number = NAN;

    (void)state;
    row.decimal = NUMBER_POINT;
    check_ok(csv_in_quantity(&row, 2, UNITS_PH, 0, 14, &number, &failure), &failure);
    check_close(number, 9.87, 0.0, "the field itself");
    row = row_with(2, "1,5 %");
    row.decimal = NUMBER_COMMA;
    check_ok(csv_in_quantity(&row, 2, UNITS_PERCENT, 0.01, 100, &number, &failure), &failure);
    check_close(number, 1.5, 0.0, "the field itself");
    row.decimal = NUMBER_POINT;
    row.has_options = true;
    check_refused(csv_in_quantity(&row, 2, UNITS_PERCENT, 0.01, 100, &number, &failure), STATUS_FORMAT,
                  &failure);
    check_contains(failure.text, "'1,5 %' is not a number with a decimal point (--decimal comma reads it)");
    check_refused(csv_in_quantity(&row, 2, UNITS_PH, 0, 14, &number, &failure), STATUS_FORMAT, &failure);
    check_contains(failure.text, "unit '%' does not fit, allowed is pH");
    check_refused(csv_in_number(&row, 2, 0, 14, &number, &failure), STATUS_FORMAT, &failure);
}

static void
empty_is_not_measured_unless_a_value_is_needed(void **state)
{
    struct csv_row row = row_with(2, "");
    struct failure failure = {0};
    const char *text = "untouched";
    double number = 1.0;
    int64_t whole = 1;
    civil_day day = 1;
    civil_time moment = 1;

    (void)state;
    check_ok(csv_in_number(&row, 0, 0, 14, &number, &failure), &failure);
    assert_true(isnan(number));
    check_ok(csv_in_integer(&row, 2, 0, 14, -9, &whole, &failure), &failure);
    assert_int_equal(whole, -9);
    check_ok(csv_in_day(&row, 2, &day, &failure), &failure);
    assert_int_equal(day, DAY_NONE);
    check_ok(csv_in_time(&row, 2, CSV_NO_COLUMN, &moment, &failure), &failure);
    assert_true(moment == MOMENT_NONE);
    check_refused(csv_in_text(&row, 1, &text, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "spring.csv:7: column 'Batch no': is empty");
    assert_string_equal(text, "untouched");
    check_ok(csv_in_text(&row, 2, &text, &failure), &failure);
    assert_null(text);
}

static void
whole_numbers_are_whole(void **state)
{
    struct csv_row row = row_with(2, "3");
    struct failure failure = {0};
    int64_t whole = 0;

    (void)state;
    check_ok(csv_in_integer(&row, 2, 1, 1000, 0, &whole, &failure), &failure);
    assert_int_equal(whole, 3);
    row = row_with(2, "3.5");
    check_refused(csv_in_integer(&row, 2, 1, 1000, 0, &whole, &failure), STATUS_FORMAT, &failure);
    check_contains(failure.text, "'3.5' is not a whole number");
    row = row_with(2, "1001");
    check_refused(csv_in_integer(&row, 2, 1, 1000, 0, &whole, &failure), STATUS_RANGE, &failure);
    assert_int_equal(whole, 3);
}

/* One mark is taken where csv_out.h, rule 4, puts one, and nowhere else. */
static void
exactly_one_mark_is_taken_away(void **state)
{
    static const struct {
        const char *field, *text;
    } known[] = {{"'=1+1", "=1+1"}, {"''=1", "'=1"}, {"''", "'"},     {"'", "'"},
                 {"'tis", "'tis"},  {"=1", "=1"},    {"'\tx", "\tx"}, {"'@x", "@x"}};

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct csv_row row = row_with(2, known[i].field);
        struct failure failure = {0};
        const char *text = NULL;

        check_ok(csv_in_text(&row, 2, &text, &failure), &failure);
        assert_string_equal(text, known[i].text);
    }
}

static void
texts_that_are_not_utf8_are_refused(void **state)
{
    struct csv_row row = row_with(2, "caf\xe9");
    struct failure failure = {0};
    const char *text = NULL;

    (void)state;
    check_refused(csv_in_text(&row, 2, &text, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text,
                        "spring.csv:7: column 'note': 'caf\\xe9' is not UTF-8 text; save the file as UTF-8");
}

static const struct {
    const char *field;
    enum csv_date_order order;
    const char *iso; /* NULL: refused */
} dates[] = {
    {"2026-03-04", CSV_DATE_CERTAIN, "2026-03-04"},
    {"2026-03-04", CSV_DATE_DAY_FIRST, "2026-03-04"},
    {"4.3.2026", CSV_DATE_DAY_FIRST, "2026-03-04"},
    {"04/03/2026", CSV_DATE_DAY_FIRST, "2026-03-04"},
    {"04-03-2026", CSV_DATE_DAY_FIRST, "2026-03-04"},
    {"3/4/2026", CSV_DATE_MONTH_FIRST, "2026-03-04"},
    {"3/4/2026 10:00", CSV_DATE_MONTH_FIRST, "2026-03-04T10:00"},
    {"4.3.2026T10:00:30", CSV_DATE_DAY_FIRST, "2026-03-04T10:00:30"},
    {"2026-03-04 10:00", CSV_DATE_CERTAIN, "2026-03-04T10:00"},
    {"3/4/2026", CSV_DATE_CERTAIN, NULL},
    {"4.3.26", CSV_DATE_DAY_FIRST, "2026-03-04"}, /* refused until dates were read as people write them */
    {"4 Mar 2026", CSV_DATE_CERTAIN, "2026-03-04"},
    {"4.4.2026", CSV_DATE_CERTAIN, "2026-04-04"},
    {"45678", CSV_DATE_MONTH_FIRST, "2025-01-21"},
    {"4.3/2026", CSV_DATE_DAY_FIRST, NULL},
    {"3/31/2026", CSV_DATE_DAY_FIRST, NULL},
    {"31.2.2026", CSV_DATE_DAY_FIRST, NULL},
    {"4.3.20260", CSV_DATE_DAY_FIRST, NULL},
    {"4.3.", CSV_DATE_DAY_FIRST, NULL},
    {"4", CSV_DATE_DAY_FIRST, NULL},
    {"yesterday", CSV_DATE_DAY_FIRST, NULL},
    {"2026-03-04 10:00 and much more", CSV_DATE_DAY_FIRST, NULL},
};

static void
dates_follow_the_order_of_the_file(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(dates); i++) {
        struct csv_row row = row_with(2, dates[i].field);
        struct failure failure = {0};
        civil_time moment = 5;
        char text[MOMENT_TEXT_SIZE];

        row.dates = dates[i].order;
        if (dates[i].iso == NULL) {
            check_refused(csv_in_time(&row, 2, CSV_NO_COLUMN, &moment, &failure), STATUS_FORMAT, &failure);
            check_contains(failure.text, "is not a date, expected ");
            assert_int_equal(moment, 5);
            continue;
        }
        check_ok(csv_in_time(&row, 2, CSV_NO_COLUMN, &moment, &failure), &failure);
        clock_moment_text(moment, text);
        assert_int_equal(strncmp(text, dates[i].iso, strlen(dates[i].iso)), 0);
    }
}

static void
a_time_may_stand_in_a_column_of_its_own(void **state)
{
    static const struct {
        const char *date, *time, *moment; /* NULL: refused */
    } cases[] = {
        {"2026-03-04", "10:05", "2026-03-04T10:05"}, {"2026-03-04", "9.30 Uhr", "2026-03-04T09:30"},
        {"2026-03-04", "", "2026-03-04T00:00"},      {"2026-03-04", "0,5", "2026-03-04T12:00"},
        {"2026-03-04", "half past ten", NULL},       {"2026-03-04", "1.5", NULL},
        {"2026-03-04 10:00", "10:05", NULL},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct csv_row row = row_with(1, cases[i].date);
        struct failure failure = {0};
        civil_time moment = 5;
        char text[MOMENT_TEXT_SIZE];

        fields[2] = cases[i].time;
        if (cases[i].moment == NULL) {
            check_refused(csv_in_time(&row, 1, 2, &moment, &failure), STATUS_FORMAT, &failure);
            check_contains(failure.text, "column 'note': ");
            continue;
        }
        check_ok(csv_in_time(&row, 1, 2, &moment, &failure), &failure);
        assert_string_equal(clock_moment_text(moment, text), cases[i].moment);
    }
}

static void
a_day_has_no_time(void **state)
{
    struct csv_row row = row_with(2, "2026-03-04T10:00");
    struct failure failure = {0};
    civil_day day = 5;

    (void)state;
    check_refused(csv_in_day(&row, 2, &day, &failure), STATUS_FORMAT, &failure);
    check_contains(failure.text, "has a time, expected a date alone");
    row = row_with(2, "1970-01-02");
    check_ok(csv_in_day(&row, 2, &day, &failure), &failure);
    assert_int_equal(day, 1);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(numbers_are_read_with_the_decimal_sign_of_the_file),
    cmocka_unit_test(messages_name_the_place_and_the_value),
    cmocka_unit_test(a_unit_that_fits_may_stand_in_a_field),
    cmocka_unit_test(empty_is_not_measured_unless_a_value_is_needed),
    cmocka_unit_test(whole_numbers_are_whole),
    cmocka_unit_test(exactly_one_mark_is_taken_away),
    cmocka_unit_test(texts_that_are_not_utf8_are_refused),
    cmocka_unit_test(dates_follow_the_order_of_the_file),
    cmocka_unit_test(a_time_may_stand_in_a_column_of_its_own),
    cmocka_unit_test(a_day_has_no_time),
};

const struct check_module test_exchange_csv_row = CHECK_MODULE("exchange/csv_row", tests);
