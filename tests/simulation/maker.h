/* maker.h - a simulated maker: batches poured, bars that differ, meters, bottles and a thermometer that are off, and the
 * records that result. What is done with them is the program's own doing.
 *
 * Error model (docs/method.md, "How often they hold"): a batch settles from 10.2..10.9 to 9.2..9.8, half of the way in 6 to
 * 23 days. Each test takes a new bar, `bars_sd` off the batch's curve, dissolves it, and reads it three times with a
 * meter of 0.01 pH, readings 0.015 apart. A checked meter is calibrated that day in bought borax and pH 10.01, each bottle
 * off by its standard uncertainty; one set by its own routine is off by one error for good. From then to the reading either
 * drifts by up to 0.02, as is assumed where nobody checks afterwards. The thermometer is off by
 * up to 0.5 degC, the solution at 40 degC within 0.7. The soap is plain: it follows half of pKw. */
#ifndef MAKER_H
#define MAKER_H

#include "../assess/bench.h"
#include "buffer.h"
#include "conclusion.h"
#include "cure.h"
#include "draw.h"
#include "series.h"
#include "water.h"

/* How many cures or comparisons a cell: a few in every run of the tests, 2000 for the table (run.sh). */
static inline size_t
simulation_rounds(void)
{
    const char *text = getenv("SIMULATION_ROUNDS");

    return text == NULL ? 60 : (size_t)strtoul(text, NULL, 10);
}

static inline double
between(struct draw *draw, double low, double high)
{
    double first, second;

    draw_pair(draw, &first, &second);
    return low + (high - low) * first;
}

/* Box and Muller (1958), Ann. Math. Stat. 29, 610-611. */
static inline double
normal(struct draw *draw, double sd)
{
    double first, second;

    draw_pair(draw, &first, &second);
    return sd * sqrt(-2.0 * log(first)) * cos(2.0 * M_PI * second);
}

enum { BOTTLES = 2, SECOND_METER = 5 }; /* the tests' bench has gear 1 to 4 */
static const char *const bottle_names[BOTTLES] = {"borax", "technical-10.00"};

/* How a checked meter shows things: off and tilted, as it was left; and how any meter drifts until it is read. */
struct electrode_of_the_day {
    double offset_ph, slope, drift_ph;
};

/* The gear of one maker and what it is off by. */
struct maker {
    struct draw *draw;
    bool checked;       /* the meter is calibrated with values before each sitting; else by its own routine */
    bool fresh;         /* new bottles and another thermometer for every sitting; else the same all along */
    double accuracy_ph; /* of the own routine, half-width; as stated */
    double meter_ph[2]; /* what the own routine of meters 1 and 2 is off by */
    double bottle_ph[BOTTLES], thermometer_c;
    int64_t bottle_id[BOTTLES], thermometer_id,
        gear_number; /* of the gear in use, and the latest given out */
    struct electrode_of_the_day electrode;
    double bars_sd;
};

static inline void
maker_renew(struct maker *maker)
{
    for (int i = 0; i < BOTTLES; i++) {
        maker->bottle_ph[i] = normal(maker->draw, 0.01);
        maker->bottle_id[i] = ++maker->gear_number;
    }
    maker->thermometer_c = between(maker->draw, -0.5, 0.5);
    maker->thermometer_id = ++maker->gear_number;
}

static inline struct maker
maker_new(struct draw *draw, bool checked, bool fresh, double accuracy_ph, double bars_sd)
{
    struct maker maker = {.draw = draw,
                          .checked = checked,
                          .fresh = fresh,
                          .accuracy_ph = accuracy_ph,
                          .gear_number = 100, /* above the bench's own */
                          .bars_sd = bars_sd};

    for (int i = 0; i < 2; i++)
        maker.meter_ph[i] = between(draw, -accuracy_ph, accuracy_ph);
    maker_renew(&maker);
    return maker;
}

/* How the checked meter's electrode was left, once for a maker. */
static inline void
maker_take_electrode(struct maker *maker)
{
    maker->electrode.offset_ph = normal(maker->draw, 0.03);
    maker->electrode.slope = between(maker->draw, 0.96, 1.0);
}

/* An electrode changes little from sitting to sitting: one that a calibration finds more than 0.05 off makes what was read
 * since the one before unsure, which is another question. */
static inline struct electrode_of_the_day
maker_electrode(const struct maker *maker)
{
    struct electrode_of_the_day day = maker->electrode;

    day.offset_ph += normal(maker->draw, 0.01);
    day.drift_ph = between(maker->draw, -0.02, 0.02);
    return day;
}

/* A batch as it truly settles. */
struct truth {
    double start, end, rate;
};

static inline struct truth
truth_new(struct draw *draw)
{
    return (struct truth){.start = between(draw, 10.2, 10.9),
                          .end = between(draw, 9.2, 9.8),
                          .rate = log(2.0) / between(draw, 6.0, 23.0)};
}

static inline double
truth_at(const struct truth *truth, double age_d)
{
    return truth->end + (truth->start - truth->end) * exp(-truth->rate * age_d);
}

