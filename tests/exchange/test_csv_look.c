/* test_csv_look.c - how a CSV file is written, found out from its rows. */
#include "csv_look.h"

#include <stdlib.h>

#include "check.h"
#include "memory.h"

static const struct csv_column columns[] = {{.name = "batch", .need = CSV_VALUE},
                                            {.name = "taken_at", .need = CSV_VALUE, .holds = CSV_TIME},
                                            {.name = "ph", .need = CSV_OPTIONAL, .holds = CSV_NUMBER}};

static FILE *
open_text(const char *text)
{
    FILE *file = tmpfile();

    assert_non_null(file);
    fputs(text, file);
    rewind(file);
    return file;
}

static const struct {
    const char *file;
    size_t line;
    char separator;
    size_t headings;
} found[] = {
    {"batch,taken_at,ph\nA,2026-03-04,9.8\n", 1, ',', 3},
    {"batch;taken_at;ph\nA;2026-03-04;9,8\n", 1, ';', 3},
    {"\xef\xbb\xbf"
     "batch\ttaken_at\tph\n",
     1, '\t', 3},
    {"Soap, 2023, 2024 and 2025\n\nbatch;taken_at;ph;x\nA;2026-03-04;9,8;\n", 3, ';', 4},
    {"Soap \"old\" book;;\r\n;;\r\nbatch;taken_at;ph\r\n", 3, ';', 3},
    {"\"Soap\nof 2023\",,\nbatch,taken_at,ph\n", 3, ',', 3},
    {"Charge;Tag;Wert\nS-01;1.2.2023;9,8\n", 1, ';',
     3}, /* nothing is wanted: the first row of several values */
    {"Book\nCharge;Tag;Wert\nS-01;1.2.2023;9,8\n", 2, ';', 3},
    {"Charge;ph\nS;9\n", 1, ';', 2}, /* one name alone proves nothing */
    {"", 0, '\0', 0},
    {"batch\nA\n", 0, '\0', 0},
};

static void
the_headings_are_found_with_their_separator(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(found); i++) {
        FILE *file = open_text(found[i].file);
        struct csv_layout layout = {.columns = columns, .columns_length = LENGTH(columns)};
        struct csv_look look;

        csv_look_heading(file, &layout, &look);
        assert_int_equal(look.heading_line, found[i].line);
        assert_int_equal(look.separator, found[i].separator);
        assert_int_equal(look.heading_count, found[i].headings);
        assert_int_equal(ftell(file), 0);
        csv_look_clear(&look);
        fclose(file);
    }
}

static const struct {
    const char *rows;
    enum csv_date_order dates;
    enum number_decimal decimal;
    const char *problem; /* NULL: all is clear */
} rows[] = {
    {"A;2026-03-04;9.8\n", CSV_DATE_CERTAIN, NUMBER_POINT, NULL},
    {"A;3.4.2025;9.8\nA;13.4.2025;9,8\n", CSV_DATE_DAY_FIRST, NUMBER_POINT,
     "old.csv: which is the decimal sign? Line 2 has '9.8', line 3 '9,8'; --decimal point or --decimal comma "
     "says which "
     "is right"},
    {"A;3.4.2025;9,8\nA;4/13/2025;9\n", CSV_DATE_MONTH_FIRST, NUMBER_COMMA, NULL},
    {"A;15.2.25;9,8\nA;15 Mar 2025;9,75\nA;45678;10\n", CSV_DATE_DAY_FIRST, NUMBER_COMMA, NULL},
    {"A;4.4.2025;9\nA;5 May 2025;9\n", CSV_DATE_CERTAIN, NUMBER_POINT, NULL},
    {"A;3.4.2025;9\nA;5.6.2025;9\n", CSV_DATE_DAY_FIRST, NUMBER_POINT,
     "old.csv: which part of a date is the day? '3.4.2025' in line 2, and all others, can be read both ways; "
     "--date-order dmy says the day comes first, --date-order mdy the month"},
    {"A;13.4.2025;9\nA;4/13/2025;9\nA;14.4.2025;9\n", CSV_DATE_DAY_FIRST, NUMBER_POINT,
     "old.csv: which part of a date is the day? Line 2 has '13.4.2025', with the day first, line 3 "
     "'4/13/2025', with "
     "the month first; --date-order dmy or --date-order mdy says which is right"},
    {"A;2026-03-04;1,250\n", CSV_DATE_CERTAIN, NUMBER_COMMA,
     "old.csv: is '1,250' in line 2 a number with decimals, or thousands? --decimal comma says decimals; "
     "thousands are "
     "written without a mark"},
    {"A;2026-03-04;1,250\nA;2026-03-04;9,8\n", CSV_DATE_CERTAIN, NUMBER_COMMA, NULL},
    {"A;2026-03-04;0,250\n", CSV_DATE_CERTAIN, NUMBER_COMMA, NULL},
    {"A;yesterday;nine\n", CSV_DATE_CERTAIN, NUMBER_POINT, NULL}, /* said when the row is taken */
};

static void
all_rows_tell_how_dates_and_numbers_are_written(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(rows); i++) {
        char *text = text_format("batch;taken_at;ph\n%s", rows[i].rows);
        FILE *file = open_text(text);
        struct csv_layout layout = {.columns = columns, .columns_length = LENGTH(columns), .separator = ';'};
        struct problems problems = {0};

        csv_look_rows(file, "old.csv", &layout, true, true, &problems);
        assert_int_equal(layout.dates, rows[i].dates);
        assert_int_equal(layout.decimal, rows[i].decimal);
        assert_int_equal(problems.count, rows[i].problem != NULL);
        if (rows[i].problem != NULL)
            assert_string_equal(problems.texts[0], rows[i].problem);
        problems_clear(&problems);
        fclose(file);
        free(text);
    }
}

static void
what_is_told_is_not_found_out(void **state)
{
    FILE *file = open_text("batch;taken_at;ph\nA;13.4.2025;9,8\n");
    struct csv_layout layout = {.columns = columns,
                                .columns_length = LENGTH(columns),
                                .separator = ';',
                                .dates = CSV_DATE_MONTH_FIRST,
                                .decimal = NUMBER_POINT};
    struct problems problems = {0};

    (void)state;
    csv_look_rows(file, "old.csv", &layout, false, false, &problems);
    assert_int_equal(layout.dates, CSV_DATE_MONTH_FIRST);
    assert_int_equal(layout.decimal, NUMBER_POINT);
    assert_int_equal(problems.count, 0);
    fclose(file);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_headings_are_found_with_their_separator),
    cmocka_unit_test(all_rows_tell_how_dates_and_numbers_are_written),
    cmocka_unit_test(what_is_told_is_not_found_out),
};
const struct check_module test_exchange_csv_look = CHECK_MODULE("exchange/csv_look", tests);
