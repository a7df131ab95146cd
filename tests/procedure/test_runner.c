/* test_runner.c - the walk-through, typed through a pipe: what was typed is what the notebook holds. */
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "folder.h"
#include "notebook.h"
#include "workshop.h"

/* soap-1pct-40c for one batch, a line a question. */
static const char whole[] = "\n"            /* boil-water */
                            "6,8\n25\n"     /* water-check */
                            "checked\n"     /* meter-check */
                            "\n"            /* sample */
                            "1,03\n"        /* soap-mass */
                            "101.97\n"      /* water-mass: 1.03 x 99 */
                            "\n"            /* dissolve */
                            "clear\n"       /* look */
                            "40.2\n"        /* solution-temperature */
                            "\n"            /* rinse */
                            "9,87 40,1\n"   /* reading 1 */
                            "9.86\n40\n"    /* reading 2 */
                            "9.88 39,9\n"   /* reading 3 */
                            "8..9 40\n"     /* paper */
                            "smells fine\n" /* remarks */
                            "\n";           /* clean-up */

/* The same up to its first reading. */
#define UP_TO_THE_READING "\n6.8 25\nchecked\n\n1\n99\n\nclear\n40\n\n"

static void
a_whole_walk_is_on_record_as_typed(void **state)
{
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    assert_true(workshop_walk(&workshop, session_id, whole));
    record = workshop_record(&workshop, session_id);
    assert_string_equal(record, "finished, left open: \n"
                                "0 boil-water 1 done nan nan||||0\n"
                                "0 water-check 1 done 6.8 nan||||0\n"
                                "0 water-check.temperature 1 done 25 nan||||0\n"
                                "0 meter-check 1 done nan nan|checked|||0\n"
                                "1 sample 1 done nan nan||||0\n"
                                "1 soap-mass 1 done 1.03 nan||||0\n"
                                "1 water-mass 1 done 101.97 nan||||0\n"
                                "1 dissolve 1 done nan nan||||0\n"
                                "1 look 1 done nan nan|clear|||0\n"
                                "1 solution-temperature 1 done 40.2 nan||||0\n"
                                "1 rinse 1 done nan nan||||0\n"
                                "1 reading 1 done 9.87 nan||||0\n"
                                "1 reading.temperature 1 done 40.1 nan||||0\n"
                                "1 reading 2 done 9.86 nan||||0\n"
                                "1 reading.temperature 2 done 40 nan||||0\n"
                                "1 reading 3 done 9.88 nan||||0\n"
                                "1 reading.temperature 3 done 39.9 nan||||0\n"
                                "1 paper 1 done 8 9||||0\n"
                                "1 paper.temperature 1 done 40 nan||||0\n"
                                "1 remarks 1 done nan nan|smells fine|||0\n"
                                "0 clean-up 1 done nan nan||||0\n"
                                "specimen 1: 1.03 g in 101.97 g\n"
                                "soap 1.03 supersedes 0 ()\n"
                                "water 101.97 supersedes 0 ()\n"
                                "meter 1: ph 9.87 nan..nan at 40.1, calibration 0, supersedes 0 ()\n"
                                "meter 2: ph 9.86 nan..nan at 40, calibration 0, supersedes 0 ()\n"
                                "meter 3: ph 9.88 nan..nan at 39.9, calibration 0, supersedes 0 ()\n"
                                "paper 1: ph nan 8..9 at 40, calibration 0, supersedes 0 ()\n");
    free(record);
    check_contains(workshop.said, "Before you begin:");
    check_contains(workshop.said, "Wear gloves and goggles");
    check_contains(workshop.said, "Add 101.97 g of water to 1.03 g of soap: 1 %.");
    check_contains(workshop.said, "no good calibration of the last day");
    check_contains(workshop.said, "next: curetrace verdict W-07");
    check_lacks(workshop.said, "Above the limit");
    workshop_close(&workshop);
}

