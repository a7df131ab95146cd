/* test_scatter.c - how far replicate readings scatter. */
#include "bench.h"
#include "scatter.h"

static struct scatter
scatter_of(const struct dossier *bench, int64_t specimen_id)
{
    struct scatter_pool pool;
    struct scatter scatter;

    scatter_pool_init(&pool, bench);
    scatter = scatter_of_specimen(&pool, specimen_id);
    scatter_pool_clear(&pool);
    return scatter;
}

static void
with_nothing_to_pool_two_hundredths_are_assumed(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct scatter scatter = scatter_of(&bench, specimen);

    (void)state;
    check_close(scatter.sd_ph, 0.02, 0.0, "method.md, section 5, rule 3; judgement");
    assert_true(scatter.assumed && scatter.dof == 2.0);
    bench_ph(&bench, specimen, 9.90, 40.0);
    assert_true(scatter_of(&bench, specimen).assumed);
    dossier_clear(&bench);
}

/* A mean summed as x/n is not x: the scatter was then 1e-16, with which nothing could be computed. */
static void
equal_readings_have_no_scatter_at_all(void **state)
{
    (void)state;
    for (int hundredths = 200; hundredths <= 1300; hundredths += 7)
        for (int count = 2; count <= 12; count++) {
            struct dossier bench;
            int64_t specimen = bench_ready(&bench);
            struct scatter scatter;

            for (int i = 0; i < count; i++)
                bench_ph(&bench, specimen, hundredths / 100.0, 40.0);
            scatter = scatter_of(&bench, specimen);
            check_close(scatter.sd_ph, 0.0, 0.0,
                        "exactly; the budget never takes less than the last digit gives");
            check_close(scatter.dof, count - 1.0, 0.0, "one less");
            dossier_clear(&bench);
        }
}

static void
many_replicates_speak_for_themselves(void **state)
{
    static const double values[] = {9.1, 9.2, 9.3, 9.4, 9.5, 9.6};
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    for (size_t i = 0; i < LENGTH(values); i++)
        bench_ph(&bench, specimen, values[i], 40.0);
    check_close(scatter_of(&bench, specimen).sd_ph, 0.1870829, 5e-8, "by hand: sqrt(0.175 / 5)");
    check_close(scatter_of(&bench, specimen).dof, 5.0, 0.0, "six less one");
    assert_false(scatter_of(&bench, specimen).assumed);
    dossier_clear(&bench);
}

static void
few_replicates_are_pooled_over_the_batch(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state; /* six pairs 0.10 apart: each 0.005 with one degree of freedom */
    for (int i = 0; i < 6; i++) {
        int64_t each = i == 0 ? specimen : bench_specimen(&bench, 1, 1.0);

        bench_ph(&bench, each, 9.0 + i, 40.0);
        bench_ph(&bench, each, 9.1 + i, 40.0);
    }
    check_close(scatter_of(&bench, specimen).sd_ph, 0.0707107, 5e-8, "by hand: sqrt(6 * 0.005 / 6)");
    check_close(scatter_of(&bench, specimen).dof, 6.0, 0.0, "six pairs");
    dossier_clear(&bench);
}

static void
few_degrees_of_freedom_are_kept_and_widened_in_the_budget(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct scatter scatter;

    (void)state;
    bench_ph(&bench, specimen, 9.90, 40.0);
    bench_ph(&bench, specimen, 9.90, 40.0);
    assert_false(scatter_of(&bench, specimen).assumed);
    bench_ph(&bench, specimen, 10.20, 40.0);
    scatter = scatter_of(&bench, specimen);
    check_close(scatter.sd_ph, 0.1732051, 5e-8, "sd of 9.9, 9.9, 10.2 by hand");
    check_close(scatter.dof, 2.0, 0.0, "three less one");
    assert_false(scatter.assumed);
    scatter_widen(&scatter.sd_ph, &scatter.dof);
    /* t95 one-sided 2.920 and 2.015 for 2 and 5 (GUM table G.2, 90 %) */
    check_close(scatter.sd_ph, 0.1732051 * 2.920 / 2.015, 2e-4, "by hand with GUM table G.2");
    check_close(scatter.dof, 5.0, 0.0, "the rule");
    dossier_clear(&bench);
}

