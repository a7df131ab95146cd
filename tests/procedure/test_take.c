/* test_take.c - a walk without a screen: one answer, one transaction, what follows. */
#include <sqlite3.h>

#include "batch_case.h"
#include "folder.h"
#include "observation_store.h"
#include "take.h"
#include "text.h"
#include "workshop.h"

/* What one answer was said to become. */
static enum taken_what
give(struct walk *walk, enum given_what what, const char *step, size_t cup, int replicate, const char *words)
{
    const struct question *question = walk_question(walk, step, cup, replicate);
    const struct answer *stands = walk_answer(walk, question);
    struct given given = {what,  step, cup,         replicate, stands == NULL ? 0 : stands->id,
                          words, -1,   WORKSHOP_NOW};
    struct failure failure = {0};
    struct taken taken;
    enum taken_what became;

    check_ok(walk_take(walk, &given, &taken, &failure), &failure);
    became = taken.what;
    taken_clear(&taken);
    return became;
}

static void
keep(struct walk *walk, const char *step, size_t cup, const char *words)
{
    assert_int_equal(give(walk, GIVEN_ANSWER, step, cup, 1, words), TAKEN_KEPT);
}

static void
stand(struct workshop *workshop, size_t cups, struct walk *walk)
{
    struct failure failure = {0};

    check_ok(walk_standing(workshop->store, workshop_begin(workshop, cups), walk, &failure), &failure);
}

/* Everything that comes before a cup's first reading. */
static void
reach_the_reading(struct walk *walk, size_t cups)
{
    static const char *const cup_steps[][2] = {{"sample", ""},
                                               {"bar-look", "nothing of it"},
                                               {"soap-mass", "1"},
                                               {"water-mass", "99"},
                                               {"dissolve", ""},
                                               {"look", "clear"},
                                               {"solution-temperature", "40"},
                                               {"rinse", ""}};

    keep(walk, "boil-water", QUESTION_SESSION, "");
    keep(walk, "water", QUESTION_SESSION, "distilled");
    keep(walk, "water-check", QUESTION_SESSION, "6.8 25");
    keep(walk, "meter-check", QUESTION_SESSION, "yes");
    for (size_t cup = 0; cup < cups; cup++)
        for (size_t i = 0; i < LENGTH(cup_steps); i++)
            keep(walk, cup_steps[i][0], cup, cup_steps[i][1]);
}

/* What is said of an answer at a moment; given. */
static char *
said_at(struct walk *walk, const char *step, const char *words, civil_time at)
{
    struct given given = {GIVEN_ANSWER, step, QUESTION_SESSION, 1, 0, words, -1, at};
    struct failure failure = {0};
    struct text said = {0};
    struct taken taken;

    check_ok(walk_take(walk, &given, &taken, &failure), &failure);
    for (size_t i = 0; i < taken.said.count; i++)
        text_addf(&said, "%s\n", taken.said.items[i].text);
    taken_clear(&taken);
    return text_take(&said);
}

static void
a_clock_that_goes_back_is_said_once(void **state)
{
    struct workshop workshop;
    struct walk walk;
    char *first, *back, *on;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    stand(&workshop, 1, &walk);
    first = said_at(&walk, "boil-water", "", WORKSHOP_NOW);
    back = said_at(&walk, "water", "distilled", WORKSHOP_NOW - 3600);
    on = said_at(&walk, "water-check", "6.8 25", WORKSHOP_NOW - 3590);
    check_lacks(first, "is the clock right?");
    check_contains(back, "before the one filed last");
    check_contains(back, "is the clock right?");
    check_lacks(on, "is the clock right?");
    free(first);
    free(back);
    free(on);
    walk_clear(&walk);
    workshop_close(&workshop);
}

