/* test_electrode.c - the Nernst slope against published values. */
#include "check.h"
#include "electrode.h"

static const struct {
    double temperature_c, slope_mv_per_ph;
} known[] = {{0.0, 54.199}, {25.0, 59.159}, {40.0, 62.136}, {100.0, 74.04}};

static void
slope_agrees_with_published_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        double slope = NAN;

        check_ok(electrode_slope(known[i].temperature_c, &slope, &failure), &failure);
        check_close(slope, known[i].slope_mv_per_ph, known[i].temperature_c < 100.0 ? 5e-4 : 5e-3,
                    "RT ln10/F, tables of pH standards (Bates; the value at 100 degC from memory)");
    }
}

static void
an_ideal_electrode_reads_zero_at_ph_7_and_negative_in_lye(void **state)
{
    struct failure failure = {0};
    double ph = NAN;

    (void)state;
    check_ok(electrode_ph(0.0, 40.0, &ph, &failure), &failure);
    check_close(ph, 7.0, 0.0, "definition");
    check_ok(electrode_ph(-177.48, 25.0, &ph, &failure), &failure);
    check_close(ph, 10.0, 1e-4, "3 x 59.16 mV, Nernst");
}

static void
what_is_outside_the_range_is_refused(void **state)
{
    struct failure failure = {0};
    double untouched = -5.0;

    (void)state;
    check_refused(electrode_slope(-0.1, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(electrode_slope(100.1, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(electrode_slope(NAN, &untouched, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "0 to 100 degC");
    check_refused(electrode_ph(1001.0, 25.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(electrode_ph(NAN, 25.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(electrode_ph(0.0, 101.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_close(untouched, -5.0, 0.0, "a refusal leaves the result alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(slope_agrees_with_published_values),
    cmocka_unit_test(an_ideal_electrode_reads_zero_at_ph_7_and_negative_in_lye),
    cmocka_unit_test(what_is_outside_the_range_is_refused),
};

const struct check_module test_science_electrode = CHECK_MODULE("science/electrode", tests);
