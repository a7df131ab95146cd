/* test_dilution.c - soap and water for a test solution. */
#include "check.h"
#include "dilution.h"

static const struct {
    double soap_g, percent, water_g;
    const char *source;
} made[] = {
    {1.00, 1.0, 99.00, "arithmetic: 1.00 g in 99.00 g is 1.000 %"},
    {1.03, 1.0, 101.97, "arithmetic: 1.03 * 99"},
    {5.0, 10.0, 45.0, "arithmetic"},
    {2.0, 0.5, 398.0, "arithmetic"},
    {2.0, 99.999, 2.00002e-5, "arithmetic: 2 / 99999"},
};

static void
water_for_a_portion_and_percent_from_masses_agree_with_arithmetic(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(made); i++) {
        struct failure failure = {0};
        struct dilution forth = {0}, back = {0};

        check_ok(dilution_for_percent(made[i].soap_g, made[i].percent, NAN, &forth, &failure), &failure);
        check_close(forth.water_g, made[i].water_g, 1e-9, made[i].source);
        check_close(forth.total_g, made[i].soap_g + made[i].water_g, 1e-9, made[i].source);
        assert_true(isnan(forth.u_percent)); /* no balance, no uncertainty */
        check_ok(dilution_from_masses(made[i].soap_g, forth.water_g, NAN, &back, &failure), &failure);
        check_close(back.percent, made[i].percent, 1e-10, made[i].source);
    }
}

static void
uncertainty_is_that_of_two_rectangular_weighings(void **state)
{
    struct failure failure = {0};
    struct dilution dilution = {0};
    /* By hand, JCGM 100:2008 F.2.2.1 and 5.1.2: u(m) = 0.01 / sqrt(6) = 0.0040825 g; soap's part
     * 0.99 % * 0.0040825 / 1 = 0.0040417 %, water's 0.01 times that; together 0.0040419 %. */
    check_ok(dilution_for_percent(1.0, 1.0, 0.01, &dilution, &failure), &failure);
    (void)state;
    check_close(dilution.u_percent, 0.0040419, 5e-8, "by hand");
    check_ok(dilution_from_masses(1.0, 99.0, 0.1, &dilution, &failure), &failure);
    check_close(dilution.u_percent, 0.040419, 5e-7, "by hand, ten times the readability");
}

static void
the_smallest_portion_is_where_the_balance_just_holds_the_tolerance(void **state)
{
    static const double readabilities_g[] = {0.001, 0.01, 0.1, 1.0, 5.0};

    (void)state;
    for (size_t i = 0; i < LENGTH(readabilities_g); i++) {
        struct failure failure = {0};
        struct dilution dilution = {0};
        double soap_g = NAN;

        check_ok(dilution_smallest_portion(1.0, 0.02, readabilities_g[i], &soap_g, &failure), &failure);
        check_ok(dilution_for_percent(soap_g, 1.0, readabilities_g[i], &dilution, &failure), &failure);
        check_close(2.0 * dilution.u_percent, 0.02, 1e-12, "the rule itself");
    }
}

static void
a_hundredth_gram_serves_one_gram_and_a_kitchen_scale_needs_litres(void **state)
{
    struct failure failure = {0};
    struct dilution dilution = {0};
    double soap_g = NAN;

    (void)state; /* statements of common practice about the two kinds of scale */
    check_ok(dilution_smallest_portion(1.0, 0.02, 0.01, &soap_g, &failure), &failure);
    assert_true(soap_g > 0.1 && soap_g <= 1.0);
    check_ok(dilution_smallest_portion(1.0, 0.02, 1.0, &soap_g, &failure), &failure);
    assert_true(soap_g >= 20.0 && soap_g <= 100.0);
    check_ok(dilution_for_percent(soap_g, 1.0, 1.0, &dilution, &failure), &failure);
    assert_true(dilution.water_g >= 2000.0 && dilution.water_g <= 10000.0);
}

static void
impossible_masses_are_refused_and_leave_the_result_alone(void **state)
{
    static const struct {
        double soap_g, percent, readability_g;
    } wrong[] = {{0.0, 1.0, NAN},   {-1.0, 1.0, NAN}, {10000.1, 1.0, NAN}, {NAN, 1.0, NAN},   {1.0, 0.0, NAN},
                 {1.0, 100.0, NAN}, {1.0, NAN, NAN},  {1.0, 1.0, 0.0},     {1.0, 1.0, 1001.0}};

    (void)state;
    for (size_t i = 0; i < LENGTH(wrong); i++) {
        struct failure failure = {0};
        struct dilution dilution = {.soap_g = -7.0};

        check_refused(dilution_for_percent(wrong[i].soap_g, wrong[i].percent, wrong[i].readability_g,
                                           &dilution, &failure),
                      STATUS_RANGE, &failure);
        check_close(dilution.soap_g, -7.0, 0.0, "left alone");
        check_contains(failure.text, "allowed is");
    }
}

static void
water_and_tolerance_are_refused_outside_their_range(void **state)
{
    static const double waters_g[] = {0.0, -1.0, 1e6 + 1.0, NAN, INFINITY};
    static const double tolerances_pct[] = {0.0, -0.1, 100.0, NAN};
    struct failure failure = {0};
    struct dilution dilution = {.soap_g = -7.0};
    double soap_g = -7.0;

    (void)state;
    for (size_t i = 0; i < LENGTH(waters_g); i++)
        check_refused(dilution_from_masses(1.0, waters_g[i], NAN, &dilution, &failure), STATUS_RANGE,
                      &failure);
    for (size_t i = 0; i < LENGTH(tolerances_pct); i++)
        check_refused(dilution_smallest_portion(1.0, tolerances_pct[i], 0.01, &soap_g, &failure),
                      STATUS_RANGE, &failure);
    check_refused(dilution_smallest_portion(1.0, 0.02, NAN, &soap_g, &failure), STATUS_RANGE, &failure);
    check_close(dilution.soap_g, -7.0, 0.0, "left alone");
    check_close(soap_g, -7.0, 0.0, "left alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(water_for_a_portion_and_percent_from_masses_agree_with_arithmetic),
    cmocka_unit_test(uncertainty_is_that_of_two_rectangular_weighings),
    cmocka_unit_test(the_smallest_portion_is_where_the_balance_just_holds_the_tolerance),
    cmocka_unit_test(a_hundredth_gram_serves_one_gram_and_a_kitchen_scale_needs_litres),
    cmocka_unit_test(impossible_masses_are_refused_and_leave_the_result_alone),
    cmocka_unit_test(water_and_tolerance_are_refused_outside_their_range),
};

const struct check_module test_assess_dilution = CHECK_MODULE("assess/dilution", tests);
