/* screen.c - the one way to a person's screen. */
#include "screen.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <sys/types.h>

#include "memory.h"
#include "text.h"

enum { MARK_SIZE = 24, LINE_AGAIN = TONES, MARKS };

struct screen {
    FILE *behind, *stream;
    bool data;
    int error; /* errno of the first write that failed */
    char marks[MARKS][MARK_SIZE];
    size_t mark_length;
    struct text waiting; /* the beginning of a character or mark whose rest has not come */
};

/* Rule 2. Without random numbers a mark is merely easier to guess. */
static void
make_marks(struct screen *screen)
{
    unsigned long long secret = 0;
    ssize_t ignored = getrandom(&secret, sizeof secret, GRND_NONBLOCK);

    (void)ignored;
    for (int i = 0; i < MARKS; i++)
        snprintf(screen->marks[i], MARK_SIZE, "\033[%016llx%dm", secret, i);
    screen->mark_length = strlen(screen->marks[0]);
}

/* Which mark begins here; -1 for none, MARKS when it may be one whose end has not come. */
static int
find_mark(const struct screen *screen, const char *text, size_t length)
{
    size_t compared = length < screen->mark_length ? length : screen->mark_length;

    for (int i = 0; i < MARKS; i++)
        if (memcmp(text, screen->marks[i], compared) == 0)
            return compared == screen->mark_length ? i : MARKS;
    return -1;
}

/* Write what is waiting, as far as it is whole, or all of it at the end. */
static bool
pass_on(struct screen *screen, bool end)
{
    static const char *const codes[MARKS] = {"\033[0m",    "\033[32m", "\033[33m",
                                             "\033[1;31m", "\033[2m",  "\r"};
    const char *from = text_of(&screen->waiting);
    size_t left = screen->waiting.length;
    struct text shown = {0}, rest = {0};
    bool good;

    while (left > 0) {
        int mark = *from == '\033' ? find_mark(screen, from, left) : -1;
        size_t taken = 1;

        if (!end && (mark == MARKS || text_is_cut(from, left)))
            break;
        if (mark >= 0 && mark < MARKS) {
            text_add(&shown, codes[mark]);
            taken = screen->mark_length;
        } else if (*from == '\n') {
            text_add(&shown, "\n");
        } else {
            taken = text_add_visible(&shown, from);
        }
        from += taken;
        left -= taken;
    }
    text_add_bytes(&rest, from, left);
    text_clear(&screen->waiting);
    screen->waiting = rest;
    good = fwrite(text_of(&shown), 1, shown.length, screen->behind) == shown.length &&
           fflush(screen->behind) == 0;
    if (!good && screen->error == 0)
        screen->error = errno;
    text_clear(&shown);
    return good;
}

static ssize_t
take(void *cookie, const char *bytes, size_t size)
{
    struct screen *screen = cookie;

    if (screen->data) {
        bool good = fwrite(bytes, 1, size, screen->behind) == size;

        if (!good && screen->error == 0)
            screen->error = errno;
        return good ? (ssize_t)size : 0;
    }
    text_add_bytes(&screen->waiting, bytes, size);
    return pass_on(screen, false) ? (ssize_t)size : 0;
}

struct screen *
screen_open(FILE *behind, bool lines, FILE **ret_stream)
{
    struct screen *screen = memory_new(1, sizeof *screen);

    screen->behind = behind;
    screen->stream = fopencookie(screen, "w", (cookie_io_functions_t){.write = take});
    if (screen->stream == NULL)
        abort(); /* out of memory */
    setvbuf(screen->stream, NULL, lines ? _IOLBF : _IOFBF, BUFSIZ);
    make_marks(screen);
    *ret_stream = screen->stream;
    return screen;
}

int
screen_close(struct screen *screen)
{
    int error;

    fclose(screen->stream);
    pass_on(screen, true);
    error = screen->error;
    text_clear(&screen->waiting);
    free(screen);
    return error;
}

void
screen_pass_data(struct screen *screen)
{
    fflush(screen->stream);
    screen->data = true;
}

const char *
screen_tone(const struct screen *screen, enum tone tone)
{
    return screen->marks[tone];
}

const char *
screen_line_again(const struct screen *screen)
{
    return screen->marks[LINE_AGAIN];
}
