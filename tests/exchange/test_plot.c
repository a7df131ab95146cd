/* test_plot.c - figures drawn by gnuplot. Where it is not installed the drawing tests are skipped. */
#include "plot.h"

#include <dirent.h>
#include <locale.h>
#include <sys/stat.h>
#include <unistd.h>

#include "check.h"
#include "figures.h"
#include "file.h"
#include "text.h"

static char *folder;

static int
enter_folder(void **state)
{
    (void)state;
    setlocale(LC_CTYPE, "C.UTF-8");
    folder = text_format("/tmp/curetrace-test.XXXXXX");
    if (mkdtemp(folder) == NULL || chdir(folder) != 0)
        return -1;
    setenv("TMPDIR", folder, 1);
    return 0;
}

/* Number of files in the test's folder; removes them when asked. */
static int
files_left(bool and_remove)
{
    DIR *dir = opendir(folder);
    int count = 0;

    for (struct dirent *entry; (entry = readdir(dir)) != NULL;) {
        if (entry->d_name[0] == '.')
            continue;
        count++;
        if (and_remove)
            unlink(entry->d_name);
    }
    closedir(dir);
    return count;
}

static int
leave_folder(void **state)
{
    (void)state;
    files_left(true);
    if (chdir("/") != 0 || rmdir(folder) != 0)
        return -1;
    free(folder);
    return 0;
}

static bool
has_gnuplot(void)
{
    bool found = false;
    char *path = memory_copy(getenv("PATH"));

    for (char *rest = path, *place; (place = strsep(&rest, ":")) != NULL;) {
        char *program = file_join(place, "gnuplot");

        found = found || access(program, X_OK) == 0;
        free(program);
    }
    free(path);
    return found;
}

/* Every element that begins also ends, in the right order; attributes are quoted. */
static void
check_well_formed(const char *svg)
{
    char names[64][32];
    size_t depth = 0, elements = 0;

    while ((svg = strchr(svg, '<')) != NULL) {
        size_t length = strcspn(svg, ">"), name = strcspn(svg + 1, " \t\r\n/>");
        bool closing = svg[1] == '/';

        assert_int_equal(svg[length], '>');
        if (svg[1] == '?' || svg[1] == '!') {
            svg += length;
            continue;
        }
        if (closing) {
            name = length - 2;
            assert_true(depth > 0);
            depth--;
            assert_int_equal(strlen(names[depth]), name);
            assert_int_equal(strncmp(names[depth], svg + 2, name), 0);
        } else if (svg[length - 1] != '/') {
            assert_true(depth < LENGTH(names) && name < sizeof names[0]);
            snprintf(names[depth++], sizeof names[0], "%.*s", (int)name, svg + 1);
            elements++;
        }
        svg += length;
    }
    assert_int_equal(depth, 0);
    assert_true(elements > 20);
}

static void
an_svg_holds_the_title_and_is_well_formed(void **state)
{
    struct failure failure = {0};
    struct figure figure;
    char *svg = NULL;

    (void)state;
    if (!has_gnuplot())
        skip();
    figure_of_a_cure(&figure, "W-06 & W-07 <oat>");
    check_ok(plot_write(&figure, "cure.svg", NULL, &failure), &failure);
    check_ok(file_read("cure.svg", 1 << 20, &svg, &failure), &failure);
    check_contains(svg, "<title>W-06 &amp; W-07 &lt;oat&gt;</title>");
    check_contains(svg, "<text>W-06 &amp; W-07 &lt;oat"); /* drawn */
    check_contains(svg, "<text>lye-heavy above 11.0</text>");
    check_contains(svg, "<text>2026-03-02</text>");
    check_well_formed(svg);
    assert_int_equal(files_left(true), 1); /* the private folder is gone */
    free(svg);
    figure_clear(&figure);
}

static void
nothing_that_was_typed_runs(void **state)
{
    static const char *const names[] = {
        "x.svg", "x.png", "x.pdf", "|touch ran;x.svg", "< touch ran;x.svg", "it's `touch ran`.svg"};
    const struct plot_options options = {.keep_script = true};

    (void)state;
    if (!has_gnuplot())
        skip();
    for (size_t i = 0; i < LENGTH(names); i++) {
        struct failure failure = {0};
        struct figure figure;

        figure_of_trouble(&figure);
        check_ok(plot_write(&figure, names[i], &options, &failure), &failure);
        assert_true(file_exists(names[i]));
        assert_false(file_exists("ran"));
        assert_int_equal(files_left(true), 3);
        figure_clear(&figure);
    }
}

static void
images_are_what_their_ending_says(void **state)
{
    static const struct {
        const char *name, *beginning, *source;
    } known[] = {
        {"x.png", "\x89PNG\r\n\x1a\n", "PNG specification, 3rd edition, 5.2"},
        {"x.PDF", "%PDF-1.", "ISO 32000-1, 7.5.2"},
    };

    (void)state;
    if (!has_gnuplot())
        skip();
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        struct figure figure;
        char beginning[16] = "";
        FILE *image;

        figure_of_a_budget(&figure);
        check_ok(plot_write(&figure, known[i].name, NULL, &failure), &failure);
        image = fopen(known[i].name, "rb");
        assert_int_equal(fread(beginning, 1, strlen(known[i].beginning), image), strlen(known[i].beginning));
        assert_string_equal(beginning, known[i].beginning);
        fclose(image);
        figure_clear(&figure);
    }
    files_left(true);
}

