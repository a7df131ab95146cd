/* bars.h - simulated bars of known plain pH and free lye, brought to a maker's bench, and the records that result; judged
 * as the commands judge them.
 *
 * Error model, beside maker.h's gear (docs/method.md, "How often the decision holds"):
 * - The bar's pH is soap.h's charge balance at the cup's own temperature and concentration; without lye it follows half of
 *   pKw and half a unit a decade. What is true is that pH at 40 degC and 1 % in water without carbon dioxide.
 * - Water boiled until its own pH is between 6.2 (ASTM D1172) and 7: up to 1.5e-6 mol/kg of carbon dioxide, which takes
 *   one hydroxide or two, by its second pKa.
 * - Cup: within 0.7 degC (a standard deviation) of what is aimed at; the thermometer off by up to 0.5; 1 g of soap, tare
 *   and load rounded to 0.01 g. Three readings 0.015 apart, of 0.01.
 * - Buffers: 20 to 28 degC, each bottle off by its standard uncertainty, each reading in it by 0.005.
 * - Meters: METER_CHECKED calibrated half an hour before and looked at in a buffer an hour after, drifting by up to 0.02;
 *   METER_NOT_CHECKED calibrated up to a month before, drifting by up to 0.05 a month, 0.02 at least; one that was set by
 *   its own routine, off by anything up to its accuracy, and by a drift of up to 0.02. */
#ifndef BARS_H
#define BARS_H

#include "acid.h"
#include "batch_case.h"
#include "maker.h"
#include "soap.h"

enum bar_meter { METER_CHECKED, METER_NOT_CHECKED, METER_OWN_01, METER_OWN_02, BAR_METERS };

static const char *const bar_meter_names[BAR_METERS] = {"checked", "not checked for up to a month",
                                                        "own routine +/- 0.1", "+/- 0.2"};

/* A kind of bar, and how it is tested. */
struct bar {
    double plain_ph, naoh_pct;     /* at 40 degC and 1 %; of the bar */
    int age_d;                     /* 7: the bound of young bars; 28: of ripe ones */
    double temperature_c, percent; /* of the cup */
    bool reference;                /* beside a sound bar of a batch of the same recipe, in the same sitting */
    double drifted_ph; /* of a checked meter, when it is looked at; 0: by what it drifts by chance */
};

/* What one bar came to. */
struct bar_result {
    enum verdict_word word;
    double true_ph, low_ph, high_ph, u_ph;
    bool by_reference; /* the free alkali was told from a reference bar */
    double naoh_low_pct, naoh_high_pct;
};

/* pH at a temperature and concentration, in water with so much carbon dioxide. */
static inline double
bar_ph(const struct bar *bar, double temperature_c, double percent, double co2_mol_per_kg)
{
    double here = NAN, reference = NAN, pka = NAN, plain_ph, ph = NAN, x = NAN, x0 = NAN, b;
    struct failure failure = {0};

    check_ok(water_pkw(temperature_c, &here, &failure), &failure);
    check_ok(water_pkw(REFERENCE_TEMPERATURE_C, &reference, &failure), &failure);
    plain_ph = bar->plain_ph + 0.5 * (here - reference) + 0.5 * log10(percent / REFERENCE_CONCENTRATION_PCT);
    check_ok(soap_ph_with_free_naoh(bar->naoh_pct, plain_ph, temperature_c, percent, &ph, &failure),
             &failure);
    check_ok(soap_hydroxide(ph, temperature_c, percent, &x, &failure), &failure);
    check_ok(soap_hydroxide(plain_ph, temperature_c, percent, &x0, &failure), &failure);
    check_ok(acid_pka(ACID_CARBONIC, 2, temperature_c, &pka, &failure), &failure);
    b = x - x0 * x0 / x - (1.0 + 1.0 / (1.0 + pow(10.0, pka - ph))) * co2_mol_per_kg;
    return ph + log10((b + sqrt(b * b + 4.0 * x0 * x0)) / 2.0 / x);
}

/* A meter in one sitting. */
struct bar_sitting {
    enum bar_meter meter;
    struct electrode_of_the_day line;
    double drift_ph, checked_drift_ph; /* at the readings, at the check */
    int calibrated_before_s;
};

