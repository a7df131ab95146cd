/* test_approach_fit.c - approach to an end value against NIST and R 4.2.2 (approach_fit.R). */
#include "approach_fit.h"
#include "check.h"
#include "strd.h"

/* Invented cure: age in days, pH, standard uncertainty; the same numbers stand in approach_fit.R. */
static const double age_d[] = {1, 2, 4, 7, 10, 14, 21, 28, 35, 42, 56, 70};
static const double ph[] = {10.42, 10.31, 10.18, 9.96, 9.85, 9.74, 9.55, 9.49, 9.47, 9.41, 9.42, 9.40};
static const double ph_u[] = {0.08, 0.05, 0.05, 0.06, 0.04, 0.05, 0.05, 0.04, 0.09, 0.05, 0.05, 0.03};
static const double equal_u[] = {1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1, 1};
enum { CURE = 12, MOST = 64 };

static struct approach_grid
grid_of(const double *t, size_t count, double slowest, double fastest)
{
    struct approach_grid grid = {0};
    struct failure failure = {0};

    check_ok(
        approach_grid_of(t, count, slowest / (t[count - 1] - t[0]), fastest / (t[1] - t[0]), &grid, &failure),
        &failure);
    return grid;
}

static struct approach_grid
usual_grid(const double *t, size_t count)
{
    return grid_of(t, count, APPROACH_SLOWEST, APPROACH_FASTEST);
}

/* y = b1 (1 - exp(-b2 x)) starts at 0: one more point there, of which nothing can move the curve away, makes it the
 * model with two parameters that the set was certified for. */
static void
misra1a_is_fitted_to_certified_digits(void **state)
{
    const char *source = "NIST StRD Misra1a, certified";
    double x[32] = {0.0}, y[32] = {0.0}, sd[32] = {1e-5}, weights[32], variance = 0.0, end_sd = 0.0;
    size_t count = 1 + strd_read("misra1a.csv", x + 1, y + 1, 31);
    struct approach_grid grid;
    struct approach fit;

    (void)state;
    assert_int_equal(count, 15);
    for (size_t i = 1; i < count; i++)
        sd[i] = 1.0;
    grid = grid_of(x, count, 0.05, APPROACH_FASTEST);
    approach_fit(&grid, y, sd, APPROACH_ALL, &fit);
    assert_true(fit.inner);
    check_close(fit.best.end / 238.94212918, 1.0, 1e-9, source);
    check_close(fit.best.rate / 0.00055015643181, 1.0, 1e-9, source);
    check_close(fit.best.squares / 0.12455138894, 1.0, 1e-7, source);
    approach_weights(&grid, &fit, sd, INFINITY, weights);
    variance = fit.best.squares / 12.0;
    for (size_t i = 1; i < count; i++)
        end_sd += weights[i] * weights[i] * variance;
    check_close(sqrt(end_sd) / 2.7070075241, 1.0, 1e-6, source);
    approach_clear(&fit);
    approach_grid_clear(&grid);
}

static void
an_invented_cure_agrees_with_r(void **state)
{
    static const struct {
        const double *sd;
        double end, drop, rate;
    } r[] = {{equal_u, 9.40429525653, 1.00494792363, 0.0909630455528},
             {ph_u, 9.39909573531, 1.00614740423, 0.0892912304206}};
    struct approach_grid grid = usual_grid(age_d, CURE);

    (void)state;
    for (size_t i = 0; i < LENGTH(r); i++) {
        struct approach fit;

        approach_fit(&grid, ph, r[i].sd, APPROACH_ALL, &fit);
        check_close(fit.best.end, r[i].end, 1e-8, "R nls()");
        check_close(fit.best.drop, r[i].drop, 1e-8, "R nls()");
        check_close(fit.best.rate, r[i].rate, 1e-8, "R nls()");
        approach_clear(&fit);
    }
    approach_grid_clear(&grid);
}

/* One set of approach_sets.csv. */
struct set {
    double t[MOST], y[MOST], sd[MOST], shared[MOST];
    size_t count;
};

