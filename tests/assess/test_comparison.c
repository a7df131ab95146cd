/* test_comparison.c - differences between batches; R 4.2.2 beside (comparison.R), and simulation. */
#include "check.h"
#include "comparison.h"
#include "distribution.h"
#include "draw.h"

enum { MOST = 16 };

/* A batch of at most MOST results, from ages and pH with an uncertainty of 0.05. */
struct batch_results {
    struct cure_point points[MOST];
    size_t count;
};

static struct batch_results
results(size_t count, const double (*rows)[2])
{
    struct batch_results made = {.count = count};

    for (size_t i = 0; i < count; i++)
        made.points[i] = (struct cure_point){.age_d = rows[i][0], .ph = rows[i][1], .u_ph = 0.05};
    return made;
}

static struct comparison
compare(struct batch_results first, struct batch_results second, double margin)
{
    struct comparison c = {0};
    struct failure failure = {0};

    check_ok(comparison_make(first.points, first.count, second.points, second.count, COMPARISON_WINDOW_USUAL,
                             margin, &c, &failure),
             &failure);
    return c;
}

static void
same_age_differences_are_practically_the_same(void **state)
{
    static const double first[][2] = {{2, 10.40}, {28, 9.95}, {120, 9.60}};
    static const double second[][2] = {{2, 10.40}, {28, 9.87}, {120, 9.53}};
    struct comparison c = compare(results(3, first), results(3, second), 0.2);

    (void)state; /* the differences: common practice, no source */
    assert_string_equal(comparison_design_word(c.design), "paired");
    assert_int_equal(c.n, 3);
    check_close(c.mean_difference, -0.05, 1e-12, "R t.test");
    check_close(c.u, 0.02516611478, 1e-10, "R t.test");
    check_close(c.dof, 2.0, 1e-12, "R t.test");
    check_close(c.low, -0.1582810525, 1e-9, "R t.test");
    check_close(c.high, 0.05828105247, 1e-9, "R t.test");
    check_close(c.t, -1.986798536, 1e-8, "R t.test");
    check_close(c.p_different, 0.1853118301, 1e-9, "R t.test");
    check_close(c.p_equivalent, 0.01350640618, 1e-9, "R t.test, two one-sided");
    check_close(c.detectable_difference, 0.14227636, 1e-7, "R power.t.test");
    assert_string_equal(comparison_conclusion_text(c.conclusion), "practically the same");
    comparison_clear(&c);
}

/* Beside t a test that knows only which way the pairs differ, and in which order of size. */
static void
pairs_have_a_rank_test_too(void **state)
{
    static const double first[][2] = {{2, 10.40}, {9, 10.10}, {28, 9.95}, {120, 9.60}};
    static const double second[][2] = {{2, 10.37}, {9, 10.02}, {28, 9.88}, {120, 9.55}};
    struct comparison c = compare(results(4, first), results(4, second), 0.2);

    (void)state;
    assert_int_equal(c.n, 4);
    check_close(c.p_rank, 0.125, 1e-12, "R wilcox.test, exact: 2 of 16 choices of signs");
    comparison_clear(&c);
}

static void
only_ages_within_the_window_are_pairs(void **state)
{
    static const double first[][2] = {{3, 10.31}, {10.5, 9.90}, {28, 9.61}, {61, 9.5}};
    static const double second[][2] = {{3.9, 10.72}, {10, 10.25}, {30, 10.09}, {90, 9.9}};
    struct comparison c = compare(results(4, first), results(4, second), 0.2);

    (void)state;
    assert_int_equal(c.pair_count, 3);
    check_close(c.pairs[2].second_age_d, 30.0, 0.0, "2 days apart, 2.9 allowed");
    check_close(c.mean_difference, 0.4133333333, 1e-9, "R t.test");
    check_close(c.p_different, 0.008158681917, 1e-9, "R t.test");
    assert_string_equal(comparison_conclusion_text(c.conclusion), "differs");
    comparison_clear(&c);
}

