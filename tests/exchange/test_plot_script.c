/* test_plot_script.c - scripts compared with kept ones, whose plots were looked at.
 *
 * A script that differs is left in the build folder: look at its plot before it becomes the kept one. */
#include "plot_script.h"

#include <locale.h>

#include "check.h"
#include "figures.h"
#include "file.h"

static void
check_kept(const char *name, const struct figure *figure, const struct plot_page *page)
{
    struct text script = {0}, data = {0};
    struct failure failure = {0};
    char *kept = NULL;
    char *path = text_format("%s/tests/exchange/%s.expected", getenv("SOURCE_ROOT"), name);
    char *left = text_format("%s/%s.differs", getenv("BUILD_ROOT"), name);

    setlocale(LC_CTYPE, "C.UTF-8");
    check_ok(plot_script(figure, page, &script, &data, &failure), &failure);
    text_addf(&script, "\n# figure.dat\n%s", text_of(&data));
    if (file_read(path, 1 << 20, &kept, &failure) != STATUS_OK || strcmp(kept, text_of(&script)) != 0) {
        file_write(left, text_of(&script), script.length, &failure);
        fail_msg("'%s' differs from '%s'", left, path);
    }
    free(kept);
    free(path);
    free(left);
    text_clear(&script);
    text_clear(&data);
}

static void
a_cure_is_drawn_as_before(void **state)
{
    const struct plot_page page = {PLOT_SVG, 0, 0, "figure.svg", "figure.dat"};
    struct figure figure;

    (void)state;
    figure_of_a_cure(&figure, "W-06 plain bar and W-07 oat bar");
    check_kept("plot_cure", &figure, &page);
    figure_clear(&figure);
}

static void
a_meter_is_drawn_as_before(void **state)
{
    const struct plot_page page = {PLOT_PNG, 1600, 1200, "figure.png", "figure.dat"};
    struct figure figure;

    (void)state;
    figure_of_a_meter(&figure);
    check_kept("plot_meter", &figure, &page);
    figure_clear(&figure);
}

static void
a_budget_is_drawn_as_before(void **state)
{
    const struct plot_page page = {PLOT_PDF, 0, 0, "figure.pdf", "figure.dat"};
    struct figure figure;

    (void)state;
    figure_of_a_budget(&figure);
    check_kept("plot_budget", &figure, &page);
    figure_clear(&figure);
}

static void
a_cure_in_characters_is_drawn_as_before(void **state)
{
    const struct plot_page page = {PLOT_TEXT, 79, 30, "figure.txt", "figure.dat"};
    struct figure figure;

    (void)state;
    figure_of_a_cure(&figure, "W-06 plain bar and W-07 oat bar");
    check_kept("plot_text", &figure, &page);
    figure_clear(&figure);
}

/* What a person typed stays between single quotes on one line, in every place. */
static void
typed_texts_never_leave_their_quotes(void **state)
{
    const struct plot_page page = {PLOT_SVG, 0, 0, "figure.svg", "figure.dat"};
    struct text script = {0}, data = {0};
    struct failure failure = {0};
    struct figure figure;
    size_t found = 0;

    (void)state;
    figure_of_trouble(&figure);
    check_ok(plot_script(&figure, &page, &script, &data, &failure), &failure);
    for (char *rest = script.data, *line; (line = strsep(&rest, "\n")) != NULL;) {
        bool quoted = false;

        for (const char *c = line; *c != '\0'; c++) {
            quoted = *c == '\'' ? !quoted : quoted; /* a doubled quote closes and opens again */
            assert_false((unsigned char)*c < 0x20 || *c == 0x7f);
            if (strchr("`@\"", *c) != NULL || strncmp(c, "touch", 5) == 0) {
                assert_true(quoted);
                found++;
            }
        }
        assert_false(quoted);
        assert_true(strlen(line) < 400); /* the 10,000 letters are cut */
    }
    assert_true(found > 20);
    for (const char *c = data.data; *c != '\0'; c++)
        assert_true(*c == '\n' || (unsigned char)*c >= 0x20);
    text_clear(&script);
    text_clear(&data);
    figure_clear(&figure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_cure_is_drawn_as_before),
    cmocka_unit_test(a_meter_is_drawn_as_before),
    cmocka_unit_test(a_budget_is_drawn_as_before),
    cmocka_unit_test(a_cure_in_characters_is_drawn_as_before),
    cmocka_unit_test(typed_texts_never_leave_their_quotes),
};

const struct check_module test_exchange_plot_script = CHECK_MODULE("exchange/plot_script", tests);
