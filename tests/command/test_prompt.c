/* test_prompt.c - questions through a pipe and on a pseudo-terminal. */
#include <pty.h>
#include <termios.h>
#include <unistd.h>

#include "answer_text.h"
#include "check.h"
#include "prompt.h"
#include "text.h"

static civil_time
noon(void *data)
{
    (void)data;
    return 1000;
}

struct talk {
    struct prompt prompt;
    char *said;
    size_t size;
};

static void
open_talk(struct talk *talk, const char *typed, size_t length)
{
    talk->prompt = (struct prompt){.now = noon, .line_again = "\r"};
    talk->prompt.in = tmpfile();
    assert_non_null(talk->prompt.in);
    fwrite(typed, 1, length, talk->prompt.in);
    rewind(talk->prompt.in);
    talk->prompt.out = open_memstream(&talk->said, &talk->size);
}

/* Everything said so far. */
static const char *
said(struct talk *talk)
{
    fflush(talk->prompt.out);
    return talk->said;
}

static void
close_talk(struct talk *talk)
{
    fclose(talk->prompt.in);
    fclose(talk->prompt.out);
    free(talk->said);
}

static enum status
take_mass(const char *text, void *payload, struct failure *failure)
{
    return answer_text_mass(text, 10000, payload, failure);
}

static void
what_cannot_be_is_asked_again(void **state)
{
    static const char typed[] = "soap\n\n0\n 1,03 \r\n";
    struct talk talk;
    double mass_g = NAN;
    char *text = NULL;

    (void)state;
    open_talk(&talk, typed, strlen(typed));
    assert_int_equal(prompt_ask(&talk.prompt, "soap, g:", "a mass", take_mass, &mass_g, &text), REPLY_VALUE);
    check_close(mass_g, 1.03, 0, "as typed");
    assert_string_equal(text, "1,03");
    free(text);
    assert_string_equal(said(&talk), "soap, g: \n  'soap' is not a number\n"
                                     "soap, g: \n  a number is missing\n"
                                     "soap, g: \n  a mass of 0 g cannot be, allowed is above 0 to 10000 g\n"
                                     "soap, g: \n");
    close_talk(&talk);
}

static void
words_are_known_everywhere(void **state)
{
    static const struct {
        const char *typed;
        enum reply reply;
        const char *text;
    } known[] = {
        {"note smells of lye\n", REPLY_NOTE, "smells of lye"},
        {"Note: smells\n", REPLY_NOTE, "smells"},
        {"note\n", REPLY_NOTE, ""},
        {"skip battery empty\n", REPLY_SKIP, "battery empty"},
        {"SKIP", REPLY_SKIP, ""},
        {"back\n", REPLY_BACK, NULL},
        {"quit\n", REPLY_QUIT, NULL},
        {"", REPLY_QUIT, NULL},
        {"help\n?\n", REPLY_QUIT, NULL},
        {"1", REPLY_VALUE, "1"}, /* a last line without its end counts */
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct talk talk;
        double mass_g;
        char *text = NULL;

        open_talk(&talk, known[i].typed, strlen(known[i].typed));
        assert_int_equal(prompt_ask(&talk.prompt, "?", "a mass in g", take_mass, &mass_g, &text),
                         known[i].reply);
        if (known[i].text == NULL)
            assert_null(text);
        else
            assert_string_equal(text, known[i].text);
        if (strstr(known[i].typed, "help") != NULL)
            check_contains(said(&talk), "a mass in g\n  Or: note WORDS");
        free(text);
        close_talk(&talk);
    }
}

static void
unreadable_and_endless_lines_are_asked_again(void **state)
{
    struct text typed = {0};
    struct talk talk;
    double mass_g;
    char *text = NULL;

    (void)state;
    text_add_bytes(&typed, "1\0002\n\xff\n", 6);
    for (int i = 0; i <= PROMPT_ANSWER_LONGEST; i++)
        text_add(&typed, "9");
    text_add(&typed, "\n2\n");
    open_talk(&talk, typed.data, typed.length);
    assert_int_equal(prompt_ask(&talk.prompt, "?", "", take_mass, &mass_g, &text), REPLY_VALUE);
    assert_string_equal(text, "2");
    check_contains(said(&talk), "that is no readable text, please type it again");
    check_contains(said(&talk), "that is longer than 2000 bytes, please type it again");
    free(text);
    text_clear(&typed);
    close_talk(&talk);
}

