/* test_cure.c - curves, marks and ready dates of a cure; how often they hold is counted in tests/simulation. */
#include "check.h"
#include "cure.h"
#include "distribution.h"
#include "flag.h"

enum { MOST = 16 };

static struct cure
follow(const struct cure_point *points, size_t count, double target_ph)
{
    struct failure failure = {0};
    struct cure cure = {0};

    check_ok(cure_follow(points, count, target_ph, NULL, &cure, &failure), &failure);
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

/* Nothing is known of the maker and no bar differs: T and the profile at every rate, written out again here from
 * statistics' textbook formulas, at a grid of rates ten times as fine. */
static void
the_end_is_what_all_allowed_rates_leave(void **state)
{
    struct cure cure = follow_rows(invented, LENGTH(invented), 10.0);
    double variance =
        CURE_BETWEEN_ASSUMED_PH * CURE_BETWEEN_ASSUMED_PH * 2.0 / 11.0;           /* nothing found beyond u */
    double reach = 2.2009851600916, low = INFINITY, high = 0.0, least = INFINITY; /* R qt(0.975, 11) */

    (void)state;
    check_close(cure.between_ph, sqrt(variance), 1e-12, "2 degrees of 0.035 and 9 of nothing");
    check_close(cure.dof, 11.0, 0.0, "2 and 12 less 3");
    for (int pass = 0; pass < 2; pass++)
        for (int r = 0; r < 2500; r++) {
            double rate = 0.5 / 69.0 * pow(6.0 * 69.0, r / 2499.0), w = 0, we = 0, wee = 0, wy = 0, wey = 0,
                   rss = 0;
            double end, drop, determinant;

            for (size_t i = 0; i < LENGTH(invented); i++) {
                double e = exp(-rate * (invented[i][0] - 1.0)),
                       weight = 1.0 / (invented[i][2] * invented[i][2] + variance);

                w += weight;
                we += weight * e;
                wee += weight * e * e;
                wy += weight * invented[i][1];
                wey += weight * e * invented[i][1];
            }
            determinant = w * wee - we * we;
            end = (wee * wy - we * wey) / determinant;
            drop = (w * wey - we * wy) / determinant;
            for (size_t i = 0; i < LENGTH(invented); i++)
                rss += pow(invented[i][1] - end - drop * exp(-rate * (invented[i][0] - 1.0)), 2) /
                       (invented[i][2] * invented[i][2] + variance);
            if (pass == 0)
                least = fmin(least, rss);
            else if (rss <= least + reach * reach) {
                double half = sqrt(wee / determinant * (least + reach * reach - rss));

                low = fmin(low, end - half);
                high = fmax(high, end + half);
            }
        }
    assert_int_equal(cure.model, CURE_APPROACH);
    check_close(cure.end.low, low, 1e-4, "the same by normal equations");
    check_close(cure.end.high, high, 1e-4, "the same by normal equations");
    cure_clear(&cure);
}

static void
two_ages_make_no_curve_and_three_do(void **state)
{
    static const double rows[][3] = {{3, 10.3, 0.05}, {10, 10.1, 0.06}, {24, 9.85, 0.05}};
    struct cure two = follow_rows(rows, 2, 9.8), three = follow_rows(rows, 3, 9.8);
    char *why = cure_reason_text(&two), *end = cure_end_text(&three);

    (void)state;
    assert_int_equal(two.model, CURE_NO_MODEL);
    assert_true(isnan(two.ready_from_d) && isnan(two.ready_to_d));
    assert_string_equal(why, "two ages were tested; a curve needs three");
    assert_int_equal(three.model, CURE_APPROACH);
    assert_true(three.end_open_low && cure_has(&three, CURE_END_OPEN));
    check_contains(end, "or below; how far it will fall cannot be told yet");
    free(why);
    free(end);
    cure_clear(&two);
    cure_clear(&three);
}

static void
nothing_is_said_further_out_than_half_of_the_span(void **state)
{
    static const double rows[][3] = {{30, 10.3, 0.05}, {40, 10.1, 0.06}, {54, 9.85, 0.05}};
    struct cure cure = follow_rows(rows, LENGTH(rows), 9.0);
    struct cure_band band = {-1.0, -1.0, -1.0};
    struct failure failure = {0};

    (void)state;
    check_close(cure.age_limit_d, 66.0, 1e-12, "54 + (54 - 30) / 2");
    check_close(cure.age_first_d, 18.0, 1e-12, "30 - 12");
    check_refused(cure_at(&cure, 0.0, &band, &failure), STATUS_RANGE, &failure); /* pouring */
    check_refused(cure_at(&cure, 66.1, &band, &failure), STATUS_RANGE, &failure);
    check_refused(cure_at(&cure, NAN, &band, &failure), STATUS_RANGE, &failure);
    check_close(band.ph, -1.0, 0.0, "a refusal leaves the result alone");
    check_ok(cure_at(&cure, 66.0, &band, &failure), &failure);
    assert_true(band.low < band.ph && band.ph < band.high);
    check_ok(cure_at(&cure, 18.0, &band, &failure), &failure);
    cure_clear(&cure);
}

/* The history of the maker narrows or widens; alone it stands from 6 degrees on. */
static void
the_makers_other_cures_tell_the_scatter(void **state)
{
    struct cure_point points[LENGTH(invented)];
    struct cure_history calm = {.squares = 0.0, .dof = 40.0}, wild = {.squares = 40.0 * 0.01, .dof = 40.0},
                        few = {.squares = 4.0 * 0.01, .dof = 4.0};
    struct cure none, quiet, noisy, blended;
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(points); i++)
        points[i] =
            (struct cure_point){.age_d = invented[i][0], .ph = invented[i][1], .u_ph = invented[i][2]};
    none = follow(points, LENGTH(points), 9.5);
    check_ok(cure_follow(points, LENGTH(points), 9.5, &calm, &quiet, &failure), &failure);
    check_ok(cure_follow(points, LENGTH(points), 9.5, &wild, &noisy, &failure), &failure);
    check_ok(cure_follow(points, LENGTH(points), 9.5, &few, &blended, &failure), &failure);
    assert_true(cure_has(&none, CURE_SCATTER_ASSUMED) && cure_has(&blended, CURE_SCATTER_ASSUMED));
    assert_false(cure_has(&quiet, CURE_SCATTER_ASSUMED));
    check_close(quiet.between_ph, 0.0, 0.0, "neither they nor this one scatter");
    check_close(noisy.between_ph, sqrt(40.0 * 0.01 / 49.0), 1e-12, "by hand: 40 of 0.1 and 9 of nothing");
    check_close(blended.between_ph, sqrt((2.0 * 0.035 * 0.035 + 4.0 * 0.01) / 15.0), 1e-12, "by hand");
    assert_true(quiet.end.high - quiet.end.low < none.end.high - none.end.low);
    assert_true(noisy.end.high - noisy.end.low > blended.end.high - blended.end.low);
    cure_clear(&none);
    cure_clear(&quiet);
    cure_clear(&noisy);
    cure_clear(&blended);
}

