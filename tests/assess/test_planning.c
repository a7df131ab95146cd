/* test_planning.c - what to test, and when; R 4.2.2 beside (planning.R). */
#include "check.h"
#include "planning.h"

static const struct cure_point invented[] = {
    {1, 10.42, 0.08, 0, 0.01, 0, 0, NULL}, {2, 10.31, 0.05, 0, 0.01, 0, 0, NULL},
    {4, 10.18, 0.05, 0, 0.01, 0, 0, NULL}, {7, 9.96, 0.06, 0, 0.01, 0, 0, NULL},
    {10, 9.85, 0.04, 0, 0.01, 0, 0, NULL}, {14, 9.74, 0.05, 0, 0.01, 0, 0, NULL},
    {21, 9.55, 0.05, 0, 0.01, 0, 0, NULL}, {28, 9.49, 0.04, 0, 0.01, 0, 0, NULL},
    {35, 9.47, 0.09, 0, 0.01, 0, 0, NULL}, {42, 9.41, 0.05, 0, 0.01, 0, 0, NULL},
    {56, 9.42, 0.05, 0, 0.01, 0, 0, NULL}, {70, 9.40, 0.03, 0, 0.01, 0, 0, NULL},
};

static struct cure
follow(const struct cure_point *points, size_t count, double target_ph)
{
    struct failure failure = {0};
    struct cure cure = {0};

    check_ok(cure_follow(points, count, target_ph, NULL, &cure, &failure), &failure);
    return cure;
}

static void
numbers_needed_agree_with_r(void **state)
{
    static const struct {
        double difference, power;
        size_t pairs, bars;
    } known[] = {{0.2, 0.8, 4, 3}, {0.1, 0.9, 8, 7}, {0.05, 0.8, 18, 17}};
    struct planning_scatter scatter = {.sd_ph = 0.05, .upper_ph = 0.05, .source = PLANNING_CURVES};
    struct planning_need need = {0};
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        check_ok(planning_need(scatter, known[i].difference, known[i].power, &need, &failure), &failure);
        assert_int_equal(need.pairs, known[i].pairs); /* R power.t.test, rounded up */
        assert_int_equal(need.bars, known[i].bars);
    }
    need.pairs = 77;
    check_refused(planning_need(scatter, 0.0, 0.8, &need, &failure), STATUS_RANGE, &failure);
    check_refused(planning_need(scatter, 0.1, 1.0, &need, &failure), STATUS_RANGE, &failure);
    check_refused(planning_need(scatter, 1e-9, 0.8, &need, &failure), STATUS_RANGE, &failure);
    assert_int_equal(need.pairs, 77);
}

static void
scatter_is_the_makers_own_where_there_is_any(void **state)
{
    struct cure curve = follow(invented, LENGTH(invented), 10.0), few = follow(invented, 1, 10.0);
    struct cure none = follow(NULL, 0, 10.0);
    const struct cure *cures[] = {&curve, &few}, *little[] = {&few}, *nothing[] = {&none};
    const struct cure_point *points[] = {invented, invented};
    struct comparison pairs = {.design = COMPARISON_PAIRED, .sd = 0.1, .pair_count = 5};
    struct planning_scatter scatter = planning_scatter_of(cures, points, 2, &pairs);

    (void)state;
    assert_int_equal(scatter.source, PLANNING_PAIRS);
    check_close(scatter.sd_ph, 0.1 / sqrt(2.0), 1e-12, "rule 2");
    check_close(scatter.upper_ph / scatter.sd_ph, sqrt(4.0 / 1.64877662), 1e-6, "R qchisq(0.2, 4)");
    scatter = planning_scatter_of(cures, points, 2, NULL);
    assert_int_equal(scatter.source, PLANNING_CURVES);
    assert_true(scatter.sd_ph > 0.03 &&
                scatter.sd_ph < 0.06); /* the results' own, and a little between them */
    assert_true(scatter.upper_ph > scatter.sd_ph);
    scatter = planning_scatter_of(little, points, 1, NULL);
    assert_int_equal(scatter.source, PLANNING_STATED);
    check_close(scatter.sd_ph, 0.08, 1e-12, "the only result");
    scatter = planning_scatter_of(nothing, points, 1, NULL);
    assert_int_equal(scatter.source, PLANNING_ASSUMED);
    check_close(scatter.sd_ph, 0.05, 0.0, "rule 1");
    cure_clear(&curve);
    cure_clear(&few);
    cure_clear(&none);
}

