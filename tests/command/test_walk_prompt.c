/* test_walk_prompt.c - a walk at the prompt, through a pipe: what was typed is what the notebook holds. */
#include <signal.h>
#include <sys/wait.h>
#include <unistd.h>

#include "answers.h"
#include "folder.h"
#include "notebook.h"
#include "walk_prompt.h"
#include "workshop.h"

static char *said; /* by the last walk */

static civil_time
workshop_now(void *data)
{
    (void)data;
    return WORKSHOP_NOW;
}

static int
forget(void **state)
{
    (void)state;
    free(said);
    said = NULL;
    return 0;
}

/* Walk on what a stream types; true when the session is finished. */
static bool
walk_from(struct store *store, int64_t session_id, FILE *in)
{
    struct context context = {.in = in, .store = store, .clock = workshop_now, .notebook = ":memory:"};
    struct failure failure = {0};
    bool finished = false;
    size_t size;

    free(said);
    context.out = open_memstream(&said, &size);
    check_ok(walk_prompt(&context, session_id, "", &finished, &failure), &failure);
    fclose(in);
    fclose(context.out);
    return finished;
}

static bool
walk(struct workshop *workshop, int64_t session_id, struct answers *answers)
{
    answers->store = workshop->store;
    return walk_from(workshop->store, session_id, answers_open(answers));
}

static void
a_whole_walk_is_on_record_as_typed(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    answers_usual(&answers);
    answers_add(&answers, "water-check", 1, "6,8\n25");
    answers_add(&answers, "soap-mass", 1, "1,03");
    answers_add(&answers, "water-mass", 1, "101.97"); /* 1.03 x 99 */
    answers_add(&answers, "solution-temperature", 1, "40.2");
    answers_add(&answers, "reading", 1, "9,87 40,1");
    answers_add(&answers, "reading", 1, "9.86\n40");
    answers_add(&answers, "reading", 1, "9.88 39,9");
    answers_add(&answers, "remarks", 1, "smells fine");
    assert_true(walk(&workshop, session_id, &answers));
    record = workshop_record(&workshop, session_id);
    assert_string_equal(
        record,
        "finished, left open: \n"
        "0 boil-water 1 done nan nan nan||||0\n"
        "0 water 1 done nan nan nan|distilled|||0\n"
        "0 water-check 1 done 6.8 nan nan||||0\n"
        "0 water-check 1 done 6.8 nan 25|||its temperature was measured|3\n"
        "0 meter-check 1 done nan nan nan|checked|||0\n"
        "1 sample 1 done nan nan nan||||0\n"
        "1 bar-look 1 done nan nan nan|nothing of it|||0\n"
        "1 soap-mass 1 done 1.03 nan nan||||0\n"
        "1 water-mass 1 done 101.97 nan nan||||0\n"
        "1 dissolve 1 done nan nan nan||||0\n"
        "1 look 1 done nan nan nan|clear|||0\n"
        "1 solution-temperature 1 done 40.2 nan nan||||0\n"
        "1 rinse 1 done nan nan nan||||0\n"
        "1 reading 1 done 9.87 nan 40.1||||0\n"
        "1 reading 2 done 9.86 nan nan||||0\n"
        "1 reading 2 done 9.86 nan 40|||its temperature was measured|15\n"
        "1 reading 3 done 9.88 nan 39.9||||0\n"
        "1 paper 1 done 8 9 40||||0\n"
        "1 remarks 1 done nan nan nan|smells fine|||0\n"
        "0 clean-up 1 done nan nan nan||||0\n"
        "specimen 1: 1.03 g in 101.97 g\n"
        "soap 1.03 supersedes 0 ()\n"
        "water 101.97 supersedes 0 ()\n"
        "meter 1: ph 9.87 nan..nan at 40.1, calibration 0, supersedes 0 ()\n"
        "meter 2: ph 9.86 nan..nan at nan, calibration 0, supersedes 0 ()\n"
        "meter 2: ph 9.86 nan..nan at 40, calibration 0, supersedes 2 (its temperature was measured)\n"
        "meter 3: ph 9.88 nan..nan at 39.9, calibration 0, supersedes 0 ()\n"
        "paper 1: ph nan 8..9 at 40, calibration 0, supersedes 0 ()\n");
    free(record);
    check_contains(said, "Before you begin:");
    check_contains(said, "Wear gloves and goggles");
    check_contains(said, "Add 101.97 g of water to 1.03 g of soap: 1 %.");
    check_contains(said, "no good calibration of the last day");
    check_contains(said, "next: curetrace verdict W-07");
    check_lacks(said, "Above the limit");
    workshop_close(&workshop);
}