/* Peelle's puzzle: two readings of one truth, 9.95 and 10.15, whose buffer tilts the line. With the tilt as each
 * reading has it generalised least squares put the mean at 9.615, below both. */
static void
a_shared_slope_does_not_pull_the_curve_below_the_results(void **state)
{
    static const double ages[] = {2, 20, 40, 60, 80}, ph[] = {9.95, 10.15, 9.95, 10.15, 10.05};
    struct sources sources[LENGTH(ages)];
    struct cure_point points[LENGTH(ages)];
    struct cure cure;
    struct cure_band band;
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(ages); i++) {
        double slope = 0.06; /* of pH - 7: a buffer far away */

        sources[i] = (struct sources){.ph = ph[i], .own_u_ph = 0.05};
        sources_add(&sources[i],
                    &(struct source_part){.source = {SOURCE_LINE_SLOPE, 1, NULL},
                                          .u_ph = slope * (ph[i] - 7.0),
                                          .per_ph = slope},
                    1.0);
        points[i] = (struct cure_point){
            .age_d = ages[i], .ph = ph[i], .u_ph = sources_u_ph(&sources[i]), .sources = &sources[i]};
    }
    cure = follow(points, LENGTH(points), 9.5);
    for (double age = 2.0; age <= 80.0; age += 6.0) {
        check_ok(cure_at(&cure, age, &band, &failure), &failure);
        assert_true(band.ph > 9.95 && band.ph < 10.15);
        assert_true(band.high - band.ph >=
                    1.95 * 0.06 * (band.ph - 7.0)); /* whole, not over the root of five */
    }
    cure_clear(&cure);
}

