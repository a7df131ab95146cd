/* test_meter_check.c - what a meter showed in buffers. */
#include "check.h"
#include "meter_check.h"

static struct gear
a_meter(double accuracy_ph)
{
    struct gear meter;

    gear_init(&meter, GEAR_METER);
    meter.resolution_ph = 0.01;
    meter.accuracy_ph = accuracy_ph;
    meter.atc = true;
    return meter;
}

static void
point(struct calibration *calibration, const char *buffer, double table_ph, double displayed_ph,
      double potential_mv)
{
    calibration_add_point(calibration, (struct calibration_point){.buffer = memory_copy(buffer),
                                                                  .kitchen_made = table_ph > 9.0,
                                                                  .temperature_c = 25.0,
                                                                  .displayed_ph = displayed_ph,
                                                                  .potential_mv = potential_mv,
                                                                  .table_ph = table_ph});
}

static struct meter_check
judged(struct calibration *calibration, const struct gear *meter)
{
    struct failure failure = {0};
    struct meter_check check = {0};

    check_ok(meter_check_judge(calibration, meter, &check, &failure), &failure);
    calibration_clear(calibration);
    return check;
}

/* Borax and lime water at 25 degC, and what was shown in them. */
static struct meter_check
two_buffers(double in_borax, double in_lime_water)
{
    struct gear meter = a_meter(0.02);
    struct calibration calibration = {0};

    point(&calibration, "borax", 9.18, in_borax, NAN);
    point(&calibration, "calcium-hydroxide", 12.454, in_lime_water, NAN);
    return judged(&calibration, &meter);
}

static struct meter_correction
corrected(const struct meter_check *check, double displayed_ph, double temperature_c)
{
    struct failure failure = {0};
    struct meter_correction correction = {0};

    check_ok(meter_check_correct(check, displayed_ph, temperature_c, &correction, &failure), &failure);
    return correction;
}

/* Two phosphates, 6.865 and 7.413, read to whole pH: the slope's standard error is sqrt(2 / 12) / 0.548 = 0.74,
 * by hand, so a slope of 1 cannot be told from none (1.96 x 0.74 is more). */
static void
buffers_too_close_for_the_meter_are_refused(void **state)
{
    struct gear meter = a_meter(0.02);
    struct calibration calibration = {0};
    struct meter_check check;

    (void)state;
    meter.resolution_ph = 1.0;
    point(&calibration, "phosphate", 6.865, 6.865, NAN);
    point(&calibration, "phosphate", 7.413, 7.413, NAN);
    check = judged(&calibration, &meter);
    assert_int_equal(check.verdict, CALIBRATION_REFUSED);
    check_contains(check.reason, "too close together");
    meter_check_clear(&check);
}

/* An electrode of 97 % slope that is 5 mV off: E = 5 + 0.97 * 59.159 (7 - pH), Nernst with the SI constants.
 */
static void
slope_and_offset_come_out_of_millivolts(void **state)
{
    struct gear meter = a_meter(0.02);
    struct calibration calibration = {0};
    struct meter_check check;

    (void)state;
    point(&calibration, "phosphate", 6.865, NAN, 5.0 + 0.97 * 59.1593 * 0.135);
    point(&calibration, "borax", 9.18, NAN, 5.0 - 0.97 * 59.1593 * 2.18);
    point(&calibration, "calcium-hydroxide", 12.454, NAN, 5.0 - 0.97 * 59.1593 * 5.454);
    check = judged(&calibration, &meter);
    check_close(check.slope_percent, 97.0, 0.001, "as made");
    check_close(check.offset_mv, 5.0, 0.001, "as made");
    check_close(check.widening, 1.0, 0.0, "no scatter, nothing to widen");
    assert_int_equal(check.verdict, CALIBRATION_ACCEPTED);
    assert_null(check.reason);
    meter_check_clear(&check);
}