static FILE *
open_data(const char *name)
{
    char path[4096];
    FILE *file;

    snprintf(path, sizeof path, "%s/tests/science/data/%s", getenv("SOURCE_ROOT"), name);
    file = fopen(path, "r");
    assert_non_null(file);
    assert_int_equal(fscanf(file, "%*[^\n]\n"), 0);
    return file;
}

/* The rows of one set; *row is the line read last. */
static void
read_set(FILE *file, int number, char *row, size_t size, struct set *set)
{
    set->count = 0;
    do {
        int of;
        size_t i = set->count;

        if (*row == '\0')
            continue;
        assert_true(i < MOST);
        assert_int_equal(
            sscanf(row, "%d,%lf,%lf,%lf,%lf", &of, &set->t[i], &set->y[i], &set->sd[i], &set->shared[i]), 5);
        if (of != number)
            return;
        set->count++;
    } while (fgets(row, (int)size, file) != NULL);
    *row = '\0';
}

static double
weighed(const double *weights, const struct set *set)
{
    double sum = 0.0;

    for (size_t i = 0; i < set->count; i++)
        sum += weights[i] * set->shared[i];
    return sum;
}

static void
random_sets_agree_with_whitened_nls_or_are_open(void **state)
{
    FILE *sets = open_data("approach_sets.csv"), *fits = open_data("approach_fits.csv");
    char row[256] = "", answer[256];
    size_t inner = 0, open = 0;

    (void)state;
    for (int number = 1; fgets(answer, sizeof answer, fits) != NULL; number++) {
        double end, drop, rate, shared_end, shared_20, weights[MOST];
        struct set set;
        struct approach_grid grid;
        struct approach fit;
        bool r_found =
                 sscanf(answer, "%*d,%lf,%lf,%lf,%lf,%lf", &end, &drop, &rate, &shared_end, &shared_20) == 5,
             downwards;

        read_set(sets, number, row, sizeof row, &set);
        grid = usual_grid(set.t, set.count);
        approach_fit(&grid, set.y, set.sd, APPROACH_ALL, &fit);
        if (r_found && rate > APPROACH_SLOWEST / set.t[set.count - 1] * 1.02 &&
            rate < APPROACH_FASTEST / set.t[1] / 1.02) {
            inner++;
            assert_true(fit.inner);
            check_close(fit.best.end, end, 1e-6, "R nls(), whitened");
            check_close(fit.best.drop, drop, 1e-6, "R nls(), whitened");
            check_close(fit.best.rate, rate, 1e-6, "R nls(), whitened");
            approach_weights(&grid, &fit, set.sd, INFINITY, weights);
            check_close(weighed(weights, &set), shared_end, 1e-6 * fmax(1.0, fabs(shared_end)), "R solve()");
            approach_weights(&grid, &fit, set.sd, 20.0, weights);
            check_close(weighed(weights, &set), shared_20, 1e-6, "R solve()");
        } else if (!fit.inner && fit.best.rate < 1.0 / set.t[set.count - 1]) {
            open++;
            assert_true(approach_end_open(&fit, 1.96, &downwards));
        }
        approach_clear(&fit);
        approach_grid_clear(&grid);
    }
    fclose(sets);
    fclose(fits);
    assert_true(inner >= 100);
    assert_true(open > 0);
}

static void
curve_without_scatter_is_found_again(void **state)
{
    static const double rates[] = {0.01, 0.02, 0.1, 0.5, 2.0};
    struct approach_grid grid = usual_grid(age_d, CURE);

    (void)state;
    for (size_t r = 0; r < LENGTH(rates); r++) {
        double y[CURE], low, high;
        struct approach fit;

        for (size_t i = 0; i < CURE; i++)
            y[i] = 9.5 + 0.8 * exp(-rates[r] * (age_d[i] - 1.0));
        approach_fit(&grid, y, ph_u, APPROACH_ALL, &fit);
        check_close(fit.best.rate / rates[r], 1.0, 1e-8, "the model itself");
        check_close(fit.best.end, 9.5, 1e-8, "the model itself");
        check_close(approach_value(&fit, 0.0), 10.3, 1e-8, "the model itself");
        approach_interval(&fit, 10.0, 1.96, &low, &high);
        assert_true(low < approach_value(&fit, 10.0) && approach_value(&fit, 10.0) < high);
        check_close(approach_extra_variance(&grid, y, ph_u), 0.0, 0.0, "no more than stated");
        approach_clear(&fit);
    }
    approach_grid_clear(&grid);
}

