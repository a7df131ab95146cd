/* test_units.c - kitchen units. */
#include "check.h"
#include "units.h"

static void
masses_become_grams(void **state)
{
    static const struct {
        const char *text;
        double mass_g;
        const char *source;
    } known[] = {
        {"1,03", 1.03, "as typed"},
        {"500 g", 500.0, "as typed"},
        {"1.5kg", 1500.0, "SI"},
        {"16 oz", 453.59237, "16 ounces are a pound of 0.45359237 kg, exact (1959)"},
        {"1lb", 453.59237, "the same"},
        {"250mg", 0.25, "SI"},
        {"1.5 kilos", 1500.0, "SI"},
        {"10 grammes", 10.0, "SI"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        double mass_g = NAN;

        check_ok(units_parse_mass(known[i].text, &mass_g, &failure), &failure);
        check_close(mass_g, known[i].mass_g, 1e-9, known[i].source);
    }
}

static void
temperatures_become_celsius(void **state)
{
    static const struct {
        const char *text;
        double temperature_c;
    } known[] = {{"40", 40.0},        {"104F", 40.0},         {"32 degF", 0.0},
                 {"212f", 100.0},     {"21,5 C", 21.5},       {"-40F", -40.0},
                 {"104 deg F", 40.0}, {"40 degrees C", 40.0}, {"40 centigrade", 40.0}};

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        double temperature_c = NAN;

        check_ok(units_parse_temperature(known[i].text, &temperature_c, &failure), &failure);
        check_close(temperature_c, known[i].temperature_c, 1e-9, "fixed points of the scales");
    }
}

static void
fractions_say_percent(void **state)
{
    struct failure failure = {0};
    double fraction = NAN;

    (void)state;
    check_ok(units_parse_fraction("98.5%", &fraction, &failure), &failure);
    check_close(fraction, 0.985, 1e-12, "arithmetic");
    check_ok(units_parse_fraction("98,5 %", &fraction, &failure), &failure);
    check_close(fraction, 0.985, 1e-12, "arithmetic");
    check_ok(units_parse_fraction("0.9", &fraction, &failure), &failure);
    check_close(fraction, 0.9, 1e-12, "arithmetic");
    check_refused(units_parse_fraction("98.5", &fraction, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "write 98.5%");
    check_refused(units_parse_fraction("101%", &fraction, &failure), STATUS_RANGE, &failure);
    check_close(fraction, 0.9, 1e-12, "left alone");
}

static void
unknown_units_are_refused(void **state)
{
    struct failure failure = {0};
    double value = 5.0;

    (void)state;
    check_refused(units_parse_mass("5 stone", &value, &failure), STATUS_FORMAT, &failure);
    check_contains(failure.text, "allowed are g, mg, kg, oz and lb");
    check_refused(units_parse_mass("g", &value, &failure), STATUS_FORMAT, &failure);
    check_refused(units_parse_mass("", &value, &failure), STATUS_FORMAT, &failure);
    check_refused(units_parse_temperature("40K", &value, &failure), STATUS_FORMAT, &failure);
    check_refused(units_parse_temperature("21.5x", &value, &failure), STATUS_FORMAT, &failure);
    assert_true(value == 5.0);
}

static void
a_unit_that_fits_may_stand_behind_a_number(void **state)
{
    static const struct {
        const char *text;
        enum units_of of;
        enum number_decimal decimal;
        double number; /* NAN: refused */
    } cases[] = {
        {"11.6 pH", UNITS_PH, NUMBER_POINT, 11.6},
        {"11,6PH", UNITS_PH, NUMBER_COMMA, 11.6},
        {"11.6", UNITS_PH, NUMBER_POINT, 11.6},
        {"1%", UNITS_PERCENT, NUMBER_POINT, 1.0},
        {"0,98 %", UNITS_PERCENT, NUMBER_POINT_OR_COMMA, 0.98},
        {"104F", UNITS_TEMPERATURE, NUMBER_POINT, 40.0},
        {"40 \xc2\xb0\x43", UNITS_TEMPERATURE, NUMBER_POINT, 40.0},
        {"1,25 mL", UNITS_VOLUME, NUMBER_POINT_OR_COMMA, 1.25},
        {"1.25 cc", UNITS_VOLUME, NUMBER_POINT, 1.25},
        {"0.1 litre", UNITS_VOLUME, NUMBER_POINT, 100.0},
        {"0,1 N", UNITS_CONCENTRATION, NUMBER_POINT_OR_COMMA, 0.1},
        {"0.1 mol/L", UNITS_CONCENTRATION, NUMBER_POINT, 0.1},
        {"100 mmol/L", UNITS_CONCENTRATION, NUMBER_POINT, 0.1},
        {"1 g", UNITS_VOLUME, NUMBER_POINT, NAN},
        {"1 mL", UNITS_CONCENTRATION, NUMBER_POINT, NAN},
        {"11.6 %", UNITS_PH, NUMBER_POINT, NAN},
        {"1 g", UNITS_PERCENT, NUMBER_POINT, NAN},
        {"1 pH", UNITS_PERCENT, NUMBER_POINT, NAN},
        {"1%", UNITS_NONE, NUMBER_POINT, NAN},
        {"11,6 pH", UNITS_PH, NUMBER_POINT, NAN},
        {"104,5F", UNITS_TEMPERATURE, NUMBER_POINT, NAN},
        {"pH", UNITS_PH, NUMBER_POINT, NAN},
        {"", UNITS_PH, NUMBER_POINT, NAN},
    };
    struct failure failure = {0};
    double number;

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        enum status status;

        number = -5.0;
        status = units_parse_number(cases[i].text, cases[i].of, cases[i].decimal, &number, &failure);
        if (isnan(cases[i].number)) {
            check_refused(status, STATUS_FORMAT, &failure);
            assert_true(number == -5.0);
        } else {
            check_ok(status, &failure);
            check_close(number, cases[i].number, 1e-9, "as typed; 104 F is 40 degC");
        }
    }
    check_refused(units_parse_number("11.6 %", UNITS_PH, NUMBER_POINT, &number, &failure), STATUS_FORMAT,
                  &failure);
    assert_string_equal(failure.text, "'11.6 %': unit '%' does not fit, allowed is pH");
    check_refused(units_parse_number("9.8x", UNITS_PH, NUMBER_POINT, &number, &failure), STATUS_FORMAT,
                  &failure);
    assert_string_equal(failure.text, "'9.8x' is not a number");
}

static void
units_are_known_by_name(void **state)
{
    static const char *const units[] = {"g", "OZ", "F",     "degC",   "mL",        "mol/L",
                                        "%", "pH", "drops", "ounces", "Fahrenheit"};
    static const char *const others[] = {"", "dropped", "x", "gg"};

    (void)state;
    for (size_t i = 0; i < LENGTH(units); i++)
        assert_true(units_is_unit(units[i]));
    for (size_t i = 0; i < LENGTH(others); i++)
        assert_false(units_is_unit(others[i]));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(masses_become_grams),
    cmocka_unit_test(temperatures_become_celsius),
    cmocka_unit_test(fractions_say_percent),
    cmocka_unit_test(unknown_units_are_refused),
    cmocka_unit_test(a_unit_that_fits_may_stand_behind_a_number),
    cmocka_unit_test(units_are_known_by_name),
};

const struct check_module test_science_units = CHECK_MODULE("science/units", tests);
