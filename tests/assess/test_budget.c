/* test_budget.c - the uncertainty budget of one result. */
#include "bench.h"
#include "budget.h"

static const struct scatter assumed = {.sd_ph = 0.05, .dof = INFINITY, .assumed = true};

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

static struct budget
budget(const struct reading_value *values, size_t count, const struct scatter *scatter)
{
    struct failure failure = {0};
    struct budget budget = {0};

    check_ok(budget_of(values, count, scatter, &budget, &failure), &failure);
    return budget;
}

static void
a_mean_does_not_depend_on_the_order(void **state)
{
    double one[] = {0.1, 0.2, 0.3, 1e16, -1e16}, two[] = {-1e16, 0.3, 1e16, 0.1, 0.2};

    (void)state;
    assert_true(budget_mean(one, LENGTH(one)) == budget_mean(two, LENGTH(two)));
    assert_true(isnan(budget_mean(one, 0)));
}

/* JCGM 100:2008, 4.2.3: only what varies from reading to reading shrinks with their number. */
static void
only_the_scatter_shrinks_with_the_number_of_readings(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct reading_value values[4];
    struct budget one, four;

    (void)state;
    for (size_t i = 0; i < LENGTH(values); i++)
        bench_ph(&bench, specimen, 9.94, 30.0);
    for (size_t i = 0; i < LENGTH(values); i++)
        values[i] = value_of(&bench, i);
    one = budget(values, 1, &assumed);
    four = budget(values, 4, &assumed);
    assert_int_equal(one.count, four.count);
    check_close(uncertainty_component_standard(&one.lines[0]), 0.05, 1e-12, "a single reading");
    check_close(uncertainty_component_standard(&four.lines[0]), 0.025, 1e-12, "by hand: half of it");
    for (size_t i = 1; i < one.count; i++)
        check_close(uncertainty_component_standard(&four.lines[i]),
                    uncertainty_component_standard(&one.lines[i]), 1e-12, one.lines[i].name);
    dossier_clear(&bench);
}

static void
parts_that_are_nothing_get_no_line(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct reading_value value;
    struct budget found;

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    value = value_of(&bench, 0);
    value.drift_half_ph = 0.0; /* as after a check that found nothing */
    found = budget(&value, 1, &assumed);
    for (size_t i = 0; i < found.count; i++) {
        assert_true(found.shares[i] > 0.0);
        assert_null(strstr(found.lines[i].name, "drift"));
        assert_null(strstr(found.lines[i].name, "40 degC"));
    }
    value.drift_half_ph = 0.04;
    check_close(budget(&value, 1, &assumed).total.standard_uncertainty,
                hypot(found.total.standard_uncertainty, 0.04 / sqrt(3.0)), 1e-12, "by hand: rectangular");
    dossier_clear(&bench);
}

static void
few_degrees_of_freedom_of_a_calibration_are_widened(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct reading_value value;
    struct budget found;

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    value = value_of(&bench, 0);
    value.correction.u_line_ph = 0.01;
    value.correction.line_dof = 1.0;
    found = budget(&value, 1, &assumed);
    for (size_t i = 0; i < found.count; i++) {
        if (strcmp(found.lines[i].name, "calibration") != 0)
            continue;
        /* t95 one-sided: 6.314 for 1 and 2.015 for 5 degrees of freedom (GUM table G.2, 90 %). */
        check_close(found.lines[i].spread, 0.01 * 6.314 / 2.015, 1e-5, "by hand with GUM table G.2");
        check_close(found.lines[i].dof, 5.0, 0.0, "the rule");
    }
    dossier_clear(&bench);
}

static void
the_uncertainty_alone_is_that_of_the_whole_budget(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct reading_value values[3];
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(values); i++)
        bench_ph(&bench, specimen, 9.94 + 0.01 * (double)i, 30.0 + (double)i);
    for (size_t i = 0; i < LENGTH(values); i++)
        values[i] = value_of(&bench, i);
    for (size_t count = 1; count <= LENGTH(values); count++) {
        struct budget whole = budget(values, count, &assumed);
        double u_ph = NAN;

        check_ok(budget_u_ph(values, count, &assumed, &u_ph, &failure), &failure);
        assert_true(u_ph == whole.total.standard_uncertainty);
    }
    dossier_clear(&bench);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_mean_does_not_depend_on_the_order),
    cmocka_unit_test(only_the_scatter_shrinks_with_the_number_of_readings),
    cmocka_unit_test(parts_that_are_nothing_get_no_line),
    cmocka_unit_test(few_degrees_of_freedom_of_a_calibration_are_widened),
    cmocka_unit_test(the_uncertainty_alone_is_that_of_the_whole_budget),
};

const struct check_module test_assess_budget = CHECK_MODULE("assess/budget", tests);
