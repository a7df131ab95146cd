/* test_rank.c - Mann-Kendall and Theil-Sen against R 4.2.2 (rank.R beside this file). */
#include "check.h"
#include "rank.h"

#include <stdlib.h>

/* Expected values are those of rank.R in its order: cor.test() for p and tau-b, all slopes sorted for the
 * rest. Data are invented. */
static const struct {
    double x[12], y[12];
    size_t count;
    struct rank_trend r;
} known[] = {
    {{1, 2, 4, 7, 10, 14, 21, 28},
     {10.42, 10.31, 10.36, 9.96, 9.85, 9.90, 9.55, 9.49},
     8,
     {8, -24, 8.08290376865476, 0.00443400830310065, -0.857142857142857, -0.0364583333333335,
      -0.0633333333333334, -0.0200000000000002, 10.3966666666667}},
    {{1, 1, 2, 2, 2, 7, 10, 10, 14, 21, 28, 28},
     {10.4, 10.3, 10.3, 10.4, 9.9, 9.9, 9.9, 9.8, 9.8, 9.4, 9.5, 9.4},
     12,
     {12, -49, 14.1057692903552, 0.000666837153560101, -0.823558490679698, -0.0346153846153846, -0.05,
      -0.0192307692307692, 10.3096153846154}},
    {{0, 7, 14, 21},
     {10.2, 10.0, 9.9, 9.6},
     4,
     {4, -6, 2.94392028877595, 0.0894293590289935, -1, -0.0285714285714285, -INFINITY, INFINITY, 10.2}},
    {{0, 7, 14, 21, 28},
     {9.5, 9.7, 9.6, 9.4, 9.6},
     5,
     {5, -1, 3.95811402901264, 1, -0.105409255338946, -0.00238095238095237, -0.0285714285714285,
      0.0285714285714285, 9.63333333333333}},
    {{0, 7, 14, 21, 28},
     {10.2, 10.0, 9.9, 9.6, 9.5},
     5,
     {5, -10, 4.08248290463863, 0.0274863361115104, -1, -0.0267857142857142, -0.042857142857143,
      -0.0142857142857142, 10.2}},
    {{1, 1, 1, 7, 7, 14, 21},
     {10.4, 10.4, 10.3, 9.9, 9.9, 9.8, 9.9},
     7,
     {7, -13, 5.98171817966647, 0.0448442395805851, -0.764705882352941, -0.0384615384615385,
      -0.0833333333333333, 0, 10.3384615384615}},
};

static struct rank_trend
find(const double *x, const double *y, size_t count)
{
    struct rank_trend trend = {.slope = NAN};
    struct failure failure = {0};

    check_ok(rank_trend(x, y, count, 0.95, &trend, &failure), &failure);
    return trend;
}

static void
same(const struct rank_trend *trend, const struct rank_trend *r)
{
    check_close(trend->s, r->s, 0.0, "R, sum of signs");
    check_close(trend->s_sd, r->s_sd, 1e-9, "R, Kendall's variance");
    check_close(trend->p_value / r->p_value, 1.0, 1e-12, "R cor.test()");
    check_close(trend->tau_b, r->tau_b, 1e-14, "R cor.test()");
    check_close(trend->slope, r->slope, 1e-13, "R median()");
    if (isfinite(r->slope_low)) {
        check_close(trend->slope_low, r->slope_low, 1e-13, "R, sorted slopes");
        check_close(trend->slope_high, r->slope_high, 1e-13, "R, sorted slopes");
    } else
        assert_true(trend->slope_low == r->slope_low && trend->slope_high == r->slope_high);
    check_close(trend->intercept, r->intercept, 1e-12, "R median()");
}

static void
short_series_with_ties_agree_with_r(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct rank_trend trend = find(known[i].x, known[i].y, known[i].count);

        same(&trend, &known[i].r);
    }
}

static void
long_series_agree_with_r(void **state)
{
    static const struct rank_trend falling = {1500,
                                              -252350,
                                              19374.538704186,
                                              8.84618951900578e-39,
                                              -0.224610641947162,
                                              -0.0015,
                                              -0.00170967741935484,
                                              -0.00129581151832461,
                                              0.999};
    static const struct rank_trend level = {1500,
                                            -689,
                                            19373.5166916076,
                                            0.971671161894843,
                                            -0.000615749203789184,
                                            0,
                                            -6.89655172413794e-05,
                                            6.67779632721203e-05,
                                            1};
    double x[1500], y[1500];
    struct rank_trend trend;

    (void)state;
    for (int i = 0; i < 1500; i++) {
        x[i] = i / 3;
        y[i] = i * 7919 % 10007 / 100 / 50.0 - i / 2000.0;
    }
    trend = find(x, y, 1500);
    same(&trend, &falling);
    for (int i = 0; i < 1500; i++) {
        x[i] = i;
        y[i] = i * 7919 % 10007 / 100 / 50.0;
    }
    trend = find(x, y, 1500);
    same(&trend, &level);
}

static void
order_does_not_matter_and_a_mirror_turns_signs(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        size_t count = known[i].count;
        double x[12], y[12];
        struct rank_trend plain = find(known[i].x, known[i].y, count), other;

        for (size_t j = 0; j < count; j++) {
            x[j] = known[i].x[count - 1 - j];
            y[j] = -known[i].y[count - 1 - j];
        }
        other = find(x, y, count);
        check_close(other.s, -plain.s, 0.0, "mirror");
        check_close(other.p_value, plain.p_value, 0.0, "mirror");
        check_close(other.slope, -plain.slope, 1e-15, "mirror");
        assert_true(other.slope_low == -plain.slope_high && other.slope_high == -plain.slope_low);
    }
}

