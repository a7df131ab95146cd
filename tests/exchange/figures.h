/* figures.h - invented figures that the tests of plots draw. */
#ifndef FIGURES_H
#define FIGURES_H

#include <math.h>
#include <string.h>

#include "figure.h"

/* So that kept data do not depend on the last digit of exp(). */
static inline double
figure_round(double number)
{
    return round(number * 1000.0) / 1000.0;
}

/* Two batches across a cure: meter with uncertainty, paper as ranges, a superseded reading, a fitted curve.
 */
static inline void
figure_of_a_cure(struct figure *figure, const char *title)
{
    static const double age_d[] = {1, 3, 7, 14, 28, 56, 84, 112};
    struct figure_panel *panel;
    struct figure_series *series;

    figure_init(figure, title, "days since pouring", FIGURE_X_DAYS);
    figure->origin = 20514; /* 2026-03-02 */
    panel = figure_add_panel(figure, "pH at 40 \302\260C and 1 %");
    figure_add_band(panel, 8.5, 10.5, "usual 8.5 to 10.5");
    figure_add_limit(panel, 11.0, "lye-heavy above 11.0");
    for (unsigned kin = 0; kin < 2; kin++) {
        series = figure_add_series(panel, kin == 0 ? "W-06 meter" : "W-07 meter", FIGURE_POINTS, kin);
        for (unsigned i = 0; i < 8; i++) {
            double ph = figure_round(9.6 + 0.12 * kin + (1.3 - 0.2 * kin) * exp(-0.05 * age_d[i]));
            double u = 0.05 + 0.02 * (i % 3);

            figure_add_point(series, age_d[i], ph, figure_round(ph - u), figure_round(ph + u), false);
        }
        if (kin == 1)
            figure_add_point(series, 14, 11.2, 11.1, 11.3, true);
        series = figure_add_series(
            panel, kin == 0 ? "W-06 paper, between two steps" : "W-07 paper, between two steps",
            FIGURE_RANGES, kin);
        figure_add_point(series, 7.5 + 21 * kin, NAN, 9, 10, false);
        figure_add_point(series, 60 + 10 * kin, NAN, 8, 9, kin == 1);
    }
    series = figure_add_series(panel, "W-06 fitted cure with 95 % band", FIGURE_CURVE, 0);
    for (unsigned i = 0; i <= 40; i++) {
        double x = 2.8 * i, y = figure_round(9.6 + 1.3 * exp(-0.05 * x));
        double half = figure_round(0.03 + 0.08 * exp(-0.1 * x));

        figure_add_point(series, figure_round(x), y, figure_round(y - half), figure_round(y + half), false);
    }
}

/* A meter's slope and offset by date, in two panels. */
static inline void
figure_of_a_meter(struct figure *figure)
{
    static const double slope_pct[] = {99.1, 98.7, 98.8, 97.9, 97.1, 95.2, 98.6};
    static const double offset_mv[] = {2, 4, -1, 7, 12, 18, 3};
    struct figure_panel *slope, *offset;
    struct figure_series *slopes, *offsets;

    figure_init(figure, "meter bench: calibrations", "date", FIGURE_X_DATES);
    slope = figure_add_panel(figure, "slope, % of theory");
    offset = figure_add_panel(figure, "offset at pH 7, mV");
    figure_add_band(slope, 95, 105, "healthy 95 to 105");
    figure_add_limit(slope, 90, "accepted from 90");
    figure_add_limit(offset, 30, "accepted to 30");
    figure_add_limit(offset, -30, "accepted from -30");
    slopes = figure_add_series(slope, "calibration", FIGURE_POINTS, 0);
    offsets = figure_add_series(offset, "calibration", FIGURE_POINTS, 0);
    for (unsigned i = 0; i < 7; i++) {
        double day = 20514.0 + 17.0 * i;

        figure_add_point(slopes, day, slope_pct[i], slope_pct[i] - 0.5, slope_pct[i] + 0.5, i == 5);
        figure_add_point(offsets, day, offset_mv[i], NAN, NAN, i == 5);
    }
}

static inline void
figure_of_a_budget(struct figure *figure)
{
    static const char *const names[] = {"replicate scatter",     "meter resolution",
                                        "calibration",           "buffers",
                                        "drift since the check", "temperature to 40 \302\260C, 50 %%d",
                                        "concentration"};
    static const double share_pct[] = {22.5, 1.3, 41, 18, 9.1, 8, 0.1};
    struct figure_panel *panel;
    struct figure_series *series;

    figure_init(figure, "Where the uncertainty of W-07 comes from", "share of the variance, %",
                FIGURE_X_NUMBER);
    panel = figure_add_panel(figure, NULL);
    series = figure_add_series(panel, NULL, FIGURE_BARS, 0);
    for (unsigned i = 0; i < 7; i++)
        figure_add_bar(panel, series, names[i], share_pct[i]);
}

/* Everything a person could type, in every place of a figure. */
#define HOSTILE                                                                                              \
    "`touch ran` $(touch ran) it's \"q\" @HOME %d %s \\n {/Bold x}_2^3 <b>&\n\r\t\033[31m\342\200\256"

static inline void
figure_of_trouble(struct figure *figure)
{
    struct figure_panel *panel;
    struct figure_series *series;
    char long_title[10001];

    memset(long_title, 'x', sizeof long_title - 1);
    long_title[sizeof long_title - 1] = '\0';
    figure_init(figure, HOSTILE, HOSTILE, FIGURE_X_NUMBER);
    panel = figure_add_panel(figure, HOSTILE);
    figure_add_limit(panel, 11, HOSTILE);
    figure_add_band(panel, 8.5, 10.5, long_title);
    series = figure_add_series(panel, HOSTILE, FIGURE_POINTS, 0);
    figure_add_point(series, 1, 9, 8.9, 9.1, false);
    series = figure_add_series(panel, long_title, FIGURE_CURVE, 1);
    figure_add_point(series, 1, 9, NAN, NAN, false);
    figure_add_point(series, 2, 9.5, NAN, NAN, false);
    panel = figure_add_panel(figure, long_title);
    series = figure_add_series(panel, HOSTILE, FIGURE_BARS, 0);
    figure_add_bar(panel, series, HOSTILE, 2);
    figure_add_bar(panel, series, long_title, 1);
}

#endif
