/* meter_check.c - what a meter showed in buffers. */
#include "meter_check.h"

#include <math.h>
#include <stdlib.h>

#include "buffer.h"
#include "electrode.h"
#include "fitness.h"
#include "memory.h"
#include "text.h"

static const double least_span_ph = 0.5;          /* rule 3 */
static const double slope_unknown_fraction = 0.1; /* rule 3 */
static const double stated_dof = 8.0;             /* rule 2 */
static const double neutral_point_ph = 7.0;       /* where an electrode's offset is stated */

/* pH the meter showed, or what an ideal electrode has at the potential it showed. */
static enum status
shown_ph(const struct calibration_point *point, double *ret_ph, struct failure *failure)
{
    if (isfinite(point->displayed_ph)) {
        *ret_ph = point->displayed_ph;
        return STATUS_OK;
    }
    if (isnan(point->potential_mv))
        return failure_set(failure, STATUS_FORMAT, "buffer %s has neither a displayed pH nor millivolts",
                           point->buffer);
    return electrode_ph(point->potential_mv, point->temperature_c, ret_ph, failure);
}

static enum status
take_point(struct meter_check *check, const struct calibration_point *point, bool declared,
           struct failure *failure)
{
    const struct buffer *buffer = NULL;
    size_t i = check->point_count;
    double shown = NAN, u = NAN;
    enum status status = buffer_find(point->buffer, &buffer, failure);

    if (status == STATUS_OK)
        status = buffer_uncertainty(buffer, point->kitchen_made, &u, failure);
    if (status != STATUS_OK)
        return status;
    if (!isfinite(point->table_ph))
        return failure_set(failure, STATUS_RANGE, "buffer %s has no table pH", point->buffer);
    if (!declared && !(point->temperature_c >= 0.0 && point->temperature_c <= 100.0))
        return failure_set(failure, STATUS_RANGE, "buffer %s is at %g degC, allowed is 0 to 100",
                           point->buffer, point->temperature_c);
    if (!declared)
        status = shown_ph(point, &shown, failure);
    if (status != STATUS_OK)
        return status;
    check->table_ph[i] = point->table_ph;
    check->shown_ph[i] = shown;
    check->residual_ph[i] = NAN;
    check->buffer_u_ph[i] = u;
    check->bottle[i] = (struct source){.kind = SOURCE_BOTTLE,
                                       .id = point->bottle_id != 0 ? point->bottle_id
                                             : point->kitchen_made ? SOURCE_MADE
                                                                   : SOURCE_BOUGHT,
                                       .name = buffer->name};
    check->point_u_ph[i] = hypot(u, check->resolution_ph / sqrt(12.0));
    check->point_count++;
    return STATUS_OK;
}

/* Take all points, with the outermost buffers and the mean temperature. */
static enum status
take_points(struct meter_check *check, const struct calibration *calibration, struct failure *failure)
{
    double sum_c = 0.0;

    if (calibration->point_count == 0)
        return failure_set(failure, STATUS_MISSING, "a calibration needs at least one buffer");
    if (calibration->point_count > METER_CHECK_MOST_POINTS)
        return failure_set(failure, STATUS_RANGE, "a calibration has %zu buffers, allowed are %d",
                           calibration->point_count, (int)METER_CHECK_MOST_POINTS);
    check->low_ph = INFINITY;
    check->high_ph = -(double)INFINITY;
    for (size_t i = 0; i < calibration->point_count; i++) {
        enum status status = take_point(check, &calibration->points[i], calibration->declared, failure);

        if (status != STATUS_OK)
            return status;
        check->low_ph = fmin(check->low_ph, check->table_ph[i]);
        check->high_ph = fmax(check->high_ph, check->table_ph[i]);
        sum_c += calibration->points[i].temperature_c;
    }
    check->temperature_c = sum_c / (double)calibration->point_count; /* NAN when one is not stated */
    return STATUS_OK;
}

static double
largest_residual(const struct meter_check *check)
{
    double largest = 0.0;

    for (size_t i = 0; i < check->point_count; i++)
        largest = fmax(largest, fabs(check->residual_ph[i]));
    return largest;
}

