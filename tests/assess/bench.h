/* bench.h - a bench in memory for the tests of assessments: batch, gear, calibrations, sessions, readings.
 *
 * Gear 1 is a meter (0.01, +/- 0.02, with ATC), 2 a thermometer (0.1, +/- 0.5 degC), 3 a balance (0.01 g), 4
 * a paper with steps of 1 from 1 to 14. */
#ifndef BENCH_H
#define BENCH_H

#include "check.h"
#include "dossier.h"

enum { METER = 1, THERMOMETER = 2, BALANCE = 3, PAPER = 4, POURED = 20000, DAY_S = 86400 };

static inline civil_time
bench_day(int age_d)
{
    return ((civil_time)POURED + age_d) * DAY_S + 36000; /* ten in the morning */
}

static inline struct gear *
bench_gear(struct dossier *bench, int64_t id, const char *name, enum gear_kind kind)
{
    struct gear *gear;

    bench->gear = memory_resize(bench->gear, bench->gear_count + 1, sizeof *bench->gear);
    gear = &bench->gear[bench->gear_count++];
    gear_init(gear, kind);
    gear->id = id;
    gear->name = memory_copy(name);
    return gear;
}

static inline struct dossier
bench_new(void)
{
    struct dossier bench = {.batch = {.id = 1, .made_on = POURED, .code = memory_copy("W-07")}};
    struct failure failure = {0};
    struct gear *gear = bench_gear(&bench, METER, "bench", GEAR_METER);

    gear->resolution_ph = 0.01;
    gear->accuracy_ph = 0.02;
    gear->atc = true;
    gear = bench_gear(&bench, THERMOMETER, "glass stick", GEAR_THERMOMETER);
    gear->resolution_c = 0.1;
    gear->accuracy_c = 0.5;
    bench_gear(&bench, BALANCE, "scale", GEAR_BALANCE)->readability_g = 0.01;
    gear = bench_gear(&bench, PAPER, "strips", GEAR_PAPER);
    check_ok(gear_parse_steps(gear, "1,2,3,4,5,6,7,8,9,10,11,12,13,14", &failure), &failure);
    return bench;
}

/* An empty calibration of the meter; gives it, lent until the next one. */
static inline struct calibration *
bench_calibration(struct dossier *bench, civil_time at, enum calibration_purpose purpose)
{
    struct calibration *calibration;

    bench->calibrations =
        memory_resize(bench->calibrations, bench->calibration_count + 1, sizeof *bench->calibrations);
    calibration = &bench->calibrations[bench->calibration_count++];
    *calibration = (struct calibration){.id = (int64_t)bench->calibration_count,
                                        .meter_id = METER,
                                        .taken_at = at,
                                        .purpose = purpose,
                                        .slope_percent = NAN,
                                        .offset_mv = NAN};
    return calibration;
}

static inline void
bench_point(struct calibration *calibration, const char *buffer, double table_ph, double displayed_ph)
{
    calibration_add_point(calibration, (struct calibration_point){.buffer = memory_copy(buffer),
                                                                  .temperature_c = 25.0,
                                                                  .displayed_ph = displayed_ph,
                                                                  .potential_mv = NAN,
                                                                  .table_ph = table_ph});
}

/* A calibration without fault in bought borax (9.18) and lime water (12.454 at 25 degC). Gives its number. */
static inline int64_t
bench_calibrated(struct dossier *bench, civil_time at)
{
    struct calibration *calibration = bench_calibration(bench, at, CALIBRATION_ADJUST);

    bench_point(calibration, "borax", 9.18, 9.18);
    bench_point(calibration, "calcium-hydroxide", 12.454, 12.454);
    return calibration->id;
}

/* Said or seen in a sitting; specimen_id 0 for the whole of it, `value` NAN or the pH of the water. Lent until the next. */
static inline struct observation *
bench_observation(struct dossier *bench, int64_t session_id, int64_t specimen_id, enum observation_kind kind,
                  const char *word)
{
    struct observation *observation;

    bench->observations =
        memory_resize(bench->observations, bench->observation_count + 1, sizeof *bench->observations);
    observation = &bench->observations[bench->observation_count++];
    observation_init(observation);
    observation->id = (int64_t)bench->observation_count;
    observation->session_id = session_id;
    observation->specimen_id = specimen_id;
    observation->kind = kind;
    observation->word = memory_copy(word);
    observation->seen_at = dossier_session(bench, session_id)->started_at;
    return observation;
}