static void
a_text_holds_what_a_plot_shows(void **state)
{
    struct failure failure = {0};
    struct figure figure;
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);

    (void)state;
    if (!has_gnuplot()) {
        fclose(out);
        free(text);
        skip();
    }
    figure_of_a_cure(&figure, HOSTILE);
    check_ok(plot_text(&figure, 79, 30, out, &failure), &failure);
    fclose(out);
    check_contains(text, "`touch ran` $(touch ran) it's \"q\" @HOME %d %s \\n {/Bold x}");
    check_contains(text, "lye-heavy above 11.0\n");
    check_contains(text, "days since pouring\n");
    assert_null(strchr(text, '\033'));
    assert_null(strchr(text, '\f'));
    assert_false(file_exists("ran"));
    for (char *rest = text, *line; (line = strsep(&rest, "\n")) != NULL;)
        assert_true(text_width(line) <= 79);
    free(text);
    figure_clear(&figure);
}

static void
an_svg_for_a_page_is_one_element_with_its_own_ids(void **state)
{
    struct failure failure = {0};
    struct figure figure;
    char *svg = NULL;

    (void)state;
    if (!has_gnuplot())
        skip();
    figure_of_a_budget(&figure);
    check_ok(plot_svg(&figure, NULL, "w07", &svg, &failure), &failure);
    assert_int_equal(strncmp(svg, "<svg", 4), 0);
    check_contains(svg, "id=\"w07gnuplot_canvas\"");
    check_contains(svg, "<title>Where the uncertainty of W-07 comes from</title>");
    check_lacks(svg, "id='gp");
    check_lacks(svg, "href='#gp");
    check_well_formed(svg);
    free(svg);
    figure_clear(&figure);
    assert_int_equal(files_left(true), 0);
}

static void
without_gnuplot_script_and_data_are_left(void **state)
{
    struct failure failure = {0};
    struct figure figure;
    char *path = memory_copy(getenv("PATH")), *script = NULL;

    (void)state;
    setenv("PATH", "/nowhere", 1);
    figure_of_a_cure(&figure, "cure");
    check_refused(plot_write(&figure, "cure.svg", NULL, &failure), STATUS_MISSING, &failure);
    setenv("PATH", path, 1);
    assert_string_equal(failure.text,
                        "gnuplot is not installed (apt-get install gnuplot-nox); its script and data are "
                        "'cure.svg.gnuplot' and 'cure.svg.dat'");
    check_ok(file_read("cure.svg.gnuplot", 1 << 20, &script, &failure), &failure);
    check_contains(script, "set output './cure.svg'\n");
    check_contains(script, "plot './cure.svg.dat' index 0");
    assert_true(file_exists("cure.svg.dat"));
    assert_false(file_exists("cure.svg"));
    assert_int_equal(files_left(true), 2);
    free(path);
    free(script);
    figure_clear(&figure);
}

static void
trouble_is_one_line_and_leaves_the_old_file(void **state)
{
    struct failure failure = {0};
    struct figure figure;
    char *path = memory_copy(getenv("PATH")), *old = NULL;
    /* Stands in for a gnuplot that draws half and fails. */
    static const char broken[] =
        "#!/bin/sh\necho half >figure.svg\n/bin/printf '\\n\\033[31mline 3: no\\n\\n' >&2\nexit 1\n";
    static const char silent[] = "#!/bin/sh\nexit 0\n";

    (void)state;
    figure_of_a_cure(&figure, "cure");
    check_refused(plot_write(&figure, "cure.gif", NULL, &failure), STATUS_USAGE, &failure);
    assert_string_equal(failure.text, "'cure.gif' does not end in .svg, .png or .pdf");
    check_ok(file_write("cure.svg", "old", 3, &failure), &failure);
    check_ok(file_write("gnuplot", broken, strlen(broken), &failure), &failure);
    assert_int_equal(chmod("gnuplot", 0700), 0);
    setenv("PATH", folder, 1);
    check_refused(plot_write(&figure, "cure.svg", NULL, &failure), STATUS_SYSTEM, &failure);
    assert_string_equal(failure.text, "gnuplot failed: \\x1b[31mline 3: no");
    check_ok(file_write("gnuplot", silent, strlen(silent), &failure), &failure);
    assert_int_equal(chmod("gnuplot", 0700), 0);
    check_refused(plot_write(&figure, "cure.svg", NULL, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "gnuplot made no 'figure.svg'");
    setenv("PATH", path, 1);
    check_ok(file_read("cure.svg", 100, &old, &failure), &failure);
    assert_string_equal(old, "old");
    setenv("TMPDIR", "/nowhere", 1);
    check_refused(plot_write(&figure, "cure.svg", NULL, &failure), STATUS_SYSTEM, &failure);
    check_contains(failure.text, "cannot make the folder '/nowhere/curetrace.");
    setenv("TMPDIR", folder, 1);
    assert_int_equal(files_left(true), 2);
    free(old);
    free(path);
    figure_clear(&figure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(an_svg_holds_the_title_and_is_well_formed),
    cmocka_unit_test(nothing_that_was_typed_runs),
    cmocka_unit_test(images_are_what_their_ending_says),
    cmocka_unit_test(a_text_holds_what_a_plot_shows),
    cmocka_unit_test(an_svg_for_a_page_is_one_element_with_its_own_ids),
    cmocka_unit_test(without_gnuplot_script_and_data_are_left),
    cmocka_unit_test(trouble_is_one_line_and_leaves_the_old_file),
};

const struct check_module test_exchange_plot = {"exchange/plot", tests, LENGTH(tests), enter_folder,
                                                leave_folder};
