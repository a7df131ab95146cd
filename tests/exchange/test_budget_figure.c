/* test_budget_figure.c - where the uncertainty of a result comes from, as bars. */
#include "budget_figure.h"

#include "check.h"

static char code[] = "W-07";
static const struct dossier dossier = {.batch = {.code = code}};

/* Shares by hand, not in order. */
static struct verdict
with_budget(int age_d)
{
    struct verdict verdict = {
        .dossier = &dossier, .age_d = age_d, .ph_at_reference = 9.5, .u_ph = 0.05, .k = 2.0};

    verdict.budget.count = 3;
    verdict.budget.lines[0].name = "scatter";
    verdict.budget.lines[1].name = "calibration";
    verdict.budget.lines[2].name = "drift";
    verdict.half_ph = 0.10;
    verdict.budget.shares[0] = 0.25;
    verdict.budget.shares[1] = 0.70;
    verdict.budget.shares[2] = 0.05;
    return verdict;
}

static void
the_largest_share_comes_first(void **state)
{
    static const struct {
        const char *name;
        double share_pct;
    } known[] = {{"calibration", 70.0}, {"scatter", 25.0}, {"drift", 5.0}};
    struct verdict verdicts[] = {with_budget(30)};
    const struct verdict_list list = {verdicts, 1, VERDICT_WITHIN};
    struct failure failure = {0};
    struct figure figure;
    const struct figure_panel *panel;

    (void)state;
    check_ok(budget_figure(&list, &figure, &failure), &failure);
    check_contains(figure.title, "W-07 comes from: pH 9.50 \302\261 0.10 at 30 days");
    assert_int_equal(figure.panels_length, 1);
    panel = figure.panels[0];
    for (size_t i = 0; i < LENGTH(known); i++) {
        assert_string_equal(panel->bars[i], known[i].name);
        check_close(panel->series[0]->points[i].x, known[i].share_pct, 1e-12, "by hand");
    }
    figure_clear(&figure);
}

static void
a_result_without_a_budget_has_no_panel(void **state)
{
    struct verdict verdicts[] = {with_budget(30), {.dossier = &dossier}, with_budget(60)};
    const struct verdict_list list = {verdicts, 3, VERDICT_WITHIN}, none = {&verdicts[1], 1, VERDICT_WITHIN};
    struct failure failure = {0};
    struct figure figure;

    (void)state;
    check_ok(budget_figure(&list, &figure, &failure), &failure);
    assert_int_equal(figure.panels_length, 2);
    assert_string_equal(figure.panels[1]->bars[0], "60 d: calibration");
    figure_clear(&figure);
    check_refused(budget_figure(&none, &figure, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "no uncertainty budget");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_largest_share_comes_first),
    cmocka_unit_test(a_result_without_a_budget_has_no_panel),
};

const struct check_module test_exchange_budget_figure = CHECK_MODULE("exchange/budget_figure", tests);
