/* test_coverage.c - how often the stated 95 % interval of a pH holds what is true. The table stands in
 * docs/method.md (run.sh). */
#include "bars.h"

static const struct bar bars[] = {
    {.plain_ph = 9.0},
    {.plain_ph = 9.5},
    {.plain_ph = 10.3},
    {.plain_ph = 10.0, .naoh_pct = 0.2},
    {.plain_ph = 9.5, .naoh_pct = 0.5},
    {.plain_ph = 9.5, .naoh_pct = 1.0},
    {.plain_ph = 10.0, .naoh_pct = 2.0},
};

static const struct {
    double temperature_c, percent;
} cups[] = {{40.0, 1.0}, {25.0, 1.0}, {30.0, 1.0}, {48.0, 1.0}, {40.0, 0.5},
            {40.0, 2.0}, {25.0, 0.5}, {25.0, 2.0}, {48.0, 0.5}, {48.0, 2.0}};

static void
a_ph_lies_in_its_interval(void **state)
{
    size_t rounds = simulation_rounds(), missed = 0;

    (void)state;
    printf("| cup | %s | %s | %s | %s |\n| --- | --- | --- | --- | --- |\n", bar_meter_names[0],
           bar_meter_names[1], bar_meter_names[2], bar_meter_names[3]);
    for (size_t cup = 0; cup < LENGTH(cups); cup++) {
        printf("| %g degC, %g %% |", cups[cup].temperature_c, cups[cup].percent);
        for (enum bar_meter meter = 0; meter < BAR_METERS; meter++) {
            double low = 100.0, high = 0.0;

            for (size_t i = 0; i < LENGTH(bars); i++) {
                struct bar bar = bars[i];
                struct bar_tally tally;
                double share;

                bar.age_d = 28;
                bar.temperature_c = cups[cup].temperature_c;
                bar.percent = cups[cup].percent;
                tally = bar_tally(20261205 + 1000 * cup + 10 * i, &bar, meter, rounds);
                share = bar_share(tally.held, tally.judged);
                low = fmin(low, share);
                high = fmax(high, share);
                if (getenv("SIMULATION_CELLS") != NULL)
                    fprintf(stderr, "cell %g degC %g %%, %s, %g %% on %g: held %.2f of %zu, u %.3f\n",
                            bar.temperature_c, bar.percent, bar_meter_names[meter], bar.naoh_pct,
                            bar.plain_ph, share, tally.judged, tally.u_ph);
            }
            printf(" %.1f-%.1f |", low, high);
            missed += low < 93.0 - bar_chance(93.0, rounds);
            if (cup == 0 && meter == METER_CHECKED)
                missed += high > 97.0 + bar_chance(97.0, rounds);
        }
        printf("\n");
    }
    assert_int_equal(missed, 0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_ph_lies_in_its_interval),
};

const struct check_module test_simulation_coverage = CHECK_MODULE("simulation/coverage", tests);
