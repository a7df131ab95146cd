/* test_walk.c - "test" and "resume" through a pipe and on a pseudo-terminal, and after kill -9. */
#include <errno.h>
#include <fcntl.h>
#include <poll.h>
#include <pty.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

/* One good test of a bar. */
static struct answers
good(void)
{
    static const char *const readings[] = {"9,87 40,1", "9.89 40.1", "9.88 40"};
    struct answers answers = {0};

    answers_usual(&answers);
    answers_add(&answers, "soap-mass", 0, "1,00");
    answers_add(&answers, "solution-temperature", 0, "104F");
    answers_add(&answers, "remarks", 0, "smells nice");
    for (size_t i = 0; i < LENGTH(readings); i++)
        answers_add(&answers, "reading", 1, readings[i]);
    return answers;
}

/* The same, but left at a step. */
static struct answers
good_until(const char *step)
{
    struct answers answers = good();

    answers_add(&answers, step, 1, "quit");
    return answers;
}

static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed != 0)
        return failed;
    kitchen_do(*state, "batch add W-07 --made 2026-03-02 --title 'oat bar'");
    kitchen_do(*state, "batch add W-08 --made 2026-03-02");
    kitchen_do(*state, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(*state, "gear add strips --kind paper --steps 1,2,3,4,5,6,7,8,9,10,11,12,13,14");
    kitchen_do(*state, "gear add scale --kind balance --readability-g 0.01");
    kitchen_do(*state, "gear add probe --kind thermometer --resolution-c 0.1 --accuracy-c 0.5");
    kitchen_do(
        *state,
        "calibrate bench --at 2026-06-01T11:00 --buffer borax@24=9.189 --buffer 'lime water@25=12.454'");
    return 0;
}

static void
check_whole_record(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, "W-07,1,91,meter,3,9.88,");
    check_contains(kitchen->out, ",within,");
    check_lacks(kitchen->out, "deviation");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "9.87  40.1");
    check_contains(kitchen->out, "9.89  40.1");
    check_contains(kitchen->out, "8..9  40.0");
    check_contains(kitchen->out, "soap    1\n");
    check_contains(kitchen->out, "water  99\n");
}

static void
a_walk_through_a_pipe_ends_in_a_verdict(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = good();

    assert_int_equal(kitchen_walk(kitchen, "test W-07", &answers), STATUS_OK);
    check_contains(kitchen->out, "Wear gloves and goggles");
    check_contains(kitchen->out, "next: curetrace verdict W-07");
    check_lacks(kitchen->out, "from memory");
    check_lacks(kitchen->out, "specimen");
    check_whole_record(kitchen);
    kitchen_refuses(kitchen, "resume", "no unfinished session");
}

static void
a_test_written_down_on_paper_is_filed_at_its_time(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = good(), left = good_until("sample");

    assert_int_equal(kitchen_walk(kitchen, "test W-07 --at 2026-05-02T10:00", &answers), STATUS_OK);
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, "W-07,1,61,meter,3,");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "2026-05-02T10:00");
    assert_int_equal(kitchen_walk(kitchen, "test W-07 --at 2026-05-03T10:00", &left), STATUS_OK);
    kitchen_refuses(kitchen, "resume --at 2026-05-03T09:00", "before session 2 began");
    assert_int_equal(kitchen_walk(kitchen, "resume --at 2026-05-03T11:00", &left), STATUS_OK);
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, "W-07,2,62,meter,3,");
    kitchen_refuses(kitchen, "test W-07 --at 2026-06-02T10:00", "in the future");
    kitchen_refuses(kitchen, "test W-07 --at 2026-03-01T10:00", "before batch W-07 was poured");
}

static void
the_end_of_input_is_quit_and_resume_goes_on_there(void **state)
{
    static const char *const steps[] = {"boil-water", "water",   "water-check", "meter-check",
                                        "bar-look",   "sample",  "soap-mass",   "water-mass",
                                        "dissolve",   "look",    "rinse",       "solution-temperature",
                                        "paper",      "reading", "remarks",     "clean-up"};

    for (size_t i = 0; i < LENGTH(steps); i++) {
        void *another = NULL;
        struct kitchen *kitchen;
        struct answers first = good(), rest = good();

        answers_add(&first, steps[i], 1, NULL);
        if (strcmp(steps[i], "reading") == 0) { /* in the middle of one */
            first.used[first.count - 2] = true;
            rest.used[rest.count - 3] = rest.used[rest.count - 2] = true;
        }
        assert_int_equal(furnish(&another), 0);
        kitchen = another;
        assert_int_equal(kitchen_walk(kitchen, "test W-07", &first), STATUS_OK);
        check_contains(kitchen->out, "resume");
        check_lacks(kitchen->out, "next: curetrace verdict");
        assert_int_equal(kitchen_walk(kitchen, "resume", &rest), STATUS_OK);
        check_contains(kitchen->out, "next: curetrace verdict W-07");
        check_whole_record(kitchen);
        kitchen_close(&another);
    }
    (void)state;
}