/* A sitting with distilled water. */
static inline int64_t
bench_session(struct dossier *bench, civil_time at)
{
    struct session *session;

    bench->sessions = memory_resize(bench->sessions, bench->session_count + 1, sizeof *bench->sessions);
    session = &bench->sessions[bench->session_count++];
    session_init(session);
    session->id = (int64_t)bench->session_count;
    session->started_at = at;
    session->finished_at = at + 3600;
    session->meter_id = METER;
    session->thermometer_id = THERMOMETER;
    session->balance_id = BALANCE;
    bench_observation(bench, session->id, 0, OBSERVATION_WATER, "distilled");
    return (int64_t)bench->session_count;
}

/* Say which bar a portion was cut from. */
static inline void
bench_label(struct dossier *bench, int64_t specimen_id, const char *bar)
{
    struct specimen *specimen = &bench->specimens[specimen_id - 1];

    free(specimen->bar);
    specimen->bar = memory_copy(bar);
}

/* A test portion of 1 g of soap at `percent`; NAN: not weighed. */
static inline int64_t
bench_specimen(struct dossier *bench, int64_t session_id, double percent)
{
    struct specimen *specimen;

    bench->specimens = memory_resize(bench->specimens, bench->specimen_count + 1, sizeof *bench->specimens);
    specimen = &bench->specimens[bench->specimen_count++];
    specimen_init(specimen);
    specimen->id = (int64_t)bench->specimen_count;
    specimen->session_id = session_id;
    specimen->batch_id = bench->batch.id;
    if (!isnan(percent)) {
        specimen->soap_mass_g = 1.0;
        specimen->water_mass_g = 100.0 / percent - 1.0;
    }
    return specimen->id;
}

static inline struct reading *
bench_reading(struct dossier *bench, int64_t specimen_id, enum reading_method method)
{
    const struct session *session = dossier_session(bench, dossier_specimen(bench, specimen_id)->session_id);
    struct reading *reading;

    bench->readings = memory_resize(bench->readings, bench->reading_count + 1, sizeof *bench->readings);
    reading = &bench->readings[bench->reading_count++];
    reading_init(reading);
    reading->id = (int64_t)bench->reading_count;
    reading->specimen_id = specimen_id;
    reading->method = method;
    reading->gear_id = method == READING_METER ? METER : PAPER;
    reading->replicate = 1;
    reading->taken_at = session->started_at + 60 * (civil_time)bench->reading_count;
    return reading;
}

/* A meter reading tied to calibration 1 where there is one; lent until the next. */
static inline struct reading *
bench_ph(struct dossier *bench, int64_t specimen_id, double ph, double temperature_c)
{
    struct reading *reading = bench_reading(bench, specimen_id, READING_METER);

    reading->ph = ph;
    reading->temperature_c = temperature_c;
    reading->calibration_id = bench->calibration_count > 0 ? 1 : 0;
    return reading;
}

static inline struct reading *
bench_paper(struct dossier *bench, int64_t specimen_id, double low, double high)
{
    struct reading *reading = bench_reading(bench, specimen_id, READING_PAPER);

    reading->ph_low = low;
    reading->ph_high = high;
    reading->temperature_c = 40.0;
    return reading;
}

/* One session at seven days with one portion of 1 %, calibrated half an hour before. Gives the portion. */
static inline int64_t
bench_ready(struct dossier *bench)
{
    *bench = bench_new();
    bench_calibrated(bench, bench_day(7) - 1800);
    return bench_specimen(bench, bench_session(bench, bench_day(7)), 1.0);
}

/* A titration of 10 g with 0.1 mol/L acid known to 0.5 %, a 0.05 mL burette and a blank of 0.05 mL; lent
 * until the next. */
static inline struct titration *
bench_titration(struct dossier *bench, civil_time at, double volume_ml)
{
    struct titration *titration;

    bench->titrations =
        memory_resize(bench->titrations, bench->titration_count + 1, sizeof *bench->titrations);
    titration = &bench->titrations[bench->titration_count++];
    titration_init(titration);
    titration->id = (int64_t)bench->titration_count;
    titration->batch_id = bench->batch.id;
    titration->replicate = (int)bench->titration_count;
    titration->soap_mass_g = 10.0;
    titration->acid_mol_per_l = 0.1;
    titration->u_acid_relative = 0.005;
    titration->volume_ml = volume_ml;
    titration->blank_ml = 0.05;
    titration->burette_ml = 0.05;
    titration->balance_id = BALANCE;
    titration->taken_at = at;
    return titration;
}

#endif