/* At a rate that is known the interval is the linear model's, value +/- reach x u, with u by hand for two groups. */
static void
the_interval_at_one_rate_is_the_linear_one(void **state)
{
    static const double t[] = {0, 1, 2}, y[] = {10, 9.6, 9.5}, sd[] = {0.1, 0.1, 0.1};
    struct approach_grid grid = {0};
    struct approach fit;
    struct failure failure = {0};
    double low, high, e1 = exp(-1.0), e2 = exp(-2.0), mean = (1.0 + e1 + e2) / 3.0;
    double squares = pow(1.0 - mean, 2) + pow(e1 - mean, 2) + pow(e2 - mean, 2);

    (void)state;
    check_ok(approach_grid_of(t, 3, 1.0, 1.0 + 1e-9, &grid, &failure), &failure);
    approach_fit(&grid, y, sd, APPROACH_ALL, &fit);
    approach_interval(&fit, INFINITY, 2.0, &low, &high);
    check_close(0.5 * (high - low), 2.0 * 0.1 * sqrt(1.0 / 3.0 + mean * mean / squares), 1e-7,
                "by hand: a straight line in exp(-t), at 0");
    approach_clear(&fit);
    approach_grid_clear(&grid);
}

/* With all deviations known the expectation of the sum of squares is count - 3. */
static void
extra_variance_brings_the_squares_to_their_expectation(void **state)
{
    struct approach_grid grid = usual_grid(age_d, CURE);
    double y[CURE], sd[CURE], extra;

    (void)state;
    for (size_t i = 0; i < CURE; i++) {
        y[i] = ph[i] + (i % 2 == 0 ? 0.1 : -0.1);
        sd[i] = 0.02;
    }
    extra = approach_extra_variance(&grid, y, sd);
    assert_true(extra > 0.005 && extra < 0.02);
    check_close(approach_least_squares(&grid, y, sd, extra, APPROACH_ALL), 9.0, 1e-4,
                "12 points less 3 parameters");
    approach_grid_clear(&grid);
}

static void
a_point_left_out_is_as_if_it_were_not_there(void **state)
{
    struct approach_grid all = usual_grid(age_d, CURE), without;
    struct failure failure = {0};

    (void)state;
    for (size_t gone = 0; gone < CURE; gone++) {
        double t[CURE], y[CURE], sd[CURE];
        struct approach one, two;
        size_t count = 0;

        for (size_t i = 0; i < CURE; i++)
            if (i != gone) {
                t[count] = age_d[i];
                y[count] = ph[i];
                sd[count++] = ph_u[i];
            }
        check_ok(approach_grid_of(t, count, 0.5 / 69.0, 3.0, &without, &failure), &failure);
        approach_fit(&all, ph, ph_u, gone, &one);
        approach_fit(&without, y, sd, APPROACH_ALL, &two);
        check_close(one.best.end, two.best.end, 1e-9, "the same points");
        check_close(one.best.squares, two.best.squares, 1e-9, "the same points");
        approach_clear(&one);
        approach_clear(&two);
        approach_grid_clear(&without);
    }
    approach_grid_clear(&all);
}

