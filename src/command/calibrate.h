/* calibrate.h - the asking part of "calibrate", for the walk-through as well. */
#ifndef CALIBRATE_H
#define CALIBRATE_H

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

#endif
