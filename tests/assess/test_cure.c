/* test_cure.c - curves, marks and ready dates of a cure; R 4.2.2 beside (cure.R), and simulation. */
#include "check.h"
#include "cure.h"
#include "distribution.h"
#include "draw.h"
#include "flag.h"

enum { MOST = 16 };

static struct cure
follow(const struct cure_point *points, size_t count, double target_ph)
{
    struct failure failure = {0};
    struct cure cure = {0};

    check_ok(cure_follow(points, count, target_ph, &cure, &failure), &failure);
    return cure;
}

/* Three numbers a point: age, pH, uncertainty. */
static struct cure
follow_rows(const double (*rows)[3], size_t count, double target_ph)
{
    struct cure_point points[MOST];

    assert_true(count <= MOST);
    for (size_t i = 0; i < count; i++)
        points[i] = (struct cure_point){.age_d = rows[i][0], .ph = rows[i][1], .u_ph = rows[i][2]};
    return follow(points, count, target_ph);
}

static const double invented[][3] = {{1, 10.42, 0.08}, {2, 10.31, 0.05}, {4, 10.18, 0.05}, {7, 9.96, 0.06},
                                     {10, 9.85, 0.04}, {14, 9.74, 0.05}, {21, 9.55, 0.05}, {28, 9.49, 0.04},
                                     {35, 9.47, 0.09}, {42, 9.41, 0.05}, {56, 9.42, 0.05}, {70, 9.40, 0.03}};

static void
ready_range_of_an_approach_agrees_with_r(void **state)
{
    static const struct {
        double target, from, to;
    } known[] = {{10.0, 6.00432751, 7.61563527}, {9.5, 23.13430157, 31.25324837}};

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct cure cure = follow_rows(invented, LENGTH(invented), known[i].target);

        assert_int_equal(cure.model, CURE_APPROACH);
        assert_int_equal(cure.flags, 0);
        check_close(cure.ready_from_d, known[i].from, 1e-5, "R nls, vcov, uniroot");
        check_close(cure.ready_to_d, known[i].to, 1e-5, "R nls, vcov, uniroot");
        cure_clear(&cure);
    }
}

static void
three_ages_give_a_line_and_its_ready_range_agrees_with_r(void **state)
{
    static const double rows[][3] = {{3, 10.3, 0.05}, {10, 10.1, 0.06}, {24, 9.85, 0.05}};
    struct cure cure = follow_rows(rows, LENGTH(rows), 9.8);
    char *why = cure_reason_text(&cure);

    (void)state;
    assert_int_equal(cure.model, CURE_LINE);
    assert_string_equal(why, "3 ages were tested; a curve needs four");
    check_close(cure.ready_from_d, 21.93098967, 1e-5, "R lm, uniroot");
    check_close(cure.ready_to_d, 32.86313805, 1e-5, "R lm, uniroot");
    free(why);
    cure_clear(&cure);
}

static void
line_reaches_no_further_than_half_again_the_span(void **state)
{
    static const double rows[][3] = {{3, 10.3, 0.05}, {10, 10.1, 0.06}, {24, 9.85, 0.05}};
    struct cure cure = follow_rows(rows, LENGTH(rows), 9.0);
    struct failure failure = {0};
    double ph = -1.0, mean, new_half;

    (void)state;
    check_close(cure.age_limit_d, 34.5, 1e-12, "24 + (24 - 3) / 2");
    assert_true(isnan(cure.ready_to_d));
    assert_true(cure_has(&cure, CURE_NOT_PREDICTED));
    check_ok(cure_at(&cure, 34.5, 0.05, &ph, &mean, &new_half, &failure), &failure);
    assert_true(new_half > mean);
    ph = -1.0;
    check_refused(cure_at(&cure, 34.6, 0.05, &ph, &mean, &new_half, &failure), STATUS_RANGE, &failure);
    check_refused(cure_at(&cure, 2.9, 0.05, &ph, &mean, &new_half, &failure), STATUS_RANGE, &failure);
    check_refused(cure_at(&cure, NAN, 0.05, &ph, &mean, &new_half, &failure), STATUS_RANGE, &failure);
    check_close(ph, -1.0, 0.0, "a refusal leaves the result alone");
    cure_clear(&cure);
}

static void
a_rise_in_the_first_week_is_marked_and_too_few_ages_are_said(void **state)
{
    static const double rows[][3] = {{2, 9.94, 0.06}, {7, 10.63, 0.06}, {120, 9.54, 0.06}};
    struct cure cure = follow_rows(rows, LENGTH(rows), 10.0); /* common practice, no source */
    char *flags = cure_flag_text(&cure), *why = cure_reason_text(&cure);

    (void)state;
    assert_int_equal(cure.marked_count, 1);
    assert_true(cure.marked[1]);
    assert_string_equal(cure_model_word(cure.model), "none");
    assert_string_equal(flags, "few-ages;line-refuted;recheck;not-predicted");
    assert_string_equal(why, "3 ages were tested; a curve needs four, and no straight line fits them either");
    free(flags);
    free(why);
    cure_clear(&cure);
}

