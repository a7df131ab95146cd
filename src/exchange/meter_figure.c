/* meter_figure.c - a meter's slope and offset over the years. */
#include "meter_figure.h"

#include <math.h>
#include <stdlib.h>

#include "text.h"

/* A day and its part, so that two calibrations of one day stand apart. */
static double
date_of(const struct calibration *calibration)
{
    return (double)calibration->taken_at / CLOCK_DAY_S;
}

static bool
has_slope(const struct calibration *calibration)
{
    return calibration->purpose == CALIBRATION_ADJUST && !isnan(calibration->slope_percent);
}

/* Those that were refused, or the others. */
static void
add_points(const struct calibration *calibrations, size_t count, bool refused, struct figure_panel *slope,
           struct figure_panel *offset)
{
    const char *name = refused ? "refused calibration" : "calibration";
    struct figure_series *slopes = NULL, *offsets = NULL;

    for (size_t i = 0; i < count; i++) {
        const struct calibration *calibration = &calibrations[i];

        if (calibration->withdrawn)
            continue;

        if (!has_slope(calibration) || refused != (calibration->verdict == CALIBRATION_REFUSED))
            continue;
        if (slopes == NULL) {
            slopes = figure_add_series(slope, name, FIGURE_POINTS, refused ? 1 : 0);
            offsets = figure_add_series(offset, name, FIGURE_POINTS, refused ? 1 : 0);
        }
        figure_add_point(slopes, date_of(calibration), calibration->slope_percent, NAN, NAN, false);
        figure_add_point(offsets, date_of(calibration), calibration->offset_mv, NAN, NAN, false);
    }
}

enum status
meter_figure(const struct gear *meter, const struct calibration *calibrations, size_t count,
             struct figure *ret_figure, struct failure *failure)
{
    struct figure_panel *slope, *offset;
    bool any = false;
    char *title;

    for (size_t i = 0; i < count; i++)
        any = any || has_slope(&calibrations[i]);
    if (!any)
        return failure_set(failure, STATUS_MISSING,
                           "'%.60s' has no calibration in two buffers yet, so it has no slope to plot",
                           meter->name);
    title = text_format("meter %s: calibrations", meter->name);
    figure_init(ret_figure, title, "date", FIGURE_X_DATES);
    slope = figure_add_panel(ret_figure, "slope, % of theory");
    offset = figure_add_panel(ret_figure, "offset at pH 7, mV");
    figure_add_band(slope, 95.0, 105.0, "healthy 95 to 105");
    figure_add_limit(slope, 90.0, "accepted from 90");
    figure_add_limit(offset, 30.0, "accepted to 30");
    figure_add_limit(offset, -30.0, "accepted from -30");
    add_points(calibrations, count, false, slope, offset);
    add_points(calibrations, count, true, slope, offset);
    free(title);
    return STATUS_OK;
}
