/* test_two_samples.c - differences against R 4.2.2 (two_samples.R beside this file). */
#include "check.h"

#include <gsl/gsl_statistics_double.h>

#include "two_samples.h"

/* What two_samples.R prints, in its order; readings are invented. */
struct r_test {
    double difference, standard_error, dof, t, p, low, high, p_above, p_below;
};

static void
same(const struct difference *d, const struct r_test *r)
{
    const char *source = "R t.test()";

    check_close(d->difference, r->difference, 1e-13, source);
    check_close(d->standard_error, r->standard_error, 1e-14, source);
    check_close(d->dof, r->dof, 1e-11, source);
    check_close(d->t, r->t, 1e-11, source);
    check_close(d->p_differs / r->p, 1.0, 1e-11, source);
    check_close(d->low, r->low, 1e-12, source);
    check_close(d->high, r->high, 1e-12, source);
    check_close(d->p_above_minus_margin / r->p_above, 1.0, 1e-11, source);
    check_close(d->p_below_margin / r->p_below, 1.0, 1e-11, source);
    check_close(d->p_equivalent, fmax(r->p_above, r->p_below), 1e-12, source);
}

/* Student's t of pairs, and Welch's of two sets (B. L. Welch 1947, Biometrika 34, 28-35; from memory). */
static struct difference
paired(const double *first, const double *second, size_t count, double margin)
{
    struct failure failure = {0};
    struct difference d = {0};
    double differences[8];

    for (size_t i = 0; i < count; i++)
        differences[i] = first[i] - second[i];
    check_ok(difference_test(gsl_stats_mean(differences, 1, count),
                             gsl_stats_sd(differences, 1, count) / sqrt((double)count), (double)count - 1.0,
                             0.95, margin, &d, &failure),
             &failure);
    return d;
}

static struct difference
unpaired(const double *first, size_t n, const double *second, size_t m, double coverage, double margin)
{
    double a = gsl_stats_variance(first, 1, n) / (double)n, b = gsl_stats_variance(second, 1, m) / (double)m;
    struct failure failure = {0};
    struct difference d = {0};

    check_ok(difference_test(gsl_stats_mean(first, 1, n) - gsl_stats_mean(second, 1, m), sqrt(a + b),
                             (a + b) * (a + b) / (a * a / (double)(n - 1) + b * b / (double)(m - 1)),
                             coverage, margin, &d, &failure),
             &failure);
    return d;
}

static void
pairs_agree_with_r(void **state)
{
    /* differences 0.00, -0.08, -0.07: common practice, no source; mean -0.05, not different, equivalent */
    static const double oat[] = {9.70, 9.60, 9.50}, plain[] = {9.70, 9.68, 9.57};
    static const struct r_test thin = {-0.05,
                                       0.0251661147842359,
                                       2,
                                       -1.98679853559757,
                                       0.185311830109647,
                                       -0.158281052473581,
                                       0.0582810524735807,
                                       0.0135064061775382,
                                       0.00499093135079278};
    static const double one[] = {9.87, 9.75, 9.66, 9.58, 9.55}, other[] = {9.61, 9.48, 9.44, 9.29, 9.33};
    static const struct r_test clear = {0.252,
                                        0.0139283882771841,
                                        4,
                                        18.0925455971671,
                                        5.48730386727572e-05,
                                        0.213328594544518,
                                        0.290671405455482,
                                        2.68798408689655e-06,
                                        0.989881396782598};
    struct difference d;

    (void)state;
    d = paired(oat, plain, 3, 0.2);
    same(&d, &thin);
    check_close(d.p_equivalent, 0.0135, 5e-5, "R t.test()");
    d = paired(one, other, 5, 0.2);
    same(&d, &clear);
}

static void
sets_without_pairs_agree_with_r(void **state)
{
    static const double one[] = {9.87, 9.75, 9.66, 9.58, 9.55}, two[] = {9.61, 9.48, 9.44};
    static const struct r_test unequal = {0.172,
                                          0.0777646020586057,
                                          5.73105034732848,
                                          2.21180325555291,
                                          0.0710664736388968,
                                          -0.0204688162681485,
                                          0.36446881626815,
                                          8.46940298959475e-05,
                                          0.00308691841724808};
    static const double calm[] = {9.81, 9.84, 9.86}, wild[] = {9.83, 9.80, 9.99, 9.71, 9.88, 9.92};
    static const struct r_test level = {-0.0183333333333344, 0.0424591306761898, 6.14409412753192,
                                        -0.431787769588401,  0.680637597291557,  -0.121639302449734,
                                        0.0849726357830652,  0.0508207596087182, 0.0154602201100651};
    struct difference d = {0};

    (void)state;
    d = unpaired(one, 5, two, 3, 0.95, 0.5);
    same(&d, &unequal);
    d = unpaired(calm, 3, wild, 6, 0.95, 0.1);
    same(&d, &level);
}