static void
two_batches_share_the_session_steps(void **state)
{
    static const char typed[] = "\n6.8 25\nchecked\n"
                                "\n1\n99\n\nclear\n40\n\n9.5 40\n9.5 40\n9.5 40\n9..10 40\n\n"
                                "\n1.1\n108.9\n\nclear\n40\n\n11.31 40\n11.32 40\n11.30 40\n11..12 40\n\n"
                                "\n";
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 2);
    assert_true(workshop_walk(&workshop, session_id, typed));
    record = workshop_record(&workshop, session_id);
    check_contains(record, "specimen 1: 1 g in 99 g\n");
    check_contains(record, "specimen 2: 1.1 g in 108.9 g\n");
    check_contains(record, "2 reading 3 done 11.3 nan");
    check_contains(workshop.said, "== Bar 1 of 2: W-07 ==");
    check_contains(workshop.said, "== Bar 2 of 2: W-08, bar middle ==");
    check_contains(workshop.said, "! Above the limit of 11: handle bar and solution as lye");
    check_contains(workshop.said, "next: curetrace verdict W-07 W-08");
    free(record);
    workshop_close(&workshop);
}

static void
slips_are_asked_again_and_leave_no_trace(void **state)
{
    static const char slips[] = "what\n\n"                /* boil-water */
                                "15\nsix\n6,8\n200\n25\n" /* water-check */
                                "perhaps\nch\n"           /* meter-check */
                                "\n"                      /* sample */
                                "0\n-1\n1,0,3\n1,03\n101.97\n\nclear\n40.2\n\n"
                                "9, 87\n987\nhelp\n9,87 40,1\n9.86\nwarm\n40\n9.88 39,9\n"
                                "8\n8..20\n8..9 40\nsmells fine\n\n";
    struct workshop workshop;
    int64_t smooth, bumpy;
    char *expected, *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    smooth = workshop_begin(&workshop, 1);
    assert_true(workshop_walk(&workshop, smooth, whole));
    expected = workshop_record(&workshop, smooth);
    workshop_close(&workshop);
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    bumpy = workshop_begin(&workshop, 1);
    assert_true(workshop_walk(&workshop, bumpy, slips));
    record = workshop_record(&workshop, bumpy);
    assert_string_equal(record, expected);
    check_contains(workshop.said, "a pH of 15 cannot be, allowed is 0 to 14");
    check_contains(workshop.said, "200 degC cannot be, allowed is 0 to 100 degC");
    check_contains(workshop.said, "20 is not printed on 'strips'");
    free(record);
    free(expected);
    workshop_close(&workshop);
}

static void
deviations_are_kept_with_their_reason(void **state)
{
    static const char typed[] = "in air for an hour\n25\n"            /* water-check, pH 5.5 */
                                "not checked\nbuffers used up\n"      /* meter-check */
                                "\n1.5\ncut in a hurry\n"             /* sample, soap-mass */
                                "140\n\nno more water\n\n"            /* water-mass, dissolve */
                                "cloudy\ncoconut bar\n"               /* look */
                                "36\ncooled on the way\n\n"           /* solution-temperature, rinse */
                                "9.87 36\nthe same\n9.9 40\n9.9 40\n" /* reading */
                                "8..9\n40\n\n\n";                     /* paper, remarks, clean-up */
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    /* "back" at the question for the reason leads to the value; Enter keeps it, and the reason is asked. */
    assert_false(workshop_walk(&workshop, session_id, "\n5.5\nback\n\n\n"));
    assert_true(workshop_walk(&workshop, session_id, typed));
    record = workshop_record(&workshop, session_id);
    check_contains(record, "0 water-check 1 done 5.5 nan||5.5 pH is outside 6.2 to 7.2 pH||0\n");
    check_contains(record,
                   "0 water-check 1 done 5.5 nan||5.5 pH is outside 6.2 to 7.2 pH|in air for an hour|2\n");
    check_contains(record,
                   "meter-check 1 done nan nan|not checked|not checked, expected checked|buffers used up|");
    check_contains(record, "soap-mass 1 done 1.5 nan||1.5 g is outside 0.8 to 1.2 g|cut in a hurry|");
    check_contains(record,
                   "water-mass 1 done 140 nan||1.5 g of soap and 140 g of water make 1.06 %, outside 0.98 "
                   "to 1.02 %|");
    free(record);
    workshop_close(&workshop);
}

