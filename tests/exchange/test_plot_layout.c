/* test_plot_layout.c - how a page is shared between title, panels, labels and legend. */
#include "plot_layout.h"

#include <locale.h>

#include "check.h"
#include "figures.h"
#include "text.h"

static const struct {
    enum plot_kind kind;
    int width, height;
    bool possible;
} sizes[] = {
    {PLOT_SVG, 0, 0, true},      {PLOT_PNG, 420, 400, true},    {PLOT_SVG, 10000, 10000, true},
    {PLOT_SVG, 239, 400, false}, {PLOT_SVG, 10001, 400, false}, {PLOT_SVG, 800, 119, false},
    {PLOT_SVG, 800, 150, false}, {PLOT_SVG, 240, 400, false},   {PLOT_TEXT, 0, 0, true},
    {PLOT_TEXT, 120, 40, true},  {PLOT_TEXT, 39, 24, false},    {PLOT_TEXT, 79, 12, false},
    {PLOT_PDF, -1, 400, false},  {PLOT_PNG, 800, -5, false},
};

static void
pages_without_room_are_refused(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(sizes); i++) {
        const struct plot_page page = {sizes[i].kind, sizes[i].width, sizes[i].height, "x", "y"};
        struct plot_layout layout = {0};
        struct failure failure = {0};
        struct figure figure;
        enum status status;

        figure_of_a_cure(&figure, "cure");
        status = plot_layout_make(&figure, &page, &layout, &failure);
        if (sizes[i].possible) {
            check_ok(status, &failure);
            assert_true(layout.left > 0 && layout.right > 0 && plot_panel_height(&layout) > 3 * layout.line);
        } else {
            check_refused(status, STATUS_RANGE, &failure);
            check_contains(failure.text, "a plot of ");
        }
        plot_layout_clear(&layout);
        figure_clear(&figure);
    }
}

static void
the_legend_names_each_kind_of_mark_once(void **state)
{
    static const char *const titles[] = {"calibration", "hollow: superseded (corrected)"};
    const struct plot_page page = {PLOT_SVG, 0, 0, "x", "y"};
    struct plot_layout layout = {0};
    struct failure failure = {0};
    struct figure figure;

    (void)state;
    figure_of_a_meter(&figure); /* the same series in two panels */
    check_ok(plot_layout_make(&figure, &page, &layout, &failure), &failure);
    assert_int_equal(layout.entries_length, LENGTH(titles));
    for (size_t i = 0; i < LENGTH(titles); i++)
        assert_string_equal(layout.entries[i].title, titles[i]);
    plot_layout_clear(&layout);
    figure_clear(&figure);
}

static void
many_batches_make_the_page_higher(void **state)
{
    const struct plot_page page = {PLOT_SVG, 0, 0, "x", "y"};
    double heights[2] = {0};

    (void)state;
    for (size_t i = 0; i < 2; i++) {
        struct plot_layout layout = {0};
        struct failure failure = {0};
        struct figure figure;
        struct figure_panel *panel;

        figure_init(&figure, "many", "days", FIGURE_X_DAYS);
        panel = figure_add_panel(&figure, "pH");
        for (unsigned batch = 0; batch < (i == 0 ? 2U : 40U); batch++) {
            char title[40];

            snprintf(title, sizeof title, "a batch with a rather long name %u", batch);
            figure_add_point(figure_add_series(panel, title, FIGURE_POINTS, batch), batch, 9, NAN, NAN,
                             false);
        }
        check_ok(plot_layout_make(&figure, &page, &layout, &failure), &failure);
        heights[i] = layout.height;
        assert_true(plot_panel_height(&layout) > 200);
        plot_layout_clear(&layout);
        figure_clear(&figure);
    }
    assert_true(heights[1] > heights[0] + 100);
}

static void
texts_are_cut_to_their_room(void **state)
{
    static const struct {
        const char *text, *shown;
        size_t columns;
    } known[] = {
        {"oat bar", "oat bar", 7},
        {"oat bars", "oat ba\xe2\x80\xa6", 7},
        {"a\nb", "a\\nb", 7},
        {"\xc3\xa4\xc3\xa4\xc3\xa4", "\xc3\xa4\xe2\x80\xa6", 2},
    };

    (void)state;
    setlocale(LC_CTYPE, "C.UTF-8");
    for (size_t i = 0; i < LENGTH(known); i++) {
        char *shown = plot_shown(known[i].text, known[i].columns);

        assert_string_equal(shown, known[i].shown);
        free(shown);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(pages_without_room_are_refused),
    cmocka_unit_test(the_legend_names_each_kind_of_mark_once),
    cmocka_unit_test(many_batches_make_the_page_higher),
    cmocka_unit_test(texts_are_cut_to_their_room),
};

const struct check_module test_exchange_plot_layout = CHECK_MODULE("exchange/plot_layout", tests);