static void
a_high_ph_counts_while_its_temperature_is_still_asked(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers first = {0}, then = {0};

    answers_usual(&first);
    answers_add(&first, "reading", 1, "11.9");
    answers_add(&first, "reading", 1, NULL);
    answers_usual(&then);
    answers_add(&then, "reading", 1, "back\n9.87 40.1");
    answers_add(&then, "reading", 1, "9.89 40.1");
    answers_add(&then, "reading", 1, "9.88 40");
    kitchen_do(kitchen,
               "read W-07 --water distilled --at 2026-05-30T10:00 --temperature-c 40 --percent 1 --ph 9.9");
    assert_int_equal(kitchen_walk(kitchen, "test W-07", &first), STATUS_OK);
    check_contains(kitchen->out, "W-07 is held now (lye-heavy: ");
    kitchen_do(kitchen, "verdict W-07 --csv --strict");
    check_contains(kitchen->out, ",lye-heavy,");
    check_contains(kitchen->out, "session-open");
    assert_int_equal(kitchen->exit_code, 4);
    assert_int_equal(kitchen_walk(kitchen, "resume", &then), STATUS_OK);
    kitchen_do(kitchen, "verdict W-07 --csv --strict");
    check_contains(kitchen->out, "W-07,2,91,meter,3,9.88,");
    check_lacks(kitchen->out, "session-open");
    assert_int_equal(kitchen->exit_code, 0);
}

static void
a_reading_is_not_corrected_behind_the_back_of_its_walk_through(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers left = good_until("paper");

    assert_int_equal(kitchen_walk(kitchen, "test W-07", &left), STATUS_OK);
    kitchen_refuses(kitchen, "correct 1 --ph 11.4 --why misread",
                    "session 1 is not finished: curetrace resume 1");
    kitchen_refuses(kitchen, "correct 1 --weighing --mass-g 1.2 --why misread", "session 1 is not finished");
    assert_int_equal(kitchen_walk(kitchen, "resume", &left), STATUS_OK);
    kitchen_do(kitchen, "correct 1 --ph 11.4 --why misread");
}

static void
a_deviation_is_taken_with_its_reason_and_shown_with_the_verdict(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = good();

    answers_add(&answers, "solution-temperature", 1, "45\nthe kettle was hot");
    assert_int_equal(kitchen_walk(kitchen, "test W-07", &answers), STATUS_OK);
    kitchen_do(kitchen, "verdict W-07 --csv");
    check_contains(kitchen->out, "deviation");
}

static void
impossible_answers_are_asked_again(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = good();

    answers.list[answers.count - 3].typed = "15\nnine\n9.87 200\n9,87 40,1";
    assert_int_equal(kitchen_walk(kitchen, "test W-07", &answers), STATUS_OK);
    check_contains(kitchen->out, "allowed is 0 to 14");
    check_contains(kitchen->out, "'nine' is not a number");
    check_contains(kitchen->out, "allowed is 0 to 100");
    check_whole_record(kitchen);
}

static void
bars_and_procedures_are_named_or_refused(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "test --procedures");
    check_contains(kitchen->out, "soap-1pct-40c");
    check_contains(kitchen->out, "paper-only");
    kitchen_refuses(kitchen, "test W-07 --procedure soap-1pct-40", "did you mean 'soap-1pct-40c'");
    kitchen_refuses(kitchen, "test", "needs a batch to test");
    kitchen_refuses(kitchen, "test W-09", "there is no batch 'W-09'");
    kitchen_refuses(kitchen, "test W-07 --meter strips", "'strips' is a paper, not a meter");
    kitchen_do(kitchen, "gear add spare --kind meter --resolution-ph 0.1");
    kitchen_refuses(kitchen, "test W-07", "say which: --meter");
    assert_int_equal(kitchen_run_with(kitchen, "test W-07/1 W-07/2 W-08 --meter bench", ""), STATUS_OK);
    check_contains(kitchen->out, "resume");
}