static void
back_corrects_and_erases_nothing(void **state)
{
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    assert_false(workshop_walk(&workshop, session_id, "\n6,8 25\nchecked\n\n1.03\nback\n\n1.05\n"));
    record = workshop_record(&workshop, session_id);
    check_contains(record, "1 soap-mass 1 done 1.03 nan||||0\n"
                           "1 soap-mass 1 done 1.05 nan|||typed wrongly|6\n");
    check_contains(record, "specimen 1: 1.05 g in nan g\n"
                           "soap 1.03 supersedes 0 ()\n"
                           "soap 1.05 supersedes 1 (typed wrongly)\n");
    free(record);
    check_contains(workshop.said, "Back at soap mass of W-07, which was: 1.03 g");
    check_contains(workshop.said, "Add 103.95 g of water to 1.05 g of soap");

    /* A reading is one step back, its pH and then its temperature, of which Enter keeps either. */
    assert_false(workshop_walk(&workshop, session_id,
                               "103.95\n\nclear\n40\n\n9,78 40,1\nback\nread again\n9.87\n\n"
                               "back\n\n\n40.3\n"));
    check_contains(workshop.said, "Back at reading 1 of W-07, which was: pH 9.78 at 40.1 degC");
    check_contains(workshop.said, "Back at reading 1 of W-07, which was: pH 9.87 at 40.1 degC");
    record = workshop_record(&workshop, session_id);
    check_contains(record,
                   "meter 1: ph 9.78 nan..nan at 40.1, calibration 0, supersedes 0 ()\n"
                   "meter 1: ph 9.87 nan..nan at 40.1, calibration 0, supersedes 1 (read again)\n"
                   "meter 1: ph 9.87 nan..nan at 40.3, calibration 0, supersedes 2 (typed wrongly)\n");
    free(record);

    /* Left out after all: the reading is withdrawn. Enter alone keeps what is there. */
    assert_false(workshop_walk(&workshop, session_id, "back\nbubble\nskip glass was dry\nback\n\n\n"));
    record = workshop_record(&workshop, session_id);
    check_contains(
        record, "meter 1: ph nan nan..nan at nan, calibration 0, supersedes 3 (glass was dry) withdrawn\n");
    check_contains(record, "1 reading 1 skipped nan nan|||glass was dry|");
    free(record);

    /* What was weighed is not left out any more. */
    assert_false(workshop_walk(&workshop, session_id, "back\nback\nback\nback\n\nskip\nno\n\n"));
    check_contains(workshop.said, "what was weighed can be corrected, but not left out any more");
    workshop_close(&workshop);
}

static void
a_temperature_is_repeated_by_enter(void **state)
{
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    /* Not for the first reading, whose cup was not read before; 9.87 alone, then Enter; 8..9, then Enter. */
    assert_false(workshop_walk(&workshop, session_id,
                               "\n6.8\n25\nchecked\n\n1\n99\n\nclear\n40\n\n9.9\n\n40,1\n9.87\n\n"
                               "9.88 39.9\n8..9\n\n"));
    check_contains(workshop.said, "reading 1 of 3, its temperature, degC: \n  a number is missing\n");
    check_contains(workshop.said, "reading 2 of 3, its temperature, degC (Enter: 40.1 again):");
    check_contains(workshop.said, "  kept: pH 9.90\n");
    check_contains(workshop.said, "    3 readings of the same cup, one after the other.\n");
    record = workshop_record(&workshop, session_id);
    check_contains(record, "meter 2: ph 9.87 nan..nan at 40.1,");
    check_contains(record, "paper 1: ph nan 8..9 at 39.9,");
    free(record);
    workshop_close(&workshop);
}

