/* test_plot_file.c - --plot, --size and --script of the commands that draw. */
#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

static int
furnish(void **state)
{
    static const char *const lines[] = {
        "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc",
        "gear add scale --kind balance --readability-g 0.01",
        "batch add W-06 --made 2026-03-02",
        "batch add W-07 --made 2026-03-02 --title 'oat <bar>'",
        "calibrate bench --at 2026-05-01T09:30 --buffer borax@25=9.18 --buffer 'lime water@25=12.45'",
        "read W-06 --water distilled --meter bench --at 2026-05-01T10:00 --percent 1 --temperature-c 40 --ph "
        "9.60 --ph 9.61",
        "read W-07 --water distilled --meter bench --at 2026-05-01T10:10 --percent 1 --temperature-c 40 --ph "
        "9.50 --ph 9.51",
    };
    int failed = kitchen_open(state);

    for (size_t i = 0; failed == 0 && i < LENGTH(lines); i++)
        kitchen_do(*state, lines[i]);
    return failed;
}

/* Run a command that draws into a file of that name, and read what was drawn. NULL without gnuplot.
 * Given: free() it. */
static char *
draw(struct kitchen *kitchen, const char *command, const char *name)
{
    struct failure failure = {0};
    char *path = file_join(kitchen->folder->path, name), *line = text_format("%s --plot %s", command, path);
    char *drawn = NULL;

    if (kitchen_run(kitchen, line) == STATUS_MISSING && strstr(kitchen->failure.text, "gnuplot") != NULL) {
        drawn = NULL; /* not installed on this machine */
    } else {
        check_ok(kitchen->failure.status, &kitchen->failure);
        check_contains(kitchen->err, path);
        check_ok(file_read(path, 1 << 20, &drawn, &failure), &failure);
    }
    free(line);
    free(path);
    return drawn;
}

static void
every_command_that_draws_takes_a_size(void **state)
{
    static const struct {
        const char *command, *part;
    } known[] = {
        {"trend W-07 --size 700x400", "oat &lt;bar&gt;"},
        {"compare W-06 W-07 --size 700x400", "W-06"},
        {"verdict W-07 --budget --size 700x400", "Where the uncertainty of W-07 comes from"},
        {"gear show bench --size 700x400", "meter bench: calibrations"},
    };

    for (size_t i = 0; i < LENGTH(known); i++) {
        char *svg = draw(*state, known[i].command, "x.svg");

        if (svg == NULL)
            skip();
        check_contains(svg, "viewBox=\"0 0 700 400\"");
        check_contains(svg, known[i].part);
        free(svg);
    }
}

static void
a_script_stays_beside_its_plot(void **state)
{
    struct kitchen *kitchen = *state;
    char *svg = draw(kitchen, "trend W-07 --script", "x.svg");
    char *script = file_join(kitchen->folder->path, "x.svg.gnuplot");
    char *data = file_join(kitchen->folder->path, "x.svg.dat");

    if (svg == NULL)
        skip();
    assert_true(file_exists(script));
    assert_true(file_exists(data));
    check_contains(kitchen->err, "x.svg.gnuplot");
    free(data);
    free(script);
    free(svg);
}

static void
wrong_words_about_a_plot_are_refused(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"trend W-07 --size 700x400", "--size is about a plot: --plot FILE too"},
        {"compare W-06 W-07 --script", "--script is about a plot"},
        {"gear show bench --script", "--script is about a plot"},
        {"trend W-07 --plot x.svg --size 700", "--size '700' is no size"},
        {"trend W-07 --plot x.svg --size 0x400", "is no size"},
        {"trend W-07 --plot x.svg --size 700x-4", "is no size"},
        {"trend W-07 --plot x.svg --size 700x400px", "is no size"},
        {"trend W-07 --plot x.svg --size 9999999x4", "is no size"},
        {"verdict W-07 --plot x.svg", "--budget too"},
        {"verdict W-06 W-07 --budget --plot x.svg", "of one batch"},
        {"gear show scale --plot x.svg", "'scale' is no meter"},
    };

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(*state, bad[i].line, bad[i].text);
}

#define in_kitchen(behaviour) cmocka_unit_test_setup_teardown(behaviour, furnish, kitchen_close)
static const struct CMUnitTest tests[] = {
    in_kitchen(every_command_that_draws_takes_a_size),
    in_kitchen(a_script_stays_beside_its_plot),
    in_kitchen(wrong_words_about_a_plot_are_refused),
};

const struct check_module test_command_plot_file = CHECK_MODULE("command/plot_file", tests);
