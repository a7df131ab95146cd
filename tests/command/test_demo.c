/* test_demo.c - "demo": the invented workshop, built through the same commands as a user would type. */
#include <stdlib.h>
#include <unistd.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

/* A command line about the demo's own notebook. */
static void
ask(struct kitchen *kitchen, const char *line)
{
    char *whole = text_format("%s --notebook %s/demo/notebook.sqlite", line, kitchen->folder->path);

    kitchen_do(kitchen, whole);
    free(whole);
}

static char *
read_file(struct kitchen *kitchen, const char *name)
{
    char *path = text_format("%s/demo/%s", kitchen->folder->path, name), *text = NULL;
    struct failure failure = {0};

    check_ok(file_read(path, 1 << 22, &text, &failure), &failure);
    free(path);
    return text;
}

static size_t
count_of(const char *text, const char *part)
{
    size_t count = 0;

    for (text = strstr(text, part); text != NULL; text = strstr(text + 1, part))
        count++;
    return count;
}

static void
the_workshop_is_built_judged_and_drawn(void **state)
{
    struct kitchen *kitchen = *state;
    char *line = text_format("demo %s/demo", kitchen->folder->path), *csv;

    kitchen_set_time(kitchen, "2026-11-25T12:00");
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "invented workshop");
    check_contains(kitchen->out, "trend.csv");
    check_contains(kitchen->out, "within");
    check_contains(kitchen->out, "lye-heavy");
    csv = read_file(kitchen, "trend.csv");
    check_contains(
        csv, "batch,role,made_on,session,taken_at,age_d,method,gear,replicate,ph,ph_low,ph_high,"
             "temperature_c,concentration_pct,ph_at_reference,u_ph,superseded,flags,note,bar,portion,by\n");
    /* samples/workshop.txt: 27 sittings of three meter readings and one paper reading, and one correction */
    assert_int_equal(count_of(csv, ",meter,"), 82);
    assert_int_equal(count_of(csv, ",paper,"), 27);
    check_contains(
        csv,
        "O-01,variant,2026-03-03,17,2026-04-16T09:55,44,meter,bench,1,9.53,,,39.2,"); /* as written there */
    check_contains(csv, "O-01,variant,2026-03-03,17,2026-04-16T09:55,44,meter,bench,1,9.63,,,39.2,");
    free(csv);
    if (access("/usr/bin/gnuplot", X_OK) == 0) {
        char *svg = read_file(kitchen, "cure.svg");

        check_contains(svg, "plain bar (invented)");
        free(svg);
    }
    kitchen_refuses(kitchen, line, "holds a notebook already");
    free(line);
}

static void
the_lye_heavy_bar_is_held_and_the_paper_learned(void **state)
{
    struct kitchen *kitchen = *state;
    char *line = text_format("demo %s/demo", kitchen->folder->path);

    kitchen_set_time(kitchen, "2026-11-25T12:00");
    kitchen_do(kitchen, line);
    free(line);
    ask(kitchen, "batch list");
    check_contains(kitchen->out, "L-01   2026-03-02  lye-heavy  held");
    check_contains(kitchen->out, "P-01   2026-03-02  control    in-cure");
    ask(kitchen, "gear show strips");
    check_contains(kitchen->out, "27 pairs with a checked meter");
    ask(kitchen, "verify");
}

static void
a_mistake_in_the_workshop_is_named_by_its_line(void **state)
{
    struct kitchen *kitchen = *state;
    char *path = file_join(kitchen->folder->path, "workshop.txt");
    char *line = text_format("demo %s/demo", kitchen->folder->path);
    static const char text[] = "# a remark\n\nbatch add W-01 --made 2026-02-30\n";
    struct failure failure = {0};

    check_ok(file_write(path, text, strlen(text), &failure), &failure);
    kitchen->samples = kitchen->folder->path;
    kitchen_refuses(kitchen, line, "workshop.txt:3: --made: '2026-02-30' is not a date");
    free(path);
    free(line);
}

#define DEMO_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    DEMO_TEST(the_workshop_is_built_judged_and_drawn),
    DEMO_TEST(the_lye_heavy_bar_is_held_and_the_paper_learned),
    DEMO_TEST(a_mistake_in_the_workshop_is_named_by_its_line),
};

const struct check_module test_command_demo = CHECK_MODULE("command/demo", tests);
