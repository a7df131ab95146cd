/* test_reading_value.c - one meter reading, calibrated and brought to the reference. */
#include "bench.h"
#include "flag.h"
#include "reading_value.h"

static struct reading_value
value_of(const struct dossier *bench, size_t index)
{
    struct failure failure = {0};
    struct reading_value value = {0};
    struct reading_valuer valuer = {.dossier = bench};

    check_ok(reading_value_of(&valuer, &bench->readings[index], &value, &failure), &failure);
    reading_valuer_clear(&valuer);
    return value;
}

/* The flags of the first reading as text, compared and released. */
static void
flagged(const struct dossier *bench, const char *expected)
{
    char *text = flag_text(value_of(bench, 0).flags);

    assert_string_equal(text, expected);
    free(text);
}

static void
a_checked_reading_at_the_reference_has_no_flag(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    flagged(&bench, "");
    assert_true(value_of(&bench, 0).usable && !value_of(&bench, 0).beyond);
    check_close(value_of(&bench, 0).ph_at_reference, 9.94, 1e-12, "a faultless calibration changes nothing");
    dossier_clear(&bench);
}

static void
a_reading_is_brought_back_along_the_calibration_and_to_the_reference(void **state)
{
    struct dossier bench = bench_new();
    struct calibration *calibration = bench_calibration(&bench, bench_day(7), CALIBRATION_ADJUST);
    int64_t specimen = bench_specimen(&bench, bench_session(&bench, bench_day(7)), 2.0);

    (void)state;
    bench_point(calibration, "borax", 9.18, 9.28);
    bench_point(calibration, "calcium-hydroxide", 12.454, 12.554);
    bench_ph(&bench, specimen, 10.10, 25.0);
    check_close(value_of(&bench, 0).ph, 10.0, 1e-9, "by hand: 0.10 high everywhere");
    check_close(value_of(&bench, 0).ph_at_reference, 10.0 - 0.75 * 0.461 - 0.75 * 0.30103, 1e-3,
                "by hand with pKw of IAPWS, three decimals");
    flagged(&bench, "temperature-off;concentration-off");
    dossier_clear(&bench);
}

static void
temperature_and_concentration_flags_begin_outside_the_tolerance(void **state)
{
    static const struct {
        double temperature_c, percent;
        const char *flags;
        bool usable;
    } known[] = {
        {38.0, 1.0, "", true},
        {42.0, 1.0, "", true},
        {37.9, 1.0, "temperature-off", true},
        {42.1, 1.0, "temperature-off", true},
        {15.0, 1.0, "temperature-off", true},
        {14.9, 1.0, "temperature-off", false},
        {50.1, 1.0, "temperature-off", false},
        {NAN, 1.0, "temperature-missing", false},
        {40.0, 0.98, "", true},
        {40.0, 1.02, "", true},
        {40.0, 0.97, "concentration-off", true},
        {40.0, 1.03, "concentration-off", true},
        {40.0, 0.49, "concentration-off", false},
        {40.0, 2.01, "concentration-off", false},
        {40.0, NAN, "concentration-missing", false},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct dossier bench = bench_new();
        int64_t specimen;

        bench_calibrated(&bench, bench_day(7) - 60);
        specimen = bench_specimen(&bench, bench_session(&bench, bench_day(7)), known[i].percent);
        bench_ph(&bench, specimen, 9.94, known[i].temperature_c);
        flagged(&bench, known[i].flags);
        assert_int_equal(value_of(&bench, 0).usable, known[i].usable);
        assert_int_equal(isnan(value_of(&bench, 0).ph_at_reference), !known[i].usable);
        dossier_clear(&bench);
    }
}

static void
an_unchecked_or_refused_meter_makes_a_reading_unusable(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0)->calibration_id = 0;
    flagged(&bench, "meter-unchecked");
    assert_false(value_of(&bench, 0).usable);
    check_close(value_of(&bench, 0).correction.u_line_ph, 0.02 / sqrt(3.0), 1e-12,
                "stated accuracy, rectangular");
    bench.gear[0].accuracy_ph = NAN;
    flagged(&bench, "meter-unchecked;accuracy-assumed");
    bench.readings[0].calibration_id = 1;
    bench.calibrations[0].verdict = CALIBRATION_REFUSED;
    flagged(&bench, "calibration-refused;accuracy-assumed");
    assert_false(value_of(&bench, 0).usable);
    bench.calibrations[0].verdict = CALIBRATION_MARGINAL;
    flagged(&bench, "calibration-marginal");
    assert_true(value_of(&bench, 0).usable);
    bench.calibrations[0].purpose = CALIBRATION_CHECK; /* a look corrects nothing */
    flagged(&bench, "meter-unchecked;accuracy-assumed");
    bench.calibrations[0].purpose = CALIBRATION_ADJUST;
    bench.calibrations[0].taken_at = bench.readings[0].taken_at + 1; /* nor does what came later */
    flagged(&bench, "meter-unchecked;accuracy-assumed");
    dossier_clear(&bench);
}