static int
line_ends(const char *text, const char *end)
{
    int count = 0;

    for (; text < end; text++)
        count += *text == '\n';
    return count;
}

static void
the_first_question_is_on_a_screen_of_24_lines(void **state)
{
    static const char *const lines[] = {"test W-07", "test W-07 --procedure soap-1pct-room",
                                        "test W-07 --procedure paper-only", "test --procedure meter-check",
                                        "titrate W-07"};
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(lines); i++) {
        const char *question;

        assert_int_equal(kitchen_run_with(kitchen, lines[i], ""), STATUS_OK);
        question = strstr(kitchen->out, "Enter when done:");
        assert_non_null(question);
        if (line_ends(kitchen->out, question) >= 24)
            print_error("%s\n%s", lines[i], kitchen->out);
        assert_true(line_ends(kitchen->out, question) < 24);
        kitchen_do(kitchen, "resume --close --why 'seen enough'");
    }
}

static void
gear_that_no_step_uses_is_not_shown(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "gear add spare --kind meter --resolution-ph 0.1"); /* and not asked for */
    assert_int_equal(kitchen_run_with(kitchen, "test W-07 --procedure paper-only", ""), STATUS_OK);
    check_contains(kitchen->out, "With paper strips, balance scale, thermometer probe.");
    assert_int_equal(kitchen_run_with(kitchen, "test --procedure meter-check --meter bench", ""), STATUS_OK);
    check_contains(kitchen->out, "With meter bench, thermometer probe.");
}

static void
several_unfinished_sessions_are_listed(void **state)
{
    struct kitchen *kitchen = *state;

    struct answers left = good_until("meter-check");

    assert_int_equal(kitchen_walk(kitchen, "test W-07", &left), STATUS_OK);
    assert_int_equal(kitchen_run_with(kitchen, "test W-07/1 W-07/2 W-08", "\n"), STATUS_OK);
    kitchen_refuses(kitchen, "resume",
                    "2 sessions are unfinished: 2 (W-07, W-08; begun 2026-06-01T12:00), 1 (W-07; begun "
                    "2026-06-01T12:00); say which, as in curetrace resume 2");
    assert_int_equal(kitchen_run_with(kitchen, "resume 1", ""), STATUS_OK);
    check_contains(kitchen->out,
                   "  W-07, begun 2026-06-01T12:00; kept last: pH 6.80 at 25 degC, water check");
    kitchen_refuses(kitchen, "resume 3", "3");
}

static void
a_mistyped_notebook_makes_no_new_one(void **state)
{
    static const char *const lines[] = {
        "test W-07",
        "resume",
        "read W-07 --water distilled --ph 9.9 --temperature-c 40 --percent 1",
        "correct 1 --ph 9.8 --why x",
        "calibrate bench --buffer borax@24=9.2",
        "titrate W-07 --soap-g 10 --volume-ml 1 --acid-mol-l 0.1",
        "batch hold W-07 --why x",
        "batch release W-07",
        "batch discard W-07 --why x",
    };
    struct kitchen *kitchen = *state;
    char *path = file_join(kitchen->folder->path, "mistyped.sqlite"), *list;

    for (size_t i = 0; i < LENGTH(lines); i++) {
        char *line = text_format("%s --notebook %s", lines[i], path);

        kitchen_refuses(kitchen, line, "there is no notebook");
        assert_int_not_equal(access(path, F_OK), 0);
        free(line);
    }
    list = text_format("test --procedures --notebook %s", path); /* needs none */
    kitchen_do(kitchen, list);
    assert_int_not_equal(access(path, F_OK), 0);
    free(list);
    free(path);
}

static void
what_comes_next_is_written_as_it_is_typed(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add 'my soap' --made 2026-03-02");
    check_contains(kitchen->out, "next: curetrace test 'my soap'\n");
    kitchen_do(kitchen, "read 'my soap' --ph 9.9 --temperature-c 40 --percent 1");
    check_contains(kitchen->out, "next: curetrace verdict 'my soap'\n");
    kitchen_do(kitchen, "gear add 'old meter' --kind meter --resolution-ph 0.1");
    check_contains(kitchen->out, "next: curetrace calibrate 'old meter'\n");
}

static void
degrees_and_percents_are_told_how_to_be_written(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "read W-07 --water distilled --ph 9.9 --temperature-c 104 --percent 1",
                    "(write 104F for Fahrenheit)");
    kitchen_refuses(kitchen, "batch add W-09 --made 2026-03-02 --fat 'olive oil=500' --lye naoh=120@98",
                    "write 98%");
}