static void
bars_of_one_sitting_are_compared_by_welch(void **state)
{
    static const double first[][2] = {{28, 9.71}, {28, 9.78}, {28, 9.74}};
    static const double second[][2] = {{28, 9.52}, {28, 9.60}, {28, 9.49}, {28, 9.55}};
    struct comparison c = compare(results(3, first), results(4, second), 0.1);

    (void)state;
    assert_string_equal(comparison_design_word(c.design), "welch");
    check_close(c.mean_difference, -0.2033333333, 1e-9, "R t.test");
    check_close(c.u, 0.03100179206, 1e-10, "R t.test");
    check_close(c.dof, 4.984013322, 1e-8, "R t.test");
    check_close(c.low, -0.2831029234, 1e-9, "R t.test");
    check_close(c.p_different, 0.001250236403, 1e-10, "R t.test");
    check_close(c.p_rank, 0.05714285714, 1e-11, "R wilcox.test, exact: 2 of 35 orders");
    check_close(c.p_equivalent, 0.9895960167, 1e-9, "R t.test, two one-sided");
    check_close(c.detectable_difference, 0.13076858, 1e-7, "R power.t.test with the pooled scatter");
    assert_int_equal(c.conclusion, COMPARISON_DIFFERS);
    comparison_clear(&c);
}

static void
each_age_pairs_with_its_mutual_nearest_once(void **state)
{
    static const double first[][2] = {{20, 10.0}, {21, 10.0}, {22, 10.0}};
    static const double second[][2] = {{21.2, 9.9}};
    struct comparison c = compare(results(3, first), results(1, second), 0.2);

    (void)state;
    assert_int_equal(c.pair_count, 1);
    check_close(c.pairs[0].first_age_d, 21.0, 0.0, "rule 2");
    comparison_clear(&c);
}

static void
too_little_never_decides(void **state)
{
    static const double high[][2] = {{28, 11.5}}, low[][2] = {{28, 9.5}}, later[][2] = {{90, 9.5}};
    static const struct {
        size_t first, second;
        const double (*second_rows)[2];
        enum comparison_design design;
    } cases[] = {{1, 1, low, COMPARISON_SINGLE},
                 {1, 1, later, COMPARISON_SINGLE},
                 {0, 1, low, COMPARISON_NOTHING},
                 {1, 0, low, COMPARISON_NOTHING}};

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct comparison c =
            compare(results(cases[i].first, high), results(cases[i].second, cases[i].second_rows), 0.2);

        assert_int_equal(c.design, cases[i].design);
        assert_int_equal(c.conclusion, COMPARISON_CANNOT_TELL);
        if (c.design == COMPARISON_SINGLE) {
            check_close(c.mean_difference, -2.0, 1e-12, "9.5 less 11.5");
            check_close(c.u, 0.05 * sqrt(2.0), 1e-12, "two uncertainties of 0.05 in quadrature");
        }
        comparison_clear(&c);
    }
}

static void
other_ages_never_decide(void **state)
{
    static const double first[][2] = {{3, 10.5}, {5, 10.4}, {7, 10.45}};
    static const double second[][2] = {{60, 9.5}, {70, 9.4}, {80, 9.45}};
    struct comparison c = compare(results(3, first), results(3, second), 0.2);

    (void)state;
    assert_int_equal(c.design, COMPARISON_WELCH);
    assert_true(c.ages_differ && c.p_different < 0.001);
    assert_int_equal(c.conclusion, COMPARISON_CANNOT_TELL);
    comparison_clear(&c);
}

/* Equal differences: the meter's rounding alone makes them scatter by resolution / sqrt 6 (two roundings, each
 * rectangular). */