static void
cups_are_answered_in_any_order_that_one_cup_allows(void **state)
{
    struct workshop workshop;
    struct walk walk;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    stand(&workshop, 2, &walk);
    assert_int_equal(give(&walk, GIVEN_ANSWER, "soap-mass", 1, 1, "1"), TAKEN_REFUSED);
    keep(&walk, "boil-water", QUESTION_SESSION, "");
    keep(&walk, "water", QUESTION_SESSION, "distilled");
    keep(&walk, "water-check", QUESTION_SESSION, "6.8 25");
    keep(&walk, "meter-check", QUESTION_SESSION, "checked");
    keep(&walk, "sample", 1, ""); /* the second cup first */
    keep(&walk, "bar-look", 1, "nothing of it");
    keep(&walk, "soap-mass", 1, "1");
    assert_int_equal(give(&walk, GIVEN_ANSWER, "dissolve", 1, 1, ""), TAKEN_REFUSED); /* no water in it */
    keep(&walk, "water-mass", 1, "99");
    keep(&walk, "dissolve", 1, "");
    assert_int_equal(walk_question(&walk, "sample", 0, 1)->standing, STANDING_OPEN);
    assert_int_equal(give(&walk, GIVEN_ANSWER, "clean-up", QUESTION_SESSION, 1, ""), TAKEN_REFUSED);
    walk_clear(&walk);
    workshop_close(&workshop);
}

static void
the_table_behind_an_answer_is_the_one_in_the_notebook(void **state)
{
    static const char *const readings[] = {"9.5 40", "9.6", "9.7 36"};
    struct failure failure = {0};
    struct workshop workshop;
    struct walk walk, again;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    stand(&workshop, 2, &walk);
    reach_the_reading(&walk, 2);
    for (int i = 0; i < 3; i++)
        give(&walk, GIVEN_ANSWER, "reading", 0, i + 1, readings[i]);
    give(&walk, GIVEN_CORRECTION, "soap-mass", 0, 1, "1.1");
    give(&walk, GIVEN_LEFT_OUT, "reading", 1, 1, "glass broke");
    give(&walk, GIVEN_NOTE, "reading", 1, 2, "a new glass");
    check_ok(walk_standing(workshop.store, 1, &again, &failure), &failure);
    assert_int_equal(again.question_count, walk.question_count);
    assert_int_equal(again.answer_count, walk.answer_count);
    for (size_t i = 0; i < walk.question_count; i++) {
        const struct answer *here = walk_answer(&walk, &walk.questions[i]);
        const struct answer *there = walk_answer(&again, &again.questions[i]);

        assert_int_equal(again.questions[i].standing, walk.questions[i].standing);
        assert_int_equal(here == NULL ? 0 : here->id, there == NULL ? 0 : there->id);
    }
    check_close(again.bench.specimens[0].soap_mass_g, 1.1, 0, "as typed");
    check_close(walk.bench.specimens[0].soap_mass_g, 1.1, 0, "as typed");
    assert_int_equal(walk_question(&again, "reading", 0, 2)->standing, STANDING_TEMPERATURE);
    assert_int_equal(walk_question(&again, "reading", 0, 3)->standing, STANDING_REASON);
    assert_int_equal(walk_question(&again, "reading", 1, 1)->standing, STANDING_LEFT_OUT);
    walk_clear(&again);
    walk_clear(&walk);
    workshop_close(&workshop);
}

static enum batch_state
state_of(struct workshop *workshop)
{
    struct failure failure = {0};
    struct batch batch = {0};
    enum batch_state state;

    check_ok(batch_store_find(workshop->store, "W-07", &batch, &failure), &failure);
    state = batch.state;
    batch_clear(&batch);
    return state;
}