static void
cups_go_side_by_side(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 2);
    answers_usual(&answers);
    answers_add(&answers, "soap-mass", 2, "1.1");
    answers_add(&answers, "water-mass", 2, "108.9");
    for (int i = 0; i < 3; i++)
        answers_add(&answers, "reading", 2, "11.31 40");
    assert_true(walk(&workshop, session_id, &answers));
    record = workshop_record(&workshop, session_id);
    check_contains(record, "specimen 1: 1 g in 99 g\n");
    check_contains(record, "specimen 2: 1.1 g in 108.9 g\n");
    check_contains(record, "2 reading 3 done 11.31 nan 40");
    /* Both are weighed, then both dissolved; each is read whole. */
    check_contains(record, "1 water-mass 1 done 99 nan nan||||0\n2 sample 1 done");
    check_contains(record, "1 dissolve 1 done nan nan nan||||0\n2 dissolve 1 done");
    check_contains(record, "1 remarks 1 done nan nan nan||||0\n2 solution-temperature 1 done");
    check_contains(said, "== Cup 2 of 2: W-08, bar middle ==");
    check_contains(said, "== Cup 1 of 2: W-07 ==");
    check_contains(said, "! Above the limit of 11: handle bar and solution as lye");
    check_contains(said, "next: curetrace verdict W-07 W-08");
    free(record);
    workshop_close(&workshop);
}

static void
another_cup_is_gone_to_by_a_word(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 2);
    answers_usual(&answers);
    answers_add(&answers, "boil-water", 1, "cup 2\n"); /* the water first: refused, then done */
    /* Typed at cup 1: go to cup 2, cut, weigh both there; then cup 1 is asked again. */
    answers_add(&answers, "soap-mass", 1, "cup\ncup 7\ncup 2\n\nnothing\n1.2\nback 1.1\n108.9\n1");
    assert_true(walk(&workshop, session_id, &answers));
    record = workshop_record(&workshop, session_id);
    check_contains(record,
                   "1 bar-look 1 done nan nan nan|nothing of it|||0\n2 sample 1 done nan nan nan||||0\n"
                   "2 bar-look 1 done nan nan nan|nothing of it|||0\n"
                   "2 soap-mass 1 done 1.2 nan nan||||0\n"
                   "2 soap-mass 1 done 1.1 nan nan|||corrected at once|");
    check_contains(record, "2 water-mass 1 done 108.9 nan nan||||0\n1 soap-mass 1 done 1 nan nan||||0\n");
    check_contains(said, "  first: boil water\n");
    check_contains(said, "  Cup 1 of 2: W-07: Weigh the soap.\n");
    free(record);
    workshop_close(&workshop);
}

static void
slips_are_asked_again_and_leave_no_trace(void **state)
{
    struct answers smooth = {0}, bumpy = {0};
    struct workshop workshop;
    char *expected, *record;

    (void)state;
    answers_usual(&smooth);
    answers_usual(&bumpy);
    answers_add(&bumpy, "boil-water", 1, "what\n");
    answers_add(&bumpy, "water-check", 1, "15\nsix\n6,8 200\n6,8 25");
    answers_add(&bumpy, "meter-check", 1, "perhaps\nch");
    answers_add(&bumpy, "soap-mass", 1, "0\n-1\n1,0,3\n1");
    answers_add(&bumpy, "reading", 1, "9, 87\n987\nhelp\n9,87 warm\n9.87 40");
    answers_add(&bumpy, "paper", 1, "8..20\n8..9 40");
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    assert_true(walk(&workshop, workshop_begin(&workshop, 1), &smooth));
    expected = workshop_record(&workshop, 1);
    workshop_close(&workshop);
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    assert_true(walk(&workshop, workshop_begin(&workshop, 1), &bumpy));
    record = workshop_record(&workshop, 1);
    assert_string_equal(record, expected);
    check_contains(said, "a pH of 15 cannot be, allowed is 0 to 14");
    check_contains(said, "200 degC cannot be, allowed is 0 to 100 degC");
    check_contains(said, "20 is not printed on 'strips'");
    free(record);
    free(expected);
    workshop_close(&workshop);
}

