/* meter_figure.h - a meter's slope and offset over the years, from its calibrations. */
#ifndef METER_FIGURE_H
#define METER_FIGURE_H

#include "calibration.h"
#include "figure.h"
#include "gear.h"

/* Slope in per cent of theory and offset at pH 7 in mV by date, with what is accepted (meter_check.h, rule 4);
 * refused calibrations as a series of their own. Checks and calibrations without values are not in it.
 *
 * ret_figure  owned by the caller: figure_clear()
 *
 * STATUS_MISSING when no calibration has a slope. */
enum status meter_figure(const struct gear *meter, const struct calibration *calibrations, size_t count,
                         struct figure *ret_figure, struct failure *failure);

#endif
