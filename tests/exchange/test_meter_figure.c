/* test_meter_figure.c - a meter's slope and offset by date. */
#include "meter_figure.h"

#include "check.h"

/* By hand; the days are whole. 86400 s make a day. */
static struct calibration calibrations[] = {
    {.taken_at = 100 * 86400, .slope_percent = 99.0, .offset_mv = -2.0},
    {.taken_at = 110 * 86400 + 43200,
     .slope_percent = 88.0,
     .offset_mv = 35.0,
     .verdict = CALIBRATION_REFUSED},
    {.taken_at = 111 * 86400, .purpose = CALIBRATION_CHECK, .slope_percent = 98.0, .offset_mv = 1.0},
    {.taken_at = 112 * 86400, .declared = true, .slope_percent = NAN, .offset_mv = NAN},
    {.taken_at = 120 * 86400, .slope_percent = 97.0, .offset_mv = 3.0, .verdict = CALIBRATION_MARGINAL},
};
static char name[] = "bench";
static const struct gear meter = {.name = name, .kind = GEAR_METER};

static void
slopes_and_offsets_stand_by_date(void **state)
{
    struct failure failure = {0};
    struct figure figure;
    const struct figure_series *slopes, *offsets;

    (void)state;
    check_ok(meter_figure(&meter, calibrations, LENGTH(calibrations), &figure, &failure), &failure);
    assert_int_equal(figure.panels_length, 2);
    assert_int_equal(figure.x_axis, FIGURE_X_DATES);
    slopes = figure.panels[0]->series[0];
    offsets = figure.panels[1]->series[0];
    assert_int_equal(slopes->length, 2);
    check_close(slopes->points[0].x, 100.0, 0.0, "by hand");
    check_close(slopes->points[0].y, 99.0, 0.0, "by hand");
    check_close(slopes->points[1].y, 97.0, 0.0, "by hand");
    check_close(offsets->points[1].y, 3.0, 0.0, "by hand");
    figure_clear(&figure);
}

static void
refused_calibrations_are_a_series_of_their_own(void **state)
{
    struct failure failure = {0};
    struct figure figure;
    const struct figure_series *refused;

    (void)state;
    check_ok(meter_figure(&meter, calibrations, LENGTH(calibrations), &figure, &failure), &failure);
    assert_int_equal(figure.panels[0]->series_length, 2);
    refused = figure.panels[0]->series[1];
    assert_string_equal(refused->title, "refused calibration");
    assert_int_not_equal(refused->kin, figure.panels[0]->series[0]->kin);
    assert_int_equal(refused->length, 1);
    check_close(refused->points[0].x, 110.5, 0.0, "by hand: noon");
    figure_clear(&figure);
}

static void
without_a_slope_there_is_nothing_to_plot(void **state)
{
    struct failure failure = {0};
    struct figure figure;

    (void)state;
    check_refused(meter_figure(&meter, &calibrations[2], 2, &figure, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "no calibration in two buffers");
    check_refused(meter_figure(&meter, NULL, 0, &figure, &failure), STATUS_MISSING, &failure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(slopes_and_offsets_stand_by_date),
    cmocka_unit_test(refused_calibrations_are_a_series_of_their_own),
    cmocka_unit_test(without_a_slope_there_is_nothing_to_plot),
};

const struct check_module test_exchange_meter_figure = CHECK_MODULE("exchange/meter_figure", tests);
