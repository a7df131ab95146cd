/* test_line_fit.c - straight lines against the GUM, NIST and R 4.2.2 (line_fit.R beside this file). */
#include "check.h"
#include "line_fit.h"
#include "strd.h"

/* GUM table H.6, from memory: thermometer readings in degC and the corrections found. */
static const double gum_t_c[] = {21.521, 22.012, 22.512, 23.003, 23.507, 23.999,
                                 24.513, 25.002, 25.503, 26.010, 26.511};
static const double gum_correction_c[] = {-0.171, -0.169, -0.166, -0.159, -0.164, -0.165,
                                          -0.156, -0.157, -0.159, -0.161, -0.160};

/* Potential of a pH electrode in three weights of scatter; invented. */
static const double ph[] = {4.01, 6.86, 9.18, 10.01, 12.45};
static const double potential_mv[] = {172.1, 8.9, -124.0, -171.5, -308.9};
static const double potential_sd_mv[] = {0.6, 0.4, 0.5, 0.5, 1.5};

static struct line
fit(const double *x, const double *y, const double *y_sd, size_t count, enum line_scale scale)
{
    struct line line = {.slope = NAN};
    struct failure failure = {0};

    check_ok(line_fit(x, y, y_sd, count, scale, &line, &failure), &failure);
    return line;
}

static void
thermometer_calibration_of_the_gum_is_reproduced(void **state)
{
    const char *source = "JCGM 100:2008 H.3, table H.6 data from memory";
    double from_20_c[LENGTH(gum_t_c)], y, y_sd;
    struct line line;

    (void)state;
    for (size_t i = 0; i < LENGTH(gum_t_c); i++)
        from_20_c[i] = gum_t_c[i] - 20.0;
    line = fit(from_20_c, gum_correction_c, NULL, LENGTH(gum_t_c), LINE_SD_FROM_SCATTER);
    check_close(line.intercept, -0.1712, 5e-5, source);
    check_close(line.intercept_sd, 0.0029, 5e-5, source);
    check_close(line.slope, 0.00218, 5e-6, source);
    check_close(line.slope_sd, 0.00067, 5e-6, source);
    check_close(line.correlation, -0.930, 5e-4, source);
    check_close(line.residual_sd, 0.0035, 5e-5, source);
    check_close(line.dof, 9.0, 0.0, source);
    line_at(&line, 10.0, &y, &y_sd);
    check_close(y, -0.1494, 5e-5, source);
    check_close(y_sd, 0.0041, 5e-5, source);
}

static void
norris_is_fitted_to_certified_digits(void **state)
{
    const char *source = "NIST StRD Norris, certified";
    double x[64], y[64];
    size_t count = strd_read("norris.csv", x, y, 64);
    struct line line = fit(x, y, NULL, count, LINE_SD_FROM_SCATTER);

    (void)state;
    assert_int_equal(count, 36);
    check_close(line.intercept / -0.262323073774029, 1.0, 1e-11, source);
    check_close(line.slope / 1.00211681802045, 1.0, 1e-13, source);
    check_close(line.intercept_sd / 0.232818234301152, 1.0, 1e-11, source);
    check_close(line.slope_sd / 0.429796848199937e-3, 1.0, 1e-11, source);
    check_close(line.residual_sd / 0.884796396144373, 1.0, 1e-11, source);
}

