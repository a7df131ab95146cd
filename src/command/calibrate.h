/* calibrate.h - the asking part of "calibrate", for the walk-through as well. */
#ifndef CALIBRATE_H
#define CALIBRATE_H

#include "calibration.h"
#include "command.h"
#include "gear.h"
#include "prompt.h"

/* How the questions ended. */
enum calibrate_end {
    CALIBRATE_NOTHING, /* no buffer was read, or the person went back: nothing is filed */
    CALIBRATE_QUIT,    /* quit, or the end of the input: nothing is filed */
    CALIBRATE_REFUSED, /* filed, but the meter is not good enough */
    CALIBRATE_GOOD     /* filed, accepted or marginal */
};

/* Ask which buffers the meter was put into and what it showed, judge it, file it whole and say what came out.
 *
 * STATUS as calibration_store_add(). */
enum status calibrate_ask(struct context *context, struct prompt *prompt, const struct gear *meter,
                          enum calibrate_end *ret_end, struct failure *failure);

/* Judge a calibration or a check that is not typed at a prompt, and keep it with what came out.
 *
 * STATUS_MISSING for a check of a meter that has no calibration by then; as meter_check_judge() and
 * calibration_store_add(). */
enum status calibrate_keep(struct store *store, const struct gear *meter, struct calibration *calibration,
                           struct failure *failure);

/* "9,21" or "176.4mV": what the meter showed. STATUS_FORMAT, STATUS_RANGE. */
enum status calibrate_parse_shown(const char *text, struct calibration_point *point, struct failure *failure);

#endif