static void
what_is_kept_is_said_as_the_gear_shows_it(void **state)
{
    struct workshop workshop;
    int64_t session_id;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    /* 1.03 oz is 29.2000 g: international avoirdupois ounce, 28.349523125 g. */
    assert_false(
        workshop_walk(&workshop, session_id,
                      "skip kettle broke\nskip\nno blank\nchecked\n\n1.03oz\nlarge cup\nskip no water\n"));
    check_contains(workshop.said, "  kept: left out (kettle broke)\n");
    check_contains(workshop.said, "  kept: left out (no blank)\n");
    check_contains(workshop.said, "  kept: 29.20 g (1.03oz)\n");
    check_contains(workshop.said, "  kept: left out (no water)\n");
    workshop_close(&workshop);
}

static void
a_session_that_goes_on_is_introduced_in_short(void **state)
{
    struct workshop workshop;
    int64_t session_id;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 2);
    assert_false(workshop_walk(&workshop, session_id, UP_TO_THE_READING "9.9 40\n9.88 40\nhelp\n"));
    check_contains(workshop.said, "Before you begin:");
    check_contains(workshop.said, "  The method: A portion of soap");
    check_contains(workshop.said, "  Follows: Common practice");
    assert_false(workshop_walk(&workshop, session_id, "?\n"));
    check_contains(workshop.said, "Session 1: pH of a 1 % soap solution at 40 degC\n  W-07 W-08, begun "
                                  "2026-03-04T10:00; kept last: pH 9.88 at 40 degC, reading");
    check_contains(workshop.said, "Cautions as before (help shows all): Wear gloves and goggles");
    check_lacks(workshop.said, "Before you begin:");
    check_contains(workshop.said, "  ! Never taste-test soap"); /* by help */
    workshop_close(&workshop);
}

static void
back_has_a_first_question(void **state)
{
    struct workshop workshop;
    int64_t session_id;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    assert_false(workshop_walk(&workshop, session_id, "back\n\nback\n6.8\nback\nback\n\n6.9\nquit\n"));
    check_contains(workshop.said, "there is no answer before this one");
    check_contains(workshop.said, "Back at water check, which was: pH 6.80");
    workshop_close(&workshop);
}

static void
notes_and_gaps_are_on_record(void **state)
{
    static const char typed[] = "note kettle is new\n\nskip meter in use\nchecked\n"
                                "\n1\nnote\ndraught at the scale\n99\n\nclear\n40\n\n"
                                "9.5\nskip thermometer broke\n9.5 40\nskip\nbattery empty\nskip\n\n\n\n";
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    assert_true(workshop_walk(&workshop, session_id, typed));
    record = workshop_record(&workshop, session_id);
    check_contains(record,
                   "finished, left open: water check (meter in use); temperature of reading 1 of W-07 "
                   "(thermometer broke); reading 3 of W-07 (battery empty)\n");
    check_contains(record, "0 boil-water 1 noted nan nan|kettle is new|||0\n");
    check_contains(record, "1 water-mass 1 noted nan nan|draught at the scale|||0\n");
    check_contains(record, "1 paper 1 skipped nan nan|||optional|0\n");
    check_contains(record, "meter 1: ph 9.5 nan..nan at nan, calibration 0");
    check_lacks(record, "meter 3:");
    check_lacks(record, "water-check.temperature");
    free(record);
    workshop_close(&workshop);
}

static void
a_finished_session_is_not_walked_again(void **state)
{
    struct prompt prompt = {.now = workshop_now};
    struct failure failure = {0};
    struct workshop workshop;
    struct runner runner;
    int64_t session_id;
    bool finished = false;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    assert_true(workshop_walk(&workshop, session_id, whole));
    runner = (struct runner){.store = workshop.store, .prompt = &prompt};
    check_refused(runner_walk(&runner, session_id, &finished, &failure), STATUS_CONFLICT, &failure);
    check_refused(runner_walk(&runner, 99, &finished, &failure), STATUS_MISSING, &failure);
    workshop_close(&workshop);
}

/* The end of line number `count` of a text. */
static const char *
after_lines(const char *text, int count)
{
    for (; count > 0 && *text != '\0'; text++)
        if (*text == '\n')
            count--;
    return text;
}

