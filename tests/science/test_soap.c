/* test_soap.c - free alkali by hand calculation, and the hydrolysis model against what is published. */
#include "check.h"
#include "soap.h"
#include "table_acid_constants.h"

static double
plain_ph(double apparent_pka)
{
    struct failure failure = {0};
    double ph = NAN;

    check_ok(soap_plain_ph(apparent_pka, 40.0, 1.0, &ph, &failure), &failure);
    return ph;
}

static struct soap_free_naoh
free_naoh(struct soap_reading reading)
{
    struct failure failure = {0};
    struct soap_free_naoh result = {NAN, NAN, NAN};

    check_ok(soap_free_naoh_pct(&reading, &result, &failure), &failure);
    assert_true(result.low_pct >= 0.0);
    assert_true(result.low_pct <= result.estimate_pct && result.estimate_pct <= result.high_pct);
    return result;
}

/* By hand: 10 g of bar in 990 g of water, 300 g a mole: I = 0.0337; A(40) = 0.5241; log10 gamma = -0.0760.
 * [OH-] = 10^(11.0 - 13.5343 + 0.0760), to which its own 0.0035 mol/kg adds 0.0022 in the exponent. */
static void
hydroxide_follows_from_ph_and_activity(void **state)
{
    struct failure failure = {0};
    double hydroxide = NAN;

    (void)state;
    check_ok(soap_hydroxide(11.0, 40.0, 1.0, &hydroxide, &failure), &failure);
    check_close(log10(hydroxide), 11.0 - 13.5343 + 0.0760 + 0.0022, 1.5e-3, "method 6, by hand");
}

/* By hand with log10 gamma = -0.0765: x = 10^-3.1578, x0 = 10^-3.4578; b = 5.206e-4 mol/kg of water;
 * times 0.99 x 39.997 x 10 = 0.2061 %. */
static void
free_alkali_beside_a_reference_follows_the_formula(void **state)
{
    struct soap_free_naoh result = free_naoh((struct soap_reading){10.3, 0.0, 10.0, 0.0, 40.0, 1.0, 0.0});

    (void)state;
    check_close(result.estimate_pct, 0.206, 1.5e-3, "method 6: b = x - x0^2/x, by hand");
    check_close(result.low_pct, result.estimate_pct, 1e-12, "no uncertainty, no band");
    check_close(result.high_pct, result.estimate_pct, 1e-12, "no uncertainty, no band");
    result = free_naoh((struct soap_reading){10.0, 0.0, 10.0, 0.0, 40.0, 1.0, 0.0});
    check_close(result.estimate_pct, 0.0, 1e-12, "reads as its reference: nothing free");
    result = free_naoh((struct soap_reading){9.5, 0.05, 10.0, 0.05, 40.0, 1.0, 0.0});
    check_close(result.estimate_pct, 0.0, 0.0, "reads below its reference: nothing free");
}

/* A meter that is off by 0.2 for both makes 10^0.2 times of whatever there is, and nothing of nothing. */
static void
what_both_readings_share_scales_the_free_alkali(void **state)
{
    struct soap_free_naoh result = free_naoh((struct soap_reading){10.3, 0.0, 10.0, 0.0, 40.0, 1.0, 0.2});

    (void)state;
    check_close(result.low_pct, 0.206 * pow(10.0, -0.2), 2e-3, "by hand: both x and x0 by 10^-0.2");
    check_close(result.high_pct, 0.206 * pow(10.0, 0.2), 2.5e-3, "by hand: both by 10^0.2");
    result = free_naoh((struct soap_reading){10.0, 0.0, 10.0, 0.0, 40.0, 1.0, 0.2});
    check_close(result.high_pct, 0.0, 1e-12, "reads as its reference, whatever both are off by");
}

/* Uncertain readings widen the band: with u = 0.05 in both, 2 u sqrt 2 = 0.14 of 0.3 pH. */
static void
uncertain_readings_widen_the_band(void **state)
{
    struct soap_free_naoh result = free_naoh((struct soap_reading){10.3, 0.05, 10.0, 0.05, 40.0, 1.0, 0.0});
    struct soap_free_naoh corner = free_naoh((struct soap_reading){10.4, 0.0, 9.9, 0.0, 40.0, 1.0, 0.0});

    (void)state;
    assert_true(result.low_pct > 0.05 && result.low_pct < 0.15);
    assert_true(result.high_pct > 0.28 && result.high_pct < corner.estimate_pct);
}

/* Hydroxide at pH 11, 40 degC: 10^(11 - 13.534)/0.835 = 3.5e-3 mol/kg, times 0.99 x 39.997 x 10: 1.4 %. */
static void
without_a_reference_there_is_an_upper_bound_and_a_wide_band(void **state)
{
    struct soap_free_naoh result = free_naoh((struct soap_reading){11.0, 0.0, NAN, NAN, 40.0, 1.0, 0.0});

    (void)state;
    check_close(result.high_pct, 1.39, 0.02, "method 6, by hand");
    check_close(result.low_pct, 0.0, 0.0, "a stearic soap alone may read as much");
    assert_true(result.estimate_pct > 0.5 && result.estimate_pct < result.high_pct);
    result = free_naoh((struct soap_reading){9.8, 0.05, NAN, NAN, 40.0, 1.0, 0.0});
    check_close(result.estimate_pct, 0.0, 0.0, "below the plain soap of the model");
}