static inline struct bar_sitting
bar_sitting_new(struct draw *draw, enum bar_meter meter)
{
    struct bar_sitting sitting = {.meter = meter,
                                  .line = {normal(draw, 0.03), between(draw, 0.96, 1.0), 0.0},
                                  .calibrated_before_s = 1800};
    double days = meter == METER_NOT_CHECKED ? between(draw, 0.0, 30.0) : 0.0;
    double most_ph = fmax(0.02, 0.05 * days / 30.0);

    sitting.calibrated_before_s += (int)(days * DAY_S);
    sitting.checked_drift_ph = between(draw, -most_ph, most_ph);
    sitting.drift_ph = sitting.checked_drift_ph * (meter == METER_CHECKED ? between(draw, 0.5, 1.0) : 1.0);
    return sitting;
}

static inline double
bar_meter_shows(const struct maker *maker, const struct bar_sitting *sitting, double ph)
{
    if (!maker->checked)
        return ph + maker->meter_ph[0];
    return 7.0 + sitting->line.offset_ph + sitting->line.slope * (ph - 7.0);
}

/* Look at one bottle. */
static inline void
bar_look_at_buffer(const struct maker *maker, const struct bar_sitting *sitting,
                   struct calibration *calibration, int bottle, double drift_ph)
{
    double true_c = between(maker->draw, 20.0, 28.0), read_c, true_ph = NAN, table_ph = NAN;
    const struct buffer *buffer = NULL;
    struct failure failure = {0};

    read_c = round((true_c + maker->thermometer_c) * 10.0) / 10.0;
    check_ok(buffer_find(bottle_names[bottle], &buffer, &failure), &failure);
    check_ok(buffer_ph(buffer, true_c, &true_ph, &failure), &failure);
    check_ok(buffer_ph(buffer, read_c, &table_ph, &failure), &failure);
    true_ph += maker->bottle_ph[bottle];
    bench_point(calibration, bottle_names[bottle], table_ph,
                calibration->declared ? (double)NAN
                                      : rounded(bar_meter_shows(maker, sitting, true_ph) + drift_ph +
                                                normal(maker->draw, 0.005)));
    calibration->points[calibration->point_count - 1].temperature_c = read_c;
}

/* Calibrate the meter, as record and in truth. */
static inline void
bar_calibrate(const struct maker *maker, const struct bar_sitting *sitting, int age_d, struct dossier *bench)
{
    struct calibration *calibration =
        bench_calibration(bench, bench_day(age_d) - sitting->calibrated_before_s, CALIBRATION_ADJUST);

    calibration->declared = !maker->checked;
    for (int i = 0; i < BOTTLES; i++)
        bar_look_at_buffer(maker, sitting, calibration, i, 0.0);
    if (sitting->meter == METER_CHECKED)
        bar_look_at_buffer(maker, sitting,
                           bench_calibration(bench, bench_day(age_d) + 3600, CALIBRATION_CHECK), BOTTLES - 1,
                           sitting->checked_drift_ph);
}

/* The same calibrations in the records of another batch. */
static inline void
bar_lend_calibrations(const struct dossier *from, struct dossier *bench)
{
    for (size_t i = 0; i < from->calibration_count; i++) {
        const struct calibration *other = &from->calibrations[i];
        struct calibration *calibration = bench_calibration(bench, other->taken_at, other->purpose);

        calibration->declared = other->declared;
        for (size_t p = 0; p < other->point_count; p++) {
            bench_point(calibration, other->points[p].buffer, other->points[p].table_ph,
                        other->points[p].displayed_ph);
            calibration->points[p].temperature_c = other->points[p].temperature_c;
        }
    }
}

/* Dissolve a bar and read it three times. */
static inline void
bar_read(const struct maker *maker, const struct bar_sitting *sitting, const struct bar *bar,
         struct dossier *bench)
{
    struct draw *draw = maker->draw;
    double true_c = bar->temperature_c + normal(draw, 0.7), co2 = between(draw, 0.0, 1.5e-6);
    double soap_g = 1.0 + between(draw, -0.005, 0.005) + between(draw, -0.005, 0.005);
    int64_t cup = bench_specimen(bench, bench_session(bench, bench_day(bar->age_d)), bar->percent);
    double percent = 100.0 * soap_g / (soap_g + bench->specimens[cup - 1].water_mass_g);
    double shown_ph = bar_meter_shows(maker, sitting, bar_ph(bar, true_c, percent, co2)) + sitting->drift_ph;

