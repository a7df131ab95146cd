/* test_records.c - every record goes into the notebook and comes back the same. */
#include "batch_store.h"
#include "calibration_store.h"
#include "check.h"
#include "dossier_store.h"
#include "follow_store.h"
#include "gear_store.h"
#include "journal.h"
#include "notebook.h"
#include "observation_store.h"
#include "session_store.h"

enum { NOON = 43200 };
static const civil_time at = 20515LL * 86400 + NOON; /* 2026-03-03T12:00 */

static int
open_notebook(void **state)
{
    struct failure failure = {0};
    struct store *store = NULL;

    check_ok(notebook_open(":memory:", STORE_CREATE, &store, NULL, &failure), &failure);
    *state = store;
    return 0;
}

static int
close_notebook(void **state)
{
    store_close(*state);
    return 0;
}

static struct batch
some_batch(const char *code)
{
    struct batch batch = {.code = memory_copy(code),
                          .title = memory_copy("oat bar"),
                          .made_on = 20514,
                          .role = BATCH_VARIANT,
                          .added_at = at};

    batch_add_line(&batch, (struct recipe_line){.kind = RECIPE_FAT,
                                                .name = memory_copy("olive oil"),
                                                .mass_g = 500.0,
                                                .purity_fraction = NAN,
                                                .sv_min_mg_koh_per_g = 188.0,
                                                .sv_max_mg_koh_per_g = 192.0});
    batch_add_line(&batch, (struct recipe_line){.kind = RECIPE_LYE,
                                                .name = memory_copy("naoh"),
                                                .mass_g = 65.5,
                                                .purity_fraction = 0.985,
                                                .sv_min_mg_koh_per_g = NAN,
                                                .sv_max_mg_koh_per_g = NAN});
    return batch;
}

static int64_t
add_batch(struct store *store, const char *code)
{
    struct failure failure = {0};
    struct batch batch = some_batch(code);
    int64_t id;

    check_ok(batch_store_add(store, &batch, &failure), &failure);
    id = batch.id;
    batch_clear(&batch);
    return id;
}

static int64_t
add_meter(struct store *store)
{
    struct failure failure = {0};
    struct gear gear;
    int64_t id;

    gear_init(&gear, GEAR_METER);
    gear.name = memory_copy("bench");
    gear.resolution_ph = 0.01;
    gear.added_at = at;
    check_ok(gear_store_add(store, &gear, &failure), &failure);
    id = gear.id;
    gear_clear(&gear);
    return id;
}

static int64_t
add_paper(struct store *store, const char *name)
{
    struct failure failure = {0};
    struct gear gear;
    int64_t id;

    gear_init(&gear, GEAR_PAPER);
    gear.name = memory_copy(name);
    check_ok(gear_parse_steps(&gear, "9,10,11", &failure), &failure);
    gear.added_at = at;
    check_ok(gear_store_add(store, &gear, &failure), &failure);
    id = gear.id;
    gear_clear(&gear);
    return id;
}

