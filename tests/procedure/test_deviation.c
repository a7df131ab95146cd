/* test_deviation.c - what is outside a tolerance; its ends are inside. */
#include "check.h"
#include "deviation.h"

static const struct procedure usual = {.temperature_c = 40,
                                       .temperature_tolerance_c = 2,
                                       .concentration_pct = 1,
                                       .concentration_tolerance_pct = 0.02};

static void
check_words(char *words, const char *expected)
{
    if (expected == NULL)
        assert_null(words);
    else
        assert_string_equal(words == NULL ? "(none)" : words, expected);
    free(words);
}

static void
a_target_has_a_tolerance(void **state)
{
    struct step step = {.kind = STEP_TEMPERATURE, .target = 40, .tolerance = 2};

    (void)state;
    check_words(deviation_of_value(&usual, &step, 42, NULL), NULL);
    check_words(deviation_of_value(&usual, &step, 38, NULL), NULL);
    check_words(deviation_of_value(&usual, &step, 42.1, NULL), "42.1 degC is outside 38 to 42 degC");
    check_words(deviation_of_value(&usual, &step, 37.9, NULL), "37.9 degC is outside 38 to 42 degC");
    step.tolerance = NAN;
    check_words(deviation_of_value(&usual, &step, 99, NULL), NULL);
}

/* Arithmetic: 1 g in 101.04 g is 0.980 %, in 101.05 g 0.9799 %; in 97.04 g 1.020 %, in 97.03 g 1.0201 %. */
static void
water_is_held_against_the_portion(void **state)
{
    struct step step = {.kind = STEP_MASS, .records = RECORDS_WATER, .target = NAN, .tolerance = NAN};
    struct specimen specimen;

    (void)state;
    specimen_init(&specimen);
    check_words(deviation_of_value(&usual, &step, 500, &specimen), NULL); /* no portion weighed */
    specimen.soap_mass_g = 1.0;
    check_words(deviation_of_value(&usual, &step, 99, &specimen), NULL);
    check_words(deviation_of_value(&usual, &step, 101.04, &specimen), NULL);
    check_words(deviation_of_value(&usual, &step, 101.06, &specimen),
                "1 g of soap and 101.06 g of water make 0.9798 %, outside 0.98 to 1.02 %");
    check_words(deviation_of_value(&usual, &step, 97.04, &specimen), NULL);
    check_words(deviation_of_value(&usual, &step, 96.62, &specimen), /* 1 / 97.62 is 1.0244 % */
                "1 g of soap and 96.62 g of water make 1.024 %, outside 0.98 to 1.02 %");
    check_words(deviation_of_value(&usual, &step, 90, &specimen),
                "1 g of soap and 90 g of water make 1.1 %, outside 0.98 to 1.02 %");
}

static void
a_portion_corrected_later_is_held_against_the_water(void **state)
{
    struct step step = {.kind = STEP_MASS, .records = RECORDS_SOAP, .target = 1, .tolerance = 0.2};
    struct specimen specimen;

    (void)state;
    specimen_init(&specimen);
    check_words(deviation_of_value(&usual, &step, 1.1, &specimen), NULL);
    specimen.water_mass_g = 99;
    check_words(deviation_of_value(&usual, &step, 1.1, &specimen),
                "1.1 g of soap and 99 g of water make 1.1 %, outside 0.98 to 1.02 %");
}

/* pH(S) of borax: 9.180 at 25 degC, 9.068 at 40 degC (tables in reference/buffers.csv, with their source). */
static void
a_buffer_is_held_against_its_table(void **state)
{
    char name[] = "borax";
    struct step step = {.kind = STEP_PH, .buffer = name, .target = NAN, .tolerance = 0.05};

    (void)state;
    check_words(deviation_of_reading(&usual, &step, 9.22, 25), NULL);
    check_words(deviation_of_reading(&usual, &step, 9.24, 25),
                "pH 9.24 is not within 0.05 of the borax buffer's 9.18 at 25 degC");
    check_words(deviation_of_reading(&usual, &step, 9.18, 40),
                "pH 9.18 is not within 0.05 of the borax buffer's 9.07 at 40 degC");
}

static void
a_reading_has_its_temperature_and_a_check_has_none(void **state)
{
    struct step step = {.kind = STEP_PH, .records = RECORDS_READING, .target = NAN, .tolerance = NAN};

    (void)state;
    check_words(deviation_of_reading(&usual, &step, 9, 42), NULL);
    check_words(deviation_of_reading(&usual, &step, 9, 25), "read at 25 degC, outside 38 to 42 degC");
    check_words(deviation_of_reading(&usual, &step, 9, NAN), NULL);
    step.records = RECORDS_WATER_CHECK;
    check_words(deviation_of_reading(&usual, &step, 9, 25), NULL);
    step.target = 6.7;
    step.tolerance = 0.5;
    check_words(deviation_of_reading(&usual, &step, 9, 25), "9 pH is outside 6.2 to 7.2 pH");
    check_words(deviation_of_reading(&usual, &step, 9, NAN), "9 pH is outside 6.2 to 7.2 pH");
}

static void
another_choice_than_expected_is_one(void **state)
{
    char clear[] = "clear", residue[] = "residue", *items[] = {clear, residue};
    struct step step = {.kind = STEP_CHOICE, .expected = {items, 1}};

    (void)state;
    check_words(deviation_of_choice(&step, "clear"), NULL);
    check_words(deviation_of_choice(&step, "gelled"), "gelled, expected clear");
    step.expected.count = 2;
    check_words(deviation_of_choice(&step, "residue"), NULL);
    check_words(deviation_of_choice(&step, "gelled"), "gelled, expected clear or residue");
    step.expected.count = 0;
    check_words(deviation_of_choice(&step, "gelled"), NULL);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_target_has_a_tolerance),
    cmocka_unit_test(water_is_held_against_the_portion),
    cmocka_unit_test(a_portion_corrected_later_is_held_against_the_water),
    cmocka_unit_test(a_buffer_is_held_against_its_table),
    cmocka_unit_test(a_reading_has_its_temperature_and_a_check_has_none),
    cmocka_unit_test(another_choice_than_expected_is_one),
};

const struct check_module test_procedure_deviation = CHECK_MODULE("procedure/deviation", tests);
