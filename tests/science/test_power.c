/* test_power.c - power of t tests against R 4.2.2 (power.R beside this file): power.t.test(strict = TRUE). */
#include "check.h"
#include "power.h"

static const struct {
    enum power_design design;
    double count, difference, sd, significance, power;
} powers[] = {
    {POWER_ONE_SAMPLE, 3, 0.2, 0.1, 0.05, 0.470749431279},
    {POWER_ONE_SAMPLE, 8, 0.2, 0.15, 0.05, 0.896445052834},
    {POWER_ONE_SAMPLE, 20, 0.05, 0.1, 0.01, 0.297346077675},
    {POWER_ONE_SAMPLE, 2, 0.3, 0.1, 0.05, 0.260770714229},
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
    {POWER_ONE_SAMPLE, 0.2, 0.1, 0.05, 0.8, 4.220719},
    {POWER_ONE_SAMPLE, 0.05, 0.1, 0.05, 0.9, 43.995481},
    {POWER_ONE_SAMPLE, 0.1, 0.04, 0.01, 0.95, 6.358595},
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
    {POWER_ONE_SAMPLE, 3, 0.1, 0.05, 0.8, 0.326404355},
    {POWER_ONE_SAMPLE, 10, 0.1, 0.05, 0.9, 0.115456499},
    {POWER_ONE_SAMPLE, 50, 0.02, 0.01, 0.95, 0.0123619511},
    {POWER_PAIRS, 3, 0.1, 0.05, 0.8, 0.326404355},
    {POWER_PAIRS, 10, 0.1, 0.05, 0.9, 0.115456499},
    {POWER_PAIRS, 50, 0.02, 0.01, 0.95, 0.0123619511},
    {POWER_TWO_SAMPLES, 3, 0.1, 0.05, 0.8, 0.307089227},
    {POWER_TWO_SAMPLES, 10, 0.1, 0.05, 0.9, 0.153369202},
    {POWER_TWO_SAMPLES, 50, 0.02, 0.01, 0.95, 0.017175418},
};

static double
power_of(enum power_design design, size_t count, double difference, double sd, double significance)
{
    struct failure failure = {0};
    double power = NAN;

    check_ok(power_of_test(design, count, difference, sd, significance, &power, &failure), &failure);
    return power;
}

static void
power_agrees_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(powers); i++) {
        double power = power_of(powers[i].design, (size_t)powers[i].count, powers[i].difference, powers[i].sd,
                                powers[i].significance);

        check_close(power, powers[i].power, 1e-10, "R power.t.test()");
        check_close(power_of(powers[i].design, (size_t)powers[i].count, -powers[i].difference, powers[i].sd,
                             powers[i].significance),
                    power, 1e-14, "either direction");
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
        struct failure failure = {0};
        double difference = NAN;

        check_ok(power_detectable_difference(detectable[i].design, (size_t)detectable[i].count,
                                             detectable[i].sd, detectable[i].significance,
                                             detectable[i].power, &difference, &failure),
                 &failure);
        check_close(difference / detectable[i].difference, 1.0, 1e-8, "R power.t.test()");
    }
}

static void
power_grows_with_readings_and_difference_and_starts_at_the_significance(void **state)
{
    (void)state;
    for (enum power_design design = POWER_ONE_SAMPLE; design <= POWER_TWO_SAMPLES; design++) {
        double last = 0.0;

        check_close(power_of(design, 5, 0.0, 0.1, 0.05), 0.05, 1e-12, "no difference to find");
        for (size_t count = 2; count < 40; count++) {
            double power = power_of(design, count, 0.08, 0.1, 0.05);

            assert_true(power > last && power < 1.0);
            assert_true(power < power_of(design, count, 0.1, 0.1, 0.05));
            last = power;
        }
        check_close(power_of(design, 1000, 1e6, 0.1, 0.05), 1.0, 1e-12, "a difference that cannot be missed");
    }
}

static void
smallest_count_is_just_enough(void **state)
{
    struct failure failure = {0};
    size_t count = 0;

    (void)state;
    check_ok(power_count_needed(POWER_PAIRS, 0.001, 0.1, 0.05, 0.8, &count, &failure), &failure);
    assert_true(power_of(POWER_PAIRS, count, 0.001, 0.1, 0.05) >= 0.8);
    assert_true(power_of(POWER_PAIRS, count - 1, 0.001, 0.1, 0.05) < 0.8);
    check_close((double)count, 78489, 5.0, "normal approximation: (1.95996 + 0.84162)^2 * 100^2, and 2 more");
    check_ok(power_count_needed(POWER_PAIRS, 1e9, 0.1, 0.05, 0.8, &count, &failure), &failure);
    assert_int_equal(count, 2);
}

static void
impossible_requests_are_refused_and_the_result_left_alone(void **state)
{
    struct failure failure = {0};
    double result = -5.0;
    size_t count = 99;

    (void)state;
    check_refused(power_of_test(POWER_PAIRS, 1, 0.1, 0.1, 0.05, &result, &failure), STATUS_RANGE, &failure);
    check_refused(power_of_test(POWER_PAIRS, 1000001, 0.1, 0.1, 0.05, &result, &failure), STATUS_RANGE,
                  &failure);
    check_refused(power_of_test(POWER_PAIRS, 5, NAN, 0.1, 0.05, &result, &failure), STATUS_RANGE, &failure);
    check_refused(power_of_test(POWER_PAIRS, 5, 0.1, 0.0, 0.05, &result, &failure), STATUS_RANGE, &failure);
    check_refused(power_of_test(POWER_PAIRS, 5, 0.1, NAN, 0.05, &result, &failure), STATUS_RANGE, &failure);
    check_refused(power_of_test(POWER_PAIRS, 5, 0.1, 0.1, 1.0, &result, &failure), STATUS_RANGE, &failure);
    check_refused(power_of_test(POWER_PAIRS, 5, 0.1, 0.1, 0.0, &result, &failure), STATUS_RANGE, &failure);
    check_refused(power_detectable_difference(POWER_PAIRS, 5, 0.1, 0.05, 0.05, &result, &failure),
                  STATUS_RANGE, &failure);
    check_refused(power_detectable_difference(POWER_PAIRS, 5, 0.1, 0.05, 1.0, &result, &failure),
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
    cmocka_unit_test(power_grows_with_readings_and_difference_and_starts_at_the_significance),
    cmocka_unit_test(smallest_count_is_just_enough),
    cmocka_unit_test(impossible_requests_are_refused_and_the_result_left_alone),
};

const struct check_module test_science_power = CHECK_MODULE("science/power", tests);