static void
deviations_are_kept_with_their_reason(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    answers_add(&answers, "boil-water", 0, "");
    answers_add(&answers, "water", 0, "deionised");
    /* "back" at the question for the reason leads to the value; Enter keeps it, and the reason is asked. */
    answers_add(&answers, "water-check", 1, "5.5 25\nback\n\n");
    assert_false(walk(&workshop, session_id, &answers));
    check_contains(said, "  5.5 pH is outside 6.2 to 7.2 pH. It is kept as it is.\n");
    answers = (struct answers){0};
    answers_usual(&answers);
    answers_add(&answers, "water-check", 1, "in air for an hour");
    answers_add(&answers, "meter-check", 1, "not checked\nbuffers used up");
    answers_add(&answers, "soap-mass", 1, "1.5\n12\ndone\ncut in a hurry");
    answers_add(&answers, "water-mass", 1, "140\n\nno more water");
    answers_add(&answers, "look", 1, "cloudy\ncoconut bar");
    answers_add(&answers, "solution-temperature", 1, "36\ncooled on the way");
    answers_add(&answers, "reading", 1, "9.87\n36\nthe same");
    assert_true(walk(&workshop, session_id, &answers));
    record = workshop_record(&workshop, session_id);
    check_contains(record, "0 water-check 1 done 5.5 nan 25||5.5 pH is outside 6.2 to 7.2 pH||0\n");
    check_contains(record,
                   "0 water-check 1 done 5.5 nan 25||5.5 pH is outside 6.2 to 7.2 pH|in air for an hour|3\n");
    check_contains(
        record, "meter-check 1 done nan nan nan|not checked|not checked, expected checked|buffers used up|");
    check_contains(record, "soap-mass 1 done 1.5 nan nan||1.5 g is outside 0.8 to 1.2 g|cut in a hurry|");
    check_contains(
        record, "water-mass 1 done 140 nan nan||1.5 g of soap and 140 g of water make 1.06 %, outside 0.98 "
                "to 1.02 %|no more water|");
    check_contains(record, "reading 1 done 9.87 nan 36||read at 36 degC, outside 38 to 42 degC|the same|");
    free(record);
    workshop_close(&workshop);
}

static void
back_corrects_and_erases_nothing(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    answers_usual(&answers);
    answers_add(&answers, "soap-mass", 1, "1.03");
    answers_add(&answers, "water-mass", 1, "back\n1.05\n103.95");
    /* A reading is one step back. Its pH alone keeps the temperature; both are one answer. */
    answers_add(&answers, "reading", 1, "9,78 40,1\nback\n9.87\nback\n9.87 40.3\nback 9.88 40.3\nback\n9.88");
    answers_add(&answers, "reading", 1, NULL);
    assert_false(walk(&workshop, session_id, &answers));
    check_contains(said, "Back at soap mass of W-07, which was: 1.03 g");
    check_contains(said, "Add 103.95 g of water to 1.05 g of soap");
    check_contains(said, "Back at reading 1 of W-07, which was: pH 9.78 at 40.1 degC");
    check_contains(said, "Back at reading 1 of W-07, which was: pH 9.87 at 40.1 degC");
    record = workshop_record(&workshop, session_id);
    check_contains(record, "1 soap-mass 1 done 1.03 nan nan||||0\n"
                           "1 soap-mass 1 done 1.05 nan nan|||corrected at once|7\n");
    check_contains(record, "soap 1.03 supersedes 0 ()\n"
                           "soap 1.05 supersedes 1 (corrected at once)\n");
    check_contains(record,
                   "meter 1: ph 9.78 nan..nan at 40.1, calibration 0, supersedes 0 ()\n"
                   "meter 1: ph 9.87 nan..nan at 40.1, calibration 0, supersedes 1 (corrected at once)\n"
                   "meter 1: ph 9.87 nan..nan at 40.3, calibration 0, supersedes 2 (corrected at once)\n"
                   "meter 1: ph 9.88 nan..nan at 40.3, calibration 0, supersedes 3 (corrected at once)\n");
    check_lacks(record, "supersedes 4"); /* the same again is no correction */
    free(record);

    /* Left out after all: the reading is withdrawn. What was weighed is not left out any more. */
    answers = (struct answers){0};
    answers_add(&answers, "reading", 1,
                "back\nskip glass was dry\nback\n\nback\nback\nback\nback\nskip no\n\nback\nback\nquit");
    assert_false(walk(&workshop, session_id, &answers));
    record = workshop_record(&workshop, session_id);
    check_contains(
        record, "meter 1: ph nan nan..nan at nan, calibration 0, supersedes 4 (glass was dry) withdrawn\n");
    check_contains(record, "1 reading 1 skipped nan nan nan|||glass was dry|");
    free(record);
    check_contains(said, "what was weighed can be corrected, but not left out any more");
    workshop_close(&workshop);
}