/* 1 g of pure NaOH in 99 g of water is 0.2525 mol/kg: pH 13.5343 + log10(0.2525 x 0.73) = 12.80 at 40 degC. A
 * reading above that is no soap at all, and never more than the whole bar. */
static void
no_bar_holds_more_lye_than_itself(void **state)
{
    (void)state;
    check_close(free_naoh((struct soap_reading){12.80, 0.0, 10.0, 0.0, 40.0, 1.0, 0.0}).estimate_pct, 100.0,
                3.0, "1 % NaOH by hand");
    check_close(free_naoh((struct soap_reading){13.5, 0.0, NAN, NAN, 40.0, 1.0, 0.0}).high_pct, 100.0, 0.0,
                "the bar");
    check_close(free_naoh((struct soap_reading){14.0, 0.1, NAN, NAN, 40.0, 5.0, 0.0}).high_pct, 100.0, 0.0,
                "the bar");
}

/* Sound bars usually read 9 to 10.5 (common practice); surveys at 1 % span 8.0 to 11.34. */
static void
a_plain_soap_reads_as_sound_bars_do(void **state)
{
    (void)state;
    check_close(plain_ph(SOAP_APPARENT_PKA), 9.75, 0.75, "common practice, no source");
    assert_true(plain_ph(SOAP_APPARENT_PKA_LOW) > 8.0);
    assert_true(plain_ph(SOAP_APPARENT_PKA_HIGH) < 11.34);
    /* By hand, pKa 8.6: x0 = sqrt(0.0337 x 10^(8.6 - 13.5343)) = 6.26e-4, less half of k; gamma 0.838. */
    check_close(plain_ph(SOAP_APPARENT_PKA), 13.5343 - 3.2075 - 0.0765, 5e-3, "hydrolysis by hand");
}

static void
the_range_of_the_apparent_constant_covers_the_table(void **state)
{
    double low = INFINITY, high = -INFINITY;

    (void)state;
    for (size_t i = 0; i < table_acid_constants_length; i++) {
        if (strstr(table_acid_constants[i].acid, "in soap solution") == NULL)
            continue;
        low = fmin(low, table_acid_constants[i].pka_25c);
        high = fmax(high, table_acid_constants[i].pka_25c);
    }
    check_close(low, SOAP_APPARENT_PKA_LOW, 0.05, "lauric, from memory, low confidence");
    check_close(high, SOAP_APPARENT_PKA_HIGH, 0.051, "stearic, Kanicky & Shah 2002: 10.15");
}

/* What a limit on pH means in lye: the table of docs/method.md, section 5. */
static void
free_naoh_shows_as_the_table_has_it(void **state)
{
    static const double percents[] = {0.05, 0.1, 0.2, 0.5, 1.0, 2.0};
    static const struct {
        double plain_ph, temperature_c, ph[LENGTH(percents)];
    } rows[] = {
        {9.5, 40.0, {9.7369, 9.9259, 10.1803, 10.5615, 10.8591, 11.1575}},
        {10.0, 40.0, {10.0782, 10.1540, 10.2919, 10.5880, 10.8663, 11.1593}},
        {10.6, 40.0, {10.6197, 10.6393, 10.6782, 10.7904, 10.9525, 11.1867}},
        {10.0, 25.0, {10.2191, 10.3987, 10.6468, 11.0253, 11.3224, 11.6208}},
    };
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(rows); i++)
        for (size_t j = 0; j < LENGTH(percents); j++) {
            double ph = NAN;

            check_ok(soap_ph_with_free_naoh(percents[j], rows[i].plain_ph, rows[i].temperature_c, 1.0, &ph,
                                            &failure),
                     &failure);
            check_close(ph, rows[i].ph[j], 1e-3, "soap.R; pKw is good to 0.0005, and moves pH and b alike");
        }
}

static void
a_low_reading_shows_more_of_the_same_lye(void **state)
{
    static const double readings[] = {9.0, 9.5, 9.62, 10.0, 10.6},
                        rises[] = {0.868, 0.426, 0.341, 0.154, 0.039};
    struct failure failure = {0};
    double rise_ph = NAN;

    (void)state;
    for (size_t i = 0; i < LENGTH(readings); i++) {
        check_ok(soap_ph_rise(0.1, readings[i], 40.0, 1.0, &rise_ph, &failure), &failure);
        check_close(rise_ph, rises[i], 1e-3, "soap.R");
    }
    check_refused(soap_ph_rise(20.1, 10.0, 40.0, 1.0, &rise_ph, &failure), STATUS_RANGE, &failure);
    check_refused(soap_ph_rise(0.1, NAN, 40.0, 1.0, &rise_ph, &failure), STATUS_RANGE, &failure);
}