static void
every_reading_is_judged_with_its_filing(void **state)
{
    struct failure failure = {0};
    struct workshop workshop;
    struct given given = {GIVEN_ANSWER, "reading", 0, 1, 0, "11.42", -1, WORKSHOP_NOW};
    struct taken taken;
    struct walk walk;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    stand(&workshop, 1, &walk);
    reach_the_reading(&walk, 1);
    assert_int_equal(state_of(&workshop), BATCH_IN_CURE);

    /* Alone it is a reading, and holds its batch, before its temperature is known. */
    check_ok(walk_take(&walk, &given, &taken, &failure), &failure);
    assert_int_equal(taken.what, TAKEN_ASKED_BACK);
    assert_int_equal(taken.said.count, 3);
    assert_string_equal(taken.said.items[0].text, "kept: pH 11.42");
    assert_int_equal(taken.said.items[1].kind, SENTENCE_CAUTION);
    check_contains(taken.said.items[1].text, "Above the limit of 11: handle bar and solution as lye");
    check_contains(taken.said.items[2].text, "W-07 is held now (");
    taken_clear(&taken);
    assert_int_equal(state_of(&workshop), BATCH_HELD);
    record = workshop_record(&workshop, 1);
    check_contains(record, "meter 1: ph 11.42 nan..nan at nan, calibration 0, supersedes 0 ()\n");
    free(record);
    assert_int_equal(give(&walk, GIVEN_ANSWER, "reading", 0, 1, "40"), TAKEN_KEPT);
    record = workshop_record(&workshop, 1);
    check_contains(record,
                   "meter 1: ph 11.42 nan..nan at 40, calibration 0, supersedes 1 (its temperature was "
                   "measured)\n");
    free(record);

    /* Both on one line are one reading; a note and a reason are none. A slip is said at once. */
    given.replicate = 2;
    given.words = "9.40 36";
    check_ok(walk_take(&walk, &given, &taken, &failure), &failure);
    assert_int_equal(taken.what, TAKEN_ASKED_BACK);
    check_contains(taken.said.items[1].text, "The readings of this cup lie 2.02 apart, from 9.40 to 11.42");
    taken_clear(&taken);
    give(&walk, GIVEN_NOTE, "reading", 0, 2, "it was cold");
    assert_int_equal(give(&walk, GIVEN_ANSWER, "reading", 0, 2, "cold"), TAKEN_KEPT);
    record = workshop_record(&workshop, 1);
    check_contains(record, "meter 2: ph 9.4 nan..nan at 36, calibration 0, supersedes 0 ()\n");
    check_lacks(record, "meter 3");
    free(record);
    walk_clear(&walk);
    workshop_close(&workshop);
}

/* A hold that cannot be filed: another connection forbids it, as a full disk would. */
static void
a_reading_whose_hold_cannot_be_filed_is_not_kept(void **state)
{
    static const char forbid[] = "CREATE TRIGGER forbid BEFORE INSERT ON state_change "
                                 "BEGIN SELECT RAISE(ABORT, 'no'); END";
    struct folder *folder = *state;
    struct failure failure = {0};
    struct workshop workshop;
    struct given given = {GIVEN_ANSWER, "reading", 0, 1, 0, "11.42 40", -1, WORKSHOP_NOW};
    struct taken taken;
    struct walk walk;
    sqlite3 *handle = NULL;
    char *record, *path = text_format("%s/forbidden.sqlite", folder->path);

    workshop_open(&workshop, path, "soap-1pct-40c");
    stand(&workshop, 1, &walk);
    reach_the_reading(&walk, 1);
    assert_int_equal(sqlite3_open(path, &handle), SQLITE_OK);
    assert_int_equal(sqlite3_exec(handle, forbid, NULL, NULL, NULL), SQLITE_OK);
    assert_int_equal(sqlite3_close(handle), SQLITE_OK);
    assert_int_not_equal(walk_take(&walk, &given, &taken, &failure), STATUS_OK);
    assert_int_equal(taken.said.count, 0);
    taken_clear(&taken);
    record = workshop_record(&workshop, 1);
    check_lacks(record, "1 reading 1");
    check_lacks(record, "meter 1");
    free(record);
    assert_int_equal(walk_question(&walk, "reading", 0, 1)->standing, STANDING_OPEN);
    assert_int_equal(state_of(&workshop), BATCH_IN_CURE);
    walk_clear(&walk);
    workshop_close(&workshop);
    free(path);
}

/* All observations of session 1, a line each: specimen, kind, word or value, what it supersedes. Given. */
static char *
observations(struct workshop *workshop)
{
    struct observation *all = NULL;
    struct failure failure = {0};
    struct text text = {0};
    size_t count = 0;

    check_ok(observation_store_of_session(workshop->store, 1, &all, &count, &failure), &failure);
    for (size_t i = 0; i < count; i++) {
        text_addf(&text, "%lld %s %s", (long long)all[i].specimen_id, observation_kind_word(all[i].kind),
                  all[i].word == NULL ? "-" : all[i].word);
        if (!isnan(all[i].value))
            text_addf(&text, " %g", all[i].value);
        text_addf(&text, " %lld (%s)\n", (long long)all[i].supersedes, all[i].why == NULL ? "" : all[i].why);
        observation_clear(&all[i]);
    }
    free(all);
    return text.length == 0 ? memory_copy("") : text_take(&text);
}