static int
lines_in(const char *text)
{
    int count = 0;

    for (; *text != '\0'; text++)
        if (*text == '\n')
            count++;
    return count;
}

/* Some lines outside the tolerances, so that reasons are asked as well. */
static const char rough[] =
    "\n5.5\nin air\n25\nnot checked\nno buffers\n\n1.5\nin a hurry\nnote cold\n148.5\n\ncloudy\n"
    "coconut\n36\ncooled\n\n9,87 36\nas above\n9.86\n40\nskip battery\n8..9\n40\n\n\n";

static void
a_walk_may_be_left_at_every_question(void **state)
{
    struct workshop workshop;
    char *expected, *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    assert_true(workshop_walk(&workshop, workshop_begin(&workshop, 1), rough));
    expected = workshop_record(&workshop, 1);
    workshop_close(&workshop);
    for (int count = 0; count < lines_in(rough); count++) {
        char *first = text_format("%.*squit\n", (int)(after_lines(rough, count) - rough), rough);

        workshop_open(&workshop, ":memory:", "soap-1pct-40c");
        assert_int_equal(workshop_begin(&workshop, 1), 1);
        assert_false(workshop_walk(&workshop, 1, first));
        check_contains(workshop.said, "Session 1 is kept as far as it went.\nnext: curetrace resume 1\n");
        assert_true(workshop_walk(&workshop, 1, after_lines(rough, count)));
        record = workshop_record(&workshop, 1);
        assert_string_equal(record, expected);
        free(record);
        free(first);
        workshop_close(&workshop);
    }
    free(expected);
}

/* A stream that gives `count` lines of the rough walk, one a read, and then kills the process. */
struct deadly {
    const char *rest;
    int count;
};

static ssize_t
read_or_die(void *cookie, char *bytes, size_t size)
{
    struct deadly *deadly = cookie;
    size_t length = (size_t)(after_lines(deadly->rest, 1) - deadly->rest);

    if (deadly->count-- == 0)
        kill(getpid(), SIGKILL);
    assert_true(length <= size);
    memcpy(bytes, deadly->rest, length);
    deadly->rest += length;
    return (ssize_t)length;
}

/* In a process of its own: begin and walk until killed. */
static void
walk_and_die(const char *path, int count)
{
    struct deadly deadly = {rough, count};
    struct prompt prompt = {.now = workshop_now};
    struct failure failure = {0};
    struct workshop workshop;
    struct runner runner;
    bool finished = false;

    workshop_open(&workshop, path, "soap-1pct-40c");
    prompt.in = fopencookie(&deadly, "r", (cookie_io_functions_t){.read = read_or_die});
    prompt.out = fopen("/dev/null", "w");
    runner = (struct runner){.store = workshop.store, .prompt = &prompt};
    check_ok(runner_walk(&runner, workshop_begin(&workshop, 1), &finished, &failure), &failure);
    _exit(0);
}

static void
a_walk_goes_on_after_kill_9_at_every_question(void **state)
{
    struct folder *folder = *state;
    struct failure failure = {0};
    struct workshop workshop;
    char *expected, *record;

    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    assert_true(workshop_walk(&workshop, workshop_begin(&workshop, 1), rough));
    expected = workshop_record(&workshop, 1);
    workshop_close(&workshop);
    for (int count = 0; count < lines_in(rough); count++) {
        char *path = text_format("%s/%d.sqlite", folder->path, count);
        struct workshop later = {0};
        int how = 0;
        pid_t child = fork();

        if (child == 0)
            walk_and_die(path, count);
        assert_int_equal(waitpid(child, &how, 0), child);
        assert_true(WIFSIGNALED(how) && WTERMSIG(how) == SIGKILL);
        check_ok(notebook_open(path, STORE_WRITE, &later.store, NULL, &failure), &failure);
        assert_true(workshop_walk(&later, 1, after_lines(rough, count)));
        record = workshop_record(&later, 1);
        assert_string_equal(record, expected);
        free(record);
        workshop_close(&later);
        free(path);
    }
    free(expected);
}

