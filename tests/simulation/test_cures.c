/* test_cures.c - how often a cure's end, band and dates hold what is true, through the program's own functions from the
 * records on. All cures of a cell count, and an open end as an interval. The table stands in docs/method.md (run.sh). */
#include "maker.h"

enum { AGE_COUNTS = 6, MOST_AGES = 20, HISTORY_CURES = 2 };

static const struct {
    size_t count;
    double ages[MOST_AGES];
} plans[AGE_COUNTS] = {
    {3, {3, 14, 42}},
    {4, {2, 10, 28, 60}},
    {6, {2, 7, 14, 28, 56, 90}},
    {8, {2, 5, 10, 17, 28, 45, 70, 100}},
    {11, {1, 3, 6, 10, 15, 22, 30, 42, 60, 85, 120}},
    {20, {1, 2, 4, 6, 8, 11, 14, 17, 21, 25, 30, 36, 43, 50, 58, 67, 77, 88, 100, 120}},
};

/* Gear cells: checked with fresh and with shared bottles, and three own routines. */
static const struct {
    bool checked, fresh;
    double accuracy_ph;
} gears[] = {
    {true, true, 0.02}, {true, false, 0.02}, {false, false, 0.05}, {false, false, 0.1}, {false, false, 0.2}};

static const double bars[] = {0.0, 0.02, 0.05};
static const double wide_bars = 0.1; /* beyond what is assumed: how often sound cures are marked then */

/* What was counted in one cell. */
struct tally {
    size_t cures, end_held, end_open, band_held, ready_held, promised, early, marked;
};

static void
follow(struct maker *maker, const struct truth *truth, size_t plan, double target_ph,
       const struct cure_history *history, struct cure *ret_cure)
{
    struct dossier bench = batch_new(maker);
    struct worked_out worked;
    struct failure failure = {0};

    for (size_t i = 0; i < plans[plan].count; i++)
        sitting_of_one(maker, &bench, truth, plans[plan].ages[i]);
    work_out(&bench, &worked);
    assert_int_equal(worked.series.count, plans[plan].count);
    check_ok(cure_follow(worked.series.points, worked.series.count, target_ph, history, ret_cure, &failure),
             &failure);
    worked_out_clear(&worked);
    dossier_clear(&bench);
}

/* Two other cures of six ages by the same maker: six degrees of freedom. */
static struct cure_history
history_of(struct maker *maker)
{
    struct cure_history history = {0};

    for (int i = 0; i < HISTORY_CURES; i++) {
        struct truth truth = truth_new(maker->draw);
        struct cure cure = {0};

        follow(maker, &truth, 2, CURE_TARGET_PH_USUAL, NULL, &cure);
        cure_history_add(&history, &cure.history);
        cure_clear(&cure);
    }
    return history;
}

static bool
band_holds(const struct cure *cure, double age_d, double ph)
{
    struct cure_band band;
    struct failure failure = {0};

    check_ok(cure_at(cure, age_d, &band, &failure), &failure);
    return band.low <= ph && ph <= band.high;
}

static void
one_cure(struct draw *draw, size_t plan, size_t gear, double bars_sd, bool known, struct tally *tally)
{
    struct maker maker =
        maker_new(draw, gears[gear].checked, gears[gear].fresh, gears[gear].accuracy_ph, bars_sd);
    struct cure_history history = {0};
    struct truth truth = truth_new(draw);
    double first_d = plans[plan].ages[0], last_d = plans[plan].ages[plans[plan].count - 1];
    double any_d = between(draw, first_d, last_d), ready_d, target_ph;
    struct cure cure = {0};

    do { /* what a maker may want: between 10 and 90 % of the fall still to come at the first test, in reach */
        target_ph = truth.end + (truth_at(&truth, first_d) - truth.end) * between(draw, 0.1, 0.9);
        ready_d = log((truth.start - truth.end) / (target_ph - truth.end)) / truth.rate;
    } while (!(ready_d <= 1.5 * last_d));
    maker_take_electrode(&maker);
    if (known)
        history = history_of(&maker);
    follow(&maker, &truth, plan, target_ph, &history, &cure);
    tally->cures++;
    tally->end_open += cure_has(&cure, CURE_END_OPEN);
    tally->end_held += (cure.end_open_low || cure.end.low <= truth.end) &&
                       (cure.end_open_high || truth.end <= cure.end.high);
    tally->band_held += band_holds(&cure, any_d, truth_at(&truth, any_d));
    tally->ready_held +=
        band_holds(&cure, fmin(ready_d, cure.age_limit_d), truth_at(&truth, fmin(ready_d, cure.age_limit_d)));
    tally->promised += isnan(cure.ready_to_d) ? 0 : 1;
    tally->early += !isnan(cure.ready_to_d) && ready_d > cure.ready_to_d;
    tally->marked += cure.marked_count > 0 || cure_has(&cure, CURE_NOT_ONE_CURVE);
    cure_clear(&cure);
}