static void
three_buffers_agree_with_r(void **state)
{
    struct gear meter = a_meter(0.02);
    struct calibration calibration = {0};
    struct meter_check check;
    struct meter_correction correction;

    (void)state;
    point(&calibration, "phosphate", 6.865, 6.88, NAN);
    point(&calibration, "borax", 9.18, 9.16, NAN);
    point(&calibration, "calcium-hydroxide", 12.454, 12.45, NAN);
    check = judged(&calibration, &meter);
    correction = corrected(&check, 10.90, 25.0);
    check_close(check.slope_percent, 99.5605520258, 1e-8, "R, meter_check.R");
    check_close(check.offset_mv, -0.654734251116, 1e-8, "R, meter_check.R");
    check_close(check.residual_ph[1], -0.0214873338298, 1e-11, "R, meter_check.R");
    check_close(check.line.residual_sd, 1.19483892174, 1e-9, "R, meter_check.R");
    check_close(check.widening, 1.02348207654, 1e-9, "R, meter_check.R: pooled with 8 degrees");
    check_close(correction.ph, 10.9060979687, 1e-9, "R, meter_check.R");
    check_close(hypot(correction.u_line_ph, correction.u_buffer_ph), 1.02348207654 * 0.0136185763558, 1e-10,
                "R, meter_check.R, widened");
    check_close(correction.u_buffer_ph, 0.0134757005278, 1e-8, "R, by moving the buffers");
    check_close(correction.line_dof, 9.0, 0.0, "8 and three buffers less two");
    meter_check_clear(&check);
}

/* The same meter with and without the buffer in the middle, and with one that fits worse. */
static void
a_third_buffer_costs_little_where_it_fits(void **state)
{
    static const struct {
        double in_borax, u_ph, dof;
    } known[] = {
        {NAN, 0.014919604577, (double)INFINITY}, /* left out */
        {9.18, 0.0136185763558, (double)INFINITY},
        {9.16, 1.02348207654 * 0.0136185763558, 9.0},
    };
    struct gear meter = a_meter(0.02);

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct calibration calibration = {0};
        struct meter_check check;
        struct meter_correction correction;

        point(&calibration, "phosphate", 6.865, 6.88, NAN);
        if (!isnan(known[i].in_borax))
            point(&calibration, "borax", 9.18, known[i].in_borax, NAN);
        point(&calibration, "calcium-hydroxide", 12.454, 12.45, NAN);
        check = judged(&calibration, &meter);
        correction = corrected(&check, 10.90, 25.0);
        check_close(hypot(correction.u_line_ph, correction.u_buffer_ph), known[i].u_ph, 5e-5,
                    "R, meter_check.R");
        assert_true(correction.line_dof == known[i].dof);
        meter_check_clear(&check);
    }
}

/* Between two buffers the reading is a straight interpolation, and so is its uncertainty. */
static void
two_buffers_interpolate_and_say_what_is_assumed(void **state)
{
    struct meter_check check = two_buffers(9.21, 12.40);
    struct meter_correction correction = corrected(&check, 10.805, 25.0); /* half way */
    double point_u_ph = hypot(0.02, 0.01 / sqrt(12.0));

    (void)state;
    check_close(check.slope_percent, 100.0 * (12.40 - 9.21) / (12.454 - 9.18), 1e-10, "by hand");
    check_close(correction.ph, (9.18 + 12.454) / 2.0, 1e-12, "by hand");
    check_close(hypot(correction.u_line_ph, correction.u_buffer_ph), point_u_ph / sqrt(2.0) / (3.19 / 3.274),
                1e-10, "by hand: half of each, in quadrature");
    check_close(correction.u_buffer_ph, 0.02 / sqrt(2.0) / (3.19 / 3.274), 1e-10, "by hand");
    assert_true(isinf(correction.line_dof));
    assert_int_equal(check.verdict, CALIBRATION_ACCEPTED);
    check_contains(check.reason, "assumed");
    meter_check_clear(&check);
}