/* Can a reading be brought back along the line? */
static bool
readable(const struct line *line)
{
    struct failure ignored = {0};
    double x, x_sd;

    return line_invert(line, line->y_centre, 0.0, &x, &x_sd, &ignored) == STATUS_OK;
}

/* Rule 4 for a line. The worst reason is the one that is told. */
static void
judge_line(struct meter_check *check)
{
    double off = largest_residual(check);

    check->verdict = CALIBRATION_REFUSED;
    if (!readable(&check->line))
        check->reason =
            memory_copy("the buffers lie too close together for how coarsely the meter reads: take "
                        "buffers further apart");
    else if (check->slope_percent < 0.0)
        check->reason = text_format(
            "the slope is negative (%.0f %%): %sa sound electrode falls by about 59 mV a pH, "
            "and alkaline buffers read negative millivolts",
            check->slope_percent, check->point_count == 2 ? "were the two buffers swapped? If not: " : "");
    else if (check->slope_percent < 90.0 || check->slope_percent > 105.0)
        check->reason =
            text_format("the slope is %.1f %%, allowed is 90 to 105 %% (USP <791>): clean or renew the "
                        "electrode, use fresh buffers and calibrate again",
                        check->slope_percent);
    else if (fabs(check->offset_mv) > 30.0)
        check->reason = text_format("the offset at pH 7 is %.1f mV, allowed is 30 mV either way (USP <791>)",
                                    check->offset_mv);
    else if (off > METER_CHECK_AGREEMENT_PH)
        check->reason =
            text_format("a buffer is %.2f pH off the line through them all, allowed is 0.05 (ASTM "
                        "D1287): use fresh buffers and calibrate again",
                        off);
    else if (check->slope_percent < 95.0) {
        check->verdict = CALIBRATION_MARGINAL;
        check->reason = text_format(
            "the slope is %.1f %%; a healthy electrode has 95 %% or more (common practice): clean it soon",
            check->slope_percent);
    } else {
        check->verdict = CALIBRATION_ACCEPTED;
        if (check->point_count == 2)
            check->reason = memory_copy("two buffers leave nothing to judge scatter by: the buffers' own "
                                        "uncertainty and the meter's resolution are assumed");
    }
}

/* Rule 2: how much wider than stated, where the residuals and the stated uncertainties are pooled. */
static double
widening(const struct meter_check *check)
{
    double residual_dof = (double)check->point_count - 2.0, ratio = check->line.residual_sd;

    if (check->point_count < 3)
        return 1.0;
    return fmax(1.0, sqrt((stated_dof + residual_dof * ratio * ratio) / (stated_dof + residual_dof)));
}

static enum status
fit_line(struct meter_check *check, struct failure *failure)
{
    double slope_mv = NAN, at_seven = NAN, sd = NAN;
    enum status status = line_fit(check->table_ph, check->shown_ph, check->point_u_ph, check->point_count,
                                  LINE_SD_AS_STATED, &check->line, failure);

    if (status == STATUS_OK)
        status = electrode_slope(check->temperature_c, &slope_mv, failure);
    if (status != STATUS_OK)
        return status;
    for (size_t i = 0; i < check->point_count; i++) {
        double expected = NAN;

        line_at(&check->line, check->table_ph[i], &expected, &sd);
        check->residual_ph[i] = check->shown_ph[i] - expected;
    }
    line_at(&check->line, neutral_point_ph, &at_seven, &sd);
    check->slope_percent = 100.0 * check->line.slope;
    check->offset_mv = slope_mv * (neutral_point_ph - at_seven); /* alkaline is negative */
    check->widening = widening(check);
    judge_line(check);
    return STATUS_OK;
}