static void
readings_name_the_calibration_in_force(void **state)
{
    struct calibration calibration = {.purpose = CALIBRATION_ADJUST,
                                      .verdict = CALIBRATION_ACCEPTED,
                                      .taken_at = WORKSHOP_NOW - 3600,
                                      .declared = true,
                                      .slope_percent = NAN,
                                      .offset_mv = NAN};
    struct failure failure = {0};
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    calibration.meter_id = workshop.meter.id;
    check_ok(calibration_store_add(workshop.store, &calibration, &failure), &failure);
    session_id = workshop_begin(&workshop, 1);
    assert_true(workshop_walk(&workshop, session_id, whole));
    record = workshop_record(&workshop, session_id);
    check_contains(record, "meter 1: ph 9.87 nan..nan at 40.1, calibration 1, supersedes 0");
    check_contains(workshop.said, "Meter 'bench': calibration of 2026-03-04T09:00, accepted.");
    check_lacks(workshop.said, "no good calibration");
    free(record);
    workshop_close(&workshop);
}

static void
paper_alone_and_waits_work(void **state)
{
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "paper-only");
    session_id = workshop_begin(&workshop, 1);
    assert_true(workshop_walk(&workshop, session_id, "\nnear\n1\n99\n\nclear\n40\n8..9 40\n8..9 40\n\n"));
    record = workshop_record(&workshop, session_id);
    check_contains(record, "paper 2: ph nan 8..9 at 40");
    free(record);
    workshop_close(&workshop);
    workshop_open(&workshop, ":memory:", "soap-1pct-room");
    session_id = workshop_begin(&workshop, 1);
    assert_true(
        workshop_walk(&workshop, session_id,
                      "\n6.8 25\nchecked\n\n1\n99\n\nclear\n23\n\n9.0 23\n9.0 23\n9.0 23\n8..9 23\n\n\n"));
    record = workshop_record(&workshop, session_id);
    check_contains(record, "1 cool 1 done nan nan|1200 s, not timed here|||0\n");
    check_contains(workshop.said, "1200 s: taken as done, because nobody waits at a pipe");
    free(record);
    workshop_close(&workshop);
}

static void
a_meter_is_held_against_its_buffers(void **state)
{
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "meter-check");
    session_id = workshop_begin(&workshop, 0);
    /* phosphate 6.865 and borax 9.180 at 25 degC: pH(S) tables, see reference/buffers.csv */
    assert_true(workshop_walk(&workshop, session_id, "\n6.88 25\n9.30 25\nold bottle\nskip none here\n\n"));
    record = workshop_record(&workshop, session_id);
    check_contains(record, "0 neutral.temperature 1 done 25 nan||||0\n");
    check_contains(
        record, "0 borax.temperature 1 done 25 nan||pH 9.3 is not within 0.05 of the borax buffer's 9.18 at "
                "25 degC|old bottle|");
    check_contains(record, "finished, left open: \n");
    free(record);
    workshop_close(&workshop);
}

/* By hand: u = d / sqrt(6) for a mass that is the difference of two readings (JCGM 100, F.2.2.1), so
 * u(w) = 0.99005 u / m in percent; 2 u(w) = 0.02 gives m = 99.005 x 0.1 / sqrt(6) = 4.04 g, which the balance
 * shows as 4.1 g at least. 1.03 x 99 = 101.97. */
