/* test_plot_series.c - series as data blocks and the clauses that draw them. */
#include "plot_series.h"

#include "check.h"
#include "figures.h"

static const struct plot_page page = {PLOT_SVG, 0, 0, "figure.svg", "figure.dat"};

/* The script and the data of one panel. */
static void
draw(const struct figure *figure, const struct plot_page *onto, struct text *script, struct text *data)
{
    struct plot_layout layout = {0};
    struct failure failure = {0};
    struct plot_writer writer = {.layout = &layout, .script = script, .data = data};

    check_ok(plot_layout_make(figure, onto, &layout, &failure), &failure);
    plot_draw_series(&writer, figure->panels[0]);
    plot_layout_clear(&layout);
}

static void
numbers_go_into_the_data_as_they_are(void **state)
{
    struct figure figure;
    struct figure_series *series;
    struct text script = {0}, data = {0};

    (void)state;
    figure_init(&figure, NULL, NULL, FIGURE_X_NUMBER);
    series = figure_add_series(figure_add_panel(&figure, NULL), "W-07\nmeter", FIGURE_POINTS, 0);
    figure_add_point(series, 1, 9.87, 9.8, 9.94, false);
    figure_add_point(series, 2.5, 9.5, NAN, NAN, false);
    figure_add_point(series, 3, 11.2, NAN, NAN, true);
    draw(&figure, &page, &script, &data);
    assert_string_equal(text_of(&data), "# W-07\\nmeter; uncertainty: x, low, high\n1 9.8 9.94\n"
                                        "\n\n# W-07\\nmeter; superseded: x, y\n3 11.2\n"
                                        "\n\n# W-07\\nmeter; marks: x, y\n1 9.87\n2.5 9.5\n");
    check_contains(text_of(&script), "plot 'figure.dat' index 0 using");
    check_contains(text_of(&script), "'figure.dat' index 1 using 1:2 with points pt 6");
    check_contains(text_of(&script), "'figure.dat' index 2 using 1:2 with points pt 7");
    text_clear(&script);
    text_clear(&data);
    figure_clear(&figure);
}

/* Rule 2: no two of the first 36 kins share colour and mark, and neighbours share neither. */
static void
kins_can_be_told_apart_with_and_without_colour(void **state)
{
    char seen[36][64];

    (void)state;
    for (unsigned kin = 0; kin < 36; kin++) {
        struct figure figure;
        struct text script = {0}, data = {0};
        const char *mark;

        figure_init(&figure, NULL, NULL, FIGURE_X_NUMBER);
        figure_add_point(figure_add_series(figure_add_panel(&figure, NULL), "x", FIGURE_POINTS, kin), 1, 9,
                         NAN, NAN, false);
        draw(&figure, &page, &script, &data);
        mark = strstr(text_of(&script), "pt ");
        assert_non_null(mark);
        snprintf(seen[kin], sizeof seen[kin], "%s", mark);
        for (unsigned other = 0; other < kin; other++)
            assert_string_not_equal(seen[kin], seen[other]);
        if (kin > 0) {
            assert_int_not_equal(atoi(seen[kin] + 3), atoi(seen[kin - 1] + 3));
            assert_string_not_equal(strstr(seen[kin], "rgb"), strstr(seen[kin - 1], "rgb"));
        }
        text_clear(&script);
        text_clear(&data);
        figure_clear(&figure);
    }
}

static void
quotes_are_doubled(void **state)
{
    struct text text = {0};

    (void)state;
    plot_add_quoted(&text, "it's `50 %`", false);
    plot_add_quoted(&text, "it's `50 %`", true);
    assert_string_equal(text_of(&text), "'it''s `50 %`''it''s `50 %%`'");
    text_clear(&text);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(numbers_go_into_the_data_as_they_are),
    cmocka_unit_test(kins_can_be_told_apart_with_and_without_colour),
    cmocka_unit_test(quotes_are_doubled),
};

const struct check_module test_exchange_plot_series = CHECK_MODULE("exchange/plot_series", tests);
