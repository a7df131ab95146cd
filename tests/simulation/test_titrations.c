/* test_titrations.c - how often the stated 95 % interval of a titration holds what is true. The table stands in
 * docs/method.md (run.sh).
 *
 * Error model: portions of 10 g whose free NaOH scatters; acid of 0.1 mol/L off by its standard uncertainty of 0.5 %; a
 * balance of 0.01 g, tare and load; a burette read to its division, started at the mark or anywhere and then read twice;
 * a blank of up to 0.2 mL that is read on it likewise. */
#include "bars.h"

static const size_t portion_counts[] = {2, 3, 4};
static const double scatters_pct[] = {0.002, 0.005, 0.01}, truths_pct[] = {0.04, 0.05, 0.1, 0.5},
                    divisions_ml[] = {0.02, 0.05, 0.1};

/* A kind of titration. */
struct titrated {
    size_t portions;
    double scatter_pct, division_ml, true_pct;
    bool from_mark;
};

static double
on_the_scale(double value, double division)
{
    return round(value / division) * division;
}

static double
read_burette(struct draw *draw, const struct titrated *kind, double used_ml)
{
    double start_ml = kind->from_mark ? 0.0 : between(draw, 0.0, 1.0);

    return fmax(0.0, on_the_scale(start_ml + used_ml, kind->division_ml) -
                         on_the_scale(start_ml, kind->division_ml));
}

/* One bar titrated: does the interval hold? */
static bool
holds(struct draw *draw, const struct titrated *kind)
{
    struct batch_case batch = {.dossier = bench_new()};
    double acid_mol_per_l = 0.1 * (1.0 + normal(draw, 0.005)), blank_ml = between(draw, 0.0, 0.2);
    double shown_blank_ml = read_burette(draw, kind, blank_ml);
    const struct titration_result *figures;
    struct failure failure = {0};
    bool held;

    policy_init(&batch.policy);
    for (size_t i = 0; i < kind->portions; i++) {
        double soap_g = 10.0 + between(draw, -0.005, 0.005) + between(draw, -0.005, 0.005);
        double naoh_g = fmax(0.0, kind->true_pct + normal(draw, kind->scatter_pct)) / 100.0 * soap_g;
        double used_ml = naoh_g / 39.997 * 1000.0 / acid_mol_per_l + blank_ml;
        struct titration *titration =
            bench_titration(&batch.dossier, bench_day(30), read_burette(draw, kind, used_ml));

        titration->blank_ml = shown_blank_ml;
        titration->burette_ml = kind->division_ml;
    }
    check_ok(batch_case_judge(&batch, &failure), &failure);
    assert_int_equal(batch.conclusion.free_alkali.count, 1);
    figures = &batch.conclusion.free_alkali.current->figures;
    held = figures->low_pct <= kind->true_pct && kind->true_pct <= figures->high_pct;
    batch_case_clear(&batch);
    return held;
}

static void
free_lye_lies_in_its_interval(void **state)
{
    size_t rounds = simulation_rounds(), missed = 0;

    (void)state;
    printf(
        "| portions | scatter | burette of 0.02 mL | 0.05 mL | 0.1 mL |\n| --- | --- | --- | --- | --- |\n");
    for (size_t n = 0; n < LENGTH(portion_counts); n++)
        for (size_t s = 0; s < LENGTH(scatters_pct); s++) {
            printf("| %zu | %g %% |", portion_counts[n], scatters_pct[s]);
            for (size_t d = 0; d < LENGTH(divisions_ml); d++) {
                double low = 100.0, high = 0.0;

                for (size_t t = 0; t < 2 * LENGTH(truths_pct); t++) {
                    const struct titrated kind = {portion_counts[n], scatters_pct[s], divisions_ml[d],
                                                  truths_pct[t / 2], t % 2 == 0};
                    struct draw draw;
                    size_t held = 0;

                    draw_init(&draw, 20261210 + 1000 * n + 100 * s + 10 * d + t);
                    for (size_t i = 0; i < rounds; i++)
                        held += holds(&draw, &kind);
                    low = fmin(low, bar_share(held, rounds));
                    high = fmax(high, bar_share(held, rounds));
                    if (getenv("SIMULATION_CELLS") != NULL)
                        fprintf(stderr, "cell %zu portions, scatter %g, %g mL, %g %%, mark %d: held %.2f\n",
                                kind.portions, kind.scatter_pct, kind.division_ml, kind.true_pct,
                                kind.from_mark, bar_share(held, rounds));
                }
                printf(" %.1f-%.1f |", low, high);
                missed += low < 93.0 - bar_chance(93.0, rounds);
            }
            printf("\n");
        }
    assert_int_equal(missed, 0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(free_lye_lies_in_its_interval),
};

const struct check_module test_simulation_titrations = CHECK_MODULE("simulation/titrations", tests);
