/* test_carbon_dioxide.c - carbon dioxide that is left in the water. */
#include <math.h>

#include "carbon_dioxide.h"
#include "check.h"

/* By hand: 420 ppm at 1 atm less 3.1 % vapour, Henry 10^-1.468 (Plummer and Busenberg 1982, table 4) and 2.5e-6 of
 * bicarbonate make 1.64e-5 mol/kg, at pH 5.60; ASTM D1172's 6.2 is a tenth of that. */
static void
the_water_s_own_pH_says_how_much_there_is(void **state)
{
    struct failure failure = {0};
    double mol_per_kg = NAN;

    (void)state;
    check_ok(carbon_dioxide_of_water(5.60, &mol_per_kg, &failure), &failure);
    check_close(mol_per_kg, 1.64e-5, 4e-7, "Henry's law at 420 ppm");
    check_ok(carbon_dioxide_of_water(6.2, &mol_per_kg, &failure), &failure);
    check_close(mol_per_kg, 1.5e-6, 5e-8, "by hand: 6.15e-7 (1 + 6.3e-7 / 4.45e-7)");
    check_ok(carbon_dioxide_of_water(7.0, &mol_per_kg, &failure), &failure);
    check_close(mol_per_kg, 0.0, 1e-8, "neutral water has none");
    assert_int_equal(carbon_dioxide_of_water(3.9, &mol_per_kg, &failure), STATUS_RANGE);
    assert_int_equal(carbon_dioxide_of_water(7.1, &mol_per_kg, &failure), STATUS_RANGE);
    assert_int_equal(carbon_dioxide_of_water(NAN, &mol_per_kg, &failure), STATUS_RANGE);
}

/* By hand, gamma 0.83 at 0.033 mol/kg: 25 degC, pH 9.0: x = 10^(9 - 13.995)/0.83 = 1.22e-5, taken 1.04 x 1.5e-6;
 * 40 degC, pH 10.5: x = 10^(10.5 - 13.534)/0.83 = 1.11e-3, taken 1.66 x 1.5e-6. */
static void
low_readings_feel_it_and_high_ones_do_not(void **state)
{
    struct failure failure = {0};
    double fall_ph = NAN, per_ph = NAN, higher_ph = NAN, ignored;

    (void)state;
    check_ok(carbon_dioxide_fall(1.5e-6, 9.0, 25.0, 1.0, &fall_ph, &per_ph, &failure), &failure);
    check_close(fall_ph, 0.0261, 6e-4, "log10(1 + 0.128)/2");
    check_ok(carbon_dioxide_fall(1.5e-6, 9.01, 25.0, 1.0, &higher_ph, &ignored, &failure), &failure);
    check_close(per_ph, (higher_ph - fall_ph) / 0.01, 3e-3, "its own slope");
    check_ok(carbon_dioxide_fall(1.5e-6, 10.5, 40.0, 1.0, &fall_ph, &per_ph, &failure), &failure);
    check_close(fall_ph, 0.00049, 2e-5, "log10(1 + 0.00224)/2");
    check_ok(carbon_dioxide_fall(0.0, 9.0, 40.0, 1.0, &fall_ph, &per_ph, &failure), &failure);
    check_close(fall_ph, 0.0, 0.0, "none takes nothing");
    assert_int_equal(carbon_dioxide_fall(-1e-9, 9.0, 40.0, 1.0, &fall_ph, &per_ph, &failure), STATUS_RANGE);
    assert_int_equal(carbon_dioxide_fall(1.5e-6, 9.0, 61.0, 1.0, &fall_ph, &per_ph, &failure), STATUS_RANGE);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_water_s_own_pH_says_how_much_there_is),
    cmocka_unit_test(low_readings_feel_it_and_high_ones_do_not),
};

const struct check_module test_science_carbon_dioxide = CHECK_MODULE("science/carbon_dioxide", tests);