/* Any first gap, any first age: nothing overflows, nothing is refused. */
static void
times_of_any_kind_give_numbers(void **state)
{
    static const double firsts[] = {0, 1, 35, 400, 1e6}, gaps[] = {1, 2, 30, 1000};

    (void)state;
    for (size_t f = 0; f < LENGTH(firsts); f++)
        for (size_t g = 0; g < LENGTH(gaps); g++) {
            double t[5], low, high, weights[5];
            static const double y[] = {10.4, 9.9, 9.7, 9.6, 9.6}, sd[] = {0.03, 0.03, 0.03, 0.03, 0.03};
            struct approach_grid grid;
            struct approach fit;

            for (size_t i = 0; i < 5; i++)
                t[i] = firsts[f] + (i == 0 ? 0.0 : gaps[g] + 20.0 * (double)(i - 1));
            grid = usual_grid(t, 5);
            approach_fit(&grid, y, sd, APPROACH_ALL, &fit);
            approach_interval(&fit, INFINITY, 2.0, &low, &high);
            approach_weights(&grid, &fit, sd, INFINITY, weights);
            assert_true(isfinite(low) && isfinite(high) && low <= fit.best.end && fit.best.end <= high);
            for (size_t i = 0; i < 5; i++)
                assert_true(isfinite(weights[i]));
            approach_clear(&fit);
            approach_grid_clear(&grid);
        }
}

static void
equal_values_have_no_drop_and_an_open_end(void **state)
{
    static const double t[] = {2, 7, 14, 28}, sd[] = {0.05, 0.05, 0.05, 0.05};

    (void)state;
    for (int hundredths = 850; hundredths <= 1150; hundredths += 3) {
        double value = hundredths / 100.0, y[4] = {value, value, value, value}, weights[4];
        struct approach_grid grid = usual_grid(t, 4);
        struct approach fit;
        bool downwards;

        approach_fit(&grid, y, sd, APPROACH_ALL, &fit);
        check_close(fit.best.end, value, 0.0, "exactly");
        check_close(fit.best.drop, 0.0, 0.0, "exactly");
        assert_true(approach_end_open(&fit, 2.0, &downwards));
        assert_true(downwards);
        approach_weights(&grid, &fit, sd, 10.0, weights);
        check_close(weights[0] + weights[1] + weights[2] + weights[3], 1.0, 1e-9, "a constant is kept");
        approach_clear(&fit);
        approach_grid_clear(&grid);
    }
}

static void
impossible_times_are_refused(void **state)
{
    static const double falling[] = {1, 3, 2}, twice[] = {1, 1, 2}, odd[] = {1, NAN, 3}, sound[] = {1, 2, 3};
    struct approach_grid grid = {.count = 77};
    struct failure failure = {0};

    (void)state;
    check_refused(approach_grid_of(falling, 3, 0.1, 1.0, &grid, &failure), STATUS_RANGE, &failure);
    check_refused(approach_grid_of(twice, 3, 0.1, 1.0, &grid, &failure), STATUS_RANGE, &failure);
    check_refused(approach_grid_of(odd, 3, 0.1, 1.0, &grid, &failure), STATUS_RANGE, &failure);
    check_refused(approach_grid_of(sound, 2, 0.1, 1.0, &grid, &failure), STATUS_RANGE, &failure);
    check_refused(approach_grid_of(sound, 3, 0.0, 1.0, &grid, &failure), STATUS_RANGE, &failure);
    check_refused(approach_grid_of(sound, 3, 1.0, 1.0, &grid, &failure), STATUS_RANGE, &failure);
    check_refused(approach_grid_of(sound, 3, 1.0, INFINITY, &grid, &failure), STATUS_RANGE, &failure);
    assert_int_equal(grid.count, 77);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(misra1a_is_fitted_to_certified_digits),
    cmocka_unit_test(an_invented_cure_agrees_with_r),
    cmocka_unit_test(random_sets_agree_with_whitened_nls_or_are_open),
    cmocka_unit_test(curve_without_scatter_is_found_again),
    cmocka_unit_test(the_interval_at_one_rate_is_the_linear_one),
    cmocka_unit_test(extra_variance_brings_the_squares_to_their_expectation),
    cmocka_unit_test(a_point_left_out_is_as_if_it_were_not_there),
    cmocka_unit_test(times_of_any_kind_give_numbers),
    cmocka_unit_test(equal_values_have_no_drop_and_an_open_end),
    cmocka_unit_test(impossible_times_are_refused),
};

const struct check_module test_science_approach_fit = CHECK_MODULE("science/approach_fit", tests);
