/* test_never_better.c - over random evidence: an adverse item, a poor sitting, or doubt added to a pH or titration never
 * makes the verdict of a batch better and never releases it (method.md, section 5). Seeded; the same cases everywhere. */
#include "bench.h"
#include "conclusion.h"

/* Park and Miller 1988. */
static double
draw(uint32_t *seed, double low, double high)
{
    *seed = (uint32_t)((uint64_t)*seed * 48271u % 2147483647u);
    return low + (high - low) * (double)*seed / 2147483647.0;
}

static int
draw_whole(uint32_t *seed, int low, int high)
{
    int whole = (int)draw(seed, low, high + 1.0);

    return whole > high ? high : whole;
}

static const char *
draw_bar(uint32_t *seed)
{
    static const char *const bars[] = {NULL, "A", "B"};

    return bars[draw_whole(seed, 0, 2)];
}

/* Six readings, so that no other sitting's scatter enters. */
static void
read_cup(struct dossier *bench, int64_t session_id, const char *bar, double ph, int64_t calibration_id)
{
    int64_t cup = bench_specimen(bench, session_id, 1.0);

    if (bar != NULL)
        bench_label(bench, cup, bar);
    for (int i = 0; i < 6; i++)
        bench_ph(bench, cup, ph + 0.01 * (i % 3 - 1), 40.0)->calibration_id = calibration_id;
}

static void
read_bar(struct dossier *bench, int age_d, const char *bar, double ph, int cups)
{
    int64_t session_id = bench_session(bench, bench_day(age_d));
    int64_t calibration_id = bench_calibrated(bench, bench_day(age_d) - 1800);

    for (int i = 0; i < cups; i++)
        read_cup(bench, session_id, bar, ph + 0.01 * i, calibration_id);
}

static void
titrate_bar(struct dossier *bench, int age_d, const char *bar, double volume_ml)
{
    for (int i = 0; i < 2; i++)
        bench_titration(bench, bench_day(age_d) + 7200, volume_ml + 0.01 * i)->bar = memory_copy(bar);
}

/* Mostly sound, often near the bounds, now and then above them; never below what soap reads. */
static double
draw_ph(uint32_t *seed)
{
    double kind = draw(seed, 0.0, 1.0);

    return kind < 0.5    ? draw(seed, 8.8, 10.3)
           : kind < 0.85 ? draw(seed, 10.3, 10.75)
                         : draw(seed, 10.75, 11.6);
}

static struct dossier
random_batch(uint32_t *seed)
{
    struct dossier bench = bench_new();
    int sittings = draw_whole(seed, 1, 5), titrations = draw_whole(seed, 0, 3);

    if (draw(seed, 0.0, 1.0) < 0.1)
        bench.batch.parent_id = 3;
    for (int i = 0; i < sittings; i++)
        read_bar(&bench, draw_whole(seed, 3, 60), draw_bar(seed), draw_ph(seed), draw_whole(seed, 1, 2));
    for (int i = 0; i < titrations; i++)
        titrate_bar(&bench, draw_whole(seed, 3, 60), draw_bar(seed), draw(seed, 0.05, 3.5));
    return bench;
}

/* -- what is added -- */

static void
add_doubtful_or_heavy(struct dossier *bench, uint32_t *seed)
{
    read_bar(bench, draw_whole(seed, 3, 70), draw_bar(seed), draw(seed, 10.75, 12.0), draw_whole(seed, 1, 2));
}

static void
add_heavy_titration(struct dossier *bench, uint32_t *seed)
{
    titrate_bar(bench, draw_whole(seed, 61, 70), draw_bar(seed), draw(seed, 3.5, 30.0));
}

/* Whatever it finds; with another burette, so that it is no further portion of a titration of that day. */
static void
add_one_portion(struct dossier *bench, uint32_t *seed)
{
    const char *bar = draw_bar(seed);
    struct titration *titration =
        bench_titration(bench, bench_day(draw_whole(seed, 3, 70)) + 7200, draw(seed, 0.05, 10.0));

    titration->bar = memory_copy(bar);
    titration->burette_ml = 0.02;
}

