/* calibrate.h - the asking part of "calibrate", for the walk-through as well. */
#ifndef CALIBRATE_H
#define CALIBRATE_H

#include "command.h"
#include "gear.h"
#include "prompt.h"

/* Ask which buffers the meter was put into and what it showed, judge it, file it and say what came out.
 *
 * ret_id  the calibration's number; 0 when the person left without one
 * STATUS as calibration_store_add(). */
enum status calibrate_ask(struct context *context, struct prompt *prompt, const struct gear *meter,
                          int64_t *ret_id, struct failure *failure);

#endif