static void
a_coarse_balance_is_told_and_rounds_the_water(void **state)
{
    struct workshop workshop;
    struct bench_bar bar;
    struct bench_setup setup;
    struct failure failure = {0};
    int64_t session_id = 0;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    bar = (struct bench_bar){workshop.batch_ids[0], NULL};
    gear_clear(&workshop.balance);
    gear_init(&workshop.balance, GEAR_BALANCE);
    workshop.balance.name = memory_copy("kitchen");
    workshop.balance.readability_g = 0.1;
    workshop.balance.added_at = WORKSHOP_NOW;
    check_ok(gear_store_add(workshop.store, &workshop.balance, &failure), &failure);
    setup = workshop_setup(&workshop, &bar, 1);
    check_ok(bench_begin(workshop.store, &setup, WORKSHOP_NOW, &session_id, &failure), &failure);
    assert_false(workshop_walk(&workshop, session_id, "\n6.8 25\nchecked\n\n1.03\n"));
    check_contains(workshop.said, "Balance 'kitchen' reads to 0.1 g: it holds 1 +/- 0.02 % only\n"
                                  "    with 4.1 g of soap or more.\n");
    check_contains(workshop.said, "Add 102.0 g of water to 1.03 g of soap: 1 %.");
    workshop_close(&workshop);
}

/* Fails at first, then does its work. */
static enum status
count_calls(void *data, int64_t meter_id, enum runner_calibrated *ret_calibrated, struct failure *failure)
{
    int *calls = data;

    assert_true(meter_id > 0);
    (*calls)++;
    if (*calls == 1)
        return failure_set(failure, STATUS_RANGE, "slope is 50 %%");
    *ret_calibrated = RUNNER_CALIBRATED_WELL;
    return STATUS_OK;
}

/* Walk what is typed with a runner of one's own. */
static enum status
walk_with(struct workshop *workshop, struct runner runner, int64_t session_id, const char *typed,
          struct failure *failure)
{
    struct prompt prompt = {.now = workshop_now};
    bool finished = false;
    enum status status;
    size_t size;

    free(workshop->said);
    prompt.in = tmpfile();
    fputs(typed, prompt.in);
    rewind(prompt.in);
    prompt.out = open_memstream(&workshop->said, &size);
    runner.store = workshop->store;
    runner.prompt = &prompt;
    status = runner_walk(&runner, session_id, &finished, failure);
    fclose(prompt.in);
    fclose(prompt.out);
    return status;
}

static void
the_meter_may_be_calibrated_on_the_way(void **state)
{
    struct failure failure = {0};
    struct workshop workshop;
    int calls = 0;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    check_ok(walk_with(&workshop, (struct runner){.calibrate = count_calls, .data = &calls},
                       workshop_begin(&workshop, 1), "\n6.8 25\ncalibrate\nc\nca\n", &failure),
             &failure);
    assert_int_equal(calls, 2);
    check_contains(workshop.said, "  slope is 50 %\n");
    check_contains(workshop.said, "'c' could be checked or calibrate: one more letter");
    check_contains(workshop.said, "  kept: checked\n"); /* and not asked again */
    check_contains(workshop.said, "Cut thin slices");
    workshop_close(&workshop);
}

static enum status
quit_calibrating(void *data, int64_t meter_id, enum runner_calibrated *ret_calibrated,
                 struct failure *failure)
{
    (void)data;
    (void)meter_id;
    (void)failure;
    *ret_calibrated = RUNNER_CALIBRATED_QUIT;
    return STATUS_OK;
}

static void
quit_while_calibrating_leaves_the_walk(void **state)
{
    struct failure failure = {0};
    struct workshop workshop;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    check_ok(walk_with(&workshop, (struct runner){.calibrate = quit_calibrating},
                       workshop_begin(&workshop, 1), "\n6.8 25\ncalibrate\nchecked\n", &failure),
             &failure);
    check_contains(workshop.said, "next: curetrace resume 1");
    check_lacks(workshop.said, "kept: checked");
    workshop_close(&workshop);
}

/* What a batch's readings are when the runner says that one was filed. */
struct judge {
    struct workshop *workshop;
    int calls;
    bool fail;
};

static enum status
judge_reading(void *data, int64_t batch_id, char **ret_words, struct failure *failure)
{
    struct judge *judge = data;

    assert_int_equal(batch_id, judge->workshop->batch_ids[0]);
    judge->calls++;
    if (judge->fail)
        return failure_set(failure, STATUS_SYSTEM, "the disk is full");
    *ret_words = text_format("judged %d", judge->calls);
    return STATUS_OK;
}

