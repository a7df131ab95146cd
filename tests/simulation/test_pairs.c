/* test_pairs.c - how often two batches are called different, and how often their difference holds, in every design. */
#include "comparison.h"
#include "maker.h"

enum design { SAME_SITTINGS, MONTH_APART, TWO_METERS };

static const struct {
    const char *name;
    enum design design;
    bool checked;
    double accuracy_ph;
} designs[] = {
    {"same sittings, checked meter", SAME_SITTINGS, true, 0.02},
    {"same sittings, own routine +/- 0.1", SAME_SITTINGS, false, 0.1},
    {"a month apart, checked meter", MONTH_APART, true, 0.02},
    {"a month apart, own routine +/- 0.1", MONTH_APART, false, 0.1},
    {"two meters, own routine +/- 0.1", TWO_METERS, false, 0.1},
    {"two meters, own routine +/- 0.2", TWO_METERS, false, 0.2},
};

static const size_t pair_counts[] = {3, 4, 6};

static void
one_comparison(struct draw *draw, size_t which, size_t pairs, double difference, struct comparison *ret)
{
    static const double ages[] = {3, 9, 18, 30, 50, 80};
    struct maker maker =
        maker_new(draw, designs[which].checked, false, designs[which].accuracy_ph, between(draw, 0.0, 0.05));
    struct truth truth = truth_new(draw);
    struct dossier benches[2] = {batch_new(&maker), batch_new(&maker)};
    struct worked_out worked[2];
    struct failure failure = {0};
    int64_t second_meter = designs[which].design == TWO_METERS ? SECOND_METER : METER;

    maker_take_electrode(&maker);
    for (size_t i = 0; i < pairs; i++) {
        struct electrode_of_the_day day = maker_electrode(&maker);
        int64_t number = (int64_t)i + 1;

        for (int b = 0; b < 2; b++) {
            double ph = truth_at(&truth, ages[i]) + (b == 1 ? difference : 0.0) + normal(draw, maker.bars_sd);
            int64_t meter = b == 0 ? METER : second_meter;

            if (b == 1 && designs[which].design != SAME_SITTINGS) {
                day = maker_electrode(&maker);
                number += 1000;
            }
            sitting_calibrate(&maker, &benches[b], bench_day((int)ages[i]), meter, number, &day);
            sitting_read(&maker, &benches[b], ages[i], ph, meter, number, &day);
        }
    }
    for (int b = 0; b < 2; b++)
        work_out(&benches[b], &worked[b]);
    check_ok(comparison_make(worked[0].series.points, worked[0].series.count, worked[1].series.points,
                             worked[1].series.count, COMPARISON_WINDOW_USUAL, COMPARISON_MARGIN_USUAL_PH, ret,
                             &failure),
             &failure);
    for (int b = 0; b < 2; b++) {
        worked_out_clear(&worked[b]);
        dossier_clear(&benches[b]);
    }
}

static double
share(size_t count, size_t of)
{
    return 100.0 * (double)count / (double)of;
}

static void
equal_batches_and_differences_are_told_as_often_as_they_should(void **state)
{
    size_t rounds = simulation_rounds();
    double chance_5 = 400.0 * sqrt(0.055 * 0.945 / (double)rounds),
           chance_93 = 400.0 * sqrt(0.93 * 0.07 / (double)rounds);

    (void)state;
    printf("| design | pairs | equal batches called different, %% | difference of 0.2 held, %% | told from "
           "none, %% |\n"
           "| --- | --- | --- | --- | --- |\n");
    for (size_t which = 0; which < LENGTH(designs); which++)
        for (size_t p = 0; p < LENGTH(pair_counts); p++) {
            size_t wrong = 0, held = 0, found = 0;
            struct draw draw;

            draw_init(&draw, 20261129 + 100 * which + p);
            for (size_t i = 0; i < rounds; i++) {
                struct comparison equal = {0}, apart = {0};

                one_comparison(&draw, which, pair_counts[p], 0.0, &equal);
                one_comparison(&draw, which, pair_counts[p], 0.2, &apart);
                assert_int_equal(equal.pair_count, pair_counts[p]);
                assert_int_equal(equal.sharing, designs[which].design == SAME_SITTINGS
                                                    ? COMPARISON_SAME_SITTINGS
                                                : designs[which].design == TWO_METERS ? COMPARISON_TWO_METERS
                                                                                      : COMPARISON_APART);
                wrong += equal.p_different <= COMPARISON_SIGNIFICANCE;
                found += apart.p_different <= COMPARISON_SIGNIFICANCE;
                held += apart.low <= 0.2 && 0.2 <= apart.high;
                comparison_clear(&equal);
                comparison_clear(&apart);
            }
            printf("| %s | %zu | %.1f | %.1f | %.1f |\n", designs[which].name, pair_counts[p],
                   share(wrong, rounds), share(held, rounds), share(found, rounds));
            assert_true(share(wrong, rounds) <= 5.5 + chance_5);
            assert_true(share(held, rounds) >= 93.0 - chance_93);
        }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(equal_batches_and_differences_are_told_as_often_as_they_should),
};

const struct check_module test_simulation_pairs = CHECK_MODULE("simulation/pairs", tests);