static void
without_scatter_the_rounding_stands_in(void **state)
{
    static const double first[][2] = {{2, 10.4}, {28, 9.9}}, second[][2] = {{2, 10.3}, {28, 9.8}};
    struct comparison c = compare(results(2, first), results(2, second), 0.2), same;

    (void)state;
    assert_int_equal(c.design, COMPARISON_PAIRED);
    check_close(c.mean_difference, -0.1, 1e-12, "arithmetic");
    check_close(c.u, 0.01 / sqrt(6.0) / sqrt(2.0), 1e-12, "by hand, a resolution of 0.01 assumed");
    check_close(c.dof, 1.0, 0.0, "two pairs");
    comparison_clear(&c);
    for (int hundredths = 850; hundredths <= 1150; hundredths += 3) {
        const double value = hundredths / 100.0, rows[][2] = {{2, value}, {9, value}, {28, value}};

        same = compare(results(3, rows), results(3, rows), 0.2);
        check_close(same.mean_difference, 0.0, 0.0, "exactly");
        check_close(same.p_different, 1.0, 0.0, "no difference at all");
        assert_int_equal(same.conclusion, COMPARISON_SAME);
        comparison_clear(&same);
    }
}

/* Two batches, each pair 0.12 apart; what the meters' accuracy (one or two) is off by. */
static struct comparison
with_meters(int64_t first_meter, int64_t second_meter, size_t pairs, double apart)
{
    struct batch_results batches[2] = {{.count = pairs}, {.count = pairs}};
    struct sources sources[2][MOST] = {0};

    for (int b = 0; b < 2; b++)
        for (size_t i = 0; i < pairs; i++) {
            struct cure_point *point = &batches[b].points[i];
            int64_t meter = b == 0 ? first_meter : second_meter;
            double wiggle = b == 1 && i % 2 == 0 ? 0.01 : 0.0;

            *point = (struct cure_point){.age_d = 7.0 * (double)(i + 1),
                                         .ph = 10.0 - 0.05 * (double)i + (b == 1 ? apart + wiggle : 0.0),
                                         .u_ph = 0.12,
                                         .resolution_ph = 0.01,
                                         .meter_id = meter,
                                         .calibration_id = meter,
                                         .sources = &sources[b][i]};
            sources[b][i] = (struct sources){.ph = point->ph, .own_u_ph = 0.02};
            sources_add(&sources[b][i],
                        &(struct source_part){.source = {SOURCE_ACCURACY, meter, NULL},
                                              .rectangular = true,
                                              .u_ph = 0.2 / sqrt(3.0)},
                        1.0);
        }
    return compare(batches[0], batches[1], 0.2);
}

static void
what_is_shared_cancels_and_what_is_not_counts(void **state)
{
    struct comparison one = with_meters(1, 1, 6, 0.12), two = with_meters(1, 2, 6, 0.12),
                      many = with_meters(1, 2, 15, 0.12), far = with_meters(1, 2, 6, 0.9);

    (void)state;
    assert_int_equal(one.sharing, COMPARISON_SAME_SITTINGS);
    check_close(one.shared_half_ph, 0.0, 1e-12, "one meter");
    assert_int_equal(two.sharing, COMPARISON_TWO_METERS);
    check_close(two.shared_half_ph, 0.3131139538, 1e-6,
                "R: a rectangle of 0.2 and a normal one of 0.2 / sqrt 3");
    assert_true(one.p_different < 0.001 && two.p_different > 0.05);
    assert_int_equal(two.conclusion, COMPARISON_CANNOT_TELL);
    assert_true(many.high - many.low > 2.0 * 0.3131); /* more pairs do not make it smaller */
    assert_int_equal(far.conclusion, COMPARISON_DIFFERS);
    comparison_clear(&one);
    comparison_clear(&two);
    comparison_clear(&many);
    comparison_clear(&far);
}

