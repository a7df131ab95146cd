/* figure.h - what a plot shows, without a word about how it is drawn.
 *
 * Rules
 * (1) A figure has one or more panels, one above the other, over one x axis.
 * (2) Texts are copied and may hold anything a person typed; the drawing makes them harmless.
 * (3) Series of one kin (one batch, say) share their colour and the shape of their marks, so that neither
 *     is needed to read the other. Series of the same title and style share one line of the legend.
 * (4) A panel of bars has bars only, named at the left, the first one on top. */
#ifndef FIGURE_H
#define FIGURE_H

#include <stdbool.h>
#include <stddef.h>

#include "clock.h"

enum figure_style {
    FIGURE_POINTS, /* marks, with uncertainty bars where y_low and y_high are known */
    FIGURE_RANGES, /* only known to lie from y_low to y_high, as read from paper: an upright bar */
    FIGURE_CURVE,  /* a line, with a band where y_low and y_high are known */
    FIGURE_BARS    /* lying bars from 0 to x; made by figure_add_bar() */
};

enum figure_axis {
    FIGURE_X_NUMBER,
    FIGURE_X_DAYS, /* days since something, from 0; with an origin also as calendar dates above */
    FIGURE_X_DATES /* x is a civil_day */
};

struct figure_point {
    double x;
    double y;             /* NAN in a range */
    double y_low, y_high; /* NAN: not known */
    bool hollow;          /* superseded: shown, but does not count */
};

struct figure_series {
    char *title; /* in the legend; NULL: none */
    enum figure_style style;
    unsigned kin;
    struct figure_point *points;
    size_t length, capacity;
};

/* A level across the panel, or a band when low and high differ, with its label at the right. */
struct figure_level {
    double low, high;
    char *label;
};

struct figure_panel {
    char *y_label;
    double y_low, y_high; /* NAN: as the data ask */
    bool no_numbers;      /* the levels say what y means, as words do */
    struct figure_series **series;
    size_t series_length, series_capacity;
    struct figure_level *levels;
    size_t levels_length, levels_capacity;
    char **bars; /* names, by y */
    size_t bars_length, bars_capacity;
};

/* Owns everything below it. */
struct figure {
    char *title, *x_label;
    enum figure_axis x_axis;
    civil_day origin;     /* FIGURE_X_DAYS: the date of day 0; DAY_NONE: no calendar */
    double x_low, x_high; /* NAN: as the data ask */
    struct figure_panel **panels;
    size_t panels_length, panels_capacity;
};

void figure_init(struct figure *figure, const char *title, const char *x_label, enum figure_axis x_axis);
void figure_clear(struct figure *figure);

/* What these give is owned by the figure and stays where it is until figure_clear(). */
struct figure_panel *figure_add_panel(struct figure *figure, const char *y_label);
struct figure_series *figure_add_series(struct figure_panel *panel, const char *title,
                                        enum figure_style style, unsigned kin);

/* A mark (y, with bars unless y_low or y_high is NAN), a point of a curve, or a range (y NAN). A point whose
 * place is not a finite number is left out. */
void figure_add_point(struct figure_series *series, double x, double y, double y_low, double y_high,
                      bool hollow);

/* The next bar of a series of FIGURE_BARS, `length` from 0. */
void figure_add_bar(struct figure_panel *panel, struct figure_series *series, const char *name,
                    double length);

/* A level line (limit) and a shaded band (what is usual), from low to high. */
void figure_add_limit(struct figure_panel *panel, double y, const char *label);
void figure_add_band(struct figure_panel *panel, double low, double high, const char *label);

/* True when no series has a point or a bar: levels alone are nothing to look at. */
bool figure_is_empty(const struct figure *figure);

/* The ranges that hold everything there is, with a little room around it; 0 to 1 when there is nothing. */
void figure_x_range(const struct figure *figure, double *ret_low, double *ret_high);
void figure_y_range(const struct figure_panel *panel, double *ret_low, double *ret_high);

#endif
