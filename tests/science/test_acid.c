/* test_acid.c - acid constants against published values at several temperatures. */
#include "acid.h"
#include "check.h"
#include "table_acid_constants.h"

static const struct {
    enum acid acid;
    int step;
    double temperature_c, pka, tolerance;
    const char *source;
} known[] = {
    {ACID_CARBONIC, 1, 25.0, 6.352, 5e-4, "Plummer & Busenberg 1982"},
    {ACID_CARBONIC, 2, 25.0, 10.329, 5e-4, "Plummer & Busenberg 1982"},
    /* Measured sixty years apart: agree within 0.01, which is more than the last digit. */
    {ACID_CARBONIC, 1, 0.0, 6.577, 0.01, "Harned & Davis 1943"},
    {ACID_CARBONIC, 1, 25.0, 6.351, 0.01, "Harned & Davis 1943"},
    {ACID_CARBONIC, 1, 50.0, 6.287, 0.01, "Harned & Davis 1943"},
    {ACID_CARBONIC, 2, 0.0, 10.626, 0.01, "Harned & Scholes 1941"},
    {ACID_CARBONIC, 2, 25.0, 10.330, 0.01, "Harned & Scholes 1941"},
    {ACID_CARBONIC, 2, 50.0, 10.171, 0.015, "Harned & Scholes 1941"},
    {ACID_LACTIC, 1, 22.5, 3.857, 0.0, "Martin & Tartar 1937"},
    {ACID_LACTIC, 1, 50.0, 3.895, 5e-4, "Martin & Tartar 1937, by hand: 3.857 + 5e-5 x 27.5^2"},
    /* By hand: pKa + dH/(19.1448 J/(mol K)) x (1/T - 1/298.15). */
    {ACID_BORIC, 1, 40.0, 9.127, 5e-4, "van 't Hoff by hand: 9.236 - 679.0 x 1.6066e-4"},
    {ACID_CITRIC, 3, 40.0, 6.424, 5e-4, "van 't Hoff by hand: 6.396 + 175.0 x 1.6066e-4"},
    /* Measured, from memory: what van 't Hoff alone can and cannot do. */
    {ACID_ACETIC, 1, 40.0, 4.769, 0.02, "Harned & Ehlers 1933, from memory"},
    {ACID_BORIC, 1, 40.0, 9.132, 0.03, "Manov et al. 1944, from memory"},
    {ACID_PHOSPHORIC, 2, 40.0, 7.181, 0.02, "Bates & Acree 1945, from memory"},
    {ACID_PHOSPHORIC, 2, 0.0, 7.313, 0.07, "Bates & Acree 1945, from memory"},
};

static void
constants_agree_with_published_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        double pka = NAN;

        check_ok(acid_pka(known[i].acid, known[i].step, known[i].temperature_c, &pka, &failure), &failure);
        check_close(pka, known[i].pka, known[i].tolerance, known[i].source);
    }
}

/* At 25 degC every constant is the table's: for carbonic acid, a second source within its last digit. */
static void
at_25_degc_the_table_is_given_back(void **state)
{
    (void)state;
    for (size_t i = 0; i < table_acid_constants_length; i++) {
        const struct acid_constant_row *row = &table_acid_constants[i];

        for (int acid = 0; acid < ACID_COUNT; acid++) {
            struct failure failure = {0};
            double pka = NAN;

            if (strcmp(acid_name((enum acid)acid), row->acid) != 0)
                continue;
            assert_true((int)row->step <= acid_steps((enum acid)acid));
            check_ok(acid_pka((enum acid)acid, (int)row->step, 25.0, &pka, &failure), &failure);
            check_close(pka, row->pka_25c, 6e-4, row->source);
        }
    }
}

static void
carbon_dioxide_dissolves_as_published(void **state)
{
    struct failure failure = {0};
    double log_kh = NAN;

    (void)state;
    check_ok(acid_log_henry_co2(25.0, &log_kh, &failure), &failure);
    check_close(log_kh, -1.468, 5e-4, "Plummer & Busenberg 1982");
}

static void
what_is_outside_the_range_is_refused(void **state)
{
    static const double outside_c[] = {-0.1, 60.1, NAN};
    struct failure failure = {0};
    double untouched = -5.0;

    (void)state;
    for (size_t i = 0; i < LENGTH(outside_c); i++) {
        check_refused(acid_pka(ACID_CITRIC, 1, outside_c[i], &untouched, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, "0 to 60 degC");
        check_refused(acid_log_henry_co2(outside_c[i], &untouched, &failure), STATUS_RANGE, &failure);
    }
    check_close(untouched, -5.0, 0.0, "a refusal leaves the result alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(constants_agree_with_published_values),
    cmocka_unit_test(at_25_degc_the_table_is_given_back),
    cmocka_unit_test(carbon_dioxide_dissolves_as_published),
    cmocka_unit_test(what_is_outside_the_range_is_refused),
};

const struct check_module test_science_acid = CHECK_MODULE("science/acid", tests);
