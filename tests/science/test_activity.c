/* test_activity.c - Debye-Hueckel slope and Davies coefficients against published values. */
#include "activity.h"
#include "check.h"

/* Computed independently, molal, from the permittivity of Bradley and Pitzer and the density of Kell; the
 * leading constant was rounded there, which moves the fifth decimal. */
static const struct {
    double temperature_c, a;
} molal[] = {{0.0, 0.49082}, {25.0, 0.51001}, {40.0, 0.52410}, {50.0, 0.53456}};

/* Molar, of an older permittivity: a second opinion, within one percent. */
static const struct {
    double temperature_c, a;
} molar[] = {{0.0, 0.4883}, {5.0, 0.4921},  {10.0, 0.496},  {15.0, 0.5},    {20.0, 0.5042}, {25.0, 0.5085},
             {30.0, 0.513}, {35.0, 0.5175}, {40.0, 0.5221}, {50.0, 0.5319}, {60.0, 0.5425}};

/* Mean activity coefficients of NaCl and HCl at 25 degC (Robinson and Stokes, from memory): what Davies means
 * to follow within a few hundredths. */
static const struct {
    double ionic_strength, gamma;
    const char *source;
} salts[] = {
    {0.001, 0.965, "NaCl, Robinson and Stokes, from memory"},
    {0.01, 0.902, "NaCl, Robinson and Stokes, from memory"},
    {0.1, 0.778, "NaCl, Robinson and Stokes, from memory"},
    {0.1, 0.796, "HCl, Robinson and Stokes, from memory"},
    {0.1, 0.766, "NaOH, Robinson and Stokes, from memory"},
};

static double
slope(double temperature_c)
{
    struct failure failure = {0};
    double a = NAN;

    check_ok(activity_debye_huckel(temperature_c, &a, &failure), &failure);
    return a;
}

static void
slope_agrees_with_two_tables(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(molal); i++)
        check_close(slope(molal[i].temperature_c), molal[i].a, 1e-5, "computed, Bradley & Pitzer and Kell");
    for (size_t i = 0; i < LENGTH(molar); i++)
        check_close(slope(molar[i].temperature_c), molar[i].a, 0.01 * molar[i].a,
                    "Freeze & Cherry 1979, App. IV");
}

static void
coefficients_follow_measured_salts(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(salts); i++) {
        struct failure failure = {0};
        double log_gamma = NAN;

        check_ok(activity_log_gamma(1.0, salts[i].ionic_strength, 25.0, &log_gamma, &failure), &failure);
        check_close(pow(10.0, log_gamma), salts[i].gamma, 0.02, salts[i].source);
    }
}

/* By hand at 25 degC, I = 0.1: 0.5100 x (0.31623/1.31623 - 0.03) = 0.1072, times z^2. */
static void
coefficients_follow_the_square_of_the_charge(void **state)
{
    struct failure failure = {0};
    double log_gamma = NAN;

    (void)state;
    for (int charge = -3; charge <= 3; charge++) {
        check_ok(activity_log_gamma(charge, 0.1, 25.0, &log_gamma, &failure), &failure);
        check_close(log_gamma, -0.1072 * charge * charge, 5e-4, "Davies 1962, by hand");
    }
    check_ok(activity_log_gamma(2.0, 0.0, 25.0, &log_gamma, &failure), &failure);
    check_close(log_gamma, 0.0, 0.0, "infinite dilution");
    check_ok(activity_log_gamma(1.0, 0.5, 25.0, &log_gamma, &failure), &failure);
}

static void
what_is_outside_the_range_is_refused(void **state)
{
    struct failure failure = {0};
    double untouched = -5.0;

    (void)state;
    check_refused(activity_log_gamma(1.0, 0.501, 25.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "0 to 0.5 mol/kg");
    check_refused(activity_log_gamma(1.0, -0.001, 25.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(activity_log_gamma(1.0, NAN, 25.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(activity_log_gamma(4.0, 0.1, 25.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(activity_log_gamma(NAN, 0.1, 25.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(activity_log_gamma(1.0, 0.1, 101.0, &untouched, &failure), STATUS_RANGE, &failure);
    check_refused(activity_debye_huckel(NAN, &untouched, &failure), STATUS_RANGE, &failure);
    check_close(untouched, -5.0, 0.0, "a refusal leaves the result alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(slope_agrees_with_two_tables),
    cmocka_unit_test(coefficients_follow_measured_salts),
    cmocka_unit_test(coefficients_follow_the_square_of_the_charge),
    cmocka_unit_test(what_is_outside_the_range_is_refused),
};

const struct check_module test_science_activity = CHECK_MODULE("science/activity", tests);