/* One meter's accuracy is in every result alike: five or twenty tests do not make it smaller. */
static void
what_is_shared_is_never_divided_by_the_number_of_tests(void **state)
{
    (void)state;
    for (size_t count = 5; count <= MOST; count++) {
        struct sources sources[MOST];
        struct cure_point points[MOST];
        struct cure cure;

        for (size_t i = 0; i < count; i++) {
            double age_d = 2.0 + 6.0 * (double)i;

            sources[i] = (struct sources){.ph = 9.5 + exp(-age_d / 10.0), .own_u_ph = 0.01};
            sources_add(&sources[i],
                        &(struct source_part){.source = {SOURCE_ACCURACY, 1, NULL},
                                              .rectangular = true,
                                              .u_ph = 0.1 / sqrt(3.0)},
                        1.0);
            points[i] = (struct cure_point){
                .age_d = age_d, .ph = sources[i].ph, .u_ph = 0.06, .sources = &sources[i]};
        }
        cure = follow(points, count, 9.0);
        assert_true(0.5 * (cure.end.high - cure.end.low) >= 0.095 * 0.999); /* 95 % of a rectangle of 0.1 */
        cure_clear(&cure);
    }
}

static void
several_results_of_one_day_are_one(void **state)
{
    static const double apart[][3] = {{1, 10.4, 0.05}, {7, 10.0, 0.05}, {20, 9.7, 0.05}, {40, 9.6, 0.05}},
                        pairs[][3] = {{1, 10.3, 0.0707106781186548},
                                      {1, 10.5, 0.0707106781186548},
                                      {7, 9.9, 0.0707106781186548},
                                      {7, 10.1, 0.0707106781186548},
                                      {20, 9.7, 0.05},
                                      {40, 9.6, 0.05}};
    struct cure one = follow_rows(apart, LENGTH(apart), 9.5), two = follow_rows(pairs, LENGTH(pairs), 9.5);

    (void)state;
    assert_int_equal(two.age_count, 4);
    check_close(one.end.low, two.end.low, 1e-9, "the mean, with u over the root of two");
    check_close(one.end.high, two.end.high, 1e-9, "likewise");
    cure_clear(&one);
    cure_clear(&two);
}

static void
a_rise_in_the_first_week_is_marked(void **state)
{
    static const double rows[][3] = {{2, 9.94, 0.06}, {7, 10.63, 0.06}, {120, 9.54, 0.06}};
    struct cure cure = follow_rows(rows, LENGTH(rows), 10.0); /* common practice, no source */
    char *flags = cure_flag_text(&cure);

    (void)state;
    assert_true(cure.marked[0] && cure.marked[1]);
    assert_int_equal(cure.marked_count, 2);
    check_contains(flags, "recheck");
    free(flags);
    cure_clear(&cure);
}