static void
what_is_outside_the_range_is_refused(void **state)
{
    static const struct soap_reading bad[] = {
        {-0.1, 0.05, NAN, NAN, 40.0, 1.0, 0.0},  {14.1, 0.05, NAN, NAN, 40.0, 1.0, 0.0},
        {NAN, 0.05, NAN, NAN, 40.0, 1.0, 0.0},   {10.0, -0.1, NAN, NAN, 40.0, 1.0, 0.0},
        {10.0, NAN, NAN, NAN, 40.0, 1.0, 0.0},   {10.0, 0.05, 15.0, 0.05, 40.0, 1.0, 0.0},
        {10.0, 0.05, 10.0, NAN, 40.0, 1.0, 0.0}, {10.0, 0.05, NAN, NAN, 60.1, 1.0, 0.0},
        {10.0, 0.05, NAN, NAN, NAN, 1.0, 0.0},   {10.0, 0.05, NAN, NAN, 40.0, 0.09, 0.0},
        {10.0, 0.05, NAN, NAN, 40.0, 5.1, 0.0},  {10.0, 2.1, NAN, NAN, 40.0, 1.0, 0.0},
    };
    struct failure failure = {0};
    struct soap_free_naoh untouched = {-5.0, -5.0, -5.0};
    double number = -5.0;

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(soap_free_naoh_pct(&bad[i], &untouched, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "uncertainty of the pH is 2.1, allowed is 0 to 2");
    check_close(untouched.estimate_pct, -5.0, 0.0, "a refusal leaves the result alone");
    check_refused(soap_plain_ph(6.9, 40.0, 1.0, &number, &failure), STATUS_RANGE, &failure);
    check_refused(soap_plain_ph(NAN, 40.0, 1.0, &number, &failure), STATUS_RANGE, &failure);
    check_close(number, -5.0, 0.0, "a refusal leaves the result alone");
}

static void
a_ph_from_free_alkali_leads_back_to_it(void **state)
{
    /* Without soap hydrolysis worth speaking of, 1 % NaOH in the bar is 0.1 g in 990 g of water a kilogram:
     * 0.00253 mol/kg, -log10 gamma about 0.09 at the soap's ionic strength: pH = 13.534 - 2.597 - 0.09. */
    static const double percents[] = {0.05, 0.5, 5.0};
    struct failure failure = {0};
    double ph = NAN;

    (void)state;
    check_ok(soap_ph_with_free_naoh(1.0, 7.5, 40.0, 1.0, &ph, &failure), &failure);
    check_close(ph, 10.85, 0.02, "by hand, Davies at I = 0.036");
    check_ok(soap_ph_with_free_naoh(0.0, 10.2, 40.0, 1.0, &ph, &failure), &failure);
    check_close(ph, 10.2, 1e-6, "no free alkali changes nothing");
    for (size_t i = 0; i < LENGTH(percents); i++) {
        struct soap_reading reading = {.reference_ph = 10.2, .temperature_c = 40.0, .concentration_pct = 1.0};
        struct soap_free_naoh found;

        check_ok(soap_ph_with_free_naoh(percents[i], 10.2, 40.0, 1.0, &reading.ph, &failure), &failure);
        check_ok(soap_free_naoh_pct(&reading, &found, &failure), &failure);
        check_close(found.estimate_pct, percents[i], 1e-4 * percents[i], "the inverse of the same formula");
    }
    check_refused(soap_ph_with_free_naoh(20.1, 10.2, 40.0, 1.0, &ph, &failure), STATUS_RANGE, &failure);
    check_refused(soap_ph_with_free_naoh(NAN, 10.2, 40.0, 1.0, &ph, &failure), STATUS_RANGE, &failure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(hydroxide_follows_from_ph_and_activity),
    cmocka_unit_test(free_alkali_beside_a_reference_follows_the_formula),
    cmocka_unit_test(what_both_readings_share_scales_the_free_alkali),
    cmocka_unit_test(uncertain_readings_widen_the_band),
    cmocka_unit_test(without_a_reference_there_is_an_upper_bound_and_a_wide_band),
    cmocka_unit_test(no_bar_holds_more_lye_than_itself),
    cmocka_unit_test(a_plain_soap_reads_as_sound_bars_do),
    cmocka_unit_test(the_range_of_the_apparent_constant_covers_the_table),
    cmocka_unit_test(a_ph_from_free_alkali_leads_back_to_it),
    cmocka_unit_test(free_naoh_shows_as_the_table_has_it),
    cmocka_unit_test(a_low_reading_shows_more_of_the_same_lye),
    cmocka_unit_test(what_is_outside_the_range_is_refused),
};

const struct check_module test_science_soap = CHECK_MODULE("science/soap", tests);
