/* test_rework_model.c - amounts that take up an excess of lye, against stoichiometry. */
#include "check.h"
#include "rework_model.h"
#include "saponification.h"

static const struct rework_range ten_grams = {10.0, 10.0, 10.0};

static void
one_percent_of_a_kilogram_needs_74_g_of_olive_oil(void **state)
{
    struct failure failure = {0};
    struct rework_range free_naoh, fat;

    (void)state;
    check_ok(rework_free_naoh(1.0, 0.0, 1000.0, &free_naoh, &failure), &failure);
    check_close(free_naoh.central_g, 10.0, 1e-12, "1 % of 1000 g");
    check_ok(rework_fat_to_add(&free_naoh, 190.0, 190.0, 0.0, 0.0, &fat, &failure), &failure);
    check_close(fat.central_g, 73.8, 0.05, "10 g x 56.105 / 39.997 / 0.190, by hand");
    check_close(fat.low_g, fat.central_g, 1e-12, "nothing uncertain");
    check_close(fat.high_g, fat.central_g, 1e-12, "nothing uncertain");
}

static void
pure_triolein_takes_three_moles(void **state)
{
    struct failure failure = {0};
    double sv = 3.0 * 56105.0 / 885.453;
    struct rework_range fat;

    (void)state;
    check_ok(rework_fat_to_add(&ten_grams, sv, sv, 0.0, 0.0, &fat, &failure), &failure);
    check_close(fat.central_g, 10.0 / (3.0 * 39.997) * 885.453, 1e-9, "C57H104O6 + 3 NaOH, 885.453 g/mol");
}

static void
ranges_widen_the_answer_on_the_right_side(void **state)
{
    struct failure failure = {0};
    struct rework_range free_naoh, fat;

    (void)state;
    check_ok(rework_free_naoh(1.0, 0.1, 1000.0, &free_naoh, &failure), &failure);
    check_ok(rework_fat_to_add(&free_naoh, 184.0, 196.0, 0.0, 0.0, &fat, &failure), &failure);
    check_close(fat.low_g, 9.0 * 56.105 / 39.997 / 0.196, 1e-9, "least excess, strongest fat");
    check_close(fat.high_g, 11.0 * 56.105 / 39.997 / 0.184, 1e-9, "most excess, weakest fat");
    check_ok(rework_free_naoh(0.1, 0.3, 1000.0, &free_naoh, &failure), &failure);
    check_close(free_naoh.low_g, 0.0, 0.0, "never below zero");
    check_close(free_naoh.high_g, 4.0, 1e-12, "0.4 % of 1000 g");
}

static void
superfat_is_counted_on_old_and_added_fat(void **state)
{
    /* Insert the answer into the definition: 1 - (bound + free) / (bound + added fat's need) = superfat. */
    static const double bounds_g[] = {0.0, 90.0, 500.0};
    static const double superfats_pct[] = {0.0, 5.0, 20.0};

    (void)state;
    for (size_t i = 0; i < LENGTH(bounds_g); i++) {
        for (size_t j = 0; j < LENGTH(superfats_pct); j++) {
            struct failure failure = {0};
            struct rework_range fat;
            double needs_g;

            check_ok(
                rework_fat_to_add(&ten_grams, 190.0, 190.0, superfats_pct[j], bounds_g[i], &fat, &failure),
                &failure);
            needs_g = fat.central_g * 0.190 * 39.997 / 56.105;
            check_close(100.0 * (1.0 - (bounds_g[i] + 10.0) / (bounds_g[i] + needs_g)), superfats_pct[j],
                        1e-9, "definition of superfat");
        }
    }
}

static void
acids_and_bicarbonate_take_one_mole_an_equivalent(void **state)
{
    static const struct {
        const char *acid;
        double low_g, high_g;
        const char *source;
    } known[] = {
        {"stearic acid, pure", 71.13, 71.13, "10 x 284.484 / 39.997"},
        {"stearic acid", 64.11, 71.13, "10 x 256.43 / 39.997 to the above"},
        {"oleic acid", 70.62, 70.62, "10 x 282.468 / 39.997"},
        {"sodium bicarbonate", 21.00, 21.00, "10 x 84.007 / 39.997"},
        {"citric acid", 16.01, 17.51, "10 x 192.123 / 3 / 39.997 to 10 x 210.14 / 3 / 39.997"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        struct lye_consumer_found acid;
        struct rework_range add;

        check_ok(lye_consumer_find(known[i].acid, &acid, &failure), &failure);
        check_ok(
            rework_acid_to_add(&ten_grams, acid.naoh_low_g_per_g, acid.naoh_high_g_per_g, &add, &failure),
            &failure);
        check_close(add.low_g, known[i].low_g, 0.005, known[i].source);
        check_close(add.high_g, known[i].high_g, 0.005, known[i].source);
        assert_true(add.low_g <= add.central_g && add.central_g <= add.high_g);
    }
    check_close(rework_soda_left_g(39.997), 105.988, 1e-9, "one mole of Na2CO3, standard atomic masses");
}

static void
what_makes_no_sense_is_refused(void **state)
{
    static const struct rework_range none = {0.0, 0.0, 1.0}, crossed = {5.0, 4.0, 6.0};
    static const struct rework_range unknown = {1.0, (double)NAN, 2.0}, negative = {-1.0, 1.0, 2.0};
    struct failure failure = {0};
    struct rework_range answer = {-1.0, -1.0, -1.0};

    (void)state;
    check_refused(rework_fat_to_add(&none, 190, 190, 0, 0, &answer, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "no excess");
    check_refused(rework_fat_to_add(&crossed, 190, 190, 0, 0, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_fat_to_add(&unknown, 190, 190, 0, 0, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_fat_to_add(&negative, 190, 190, 0, 0, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_fat_to_add(&ten_grams, 0.19, 0.19, 0, 0, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_fat_to_add(&ten_grams, 190, 190, -1, 0, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_fat_to_add(&ten_grams, 190, 190, 50.1, 0, &answer, &failure), STATUS_RANGE,
                  &failure);
    check_refused(rework_fat_to_add(&ten_grams, 190, 190, 5, -1, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_fat_to_add(&ten_grams, 190, 190, 5, (double)NAN, &answer, &failure), STATUS_RANGE,
                  &failure);
    check_refused(rework_acid_to_add(&ten_grams, 0.0, 0.5, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_acid_to_add(&ten_grams, 0.6, 0.5, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_acid_to_add(&none, 0.5, 0.5, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_free_naoh(-0.1, 0, 1000, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_free_naoh(100.1, 0, 1000, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_free_naoh(1, -0.1, 1000, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_free_naoh(1, 0.1, 0, &answer, &failure), STATUS_RANGE, &failure);
    check_refused(rework_free_naoh((double)NAN, 0.1, 1000, &answer, &failure), STATUS_RANGE, &failure);
    check_close(answer.central_g, -1.0, 0.0, "left alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(one_percent_of_a_kilogram_needs_74_g_of_olive_oil),
    cmocka_unit_test(pure_triolein_takes_three_moles),
    cmocka_unit_test(ranges_widen_the_answer_on_the_right_side),
    cmocka_unit_test(superfat_is_counted_on_old_and_added_fat),
    cmocka_unit_test(acids_and_bicarbonate_take_one_mole_an_equivalent),
    cmocka_unit_test(what_makes_no_sense_is_refused),
};

const struct check_module test_science_rework_model = CHECK_MODULE("science/rework_model", tests);