static void
a_declared_calibration_is_usable_and_flagged(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    bench.calibrations[0].declared = true;
    flagged(&bench, "calibration-declared");
    assert_true(value_of(&bench, 0).usable);
    bench.gear[0].accuracy_ph = NAN;
    flagged(&bench, "calibration-declared;accuracy-assumed");
    dossier_clear(&bench);
}

static void
readings_outside_the_buffers_or_the_glass_are_flagged(void **state)
{
    static const struct {
        double ph;
        const char *flags;
        bool beyond;
    } known[] = {
        {9.0, "extrapolated", false},
        {8.2, "extrapolated", false},
        {8.1, "beyond-calibration", true},
        {12.0, "", false},
        {12.1, "out-of-range", true},
        {12.5, "extrapolated;out-of-range", true},
        {1.9, "beyond-calibration;out-of-range", true},
    };

    (void)state; /* ISO 4316: one unit beyond; ASTM E70: pH 2 to 12 */
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct dossier bench;
        int64_t specimen = bench_ready(&bench);

        bench_ph(&bench, specimen, known[i].ph, 40.0);
        flagged(&bench, known[i].flags);
        assert_int_equal(value_of(&bench, 0).beyond, known[i].beyond);
        dossier_clear(&bench);
    }
}

static void
a_calibration_older_than_a_day_is_flagged_and_given_drift(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    bench.calibrations[0].taken_at = bench.readings[0].taken_at - DAY_S;
    flagged(&bench, "");
    check_close(value_of(&bench, 0).drift_half_ph, 0.02, 0.0, "0.02 at least, where nobody checked");
    bench.calibrations[0].taken_at -= 1;
    flagged(&bench, "calibration-old");
    check_close(value_of(&bench, 0).drift_half_ph, 0.02, 0.0, "0.05 a month is less in a day");
    bench.calibrations[0].taken_at = bench.readings[0].taken_at - 30 * DAY_S;
    check_close(value_of(&bench, 0).drift_half_ph, 0.05, 1e-12, "a month");
    bench.calibrations[0].taken_at -= 60 * DAY_S;
    check_close(value_of(&bench, 0).drift_half_ph, 0.15, 1e-12, "three months");
    bench_point(bench_calibration(&bench, bench_day(8), CALIBRATION_CHECK), "borax", 9.18, 9.19);
    check_close(value_of(&bench, 0).drift_half_ph, 0.0, 0.0, "a check afterwards says more");
    check_close(value_of(&bench, 0).departure_ph, 0.01, 1e-9, "9.19 - 9.18");
    dossier_clear(&bench);
}

static void
drift_comes_from_the_checks_around_the_reading(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    civil_time read_at = bench_ph(&bench, specimen, 9.94, 40.0)->taken_at;

    (void)state;
    bench_point(bench_calibration(&bench, read_at + 600, CALIBRATION_CHECK), "borax", 9.18, 9.22);
    check_close(value_of(&bench, 0).departure_ph, 0.04, 1e-9, "by hand");
    flagged(&bench, "");
    bench_point(bench_calibration(&bench, read_at + 900, CALIBRATION_CHECK), "borax", 9.18, 9.48);
    check_close(value_of(&bench, 0).departure_ph, 0.04, 1e-9, "only the first check after it");
    bench_point(bench_calibration(&bench, read_at - 300, CALIBRATION_CHECK), "borax", 9.18, 9.12);
    check_close(value_of(&bench, 0).departure_ph, 0.06, 1e-9, "and those before it");
    flagged(&bench, "drift");
    assert_false(value_of(&bench, 0).usable); /* above 0.05 the calibration has failed */
    bench_calibration(&bench, read_at - 400, CALIBRATION_CHECK)->meter_id = 77; /* not this meter's */
    check_close(value_of(&bench, 0).departure_ph, 0.06, 1e-9, "another meter");
    bench_calibration(&bench, read_at - 200, CALIBRATION_CHECK)->declared = true;
    bench_point(&bench.calibrations[bench.calibration_count - 1], "borax", 9.18,
                NAN); /* says nothing of drift */
    check_close(value_of(&bench, 0).departure_ph, 0.06, 1e-9, "no values");
    dossier_clear(&bench);
}

