/* test_session.c - readings and specimens. */
#include "check.h"
#include "session.h"
#include "titration.h"

static void
concentration_comes_from_the_weighings_first(void **state)
{
    struct specimen specimen;

    (void)state;
    specimen_init(&specimen);
    assert_true(isnan(specimen_concentration_pct(&specimen)));
    specimen.stated_concentration_pct = 1.2;
    check_close(specimen_concentration_pct(&specimen), 1.2, 0.0, "as told");
    specimen.soap_mass_g = 1.0;
    specimen.water_mass_g = 99.0;
    check_close(specimen_concentration_pct(&specimen), 1.0, 1e-12, "1 g in 100 g is 1 % by mass");
}

static void
readings_are_refused_outside_their_range(void **state)
{
    struct failure failure = {0};
    struct reading reading;

    (void)state;
    reading_init(&reading);
    check_refused(reading_check(&reading, &failure), STATUS_RANGE, &failure); /* NAN is no reading */
    reading.ph = 0.0;
    check_ok(reading_check(&reading, &failure), &failure);
    reading.ph = 14.0;
    check_ok(reading_check(&reading, &failure), &failure);
    reading.ph = 14.01;
    check_refused(reading_check(&reading, &failure), STATUS_RANGE, &failure);
    assert_string_equal(failure.text, "ph is 14.01, allowed is 0 to 14");
    reading.ph = 9.0;
    reading.temperature_c = 200.0;
    check_refused(reading_check(&reading, &failure), STATUS_RANGE, &failure);
    reading.temperature_c = 100.0;
    check_ok(reading_check(&reading, &failure), &failure);
    reading_init(&reading);
    reading.method = READING_PAPER;
    reading.ph_low = 9.0;
    reading.ph_high = 8.0;
    check_refused(reading_check(&reading, &failure), STATUS_RANGE, &failure);
    reading.ph_high = 10.0;
    check_ok(reading_check(&reading, &failure), &failure);
}

static void
a_withdrawn_reading_names_another_and_has_no_value(void **state)
{
    struct failure failure = {0};
    struct reading reading;

    (void)state;
    reading_init(&reading);
    reading.withdrawn = true;
    check_refused(reading_check(&reading, &failure), STATUS_FORMAT, &failure);
    reading.supersedes = 7;
    check_ok(reading_check(&reading, &failure), &failure);
    assert_false(reading_stands(&reading));
    reading.ph = 9.0;
    check_refused(reading_check(&reading, &failure), STATUS_FORMAT, &failure);
}

static void
titrations_are_refused_outside_their_range(void **state)
{
    struct failure failure = {0};
    struct titration titration;

    (void)state;
    titration_init(&titration);
    check_refused(titration_check(&titration, &failure), STATUS_RANGE, &failure);
    titration.soap_mass_g = 10.0;
    titration.acid_mol_per_l = 0.1;
    titration.volume_ml = 1.25;
    check_ok(titration_check(&titration, &failure), &failure);
    titration.blank_ml = 1.3;
    check_refused(titration_check(&titration, &failure), STATUS_RANGE, &failure);
    assert_string_equal(failure.text, "blank_ml is 1.3, allowed is 0 to volume_ml, 1.25");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(concentration_comes_from_the_weighings_first),
    cmocka_unit_test(readings_are_refused_outside_their_range),
    cmocka_unit_test(a_withdrawn_reading_names_another_and_has_no_value),
    cmocka_unit_test(titrations_are_refused_outside_their_range),
};

const struct check_module test_record_session = CHECK_MODULE("record/session", tests);
