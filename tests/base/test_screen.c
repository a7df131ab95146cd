/* test_screen.c - what is written to a screen arrives visible, however it is cut into pieces. */
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "screen.h"
#include "text.h"

struct looked {
    struct screen *screen;
    FILE *behind, *stream;
    char *shown;
    size_t size;
};

static void
begin(struct looked *looked)
{
    *looked = (struct looked){0};
    looked->behind = open_memstream(&looked->shown, &looked->size);
    assert_non_null(looked->behind);
    looked->screen = screen_open(looked->behind, false, &looked->stream);
}

static void
end(struct looked *looked, const char *expected)
{
    assert_int_equal(screen_close(looked->screen), 0);
    fclose(looked->behind);
    assert_string_equal(looked->shown, expected);
    free(looked->shown);
}

static void
what_does_not_show_becomes_visible(void **state)
{
    struct looked looked;

    (void)state;
    begin(&looked);
    fprintf(looked.stream, "a line\nW\033[31m\342\200\256\a\r \303\244 \346\237\232 \377\n");
    end(&looked, "a line\nW\\x1b[31m\\u202e\\x07\\r \303\244 \346\237\232 \\xff\n");
}

/* A stream hands over what it has when it is flushed, in the midst of a character too. */
static void
characters_may_come_in_pieces(void **state)
{
    static const char text[] = "\303\244\342\202\254\360\237\247\274\342\200\213z";
    struct looked looked;

    (void)state;
    begin(&looked);
    for (const char *byte = text; *byte != '\0'; byte++) {
        fputc(*byte, looked.stream);
        fflush(looked.stream);
    }
    end(&looked, "\303\244\342\202\254\360\237\247\274\\u200bz");
    begin(&looked);
    fputs("cut \342\202", looked.stream); /* at the end what is not whole is shown as it is */
    end(&looked, "cut \\xe2\\x82");
}

static void
only_this_program_knows_its_marks(void **state)
{
    struct looked looked, other;
    const char *mark;
    char *text;

    (void)state;
    begin(&looked);
    begin(&other);
    for (const char *byte = screen_tone(looked.screen, TONE_BAD); *byte != '\0'; byte++) {
        fputc(*byte, looked.stream);
        fflush(looked.stream);
    }
    fprintf(looked.stream, "lye-heavy%s%s|", screen_tone(looked.screen, TONE_PLAIN),
            screen_line_again(looked.screen));
    fputs("\033[0m\033[32m\033[1;31m", looked.stream); /* the colours themselves are foreign text */
    end(&looked, "\033[1;31mlye-heavy\033[0m\r|\\x1b[0m\\x1b[32m\\x1b[1;31m");

    begin(&looked);
    mark = screen_tone(other.screen, TONE_GOOD); /* of another run */
    text = text_format("\\x1b%s", mark + 1);
    fputs(mark, looked.stream);
    end(&looked, text);
    free(text);
    end(&other, "");
}

static void
data_for_another_program_passes(void **state)
{
    struct looked looked;

    (void)state;
    begin(&looked);
    fputs("\033", looked.stream);
    screen_pass_data(looked.screen);
    fputs("W\033\302\255\377\n", looked.stream);
    fflush(looked.stream);
    screen_close(looked.screen);
    fclose(looked.behind);
    check_contains(looked.shown, "W\033\302\255\377\n");
    free(looked.shown);
}

static void
a_full_disk_is_told(void **state)
{
    FILE *full = fopen("/dev/full", "w"), *stream;
    struct screen *screen = screen_open(full, true, &stream);

    (void)state;
    fputs("a line\n", stream);
    assert_int_equal(screen_close(screen), ENOSPC);
    fclose(full);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(what_does_not_show_becomes_visible),
    cmocka_unit_test(characters_may_come_in_pieces),
    cmocka_unit_test(only_this_program_knows_its_marks),
    cmocka_unit_test(data_for_another_program_passes),
    cmocka_unit_test(a_full_disk_is_told),
};

const struct check_module test_base_screen = CHECK_MODULE("base/screen", tests);