static void
level_series_has_no_trend(void **state)
{
    static const double x[] = {1, 2, 3, 4, 5}, y[] = {9.5, 9.5, 9.5, 9.5, 9.5};
    struct rank_trend trend = find(x, y, 5);

    (void)state;
    assert_true(trend.s == 0.0 && trend.s_sd == 0.0 && trend.p_value == 1.0 && trend.tau_b == 0.0);
    assert_true(trend.slope == 0.0 && trend.slope_low == 0.0 && trend.slope_high == 0.0);
    check_close(trend.intercept, 9.5, 0.0, "the value itself");
}

static void
ten_thousand_points_are_handled(void **state)
{
    enum { LONG = 10000 };
    double *x = memory_new(LONG, sizeof *x), *y = memory_new(LONG, sizeof *y);
    struct rank_trend trend;

    (void)state;
    for (int i = 0; i < LONG; i++) {
        x[i] = LONG - i;
        y[i] = 3.0 - 0.25 * x[i];
    }
    trend = find(x, y, LONG);
    check_close(trend.s, -0.5 * LONG * (LONG - 1), 0.0, "every pair falls");
    check_close(trend.slope, -0.25, 1e-11, "the line itself");
    check_close(trend.slope_low, -0.25, 1e-11, "the line itself");
    check_close(trend.slope_high, -0.25, 1e-11, "the line itself");
    for (int i = 0; i < LONG; i++)
        y[i] = 7.0;
    trend = find(x, y, LONG);
    assert_true(trend.slope == 0.0 && trend.p_value == 1.0);
    free(x);
    free(y);
}

static void
impossible_series_are_refused_and_the_result_left_alone(void **state)
{
    static const struct {
        double x[3], y[3];
        size_t count;
        double coverage;
    } bad[] = {
        {{1, 2, 3}, {3, 2, 1}, 2, 0.95},          {{5, 5, 5}, {3, 2, 1}, 3, 0.95},
        {{1, NAN, 3}, {3, 2, 1}, 3, 0.95},        {{1, 2, 3}, {3, INFINITY, 1}, 3, 0.95},
        {{1, 2, 3}, {3, 2, 1}, 3, 1.0},           {{1, 2, 3}, {3, 2, 1}, 3, NAN},
        {{1, 2, 3}, {1e308, -1e308, 0}, 3, 0.95}, {{0, 1e-310, 1}, {3, 2, 1}, 3, 0.95},
    };
    struct rank_trend trend = {.slope = -5.0};
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(rank_trend(bad[i].x, bad[i].y, bad[i].count, bad[i].coverage, &trend, &failure),
                      STATUS_RANGE, &failure);
    assert_true(trend.slope == -5.0);
}

static void
differences_by_ranks_agree_with_r(void **state)
{
    static const double mixed[] = {0.31, -0.12, 0.25, 0.08, -0.05, 0.4, 0.17},
                        up[] = {0.31, 0.12, 0.25, 0.08};
    static const double a[] = {9.5, 9.61, 9.42, 9.77}, b[] = {9.8, 9.95, 9.63, 10.1, 9.9};
    static const double nothing[] = {0.0, 0.0}, bad[] = {1.0, NAN};
    struct failure failure = {0};
    double pairs[60], x[30], y[25], p = NAN;

    (void)state;
    check_ok(rank_signed(mixed, LENGTH(mixed), &p, &failure), &failure);
    check_close(p, 0.109375, 1e-12, "R wilcox.test, exact");
    check_ok(rank_signed(up, LENGTH(up), &p, &failure), &failure);
    check_close(p, 0.125, 1e-12, "R wilcox.test, exact");
    check_ok(rank_sum(a, LENGTH(a), b, LENGTH(b), &p, &failure), &failure);
    check_close(p, 0.031746031746, 1e-11, "R wilcox.test, exact");
    for (size_t i = 0; i < LENGTH(pairs); i++)
        pairs[i] = sin((double)i * 1.7) + 0.2;
    check_ok(rank_signed(pairs, LENGTH(pairs), &p, &failure), &failure);
    check_close(p, 0.0362264941788, 1e-11, "R wilcox.test, normal");
    for (size_t i = 0; i < LENGTH(x); i++)
        x[i] = round(sin((double)i) * 10.0) / 10.0;
    for (size_t i = 0; i < LENGTH(y); i++)
        y[i] = round((sin((double)i * 1.3) + 0.4) * 10.0) / 10.0;
    check_ok(rank_sum(x, LENGTH(x), y, LENGTH(y), &p, &failure), &failure);
    check_close(p, 0.0783832822823, 1e-11, "R wilcox.test, normal, with ties");
    check_ok(rank_signed(nothing, 2, &p, &failure), &failure);
    check_close(p, 1.0, 0.0, "no difference at all");
    check_refused(rank_signed(bad, 2, &p, &failure), STATUS_RANGE, &failure);
    check_refused(rank_sum(bad, 0, a, 4, &p, &failure), STATUS_RANGE, &failure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(short_series_with_ties_agree_with_r),
    cmocka_unit_test(long_series_agree_with_r),
    cmocka_unit_test(order_does_not_matter_and_a_mirror_turns_signs),
    cmocka_unit_test(level_series_has_no_trend),
    cmocka_unit_test(differences_by_ranks_agree_with_r),
    cmocka_unit_test(ten_thousand_points_are_handled),
    cmocka_unit_test(impossible_series_are_refused_and_the_result_left_alone),
};

const struct check_module test_science_rank = CHECK_MODULE("science/rank", tests);
