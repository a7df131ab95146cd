/* test_water.c - density and ion product of water against published values. */
#include "check.h"
#include "water.h"

static const struct {
    double temperature_c, density_g_per_ml, tolerance;
    const char *source;
} densities[] = {
    {0.0, 0.9998428, 5e-8, "Tanaka et al. 2001, table 1"},
    {25.0, 0.9970470, 5e-8, "Tanaka et al. 2001, table 1"},
    {40.0, 0.9922152, 5e-8, "Tanaka et al. 2001, table 1"},
    {50.0, 0.98804, 5e-6, "CRC Handbook, density of water, from memory"},
    {60.0, 0.98320, 5e-6, "CRC Handbook, density of water, from memory"},
    {80.0, 0.9718, 5e-5, "CRC Handbook, density of water, from memory"},
    {100.0, 0.9584, 5e-5, "CRC Handbook, density of water, from memory"},
};

static const struct {
    double temperature_k, density_g_per_ml, pkw;
} verification[] = {{300.0, 1.0, 13.906672}, {600.0, 0.07, 20.161651}, {600.0, 0.7, 11.147093}};

/* The handbook has the 2007 release, which the one of 2024 leaves by at most 0.0002 up to 50 degC and 0.002
 * above: added to half of the last digit. */
static const struct {
    double temperature_c, pkw, tolerance;
} handbook[] = {{0.0, 14.946, 0.0005 + 0.0003},
                {25.0, 13.995, 0.0005 + 0.0002},
                {50.0, 13.264, 0.0005 + 0.0002},
                {75.0, 12.696, 0.0005 + 0.002},
                {100.0, 12.252, 0.0005 + 0.002}};

static void
density_agrees_with_published_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(densities); i++) {
        struct failure failure = {0};
        double density = NAN;

        check_ok(water_density(densities[i].temperature_c, &density, &failure), &failure);
        check_close(density, densities[i].density_g_per_ml, densities[i].tolerance, densities[i].source);
    }
}

static void
the_two_density_formulas_meet_at_40_degc(void **state)
{
    struct failure failure = {0};
    double below = NAN, above = NAN;

    (void)state;
    check_ok(water_density(40.0, &below, &failure), &failure);
    check_ok(water_density(nextafter(40.0, 41.0), &above, &failure), &failure);
    check_close(above, below, 6e-7, "temperature scale of 1968 against that of 1990");
}

static void
ion_product_agrees_with_the_verification_table(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(verification); i++) {
        struct failure failure = {0};
        double pkw = NAN;

        check_ok(water_pkw_at_density(verification[i].temperature_k - 273.15,
                                      verification[i].density_g_per_ml, &pkw, &failure),
                 &failure);
        check_close(pkw, verification[i].pkw, 5e-7, "IAPWS R11-24, computer-program verification");
    }
}

static void
ion_product_agrees_with_the_handbook(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(handbook); i++) {
        struct failure failure = {0};
        double pkw = NAN;

        check_ok(water_pkw(handbook[i].temperature_c, &pkw, &failure), &failure);
        check_close(pkw, handbook[i].pkw, handbook[i].tolerance,
                    "CRC Handbook, ionization of water at 0.1 MPa");
    }
}

static void
what_is_outside_the_range_is_refused(void **state)
{
    static const double outside_c[] = {-0.01, 100.01, -300.0, INFINITY, NAN};
    struct failure failure = {0};
    double untouched = -5.0;

    (void)state;
    for (size_t i = 0; i < LENGTH(outside_c); i++) {
        check_refused(water_density(outside_c[i], &untouched, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, "0 to 100 degC");
        check_refused(water_pkw(outside_c[i], &untouched, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, "0 to 100 degC");
    }
    check_refused(water_pkw_at_density(801.0, 1.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(water_pkw_at_density(25.0, 0.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(water_pkw_at_density(25.0, 1.26, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(water_pkw_at_density(25.0, NAN, &untouched, &failure), STATUS_RANGE, &failure);
    check_close(untouched, -5.0, 0.0, "a refusal leaves the result alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(density_agrees_with_published_values),
    cmocka_unit_test(the_two_density_formulas_meet_at_40_degc),
    cmocka_unit_test(ion_product_agrees_with_the_verification_table),
    cmocka_unit_test(ion_product_agrees_with_the_handbook),
    cmocka_unit_test(what_is_outside_the_range_is_refused),
};

const struct check_module test_science_water = CHECK_MODULE("science/water", tests);