static void
a_next_calibration_that_finds_the_meter_off_counts_as_a_check(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    civil_time read_at = bench_ph(&bench, specimen, 9.94, 40.0)->taken_at;
    struct calibration *next = bench_calibration(&bench, read_at + 600, CALIBRATION_ADJUST);

    (void)state;
    bench_point(next, "borax", 9.18, 9.21);
    check_close(value_of(&bench, 0).departure_ph, 0.0, 0.0, "0.03 is what a check allows");
    next->points[0].displayed_ph = 8.68;
    check_close(value_of(&bench, 0).departure_ph, 0.5, 1e-9, "by hand: 9.18 - 8.68");
    flagged(&bench, "drift");
    next->declared = true;
    check_close(value_of(&bench, 0).departure_ph, 0.0, 0.0, "no values, no drift");
    dossier_clear(&bench);
}

static void
checks_after_the_next_calibration_belong_to_that_one(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    civil_time read_at = bench_ph(&bench, specimen, 9.94, 40.0)->taken_at;

    (void)state;
    bench_calibrated(&bench, read_at + 600);
    bench_point(bench_calibration(&bench, read_at + 900, CALIBRATION_CHECK), "borax", 9.18, 9.48);
    check_close(value_of(&bench, 0).departure_ph, 0.0, 0.0, "the meter was adjusted between");
    dossier_clear(&bench);
}

static void
a_meter_without_compensation_is_flagged_away_from_its_calibration(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state; /* calibrated at 25, read at 40 degC: 2.94 pH * 15 / 298.15 = 0.148 */
    bench_ph(&bench, specimen, 9.94, 40.0);
    bench.gear[0].atc = false;
    flagged(&bench, "not-compensated");
    check_close(value_of(&bench, 0).correction.compensation_half_ph, 0.1479, 5e-5, "Nernst, by hand");
    dossier_clear(&bench);
}

static void
a_reading_is_brought_as_far_as_it_is_known(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state; /* brought from 25 to 40 degC a pH falls; brought from 48 it rises */
    bench_ph(&bench, specimen, 11.1, 25.0);
    bench_ph(&bench, specimen, 11.1, 48.0);
    check_close(value_of(&bench, 0).known_ph, value_of(&bench, 0).ph_at_reference, 1e-9, "all is known");
    assert_true(value_of(&bench, 1).known_ph > 11.2);
    /* IAPWS R11-24: pKw 13.534 at 40, 14.534 at 10 and 14.340 at 15 degC, to three decimals. */
    bench_ph(&bench, specimen, 11.1, 10.0);
    check_close(value_of(&bench, 2).known_ph, 11.1 - 0.75 * 1.000, 2e-3, "by hand");
    check_close(value_of(&bench, 2).below_ph, 0.25 * 1.000, 1e-3, "by hand");
    bench_ph(&bench, specimen, 11.1, NAN);
    check_close(value_of(&bench, 3).known_ph, 11.1, 1e-9, "nothing is known");
    check_close(value_of(&bench, 3).below_ph, 0.81, 5e-3,
                "as cold as 15 degC: pKw 14.34 there (CRC Handbook)");
    bench.specimens[0].soap_mass_g = NAN;
    bench.specimens[0].stated_concentration_pct = 10.0;
    check_close(value_of(&bench, 0).known_ph, 11.1 - 0.75 * (0.461 + 1.0), 2e-3, "a 10 % cup, by hand");
    bench.specimens[0].stated_concentration_pct = NAN;
    check_close(value_of(&bench, 3).below_ph, 1.81, 5e-3, "and as strong as 10 %");
    dossier_clear(&bench);
}