static void
weights_agree_with_r(void **state)
{
    struct line scatter = fit(ph, potential_mv, potential_sd_mv, 5, LINE_SD_FROM_SCATTER);
    struct line stated = fit(ph, potential_mv, potential_sd_mv, 5, LINE_SD_AS_STATED);
    double y, y_sd;

    (void)state;
    check_close(scatter.intercept, 401.359929527179, 1e-10, "R lm()");
    check_close(scatter.slope, -57.2108952555288, 1e-11, "R lm()");
    check_close(scatter.intercept_sd, 0.748873657784457, 1e-12, "R vcov()");
    check_close(scatter.slope_sd, 0.0924851309711207, 1e-13, "R vcov()");
    check_close(scatter.covariance, -0.0667289904845381, 1e-13, "R vcov()");
    check_close(scatter.correlation, -0.963460877990945, 1e-13, "R cov2cor()");
    check_close(scatter.residual_sd, 0.838441577693831, 1e-12, "R sigma()");
    line_at(&scatter, 11.0, &y, &y_sd);
    check_close(y, -227.959918283639, 1e-10, "R predict()");
    check_close(y_sd, 0.357417680317888, 1e-12, "R predict()");

    check_close(stated.slope, scatter.slope, 0.0, "the same weights");
    check_close(stated.intercept_sd, 0.8931733321769, 1e-12, "R vcov() over sigma()^2");
    check_close(stated.slope_sd, 0.110305993204088, 1e-12, "R vcov() over sigma()^2");
    check_close(stated.covariance, -0.0949224505559826, 1e-12, "R vcov() over sigma()^2");
    line_at(&stated, 11.0, &y, &y_sd);
    check_close(y_sd, 0.42628811574562, 1e-12, "R predict() over sigma()");
    assert_true(isinf(stated.dof));
}

static void
reading_back_agrees_with_the_delta_rule_in_r(void **state)
{
    struct line line = fit(ph, potential_mv, potential_sd_mv, 5, LINE_SD_AS_STATED);
    struct failure failure = {0};
    double x = NAN, x_sd = NAN;

    (void)state;
    check_ok(line_invert(&line, -230.0, 0.5, &x, &x_sd, &failure), &failure);
    check_close(x, 11.035658972076, 1e-12, "R, line_fit.R");
    check_close(x_sd, 0.0115218567825954, 1e-13, "R, line_fit.R");
}

static void
two_points_with_stated_scatter_are_joined(void **state)
{
    static const double x[] = {9.18, 12.45}, y[] = {-124.0, -308.0}, sd[] = {0.3, 0.4};
    struct line line = fit(x, y, sd, 2, LINE_SD_AS_STATED);
    double at, at_sd;

    (void)state;
    check_close(line.slope, -184.0 / 3.27, 1e-12, "two points, by hand");
    check_close(line.slope_sd, 0.5 / 3.27, 1e-13, "difference of two values: sqrt(0.3^2 + 0.4^2)");
    line_at(&line, 12.45, &at, &at_sd);
    check_close(at, -308.0, 1e-11, "the point itself");
    check_close(at_sd, 0.4, 1e-13, "the point itself");
    assert_true(isnan(line.residual_sd));
}

static void
shifting_and_scaling_change_nothing_else(void **state)
{
    static const double scales[] = {1e-150, 1e-6, 1.0, 1e6, 1e150};
    struct line plain = fit(ph, potential_mv, NULL, 5, LINE_SD_FROM_SCATTER);

    (void)state;
    for (size_t s = 0; s < LENGTH(scales); s++) {
        double x[5], y[5], sd[5];
        struct line line;

        for (size_t i = 0; i < 5; i++) {
            x[4 - i] = ph[i] * scales[s];
            y[4 - i] = potential_mv[i] + 1000.0;
            sd[4 - i] = 1.0 / scales[s];
        }
        line = fit(x, y, sd, 5, LINE_SD_FROM_SCATTER);
        check_close(line.slope * scales[s] / plain.slope, 1.0, 1e-12, "scaled x");
        check_close(line.slope_sd * scales[s] / plain.slope_sd, 1.0, 1e-10, "scaled x");
        check_close(line.intercept - 1000.0, plain.intercept, 1e-9, "shifted y");
        check_close(line.correlation, plain.correlation, 1e-12, "scaled x");
    }
}

