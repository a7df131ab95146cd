/* test_number.c - text to number and back. */
#include <locale.h>

#include "check.h"
#include "number.h"

static const struct {
    const char *text;
    enum number_decimal decimal;
    double number;
} good[] = {
    {"9.85", NUMBER_POINT, 9.85},
    {"9,85", NUMBER_COMMA, 9.85},
    {"9,85", NUMBER_POINT_OR_COMMA, 9.85},
    {"9.85", NUMBER_POINT_OR_COMMA, 9.85},
    {"-1e-3", NUMBER_POINT, -0.001},
    {"+7", NUMBER_POINT, 7.0},
    {".5", NUMBER_POINT, 0.5},
    {"5.", NUMBER_POINT, 5.0},
};

static const struct {
    const char *text;
    enum number_decimal decimal;
} bad[] = {
    {"", NUMBER_POINT},
    {" 9", NUMBER_POINT},
    {"9 ", NUMBER_POINT},
    {"9.8x", NUMBER_POINT},
    {"9,8", NUMBER_POINT},
    {"9.8", NUMBER_COMMA},
    {"1,234.5", NUMBER_POINT_OR_COMMA},
    {"1,2,3", NUMBER_POINT_OR_COMMA},
    {"0x10", NUMBER_POINT},
    {"inf", NUMBER_POINT},
    {"nan", NUMBER_POINT},
    {"1e999", NUMBER_POINT},
    {"e5", NUMBER_POINT},
    {".", NUMBER_POINT},
    {"--5", NUMBER_POINT},
    {"5e", NUMBER_POINT},
};

static void
whole_fields_become_numbers(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(good); i++) {
        struct failure failure = {0};
        double number = NAN;

        check_ok(number_parse(good[i].text, good[i].decimal, &number, &failure), &failure);
        check_close(number, good[i].number, 0.0, "the text itself");
    }
}

static void
anything_else_is_refused_and_the_result_left_alone(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct failure failure = {0};
        double number = -5.0;

        check_refused(number_parse(bad[i].text, bad[i].decimal, &number, &failure), STATUS_FORMAT, &failure);
        assert_true(number == -5.0);
    }
}

static void
range_is_spelled_out(void **state)
{
    struct failure failure = {0};
    double number = -5.0;

    (void)state;
    check_ok(number_parse_in("14", NUMBER_POINT, "ph", 0, 14, &number, &failure), &failure);
    check_ok(number_parse_in("0", NUMBER_POINT, "ph", 0, 14, &number, &failure), &failure);
    check_refused(number_parse_in("15", NUMBER_POINT, "ph", 0, 14, &number, &failure), STATUS_RANGE,
                  &failure);
    assert_string_equal(failure.text, "ph is 15, allowed is 0 to 14");
    assert_true(number == 0.0);
}

static void
shortest_text_reads_back_unchanged(void **state)
{
    static const double numbers[] = {9.87, 0.1, 1.0 / 3.0, 1e-300, 12345678.9, 0.1 + 0.2, -0.0, 5e-324};
    char text[NUMBER_TEXT_SIZE];

    (void)state;
    assert_string_equal(number_format(9.87, text), "9.87");
    assert_string_equal(number_format(NAN, text), "");
    assert_string_equal(number_format(0.0, text), "0");
    for (size_t i = 0; i < LENGTH(numbers); i++) {
        struct failure failure = {0};
        double back = NAN;

        check_ok(number_parse(number_format(numbers[i], text), NUMBER_POINT, &back, &failure), &failure);
        assert_true(back == numbers[i]);
    }
}

/* The C library is the judge: the first of 15, 16 and 17 digits that strtod() reads back as the same. */
static void
shortest_text_is_the_one_printf_finds(void **state)
{
    char text[NUMBER_TEXT_SIZE], expected[NUMBER_TEXT_SIZE];

    (void)state;
    srand(1);
    for (int i = 0; i < 200000; i++) {
        double number = (rand() - RAND_MAX / 2) / pow(10.0, rand() % 16);

        number = i % 5 == 0 ? number / 3.0 : number;
        for (int digits = 15; digits <= 17; digits++) {
            snprintf(expected, sizeof expected, "%.*g", digits, number);
            if (strtod(expected, NULL) == number)
                break;
        }
        assert_string_equal(number_format(number, text), expected);
    }
}

static void
signed_numbers_have_fixed_decimals_and_no_negative_zero(void **state)
{
    static const struct {
        double number;
        int decimals;
        const char *text;
    } known[] = {
        {-0.0514, 2, "-0.05"}, {0.123, 2, "+0.12"},    {-0.004, 2, "0.00"},
        {0.004, 2, "0.00"},    {0.0, 2, "0.00"},       {-0.0, 3, "0.000"},
        {-0.0051, 2, "-0.01"}, {12.5, 0, "+12"},       {-0.4, 0, "0"},
        {100, 1, "+100.0"},    {-INFINITY, 2, "-inf"}, {1e20, 0, "+100000000000000000000"},
    };
    char text[NUMBER_TEXT_SIZE];

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++)
        assert_string_equal(number_signed(known[i].number, known[i].decimals, text), known[i].text);
    check_contains(number_signed(NAN, 2, text), "nan");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(whole_fields_become_numbers),
    cmocka_unit_test(anything_else_is_refused_and_the_result_left_alone),
    cmocka_unit_test(range_is_spelled_out),
    cmocka_unit_test(shortest_text_reads_back_unchanged),
    cmocka_unit_test(shortest_text_is_the_one_printf_finds),
    cmocka_unit_test(signed_numbers_have_fixed_decimals_and_no_negative_zero),
};

const struct check_module test_base_number = CHECK_MODULE("base/number", tests);