static void
weighing_and_thermometer_bring_their_uncertainty(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    check_close(value_of(&bench, 0).u_temperature_c, sqrt(0.25 / 3.0 + 0.01 / 12.0), 1e-12, "by hand");
    check_close(value_of(&bench, 0).u_concentration_pct, 0.0040419, 5e-8, "by hand, as in test_dilution.c");
    bench.sessions[0].thermometer_id = 0;
    bench.sessions[0].balance_id = 0;
    check_close(value_of(&bench, 0).u_temperature_c, 1.0 / sqrt(3.0), 1e-12, "assumed +/- 1 degC");
    check_close(value_of(&bench, 0).u_concentration_pct, 0.02 / sqrt(3.0), 1e-12, "assumed +/- 0.02 %");
    dossier_clear(&bench);
}

static void
readings_valued_together_come_out_as_each_by_itself(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench), second;
    struct reading_valuer valuer = {.dossier = &bench};
    struct failure failure = {0};

    (void)state;
    second = bench_calibrated(&bench, bench_day(7) + 86400);
    bench.calibrations[1].points[0].displayed_ph = 9.30; /* 0.12 off: the next calibration finds a drift */
    for (size_t i = 0; i < 6; i++) {
        struct reading *reading = bench_ph(&bench, specimen, 9.5 + 0.1 * (double)i, 40.0);

        if (i % 2 == 1) {
            reading->calibration_id = second;
            reading->taken_at = bench_day(7) + 90000;
        }
        if (i == 4)
            reading->calibration_id = 0;
    }
    for (size_t i = 0; i < 6; i++) {
        struct reading_value alone = value_of(&bench, i), together = {0};

        check_ok(reading_value_of(&valuer, &bench.readings[i], &together, &failure), &failure);
        check_close(together.ph, alone.ph, 0.0, "by itself");
        check_close(together.departure_ph, alone.departure_ph, 0.0, "by itself");
        assert_int_equal(together.flags, alone.flags);
    }
    check_close(value_of(&bench, 0).departure_ph, 0.12, 1e-9, "what the second calibration found");
    check_close(value_of(&bench, 1).departure_ph, 0.0, 0.0, "nothing came after it");
    reading_valuer_clear(&valuer);
    dossier_clear(&bench);
}

static void
what_is_no_meter_reading_on_record_is_refused(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct reading_value value = {.ph = -7.0};
    struct reading_valuer valuer = {.dossier = &bench};
    struct failure failure = {0};

    (void)state;
    bench_paper(&bench, specimen, 8.0, 9.0);
    bench_ph(&bench, specimen, 9.94, 40.0)->gear_id = 77;
    bench_ph(&bench, specimen, 9.94, 40.0)->specimen_id = 77;
    check_refused(reading_value_of(&valuer, &bench.readings[0], &value, &failure), STATUS_FORMAT, &failure);
    check_refused(reading_value_of(&valuer, &bench.readings[1], &value, &failure), STATUS_MISSING, &failure);
    check_refused(reading_value_of(&valuer, &bench.readings[2], &value, &failure), STATUS_MISSING, &failure);
    check_close(value.ph, -7.0, 0.0, "left alone");
    dossier_clear(&bench);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_checked_reading_at_the_reference_has_no_flag),
    cmocka_unit_test(a_reading_is_brought_back_along_the_calibration_and_to_the_reference),
    cmocka_unit_test(temperature_and_concentration_flags_begin_outside_the_tolerance),
    cmocka_unit_test(an_unchecked_or_refused_meter_makes_a_reading_unusable),
    cmocka_unit_test(a_declared_calibration_is_usable_and_flagged),
    cmocka_unit_test(readings_outside_the_buffers_or_the_glass_are_flagged),
    cmocka_unit_test(a_calibration_older_than_a_day_is_flagged_and_given_drift),
    cmocka_unit_test(drift_comes_from_the_checks_around_the_reading),
    cmocka_unit_test(a_next_calibration_that_finds_the_meter_off_counts_as_a_check),
    cmocka_unit_test(checks_after_the_next_calibration_belong_to_that_one),
    cmocka_unit_test(a_meter_without_compensation_is_flagged_away_from_its_calibration),
    cmocka_unit_test(a_reading_is_brought_as_far_as_it_is_known),
    cmocka_unit_test(weighing_and_thermometer_bring_their_uncertainty),
    cmocka_unit_test(readings_valued_together_come_out_as_each_by_itself),
    cmocka_unit_test(what_is_no_meter_reading_on_record_is_refused),
};

const struct check_module test_assess_reading_value = CHECK_MODULE("assess/reading_value", tests);
