/* test_at_reference.c - bring a pH to 40 degC and 1.00 %. */
#include "at_reference.h"
#include "check.h"
#include "soap.h"

static struct at_reference
shift(double temperature_c, double concentration_pct)
{
    struct failure failure = {0};
    struct at_reference shift = {0};

    check_ok(at_reference(temperature_c, concentration_pct, &shift, &failure), &failure);
    return shift;
}

static void
temperature_follows_three_quarters_of_the_ion_product(void **state)
{
    struct failure failure = {0};
    double alone_ph = NAN;

    (void)state;
    /* pKw 13.995 at 25 and 13.534 at 40 degC (IAPWS R11-24): 0.75 * -0.461 and 0.25 * 0.461, three decimals.
     */
    check_close(shift(25.0, 1.0).temperature_ph, -0.345, 1.5e-3, "pKw of IAPWS to three decimals");
    check_close(shift(25.0, 1.0).share_half_ph, 0.115, 5e-4, "pKw of IAPWS to three decimals");
    check_ok(at_reference_temperature(25.0, &alone_ph, &failure), &failure);
    check_close(alone_ph, -0.345, 1.5e-3, "pKw of IAPWS to three decimals");
    check_refused(at_reference_temperature(14.99, &alone_ph, &failure), STATUS_RANGE, &failure);
    check_close(shift(40.0, 1.0).temperature_ph, 0.0, 0.0, "at the reference");
    check_close(shift(40.0, 1.0).share_half_ph, 0.0, 0.0, "at the reference");
    assert_true(shift(45.0, 1.0).temperature_ph > 0.0);
    /* CRC Handbook: pKw 13.68 at 35 and 13.40 at 45 degC, so 0.028 a degree. */
    check_close(shift(40.0, 1.0).ph_per_c, 0.75 * 0.028, 0.001, "CRC Handbook, pKw to two decimals");
}

static void
concentration_follows_three_quarters_of_a_decade(void **state)
{
    (void)state;
    check_close(shift(40.0, 2.0).concentration_ph, -0.75 * 0.30103, 1e-5, "log10(2)");
    check_close(shift(40.0, 0.5).concentration_ph, 0.75 * 0.30103, 1e-5, "log10(2)");
    check_close(shift(40.0, 0.5).share_half_ph, (0.25 + 0.07) * 0.30103, 1e-5, "log10(2), rules 2 and 3");
    check_close(shift(40.0, 2.0).share_half_ph, (0.25 + 0.07) * 0.30103, 1e-5, "log10(2), rules 2 and 3");
    check_close(shift(40.0, 1.0).ph_per_pct, 0.75 * 0.4342945, 1e-6, "d log10(w) / dw at 1");
}

/* Rule 3 by hand: Davies (1962), -log10 gamma = A (sqrt I / (1 + sqrt I) - 0.3 I), A = 0.524 at 40 degC, with I of 0.0167,
 * 0.0333 and 0.0667 mol/kg (300 g of bar a mole): 0.057, 0.076, 0.097. Half as much soap is 0.018 higher, twice as much
 * 0.021 lower, by 0.30 decades each. */
static void
plain_and_heavy_bars_lie_within_the_half_width(void **state)
{
    static const double temperatures_c[] = {15.0, 25.0, 32.0, 40.0, 50.0},
                        concentrations_pct[] = {0.5, 1.0, 2.0}, naoh_pct[] = {0.0, 0.3, 1.0, 3.0};
    struct failure failure = {0};

    (void)state;
    for (size_t t = 0; t < LENGTH(temperatures_c); t++)
        for (size_t w = 0; w < LENGTH(concentrations_pct); w++)
            for (size_t c = 0; c < LENGTH(naoh_pct); c++) {
                struct at_reference to = shift(temperatures_c[t], concentrations_pct[w]);
                double plain_ph = NAN, there_ph = NAN, plain_here_ph = NAN, here_ph = NAN;

                check_ok(soap_plain_ph(SOAP_APPARENT_PKA, 40.0, 1.0, &plain_ph, &failure), &failure);
                check_ok(soap_ph_with_free_naoh(naoh_pct[c], plain_ph, 40.0, 1.0, &there_ph, &failure),
                         &failure);
                check_ok(soap_plain_ph(SOAP_APPARENT_PKA, temperatures_c[t], concentrations_pct[w],
                                       &plain_here_ph, &failure),
                         &failure);
                check_ok(soap_ph_with_free_naoh(naoh_pct[c], plain_here_ph, temperatures_c[t],
                                                concentrations_pct[w], &here_ph, &failure),
                         &failure);
                check_close(here_ph + to.shift_ph, there_ph, to.share_half_ph + 0.003,
                            "soap.h; 0.003 for how gamma itself follows temperature");
            }
}

static void
the_ends_of_the_range_are_in_and_beyond_is_refused(void **state)
{
    static const double wrong[][2] = {{14.99, 1.0},  {50.01, 1.0},  {NAN, 1.0},
                                      {40.0, 0.499}, {40.0, 2.001}, {40.0, NAN}};
    struct at_reference kept = {.temperature_ph = -7.0};

    (void)state;
    shift(15.0, 0.5);
    shift(50.0, 2.0);
    for (size_t i = 0; i < LENGTH(wrong); i++) {
        struct failure failure = {0};

        check_refused(at_reference(wrong[i][0], wrong[i][1], &kept, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, "allowed is");
    }
    check_close(kept.temperature_ph, -7.0, 0.0, "left alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(temperature_follows_three_quarters_of_the_ion_product),
    cmocka_unit_test(concentration_follows_three_quarters_of_a_decade),
    cmocka_unit_test(plain_and_heavy_bars_lie_within_the_half_width),
    cmocka_unit_test(the_ends_of_the_range_are_in_and_beyond_is_refused),
};

const struct check_module test_assess_at_reference = CHECK_MODULE("assess/at_reference", tests);
