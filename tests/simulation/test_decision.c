/* test_decision.c - what the decision calls bars whose free lye is known. The table stands in docs/method.md (run.sh). */
#include "bars.h"

enum { YOUNG_D = 7, RIPE_D = CLEAR_RIPE_AGE_D };

/* What is asked of the share that is called within, in %; NAN: nothing. */
struct goal {
    double most_young, most_ripe, least;
};

#define NOTHING                                                                                              \
    {                                                                                                        \
        (double)NAN, (double)NAN, (double)NAN                                                                \
    }
#define AT_MOST(young, ripe)                                                                                 \
    {                                                                                                        \
        (young), (ripe), (double)NAN                                                                         \
    }
#define AT_LEAST(percent)                                                                                    \
    {                                                                                                        \
        (double)NAN, (double)NAN, (percent)                                                                  \
    }

static const struct {
    const char *name;
    struct bar bar; /* at both ages */
    struct goal goal;
} kinds[] = {
    {"sound 9.0", {9.0, 0.0, 0, 40.0, 1.0, false, 0.0}, AT_LEAST(99.0)},
    {"sound 9.5", {9.5, 0.0, 0, 40.0, 1.0, false, 0.0}, AT_LEAST(99.0)},
    {"sound 10.0", {10.0, 0.0, 0, 40.0, 1.0, false, 0.0}, AT_LEAST(99.0)},
    {"sound 10.3", {10.3, 0.0, 0, 40.0, 1.0, false, 0.0}, NOTHING},
    {"sound 10.6", {10.6, 0.0, 0, 40.0, 1.0, false, 0.0}, NOTHING},
    {"0.3 % on plain 10.0", {10.0, 0.3, 0, 40.0, 1.0, false, 0.0}, NOTHING},
    {"0.5 % on plain 9.0", {9.0, 0.5, 0, 40.0, 1.0, false, 0.0}, AT_MOST((double)NAN, 0.1)},
    {"0.5 % on plain 9.5", {9.5, 0.5, 0, 40.0, 1.0, false, 0.0}, AT_MOST((double)NAN, 0.1)},
    {"0.5 % on plain 10.0", {10.0, 0.5, 0, 40.0, 1.0, false, 0.0}, AT_MOST((double)NAN, 0.1)},
    {"0.7 % on plain 9.5", {9.5, 0.7, 0, 40.0, 1.0, false, 0.0}, AT_MOST(5.0, 5.0)},
    {"0.7 % on plain 10.0", {10.0, 0.7, 0, 40.0, 1.0, false, 0.0}, AT_MOST(5.0, 5.0)},
    {"1 % on plain 9.5", {9.5, 1.0, 0, 40.0, 1.0, false, 0.0}, AT_MOST(0.1, 0.1)},
    {"1 % on plain 10.0", {10.0, 1.0, 0, 40.0, 1.0, false, 0.0}, AT_MOST(0.1, 0.1)},
    {"1 % on plain 10.6", {10.6, 1.0, 0, 40.0, 1.0, false, 0.0}, AT_MOST(0.1, 0.1)},
    {"2 % on plain 9.5", {9.5, 2.0, 0, 40.0, 1.0, false, 0.0}, AT_MOST(0.1, 0.1)},
    {"sound 10.0, cup at 25 degC", {10.0, 0.0, 0, 25.0, 1.0, false, 0.0}, NOTHING},
    {"0.5 % on plain 10.0, cup at 25 degC", {10.0, 0.5, 0, 25.0, 1.0, false, 0.0}, AT_MOST((double)NAN, 0.1)},
    {"1 % on plain 9.5, cup at 25 degC", {9.5, 1.0, 0, 25.0, 1.0, false, 0.0}, AT_MOST(0.1, 0.1)},
    {"1 % on plain 9.5, cup of 0.5 %", {9.5, 1.0, 0, 40.0, 0.5, false, 0.0}, AT_MOST(0.1, 0.1)},
    {"1 % on plain 9.5, cup of 2 %", {9.5, 1.0, 0, 40.0, 2.0, false, 0.0}, AT_MOST(0.1, 0.1)},
    {"sound 10.0 beside a reference bar", {10.0, 0.0, 0, 40.0, 1.0, true, 0.0}, NOTHING},
    {"0.3 % on plain 10.0 beside one", {10.0, 0.3, 0, 40.0, 1.0, true, 0.0}, NOTHING},
    {"0.5 % on plain 10.0 beside one", {10.0, 0.5, 0, 40.0, 1.0, true, 0.0}, NOTHING},
};

static void
check_goal(const char *name, enum bar_meter meter, double percent, double most, double least, size_t rounds,
           size_t *missed)
{
    if (!(percent > most + bar_chance(most, rounds)) && !(percent < least - bar_chance(least, rounds)))
        return;
    print_error("%s, %s: %.2f %% within, wanted %g to %g\n", name, bar_meter_names[meter], percent, least,
                most);
    (*missed)++;
}

static void
bars_are_called_what_they_are(void **state)
{
    size_t rounds = simulation_rounds(), missed = 0;

    (void)state;
    printf("| bar | %s | %s | %s | %s |\n| --- | --- | --- | --- | --- |\n", bar_meter_names[0],
           bar_meter_names[1], bar_meter_names[2], bar_meter_names[3]);
    for (size_t kind = 0; kind < LENGTH(kinds); kind++) {
        struct bar young = kinds[kind].bar, ripe = kinds[kind].bar;
        const struct goal *goal = &kinds[kind].goal;

        young.age_d = YOUNG_D;
        ripe.age_d = RIPE_D;
        printf("| %s |", kinds[kind].name);
        for (enum bar_meter meter = 0; meter < BAR_METERS; meter++) {
            struct bar_tally at_7 = bar_tally(20261130 + 100 * kind, &young, meter, rounds);
            struct bar_tally at_28 = bar_tally(20261180 + 100 * kind, &ripe, meter, rounds);
            double share_7 = bar_share(at_7.words[VERDICT_WITHIN], rounds);
            double share_28 = bar_share(at_28.words[VERDICT_WITHIN], rounds);

            printf(" %.4g / %.4g |", share_7, share_28);
            check_goal(kinds[kind].name, meter, share_7, goal->most_young, goal->least, rounds, &missed);
            check_goal(kinds[kind].name, meter, share_28, goal->most_ripe, goal->least, rounds, &missed);
            if (getenv("SIMULATION_CELLS") != NULL)
                fprintf(stderr,
                        "cell %s, %s: u %.3f; day 7 within %zu not judged %zu doubtful %zu heavy %zu; day 28 "
                        "%zu %zu %zu %zu\n",
                        kinds[kind].name, bar_meter_names[meter], at_7.u_ph, at_7.words[0], at_7.words[1],
                        at_7.words[2], at_7.words[3], at_28.words[0], at_28.words[1], at_28.words[2],
                        at_28.words[3]);
        }
        printf("\n");
    }
    assert_int_equal(missed, 0);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(bars_are_called_what_they_are),
};

const struct check_module test_simulation_decision = CHECK_MODULE("simulation/decision", tests);
