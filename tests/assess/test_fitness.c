/* test_fitness.c - is this gear good enough for the purpose? */
#include "check.h"
#include "fitness.h"

enum { TODAY = 20500 };

static struct fitness
judged(struct gear *gear)
{
    struct failure failure = {0};
    struct fitness fitness = {0};

    gear->name = memory_copy("thing");
    check_ok(gear_check(gear, &failure), &failure);
    check_ok(fitness_of_gear(gear, TODAY, 11.0, &fitness, &failure), &failure);
    gear_clear(gear);
    return fitness;
}

/* Check one sentence and its level, and release it. */
static void
says(struct fitness fitness, enum fitness_level level, const char *part)
{
    check_contains(fitness.sentence, part);
    assert_int_equal(fitness.level, level);
    fitness_clear(&fitness);
}

static struct fitness
balance(double readability_g)
{
    struct gear gear;

    gear_init(&gear, GEAR_BALANCE);
    gear.readability_g = readability_g;
    return judged(&gear);
}

static struct fitness
thermometer(double resolution_c, double accuracy_c)
{
    struct gear gear;

    gear_init(&gear, GEAR_THERMOMETER);
    gear.resolution_c = resolution_c;
    gear.accuracy_c = accuracy_c;
    return judged(&gear);
}

static struct fitness
meter(double resolution_ph, double accuracy_ph)
{
    struct gear gear;

    gear_init(&gear, GEAR_METER);
    gear.resolution_ph = resolution_ph;
    gear.accuracy_ph = accuracy_ph;
    return judged(&gear);
}

static struct fitness
paper(const char *steps, civil_day expires_on)
{
    struct failure failure = {0};
    struct gear gear;

    gear_init(&gear, GEAR_PAPER);
    check_ok(gear_parse_steps(&gear, steps, &failure), &failure);
    gear.expires_on = expires_on;
    return judged(&gear);
}

static struct fitness
bottle(const char *buffer, civil_day expires_on)
{
    struct gear gear;

    gear_init(&gear, GEAR_BUFFER);
    gear.buffer = memory_copy(buffer);
    gear.expires_on = expires_on;
    return judged(&gear);
}

static void
a_balance_is_judged_by_the_portion_it_needs(void **state)
{
    (void)state; /* common practice: 0.01 g serves 1 g, a 1 g scale needs tens of grams and litres */
    says(balance(0.01), FITNESS_GOOD, "1 g in 99 g");
    says(balance(0.1), FITNESS_LIMITED, "5 g of soap in 0.4 kg");
    says(balance(1.0), FITNESS_UNFIT, "41 g of soap in 4.0 kg");
}

static void
a_thermometer_is_judged_against_the_two_degrees(void **state)
{
    (void)state; /* by hand: sqrt(a^2 / 3 + d^2 / 12) twice */
    says(thermometer(0.1, 0.5), FITNESS_GOOD, "+/- 0.6 degC");
    says(thermometer(1.0, NAN), FITNESS_LIMITED, "accuracy not stated");
    says(thermometer(1.0, 2.0), FITNESS_UNFIT, "+/- 2.4 degC");
}

static void
a_meter_is_judged_by_resolution_and_accuracy(void **state)
{
    (void)state; /* by hand: u = sqrt(a^2 / 3 + d^2 / 12); within up to 11 - 1.645 u */
    says(meter(0.01, 0.02), FITNESS_GOOD, "up to 10.98");
    says(meter(0.1, 0.1), FITNESS_LIMITED, "up to 10.89");
    says(meter(0.1, NAN), FITNESS_LIMITED, "+/- 0.1 assumed");
    says(meter(0.5, 0.5), FITNESS_UNFIT, "up to 10.46");
}

static void
a_paper_is_never_good(void **state)
{
    (void)state;
    says(paper("1,2,3,4,5,6,7,8,9,10,11,12,13,14", DAY_NONE), FITNESS_LIMITED, "never clears");
    says(paper("9,9.5,10,10.5", DAY_NONE), FITNESS_UNFIT, "last step is 10.5");
    says(paper("9,10,11,12", TODAY - 1), FITNESS_UNFIT, "2026-02-15");
    says(paper("9,10,11,12", TODAY), FITNESS_LIMITED, "1 pH wide");
}

static void
a_bottle_of_buffer_is_judged_by_its_ph_and_date(void **state)
{
    (void)state; /* pH(S) of the tables: borax 9.18, phosphate 6.865 at 25 degC */
    says(bottle("borax", DAY_NONE), FITNESS_GOOD, "pH 9.18 at 25 degC");
    says(bottle("phosphate", DAY_NONE), FITNESS_LIMITED, "far below soap");
    says(bottle("borax", TODAY - 1), FITNESS_UNFIT, "date passed");
}

static void
a_limit_or_buffer_that_cannot_be_is_refused(void **state)
{
    static const double limits_ph[] = {1.99, 14.01, NAN};
    struct fitness fitness = {0};
    struct failure failure = {0};
    struct gear gear;

    (void)state;
    gear_init(&gear, GEAR_BUFFER);
    gear.buffer = memory_copy("dishwater");
    for (size_t i = 0; i < LENGTH(limits_ph); i++)
        check_refused(fitness_of_gear(&gear, TODAY, limits_ph[i], &fitness, &failure), STATUS_RANGE,
                      &failure);
    check_refused(fitness_of_gear(&gear, TODAY, 11.0, &fitness, &failure), STATUS_MISSING, &failure);
    assert_null(fitness.sentence);
    gear_clear(&gear);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_balance_is_judged_by_the_portion_it_needs),
    cmocka_unit_test(a_thermometer_is_judged_against_the_two_degrees),
    cmocka_unit_test(a_meter_is_judged_by_resolution_and_accuracy),
    cmocka_unit_test(a_paper_is_never_good),
    cmocka_unit_test(a_bottle_of_buffer_is_judged_by_its_ph_and_date),
    cmocka_unit_test(a_limit_or_buffer_that_cannot_be_is_refused),
};

const struct check_module test_assess_fitness = CHECK_MODULE("assess/fitness", tests);