static enum status
fit_shift(struct meter_check *check, struct failure *failure)
{
    double slope_mv = NAN, sum = 0.0;
    enum status status = electrode_slope(check->temperature_c, &slope_mv, failure);

    if (status != STATUS_OK)
        return status;
    for (size_t i = 0; i < check->point_count; i++)
        sum += check->shown_ph[i] - check->table_ph[i];
    check->shift_ph = sum / (double)check->point_count;
    for (size_t i = 0; i < check->point_count; i++)
        check->residual_ph[i] = check->shown_ph[i] - check->table_ph[i] - check->shift_ph;
    if (fabs(check->shift_ph * slope_mv) > 30.0) {
        check->verdict = CALIBRATION_REFUSED;
        check->reason =
            text_format("the meter is %.2f pH (%.0f mV) off in the buffer, allowed is 30 mV (USP <791>)",
                        check->shift_ph, fabs(check->shift_ph * slope_mv));
    } else if (largest_residual(check) > METER_CHECK_AGREEMENT_PH) {
        check->verdict = CALIBRATION_REFUSED;
        check->reason = text_format("the buffers disagree by %.2f pH, allowed is 0.05 (ASTM D1287)",
                                    largest_residual(check));
    } else {
        check->verdict = CALIBRATION_MARGINAL;
        check->reason =
            memory_copy("buffers at one pH fix the offset and not the slope, for which 100 +/- 10 % is "
                        "taken: add a buffer on the other side of what you measure");
    }
    return STATUS_OK;
}

enum status
meter_check_judge(const struct calibration *calibration, const struct gear *meter,
                  struct meter_check *ret_check, struct failure *failure)
{
    struct meter_check check = {.calibration_id = calibration->id,
                                .meter_id = meter->id,
                                .resolution_ph = meter->resolution_ph,
                                .accuracy_assumed = isnan(meter->accuracy_ph),
                                .compensated = meter->atc,
                                .slope_percent = NAN,
                                .offset_mv = NAN,
                                .shift_ph = 0.0,
                                .widening = 1.0};
    enum status status;

    check.accuracy_ph = check.accuracy_assumed ? FITNESS_ACCURACY_ASSUMED_PH : meter->accuracy_ph;
    status = take_points(&check, calibration, failure);
    if (status != STATUS_OK)
        return status;
    if (calibration->declared) {
        check.basis = METER_CHECK_DECLARED;
        check.verdict = CALIBRATION_ACCEPTED;
        check.reason =
            text_format("made with the meter's own routine, no values on record: %s accuracy of +/- "
                        "%g pH is taken",
                        check.accuracy_assumed ? "an assumed" : "the meter's stated", check.accuracy_ph);
    } else if (check.high_ph - check.low_ph >= least_span_ph) {
        check.basis = METER_CHECK_LINE;
        status = fit_line(&check, failure);
    } else {
        check.basis = METER_CHECK_ONE_BUFFER;
        status = fit_shift(&check, failure);
    }
    if (status == STATUS_OK)
        *ret_check = check;
    return status;
}

void
meter_check_file(const struct meter_check *check, struct calibration *calibration)
{
    calibration->slope_percent = check->slope_percent;
    calibration->offset_mv = check->offset_mv;
    calibration->verdict = check->verdict;
    free(calibration->reason);
    calibration->reason = memory_copy(check->reason);
}

/* The line's value at x is a sum of the points, each times c_i = w_i (1/W + (x - centre)(x_i - centre) / Sxx)
 * (JCGM 100:2008, 5.1.2 applied to H.13): level + tilt (x - centre). */
struct point_share {
    double level, tilt;
};

static void
point_shares(const struct meter_check *check, struct point_share *shares)
{
    double weights = 0.0, sxx = 0.0;

    for (size_t i = 0; i < check->point_count; i++) {
        double weight = 1.0 / (check->point_u_ph[i] * check->point_u_ph[i]);
        double from_centre = check->table_ph[i] - check->line.x_centre;

        weights += weight;
        sxx += weight * from_centre * from_centre;
        shares[i] = (struct point_share){.level = weight, .tilt = weight * from_centre};
    }
    for (size_t i = 0; i < check->point_count; i++) {
        shares[i].level /= weights;
        shares[i].tilt /= sxx;
    }
}

/* The bottles' errors at x, brought back along the line. */
static void
add_bottles(const struct meter_check *check, const struct point_share *shares, double x,
            struct sources *sources)
{
    for (size_t i = 0; i < check->point_count; i++) {
        double u_ph = check->buffer_u_ph[i] / check->line.slope;
        struct source_part part = {.source = check->bottle[i],
                                   .u_ph =
                                       u_ph * (shares[i].level + shares[i].tilt * (x - check->line.x_centre)),
                                   .per_ph = u_ph * shares[i].tilt};

        sources_add(sources, &part, 1.0);
    }
}

