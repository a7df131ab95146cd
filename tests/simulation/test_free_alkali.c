/* test_free_alkali.c - how often the free alkali that a pH tells against a sound bar of the same sitting holds what is
 * in the bar. The table stands in docs/method.md (run.sh). */
#include "bars.h"

static const struct bar bars[] = {
    {.plain_ph = 9.0, .naoh_pct = 0.1},  {.plain_ph = 9.0, .naoh_pct = 0.5},
    {.plain_ph = 9.5, .naoh_pct = 0.1},  {.plain_ph = 9.5, .naoh_pct = 0.3},
    {.plain_ph = 9.5, .naoh_pct = 1.0},  {.plain_ph = 10.0, .naoh_pct = 0.2},
    {.plain_ph = 10.0, .naoh_pct = 0.5}, {.plain_ph = 10.0, .naoh_pct = 1.0},
};

static void
free_alkali_lies_in_its_interval(void **state)
{
    size_t rounds = simulation_rounds(), missed = 0;

    (void)state;
    printf("| bar | %s | %s | %s | %s |\n| --- | --- | --- | --- | --- |\n", bar_meter_names[0],
           bar_meter_names[1], bar_meter_names[2], bar_meter_names[3]);
    for (size_t i = 0; i < LENGTH(bars); i++) {
        printf("| %g %% on plain %.1f |", bars[i].naoh_pct, bars[i].plain_ph);
        for (enum bar_meter meter = 0; meter < BAR_METERS; meter++) {
            struct bar bar = bars[i];
            struct bar_tally tally;
            double share;

            bar.age_d = CLEAR_RIPE_AGE_D;
            bar.temperature_c = 40.0;
            bar.percent = 1.0;
            bar.reference = true;
            tally = bar_tally(20261215 + 100 * i, &bar, meter, rounds);
            assert_true(tally.by_reference >=
                        rounds / 4); /* the others had a reference that was not within */
            share = bar_share(tally.naoh_held, tally.by_reference);
            printf(" %.1f |", share);
            missed += share < 93.0 - bar_chance(93.0, tally.by_reference);
            missed += share > 99.0 + bar_chance(99.0, tally.by_reference);
        }
        printf("\n");
    }
    assert_int_equal(missed, 0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(free_alkali_lies_in_its_interval),
};

const struct check_module test_simulation_free_alkali = CHECK_MODULE("simulation/free_alkali", tests);