static void
check_ages(const struct cure *cure, const struct cure_point *points, int today, size_t most,
           const char *expected)
{
    struct planning_age ages[PLANNING_MOST_AGES];
    size_t count = planning_ages(cure, points, today, most, ages);
    char text[200] = "";

    for (size_t i = 0; i < count; i++)
        snprintf(text + strlen(text), sizeof text - strlen(text), "%s%g %s", i == 0 ? "" : ", ",
                 ages[i].age_d, planning_why_word(ages[i].why));
    assert_string_equal(text, expected);
}

/* Arithmetic on rule 3. */
static void
ages_are_the_usual_ones_that_are_left(void **state)
{
    static const struct cure_point two[] = {{2, 10.4, 0.05, 0, 0.01, 0, 0, NULL},
                                            {14, 9.9, 0.05, 0, 0.01, 0, 0, NULL}};
    struct cure none = follow(NULL, 0, 10.0), some = follow(two, 2, 10.0);

    (void)state;
    check_ages(&none, NULL, 0, 4, "2 usual, 7 usual, 14 usual, 28 usual");
    check_ages(&none, NULL, 20, 3, "20 missed, 28 usual, 42 usual");
    check_ages(&none, NULL, 365, 3, "365 missed");
    check_ages(&some, two, 15, 3, "28 usual, 42 usual, 56 usual");
    check_ages(&some, two, 14, 2, "28 usual, 42 usual");
    check_ages(&some, two, 36, 3, "36 missed, 42 usual, 56 usual");
    check_ages(&some, two, 36, 0, "");
    cure_clear(&none);
    cure_clear(&some);
}

/* A made curve that reaches 9.5 at 49 days, tested to 45. */
static void
a_ready_date_to_come_is_confirmed(void **state)
{
    struct cure_point points[15];
    struct cure cure;
    char expected[64];

    (void)state;
    for (size_t i = 0; i < LENGTH(points); i++) {
        double age_d = 3.0 * (double)(i + 1);

        points[i] = (struct cure_point){
            .age_d = age_d, .ph = 9.3 + 1.0 * exp(-log(5.0) / 49.0 * age_d), .u_ph = 0.005};
    }
    cure = follow(points, LENGTH(points), 9.5);
    assert_true(cure.ready_to_d >= 49.0 && cure.ready_to_d <= cure.age_limit_d);
    snprintf(expected, sizeof expected, "%g confirm", cure.ready_to_d);
    check_ages(&cure, points, (int)cure.ready_to_d, 1, expected);
    cure_clear(&cure);
}

static void
what_a_further_result_is_worth_is_tried_out(void **state)
{
    struct cure cure = follow(invented, LENGTH(invented), 10.0);
    struct planning_age ages[2];

    (void)state;
    assert_int_equal(planning_ages(&cure, invented, 71, 2, ages), 2);
    check_close(ages[0].age_d, 84.0, 0.0, "rule 3");
    check_close(ages[0].end_half_now, 0.5 * (cure.end.high - cure.end.low), 1e-12, "as the curve says");
    assert_true(ages[0].end_half_then < ages[0].end_half_now);
    assert_true(ages[0].end_half_then > 0.8 * ages[0].end_half_now); /* one more of thirteen */
    assert_true(isnan(ages[1].end_half_then)); /* 112 days, where the curve ends at 104.5 */
    cure_clear(&cure);
}

static void
an_open_end_names_the_test_that_closes_it(void **state)
{
    static const struct cure_point early[] = {{2, 10.6, 0.02, 0, 0.01, 0, 0, NULL},
                                              {7, 10.3, 0.02, 0, 0.01, 0, 0, NULL},
                                              {14, 10.0, 0.02, 0, 0.01, 0, 0, NULL}};
    struct cure cure = follow(early, LENGTH(early), 9.5), then = {0};
    struct failure failure = {0};
    double age_d = planning_settling_age(&cure, early);

    (void)state;
    assert_true(cure_has(&cure, CURE_END_OPEN));
    assert_true(age_d > 14.0);
    check_ok(cure_with_one_more(&cure, early, age_d, &then, &failure), &failure);
    assert_false(cure_has(&then, CURE_END_OPEN));
    cure_clear(&then);
    cure_clear(&cure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(numbers_needed_agree_with_r),
    cmocka_unit_test(scatter_is_the_makers_own_where_there_is_any),
    cmocka_unit_test(ages_are_the_usual_ones_that_are_left),
    cmocka_unit_test(a_ready_date_to_come_is_confirmed),
    cmocka_unit_test(what_a_further_result_is_worth_is_tried_out),
    cmocka_unit_test(an_open_end_names_the_test_that_closes_it),
};

const struct check_module test_assess_planning = CHECK_MODULE("assess/planning", tests);