static const struct {
    double in_borax, in_lime_water;
    enum calibration_verdict verdict;
    const char *reason, *source;
} verdicts[] = {
    {9.18, 9.18 + 3.274 * 0.951, CALIBRATION_ACCEPTED, "two buffers", "95 % and better: common practice"},
    {9.18, 9.18 + 3.274 * 0.949, CALIBRATION_MARGINAL, "95 %", "below 95 %: common practice"},
    {9.05, 9.05 + 3.274 * 0.901, CALIBRATION_MARGINAL, "90.1 %", "USP <791>: 90 to 105 %"},
    {9.05, 9.05 + 3.274 * 0.899, CALIBRATION_REFUSED, "90 to 105", "USP <791>"},
    {9.30, 9.30 + 3.274 * 1.049, CALIBRATION_ACCEPTED, "two buffers", "USP <791>"},
    {9.30, 9.30 + 3.274 * 1.051, CALIBRATION_REFUSED, "90 to 105", "USP <791>"},
    {9.18 + 0.505, 12.454 + 0.505, CALIBRATION_ACCEPTED, "two buffers", "USP <791>: 30 mV is 0.507 pH"},
    {9.18 + 0.509, 12.454 + 0.509, CALIBRATION_REFUSED, "30 mV", "USP <791>"},
    {9.18 - 0.505, 12.454 - 0.505, CALIBRATION_ACCEPTED, "two buffers", "USP <791>"},
    {9.18 - 0.509, 12.454 - 0.509, CALIBRATION_REFUSED, "30 mV", "USP <791>"},
    {9.18, 5.9, CALIBRATION_REFUSED, "negative", "the sign of an electrode"},
};

static void
calibrations_are_accepted_marginal_or_refused_at_the_published_limits(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(verdicts); i++) {
        struct meter_check check = two_buffers(verdicts[i].in_borax, verdicts[i].in_lime_water);

        if (check.verdict != verdicts[i].verdict)
            print_error("row %zu (%s): %s\n", i, verdicts[i].source, check.reason);
        assert_int_equal(check.verdict, verdicts[i].verdict);
        check_contains(check.reason, verdicts[i].reason);
        meter_check_clear(&check);
    }
}

static void
a_buffer_off_the_line_refuses_the_calibration(void **state)
{
    struct gear meter = a_meter(0.02);
    struct calibration calibration = {0};
    struct meter_check check;

    (void)state; /* ASTM D1287: within 0.05 */
    point(&calibration, "phosphate", 6.865, 6.88, NAN);
    point(&calibration, "borax", 9.18, 9.09, NAN);
    point(&calibration, "calcium-hydroxide", 12.454, 12.48, NAN);
    check = judged(&calibration, &meter);
    assert_int_equal(check.verdict, CALIBRATION_REFUSED);
    check_contains(check.reason, "ASTM D1287");
    meter_check_clear(&check);
}

static void
one_buffer_fixes_the_offset_only(void **state)
{
    struct gear meter = a_meter(0.02);
    struct calibration calibration = {0};
    struct meter_check check;
    struct meter_correction correction;

    (void)state;
    point(&calibration, "borax", 9.18, 9.21, NAN);
    check = judged(&calibration, &meter);
    assert_int_equal(check.verdict, CALIBRATION_MARGINAL);
    assert_true(isnan(check.slope_percent));
    correction = corrected(&check, 9.71, 25.0);
    check_close(correction.ph, 9.68, 1e-12, "by hand");
    check_close(correction.u_buffer_ph, 0.02, 1e-12, "kitchen-made: common practice");
    check_close(correction.u_line_ph, hypot(0.01 / sqrt(12.0), 0.05 / sqrt(3.0)), 1e-12,
                "by hand: a tenth of 0.5 pH, rectangular, and the resolution");
    assert_int_equal(correction.place, METER_CHECK_EXTRAPOLATED); /* ISO 4316's rule */
    assert_int_equal(corrected(&check, 10.22, 25.0).place, METER_CHECK_BEYOND);
    meter_check_clear(&check);
}

static void
a_declared_calibration_has_the_meters_accuracy(void **state)
{
    struct gear meter = a_meter(0.02), unstated = a_meter(NAN);
    struct calibration calibration = {.declared = true}, again = {.declared = true};
    struct meter_check check;

    (void)state;
    point(&calibration, "borax", 9.18, NAN, NAN);
    point(&calibration, "calcium-hydroxide", 12.454, NAN, NAN);
    point(&again, "borax", 9.18, NAN, NAN);
    check = judged(&calibration, &meter);
    assert_int_equal(check.verdict, CALIBRATION_ACCEPTED);
    check_close(corrected(&check, 10.0, 40.0).ph, 10.0, 0.0, "nothing to correct by");
    check_close(corrected(&check, 10.0, 40.0).u_line_ph, 0.02 / sqrt(3.0), 1e-12, "JCGM 100:2008, 4.3.7");
    check_contains(check.reason, "stated accuracy of +/- 0.02");
    meter_check_clear(&check);
    check = judged(&again, &unstated);
    check_contains(check.reason, "assumed accuracy of +/- 0.1");
    assert_true(check.accuracy_assumed);
    meter_check_clear(&check);
}