static void
back_has_a_first_question(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    answers_add(&answers, "boil-water", 1, "back\n");
    answers_add(&answers, "water", 1, "skip not known");
    answers_add(&answers, "water-check", 1, "6.8 25");
    answers_add(&answers, "meter-check", 1, "back\nback\nback\ndistilled\nback 6.9\nquit");
    assert_false(walk(&workshop, workshop_begin(&workshop, 1), &answers));
    check_contains(said, "there is no answer before this one");
    check_contains(said, "Back at water check, which was: pH 6.80 at 25 degC");
    workshop_close(&workshop);
}

static void
a_temperature_is_repeated_by_enter(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    answers_usual(&answers);
    /* Not for the first reading, whose cup was not read before; 9.87 alone, then Enter; 8..9, then Enter. */
    answers_add(&answers, "reading", 1, "9.9\n\n40,1");
    answers_add(&answers, "reading", 1, "9.87\n");
    answers_add(&answers, "reading", 1, "9.88 39.9");
    answers_add(&answers, "paper", 1, "8..9\n");
    answers_add(&answers, "remarks", 1, "quit");
    assert_false(walk(&workshop, session_id, &answers));
    check_contains(said, "reading 1 of 3, its temperature, degC: \n  a number is missing\n");
    check_contains(said, "reading 2 of 3, its temperature, degC (Enter: 40.1 again):");
    check_contains(said, "  kept: pH 9.90\n");
    check_contains(said, "  kept: pH 9.90 at 40.1 degC\n");
    check_contains(said, "    3 readings of the same cup, one after the other.\n");
    record = workshop_record(&workshop, session_id);
    check_contains(record, "meter 2: ph 9.87 nan..nan at 40.1,");
    check_contains(record, "paper 1: ph nan 8..9 at 39.9,");
    free(record);
    workshop_close(&workshop);
}

static void
what_is_kept_is_said_as_the_gear_shows_it(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    answers_usual(&answers);
    answers_add(&answers, "boil-water", 1, "skip kettle broke");
    answers_add(&answers, "water-check", 1, "skip\nno blank");
    /* 1.03 oz is 29.2000 g: international avoirdupois ounce, 28.349523125 g. */
    answers_add(&answers, "soap-mass", 1, "1.03oz\nlarge cup");
    answers_add(&answers, "water-mass", 1, "skip no water");
    answers_add(&answers, "dissolve", 1, "quit");
    assert_false(walk(&workshop, workshop_begin(&workshop, 1), &answers));
    check_contains(said, "  kept: left out (kettle broke)\n");
    check_contains(said, "  kept: left out (no blank)\n");
    check_contains(said, "  kept: 29.20 g (1.03oz)\n");
    check_contains(said, "  kept: left out (no water)\n");
    workshop_close(&workshop);
}