static void
perfect_line_has_no_scatter(void **state)
{
    static const double x[] = {0.0, 1.0, 2.0}, y[] = {5.0, 5.0, 5.0}, rising[] = {1.0, 2.0, 3.0};
    struct line line = fit(x, y, NULL, 3, LINE_SD_FROM_SCATTER);
    struct failure failure = {0};
    double back = -5.0, back_sd = -5.0;

    (void)state;
    assert_true(line.slope == 0.0 && line.slope_sd == 0.0 && line.residual_sd == 0.0 &&
                line.correlation == 0.0);
    check_refused(line_invert(&line, 5.0, 0.1, &back, &back_sd, &failure), STATUS_RANGE, &failure);
    assert_true(back == -5.0 && back_sd == -5.0);
    line = fit(x, rising, NULL, 3, LINE_SD_FROM_SCATTER);
    check_ok(line_invert(&line, 2.5, 0.1, &back, &back_sd, &failure), &failure);
    check_close(back, 1.5, 1e-15, "by hand");
    check_close(back_sd, 0.1, 1e-15, "by hand");
}

static void
impossible_points_are_refused_and_the_result_left_alone(void **state)
{
    static const struct {
        double x[3], y[3], sd[3];
        size_t count;
    } bad[] = {
        {{1, 2, 3}, {1, 2, 3}, {1, 1, 1}, 1},           {{4, 4, 4}, {1, 2, 3}, {1, 1, 1}, 3},
        {{1, NAN, 3}, {1, 2, 3}, {1, 1, 1}, 3},         {{1, 2, 3}, {1, INFINITY, 3}, {1, 1, 1}, 3},
        {{1, 2, 3}, {1, 2, 3}, {1, 0, 1}, 3},           {{1, 2, 3}, {1, 2, 3}, {1, NAN, 1}, 3},
        {{-1e308, 0, 1e308}, {1, 2, 3}, {1, 1, 1}, 3},  {{1, 2, 3}, {-1e308, 1, 1e308}, {1, 1, 1}, 3},
        {{0, 1e-310, 2e-310}, {1, 2, 3}, {1, 1, 1}, 3},
    };
    struct line line = {.slope = -5.0};
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(
            line_fit(bad[i].x, bad[i].y, bad[i].sd, bad[i].count, LINE_SD_AS_STATED, &line, &failure),
            STATUS_RANGE, &failure);
    check_refused(line_fit(ph, potential_mv, NULL, 2, LINE_SD_FROM_SCATTER, &line, &failure), STATUS_RANGE,
                  &failure);
    assert_string_equal(failure.text, "a straight line needs at least 3 points, not 2");
    assert_true(line.slope == -5.0);
}

static void
line_that_cannot_be_read_back_is_refused(void **state)
{
    static const double flat[] = {0.1, -0.1, 0.1, -0.1, 0.1};
    struct line line = fit(ph, flat, NULL, 5, LINE_SD_FROM_SCATTER);
    struct failure failure = {0};
    double x = -5.0, x_sd = -5.0;

    (void)state;
    check_refused(line_invert(&line, 0.0, 0.1, &x, &x_sd, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "cannot be told from zero");
    line = fit(ph, potential_mv, NULL, 5, LINE_SD_FROM_SCATTER);
    check_refused(line_invert(&line, NAN, 0.1, &x, &x_sd, &failure), STATUS_RANGE, &failure);
    check_refused(line_invert(&line, 0.0, -0.1, &x, &x_sd, &failure), STATUS_RANGE, &failure);
    check_refused(line_invert(&line, 0.0, NAN, &x, &x_sd, &failure), STATUS_RANGE, &failure);
    assert_true(x == -5.0 && x_sd == -5.0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(thermometer_calibration_of_the_gum_is_reproduced),
    cmocka_unit_test(norris_is_fitted_to_certified_digits),
    cmocka_unit_test(weights_agree_with_r),
    cmocka_unit_test(reading_back_agrees_with_the_delta_rule_in_r),
    cmocka_unit_test(two_points_with_stated_scatter_are_joined),
    cmocka_unit_test(shifting_and_scaling_change_nothing_else),
    cmocka_unit_test(perfect_line_has_no_scatter),
    cmocka_unit_test(impossible_points_are_refused_and_the_result_left_alone),
    cmocka_unit_test(line_that_cannot_be_read_back_is_refused),
};

const struct check_module test_science_line_fit = CHECK_MODULE("science/line_fit", tests);