static inline double
rounded(double value)
{
    return round(value * 100.0) / 100.0;
}

/* The records of one batch, empty: two meters of a kind, a thermometer and a balance. */
static inline struct dossier
batch_new(const struct maker *maker)
{
    struct dossier bench = bench_new();
    struct gear *second = bench_gear(&bench, SECOND_METER, "second", GEAR_METER);

    second->resolution_ph = 0.01;
    second->atc = true;
    bench.gear[0].accuracy_ph = second->accuracy_ph = maker->accuracy_ph;
    return bench;
}

/* Calibrate a meter for a sitting that begins at `at`, as record and in truth; `number` tells the calibrations of the
 * maker's whole notebook apart. */
static inline void
sitting_calibrate(const struct maker *maker, struct dossier *bench, civil_time at, int64_t meter,
                  int64_t number, const struct electrode_of_the_day *day)
{
    struct calibration *calibration = bench_calibration(bench, at - 1800, CALIBRATION_ADJUST);

    calibration->id = number;
    calibration->meter_id = meter;
    calibration->declared = !maker->checked;
    for (int i = 0; i < BOTTLES; i++) {
        const struct buffer *buffer = NULL;
        struct failure failure = {0};
        double table_ph = NAN;

        check_ok(buffer_find(bottle_names[i], &buffer, &failure), &failure);
        check_ok(buffer_ph(buffer, 25.0, &table_ph, &failure), &failure);
        bench_point(calibration, bottle_names[i], table_ph,
                    maker->checked
                        ? rounded(day->offset_ph + day->slope * (table_ph + maker->bottle_ph[i] - 7.0) + 7.0)
                        : (double)NAN);
        calibration->points[i].bottle_id = maker->bottle_id[i];
    }
}

/* The thermometer in use, as the bench's own. */
static inline void
sitting_thermometer(const struct maker *maker, struct dossier *bench, int64_t session_id)
{
    if (dossier_gear(bench, maker->thermometer_id) == NULL) {
        struct gear *gear = bench_gear(bench, maker->thermometer_id, "another", GEAR_THERMOMETER);

        gear->resolution_c = 0.1;
        gear->accuracy_c = 0.5;
    }
    bench->sessions[session_id - 1].thermometer_id = maker->thermometer_id;
}

/* Read one bar of a batch at an age, three times. `true_ph` is that bar's at 40 degC and 1 %. */
static inline void
sitting_read(const struct maker *maker, struct dossier *bench, double age_d, double true_ph, int64_t meter,
             int64_t calibration, const struct electrode_of_the_day *day)
{
    struct draw *draw = maker->draw;
    int64_t session = bench_session(bench, bench_day((int)age_d)),
            specimen = bench_specimen(bench, session, 1.0);
    double temperature_c = 40.0 + normal(draw, 0.7), here = NAN, reference = NAN, shown;
    double percent = 1.0 + between(draw, -0.005, 0.005); /* a balance of 0.01 g */
    struct failure failure = {0};

    sitting_thermometer(maker, bench, session);
    check_ok(water_pkw(temperature_c, &here, &failure), &failure);
    check_ok(water_pkw(REFERENCE_TEMPERATURE_C, &reference, &failure), &failure);
    shown = true_ph + 0.5 * (here - reference) + 0.5 * log10(percent);
    shown = maker->checked ? day->offset_ph + day->slope * (shown - 7.0) + 7.0
                           : shown + maker->meter_ph[meter == METER ? 0 : 1];
    shown += day->drift_ph;
    for (int i = 0; i < 3; i++) {
        struct reading *reading = bench_ph(bench, specimen, rounded(shown + normal(draw, 0.015)),
                                           round((temperature_c + maker->thermometer_c) * 10.0) / 10.0);

        reading->calibration_id = calibration;
        reading->gear_id = meter;
    }
}

/* Test a batch at an age in a sitting of its own. */
static inline void
sitting_of_one(struct maker *maker, struct dossier *bench, const struct truth *truth, double age_d)
{
    struct electrode_of_the_day day = maker_electrode(maker);
    int64_t number = (int64_t)bench->calibration_count + 1;

    if (maker->fresh)
        maker_renew(maker);
    sitting_calibrate(maker, bench, bench_day((int)age_d), METER, number, &day);
    sitting_read(maker, bench, age_d, truth_at(truth, age_d) + normal(maker->draw, maker->bars_sd), METER,
                 number, &day);
}

/* The results of the records, as the commands work them out: judged, then as points. Owns both. */
struct worked_out {
    struct conclusion conclusion;
    struct series series;
};

static inline void
work_out(const struct dossier *bench, struct worked_out *ret)
{
    struct verdict_aid aid = {0};
    struct failure failure = {0};

    *ret = (struct worked_out){0};
    check_ok(conclusion_of(bench, &aid, &ret->conclusion, &failure), &failure);
    series_of(&ret->conclusion.all, &ret->series);
}

static inline void
worked_out_clear(struct worked_out *worked)
{
    series_clear(&worked->series);
    conclusion_clear(&worked->conclusion);
}

#endif
