/* meter_check.h - what a meter showed in buffers, whether that is good enough, and what a reading then means.
 *
 * Rules
 * (1) What the meter showed (pH, or the pH an ideal electrode has at the shown potential) is a straight
 *     line in the table pH, fitted by least squares; a reading is brought back along it (JCGM 100:2008, H.3).
 *     A meter that shows pH may have been adjusted before: the line then holds what the adjusting left over.
 *     Readings that follow a calibration in millivolts are taken as shown without adjustment.
 * (2) Each point carries its buffer's uncertainty (buffer.h) and the meter's resolution. Two buffers leave
 *     no residual, so that scatter is all that is assumed. With three or more the residuals speak too, but few
 *     of them say little: they are pooled with what is stated, which is taken to be known to 25 % and so to have
 *     8 degrees of freedom (JCGM 100:2008, G.4.2). Where the residuals are the larger, the standard errors are
 *     widened by sqrt((8 + (count - 2) ratio^2) / (8 + count - 2)), with 8 + count - 2 degrees of freedom; they
 *     are never narrowed. A third buffer so costs little where it fits and warns where it does not.
 * (3) Buffers less than half a pH apart, or one buffer, fix the offset and not the slope: a slope of 100 %
 *     +/- 10 is taken then (rectangular, the width of USP <791>'s 90 to 105 %), and readings count as
 *     extrapolated.
 * (4) Refused: slope outside 90 to 105 %, offset at pH 7 beyond 30 mV (USP <791>), or a buffer more than
 *     0.05 off the line (ASTM D1287). Marginal: slope below 95 % (common practice), or one buffer.
 * (5) Beyond the outermost buffers a reading is extrapolated, by at most 1 pH (ISO 4316's rule for a
 *     single buffer); further out the calibration says nothing.
 * (6) A calibration by the meter's own routine, declared without values, corrects nothing; the meter's
 *     stated accuracy holds, or FITNESS_ACCURACY_ASSUMED_PH when none is stated.
 * (7) A meter without temperature compensation scales pH - 7 by the slope of the calibration's
 *     temperature; how its dial stood is not on record, so that shift is a rectangular half-width and not a
 *     correction. */
#ifndef METER_CHECK_H
#define METER_CHECK_H

#include <stdbool.h>
#include <stddef.h>

#include "calibration.h"
#include "gear.h"
#include "line_fit.h"
#include "sources.h"
#include "status.h"

#define METER_CHECK_AGREEMENT_PH 0.05 /* ASTM D1287: a second buffer agrees within this */
#define METER_CHECK_BEYOND_PH 1.0     /* rule 5 */

enum { METER_CHECK_MOST_POINTS = 20 };

enum meter_check_basis { METER_CHECK_LINE, METER_CHECK_ONE_BUFFER, METER_CHECK_DECLARED };

/* What a calibration says. Owns its reason. */
struct meter_check {
    int64_t calibration_id, meter_id;
    enum meter_check_basis basis;
    enum calibration_verdict verdict;
    char *reason; /* why marginal or refused, or what was assumed; NULL: nothing to say */
    size_t point_count;
    double table_ph[METER_CHECK_MOST_POINTS];
    double shown_ph[METER_CHECK_MOST_POINTS]; /* NAN for a declared one */
    double residual_ph[METER_CHECK_MOST_POINTS];
    double buffer_u_ph[METER_CHECK_MOST_POINTS];
    struct source bottle[METER_CHECK_MOST_POINTS]; /* rule 3 of sources.h */
    double point_u_ph[METER_CHECK_MOST_POINTS];    /* buffer and resolution */
    double low_ph, high_ph;                        /* the outermost buffers */
    double temperature_c;                          /* mean of the points */
    double slope_percent, offset_mv;               /* NAN unless basis is METER_CHECK_LINE */
    double shift_ph;                               /* shown minus table, METER_CHECK_ONE_BUFFER */
    struct line line;                              /* METER_CHECK_LINE */
    double widening;                               /* rule 2; 1: nothing to widen */
    double accuracy_ph;                            /* rule 6 */
    bool accuracy_assumed;
    double resolution_ph;
    bool compensated; /* the meter has ATC */
};

/* Where a reading lies relative to the buffers (rule 5). */
enum meter_check_place { METER_CHECK_INSIDE, METER_CHECK_EXTRAPOLATED, METER_CHECK_BEYOND };

/* A reading with the calibration applied, and the calibration's parts of its uncertainty. */
struct meter_correction {
    double ph;
    enum meter_check_place place;
    double u_line_ph, line_dof;  /* line, or slope not known, or accuracy: standard uncertainty */
    double u_buffer_ph;          /* buffers' part */
    double compensation_half_ph; /* rule 7, half-width */
    struct sources sources;      /* all of the above, by source */
};

/* Judge a calibration of `meter` (rules 1 to 6). Its purpose does not matter here.
 *
 * ret_check  owned by the caller, meter_check_clear()
 *
 * STATUS_MISSING without points (a declared one names its buffers too); STATUS_RANGE for more than
 * METER_CHECK_MOST_POINTS, temperatures outside 0 to 100 degC or numbers that are none; STATUS_FORMAT for a
 * point with neither pH nor potential; STATUS_CONFLICT or STATUS_MISSING as buffer.h has it. */
enum status meter_check_judge(const struct calibration *calibration, const struct gear *meter,
                              struct meter_check *ret_check, struct failure *failure);

/* Write slope, offset, verdict and reason into the record. */
void meter_check_file(const struct meter_check *check, struct calibration *calibration);

/* What a reading means.
 *
 * displayed_ph   0 to 14
 * temperature_c  0 to 100, or NAN when not measured (rule 7 is left out then)
 *
 * STATUS_RANGE outside, or when the slope cannot be told from zero. */
enum status meter_check_correct(const struct meter_check *check, double displayed_ph, double temperature_c,
                                struct meter_correction *ret_correction, struct failure *failure);

/* Largest distance between what a later look at buffers showed and what the calibration lets expect there:
 * the half-width of the drift since.
 *
 * base   the calibration in force
 * later  a calibration record with values, of the same meter
 *
 * STATUS_FORMAT for one without, STATUS_MISSING for one without buffers; otherwise as meter_check_correct(). */
enum status meter_check_drift(const struct meter_check *base, const struct calibration *later,
                              double *ret_drift_ph, struct failure *failure);

void meter_check_clear(struct meter_check *check);

#endif