/* Which results are marked, as a text of digits. The series are arithmetic on rule 3. */
static void
only_what_a_cure_cannot_do_is_marked(void **state)
{
    static const struct {
        const char *marked, *what;
        size_t count;
        double rows[6][3];
    } cases[] = {
        {"",
         "a steep fall that levels off",
         4,
         {{1, 10.9, 0.05}, {14, 9.7, 0.05}, {60, 9.6, 0.05}, {120, 9.58, 0.05}}},
        {"", "within the uncertainties", 4, {{2, 9.9, 0.1}, {7, 10.1, 0.1}, {14, 9.8, 0.1}, {28, 9.9, 0.1}}},
        {"2",
         "one too low",
         5,
         {{2, 10.4, 0.05}, {7, 10.2, 0.05}, {14, 9.2, 0.05}, {28, 9.9, 0.05}, {42, 9.8, 0.05}}},
        {"12",
         "one too low, then one too high",
         4,
         {{2, 9.9, 0.05}, {7, 9.5, 0.05}, {14, 10.5, 0.05}, {28, 10.0, 0.05}}},
        {"3",
         "the last one rises",
         4,
         {{2, 10.4, 0.05}, {7, 10.2, 0.05}, {14, 10.0, 0.05}, {28, 10.6, 0.05}}},
        {"0",
         "the first one is too low",
         4,
         {{2, 9.6, 0.05}, {7, 10.4, 0.05}, {14, 10.3, 0.05}, {28, 10.1, 0.05}}},
        {"12",
         "both bars of one day",
         4,
         {{2, 10.0, 0.05}, {7, 10.7, 0.05}, {7, 10.6, 0.05}, {28, 9.8, 0.05}}},
        {"2", "one bar of two", 4, {{2, 10.0, 0.05}, {7, 9.9, 0.05}, {7, 10.7, 0.05}, {28, 9.8, 0.05}}},
        {"1", "two ages, the second higher", 2, {{2, 9.9, 0.05}, {7, 10.5, 0.05}}},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct cure cure = follow_rows(cases[i].rows, cases[i].count, 10.0);
        char marked[64] = "";

        for (size_t k = 0; k < cases[i].count; k++)
            if (cure.marked[k])
                snprintf(marked + strlen(marked), sizeof marked - strlen(marked), "%zu", k);
        if (strcmp(marked, cases[i].marked) != 0)
            print_error("%s: ", cases[i].what);
        assert_string_equal(marked, cases[i].marked);
        cure_clear(&cure);
    }
}

static void
causes_on_record_come_first(void **state)
{
    unsigned flags = 0;
    char *text = cure_causes_text(flags);

    (void)state;
    assert_string_equal(text, "a meter not recalibrated, a wrong temperature or concentration, or a wet or "
                              "uneven surface sample");
    free(text);
    flag_set(&flags, FLAG_CALIBRATION_OLD);
    flag_set(&flags, FLAG_TEMPERATURE_OFF);
    text = cure_causes_text(flags);
    assert_string_equal(text,
                        "the meter was not calibrated again that day; the solution was not at 40 degC (on "
                        "record); else a wrong temperature or concentration, or a wet or uneven surface "
                        "sample");
    free(text);
}

static void
wide_scatter_widens_the_intervals(void **state)
{
    struct cure_point points[LENGTH(invented)];
    struct cure calm, wild;

    (void)state;
    for (size_t i = 0; i < LENGTH(points); i++)
        points[i] = (struct cure_point){
            .age_d = invented[i][0], .ph = invented[i][1] + (i % 2 ? 0.1 : -0.1), .u_ph = invented[i][2]};
    wild = follow(points, LENGTH(points), 9.5);
    calm = follow_rows(invented, LENGTH(invented), 9.5);
    assert_true(cure_has(&wild, CURE_SCATTER));
    assert_int_equal(wild.model, CURE_APPROACH);
    check_close(wild.approach.dof, 9.0, 0.0, "12 results less 3 parameters");
    assert_true(wild.approach.end_sd > calm.approach.end_sd);
    cure_clear(&wild);
    cure_clear(&calm);
}

static void
check_numbers(const struct cure *cure)
{
    assert_true(isfinite(cure->age_low_d) && isfinite(cure->age_high_d) && isfinite(cure->age_limit_d));
    assert_false(cure->model != CURE_NO_MODEL && isnan(cure->residual_sd));
    if (cure->trend_known)
        assert_false(isnan(cure->trend.slope) || isnan(cure->trend.p_value) || isnan(cure->trend.tau_b));
    if (!isnan(cure->ready_to_d))
        assert_true(cure->ready_from_d <= cure->ready_to_d && cure->ready_to_d <= cure->age_limit_d);
}