/* Which results are marked, as a text of digits; the oddest stands first. */
static void
only_what_a_cure_cannot_do_is_marked(void **state)
{
    static const struct {
        const char *marked, *what;
        size_t count;
        double rows[8][3];
    } cases[] = {
        {"",
         "a steep fall that levels off",
         4,
         {{1, 10.9, 0.05}, {14, 9.7, 0.05}, {60, 9.6, 0.05}, {120, 9.58, 0.05}}},
        {"", "within the uncertainties", 4, {{2, 9.9, 0.1}, {7, 10.1, 0.1}, {14, 9.8, 0.1}, {28, 9.9, 0.1}}},
        {"3", /* statistics of the project: 9.50 alone, never the sound one after it */
         "one too low, and the sound one after it rises",
         5,
         {{2, 10.60, 0.03}, {7, 10.45, 0.03}, {14, 10.30, 0.03}, {28, 9.50, 0.03}, {42, 10.10, 0.03}}},
        {"2",
         "one bar of two on a day",
         8,
         {{2, 10.4, 0.04},
          {7, 10.2, 0.04},
          {7, 11.2, 0.04},
          {14, 10.0, 0.04},
          {28, 9.8, 0.04},
          {42, 9.7, 0.04},
          {56, 9.65, 0.04},
          {84, 9.62, 0.04}}},
        {"01", "two ages, the second higher", 2, {{2, 9.9, 0.05}, {7, 10.5, 0.05}}},
        {"", "two ages, the second hardly higher", 2, {{2, 9.9, 0.05}, {7, 10.0, 0.05}}},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct cure cure = follow_rows(cases[i].rows, cases[i].count, 9.0);
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
four_ages_can_only_be_said_not_to_lie_on_one_curve(void **state)
{
    static const double rows[][3] = {{2, 10.4, 0.03}, {7, 9.4, 0.03}, {14, 10.3, 0.03}, {28, 9.3, 0.03}};
    struct cure cure = follow_rows(rows, LENGTH(rows), 9.0);

    (void)state;
    assert_true(cure_has(&cure, CURE_NOT_ONE_CURVE));
    assert_int_equal(cure.oddest, cure.count);
    cure_clear(&cure);
}

static void
rising_is_said_only_where_a_rise_is_shown(void **state)
{
    static const double
        sure[][3] = {{1, 9.0, 0.03}, {10, 9.3, 0.03}, {20, 9.6, 0.03}, {30, 9.8, 0.03}, {40, 10.0, 0.03}},
        perhaps[][3] = {
            {1, 9.50, 0.03}, {10, 9.52, 0.03}, {20, 9.49, 0.03}, {30, 9.53, 0.03}, {40, 9.53, 0.03}};
    struct cure rises = follow_rows(sure, LENGTH(sure), 10.0),
                flat = follow_rows(perhaps, LENGTH(perhaps), 10.0);

    (void)state;
    assert_true(cure_has(&rises, CURE_RISING));
    assert_false(cure_has(&flat, CURE_RISING));
    cure_clear(&rises);
    cure_clear(&flat);
}

/* Issue: a first age more than 35 times the gap to the second, and equal readings, were refused. */
static void
no_ages_and_no_values_are_refused(void **state)
{
    static const double firsts[] = {0, 1, 7, 36, 71, 400, 3000}, gaps[] = {1, 2, 7, 90};

    (void)state;
    for (size_t f = 0; f < LENGTH(firsts); f++)
        for (size_t g = 0; g < LENGTH(gaps); g++)
            for (size_t count = 1; count <= 8; count++)
                for (int kind = 0; kind < 4; kind++) {
                    struct cure_point points[8];
                    struct cure cure;

                    for (size_t i = 0; i < count; i++)
                        points[i] = (struct cure_point){
                            .age_d = firsts[f] + (i == 0 ? 0.0 : gaps[g] + 3.0 * (double)(i - 1)),
                            .ph = kind == 0   ? 11.6
                                  : kind == 1 ? 10.4 - 0.1 * (double)i
                                  : kind == 2 ? 9.2 + 0.2 * (double)i
                                              : 9.5 + exp(-(double)i) + (i == 3 ? 2.0 : 0.0),
                            .u_ph = 0.02};
                    cure = follow(points, count, 10.0);
                    assert_int_equal(cure.model, count >= 3 ? CURE_APPROACH : CURE_NO_MODEL);
                    if (kind == 0 && count >= 3) {
                        check_close(cure.approach.best.end, 11.6, 0.0, "equal readings");
                        assert_int_equal(cure.marked_count, 0);
                    }
                    assert_false(isnan(cure.ready_to_d) && !cure_has(&cure, CURE_NOT_PREDICTED));
                    cure_clear(&cure);
                }
}

static void
causes_on_record_come_first(void **state)
{
    uint64_t flags = 0;
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
    assert_false(cure_has(&calm, CURE_SCATTER));
    assert_true(wild.end.high - wild.end.low > calm.end.high - calm.end.low);
    cure_clear(&wild);
    cure_clear(&calm);
}

static void
one_more_result_narrows_or_closes_the_end(void **state)
{
    struct cure cure = follow_rows(invented, LENGTH(invented), 9.5), then = {0};
    struct cure_point points[LENGTH(invented)];
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(points); i++)
        points[i] =
            (struct cure_point){.age_d = invented[i][0], .ph = invented[i][1], .u_ph = invented[i][2]};
    check_ok(cure_with_one_more(&cure, points, 100.0, &then, &failure), &failure);
    assert_int_equal(then.count, cure.count + 1);
    assert_true(then.end.high - then.end.low < cure.end.high - cure.end.low);
    cure_clear(&then);
    check_refused(cure_with_one_more(&cure, points, 70.0, &then, &failure), STATUS_RANGE, &failure);
    cure_clear(&cure);
}

/* A made curve reaches 9.5 at 24 days; the dates are whole days about it. */
static void
ready_dates_bracket_the_day(void **state)
{
    struct cure_point points[10];
    struct cure cure;

    (void)state;
    for (size_t i = 0; i < LENGTH(points); i++) {
        double age_d = 2.0 + 9.0 * (double)i;

        points[i] = (struct cure_point){
            .age_d = age_d, .ph = 9.2 + 1.2 * exp(-log(4.0) / 24.0 * age_d), .u_ph = 0.01};
    }
    cure = follow(points, LENGTH(points), 9.5);
    assert_true(cure.ready_from_d <= 24.0 && 24.0 <= cure.ready_to_d);
    assert_true(cure.ready_from_d == floor(cure.ready_from_d) && cure.ready_to_d == floor(cure.ready_to_d));
    cure_clear(&cure);
    cure = follow(points, 3, 9.5); /* to 20 days */
    assert_true(isnan(cure.ready_from_d) || cure.ready_from_d <= 24.0);
    assert_true(isnan(cure.ready_to_d) || (24.0 <= cure.ready_to_d && cure.ready_to_d <= 29.0));
    cure_clear(&cure);
}

static void
check_numbers(const struct cure *cure)
{
    assert_true(isfinite(cure->age_low_d) && isfinite(cure->age_high_d) && isfinite(cure->age_limit_d));
    assert_false(cure->model != CURE_NO_MODEL && isnan(cure->between_ph));
    if (cure->trend_known)
        assert_false(isnan(cure->trend.slope) || isnan(cure->trend.p_value) || isnan(cure->trend.tau_b));
    if (!isnan(cure->ready_to_d))
        assert_true(cure->ready_from_d <= cure->ready_to_d && cure->ready_to_d <= cure->age_limit_d);
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
    check_close(cure.ready_from_d, 5.0, 0.0, "rule 7");
    check_close(cure.ready_to_d, 5.0, 0.0, "rule 7");
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
    check_close(cure.approach.best.end, 9.5, 0.01, "as made");
    check_close(0.5 * (cure.ready_from_d + cure.ready_to_d), log(2.0) / 0.05, 1.5, "exp(-0.05 t) = 1/2");
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
        check_refused(cure_follow(bad[i], 2, 10.0, NULL, &cure, &failure), STATUS_RANGE, &failure);
    check_refused(cure_follow(bad[0], 1, NAN, NULL, &cure, &failure), STATUS_RANGE, &failure);
    assert_int_equal(cure.count, 77);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_end_is_what_all_allowed_rates_leave),
    cmocka_unit_test(two_ages_make_no_curve_and_three_do),
    cmocka_unit_test(nothing_is_said_further_out_than_half_of_the_span),
    cmocka_unit_test(the_makers_other_cures_tell_the_scatter),
    cmocka_unit_test(a_shared_slope_does_not_pull_the_curve_below_the_results),
    cmocka_unit_test(what_is_shared_is_never_divided_by_the_number_of_tests),
    cmocka_unit_test(several_results_of_one_day_are_one),
    cmocka_unit_test(a_rise_in_the_first_week_is_marked),
    cmocka_unit_test(only_what_a_cure_cannot_do_is_marked),
    cmocka_unit_test(four_ages_can_only_be_said_not_to_lie_on_one_curve),
    cmocka_unit_test(rising_is_said_only_where_a_rise_is_shown),
    cmocka_unit_test(no_ages_and_no_values_are_refused),
    cmocka_unit_test(causes_on_record_come_first),
    cmocka_unit_test(wide_scatter_widens_the_intervals),
    cmocka_unit_test(one_more_result_narrows_or_closes_the_end),
    cmocka_unit_test(ready_dates_bracket_the_day),
    cmocka_unit_test(no_results_at_all_are_no_trouble),
    cmocka_unit_test(below_all_along_is_ready_from_the_first_result),
    cmocka_unit_test(long_gapped_and_absurd_series_give_numbers),
    cmocka_unit_test(impossible_series_are_refused),
};

const struct check_module test_assess_cure = CHECK_MODULE("assess/cure", tests);