static void
a_session_that_goes_on_is_introduced_in_short(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    int64_t session_id;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 2);
    answers_usual(&answers);
    answers_add(&answers, "reading", 1, "9.9 40");
    answers_add(&answers, "reading", 1, "9.88 40\nhelp\nquit");
    assert_false(walk(&workshop, session_id, &answers));
    check_contains(said, "Before you begin:");
    check_contains(said, "  The method: A portion of soap");
    check_contains(said, "  Follows: Common practice");
    answers = (struct answers){.last = "?\nquit"};
    assert_false(walk(&workshop, session_id, &answers));
    check_contains(said, "Session 1: pH of a 1 % soap solution at 40 degC\n  W-07, W-08, begun "
                         "2026-03-04T10:00; kept last: pH 9.88 at 40 degC, reading");
    check_contains(said, "Cautions as before (help shows all): Wear gloves and goggles");
    check_lacks(said, "Before you begin:");
    check_contains(said, "  ! Never taste-test soap"); /* by help */
    workshop_close(&workshop);
}

static void
notes_and_gaps_are_on_record(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    answers_usual(&answers);
    answers_add(&answers, "boil-water", 1, "note kettle is new\n");
    answers_add(&answers, "water-check", 1, "skip meter in use");
    answers_add(&answers, "water-mass", 1, "note\ndraught at the scale\n99");
    answers_add(&answers, "reading", 1, "9.5\nskip thermometer broke");
    answers_add(&answers, "reading", 1, "9.5 40");
    answers_add(&answers, "reading", 1, "skip\nbattery empty");
    answers_add(&answers, "paper", 1, "skip\n");
    assert_true(walk(&workshop, session_id, &answers));
    record = workshop_record(&workshop, session_id);
    check_contains(record,
                   "finished, left open: water check (meter in use); temperature of reading 1 of W-07 "
                   "(thermometer broke); reading 3 of W-07 (battery empty)\n");
    check_contains(record, "0 boil-water 1 noted nan nan nan|kettle is new|||0\n");
    check_contains(record, "1 water-mass 1 noted nan nan nan|draught at the scale|||0\n");
    check_contains(record, "1 paper 1 skipped nan nan nan|||optional|0\n");
    check_contains(record, "meter 1: ph 9.5 nan..nan at nan, calibration 0, supersedes 0 ()\nmeter 2:");
    check_lacks(record, "meter 3:");
    free(record);
    workshop_close(&workshop);
}

/* Some answers outside the tolerances, so that reasons are asked as well. */
static void
rough(struct answers *answers)
{
    answers_usual(answers);
    answers_add(answers, "water-check", 1, "5.5\n25\nin air");
    answers_add(answers, "meter-check", 1, "not checked\nno buffers");
    answers_add(answers, "soap-mass", 1, "1.5\nin a hurry");
    answers_add(answers, "water-mass", 1, "note cold\n148.5");
    answers_add(answers, "look", 1, "cloudy\ncoconut");
    answers_add(answers, "solution-temperature", 1, "36\ncooled");
    answers_add(answers, "reading", 1, "9,87 36\nas above");
    answers_add(answers, "reading", 1, "9.86\n40");
    answers_add(answers, "reading", 1, "skip battery");
    answers_add(answers, "paper", 1, "8..9\n40");
}

static int
lines_in(const char *text)
{
    int count = 0;

    for (; *text != '\0'; text++)
        count += *text == '\n';
    return count;
}

/* The lines of the rough walk, as they were typed. Given. */
static char *
rough_lines(void)
{
    struct answers answers = {0};
    struct workshop workshop;
    struct text typed = {0};
    FILE *in;

    rough(&answers);
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    workshop_begin(&workshop, 1);
    answers.store = workshop.store;
    answers.typed = &typed;
    in = answers_open(&answers);
    assert_true(walk_from(workshop.store, 1, in));
    workshop_close(&workshop);
    return text_take(&typed);
}