static void
add_look(struct dossier *bench, uint32_t *seed)
{
    int64_t cup = draw_whole(seed, 1, (int)bench->specimen_count);

    bench_observation(bench, bench->specimens[cup - 1].session_id, cup, OBSERVATION_LOOK,
                      draw(seed, 0.0, 1.0) < 0.5 ? "weeping" : "lye-pockets");
}

static void
add_unchecked(struct dossier *bench, uint32_t *seed)
{
    int64_t session_id = bench_session(bench, bench_day(draw_whole(seed, 3, 70)));

    read_cup(bench, session_id, draw_bar(seed), draw(seed, 7.0, 12.5), 0);
}

static void
add_tap_water(struct dossier *bench, uint32_t *seed)
{
    struct observation *water;

    read_bar(bench, draw_whole(seed, 3, 70), draw_bar(seed), draw(seed, 7.0, 12.0), 1);
    water = &bench->observations[bench->observation_count - 1];
    free(water->word);
    water->word = memory_copy("other");
}

static void
add_cold_cup(struct dossier *bench, uint32_t *seed)
{
    read_bar(bench, draw_whole(seed, 3, 70), draw_bar(seed), draw(seed, 7.0, 12.5), 1);
    for (size_t i = bench->reading_count - 6; i < bench->reading_count; i++)
        bench->readings[i].temperature_c = draw(seed, 0.0, 14.9);
}

static void
add_paper(struct dossier *bench, uint32_t *seed)
{
    int64_t cup = bench_specimen(bench, bench_session(bench, bench_day(draw_whole(seed, 3, 70))), 1.0);
    double low = draw_whole(seed, 6, 12);
    const char *bar = draw_bar(seed);

    if (bar != NULL)
        bench_label(bench, cup, bar);
    bench_paper(bench, cup, low, low + 1.0)->temperature_c = NAN;
}

static void
add_surface(struct dossier *bench, uint32_t *seed)
{
    add_paper(bench, seed);
    bench->readings[bench->reading_count - 1].on_surface = true;
}

/* Beside what was read of a bar already, as low or high as a strip goes. */
static void
add_surface_to_a_cup(struct dossier *bench, uint32_t *seed)
{
    int64_t cup = draw_whole(seed, 1, (int)bench->specimen_count);
    double low = draw_whole(seed, 1, 13);

    bench_paper(bench, cup, low, low + 1.0)->on_surface = true;
}

/* -- doubt -- */

static void
coarser_meter(struct dossier *bench, uint32_t *seed)
{
    bench->gear[0].resolution_ph *= draw(seed, 1.0, 20.0);
}

static void
worse_thermometer(struct dossier *bench, uint32_t *seed)
{
    bench->gear[1].accuracy_c *= draw(seed, 1.0, 10.0);
}

static void
coarser_balance(struct dossier *bench, uint32_t *seed)
{
    bench->gear[2].readability_g *= draw(seed, 1.0, 10.0);
}

static void
kitchen_made_buffers(struct dossier *bench, uint32_t *seed)
{
    (void)seed;
    for (size_t i = 0; i < bench->calibration_count; i++)
        for (size_t k = 0; k < bench->calibrations[i].point_count; k++)
            bench->calibrations[i].points[k].kitchen_made = true;
}

static void
check_that_finds_a_departure(struct dossier *bench, uint32_t *seed)
{
    size_t of = (size_t)draw_whole(seed, 0, (int)bench->calibration_count - 1);
    civil_time at = bench->calibrations[of].taken_at + 7200;

    bench_point(bench_calibration(bench, at, CALIBRATION_CHECK), "borax", 9.18, 9.18 + draw(seed, -0.3, 0.3));
}

static void
water_no_longer_said(struct dossier *bench, uint32_t *seed)
{
    bench->observations[draw_whole(seed, 0, (int)bench->observation_count - 1)].superseded_by = 999;
}

