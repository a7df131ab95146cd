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
    } known[] = {{"40", 40.0},    {"104F", 40.0},   {"32 degF", 0.0},
                 {"212f", 100.0}, {"21,5 C", 21.5}, {"-40F", -40.0}};

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

int
main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(masses_become_grams),
        cmocka_unit_test(temperatures_become_celsius),
        cmocka_unit_test(fractions_say_percent),
        cmocka_unit_test(unknown_units_are_refused),
    };

    return check_run("science/units", tests);
}
