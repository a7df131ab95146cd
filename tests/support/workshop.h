/* workshop.h - an invented bench for the walk's tests: two batches, a meter, paper, a scale. */
#ifndef WORKSHOP_H
#define WORKSHOP_H

#include "batch_store.h"
#include "bench.h"
#include "calibration_store.h"
#include "check.h"
#include "gear_store.h"
#include "notebook.h"
#include "session_store.h"
#include "step_file.h"
#include "text.h"

enum { WORKSHOP_NOW = 1772618400 }; /* 2026-03-04T10:00 */

struct workshop {
    struct store *store;
    struct gear meter, paper, balance;
    int64_t batch_ids[2];
    struct procedure procedure;
};

static inline void
workshop_add_gear(struct workshop *workshop, struct gear *gear, enum gear_kind kind, const char *name)
{
    struct failure failure = {0};

    gear_init(gear, kind);
    gear->name = memory_copy(name);
    gear->added_at = WORKSHOP_NOW;
    if (kind == GEAR_METER)
        gear->resolution_ph = 0.01;
    if (kind == GEAR_BALANCE)
        gear->readability_g = 0.01;
    if (kind == GEAR_PAPER)
        check_ok(gear_parse_steps(gear, "6,7,8,9,10,11,12,13", &failure), &failure);
    check_ok(gear_store_add(workshop->store, gear, &failure), &failure);
}

/* A notebook at `path` with everything in it; `procedure` is one of the shipped ones. */
static inline void
workshop_open(struct workshop *workshop, const char *path, const char *procedure)
{
    static const char *const codes[] = {"W-07", "W-08"};
    char *file = text_format("%s/procedures/%s.ini", getenv("SOURCE_ROOT"), procedure);
    struct failure failure = {0};
    struct text mistakes = {0};

    *workshop = (struct workshop){0};
    check_ok(notebook_open(path, STORE_CREATE, &workshop->store, NULL, &failure), &failure);
    check_ok(step_file_read(file, &workshop->procedure, &mistakes, &failure), &failure);
    workshop_add_gear(workshop, &workshop->meter, GEAR_METER, "bench");
    workshop_add_gear(workshop, &workshop->paper, GEAR_PAPER, "strips");
    workshop_add_gear(workshop, &workshop->balance, GEAR_BALANCE, "scale");
    for (size_t i = 0; i < LENGTH(codes); i++) {
        struct batch batch = {.code = memory_copy(codes[i]), .made_on = 20514, .added_at = WORKSHOP_NOW};

        check_ok(batch_store_add(workshop->store, &batch, &failure), &failure);
        workshop->batch_ids[i] = batch.id;
        batch_clear(&batch);
    }
    free(file);
}

static inline void
workshop_close(struct workshop *workshop)
{
    store_close(workshop->store);
    gear_clear(&workshop->meter);
    gear_clear(&workshop->paper);
    gear_clear(&workshop->balance);
    procedure_clear(&workshop->procedure);
}

static inline struct bench_setup
workshop_setup(const struct workshop *workshop, const struct bench_bar *bars, size_t count)
{
    return (struct bench_setup){.procedure = &workshop->procedure,
                                .meter = &workshop->meter,
                                .paper = &workshop->paper,
                                .balance = &workshop->balance,
                                .bars = bars,
                                .bar_count = count};
}

/* Begin a session for the first `count` batches. */
static inline int64_t
workshop_begin(struct workshop *workshop, size_t count)
{
    struct bench_bar bars[2] = {{workshop->batch_ids[0], NULL}, {workshop->batch_ids[1], "middle"}};
    struct bench_setup setup = workshop_setup(workshop, bars, count);
    struct failure failure = {0};
    int64_t session_id = 0;

    check_ok(bench_begin(workshop->store, &setup, WORKSHOP_NOW, &session_id, &failure), &failure);
    return session_id;
}

static inline void
workshop_add_answer(struct text *text, const struct answer *answer)
{
    text_addf(text, "%lld %s %d %s %g %g %g|%s|%s|%s|%lld\n", (long long)answer->specimen_id, answer->step,
              answer->replicate, answer_outcome_word(answer->outcome), answer->value, answer->value_high,
              answer->temperature_c, answer->text == NULL ? "" : answer->text,
              answer->deviation == NULL ? "" : answer->deviation, answer->why == NULL ? "" : answer->why,
              (long long)answer->supersedes);
}

static inline void
workshop_add_specimen(struct workshop *workshop, struct text *text, const struct specimen *specimen)
{
    struct failure failure = {0};
    struct weighing *weighings = NULL;
    struct reading *readings = NULL;
    size_t count = 0;

    text_addf(text, "specimen %lld: %g g in %g g\n", (long long)specimen->id, specimen->soap_mass_g,
              specimen->water_mass_g);
    check_ok(weighing_store_of_specimen(workshop->store, specimen->id, &weighings, &count, &failure),
             &failure);
    for (size_t i = 0; i < count; i++) {
        text_addf(text, "%s %g supersedes %lld (%s)\n", weighing_of_word(weighings[i].of),
                  weighings[i].mass_g, (long long)weighings[i].supersedes,
                  weighings[i].why == NULL ? "" : weighings[i].why);
        weighing_clear(&weighings[i]);
    }
    free(weighings);
    check_ok(reading_store_of_specimen(workshop->store, specimen->id, &readings, &count, &failure), &failure);
    for (size_t i = 0; i < count; i++) {
        text_addf(text, "%s %d: ph %g %g..%g at %g, calibration %lld, supersedes %lld (%s)%s\n",
                  reading_method_word(readings[i].method), readings[i].replicate, readings[i].ph,
                  readings[i].ph_low, readings[i].ph_high, readings[i].temperature_c,
                  (long long)readings[i].calibration_id, (long long)readings[i].supersedes,
                  readings[i].why == NULL ? "" : readings[i].why, readings[i].withdrawn ? " withdrawn" : "");
        reading_clear(&readings[i]);
    }
    free(readings);
}

/* All that the notebook holds of a session, as lines. Given. */
static inline char *
workshop_record(struct workshop *workshop, int64_t session_id)
{
    struct failure failure = {0};
    struct text text = {0};
    struct session session;
    struct answer *answers = NULL;
    struct specimen *specimens = NULL;
    size_t count = 0;

    check_ok(session_store_find(workshop->store, session_id, &session, &failure), &failure);
    text_addf(&text, "%s, left open: %s\n", session.finished_at == MOMENT_NONE ? "open" : "finished",
              session.left_open == NULL ? "" : session.left_open);
    session_clear(&session);
    check_ok(answer_store_of_session(workshop->store, session_id, &answers, &count, &failure), &failure);
    for (size_t i = 0; i < count; i++) {
        workshop_add_answer(&text, &answers[i]);
        answer_clear(&answers[i]);
    }
    free(answers);
    check_ok(specimen_store_of_session(workshop->store, session_id, &specimens, &count, &failure), &failure);
    for (size_t i = 0; i < count; i++) {
        workshop_add_specimen(workshop, &text, &specimens[i]);
        specimen_clear(&specimens[i]);
    }
    free(specimens);
    return text_take(&text);
}

#endif