static void
every_reading_is_judged_with_its_filing(void **state)
{
    struct failure failure = {0};
    struct workshop workshop;
    struct judge judge = {.workshop = &workshop};
    struct runner runner = {.after_reading = judge_reading, .data = &judge};
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    check_ok(walk_with(&workshop, runner, session_id, UP_TO_THE_READING "9.87 40,1\n", &failure), &failure);
    check_contains(workshop.said, "  kept: 40.1 degC\n  ! judged 1\n");

    /* Above the limit it is a reading, and judged, before its temperature is asked. */
    check_ok(walk_with(&workshop, runner, session_id, "11.42\n", &failure), &failure);
    check_contains(workshop.said, "keep the batch held.\n  ! judged 2\n");
    record = workshop_record(&workshop, session_id);
    check_contains(record, "meter 2: ph 11.42 nan..nan at nan, calibration 0, supersedes 0 ()\n");
    free(record);
    check_ok(walk_with(&workshop, runner, session_id, "40\n", &failure), &failure);
    check_contains(workshop.said, "  ! judged 3\n");
    record = workshop_record(&workshop, session_id);
    check_contains(record,
                   "meter 2: ph 11.42 nan..nan at 40, calibration 0, supersedes 2 (its temperature was "
                   "measured)\n");
    free(record);

    /* Both on one line are one reading. */
    check_ok(walk_with(&workshop, runner, session_id, "11.40 40\n", &failure), &failure);
    record = workshop_record(&workshop, session_id);
    check_contains(record, "meter 3: ph 11.4 nan..nan at 40, calibration 0, supersedes 0 ()\n");
    free(record);
    workshop_close(&workshop);
}

static void
a_reading_that_cannot_be_judged_is_not_said_to_be_kept(void **state)
{
    struct failure failure = {0};
    struct workshop workshop;
    struct judge judge = {.workshop = &workshop, .fail = true};
    struct runner runner = {.after_reading = judge_reading, .data = &judge};
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    check_refused(walk_with(&workshop, runner, session_id, UP_TO_THE_READING "11.42 40\n", &failure),
                  STATUS_SYSTEM, &failure);
    check_lacks(workshop.said, "kept: pH 11.4");
    record = workshop_record(&workshop, session_id);
    check_lacks(record, "1 reading 1");
    free(record);
    workshop_close(&workshop);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_whole_walk_is_on_record_as_typed),
    cmocka_unit_test(two_batches_share_the_session_steps),
    cmocka_unit_test(slips_are_asked_again_and_leave_no_trace),
    cmocka_unit_test(deviations_are_kept_with_their_reason),
    cmocka_unit_test(back_corrects_and_erases_nothing),
    cmocka_unit_test(a_temperature_is_repeated_by_enter),
    cmocka_unit_test(what_is_kept_is_said_as_the_gear_shows_it),
    cmocka_unit_test(a_session_that_goes_on_is_introduced_in_short),
    cmocka_unit_test(back_has_a_first_question),
    cmocka_unit_test(notes_and_gaps_are_on_record),
    cmocka_unit_test(a_finished_session_is_not_walked_again),
    cmocka_unit_test(a_walk_may_be_left_at_every_question),
    cmocka_unit_test_setup_teardown(a_walk_goes_on_after_kill_9_at_every_question, folder_make,
                                    folder_remove),
    cmocka_unit_test(readings_name_the_calibration_in_force),
    cmocka_unit_test(paper_alone_and_waits_work),
    cmocka_unit_test(a_meter_is_held_against_its_buffers),
    cmocka_unit_test(the_meter_may_be_calibrated_on_the_way),
    cmocka_unit_test(quit_while_calibrating_leaves_the_walk),
    cmocka_unit_test(every_reading_is_judged_with_its_filing),
    cmocka_unit_test(a_reading_that_cannot_be_judged_is_not_said_to_be_kept),
    cmocka_unit_test(a_coarse_balance_is_told_and_rounds_the_water),
};

const struct check_module test_procedure_runner = CHECK_MODULE("procedure/runner", tests);