    for (int i = 0; i < 3; i++)
        bench_ph(bench, cup, rounded(shown_ph + normal(draw, 0.015)),
                 round((true_c + maker->thermometer_c) * 10.0) / 10.0);
}

/* Test one bar and judge its batch as every command does. */
static inline struct bar_result
bar_test(struct draw *draw, const struct bar *bar, enum bar_meter meter)
{
    static const double accuracies_ph[BAR_METERS] = {0.02, 0.02, 0.1, 0.2};
    bool checked = meter == METER_CHECKED || meter == METER_NOT_CHECKED;
    struct maker maker = maker_new(draw, checked, true, accuracies_ph[meter], 0.05);
    struct bar_sitting sitting = bar_sitting_new(draw, meter);
    struct bar sound = *bar;
    const struct verdict *told;
    struct batch_case batch = {.dossier = batch_new(&maker)};
    struct bar_result result;
    struct failure failure = {0};

    if (bar->drifted_ph != 0.0 && meter == METER_CHECKED) {
        sitting.checked_drift_ph = bar->drifted_ph;
        sitting.drift_ph = bar->drifted_ph * between(draw, 0.5, 1.0);
    }
    policy_init(&batch.policy);
    bar_calibrate(&maker, &sitting, bar->age_d, &batch.dossier);
    if (bar->reference) {
        batch.reference = batch_new(&maker);
        bar_lend_calibrations(&batch.dossier, &batch.reference);
        sound.naoh_pct = 0.0;
        sound.plain_ph += normal(draw, maker.bars_sd);
        bar_read(&maker, &sitting, &sound, &batch.reference);
    }
    bar_read(&maker, &sitting, bar, &batch.dossier);
    check_ok(batch_case_judge(&batch, &failure), &failure);
    assert_int_equal(batch.conclusion.all.count, 1);
    told = &batch.conclusion.all.verdicts[0];
    result = (struct bar_result){
        .word = batch.conclusion.verdict,
        .true_ph = bar_ph(bar, REFERENCE_TEMPERATURE_C, REFERENCE_CONCENTRATION_PCT, 0.0),
        .low_ph = told->ph_low,
        .high_ph = told->ph_high,
        .u_ph = told->u_ph,
        .by_reference = told->reference != NULL,
        .naoh_low_pct = told->free_naoh_low_pct,
        .naoh_high_pct = told->free_naoh_high_pct,
    };
    batch_case_clear(&batch);
    return result;
}

/* What `rounds` bars of a kind came to, each drawn anew. */
struct bar_tally {
    size_t words[VERDICT_LYE_HEAVY + 1], judged, held;
    size_t by_reference, naoh_held; /* of those told from a reference bar */
    double u_ph;                    /* mean */
};

static inline struct bar_tally
bar_tally(uint64_t seed, const struct bar *bar, enum bar_meter meter, size_t rounds)
{
    struct bar_tally tally = {0};
    struct draw draw;

    draw_init(&draw, seed + (uint64_t)meter);
    for (size_t i = 0; i < rounds; i++) {
        struct bar_result result = bar_test(&draw, bar, meter);

        tally.words[result.word]++;
        tally.u_ph += result.u_ph / (double)rounds;
        tally.by_reference += result.by_reference;
        tally.naoh_held += result.by_reference && result.naoh_low_pct <= bar->naoh_pct &&
                           bar->naoh_pct <= result.naoh_high_pct;
        if (result.word == VERDICT_NOT_JUDGED)
            continue;
        tally.judged++;
        tally.held += result.low_ph <= result.true_ph && result.true_ph <= result.high_ph;
    }
    return tally;
}

/* What chance leaves to a share that is `percent` in truth: nothing to the number of bars that the goals are stated for,
 * four standard deviations to fewer. */
static inline double
bar_chance(double percent, size_t rounds)
{
    double fraction = percent / 100.0;

    return rounds >= 2000 ? 0.0 : 400.0 * sqrt(fraction * (1.0 - fraction) / (double)rounds);
}

static inline double
bar_share(size_t count, size_t of)
{
    return of == 0 ? (double)NAN : 100.0 * (double)count / (double)of;
}

#endif