static void
soap_left_undissolved(struct dossier *bench, uint32_t *seed)
{
    int64_t cup = draw_whole(seed, 1, (int)bench->specimen_count);

    bench_observation(bench, bench->specimens[cup - 1].session_id, cup, OBSERVATION_UNDISSOLVED, "soap");
}

static void
coarser_burette(struct dossier *bench, uint32_t *seed)
{
    double by = draw(seed, 1.0, 10.0);

    for (size_t i = 0; i < bench->titration_count; i++)
        bench->titrations[i].burette_ml *= by;
}

static void
acid_less_known(struct dossier *bench, uint32_t *seed)
{
    double by = draw(seed, 1.0, 10.0);

    for (size_t i = 0; i < bench->titration_count; i++)
        bench->titrations[i].u_acid_relative *= by;
}

static const struct {
    const char *what;
    void (*add)(struct dossier *bench, uint32_t *seed);
} items[] = {
    {"a doubtful or lye-heavy sitting", add_doubtful_or_heavy},
    {"a titration that finds too much", add_heavy_titration},
    {"one portion that was titrated", add_one_portion},
    {"weeping, or pockets of lye", add_look},
    {"a sitting with an unchecked meter", add_unchecked},
    {"a sitting in tap water", add_tap_water},
    {"a cold cup", add_cold_cup},
    {"a strip of paper alone", add_paper},
    {"a strip on the wet bar alone", add_surface},
    {"a strip on the wet bar beside a cup", add_surface_to_a_cup},
    {"a coarser meter", coarser_meter},
    {"a worse thermometer", worse_thermometer},
    {"a coarser balance", coarser_balance},
    {"kitchen-made buffers", kitchen_made_buffers},
    {"a check that finds a departure", check_that_finds_a_departure},
    {"water no longer said", water_no_longer_said},
    {"soap left undissolved", soap_left_undissolved},
    {"a coarser burette", coarser_burette},
    {"an acid less well known", acid_less_known},
};

enum { CASES = 3400 };

static void
nothing_adverse_makes_a_verdict_better_or_releases(void **state)
{
    uint32_t seed = 20261128;
    size_t before_words[4] = {0}, released = 0, changed = 0;

    (void)state;
    for (int i = 0; i < CASES; i++) {
        struct dossier bench = random_batch(&seed);
        struct failure failure = {0};
        struct conclusion before, after;
        size_t item = (size_t)i % LENGTH(items);

        check_ok(conclusion_of(&bench, NULL, &before, &failure), &failure);
        items[item].add(&bench, &seed);
        check_ok(conclusion_of(&bench, NULL, &after, &failure), &failure);
        if (after.verdict < before.verdict || (after.release.met && !before.release.met))
            print_error("case %d, %s: %s, then %s\n", i, items[item].what, verdict_word(before.verdict),
                        verdict_word(after.verdict));
        assert_true(after.verdict >= before.verdict);
        assert_true(before.release.met || !after.release.met);
        before_words[before.verdict]++;
        released += before.release.met ? 1 : 0;
        changed += after.verdict > before.verdict ? 1 : 0;
        /* the lists of the first case lend from the dossier, which grew: cleared before it is used again */
        conclusion_clear(&before);
        conclusion_clear(&after);
        dossier_clear(&bench);
    }
    print_message("%zu within, %zu doubtful, %zu lye-heavy before; %zu could be released; %zu became worse\n",
                  before_words[VERDICT_WITHIN], before_words[VERDICT_DOUBTFUL],
                  before_words[VERDICT_LYE_HEAVY], released, changed);
    /* the property was put to the test */
    assert_true(before_words[VERDICT_WITHIN] > CASES / 20 && before_words[VERDICT_DOUBTFUL] > CASES / 20);
    assert_true(before_words[VERDICT_LYE_HEAVY] > CASES / 20 && released > CASES / 100 &&
                changed > CASES / 20);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(nothing_adverse_makes_a_verdict_better_or_releases),
};

const struct check_module test_assess_never_better = CHECK_MODULE("assess/never_better", tests);