/* The p value is the level at which the interval ends at 0: the interval at that level, worked out from outside. */
static void
p_is_the_level_at_which_the_interval_meets_zero(void **state)
{
    struct comparison two = with_meters(1, 2, 6, 0.3);
    double tail = 1.0 - 0.5 * two.p_different, own = student_t_quantile(tail, 5.0) * two.sd / sqrt(6.0);
    double rest = hypot(own / student_t_quantile(tail, INFINITY), 0.2 / sqrt(3.0));

    (void)state;
    check_close(rectangle_normal_quantile(0.2, rest, tail), fabs(two.mean_difference), 1e-6,
                "one meter's rectangle, and all else beside it, at that level");
    comparison_clear(&two);
}

static void
several_variants_are_held_to_a_stricter_standard(void **state)
{
    struct comparison many[3] = {
        {.design = COMPARISON_PAIRED, .p_different = 0.03, .p_equivalent = 0.5},
        {.design = COMPARISON_PAIRED, .p_different = 0.02, .p_equivalent = 0.5},
        {.design = COMPARISON_SINGLE, .p_different = 0.01, .p_equivalent = 0.5},
    };
    struct failure failure = {0};

    (void)state;
    check_ok(comparison_correct(many, 3, &failure), &failure);
    check_close(many[0].p_different, 0.04, 1e-12, "Holm: 0.02 x 2 = 0.04, then not below it: 0.04");
    check_close(many[1].p_different, 0.04, 1e-12, "Holm");
    check_close(many[2].p_different, 0.01, 0.0, "it cannot decide, and does not count");
    assert_int_equal(many[0].conclusion, COMPARISON_DIFFERS);
    many[2] = (struct comparison){.design = COMPARISON_PAIRED, .p_different = 0.04, .p_equivalent = 0.5};
    many[0].p_different = 0.03;
    many[1].p_different = 0.02;
    check_ok(comparison_correct(many, 3, &failure), &failure);
    for (size_t i = 0; i < 3; i++) {
        check_close(many[i].p_different, 0.06, 1e-12, "R p.adjust");
        assert_int_equal(many[i].conclusion, COMPARISON_CANNOT_TELL);
    }
}

static void
impossible_comparisons_are_refused(void **state)
{
    static const struct cure_point sound = {.age_d = 5, .ph = 9, .u_ph = 0.1}, bad = {.age_d = 5, .ph = NAN};
    struct comparison c = {.n = 77};
    struct failure failure = {0};

    (void)state;
    check_refused(comparison_make(&sound, 1, &sound, 1, 0.0, 0.2, &c, &failure), STATUS_RANGE, &failure);
    check_refused(comparison_make(&sound, 1, &sound, 1, 1.01, 0.2, &c, &failure), STATUS_RANGE, &failure);
    check_refused(comparison_make(&sound, 1, &sound, 1, 0.1, 0.0, &c, &failure), STATUS_RANGE, &failure);
    check_refused(comparison_make(&sound, 1, &sound, 1, 0.1, NAN, &c, &failure), STATUS_RANGE, &failure);
    check_refused(comparison_make(&sound, 1, &bad, 1, 0.1, 0.2, &c, &failure), STATUS_RANGE, &failure);
    assert_int_equal(c.n, 77);
}

static void
long_series_are_paired_without_end(void **state)
{
    enum { LONG = 10000 };
    struct cure_point *first = memory_new(LONG, sizeof *first), *second = memory_new(LONG, sizeof *second);
    struct comparison c = {0};
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LONG; i++) {
        first[i] = (struct cure_point){.age_d = (double)i, .ph = 10.0, .u_ph = 0.05};
        second[i] = (struct cure_point){.age_d = (double)i + 0.25, .ph = i % 2 ? 9.9 : 10.0, .u_ph = 0.05};
    }
    check_ok(comparison_make(first, LONG, second, LONG, 0.1, 0.2, &c, &failure), &failure);
    assert_int_equal(c.pair_count, LONG);
    check_close(c.mean_difference, -0.05, 1e-9, "half of 0.1");
    comparison_clear(&c);
    free(first);
    free(second);
}