static void
swapping_the_sets_turns_the_signs(void **state)
{
    static const double one[] = {9.87, 9.75, 9.66, 9.58, 9.55}, two[] = {9.61, 9.48, 9.44};
    struct difference d = {0}, e = {0};

    (void)state;
    d = unpaired(one, 5, two, 3, 0.9, 0.2);
    e = unpaired(two, 3, one, 5, 0.9, 0.2);
    check_close(d.difference, -e.difference, 0.0, "mirror");
    check_close(d.low, -e.high, 1e-15, "mirror");
    check_close(d.p_differs, e.p_differs, 1e-15, "mirror");
    check_close(d.p_above_minus_margin, e.p_below_margin, 1e-15, "mirror");
}

static void
known_standard_error_is_tested_like_any_other(void **state)
{
    struct failure failure = {0};
    struct difference d = {0};

    (void)state;
    check_ok(difference_test(0.196, 0.1, INFINITY, 0.95, 0.3, &d, &failure), &failure);
    check_close(d.p_differs, 0.05, 5e-5, "normal table at 1.96: 0.0500");
    check_close(d.low, 0.0, 1e-5, "normal table at 1.96");
    check_close(d.p_below_margin, 0.1492, 5e-5, "normal table at 1.04");
}

static void
wider_margin_and_less_scatter_never_speak_against_sameness(void **state)
{
    double last = 1.0;

    (void)state;
    for (int i = 1; i <= 40; i++) {
        struct failure failure = {0};
        struct difference d = {0}, calmer = {0};

        check_ok(difference_test(0.05, 0.1, 7.0, 0.95, 0.01 * i + 0.05, &d, &failure), &failure);
        check_ok(difference_test(0.05, 0.05, 7.0, 0.95, 0.01 * i + 0.05, &calmer, &failure), &failure);
        assert_true(d.p_equivalent < last && calmer.p_equivalent < d.p_equivalent);
        last = d.p_equivalent;
    }
}

static void
holm_agrees_with_r(void **state)
{
    static const double p[] = {0.04, 0.01, 0.03, 0.005, 0.2, 0.9};
    static const double adjusted[] = {0.12, 0.05, 0.12, 0.03, 0.4, 0.9};
    struct failure failure = {0};
    double result[LENGTH(p)], backwards[] = {0.5, 0.022, 0.02};

    (void)state;
    check_ok(holm_adjust(p, LENGTH(p), result, &failure), &failure);
    for (size_t i = 0; i < LENGTH(p); i++)
        check_close(result[i], adjusted[i], 1e-15, "R p.adjust(\"holm\")");
    check_ok(holm_adjust(backwards, LENGTH(backwards), backwards, &failure), &failure); /* in place */
    check_close(backwards[0], 0.5, 1e-15, "R p.adjust(\"holm\")");
    check_close(backwards[1], 0.06, 1e-15, "R p.adjust(\"holm\"): never below a smaller p value's");
    check_close(backwards[2], 0.06, 1e-15, "R p.adjust(\"holm\")");
}

static void
impossible_requests_are_refused_and_the_result_left_alone(void **state)
{
    static const struct {
        double difference, standard_error, dof, coverage, margin;
    } bad[] = {
        {NAN, 0.1, 5, 0.95, 0.2},      {0.1, 0, 5, 0.95, 0.2},   {0.1, -1, 5, 0.95, 0.2},
        {0.1, NAN, 5, 0.95, 0.2},      {0.1, 0.1, 0, 0.95, 0.2}, {0.1, 0.1, NAN, 0.95, 0.2},
        {0.1, 0.1, 5, 1, 0.2},         {0.1, 0.1, 5, 0, 0.2},    {0.1, 0.1, 5, 0.95, 0},
        {0.1, 0.1, 5, 0.95, INFINITY}, {0.1, 0.1, 5, 0.95, NAN},
    };
    static const double p[] = {0.1, 1.1};
    struct difference d = {.t = -5.0};
    struct failure failure = {0};
    double adjusted[2] = {-5.0, -5.0};

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(difference_test(bad[i].difference, bad[i].standard_error, bad[i].dof, bad[i].coverage,
                                      bad[i].margin, &d, &failure),
                      STATUS_RANGE, &failure);
    assert_true(d.t == -5.0);
    check_refused(holm_adjust(p, 2, adjusted, &failure), STATUS_RANGE, &failure);
    check_refused(holm_adjust(p, 0, adjusted, &failure), STATUS_RANGE, &failure);
    assert_true(adjusted[0] == -5.0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(pairs_agree_with_r),
    cmocka_unit_test(sets_without_pairs_agree_with_r),
    cmocka_unit_test(swapping_the_sets_turns_the_signs),
    cmocka_unit_test(known_standard_error_is_tested_like_any_other),
    cmocka_unit_test(wider_margin_and_less_scatter_never_speak_against_sameness),
    cmocka_unit_test(holm_agrees_with_r),
    cmocka_unit_test(impossible_requests_are_refused_and_the_result_left_alone),
};

const struct check_module test_science_two_samples = CHECK_MODULE("science/two_samples", tests);