static void
what_is_seen_is_on_record_as_observations(void **state)
{
    struct workshop workshop;
    struct walk walk;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    stand(&workshop, 1, &walk);
    keep(&walk, "boil-water", QUESTION_SESSION, "");
    assert_int_equal(give(&walk, GIVEN_ANSWER, "water", QUESTION_SESSION, 1, "other"), TAKEN_ASKED_BACK);
    keep(&walk, "water", QUESTION_SESSION, "the shop had no other");
    assert_int_equal(give(&walk, GIVEN_CORRECTION, "water", QUESTION_SESSION, 1, "dist"), TAKEN_KEPT);
    assert_int_equal(give(&walk, GIVEN_ANSWER, "water-check", QUESTION_SESSION, 1, "6.8"), TAKEN_ASKED_BACK);
    keep(&walk, "water-check", QUESTION_SESSION, "25"); /* the pH is the same: no second row */
    keep(&walk, "meter-check", QUESTION_SESSION, "yes");
    keep(&walk, "sample", 0, "");

    /* Several, and a yes or no to what may be lye; on record only with the yes. */
    assert_int_equal(give(&walk, GIVEN_ANSWER, "bar-look", 0, 1, "weeping, nothing of it"), TAKEN_REFUSED);
    assert_int_equal(give(&walk, GIVEN_ANSWER, "bar-look", 0, 1, "weep, orange"), TAKEN_ASKED_BACK);
    assert_int_equal(walk_question(&walk, "bar-look", 0, 1)->standing, STANDING_SURE);
    assert_int_equal(give(&walk, GIVEN_ANSWER, "bar-look", 0, 1, "perhaps"), TAKEN_REFUSED);
    assert_int_equal(give(&walk, GIVEN_ANSWER, "bar-look", 0, 1, "no"), TAKEN_KEPT);
    assert_int_equal(give(&walk, GIVEN_CORRECTION, "bar-look", 0, 1, "white, crumbling"), TAKEN_ASKED_BACK);
    assert_int_equal(give(&walk, GIVEN_ANSWER, "bar-look", 0, 1, "Yes"), TAKEN_KEPT);
    keep(&walk, "soap-mass", 0, "1");
    keep(&walk, "water-mass", 0, "99");
    keep(&walk, "dissolve", 0, "");
    keep(&walk, "look", 0, "residue"); /* needs no reason */
    assert_int_equal(give(&walk, GIVEN_CORRECTION, "look", 0, 1, "undissolved soap"), TAKEN_ASKED_BACK);
    assert_int_equal(give(&walk, GIVEN_LEFT_OUT, "bar-look", 0, 1, "no light"), TAKEN_KEPT);
    record = observations(&workshop);
    assert_string_equal(record, "0 water other 0 ()\n"
                                "0 water distilled 1 (corrected at once)\n"
                                "0 water-ph - 6.8 0 ()\n"
                                "1 look orange 0 ()\n"
                                "1 look crumbling 4 (corrected at once)\n"
                                "1 look white 0 ()\n"
                                "1 look lye-pockets 6 (looked at once more)\n"
                                "1 undissolved nothing 0 ()\n"
                                "1 undissolved soap 8 (corrected at once)\n"
                                "1 look - 5 (no light)\n"
                                "1 look - 7 (no light)\n");
    free(record);
    walk_clear(&walk);
    workshop_close(&workshop);
}