static void
odd_series_get_a_clear_answer(void **state)
{
    static const struct {
        const char *flags;
        enum cure_model model;
        size_t count;
        double rows[6][3];
    } cases[] = {
        {"few-results;not-predicted", CURE_NO_MODEL, 1, {{5, 9.8, 0.05}}},
        {"few-results;not-predicted", CURE_NO_MODEL, 2, {{5, 9.8, 0.05}, {50, 9.4, 0.05}}},
        {"few-results;not-predicted", CURE_NO_MODEL, 3, {{5, 9.8, 0.05}, {5, 9.7, 0.05}, {5, 9.8, 0.05}}},
        {"flat", CURE_LINE, 4, {{5, 9.8, 0.05}, {9, 9.8, 0.05}, {20, 9.8, 0.05}, {40, 9.8, 0.05}}},
        {"rate-unsure;rising;not-predicted",
         CURE_LINE,
         5,
         {{1, 10.0, 0.05}, {10, 10.1, 0.05}, {20, 10.2, 0.05}, {30, 10.3, 0.05}, {40, 10.4, 0.05}}},
        {"too-fast;rate-unsure",
         CURE_LINE,
         4,
         {{1, 9.7, 0.2}, {900, 9.6, 0.2}, {901, 9.6, 0.2}, {2000, 9.6, 0.2}}},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct cure cure = follow_rows(cases[i].rows, cases[i].count, 10.0);
        char *flags = cure_flag_text(&cure), *why = cure_reason_text(&cure);

        assert_string_equal(flags, cases[i].flags);
        assert_int_equal(cure.model, cases[i].model);
        assert_string_not_equal(why, "");
        check_numbers(&cure);
        free(flags);
        free(why);
        cure_clear(&cure);
    }
}

static void
no_results_at_all_are_no_trouble(void **state)
{
    struct cure cure = follow(NULL, 0, 10.0);
    char *why = cure_reason_text(&cure);

    (void)state;
    assert_string_equal(why, "no age was tested");
    assert_true(isnan(cure.ready_from_d) && isnan(cure.ready_to_d));
    free(why);
    cure_clear(&cure);
}

static void
below_all_along_is_ready_from_the_first_result(void **state)
{
    static const double rows[][3] = {{5, 9.3, 0.05}, {9, 9.2, 0.05}, {20, 9.1, 0.05}};
    struct cure cure = follow_rows(rows, LENGTH(rows), 10.0);

    (void)state;
    check_close(cure.ready_from_d, 5.0, 0.0, "rule 5");
    check_close(cure.ready_to_d, 5.0, 0.0, "rule 5");
    cure_clear(&cure);
}

static void
long_gapped_and_absurd_series_give_numbers(void **state)
{
    enum { LONG = 10000 };
    struct cure_point *points = memory_new(LONG, sizeof *points);
    static const double absurd[][3] = {{0, 14, 1e-6}, {1, 0, 1e-6}, {2, 14, 1e-6}, {3, 0, 1e-6}, {1e6, 7, 3}};
    struct cure cure;

    (void)state;
    for (size_t i = 0; i < LONG; i++)
        points[i] = (struct cure_point){.age_d = (double)i / 50.0 + (i > LONG / 2 ? 300.0 : 0.0),
                                        .ph = 9.5 + exp(-0.05 * (double)i / 50.0) +
                                              0.02 * sin(12.9898 * (double)(i * i % 7919)),
                                        .u_ph = 0.05};
    cure = follow(points, LONG, 10.0);
    assert_int_equal(cure.model, CURE_APPROACH);
    check_close(cure.approach.end, 9.5, 0.01, "as made");
    check_close(0.5 * (cure.ready_from_d + cure.ready_to_d), log(2.0) / 0.05, 0.5, "exp(-0.05 t) = 1/2");
    check_numbers(&cure);
    cure_clear(&cure);
    cure = follow_rows(absurd, LENGTH(absurd), 10.0);
    check_numbers(&cure);
    cure_clear(&cure);
    free(points);
}

static void
impossible_series_are_refused(void **state)
{
    static const struct cure_point bad[][2] = {
        {{.age_d = 5, .ph = 9, .u_ph = 0.1}, {.age_d = 4, .ph = 9, .u_ph = 0.1}},
        {{.age_d = 5, .ph = 9, .u_ph = 0.1}, {.age_d = NAN, .ph = 9, .u_ph = 0.1}},
        {{.age_d = 5, .ph = 9, .u_ph = 0.1}, {.age_d = 6, .ph = INFINITY, .u_ph = 0.1}},
        {{.age_d = 5, .ph = 9, .u_ph = 0.0}, {.age_d = 6, .ph = 9, .u_ph = 0.1}},
    };
    struct cure cure = {.count = 77};
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(cure_follow(bad[i], 2, 10.0, &cure, &failure), STATUS_RANGE, &failure);
    check_refused(cure_follow(bad[0], 1, NAN, &cure, &failure), STATUS_RANGE, &failure);
    assert_int_equal(cure.count, 77);
}

