/* test_at_bound.c - how often a bar whose pH at 40 degC and 1 % truly lies at the bound that clears is called within. The
 * table stands in docs/method.md (run.sh). */
#include "bars.h"

static const struct {
    const char *name;
    double plain_ph; /* NAN: the bar has no lye, and reads at the bound by itself */
    double temperature_c, percent, drifted_ph, most; /* most called within, in % */
} kinds[] = {
    {"no lye", (double)NAN, 40.0, 1.0, 0.0, 5.0},
    {"lye on plain 9.0", 9.0, 40.0, 1.0, 0.0, 5.0},
    {"lye on plain 9.5", 9.5, 40.0, 1.0, 0.0, 5.0},
    {"lye on plain 10.0", 10.0, 40.0, 1.0, 0.0, 5.0},
    {"no lye, cup at 25 degC", (double)NAN, 25.0, 1.0, 0.0, 5.0},
    {"lye on plain 9.0, cup at 25 degC", 9.0, 25.0, 1.0, 0.0, 5.0},
    /* The thermometer counts by three quarters of pKw, the middle; such a bar follows all of it, and a trifle more. */
    {"lye on plain 9.0, cup at 48 degC", 9.0, 48.0, 1.0, 0.0, 6.0},
    {"no lye, cup at 48 degC", (double)NAN, 48.0, 1.0, 0.0, 5.0},
    {"lye on plain 9.0, cup of 0.5 %", 9.0, 40.0, 0.5, 0.0, 5.0},
    {"lye on plain 9.0, cup of 2 %", 9.0, 40.0, 2.0, 0.0, 5.0},
    {"lye on plain 9.5, a check finds -0.04", 9.5, 40.0, 1.0, -0.04, 5.0},
    {"lye on plain 9.5, a check finds -0.03", 9.5, 40.0, 1.0, -0.03, 5.0},
    {"lye on plain 9.5, a check finds +0.04", 9.5, 40.0, 1.0, 0.04, 5.0},
};

/* The bar of a plain pH that reads at the bound, by halving. */
static struct bar
bar_at(double plain_ph, double bound_ph)
{
    struct bar bar = {.plain_ph = isnan(plain_ph) ? bound_ph : plain_ph};
    double low = 0.0, high = 2.0;

    for (int i = 0; !isnan(plain_ph) && i < 60; i++) {
        bar.naoh_pct = 0.5 * (low + high);
        *(bar_ph(&bar, REFERENCE_TEMPERATURE_C, REFERENCE_CONCENTRATION_PCT, 0.0) < bound_ph ? &low : &high) =
            bar.naoh_pct;
    }
    check_close(bar_ph(&bar, REFERENCE_TEMPERATURE_C, REFERENCE_CONCENTRATION_PCT, 0.0), bound_ph, 1e-9,
                "by halving");
    return bar;
}

static void
a_bar_at_the_bound_is_seldom_within(void **state)
{
    static const struct {
        int age_d;
        double bound_ph;
    } ages[] = {{7, CLEAR_PH_YOUNG}, {CLEAR_RIPE_AGE_D, CLEAR_PH_RIPE}};
    size_t rounds = simulation_rounds(), missed = 0;

    (void)state;
    printf("| bar | %s | %s | %s | %s |\n| --- | --- | --- | --- | --- |\n", bar_meter_names[0],
           bar_meter_names[1], bar_meter_names[2], bar_meter_names[3]);
    for (size_t kind = 0; kind < LENGTH(kinds); kind++) {
        bool drifted = kinds[kind].drifted_ph != 0.0;

        printf("| %s |", kinds[kind].name);
        for (enum bar_meter meter = 0; meter < BAR_METERS; meter++) {
            for (size_t age = 0; age < LENGTH(ages) && (!drifted || meter == METER_CHECKED); age++) {
                struct bar bar = bar_at(kinds[kind].plain_ph, ages[age].bound_ph);
                struct bar_tally tally;
                double share;

                bar.age_d = ages[age].age_d;
                bar.temperature_c = kinds[kind].temperature_c;
                bar.percent = kinds[kind].percent;
                bar.drifted_ph = kinds[kind].drifted_ph;
                tally = bar_tally(20261230 + 100 * kind + 50 * age, &bar, meter, rounds);
                share = bar_share(tally.words[VERDICT_WITHIN], rounds);
                printf("%s%.4g", age == 0 ? " " : " / ", share);
                missed += share > kinds[kind].most + bar_chance(kinds[kind].most, rounds);
            }
            printf(" |");
        }
        printf("\n");
    }
    assert_int_equal(missed, 0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_bar_at_the_bound_is_seldom_within),
};

const struct check_module test_simulation_at_bound = CHECK_MODULE("simulation/at_bound", tests);