/* Two terminals in one session: the second answer to a question is told what stands. */
static void
nobody_corrects_what_was_not_seen(void **state)
{
    struct failure failure = {0};
    struct workshop workshop;
    struct given given = {GIVEN_ANSWER, "water-check", QUESTION_SESSION, 1, 0, "7.1 25", -1, WORKSHOP_NOW};
    struct taken taken;
    struct walk first, second;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    stand(&workshop, 1, &first);
    check_ok(walk_standing(workshop.store, 1, &second, &failure), &failure);
    keep(&first, "boil-water", QUESTION_SESSION, "");
    keep(&first, "water", QUESTION_SESSION, "distilled");
    keep(&first, "water-check", QUESTION_SESSION, "6.8 25");
    check_ok(walk_take(&second, &given, &taken, &failure), &failure);
    assert_int_equal(taken.what, TAKEN_REFUSED);
    assert_string_equal(
        taken.said.items[0].text,
        "water check was answered meanwhile, 2026-03-04T10:00: pH 6.80 at 25 degC. That stands; "
        "nothing was changed (back corrects it)");
    taken_clear(&taken);
    assert_int_equal(second.questions[walk_next(&second, WALK_NONE)].step->line,
                     walk_question(&first, "meter-check", QUESTION_SESSION, 1)->step->line);

    /* Seen now, it may be corrected; then the first one's correction of what it saw is refused. */
    assert_int_equal(give(&second, GIVEN_CORRECTION, "water-check", QUESTION_SESSION, 1, "7.1 25"),
                     TAKEN_KEPT);
    assert_int_equal(give(&first, GIVEN_CORRECTION, "water-check", QUESTION_SESSION, 1, "6.9 25"),
                     TAKEN_REFUSED);
    assert_int_equal(give(&first, GIVEN_LEFT_OUT, "water-check", QUESTION_SESSION, 1, "no water"),
                     TAKEN_KEPT);
    record = workshop_record(&workshop, 1);
    check_contains(record, "0 water-check 1 done 6.8 nan 25||||0\n"
                           "0 water-check 1 done 7.1 nan 25|||corrected at once|3\n"
                           "0 water-check 1 skipped nan nan nan|||no water|4\n");
    check_lacks(record, "6.9");
    free(record);

    /* Another question is not touched by what happened elsewhere; a finished session takes nothing more. */
    keep(&second, "meter-check", QUESTION_SESSION, "checked");
    check_ok(session_store_close(workshop.store, 1, WORKSHOP_NOW, "left", &failure), &failure);
    given.step = "sample";
    given.cup = 0;
    check_refused(walk_take(&first, &given, &taken, &failure), STATUS_CONFLICT, &failure);
    taken_clear(&taken);
    walk_clear(&first);
    walk_clear(&second);
    workshop_close(&workshop);
}

static void
a_session_is_finished_when_nothing_is_asked(void **state)
{
    struct failure failure = {0};
    struct sentences said = {0};
    struct workshop workshop;
    struct session session;
    struct walk walk;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    stand(&workshop, 1, &walk);
    check_refused(walk_finish(&walk, WORKSHOP_NOW, &said, &failure), STATUS_CONFLICT, &failure);
    reach_the_reading(&walk, 1);
    for (int i = 1; i <= 3; i++)
        assert_int_equal(give(&walk, GIVEN_LEFT_OUT, "reading", 0, i, "meter broke"), TAKEN_KEPT);
    keep(&walk, "paper", 0, "8..9 40");
    keep(&walk, "remarks", 0, "");
    keep(&walk, "clean-up", QUESTION_SESSION, "");
    check_ok(walk_finish(&walk, WORKSHOP_NOW, &said, &failure), &failure);
    assert_string_equal(sentences_find(&said, SENTENCE_NEXT)->words[0], "verdict");
    check_ok(session_store_find(workshop.store, 1, &session, &failure), &failure);
    check_contains(session.left_open, "reading 3 of W-07 (meter broke)");
    session_clear(&session);
    sentences_clear(&said);
    walk_clear(&walk);
    workshop_close(&workshop);
}

/* A wait runs while other cups are served, and while nobody looks. */
static void
a_wait_began_when_the_step_before_was_done(void **state)
{
    struct workshop workshop;
    struct walk walk;
    const struct question *cool;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-room");
    stand(&workshop, 1, &walk);
    cool = walk_question(&walk, "cool", 0, 1);
    assert_int_equal(walk_wait_left_s(&walk, cool, WORKSHOP_NOW), 1200);
    keep(&walk, "boil-water", QUESTION_SESSION, "");
    assert_int_equal(walk_wait_left_s(&walk, cool, WORKSHOP_NOW + 300), 900);
    assert_int_equal(walk_wait_left_s(&walk, cool, WORKSHOP_NOW + 5000), 0);
    assert_int_equal(walk_wait_left_s(&walk, cool, WORKSHOP_NOW - 5), 1200); /* a clock set back */
    walk_clear(&walk);
    workshop_close(&workshop);
}

/* --- how much work an answer is ------------------------------------------------------------------------------ */

static int statements;

static int
count_statement(unsigned type, void *context, void *statement, void *sql)
{
    (void)type;
    (void)context;
    (void)statement;
    if (strncmp(sql, "--", 2) != 0) /* a trigger inside of one */
        statements++;
    return 0;
}

static int
trace(sqlite3 *handle, const char **message, const void *api)
{
    (void)message;
    (void)api;
    return sqlite3_trace_v2(handle, SQLITE_TRACE_STMT, count_statement, NULL);
}