static double
between(struct draw *stream, double low, double high)
{
    double first, second;

    draw_pair(stream, &first, &second);
    return low + (high - low) * first;
}

/* Box and Muller (1958), Ann. Math. Stat. 29, 610-611. */
static double
normal(struct draw *stream)
{
    double first, second;

    draw_pair(stream, &first, &second);
    return sqrt(-2.0 * log(first)) * cos(2.0 * M_PI * second);
}

/* One simulated cure: ages a maker may test at, start, end, rate and uncertainty of a usual size, normal
 * errors. Counts whether the intervals hold the truth. */
struct tally {
    size_t cures, fitted, end_held, ready_known, ready_held, falsely_marked;
};

static void
simulate(struct draw *stream, struct tally *tally)
{
    static const double ages[] = {2, 4, 7, 10, 14, 21, 28, 42, 56, 84};
    struct cure_point points[LENGTH(ages)];
    double start = between(stream, 10.2, 10.9), end = between(stream, 9.2, 9.8);
    double rate = between(stream, 0.04, 0.12), u_ph = between(stream, 0.02, 0.05);
    double ready_d = between(stream, 4.0, 40.0), target = end + (start - end) * exp(-rate * ready_d);
    struct cure cure;

    for (size_t i = 0; i < LENGTH(ages); i++)
        points[i] =
            (struct cure_point){.age_d = ages[i],
                                .u_ph = u_ph,
                                .ph = end + (start - end) * exp(-rate * ages[i]) + u_ph * normal(stream)};
    cure = follow(points, LENGTH(points), target);
    tally->cures++;
    tally->falsely_marked += cure.marked_count > 0;
    if (cure.model == CURE_APPROACH) {
        double half = student_t_coverage_factor(CURE_COVERAGE, cure.approach.dof) * cure.approach.end_sd;

        tally->fitted++;
        tally->end_held += fabs(cure.approach.end - end) <= half;
    }
    if (!isnan(cure.ready_to_d)) {
        tally->ready_known++;
        tally->ready_held += cure.ready_from_d <= ready_d && ready_d <= cure.ready_to_d;
    }
    cure_clear(&cure);
}

static void
intervals_hold_the_truth_as_often_as_they_say(void **state)
{
    enum { CURES = 2000 };
    struct tally tally = {0};
    struct draw stream;
    double end_rate, ready_rate;

    (void)state;
    draw_init(&stream, 20260302);
    while (tally.cures < CURES)
        simulate(&stream, &tally);
    end_rate = (double)tally.end_held / (double)tally.fitted;
    ready_rate = (double)tally.ready_held / (double)tally.ready_known;
    print_message("%zu cures: %zu fitted, end value held %.4f; ready date given %zu, held %.4f; marked %zu\n",
                  tally.cures, tally.fitted, end_rate, tally.ready_known, ready_rate, tally.falsely_marked);
    assert_true(tally.fitted > CURES * 9 / 10 && tally.ready_known > CURES / 2);
    assert_true(end_rate >= 0.93 && end_rate <= 0.97);
    assert_true(ready_rate >= 0.93 && ready_rate <= 0.97);
    assert_true(tally.falsely_marked <= CURES / 20); /* rule 3 */
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(ready_range_of_an_approach_agrees_with_r),
    cmocka_unit_test(three_ages_give_a_line_and_its_ready_range_agrees_with_r),
    cmocka_unit_test(line_reaches_no_further_than_half_again_the_span),
    cmocka_unit_test(a_rise_in_the_first_week_is_marked_and_too_few_ages_are_said),
    cmocka_unit_test(only_what_a_cure_cannot_do_is_marked),
    cmocka_unit_test(causes_on_record_come_first),
    cmocka_unit_test(wide_scatter_widens_the_intervals),
    cmocka_unit_test(odd_series_get_a_clear_answer),
    cmocka_unit_test(no_results_at_all_are_no_trouble),
    cmocka_unit_test(below_all_along_is_ready_from_the_first_result),
    cmocka_unit_test(long_gapped_and_absurd_series_give_numbers),
    cmocka_unit_test(impossible_series_are_refused),
    cmocka_unit_test(intervals_hold_the_truth_as_often_as_they_say),
};

const struct check_module test_assess_cure = CHECK_MODULE("assess/cure", tests);