static void
a_reading_is_inside_or_extrapolated_or_beyond_the_buffers(void **state)
{
    static const struct {
        double ph;
        enum meter_check_place place;
    } known[] = {{8.17, METER_CHECK_BEYOND},        {8.19, METER_CHECK_EXTRAPOLATED},
                 {9.17, METER_CHECK_EXTRAPOLATED},  {9.19, METER_CHECK_INSIDE},
                 {12.44, METER_CHECK_INSIDE},       {12.46, METER_CHECK_EXTRAPOLATED},
                 {13.45, METER_CHECK_EXTRAPOLATED}, {13.46, METER_CHECK_BEYOND}};
    struct meter_check check = two_buffers(9.18, 12.454);

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++)
        assert_int_equal(corrected(&check, known[i].ph, 25.0).place, known[i].place);
    /* By hand: half of the span beyond a buffer counts it 1.5 times and the other 0.5 times. */
    check_close(corrected(&check, 9.18 - 3.274 / 4.0, 25.0).u_buffer_ph, 0.02 * hypot(1.25, 0.25), 1e-9,
                "by hand: a quarter of the span beyond");
    meter_check_clear(&check);
}

static void
a_meter_without_compensation_is_less_sure_at_another_temperature(void **state)
{
    struct meter_check check = two_buffers(9.18, 12.454);

    (void)state;
    check_close(corrected(&check, 11.0, 40.0).compensation_half_ph, 0.0, 0.0, "it has ATC");
    check.compensated = false;
    check_close(corrected(&check, 11.0, 25.0).compensation_half_ph, 0.0, 1e-12, "same temperature");
    /* Nernst: the slope is proportional to the absolute temperature, so 4 pH * 15 K / 298.15 K. */
    check_close(corrected(&check, 11.0, 40.0).compensation_half_ph, 4.0 * 15.0 / 298.15, 1e-10,
                "Nernst, by hand");
    meter_check_clear(&check);
}

static void
drift_is_the_largest_departure_from_what_the_calibration_expects(void **state)
{
    struct calibration later = {0};
    struct failure failure = {0};
    struct meter_check check = two_buffers(9.21, 12.484); /* 0.03 high everywhere */
    double drift_ph = NAN;

    (void)state;
    point(&later, "borax", 9.18, 9.25, NAN);
    point(&later, "calcium-hydroxide", 12.454, 12.474, NAN);
    check_ok(meter_check_drift(&check, &later, &drift_ph, &failure), &failure);
    check_close(drift_ph, 0.04, 1e-9, "by hand: 9.25 where 9.21 was shown before");
    meter_check_clear(&check);
    calibration_clear(&later);
}

static void
what_is_no_calibration_is_refused(void **state)
{
    struct gear meter = a_meter(0.02);
    struct meter_check check = {.point_count = 99};
    struct failure failure = {0};
    struct calibration none = {0}, empty = {0}, cold = {0}, many = {0};

    (void)state;
    check_refused(meter_check_judge(&none, &meter, &check, &failure), STATUS_MISSING, &failure);
    point(&empty, "borax", 9.18, NAN, NAN);
    check_refused(meter_check_judge(&empty, &meter, &check, &failure), STATUS_FORMAT, &failure);
    point(&cold, "borax", 9.18, 9.18, NAN);
    cold.points[0].temperature_c = NAN;
    check_refused(meter_check_judge(&cold, &meter, &check, &failure), STATUS_RANGE, &failure);
    for (int i = 0; i <= METER_CHECK_MOST_POINTS; i++)
        point(&many, "borax", 9.18, 9.18, NAN);
    check_refused(meter_check_judge(&many, &meter, &check, &failure), STATUS_RANGE, &failure);
    assert_int_equal(check.point_count, 99);
    calibration_clear(&empty);
    calibration_clear(&cold);
    calibration_clear(&many);
}

