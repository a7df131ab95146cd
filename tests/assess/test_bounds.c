/* test_bounds.c - the bounds by which a pH is judged, and what they stand for in free lye. */
#include "bench.h"
#include "bounds.h"
#include "file.h"
#include "soap.h"
#include "text.h"

/* method.md, section 5, as published with the rule: pH by charge balance, Davies activities, two decimals. */
static const double percents[] = {0.05, 0.1, 0.2, 0.5, 1.0, 2.0};
static const struct {
    double plain_ph, temperature_c, ph[LENGTH(percents)];
} published[] = {
    {9.5, 40.0, {9.74, 9.93, 10.18, 10.56, 10.86, 11.16}},
    {10.0, 40.0, {10.08, 10.15, 10.29, 10.59, 10.87, 11.16}},
    {10.6, 40.0, {10.62, 10.64, 10.68, 10.79, 10.95, 11.19}},
    {10.0, 25.0, {10.22, 10.40, 10.65, 11.02, 11.32, 11.62}},
};

static double
computed(double free_naoh_pct, double plain_ph, double temperature_c)
{
    struct failure failure = {0};
    double ph = NAN;

    check_ok(soap_ph_with_free_naoh(free_naoh_pct, plain_ph, temperature_c, 1.0, &ph, &failure), &failure);
    return ph;
}

static void
the_table_is_what_the_program_computes(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(published); i++)
        for (size_t k = 0; k < LENGTH(percents); k++)
            check_close(computed(percents[k], published[i].plain_ph, published[i].temperature_c),
                        published[i].ph[k], 0.005001, "the table published with the rule");
}

/* Both pages show what the program computes, to two decimals. */
static void
the_pages_show_the_table(void **state)
{
    static const struct {
        const char *page;
        size_t rows;
    } pages[] = {{"docs/method.md", 4}, {"docs/limits-of-ph.md", 3}};
    struct failure failure = {0};

    (void)state;
    for (size_t p = 0; p < LENGTH(pages); p++) {
        char *path = text_format("%s/%s", getenv("SOURCE_ROOT"), pages[p].page), *page = NULL;

        check_ok(file_read(path, 1 << 20, &page, &failure), &failure);
        for (size_t i = 0; i < pages[p].rows; i++) {
            struct text row = {0};

            if (p == 0)
                text_addf(&row, "| %.1f at %.0f degC |", published[i].plain_ph, published[i].temperature_c);
            else
                text_addf(&row, "| %.1f |", published[i].plain_ph);
            for (size_t k = 0; k < LENGTH(percents); k++)
                text_addf(&row, " %.2f |",
                          computed(percents[k], published[i].plain_ph, published[i].temperature_c));
            check_contains(page, text_of(&row));
            text_clear(&row);
        }
        free(page);
        free(path);
    }
}

/* "0.7 and 0.4 %", method.md; one decimal. */
static void
what_a_within_may_hide_is_computed(void **state)
{
    (void)state;
    check_close(bounds_hidden_naoh_pct(10.7), 0.7, 0.05, "method.md, section 5");
    check_close(bounds_hidden_naoh_pct(10.5), 0.4, 0.05, "method.md, section 5");
    assert_true(isnan(bounds_hidden_naoh_pct(9.9)));
    assert_true(isnan(bounds_hidden_naoh_pct(NAN)));
}

static void
the_bound_follows_the_age_the_maker_and_rework(void **state)
{
    static const struct {
        int age_d;
        double limit_ph, clear_ph, expected_limit_ph, expected_clear_ph;
    } known[] = {
        {0, 11.0, NAN, 11.0, 10.7},   {27, 11.0, NAN, 11.0, 10.7}, {28, 11.0, NAN, 11.0, 10.5},
        {7, 11.5, NAN, 11.0, 10.7},   {7, 14.0, 10.6, 11.0, 10.6}, {28, 11.0, 10.6, 11.0, 10.5},
        {28, 11.0, 10.0, 11.0, 10.0}, {7, 10.2, NAN, 10.2, 10.2},
    };
    struct dossier bench = bench_new();
    struct session *session;

    (void)state;
    bench_session(&bench, bench_day(7));
    session = &bench.sessions[0];
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct bounds bounds;

        session->limit_ph = known[i].limit_ph;
        session->clear_ph = known[i].clear_ph;
        bounds = bounds_of(&bench, session, known[i].age_d);
        check_close(bounds.limit_ph, known[i].expected_limit_ph, 0.0, "method.md, section 5");
        check_close(bounds.clear_ph, known[i].expected_clear_ph, 0.0, "method.md, section 5");
        check_close(bounds.usual_low_ph, 8.5, 0.0, "method.md, section 5");
    }
    session->limit_ph = 11.0;
    session->clear_ph = NAN;
    check_close(bounds_for_release(&bench, session).clear_ph, 10.5, 0.0, "method.md, section 5, rule 1");
    bench.batch.parent_id = 3;
    check_close(bounds_of(&bench, session, 1).clear_ph, 10.5, 0.0, "method.md, section 5, rule 8");
    dossier_clear(&bench);
}

static void
bounds_may_be_lowered_and_never_raised(void **state)
{
    static const struct {
        double low, clear, limit;
        const char *wrong; /* NULL: taken */
    } asked[] = {
        {NAN, NAN, NAN, NULL},
        {8.5, 10.7, 11.0, NULL},
        {7.0, 7.1, 7.1, NULL},
        {NAN, NAN, 11.01, "limit_ph is 11.01, allowed is above 7 to 11"},
        {NAN, NAN, 7.0, "limit_ph is 7, allowed is above 7 to 11"},
        {NAN, 10.71, NAN, "clear_ph is 10.71, allowed is above 7 to 10.7"},
        {NAN, 10.3, 10.2, "clear_ph is 10.3, allowed is above 7 to 10.2"},
        {6.99, NAN, NAN, "usual_low_ph is 6.99, allowed is 7 to below clear_ph, which is 10.5"},
        {9.0, 9.0, NAN, "usual_low_ph is 9, allowed is 7 to below clear_ph, which is 9"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(asked); i++) {
        struct failure failure = {0};
        enum status status = bounds_check(asked[i].low, asked[i].clear, asked[i].limit, &failure);

        if (asked[i].wrong == NULL) {
            check_ok(status, &failure);
            continue;
        }
        check_refused(status, STATUS_RANGE, &failure);
        check_contains(failure.text, asked[i].wrong);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_table_is_what_the_program_computes),
    cmocka_unit_test(the_pages_show_the_table),
    cmocka_unit_test(what_a_within_may_hide_is_computed),
    cmocka_unit_test(the_bound_follows_the_age_the_maker_and_rework),
    cmocka_unit_test(bounds_may_be_lowered_and_never_raised),
};

const struct check_module test_assess_bounds = CHECK_MODULE("assess/bounds", tests);