/* --- the built program on a pseudo-terminal ---------------------------------------------------------- */

static pid_t
start(const struct kitchen *kitchen, const char *command, const char *batch, int *ret_terminal)
{
    char *program = file_join(getenv("BUILD_ROOT"), "curetrace");
    struct winsize size = {.ws_row = 40, .ws_col = 80};
    pid_t child = forkpty(ret_terminal, NULL, NULL, &size);

    assert_true(child >= 0);
    if (child == 0) {
        execl(program, "curetrace", command, "--notebook", kitchen->notebook, batch, (char *)NULL);
        _exit(127);
    }
    free(program);
    return child;
}

/* Read the screen until `part` shows up behind what was read before, for at most 20 s. */
static void
wait_for(int terminal, struct text *screen, const char *part)
{
    char piece[4096];

    while (strstr(text_of(screen), part) == NULL) {
        struct pollfd ready = {.fd = terminal, .events = POLLIN};
        ssize_t got;

        if (poll(&ready, 1, 20000) <= 0 || (got = read(terminal, piece, sizeof piece)) <= 0) {
            print_error("the screen never showed '%s':\n%s\n", part, text_of(screen));
            fail();
            return;
        }
        text_add_bytes(screen, piece, (size_t)got);
    }
    text_clear(screen);
}

static void
type(int terminal, const char *line)
{
    char *text = text_format("%s\r", line);

    assert_true(write(terminal, text, strlen(text)) == (ssize_t)strlen(text));
    free(text);
}

static void
kill_9_in_the_middle_loses_no_kept_answer(void **state)
{
    struct kitchen *kitchen = *state;
    struct text screen = {0};
    struct answers rest = good();
    int terminal, how;
    pid_t child = start(kitchen, "test", "W-07", &terminal);

    wait_for(terminal, &screen, "Enter when done");
    type(terminal, "");
    wait_for(terminal, &screen, "deionised, other:");
    type(terminal, "distilled");
    wait_for(terminal, &screen, "pH and its temperature:");
    type(terminal, "15");
    wait_for(terminal, &screen, "allowed is 0 to 14");
    type(terminal, "6,7 25");
    wait_for(terminal, &screen, "checked, not checked");
    kill(child, SIGKILL);
    assert_int_equal(waitpid(child, &how, 0), child);
    close(terminal);
    text_clear(&screen);
    kitchen->now = clock_now(); /* the program itself had no other clock */
    assert_int_equal(kitchen_walk(kitchen, "resume", &rest), STATUS_OK);
    check_contains(kitchen->out, "next: curetrace verdict W-07");
}

/* Leave a test of W-07 at its first reading, and go on with it at the terminal. */
static pid_t
reach_the_reading(struct kitchen *kitchen, int *ret_terminal, struct text *screen)
{
    struct answers left = {0};
    pid_t child;

    answers_usual(&left);
    answers_add(&left, "reading", 1, "quit");
    assert_int_equal(kitchen_walk(kitchen, "test W-07", &left), STATUS_OK);
    child = start(kitchen, "resume", "1", ret_terminal);
    wait_for(*ret_terminal, screen, "1 of 3, pH and its temperature:");
    return child;
}

static void
kill_9_right_after_a_high_reading_leaves_the_batch_held(void **state)
{
    /* Alone, and with its temperature on the same line. */
    static const char *const readings[] = {"11,42", "11,42 40"};

    (void)state;
    for (size_t i = 0; i < LENGTH(readings); i++) {
        struct text screen = {0};
        void *another = NULL;
        struct kitchen *kitchen;
        int terminal, how;
        pid_t child;

        assert_int_equal(furnish(&another), 0);
        kitchen = another;
        child = reach_the_reading(kitchen, &terminal, &screen);
        type(terminal, readings[i]);
        wait_for(terminal, &screen, "Above the limit");
        kill(child, SIGKILL);
        assert_int_equal(waitpid(child, &how, 0), child);
        assert_true(WIFSIGNALED(how) && WTERMSIG(how) == SIGKILL);
        close(terminal);
        text_clear(&screen);
        kitchen_do(kitchen, "batch show W-07");
        check_contains(kitchen->out, "held by the rule: the result is ");
        kitchen_close(&another);
    }
}