/* What else the line is unsure by at x, u_line_ph: two independent errors of this calibration, one of which is
 * the same at every pH at the points' own centre. */
static void
add_line(const struct meter_check *check, const struct point_share *shares, double x, double u_line_ph,
         struct sources *sources)
{
    double away = x - check->line.x_centre, level = 0.0, both = 0.0, tilt = 0.0, at_level, at_tilt, scale;
    struct source_part part = {.source = {SOURCE_LINE_LEVEL, check->calibration_id, NULL}};

    for (size_t i = 0; i < check->point_count; i++) {
        double square = check->point_u_ph[i] * check->point_u_ph[i] -
                        check->buffer_u_ph[i] * check->buffer_u_ph[i]; /* of the reading in the buffer */

        level += square * shares[i].level * shares[i].level;
        both += square * shares[i].level * shares[i].tilt;
        tilt += square * shares[i].tilt * shares[i].tilt;
    }
    if (!(level > 0.0)) {
        part.u_ph = u_line_ph;
        sources_add(sources, &part, 1.0);
        return;
    }
    at_level = sqrt(level) + both / sqrt(level) * away;
    tilt = sqrt(fmax(0.0, tilt - both * both / level));
    at_tilt = tilt * away;
    scale = u_line_ph > 0.0 ? u_line_ph / hypot(at_level, at_tilt) : 0.0;
    part.u_ph = scale * at_level;
    part.per_ph = scale * both / sqrt(level);
    sources_add(sources, &part, 1.0);
    part = (struct source_part){.source = {SOURCE_LINE_SLOPE, check->calibration_id, NULL},
                                .u_ph = scale * at_tilt,
                                .per_ph = scale * tilt};
    sources_add(sources, &part, 1.0);
}

static enum status
correct_by_line(const struct meter_check *check, double displayed_ph, struct meter_correction *correction,
                struct failure *failure)
{
    struct point_share shares[METER_CHECK_MOST_POINTS];
    double u = NAN;
    enum status status = line_invert(&check->line, displayed_ph, 0.0, &correction->ph, &u, failure);

    if (status != STATUS_OK)
        return status;
    u *= check->widening;
    point_shares(check, shares);
    add_bottles(check, shares, correction->ph, &correction->sources);
    correction->u_buffer_ph = sources_u_ph(&correction->sources);
    correction->u_line_ph = sqrt(fmax(0.0, u * u - correction->u_buffer_ph * correction->u_buffer_ph));
    correction->line_dof =
        check->widening > 1.0 ? stated_dof + (double)check->point_count - 2.0 : (double)INFINITY;
    add_line(check, shares, correction->ph, correction->u_line_ph, &correction->sources);
    return STATUS_OK;
}

/* Rule 3: the shift is known as well as the buffer, the slope is not. Several portions of one buffer share
 * its error, so the buffer's uncertainty is not divided by their number. */
static void
correct_by_shift(const struct meter_check *check, double displayed_ph, struct meter_correction *correction)
{
    double middle_ph = (check->low_ph + check->high_ph) / 2.0;
    double slope_u = slope_unknown_fraction / sqrt(3.0), shift_u = check->resolution_ph / sqrt(12.0);
    size_t worst = 0;

    for (size_t i = 0; i < check->point_count; i++)
        if (check->buffer_u_ph[i] > check->buffer_u_ph[worst])
            worst = i;
    correction->ph = displayed_ph - check->shift_ph;
    correction->u_buffer_ph = check->buffer_u_ph[worst];
    correction->u_line_ph = hypot(shift_u, slope_u * (correction->ph - middle_ph));
    correction->line_dof = INFINITY;
    {
        const struct source_part parts[] = {
            {.source = check->bottle[worst], .u_ph = correction->u_buffer_ph},
            {.source = {SOURCE_LINE_LEVEL, check->calibration_id, NULL}, .u_ph = shift_u},
            {.source = {SOURCE_METER_SLOPE, check->meter_id, NULL},
             .rectangular = true,
             .u_ph = slope_u * (correction->ph - middle_ph),
             .per_ph = slope_u},
        };

        for (size_t i = 0; i < LENGTH(parts); i++)
            sources_add(&correction->sources, &parts[i], 1.0);
    }
}

