/* test_next.c - what is shown to be typed next can be pasted into a shell: the shell itself splits it here. */
#include <stdlib.h>

#include "check.h"
#include "kitchen.h"
#include "text.h"

/* The words of the command behind `label`, each ended by '|', as sh takes them. Given. */
static char *
words_of(const char *screen, const char *label)
{
    const char *begin = strstr(screen, label);
    char *line, words[1024];
    size_t length;
    FILE *shell;

    check_contains(screen, label);
    begin += strlen(label);
    line = text_format("printf '%%s|' %.*s", (int)strcspn(begin, "\n"), begin);
    shell = popen(line, "r");
    assert_non_null(shell);
    length = fread(words, 1, sizeof words - 1, shell);
    words[length] = '\0';
    assert_int_equal(pclose(shell), 0);
    free(line);
    return text_format("%s", words);
}

static void
check_words(const char *screen, const char *label, const char *expected)
{
    char *words = words_of(screen, label);

    assert_string_equal(words, expected);
    free(words);
}

static void
set_up(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "batch add 'plain bar' --made 2026-03-02 --fat 'olive oil=1000' --lye naoh=128");
    kitchen_do(kitchen, "batch add \"Mai's; bar\" --made 2026-03-02 --fat 'olive oil=1000' --lye naoh=128");
    kitchen_do(kitchen,
               "gear add 'kitchen meter' --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
}

static void
codes_are_shown_as_they_are_typed(void **state)
{
    struct kitchen *kitchen = *state;

    set_up(kitchen);
    check_words(kitchen->out, "next: curetrace ", "calibrate|kitchen meter|");
    kitchen_do(kitchen, "due");
    check_words(kitchen->out, "next: curetrace ", "test|Mai's; bar|");
    kitchen_refuses(kitchen, "verdict \"Mai's; bar\"", "no readings yet (curetrace test ");
    check_contains(kitchen->failure.text, "'Mai'\\''s; bar'");
    kitchen_do(kitchen, "read 'plain bar' --ph 10.1 --temperature-c 40 --percent 1 --at 2026-05-10T10:00");
    check_words(kitchen->out, "next: curetrace ", "verdict|plain bar|");
    kitchen_do(kitchen, "read \"Mai's; bar\" --ph 10 --temperature-c 40 --percent 1 --at 2026-05-10T10:20");
    check_words(kitchen->out, "next: curetrace ", "verdict|Mai's; bar|");
    kitchen_do(kitchen, "compare 'plain bar' \"Mai's; bar\"");
    check_words(kitchen->out, "next: curetrace ", "plan|plain bar|Mai's; bar|");
    kitchen_do(kitchen, "verdict 'plain bar' \"Mai's; bar\"");
    check_words(kitchen->out, "next: curetrace ", "verdict|plain bar|");
    kitchen_do(kitchen, "titrate \"Mai's; bar\" --soap-g 10 --acid-mol-l 0.1 --volume-ml 25 --at 2026-05-11");
    kitchen->width = 200; /* a sentence is broken into lines, a command alone is not */
    kitchen_do(kitchen, "verdict \"Mai's; bar\"");
    check_words(kitchen->out, "what would bring it back:\n      curetrace ", "rework|Mai's; bar|");
    kitchen_do(kitchen, "read 'plain bar' --ph 12 --temperature-c 40 --percent 1 --at 2026-05-12T10:00");
    kitchen_do(kitchen, "verdict 'plain bar'");
    check_words(kitchen->out, "titrate two bars, labelled:\n      curetrace ",
                "titrate|plain bar/1|plain bar/2|");
    kitchen_do(kitchen, "rework \"Mai's; bar\" --as \"Mai's other\" --with 'olive oil'");
    check_words(kitchen->out, "next: curetrace ", "titrate|Mai's other/1|Mai's other/2|");
    check_words(kitchen->out, "is left: curetrace ",
                "batch|discard|Mai's; bar|--why|reworked into Mai's other|");
}

static void
a_notebook_that_was_named_is_named_again(void **state)
{
    struct kitchen *kitchen = *state;
    char *notebook = text_format("%s/my notebook.sqlite", kitchen->folder->path);
    char *line = text_format("batch add W-07 --made 2026-03-02 --notebook '%s'", notebook);
    char *words = text_format("test|W-07|--notebook|%s|", notebook);

    kitchen_do(kitchen, line);
    check_words(kitchen->out, "next: curetrace ", words);
    free(words);
    free(line);
    line = text_format("test W-07 --procedure paper-only --at 2026-05-10T10:00 --notebook '%s'", notebook);
    words = text_format("resume|1|--at|2026-05-10T10:00|--notebook|%s|", notebook);
    kitchen_run(kitchen, line); /* wants a paper */
    check_contains(kitchen->failure.text, "paper");
    free(line);
    line = text_format("gear add strips --kind paper --steps 6,7,8,9,10,11 --notebook '%s'", notebook);
    kitchen_do(kitchen, line);
    free(line);
    line = text_format("test W-07 --procedure paper-only --at 2026-05-10T10:00 --notebook '%s'", notebook);
    kitchen_do(kitchen, line);
    check_words(kitchen->out, "next: curetrace ", words);
    free(words);
    free(line);
    line = text_format(
        "read W-07 --water distilled --paper strips --between 8..9 --at 2026-05-10T10:00 --notebook '%s'",
        notebook);
    kitchen_do(kitchen, line);
    free(line);
    line = text_format("verdict W-07 --notebook '%s'", notebook);
    words = text_format("test|W-07|--notebook|%s|", notebook);
    kitchen_do(kitchen, line);
    check_words(kitchen->out, "until then it\n      is not cleared:\n      curetrace ", words);
    free(words);
    free(line);
    line = text_format("demo '%s/a demo'", kitchen->folder->path);
    words = text_format("verdict|L-01|--notebook|%s/a demo/notebook.sqlite|", kitchen->folder->path);
    kitchen_set_time(kitchen, "2026-11-25T12:00");
    kitchen_do(kitchen, line);
    check_words(kitchen->out, "next: curetrace ", words);
    /* one such line, at the end */
    assert_string_equal(strchr(strstr(kitchen->out, "curetrace "), '\n'), "\n");
    free(words);
    free(line);
    free(notebook);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(codes_are_shown_as_they_are_typed, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(a_notebook_that_was_named_is_named_again, kitchen_open, kitchen_close),
};

const struct check_module test_command_next = CHECK_MODULE("command/next", tests);
