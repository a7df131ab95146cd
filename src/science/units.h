/* units.h - the units a kitchen uses, turned into the units this program keeps. */
#ifndef UNITS_H
#define UNITS_H

#include <stdbool.h>

#include "number.h"
#include "status.h"

/* What a number measures, and so which unit may stand behind it. */
enum units_of { UNITS_NONE, UNITS_PH, UNITS_PERCENT, UNITS_TEMPERATURE, UNITS_VOLUME, UNITS_CONCENTRATION };

/* A number, then nothing or the unit of what it measures under any usual name: "11.6 pH", "1 %", "104F" (as below),
 * "1,25 cc", "0,1 N" (of H+, so the same as mol/L); none for UNITS_NONE.
 *
 * ret_number  in pH, percent, degrees Celsius, mL or mol/L, any finite number
 * STATUS_FORMAT when it is no number, or has the unit of something else. */
enum status units_parse_number(const char *text, enum units_of of, enum number_decimal decimal,
                               double *ret_number, struct failure *failure);

/* True for "g", "degF", "mL", "%", "pH" and all the others, upper and lower case alike. */
bool units_is_unit(const char *word);

/* A mass as typed: a number, then nothing or g, mg, kg, oz or lb, under any usual name ("8.8oz", "1,5 kilos").
 * 1 oz is 28.349523125 g and 1 lb 453.59237 g (international avoirdupois pound, 1959, exact).
 *
 * ret_mass_g  grams, any finite number
 * STATUS_FORMAT when the number or the unit is not understood. */
enum status units_parse_mass(const char *text, double *ret_mass_g, struct failure *failure);

/* A temperature as typed: a number, then nothing or C, degC, F or degF ("104F"). The result of a
 * conversion is rounded to 0.01 degC, a tenth of what a kitchen thermometer shows.
 *
 * ret_temperature_c  degrees Celsius, any finite number
 * STATUS_FORMAT likewise. */
enum status units_parse_temperature(const char *text, double *ret_temperature_c, struct failure *failure);

/* A fraction as typed: "98.5%", "98.5 %" or "0.985".
 *
 * ret_fraction  0 to 1; STATUS_FORMAT, STATUS_RANGE. */
enum status units_parse_fraction(const char *text, double *ret_fraction, struct failure *failure);

#endif