/* A stream of a text; the walk closes it. */
static FILE *
from_text(const char *text, size_t length)
{
    FILE *in = tmpfile();

    assert_non_null(in);
    fwrite(text, 1, length, in);
    rewind(in);
    return in;
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

static char *
rough_record(const char *lines)
{
    struct workshop workshop;
    char *record;

    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    assert_true(walk_from(workshop.store, workshop_begin(&workshop, 1), from_text(lines, strlen(lines))));
    record = workshop_record(&workshop, 1);
    workshop_close(&workshop);
    return record;
}

static void
a_walk_may_be_left_at_every_question(void **state)
{
    struct workshop workshop;
    char *lines = rough_lines(), *expected = rough_record(lines), *record;

    (void)state;
    assert_true(lines_in(lines) > 20);
    for (int count = 0; count < lines_in(lines); count++) {
        const char *rest = after_lines(lines, count);
        char *first = text_format("%.*squit\n", (int)(rest - lines), lines);

        workshop_open(&workshop, ":memory:", "soap-1pct-40c");
        assert_int_equal(workshop_begin(&workshop, 1), 1);
        assert_false(walk_from(workshop.store, 1, from_text(first, strlen(first))));
        check_contains(said, "Session 1 is kept as far as it went.\nnext: curetrace resume 1\n");
        assert_true(walk_from(workshop.store, 1, from_text(rest, strlen(rest))));
        record = workshop_record(&workshop, 1);
        assert_string_equal(record, expected);
        free(record);
        free(first);
        workshop_close(&workshop);
    }
    free(expected);
    free(lines);
}

/* A stream that gives `count` lines, a byte a read, and then kills the process. */
struct deadly {
    const char *rest;
    int count;
};

static ssize_t
read_or_die(void *cookie, char *bytes, size_t size)
{
    struct deadly *deadly = cookie;

    (void)size;
    if (deadly->count == 0)
        kill(getpid(), SIGKILL);
    *bytes = *deadly->rest++;
    deadly->count -= *bytes == '\n';
    return 1;
}

/* In a process of its own: begin and walk until killed. */
static void
walk_and_die(const char *path, const char *lines, int count)
{
    struct deadly deadly = {lines, count};
    struct workshop workshop;

    workshop_open(&workshop, path, "soap-1pct-40c");
    walk_from(workshop.store, workshop_begin(&workshop, 1),
              fopencookie(&deadly, "r", (cookie_io_functions_t){.read = read_or_die}));
    _exit(0);
}

static void
a_walk_goes_on_after_kill_9_at_every_question(void **state)
{
    struct folder *folder = *state;
    struct failure failure = {0};
    char *lines = rough_lines(), *expected = rough_record(lines), *record;

    for (int count = 0; count < lines_in(lines); count++) {
        const char *rest = after_lines(lines, count);
        char *path = text_format("%s/%d.sqlite", folder->path, count);
        struct workshop later = {0};
        int how = 0;
        pid_t child = fork();

        if (child == 0)
            walk_and_die(path, lines, count);
        assert_int_equal(waitpid(child, &how, 0), child);
        assert_true(WIFSIGNALED(how) && WTERMSIG(how) == SIGKILL);
        check_ok(notebook_open(path, STORE_WRITE, &later.store, NULL, &failure), &failure);
        assert_true(walk_from(later.store, 1, from_text(rest, strlen(rest))));
        record = workshop_record(&later, 1);
        assert_string_equal(record, expected);
        free(record);
        workshop_close(&later);
        free(path);
    }
    free(expected);
    free(lines);
}

static void
a_finished_session_is_not_walked_again(void **state)
{
    struct answers answers = {0};
    struct failure failure = {0};
    struct workshop workshop;
    struct context context = {.in = stdin, .out = stderr, .clock = workshop_now};
    bool finished = false;

    (void)state;
    answers_usual(&answers);
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    assert_true(walk(&workshop, workshop_begin(&workshop, 1), &answers));
    context.store = workshop.store;
    check_refused(walk_prompt(&context, 1, "", &finished, &failure), STATUS_CONFLICT, &failure);
    check_refused(walk_prompt(&context, 99, "", &finished, &failure), STATUS_MISSING, &failure);
    workshop_close(&workshop);
}

static void
the_calibration_in_force_is_said_and_not_kept(void **state)
{
    struct calibration calibration = {.purpose = CALIBRATION_ADJUST,
                                      .verdict = CALIBRATION_ACCEPTED,
                                      .taken_at = WORKSHOP_NOW - 3600,
                                      .slope_percent = NAN,
                                      .offset_mv = NAN};
    struct answers answers = {0};
    struct failure failure = {0};
    struct workshop workshop;
    char *record;

    (void)state;
    answers_usual(&answers);
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    calibration.meter_id = workshop.meter.id;
    calibration_add_point(&calibration, (struct calibration_point){.buffer = memory_copy("borax"),
                                                                   .temperature_c = 25,
                                                                   .displayed_ph = 9.18,
                                                                   .potential_mv = NAN,
                                                                   .table_ph = 9.18});
    calibration_add_point(&calibration, (struct calibration_point){.buffer = memory_copy("calcium-hydroxide"),
                                                                   .temperature_c = 25,
                                                                   .displayed_ph = 12.454,
                                                                   .potential_mv = NAN,
                                                                   .table_ph = 12.454});
    check_ok(calibration_store_add(workshop.store, &calibration, &failure), &failure);
    assert_true(walk(&workshop, workshop_begin(&workshop, 1), &answers));
    record = workshop_record(&workshop, 1);
    check_contains(record,
                   "meter 1: ph 9.87 nan..nan at 40, calibration 0, supersedes 0"); /* the times decide */
    check_contains(said, "Meter 'bench': calibration of 2026-03-04T09:00, accepted.");
    check_lacks(said, "no good calibration");
    free(record);
    calibration_clear(&calibration);
    workshop_close(&workshop);
}

static void
paper_alone_and_waits_work(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    char *record;

    (void)state;
    answers_usual(&answers);
    answers_add(&answers, "water-check", 1, "near");
    workshop_open(&workshop, ":memory:", "paper-only");
    assert_true(walk(&workshop, workshop_begin(&workshop, 1), &answers));
    record = workshop_record(&workshop, 1);
    check_contains(record, "paper 2: ph nan 8..9 at 40");
    free(record);
    workshop_close(&workshop);
    answers = (struct answers){0};
    answers_usual(&answers);
    answers_add(&answers, "solution-temperature", 0, "23");
    answers_add(&answers, "reading", 0, "9.0 23");
    answers_add(&answers, "paper", 0, "8..9 23");
    workshop_open(&workshop, ":memory:", "soap-1pct-room");
    assert_true(walk(&workshop, workshop_begin(&workshop, 1), &answers));
    record = workshop_record(&workshop, 1);
    check_contains(record, "1 cool 1 done nan nan nan|1200 s, not timed here|||0\n");
    check_contains(said, "1200 s: taken as done, because nobody waits at a pipe");
    free(record);
    workshop_close(&workshop);
}

static void
a_meter_is_held_against_its_buffers(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "meter-check");
    /* phosphate 6.865 and borax 9.180 at 25 degC: pH(S) tables, see reference/buffers.csv */
    answers.last = "";
    answers_add(&answers, "neutral", 0, "6.88 25");
    answers_add(&answers, "borax", 0, "9.30\n25\nold bottle");
    answers_add(&answers, "lime-water", 0, "skip none here");
    assert_true(walk(&workshop, workshop_begin(&workshop, 0), &answers));
    record = workshop_record(&workshop, 1);
    check_contains(record, "0 neutral 1 done 6.88 nan 25||||0\n");
    check_contains(record,
                   "0 borax 1 done 9.3 nan 25||pH 9.3 is not within 0.05 of the borax buffer's 9.18 at "
                   "25 degC|old bottle|");
    check_contains(record, "finished, left open: \n");
    check_contains(said, "next, with these values: curetrace calibrate bench\n");
    free(record);
    workshop_close(&workshop);
}