static void
a_specimen_that_scatters_far_more_is_not_hidden_by_the_pool(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    for (int i = 0; i < 10; i++) {
        int64_t each = bench_specimen(&bench, 1, 1.0);

        bench_ph(&bench, each, 9.50, 40.0);
        bench_ph(&bench, each, 9.52, 40.0);
    }
    check_close(scatter_of(&bench, specimen).sd_ph, 0.0141421, 5e-8, "by hand: 0.02 / sqrt(2)");
    bench_ph(&bench, specimen, 9.5, 40.0);
    bench_ph(&bench, specimen, 9.9, 40.0);
    assert_true(scatter_of(&bench, specimen).sd_ph > 0.28); /* its own 0.4 / sqrt(2) */
    dossier_clear(&bench);
}

static void
what_temperature_explains_is_no_scatter(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state; /* six readings that differ by the temperature alone: 0.75 of pKw, IAPWS */
    for (int i = 0; i < 3; i++) {
        bench_ph(&bench, specimen, 9.50, 40.0);
        bench_ph(&bench, specimen, 9.50 + 0.75 * (13.995 - 13.534), 25.0);
    }
    assert_true(scatter_of(&bench, specimen).sd_ph < 0.001);
    dossier_clear(&bench);
}

static void
superseded_and_paper_readings_and_other_meters_do_not_mix_in(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.5, 40.0);
    bench_ph(&bench, specimen, 11.5, 40.0)->superseded_by = 99;
    bench_paper(&bench, specimen, 11.0, 12.0);
    bench_ph(&bench, specimen, 12.5, 40.0)->gear_id = 77;
    assert_true(scatter_of(&bench, specimen).assumed);
    check_close(scatter_of(&bench, specimen).sd_ph, 0.02, 0.0, "method.md, section 5, rule 3; judgement");
    dossier_clear(&bench);
}

static void
cups_of_one_bar_tell_what_lies_between_them(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    for (int i = 0; i < 7; i++) { /* each cup read twice 0.02 apart; means 9.50, 9.60, ... 10.10 */
        int64_t cup = i == 0 ? specimen : bench_specimen(&bench, 1, 1.0);

        bench_label(&bench, cup, "A");
        bench_ph(&bench, cup, 9.49 + 0.1 * i, 40.0);
        bench_ph(&bench, cup, 9.51 + 0.1 * i, 40.0);
    }
    /* variance of the means 0.28/6, less 0.0002/2 within */
    check_close(scatter_of(&bench, specimen).between_sd_ph, sqrt(0.28 / 6.0 - 0.0001), 1e-9, "by hand");
    check_close(scatter_of(&bench, specimen).between_dof, 6.0, 0.0, "seven less one");
    bench.specimen_count = 6;
    bench.reading_count = 12;
    check_close(scatter_of(&bench, specimen).between_dof, 0.0, 0.0, "five are not enough");
    bench.specimen_count = 7;
    bench.reading_count = 14;
    for (size_t i = 0; i < 7; i++) { /* unlabelled, they may be of any bar */
        free(bench.specimens[i].bar);
        bench.specimens[i].bar = NULL;
    }
    check_close(scatter_of(&bench, specimen).between_dof, 0.0, 0.0, "nothing to pool");
    dossier_clear(&bench);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(cups_of_one_bar_tell_what_lies_between_them),
    cmocka_unit_test(with_nothing_to_pool_two_hundredths_are_assumed),
    cmocka_unit_test(equal_readings_have_no_scatter_at_all),
    cmocka_unit_test(many_replicates_speak_for_themselves),
    cmocka_unit_test(few_replicates_are_pooled_over_the_batch),
    cmocka_unit_test(few_degrees_of_freedom_are_kept_and_widened_in_the_budget),
    cmocka_unit_test(a_specimen_that_scatters_far_more_is_not_hidden_by_the_pool),
    cmocka_unit_test(what_temperature_explains_is_no_scatter),
    cmocka_unit_test(superseded_and_paper_readings_and_other_meters_do_not_mix_in),
};

const struct check_module test_assess_scatter = CHECK_MODULE("assess/scatter", tests);