static void
a_displayed_ph_that_cannot_be_is_refused(void **state)
{
    static const double wrong[] = {-0.01, 14.01, NAN};
    struct meter_check check = two_buffers(9.18, 12.454);
    struct meter_correction correction = {.ph = -7.0};
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(wrong); i++)
        check_refused(meter_check_correct(&check, wrong[i], 25.0, &correction, &failure), STATUS_RANGE,
                      &failure);
    check_close(correction.ph, -7.0, 0.0, "left alone");
    meter_check_clear(&check);
}

static void
the_record_takes_what_the_check_found(void **state)
{
    struct meter_check check = two_buffers(9.18, 9.18 + 3.274 * 0.94);
    struct calibration calibration = {.slope_percent = NAN, .reason = memory_copy("old")};

    (void)state;
    meter_check_file(&check, &calibration);
    check_close(calibration.slope_percent, 94.0, 1e-9, "as made");
    assert_int_equal(calibration.verdict, CALIBRATION_MARGINAL);
    check_contains(calibration.reason, "94.0 %");
    calibration_clear(&calibration);
    meter_check_clear(&check);
}

/* JCGM 100:2008, 5.2: one bottle is one error for both calibrations, and a new one is another. */
static void
a_new_bottle_is_a_source_of_its_own(void **state)
{
    static const struct {
        int64_t first, second;
        bool shared;
    } bottles[] = {{7, 7, true}, {7, 8, false}, {0, 0, true}, {0, 7, false}};
    struct gear meter = a_meter(0.02);

    (void)state;
    for (size_t i = 0; i < LENGTH(bottles); i++) {
        struct meter_correction corrections[2];

        for (int k = 0; k < 2; k++) {
            struct calibration calibration = {.id = k + 1};
            struct meter_check check;

            point(&calibration, "borax", 9.18, 9.18, NAN);
            point(&calibration, "calcium-hydroxide", 12.454, 12.454, NAN);
            calibration.points[0].bottle_id = k == 0 ? bottles[i].first : bottles[i].second;
            calibration.points[1].bottle_id = 20 + k; /* lime water is made anew each time */
            check = judged(&calibration, &meter);
            corrections[k] = corrected(&check, 9.18, 25.0);
            meter_check_clear(&check);
        }
        check_close(sources_covariance(&corrections[0].sources, &corrections[1].sources),
                    bottles[i].shared ? 0.02 * 0.02 : 0.0, 1e-9,
                    "at its own pH a buffer made in the kitchen counts whole: 0.02");
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(buffers_too_close_for_the_meter_are_refused),
    cmocka_unit_test(slope_and_offset_come_out_of_millivolts),
    cmocka_unit_test(three_buffers_agree_with_r),
    cmocka_unit_test(a_third_buffer_costs_little_where_it_fits),
    cmocka_unit_test(two_buffers_interpolate_and_say_what_is_assumed),
    cmocka_unit_test(calibrations_are_accepted_marginal_or_refused_at_the_published_limits),
    cmocka_unit_test(a_buffer_off_the_line_refuses_the_calibration),
    cmocka_unit_test(one_buffer_fixes_the_offset_only),
    cmocka_unit_test(a_declared_calibration_has_the_meters_accuracy),
    cmocka_unit_test(a_reading_is_inside_or_extrapolated_or_beyond_the_buffers),
    cmocka_unit_test(a_meter_without_compensation_is_less_sure_at_another_temperature),
    cmocka_unit_test(drift_is_the_largest_departure_from_what_the_calibration_expects),
    cmocka_unit_test(what_is_no_calibration_is_refused),
    cmocka_unit_test(a_displayed_ph_that_cannot_be_is_refused),
    cmocka_unit_test(the_record_takes_what_the_check_found),
    cmocka_unit_test(a_new_bottle_is_a_source_of_its_own),
};

const struct check_module test_assess_meter_check = CHECK_MODULE("assess/meter_check", tests);