/* By hand: u = d / sqrt(6) for a mass that is the difference of two readings (JCGM 100, F.2.2.1), so
 * u(w) = 0.99005 u / m in percent; 2 u(w) = 0.02 gives m = 99.005 x 0.1 / sqrt(6) = 4.04 g, which the balance
 * shows as 4.1 g at least. 1.03 x 99 = 101.97. */
static void
a_coarse_balance_is_told_and_rounds_the_water(void **state)
{
    struct answers answers = {0};
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
    answers_usual(&answers);
    answers_add(&answers, "soap-mass", 1, "1.03");
    answers_add(&answers, "water-mass", 1, "quit");
    assert_false(walk(&workshop, session_id, &answers));
    check_contains(said, "Balance 'kitchen' reads to 0.1 g: it holds 1 +/- 0.02 % only with 4.1 g");
    check_contains(said, "Add 102.0 g of water to 1.03 g of soap: 1 %.");
    workshop_close(&workshop);
}

static void
the_meter_may_be_calibrated_on_the_way(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    answers_usual(&answers);
    /* pH(S) at 25 degC: borax 9.180, lime water 12.454 (tables in reference/buffers.csv, with their source). */
    answers_add(&answers, "meter-check", 1, "calibrate\nback\nc\nquit\n");
    assert_false(walk(&workshop, workshop_begin(&workshop, 1), &answers));
    check_contains(said, "No buffer was read, so nothing is filed.");
    workshop_close(&workshop);
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    answers = (struct answers){0};
    answers_usual(&answers);
    answers_add(&answers, "meter-check", 1, "ca\nborax\nbought\n25\n9.18\nlime water\nmade\n25\n12.45\ndone");
    answers_add(&answers, "sample", 1, "quit");
    assert_false(walk(&workshop, workshop_begin(&workshop, 1), &answers));
    check_contains(said, "accepted: slope");
    check_contains(said, "  kept: checked\n"); /* and not asked again */
    check_contains(said, "Cut thin slices");
    workshop_close(&workshop);
}