static struct tally
many_cures(size_t plan, size_t gear, double bars_sd, bool known, uint64_t seed)
{
    struct tally tally = {0};
    struct draw draw;

    draw_init(&draw, seed);
    while (tally.cures < simulation_rounds())
        one_cure(&draw, plan, gear, bars_sd, known, &tally);
    return tally;
}

/* The worst cells of a row. */
struct row {
    double end_low, end_high, band_low, band_high, ready_low, ready_high, early, early_promise, marked, open;
};

static double
share(size_t count, size_t of)
{
    return of == 0 ? 0.0 : 100.0 * (double)count / (double)of;
}

static void
take(struct row *row, const struct tally *tally)
{
    double end = share(tally->end_held, tally->cures), band = share(tally->band_held, tally->cures);
    double ready = share(tally->ready_held, tally->cures);

    row->end_low = fmin(row->end_low, end);
    row->end_high = fmax(row->end_high, end);
    row->band_low = fmin(row->band_low, band);
    row->band_high = fmax(row->band_high, band);
    row->ready_low = fmin(row->ready_low, ready);
    row->ready_high = fmax(row->ready_high, ready);
    row->early = fmax(row->early, share(tally->early, tally->cures));
    if (tally->promised >= tally->cures / 20)
        row->early_promise = fmax(row->early_promise, share(tally->early, tally->promised));
    row->marked = fmax(row->marked, share(tally->marked, tally->cures));
    row->open += share(tally->end_open, tally->cures) / (double)(LENGTH(gears) * LENGTH(bars));
}

/* Chance of four standard deviations about a share that is true, in percent. */
static double
chance(double percent, size_t rounds)
{
    return 400.0 * sqrt(percent / 100.0 * (1.0 - percent / 100.0) / (double)rounds);
}

static void
intervals_and_dates_hold(void **state)
{
    size_t rounds = simulation_rounds();

    (void)state;
    printf(
        "| ages | own history | end held, %% | end open, %% | band held | band at the ready day | dates too "
        "early, of cures; of "
        "promises | odd marks | bars 0.1 apart |\n| --- | --- | --- | --- | --- | --- | --- | --- | --- |\n");
    for (size_t plan = 0; plan < AGE_COUNTS; plan++)
        for (int known = 1; known >= 0; known--) {
            struct row row = {.end_low = 100.0, .band_low = 100.0, .ready_low = 100.0};
            struct tally wide =
                many_cures(plan, 0, wide_bars, known != 0, 20261148 + plan * 1000 + (size_t)known * 100);

            for (size_t gear = 0; gear < LENGTH(gears); gear++)
                for (size_t b = 0; b < LENGTH(bars); b++) {
                    struct tally tally =
                        many_cures(plan, gear, bars[b], known != 0,
                                   20261128 + plan * 1000 + (size_t)known * 100 + gear * 10 + b);

                    take(&row, &tally);
                    if (getenv("SIMULATION_CELLS") != NULL)
                        printf("cell %zu ages, history %d, gear %zu, bars %g: end %.1f open %.1f band %.1f "
                               "ready %.1f early "
                               "%.1f of %zu promises %.1f marked %.1f\n",
                               plans[plan].count, known, gear, bars[b], share(tally.end_held, rounds),
                               share(tally.end_open, rounds), share(tally.band_held, rounds),
                               share(tally.ready_held, rounds), share(tally.early, rounds), tally.promised,
                               share(tally.early, tally.promised), share(tally.marked, rounds));
                }
            printf("| %zu | %s | %.1f-%.1f | %.0f | %.1f-%.1f | %.1f-%.1f | %.1f; %.1f | %.1f | %.1f |\n",
                   plans[plan].count, known ? "6 degrees" : "none", row.end_low, row.end_high, row.open,
                   row.band_low, row.band_high, row.ready_low, row.ready_high, row.early, row.early_promise,
                   row.marked, share(wide.marked, rounds));
            assert_true(row.end_low >= 93.0 - chance(93.0, rounds));
            assert_true(row.band_low >= 93.0 - chance(93.0, rounds));
            assert_true(row.ready_low >= 93.0 - chance(93.0, rounds));
            assert_true(row.early <= 2.5 + chance(2.5, rounds));
            assert_true(row.marked <= 6.0 + chance(6.0, rounds));
        }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(intervals_and_dates_hold),
};

const struct check_module test_simulation_cures = CHECK_MODULE("simulation/cures", tests);