static void
reasons_must_be_words(void **state)
{
    static const char typed[] = "\nskip\n9,87\nnote\nnote of it\ndone\nOK\nbattery\n\nback\n";
    struct talk talk;
    char *words = NULL;

    (void)state;
    open_talk(&talk, typed, strlen(typed));
    assert_int_equal(prompt_ask_words(&talk.prompt, "why?", NULL, &words), REPLY_VALUE);
    assert_string_equal(words, "battery");
    free(words);
    assert_int_equal(prompt_ask_words(&talk.prompt, "why?", "typed wrongly", &words), REPLY_VALUE);
    assert_string_equal(words, "typed wrongly");
    free(words);
    assert_int_equal(prompt_ask_words(&talk.prompt, "why?", NULL, &words), REPLY_BACK);
    assert_int_equal(prompt_ask_words(&talk.prompt, "why?", NULL, &words), REPLY_QUIT);
    close_talk(&talk);
}

static void
what_is_said_is_harmless_and_fits(void **state)
{
    struct talk talk;

    (void)state;
    open_talk(&talk, "", 0);
    prompt_say(&talk.prompt, "%s", "bar \x1b[31m\nred");
    assert_string_equal(said(&talk), "bar \\x1b[31m\\nred\n");
    prompt_say(&talk.prompt, "  %s",
               "0123456789 0123456789 0123456789 0123456789 0123456789 0123456789 0123456789 0123456789");
    talk.prompt.width = 44;
    prompt_say(&talk.prompt, "%s", "0123456789 0123456789 0123456789 0123456789");
    check_contains(said(&talk), "\n0123456789 0123456789 0123456789\n0123456789\n");
    check_contains(said(&talk), "  0123456789 0123456789 0123456789 0123456789 0123456789 0123456789 "
                                "0123456789\n  0123456789\n");
    close_talk(&talk);
}

static void
a_pipe_does_not_wait(void **state)
{
    struct talk talk;
    int elapsed_s = 0;

    (void)state;
    open_talk(&talk, "next\n", 5);
    assert_false(prompt_wait(&talk.prompt, 86400, &elapsed_s));
    assert_int_equal(elapsed_s, 86400);
    close_talk(&talk);
}

static void
a_terminal_counts_down_and_is_cut_short(void **state)
{
    struct talk talk;
    int person, bench, elapsed_s = -1;

    (void)state;
    assert_int_equal(openpty(&person, &bench, NULL, NULL, NULL), 0);
    open_talk(&talk, "", 0);
    fclose(talk.prompt.in);
    talk.prompt.in = fdopen(bench, "r");
    talk.prompt.terminal = true;
    assert_int_equal(write(person, "\n", 1), 1);
    assert_true(prompt_wait(&talk.prompt, 600, &elapsed_s));
    assert_true(elapsed_s < 600);
    check_contains(said(&talk), "10:00 left, Enter goes on");
    assert_int_equal(getc(talk.prompt.in), '\n'); /* the line is left for the next question */
    assert_false(prompt_wait(&talk.prompt, 1, &elapsed_s));
    assert_int_equal(elapsed_s, 1);
    check_contains(said(&talk), "0:00 left");
    close(person);
    close_talk(&talk);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(what_cannot_be_is_asked_again),
    cmocka_unit_test(words_are_known_everywhere),
    cmocka_unit_test(unreadable_and_endless_lines_are_asked_again),
    cmocka_unit_test(reasons_must_be_words),
    cmocka_unit_test(what_is_said_is_harmless_and_fits),
    cmocka_unit_test(a_pipe_does_not_wait),
    cmocka_unit_test(a_terminal_counts_down_and_is_cut_short),
};

const struct check_module test_command_prompt = CHECK_MODULE("command/prompt", tests);
