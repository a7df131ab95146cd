/* test_root.c - where a function is zero. */
#include "check.h"
#include "root.h"

static double
less_cosine(double x, void *payload)
{
    return x - cos(x) * *(double *)payload;
}

static double
cubed(double x, void *payload)
{
    (void)payload;
    return x * x * x - 2.0 * x - 5.0;
}

static double
steep(double x, void *payload)
{
    return pow(10.0, x) - *(double *)payload;
}

static void
known_zeros_are_found(void **state)
{
    double one = 1.0;

    (void)state;
    check_close(root_between(less_cosine, &one, 0.0, 1.0, 0.0, 0.0), 0.7390851332151607, 1e-15,
                "the Dottie number, OEIS A003957");
    check_close(root_between(cubed, NULL, 2.0, 3.0, 0.0, 0.0), 2.0945514815423265, 1e-15,
                "Wallis's cubic, OEIS A007493");
}

static void
decades_of_slope_do_not_hide_a_zero(void **state)
{
    (void)state;
    for (int decades = -12; decades <= 12; decades++) {
        double level = pow(10.0, decades);

        check_close(root_between(steep, &level, -20.0, 20.0, 0.0, 0.0), decades, 1e-13, "the logarithm");
    }
}

static void
an_end_may_be_the_zero(void **state)
{
    double none = 0.0;

    (void)state;
    check_close(root_between(less_cosine, &none, 0.0, 1.0, 0.0, 1e-12), 0.0, 0.0, "x itself");
    check_close(root_between(less_cosine, &none, -1.0, 0.0, 0.0, 1e-12), 0.0, 0.0, "x itself");
}

static void
where_there_is_none_there_is_no_number(void **state)
{
    double not_a_number = NAN;

    (void)state;
    assert_true(isnan(root_between(cubed, NULL, 3.0, 4.0, 0.0, 1e-12)));
    assert_true(isnan(root_between(steep, &not_a_number, 0.0, 1.0, 0.0, 1e-12)));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(known_zeros_are_found),
    cmocka_unit_test(decades_of_slope_do_not_hide_a_zero),
    cmocka_unit_test(an_end_may_be_the_zero),
    cmocka_unit_test(where_there_is_none_there_is_no_number),
};

const struct check_module test_science_root = CHECK_MODULE("science/root", tests);