static void
correct_as_declared(const struct meter_check *check, double displayed_ph, struct meter_correction *correction)
{
    struct source_part part = {.source = {SOURCE_ACCURACY, check->meter_id, NULL},
                               .rectangular = true,
                               .u_ph = check->accuracy_ph / sqrt(3.0)};

    correction->ph = displayed_ph;
    correction->u_line_ph = part.u_ph;
    sources_add(&correction->sources, &part, 1.0);
}

static enum meter_check_place
place_of(const struct meter_check *check, double ph)
{
    if (ph < check->low_ph - METER_CHECK_BEYOND_PH || ph > check->high_ph + METER_CHECK_BEYOND_PH)
        return METER_CHECK_BEYOND;
    if (check->basis == METER_CHECK_ONE_BUFFER || ph < check->low_ph || ph > check->high_ph)
        return METER_CHECK_EXTRAPOLATED;
    return METER_CHECK_INSIDE;
}

/* Rule 7. */
static enum status
compensate(const struct meter_check *check, double displayed_ph, double temperature_c,
           struct meter_correction *correction, struct failure *failure)
{
    struct source_part part = {.source = {SOURCE_COMPENSATION, check->meter_id, NULL}, .rectangular = true};
    double calibrated = NAN, read = NAN, shift_ph;
    enum status status;

    if (check->compensated || isnan(temperature_c) || isnan(check->temperature_c))
        return STATUS_OK;
    status = electrode_slope(check->temperature_c, &calibrated, failure);
    if (status == STATUS_OK)
        status = electrode_slope(temperature_c, &read, failure);
    if (status != STATUS_OK)
        return status;
    shift_ph = (displayed_ph - neutral_point_ph) * (read / calibrated - 1.0);
    correction->compensation_half_ph = fabs(shift_ph);
    part.u_ph = shift_ph / sqrt(3.0);
    part.per_ph = (read / calibrated - 1.0) / sqrt(3.0);
    sources_add(&correction->sources, &part, 1.0);
    return STATUS_OK;
}

enum status
meter_check_correct(const struct meter_check *check, double displayed_ph, double temperature_c,
                    struct meter_correction *ret_correction, struct failure *failure)
{
    struct meter_correction correction = {.line_dof = INFINITY};
    enum status status = STATUS_OK;

    if (!(displayed_ph >= 0.0 && displayed_ph <= 14.0))
        return failure_set(failure, STATUS_RANGE, "ph is %g, allowed is 0 to 14", displayed_ph);
    switch (check->basis) {
    case METER_CHECK_LINE:
        status = correct_by_line(check, displayed_ph, &correction, failure);
        break;
    case METER_CHECK_ONE_BUFFER:
        correct_by_shift(check, displayed_ph, &correction);
        break;
    case METER_CHECK_DECLARED:
        correct_as_declared(check, displayed_ph, &correction);
        break;
    }
    if (status != STATUS_OK)
        return status;
    status = compensate(check, displayed_ph, temperature_c, &correction, failure);
    if (status != STATUS_OK)
        return status;
    correction.place = place_of(check, correction.ph);
    *ret_correction = correction;
    return STATUS_OK;
}

enum status
meter_check_drift(const struct meter_check *base, const struct calibration *later, double *ret_drift_ph,
                  struct failure *failure)
{
    double drift = 0.0;

    if (later->point_count == 0)
        return failure_set(failure, STATUS_MISSING, "a check needs at least one buffer");
    for (size_t i = 0; i < later->point_count; i++) {
        const struct calibration_point *point = &later->points[i];
        struct meter_correction correction = {0};
        double shown = NAN;

        if (later->declared || !isfinite(point->table_ph) || shown_ph(point, &shown, failure) != STATUS_OK)
            return failure_set(failure, STATUS_FORMAT, "a check in a buffer needs what the meter showed");
        if (meter_check_correct(base, shown, NAN, &correction, failure) != STATUS_OK)
            return failure->status;
        drift = fmax(drift, fabs(correction.ph - point->table_ph));
    }
    *ret_drift_ph = drift;
    return STATUS_OK;
}

void
meter_check_clear(struct meter_check *check)
{
    if (check == NULL)
        return;
    free(check->reason);
    *check = (struct meter_check){0};
}
