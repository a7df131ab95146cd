/* test_figure.c - what a plot shows. */
#include "figure.h"

#include "check.h"
#include "figures.h"

static void
ranges_hold_everything_with_room(void **state)
{
    struct figure figure;
    double low = NAN, high = NAN;

    (void)state;
    figure_of_a_cure(&figure, "cure");
    figure_x_range(&figure, &low, &high);
    assert_true(low < 0.0 && low > -10.0 && high > 112.0 && high < 122.0);
    figure_y_range(figure.panels[0], &low, &high);
    assert_true(low < 8.0 && low > 7.5);     /* the lowest paper reading begins at 8 */
    assert_true(high > 11.3 && high < 12.0); /* the superseded reading's bar ends at 11.3 */
    figure.panels[0]->y_low = 0.0;
    figure.panels[0]->y_high = 14.0;
    figure.x_low = -1.0;
    figure.x_high = 200.0;
    figure_x_range(&figure, &low, &high);
    assert_true(low == -1.0 && high == 200.0);
    figure_y_range(figure.panels[0], &low, &high);
    assert_true(low == 0.0 && high == 14.0);
    figure_clear(&figure);
}

static void
ranges_are_never_without_extent(void **state)
{
    static const enum figure_axis axes[] = {FIGURE_X_NUMBER, FIGURE_X_DAYS, FIGURE_X_DATES};

    (void)state;
    for (size_t i = 0; i < LENGTH(axes); i++) {
        for (int points = 0; points < 2; points++) {
            struct figure figure;
            struct figure_panel *panel;
            struct figure_series *series;
            double low = NAN, high = NAN;

            figure_init(&figure, NULL, NULL, axes[i]);
            panel = figure_add_panel(&figure, NULL);
            series = figure_add_series(panel, NULL, FIGURE_POINTS, 0);
            if (points > 0)
                figure_add_point(series, 20514, 9.87, NAN, NAN, false);
            figure_x_range(&figure, &low, &high);
            assert_true(low < high);
            assert_true(axes[i] != FIGURE_X_DATES || points == 0 || high - low < 14.0);
            figure_y_range(panel, &low, &high);
            assert_true(low < high);
            figure_clear(&figure);
        }
    }
}

static void
what_has_no_place_is_left_out(void **state)
{
    struct figure figure;
    struct figure_panel *panel;
    struct figure_series *points, *ranges;

    (void)state;
    figure_init(&figure, NULL, NULL, FIGURE_X_NUMBER);
    panel = figure_add_panel(&figure, NULL);
    points = figure_add_series(panel, NULL, FIGURE_POINTS, 0);
    ranges = figure_add_series(panel, NULL, FIGURE_RANGES, 0);
    figure_add_point(points, NAN, 9, NAN, NAN, false);
    figure_add_point(points, 1, NAN, 8, 9, false);
    figure_add_point(points, 1, INFINITY, 8, 9, false);
    figure_add_point(ranges, 1, 8.5, 8, NAN, false);
    figure_add_limit(panel, NAN, "none");
    assert_int_equal(points->length + ranges->length + panel->levels_length, 0);
    figure_add_point(points, 1, 9, 8, NAN, false);
    figure_add_point(ranges, 1, NAN, 8, 9, false);
    assert_int_equal(points->length + ranges->length, 2);
    assert_true(isnan(points->points[0].y_low)); /* half a bar is none */
    figure_clear(&figure);
}

static void
levels_alone_are_nothing_to_look_at(void **state)
{
    struct figure figure;
    struct figure_panel *panel;
    struct figure_series *series;

    (void)state;
    figure_init(&figure, "cure", "days", FIGURE_X_DAYS);
    assert_true(figure_is_empty(&figure));
    panel = figure_add_panel(&figure, "pH");
    figure_add_limit(panel, 11.0, "lye-heavy above 11");
    series = figure_add_series(panel, "W-07", FIGURE_POINTS, 0);
    figure_add_point(series, 1.0, (double)NAN, (double)NAN, (double)NAN, false); /* left out */
    assert_true(figure_is_empty(&figure));
    figure_add_point(series, 1.0, 9.9, (double)NAN, (double)NAN, true);
    assert_false(figure_is_empty(&figure));
    figure_clear(&figure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(levels_alone_are_nothing_to_look_at),
    cmocka_unit_test(ranges_hold_everything_with_room),
    cmocka_unit_test(ranges_are_never_without_extent),
    cmocka_unit_test(what_has_no_place_is_left_out),
};

const struct check_module test_exchange_figure = CHECK_MODULE("exchange/figure", tests);
