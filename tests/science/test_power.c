/* test_power.c - power of t tests against R 4.2.2 (power.R beside this file): power.t.test(strict = TRUE). */
#include "check.h"
#include "power.h"

static const struct {
    enum power_design design;
    double count, difference, sd, significance, power;
} powers[] = {
    {POWER_PAIRS, 3, 0.2, 0.1, 0.05, 0.470749431279},
    {POWER_PAIRS, 8, 0.2, 0.15, 0.05, 0.896445052834},
    {POWER_PAIRS, 20, 0.05, 0.1, 0.01, 0.297346077675},
    {POWER_PAIRS, 2, 0.3, 0.1, 0.05, 0.260770714229},
    {POWER_TWO_SAMPLES, 3, 0.2, 0.1, 0.05, 0.462640811891},
    {POWER_TWO_SAMPLES, 8, 0.2, 0.15, 0.05, 0.698725947167},
    {POWER_TWO_SAMPLES, 20, 0.05, 0.1, 0.01, 0.143955083486},
    {POWER_TWO_SAMPLES, 2, 0.3, 0.1, 0.05, 0.387400128526},
};

/* R gives a fraction; the number of readings is the next whole one. */
static const struct {
    enum power_design design;
    double difference, sd, significance, power, count;
} needed[] = {
    {POWER_PAIRS, 0.2, 0.1, 0.05, 0.8, 4.220719},
    {POWER_PAIRS, 0.05, 0.1, 0.05, 0.9, 43.995481},
    {POWER_PAIRS, 0.1, 0.04, 0.01, 0.95, 6.358595},
    {POWER_TWO_SAMPLES, 0.2, 0.1, 0.05, 0.8, 5.089995},
    {POWER_TWO_SAMPLES, 0.05, 0.1, 0.05, 0.9, 85.031284},
    {POWER_TWO_SAMPLES, 0.1, 0.04, 0.01, 0.95, 7.563604},
};

static const struct {
    enum power_design design;
    double count, sd, significance, power, difference;
} detectable[] = {
    {POWER_PAIRS, 3, 0.1, 0.05, 0.8, 0.326404355},
    {POWER_PAIRS, 10, 0.1, 0.05, 0.9, 0.115456499},
    {POWER_PAIRS, 50, 0.02, 0.01, 0.95, 0.0123619511},
    {POWER_TWO_SAMPLES, 3, 0.1, 0.05, 0.8, 0.307089227},
    {POWER_TWO_SAMPLES, 10, 0.1, 0.05, 0.9, 0.153369202},
    {POWER_TWO_SAMPLES, 50, 0.02, 0.01, 0.95, 0.017175418},
};

static double
found_with(enum power_design design, size_t count, double sd, double significance, double power)
{
    struct failure failure = {0};
    double difference = NAN;

    check_ok(power_detectable_difference(design, count, sd, significance, power, &difference, &failure),
             &failure);
    return difference;
}

static void
power_agrees_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(powers); i++) {
        double difference = found_with(powers[i].design, (size_t)powers[i].count, powers[i].sd,
                                       powers[i].significance, powers[i].power);

        check_close(difference / powers[i].difference, 1.0, 1e-9, "R power.t.test()");
    }
}

static void
readings_needed_agree_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(needed); i++) {
        struct failure failure = {0};
        size_t count = 0;

        check_ok(power_count_needed(needed[i].design, needed[i].difference, needed[i].sd,
                                    needed[i].significance, needed[i].power, &count, &failure),
                 &failure);
        check_close((double)count, ceil(needed[i].count), 0.0, "R power.t.test()");
    }
}

static void
detectable_difference_agrees_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(detectable); i++) {
        double difference = found_with(detectable[i].design, (size_t)detectable[i].count, detectable[i].sd,
                                       detectable[i].significance, detectable[i].power);

        check_close(difference / detectable[i].difference, 1.0, 1e-8, "R power.t.test()");
    }
}

static void
more_readings_find_less_and_more_power_asks_for_more(void **state)
{
    (void)state;
    for (enum power_design design = POWER_PAIRS; design <= POWER_TWO_SAMPLES; design++) {
        double last = INFINITY;

        for (size_t count = 2; count < 40; count++) {
            double difference = found_with(design, count, 0.1, 0.05, 0.8);

            assert_true(difference > 0.0 && difference < last);
            assert_true(difference < found_with(design, count, 0.1, 0.05, 0.9));
            last = difference;
        }
        assert_true(found_with(design, 5, 0.1, 0.05, 0.0501) < 0.01); /* hardly more than by chance */
    }
}

static void
smallest_count_is_just_enough(void **state)
{
    struct failure failure = {0};
    size_t count = 0;

    (void)state;
    check_ok(power_count_needed(POWER_PAIRS, 0.001, 0.1, 0.05, 0.8, &count, &failure), &failure);
    assert_true(found_with(POWER_PAIRS, count, 0.1, 0.05, 0.8) <= 0.001);
    assert_true(found_with(POWER_PAIRS, count - 1, 0.1, 0.05, 0.8) > 0.001);
    check_close((double)count, 78489, 5.0, "normal approximation: (1.95996 + 0.84162)^2 * 100^2, and 2 more");
    check_ok(power_count_needed(POWER_PAIRS, 1e9, 0.1, 0.05, 0.8, &count, &failure), &failure);
    assert_int_equal(count, 2);
}

static void
impossible_requests_are_refused_and_the_result_left_alone(void **state)
{
    static const struct {
        size_t count;
        double sd, significance, power;
    } bad[] = {{1, 0.1, 0.05, 0.8}, {1000001, 0.1, 0.05, 0.8}, {5, 0.0, 0.05, 0.8},
               {5, NAN, 0.05, 0.8}, {5, 0.1, 1.0, 1.0},        {5, 0.1, 0.0, 0.8},
               {5, 0.1, NAN, 0.8},  {5, 0.1, 0.05, 0.05},      {5, 0.1, 0.05, 1.0}};
    struct failure failure = {0};
    double result = -5.0;
    size_t count = 99;

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(power_detectable_difference(POWER_PAIRS, bad[i].count, bad[i].sd, bad[i].significance,
                                                  bad[i].power, &result, &failure),
                      STATUS_RANGE, &failure);
    assert_true(result == -5.0);
    check_refused(power_count_needed(POWER_PAIRS, 0.0, 0.1, 0.05, 0.8, &count, &failure), STATUS_RANGE,
                  &failure);
    check_refused(power_count_needed(POWER_PAIRS, 0.1, 0.1, 0.05, NAN, &count, &failure), STATUS_RANGE,
                  &failure);
    check_refused(power_count_needed(POWER_PAIRS, 1e-6, 0.1, 0.05, 0.8, &count, &failure), STATUS_RANGE,
                  &failure);
    assert_string_equal(
        failure.text,
        "more than 1000000 readings would be needed to find a difference of 1e-06 in a scatter of 0.1");
    assert_int_equal(count, 99);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(power_agrees_with_r),
    cmocka_unit_test(readings_needed_agree_with_r),
    cmocka_unit_test(detectable_difference_agrees_with_r),
    cmocka_unit_test(more_readings_find_less_and_more_power_asks_for_more),
    cmocka_unit_test(smallest_count_is_just_enough),
    cmocka_unit_test(impossible_requests_are_refused_and_the_result_left_alone),
};

const struct check_module test_science_power = CHECK_MODULE("science/power", tests);