/* Box and Muller (1958), Ann. Math. Stat. 29, 610-611. */
static double
normal(struct draw *stream)
{
    double first, second;

    draw_pair(stream, &first, &second);
    return sqrt(-2.0 * log(first)) * cos(2.0 * M_PI * second);
}

/* Two cures alike but for `difference`, tested on the same days with the same meter, whose error of the day
 * (0.1 pH) is common to both; the bars themselves scatter by 0.05. */
static enum comparison_conclusion
simulate(struct draw *stream, double difference, bool paired)
{
    static const double ages[] = {3, 10, 24, 45, 70, 100};
    struct batch_results first = {.count = LENGTH(ages)}, second = {.count = LENGTH(ages)};
    struct comparison c;
    enum comparison_conclusion conclusion;

    for (size_t i = 0; i < LENGTH(ages); i++) {
        double age = paired ? ages[i] : 50.0, day = paired ? 0.1 * normal(stream) : 0.0;
        double ph = 9.5 + exp(-0.06 * age) + day;

        first.points[i] = (struct cure_point){.age_d = age, .ph = ph + 0.05 * normal(stream), .u_ph = 0.05};
        second.points[i] =
            (struct cure_point){.age_d = age, .ph = ph + difference + 0.05 * normal(stream), .u_ph = 0.05};
    }
    c = compare(first, second, 0.2);
    assert_int_equal(c.design, paired ? COMPARISON_PAIRED : COMPARISON_WELCH);
    conclusion = c.conclusion;
    if (conclusion == COMPARISON_SAME && c.p_different <= COMPARISON_SIGNIFICANCE && difference == 0.0)
        conclusion = COMPARISON_DIFFERS; /* counts as an error of the difference test all the same */
    comparison_clear(&c);
    return conclusion;
}

/* At 2,000 tries a true rate of 5 % shows as 3 to 7 % with a margin of four standard deviations. */
static void
wrong_answers_are_as_rare_as_they_should_be(void **state)
{
    enum { TRIES = 2000 };
    struct draw stream;

    (void)state;
    draw_init(&stream, 20260303);
    for (int paired = 0; paired < 2; paired++) {
        size_t wrong_differs = 0, wrong_same = 0;

        for (int i = 0; i < TRIES; i++) {
            wrong_differs += simulate(&stream, 0.0, paired) == COMPARISON_DIFFERS;
            wrong_same += simulate(&stream, -0.2, paired) == COMPARISON_SAME;
        }
        print_message("%s: differs without a difference %.4f, the same at the margin %.4f\n",
                      paired ? "paired" : "welch", (double)wrong_differs / TRIES, (double)wrong_same / TRIES);
        assert_in_range(wrong_differs, TRIES * 3 / 100, TRIES * 7 / 100);
        assert_in_range(wrong_same, TRIES * 3 / 100, TRIES * 7 / 100);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(same_age_differences_are_practically_the_same),
    cmocka_unit_test(pairs_have_a_rank_test_too),
    cmocka_unit_test(only_ages_within_the_window_are_pairs),
    cmocka_unit_test(bars_of_one_sitting_are_compared_by_welch),
    cmocka_unit_test(each_age_pairs_with_its_mutual_nearest_once),
    cmocka_unit_test(too_little_never_decides),
    cmocka_unit_test(other_ages_never_decide),
    cmocka_unit_test(without_scatter_the_rounding_stands_in),
    cmocka_unit_test(what_is_shared_cancels_and_what_is_not_counts),
    cmocka_unit_test(p_is_the_level_at_which_the_interval_meets_zero),
    cmocka_unit_test(several_variants_are_held_to_a_stricter_standard),
    cmocka_unit_test(impossible_comparisons_are_refused),
    cmocka_unit_test(long_series_are_paired_without_end),
    cmocka_unit_test(wrong_answers_are_as_rare_as_they_should_be),
};

const struct check_module test_assess_comparison = CHECK_MODULE("assess/comparison", tests);