static void
resume_judges_before_it_asks(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = {0};
    const char *held;

    answers_usual(&answers);
    answers_add(&answers, "reading", 1, "11,42 40");
    answers_add(&answers, "reading", 1, "quit");
    assert_int_equal(kitchen_walk(kitchen, "test W-07", &answers), STATUS_OK);
    check_contains(kitchen->out, "  ! W-07 is held now (");
    kitchen_do(kitchen, "batch release W-07 --override --why 'by mistake'");
    assert_int_equal(kitchen_run_with(kitchen, "resume", ""), STATUS_OK);
    held = strstr(kitchen->out, "W-07 is held now");
    assert_non_null(held);
    assert_true(held < strstr(kitchen->out, "2 of 3, pH and its temperature:"));
}

static void
a_calibration_on_the_way_is_filed_whole_or_not_at_all(void **state)
{
    struct kitchen *kitchen = *state;
    struct answers answers = {0};

    answers_usual(&answers);
    answers_add(&answers, "meter-check", 1, "calibrate\nborax\nbought\n24\n9,189\nquit");
    answers_add(&answers, "meter-check", 1,
                "calibrate\nborax\nbought\n24\n9,189\nlime water\nmade\n25\n12.454\ndone");
    answers_add(&answers, "sample", 1, "quit");
    assert_int_equal(kitchen_walk(kitchen, "test W-07", &answers), STATUS_OK);
    check_contains(kitchen->out, "kept together at the end");
    check_contains(kitchen->out, "Left before the end, so nothing is filed.");
    check_contains(kitchen->out, "next: curetrace resume 1");
    assert_int_equal(kitchen_walk(kitchen, "resume", &answers), STATUS_OK);
    check_contains(kitchen->out, "accepted: slope 100.0 %");
    check_contains(kitchen->out, "kept: checked");
    check_contains(kitchen->out, "Cut thin slices");
}

static void
a_person_at_a_terminal_can_quit_and_resume(void **state)
{
    struct kitchen *kitchen = *state;
    struct text screen = {0};
    int terminal, how;
    pid_t child = start(kitchen, "test", "W-07", &terminal);

    wait_for(terminal, &screen, "Enter when done");
    type(terminal, "quit");
    wait_for(terminal, &screen, "resume");
    assert_int_equal(waitpid(child, &how, 0), child);
    assert_true(WIFEXITED(how) && WEXITSTATUS(how) == 0);
    close(terminal);
    text_clear(&screen);
    child = start(kitchen, "resume", "1", &terminal);
    wait_for(terminal, &screen, "Enter when done");
    type(terminal, "");
    wait_for(terminal, &screen, "deionised, other:");
    type(terminal, "\x04"); /* Ctrl-D: the end of input */
    close(terminal);
    assert_int_equal(waitpid(child, &how, 0), child);
    text_clear(&screen);
}

#define WALK_TEST(name) cmocka_unit_test_setup_teardown(name, furnish, kitchen_close)

static const struct CMUnitTest tests[] = {
    WALK_TEST(a_walk_through_a_pipe_ends_in_a_verdict),
    WALK_TEST(a_test_written_down_on_paper_is_filed_at_its_time),
    cmocka_unit_test(the_end_of_input_is_quit_and_resume_goes_on_there),
    WALK_TEST(a_high_ph_counts_while_its_temperature_is_still_asked),
    WALK_TEST(a_reading_is_not_corrected_behind_the_back_of_its_walk_through),
    WALK_TEST(a_deviation_is_taken_with_its_reason_and_shown_with_the_verdict),
    WALK_TEST(impossible_answers_are_asked_again),
    WALK_TEST(bars_and_procedures_are_named_or_refused),
    WALK_TEST(the_first_question_is_on_a_screen_of_24_lines),
    WALK_TEST(gear_that_no_step_uses_is_not_shown),
    WALK_TEST(several_unfinished_sessions_are_listed),
    WALK_TEST(a_mistyped_notebook_makes_no_new_one),
    WALK_TEST(what_comes_next_is_written_as_it_is_typed),
    WALK_TEST(degrees_and_percents_are_told_how_to_be_written),
    WALK_TEST(kill_9_in_the_middle_loses_no_kept_answer),
    cmocka_unit_test(kill_9_right_after_a_high_reading_leaves_the_batch_held),
    WALK_TEST(resume_judges_before_it_asks),
    WALK_TEST(a_calibration_on_the_way_is_filed_whole_or_not_at_all),
    WALK_TEST(a_person_at_a_terminal_can_quit_and_resume),
};

const struct check_module test_command_walk = CHECK_MODULE("command/walk", tests);