/* 77 is a warm kitchen in Fahrenheit and a burn in Celsius: it is asked, and a yes answers. */
static void
a_bare_77_is_asked_and_yes_makes_it_fahrenheit(void **state)
{
    struct answers answers = {0};
    struct workshop workshop;
    int64_t session_id;
    char *record;

    (void)state;
    workshop_open(&workshop, ":memory:", "soap-1pct-40c");
    session_id = workshop_begin(&workshop, 1);
    answers_usual(&answers);
    answers_add(&answers, "water-check", 1, "6.8 77\nyes");
    answers_add(&answers, "solution-temperature", 1, "104\ny");
    answers_add(&answers, "reading", 1, "9.87\n104\n40");
    assert_true(walk(&workshop, session_id, &answers));
    check_contains(said, "77 degF? That is 25 degC");
    check_contains(said, "(yes takes it as 6.8 77F)");
    record = workshop_record(&workshop, session_id);
    check_contains(record, "0 water-check 1 done 6.8 nan 25|");
    check_contains(record, "1 solution-temperature 1 done 40 nan nan|");
    check_contains(record, "1 reading 1 done 9.87 nan 40|");
    free(record);
    workshop_close(&workshop);
}

#define PROMPT_TEST(name) cmocka_unit_test_setup_teardown(name, NULL, forget)

static const struct CMUnitTest tests[] = {
    PROMPT_TEST(a_bare_77_is_asked_and_yes_makes_it_fahrenheit),
    PROMPT_TEST(a_whole_walk_is_on_record_as_typed),
    PROMPT_TEST(cups_go_side_by_side),
    PROMPT_TEST(another_cup_is_gone_to_by_a_word),
    PROMPT_TEST(slips_are_asked_again_and_leave_no_trace),
    PROMPT_TEST(deviations_are_kept_with_their_reason),
    PROMPT_TEST(back_corrects_and_erases_nothing),
    PROMPT_TEST(back_has_a_first_question),
    PROMPT_TEST(a_temperature_is_repeated_by_enter),
    PROMPT_TEST(what_is_kept_is_said_as_the_gear_shows_it),
    PROMPT_TEST(a_session_that_goes_on_is_introduced_in_short),
    PROMPT_TEST(notes_and_gaps_are_on_record),
    PROMPT_TEST(a_walk_may_be_left_at_every_question),
    cmocka_unit_test_setup_teardown(a_walk_goes_on_after_kill_9_at_every_question, folder_make,
                                    folder_remove),
    PROMPT_TEST(a_finished_session_is_not_walked_again),
    PROMPT_TEST(the_calibration_in_force_is_said_and_not_kept),
    PROMPT_TEST(paper_alone_and_waits_work),
    PROMPT_TEST(a_meter_is_held_against_its_buffers),
    PROMPT_TEST(a_coarse_balance_is_told_and_rounds_the_water),
    PROMPT_TEST(the_meter_may_be_calibrated_on_the_way),
};

const struct check_module test_command_walk_prompt = CHECK_MODULE("command/walk_prompt", tests);