static void
batches_come_back_with_their_recipe(void **state)
{
    struct failure failure = {0};
    struct batch found = {0}, child = some_batch("W-08");

    add_batch(*state, "W-07");
    child.reference_code = memory_copy("w-07");
    check_ok(batch_store_add(*state, &child, &failure), &failure);
    batch_clear(&child);
    check_ok(batch_store_find(*state, "W-08", &found, &failure), &failure);
    assert_string_equal(found.title, "oat bar");
    assert_string_equal(found.reference_code, "W-07");
    assert_int_equal(found.role, BATCH_VARIANT);
    assert_int_equal(found.state, BATCH_IN_CURE);
    assert_int_equal(found.made_on, 20514);
    assert_int_equal(found.line_count, 2);
    check_close(found.lines[0].sv_max_mg_koh_per_g, 192.0, 0.0, "as added");
    assert_true(isnan(found.lines[0].purity_fraction));
    check_close(found.lines[1].purity_fraction, 0.985, 0.0, "as added");
    batch_clear(&found);
    check_refused(batch_store_find(*state, "W-09", &found, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "did you mean 'W-0");
}

static void
a_code_is_taken_once_whatever_its_case(void **state)
{
    struct failure failure = {0};
    struct batch again = some_batch("w-07");

    add_batch(*state, "W-07");
    check_refused(batch_store_add(*state, &again, &failure), STATUS_CONFLICT, &failure);
    assert_string_equal(failure.text,
                        "there is a batch 'W-07' already; codes are unique, upper and lower case alike");
    batch_clear(&again);
}

static void
gear_is_found_by_kind_and_name(void **state)
{
    struct failure failure = {0};
    struct gear gear = {0};

    check_refused(gear_store_only(*state, GEAR_METER, &gear, &failure), STATUS_MISSING, &failure);
    add_meter(*state);
    check_ok(gear_store_only(*state, GEAR_METER, &gear, &failure), &failure);
    assert_string_equal(gear.name, "bench");
    gear_clear(&gear);
    check_ok(gear_store_find(*state, GEAR_METER, "BENCH", &gear, &failure), &failure);
    check_close(gear.resolution_ph, 0.01, 0.0, "as added");
    assert_true(isnan(gear.accuracy_ph));
    gear_clear(&gear);
    check_refused(gear_store_find(*state, GEAR_BALANCE, "bench", &gear, &failure), STATUS_CONFLICT, &failure);
    assert_string_equal(failure.text, "'bench' is a meter, not a balance");
}

static void
a_reading_rests_on_the_latest_calibration_a_refused_one_too(void **state)
{
    struct failure failure = {0};
    int64_t meter_id = add_meter(*state);
    static const struct {
        int hours;
        enum calibration_verdict verdict;
    } made[] = {{0, CALIBRATION_ACCEPTED}, {10, CALIBRATION_MARGINAL}, {20, CALIBRATION_REFUSED}};
    static const struct {
        int hours;
        int64_t id;
    } asked[] = {{-1, 0}, {0, 1}, {9, 1}, {10, 2}, {19, 2}, {20, 3}, {99, 3}};

    for (size_t i = 0; i < LENGTH(made); i++) {
        struct calibration calibration = {.meter_id = meter_id,
                                          .taken_at = at + made[i].hours * 3600,
                                          .slope_percent = 98.0,
                                          .offset_mv = NAN,
                                          .verdict = made[i].verdict};

        calibration_add_point(&calibration, (struct calibration_point){.buffer = memory_copy("borax"),
                                                                       .kitchen_made = true,
                                                                       .temperature_c = 24.5,
                                                                       .displayed_ph = 9.21,
                                                                       .potential_mv = NAN,
                                                                       .table_ph = 9.18});
        check_ok(calibration_store_add(*state, &calibration, &failure), &failure);
        calibration_clear(&calibration);
    }
    for (size_t i = 0; i < LENGTH(asked); i++) {
        struct calibration found = {0};

        check_ok(calibration_store_in_force(*state, meter_id, at + asked[i].hours * 3600, &found, &failure),
                 &failure);
        assert_int_equal(found.id, asked[i].id);
        calibration_clear(&found);
    }
}

static int64_t
add_specimen(struct store *store, int64_t batch_id)
{
    struct failure failure = {0};
    struct session session;
    struct specimen specimen;

    session_init(&session);
    session.started_at = at;
    check_ok(procedure_store_keep(store, "soap-1pct-40c",
                                  "0123456789012345678901234567890123456789012345678901234567890123", "text",
                                  at, &session.procedure_id, &failure),
             &failure);
    check_ok(session_store_add(store, &session, &failure), &failure);
    specimen_init(&specimen);
    specimen.session_id = session.id;
    specimen.batch_id = batch_id;
    check_ok(specimen_store_add(store, &specimen, &failure), &failure);
    return specimen.id;
}

static void
weigh(struct store *store, int64_t specimen_id, enum weighing_of of, double mass_g, int64_t supersedes)
{
    struct failure failure = {0};
    char why[] = "spilt";
    struct weighing weighing = {.specimen_id = specimen_id,
                                .of = of,
                                .mass_g = mass_g,
                                .taken_at = at,
                                .supersedes = supersedes,
                                .why = supersedes == 0 ? NULL : why};

    check_ok(weighing_store_add(store, &weighing, &failure), &failure);
}

static void
a_dossier_holds_everything_and_corrections_stay_visible(void **state)
{
    struct failure failure = {0};
    struct dossier dossier = {0};
    char why[] = "misread";
    int64_t batch_id = add_batch(*state, "W-07"), meter_id = add_meter(*state);
    int64_t specimen_id = add_specimen(*state, batch_id);
    struct reading first, second;

    weigh(*state, specimen_id, WEIGHING_SOAP, 1.05, 0);
    weigh(*state, specimen_id, WEIGHING_SOAP, 1.0, 1);
    weigh(*state, specimen_id, WEIGHING_WATER, 99.0, 0);
    reading_init(&first);
    first.specimen_id = specimen_id;
    first.gear_id = meter_id;
    first.ph = 9.87;
    first.temperature_c = 40.1;
    first.taken_at = at;
    check_ok(reading_store_add(*state, &first, &failure), &failure);
    second = first;
    second.ph = 8.97;
    second.supersedes = first.id;
    second.why = why;
    check_ok(reading_store_add(*state, &second, &failure), &failure);
    check_refused(reading_store_add(*state, &second, &failure), STATUS_CONFLICT, &failure);
    check_ok(dossier_store_load(*state, "W-07", &dossier, &failure), &failure);
    assert_int_equal(dossier.session_count, 1);
    assert_string_equal(dossier.sessions[0].procedure_name, "soap-1pct-40c");
    assert_int_equal(dossier.specimen_count, 1);
    check_close(specimen_concentration_pct(&dossier.specimens[0]), 1.0, 1e-12, "1 g in 100 g");
    assert_int_equal(dossier.weighing_count, 3);
    assert_int_equal(dossier.reading_count, 2);
    assert_int_equal(dossier.readings[0].superseded_by, second.id);
    assert_false(reading_stands(&dossier.readings[0]));
    assert_true(reading_stands(&dossier.readings[1]));
    check_close(dossier.readings[1].ph, 8.97, 0.0, "as added");
    assert_int_equal(dossier_age_d(&dossier, at), 1);
    dossier_clear(&dossier);
}

static void
observe(struct store *store, int64_t specimen_id, enum observation_kind kind, const char *word,
        int64_t supersedes)
{
    struct failure failure = {0};
    char why[] = "looked again", *copy = memory_copy(word);
    struct observation observation;

    observation_init(&observation);
    observation.session_id = 1;
    observation.specimen_id = specimen_id;
    observation.kind = kind;
    observation.word = copy;
    observation.seen_at = at;
    observation.supersedes = supersedes;
    observation.why = supersedes == 0 ? NULL : why;
    check_ok(observation_check(&observation, &failure), &failure);
    check_ok(observation_store_add(store, &observation, &failure), &failure);
    free(copy);
}

static void
what_was_seen_and_what_is_used_up_is_in_the_dossier(void **state)
{
    struct failure failure = {0};
    struct dossier dossier = {0};
    char bar[] = "A", why[] = "found one more";
    int64_t batch_id = add_batch(*state, "W-07"), specimen_id = add_specimen(*state, batch_id);
    struct used_up gone = {.batch_id = batch_id, .bar = bar, .used_up_on = clock_day_of(at), .added_at = at};
    struct used_up back = {.batch_id = batch_id,
                           .bar = bar,
                           .used_up_on = DAY_NONE,
                           .added_at = at,
                           .supersedes = 1,
                           .why = why};

    observe(*state, 0, OBSERVATION_WATER, "distilled", 0);
    observe(*state, specimen_id, OBSERVATION_LOOK, "weeping", 0);
    observe(*state, specimen_id, OBSERVATION_LOOK, "sound", 2);
    check_ok(used_up_store_add(*state, &gone, &failure), &failure);
    check_ok(used_up_store_add(*state, &back, &failure), &failure);
    check_ok(dossier_store_load(*state, "W-07", &dossier, &failure), &failure);
    assert_int_equal(dossier.observation_count, 3);
    assert_string_equal(dossier.observations[0].word, "distilled");
    assert_int_equal(dossier.observations[0].specimen_id, 0);
    assert_false(observation_stands(&dossier.observations[1]));
    assert_true(observation_stands(&dossier.observations[2]));
    assert_int_equal(dossier.used_up_count, 2);
    assert_false(used_up_stands(&dossier.used_up[0]));
    assert_false(used_up_stands(&dossier.used_up[1]));
    dossier_clear(&dossier);
}

static void
a_recipe_put_right_is_in_force_and_the_first_one_stays(void **state)
{
    struct failure failure = {0};
    struct dossier dossier = {0};
    struct recipe_line lines[2] = {{0}};
    int64_t batch_id = add_batch(*state, "W-07");
    size_t before;

    check_ok(dossier_store_load(*state, "W-07", &dossier, &failure), &failure);
    before = dossier.batch.line_count;
    assert_int_equal(dossier.revision_count, 0);
    dossier_clear(&dossier);
    check_ok(recipe_line_parse(RECIPE_FAT, "olive oil=1000", &lines[0], &failure), &failure);
    check_ok(recipe_line_parse(RECIPE_LYE, "naoh=128", &lines[1], &failure), &failure);
    check_ok(batch_store_revise(*state, batch_id, lines, 2, "two bottles of oil", at, &failure), &failure);
    check_ok(dossier_store_load(*state, "W-07", &dossier, &failure), &failure);
    assert_int_equal(dossier.batch.line_count, 2);
    check_close(dossier.batch.lines[0].mass_g, 1000.0, 0.0, "as put right");
    assert_int_equal(dossier.revision_count, 2);
    assert_null(dossier.revisions[0].why);
    assert_int_equal(dossier.revisions[0].line_count, before);
    assert_string_equal(dossier.revisions[1].why, "two bottles of oil");
    assert_int_equal(dossier.revisions[1].line_count, 2);
    dossier_clear(&dossier);
    recipe_line_clear(&lines[0]);
    recipe_line_clear(&lines[1]);
}

static void
a_sitting_keeps_its_own_bounds_and_a_release_its_rule(void **state)
{
    struct failure failure = {0};
    struct dossier dossier = {0};
    char why[] = "fit";
    int64_t batch_id = add_batch(*state, "W-07");
    struct session session;
    struct state_change change = {.batch_id = batch_id, .state = BATCH_RELEASED, .at = at, .why = why};
    struct specimen specimen;

    add_specimen(*state, batch_id);
    session_init(&session);
    session.started_at = at + 3600;
    session.clear_ph = 10.4;
    session.usual_low_ph = 8.25;
    check_ok(session_store_add(*state, &session, &failure), &failure);
    specimen_init(&specimen);
    specimen.session_id = session.id;
    specimen.batch_id = batch_id;
    check_ok(specimen_store_add(*state, &specimen, &failure), &failure);
    check_ok(state_change_store_add(*state, &change, &failure), &failure);
    check_ok(dossier_store_load(*state, "W-07", &dossier, &failure), &failure);
    assert_true(isnan(dossier.sessions[0].clear_ph));
    check_close(dossier.sessions[1].clear_ph, 10.4, 0.0, "as added");
    check_close(dossier.sessions[1].usual_low_ph, 8.25, 0.0, "as added");
    assert_int_equal(dossier.state_changes[0].rule, STATE_RULE_NOW);
    assert_false(dossier_released_by_old_rule(&dossier));
    dossier.state_changes[0].rule = 1;
    assert_true(dossier_released_by_old_rule(&dossier));
    dossier_clear(&dossier);
}

/* A portion of a batch, read by meter and then by paper. */
static int64_t
add_pair(struct store *store, const char *code, int64_t meter_id, int64_t paper_id)
{
    struct failure failure = {0};
    struct reading meter, paper;
    int64_t specimen_id = add_specimen(store, add_batch(store, code));

    weigh(store, specimen_id, WEIGHING_SOAP, 1.0, 0);
    weigh(store, specimen_id, WEIGHING_WATER, 99.0, 0);
    reading_init(&meter);
    meter.specimen_id = specimen_id;
    meter.gear_id = meter_id;
    meter.ph = 9.87;
    meter.taken_at = at;
    check_ok(reading_store_add(store, &meter, &failure), &failure);
    reading_init(&paper);
    paper.specimen_id = specimen_id;
    paper.method = READING_PAPER;
    paper.gear_id = paper_id;
    paper.ph_low = 9.0;
    paper.ph_high = 10.0;
    paper.taken_at = at;
    check_ok(reading_store_add(store, &paper, &failure), &failure);
    return specimen_id;
}

static void
a_dossier_of_a_paper_holds_what_it_was_read_on_in_whatever_batch(void **state)
{
    struct failure failure = {0};
    struct dossier dossier = {0};
    int64_t meter_id = add_meter(*state), paper_id = add_paper(*state, "roll"),
            other_id = add_paper(*state, "strips");
    int64_t first = add_pair(*state, "W-07", meter_id, paper_id);

    add_pair(*state, "W-08", meter_id, other_id);
    add_pair(*state, "W-09", meter_id, paper_id);
    check_ok(dossier_store_of_paper(*state, paper_id, &dossier, &failure), &failure);
    assert_int_equal(dossier.session_count, 2);
    assert_int_equal(dossier.specimen_count, 2);
    assert_int_equal(dossier.specimens[0].id, first);
    check_close(specimen_concentration_pct(&dossier.specimens[0]), 1.0, 1e-12, "1 g in 100 g");
    assert_int_equal(dossier.weighing_count, 4);
    assert_int_equal(dossier.reading_count, 4);
    assert_int_equal(dossier.readings[0].method, READING_METER);
    assert_int_equal(dossier.gear_count, 3);
    assert_int_equal(dossier.batch.id, 0);
    dossier_clear(&dossier);
}

static void
calibrate(struct store *store, int64_t meter_id, int hours, enum calibration_purpose purpose)
{
    struct failure failure = {0};
    struct calibration calibration = {.meter_id = meter_id,
                                      .taken_at = at + hours * 3600,
                                      .purpose = purpose,
                                      .slope_percent = 98.0,
                                      .offset_mv = NAN};

    check_ok(calibration_store_add(store, &calibration, &failure), &failure);
    calibration_clear(&calibration);
}

static void
read_meter(struct store *store, int64_t specimen_id, int64_t meter_id, int hours, int64_t calibration_id)
{
    struct failure failure = {0};
    struct reading reading;

    reading_init(&reading);
    reading.specimen_id = specimen_id;
    reading.gear_id = meter_id;
    reading.ph = 9.87;
    reading.taken_at = at + hours * 3600;
    reading.calibration_id = calibration_id;
    check_ok(reading_store_add(store, &reading, &failure), &failure);
}

/* A reading rests on what stands now, by the times, in whatever order it was kept. */
static void
a_calibration_kept_later_counts_from_its_own_time_on(void **state)
{
    static const struct {
        int reading_h, then,
            now; /* the calibration it rests on before and after one of hour 50 is kept, and of 72 */
    } asked[] = {{49, 1, 1}, {50, 1, 2}, {60, 1, 2}, {72, 1, 3}, {10, 1, 1}, {-1, 0, 0}};
    int64_t bench = add_meter(*state), specimen = add_specimen(*state, add_batch(*state, "W-01"));
    struct failure failure = {0};

    calibrate(*state, bench, 0, CALIBRATION_ADJUST);
    for (size_t i = 0; i < LENGTH(asked); i++)
        read_meter(*state, specimen, bench, asked[i].reading_h, 0);
    for (int after = 0; after < 2; after++) {
        struct dossier dossier = {0}, among = {0};

        check_ok(dossier_store_load(*state, "W-01", &dossier, &failure), &failure);
        check_ok(dossier_store_load_of_many(*state, "W-01", &among, &failure), &failure);
        for (size_t i = 0; i < dossier.reading_count; i++) {
            const struct reading *reading = &dossier.readings[i];
            int expected = after == 1 ? asked[reading->id - 1].now : asked[reading->id - 1].then;

            assert_int_equal(reading->calibration_id, expected);
            assert_int_equal(among.readings[i].calibration_id, expected);
        }
        dossier_clear(&dossier);
        dossier_clear(&among);
        calibrate(*state, bench, 50, CALIBRATION_ADJUST);
        calibrate(*state, bench, 72, CALIBRATION_ADJUST);
    }
}

/* Which calibrations a reading brings is said once in SQL, for one batch, and once in C, for many. */
static void
one_of_many_batches_brings_the_same_calibrations_as_one_alone(void **state)
{
    static const struct {
        int hours;
        int64_t calibration;
    } read[] = {{5, 1}, {49, 2}, {73, 0}, {130, 4}, {10, 0}, {0, 1}, {60, 5}, {200, 3}};
    static const int made[] = {0, 48, 72, 72, 120, 121};
    int64_t bench, spare, specimens[4];
    struct failure failure = {0};
    size_t brought = 0;

    bench = add_meter(*state);
    for (size_t i = 0; i < LENGTH(made); i++)
        calibrate(*state, bench, made[i], i == 2 || i == 5 ? CALIBRATION_CHECK : CALIBRATION_ADJUST);
    spare = add_paper(*state, "no meter, for its number");
    for (size_t i = 0; i < LENGTH(specimens); i++) {
        char code[] = {'W', '-', (char)('0' + i), '\0'};

        specimens[i] = add_specimen(*state, add_batch(*state, code));
        read_meter(*state, specimens[i], bench, read[2 * i].hours, read[2 * i].calibration);
        read_meter(*state, specimens[i], bench, read[2 * i + 1].hours, read[2 * i + 1].calibration);
    }
    read_meter(*state, specimens[0], spare, 1, 0);
    for (size_t i = 0; i < LENGTH(specimens); i++) {
        struct dossier alone = {0}, among = {0};
        char code[] = {'W', '-', (char)('0' + i), '\0'};

        check_ok(dossier_store_load(*state, code, &alone, &failure), &failure);
        check_ok(dossier_store_load_of_many(*state, code, &among, &failure), &failure);
        assert_int_equal(among.calibration_count, alone.calibration_count);
        assert_int_equal(among.gear_count, alone.gear_count);
        for (size_t k = 0; k < alone.calibration_count; k++)
            assert_int_equal(among.calibrations[k].id, alone.calibrations[k].id);
        brought += alone.calibration_count;
        dossier_clear(&alone);
        dossier_clear(&among);
    }
    assert_true(brought > LENGTH(specimens));
}

static void
states_titrations_plans_and_settings_come_back(void **state)
{
    struct failure failure = {0};
    struct dossier dossier = {0};
    int64_t batch_id = add_batch(*state, "W-07");
    char why[] = "lye-heavy", what[] = "test";
    struct state_change change = {
        .batch_id = batch_id, .state = BATCH_HELD, .at = at, .why = why, .automatic = true};
    struct plan_entry entry = {.batch_id = batch_id, .due_on = 20520, .what = what, .added_at = at};
    struct titration titration;
    char *value = why;

    titration_init(&titration);
    titration.batch_id = batch_id;
    titration.soap_mass_g = 10.0;
    titration.acid_mol_per_l = 0.1;
    titration.volume_ml = 1.25;
    titration.taken_at = at;
    check_ok(state_change_store_add(*state, &change, &failure), &failure);
    check_ok(plan_entry_store_add(*state, &entry, &failure), &failure);
    check_ok(plan_entry_store_drop(*state, entry.id, at, "sold", &failure), &failure);
    check_refused(plan_entry_store_drop(*state, entry.id, at, "sold", &failure), STATUS_CONFLICT, &failure);
    check_ok(titration_store_add(*state, &titration, &failure), &failure);
    check_ok(dossier_store_load(*state, "W-07", &dossier, &failure), &failure);
    assert_int_equal(dossier.batch.state, BATCH_HELD);
    assert_true(dossier.state_changes[0].automatic);
    assert_true(dossier.plan_entries[0].dropped);
    check_close(dossier.titrations[0].volume_ml, 1.25, 0.0, "as added");
    assert_true(isnan(dossier.titrations[0].blank_ml));
    dossier_clear(&dossier);
    check_ok(setting_store_find(*state, "release-ages", &value, &failure), &failure);
    assert_null(value);
    check_ok(setting_store_set(*state, "release-ages", "2", at, NULL, &failure), &failure);
    check_ok(setting_store_set(*state, "release-ages", "3", at, NULL, &failure), &failure);
    check_ok(setting_store_find(*state, "release-ages", &value, &failure), &failure);
    assert_string_equal(value, "3");
    free(value);
}

static void
every_write_moves_the_head_of_the_journal(void **state)
{
    struct failure failure = {0};
    char before[JOURNAL_HASH_SIZE], after[JOURNAL_HASH_SIZE];

    check_ok(journal_head(*state, before, &failure), &failure);
    assert_string_equal(before, "0000000000000000000000000000000000000000000000000000000000000000");
    add_meter(*state);
    check_ok(journal_head(*state, after, &failure), &failure);
    assert_string_not_equal(before, after);
    assert_int_equal(strlen(after), 64);
}

#define RECORD_TEST(name) cmocka_unit_test_setup_teardown(name, open_notebook, close_notebook)

static const struct CMUnitTest tests[] = {
    RECORD_TEST(batches_come_back_with_their_recipe),
    RECORD_TEST(a_code_is_taken_once_whatever_its_case),
    RECORD_TEST(gear_is_found_by_kind_and_name),
    RECORD_TEST(a_reading_rests_on_the_latest_calibration_a_refused_one_too),
    RECORD_TEST(a_dossier_holds_everything_and_corrections_stay_visible),
    RECORD_TEST(what_was_seen_and_what_is_used_up_is_in_the_dossier),
    RECORD_TEST(a_recipe_put_right_is_in_force_and_the_first_one_stays),
    RECORD_TEST(a_sitting_keeps_its_own_bounds_and_a_release_its_rule),
    RECORD_TEST(a_dossier_of_a_paper_holds_what_it_was_read_on_in_whatever_batch),
    RECORD_TEST(a_calibration_kept_later_counts_from_its_own_time_on),
    RECORD_TEST(one_of_many_batches_brings_the_same_calibrations_as_one_alone),
    RECORD_TEST(states_titrations_plans_and_settings_come_back),
    RECORD_TEST(every_write_moves_the_head_of_the_journal),
};

const struct check_module test_store_records = CHECK_MODULE("store/records", tests);