/* What it takes to load the batch's case, which judging it for a reading does once (batch_case.h). */
static int
counted_case(struct walk *walk)
{
    struct failure failure = {0};
    struct batch_case batch = {0};

    int count;

    check_ok(store_begin(walk->store, &failure),
             &failure); /* as it is done there, so that it begins nothing */
    statements = 0;
    check_ok(batch_case_open(walk->store, "W-07", &batch, &failure), &failure);
    count = statements;
    check_ok(store_end(walk->store, STATUS_OK, &failure), &failure);
    batch_case_clear(&batch);
    return count;
}

/* What an answer takes beside that. */
static int
counted(struct walk *walk, const struct given *given, bool judged)
{
    int all;

    statements = 0;
    assert_int_not_equal(give(walk, given->what, given->step, given->cup, given->replicate, given->words),
                         TAKEN_REFUSED);
    all = statements;
    return judged ? all - counted_case(walk) : all;
}

static void
an_answer_takes_few_statements(void **state)
{
    static const struct {
        struct given given;
        bool judged;
    } answers[] = {
        {{GIVEN_ANSWER, "reading", 0, 1, .words = "9.50 40"}, true},
        {{GIVEN_ANSWER, "reading", 0, 2, .words = "9.50"}, true},
        {{GIVEN_ANSWER, "reading", 0, 2, .words = "40"}, true},
        {{GIVEN_ANSWER, "reading", 0, 3, .words = "9.50 36"}, true},
        {{GIVEN_ANSWER, "reading", 0, 3, .words = "it was cold"}, false},
        {{GIVEN_ANSWER, "paper", 0, 1, .words = "8..9 40"}, true},
        {{GIVEN_CORRECTION, "look", 0, 1, .words = "gelled"}, true},
        {{GIVEN_CORRECTION, "bar-look", 0, 1, .words = "crumbling"}, true},
        {{GIVEN_CORRECTION, "reading", 0, 1, .words = "9.40 40"}, true},
        {{GIVEN_CORRECTION, "soap-mass", 0, 1, .words = "1.01"}, false},
        {{GIVEN_LEFT_OUT, "reading", 0, 1, .words = "dry glass"}, true},
        {{GIVEN_NOTE, "reading", 0, 1, .words = "a new glass"}, false},
        {{GIVEN_ANSWER, "remarks", 0, 1, .words = "smells well"}, false},
    };
    struct folder *folder = *state;
    char *path = text_format("%s/counted.sqlite", folder->path);
    struct workshop workshop;
    struct walk walk;

    assert_int_equal(sqlite3_auto_extension((void (*)(void))trace), SQLITE_OK);
    workshop_open(&workshop, path, "soap-1pct-40c");
    stand(&workshop, 1, &walk);
    reach_the_reading(&walk, 1);
    for (size_t i = 0; i < LENGTH(answers); i++) {
        int count = counted(&walk, &answers[i].given, answers[i].judged);

        if (count < 4 || count > 12)
            print_error("%s '%s': %d statements\n", answers[i].given.step, answers[i].given.words, count);
        assert_in_range(count, 4, 12); /* it began, wrote a row and its journal, and ended */
    }
    walk_clear(&walk);
    workshop_close(&workshop);
    sqlite3_reset_auto_extension();
    free(path);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(cups_are_answered_in_any_order_that_one_cup_allows),
    cmocka_unit_test(a_clock_that_goes_back_is_said_once),
    cmocka_unit_test(the_table_behind_an_answer_is_the_one_in_the_notebook),
    cmocka_unit_test(every_reading_is_judged_with_its_filing),
    cmocka_unit_test_setup_teardown(a_reading_whose_hold_cannot_be_filed_is_not_kept, folder_make,
                                    folder_remove),
    cmocka_unit_test(what_is_seen_is_on_record_as_observations),
    cmocka_unit_test(nobody_corrects_what_was_not_seen),
    cmocka_unit_test(a_session_is_finished_when_nothing_is_asked),
    cmocka_unit_test(a_wait_began_when_the_step_before_was_done),
    cmocka_unit_test_setup_teardown(an_answer_takes_few_statements, folder_make, folder_remove),
};

const struct check_module test_procedure_take = CHECK_MODULE("procedure/take", tests);
