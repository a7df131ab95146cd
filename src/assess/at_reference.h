/* at_reference.h - bring a pH read at one temperature and concentration to 40 degC and 1.00 %.
 *
 * Rules (judgement between two limiting cases; no standard gives a correction)
 * (1) Temperature: a plain soap solution follows half of pKw, free hydroxide all of it. Three quarters of
 *     pKw(40) - pKw(t) are added, with a rectangular half-width of one quarter: at 25 degC -0.345 +/- 0.115.
 * (2) Concentration w: plain soap moves half a unit a decade, free hydroxide one unit. Three quarters of
 *     log10(1.00 / w) are added, half-width one quarter.
 * (3) Outside 15 to 50 degC or 0.5 to 2 % nothing is brought anywhere. */
#ifndef AT_REFERENCE_H
#define AT_REFERENCE_H

#include "status.h"

#define AT_REFERENCE_LOW_C 15.0
#define AT_REFERENCE_HIGH_C 50.0
#define AT_REFERENCE_LOW_PCT 0.5
#define AT_REFERENCE_HIGH_PCT 2.0

struct at_reference {
    double temperature_ph, temperature_half_ph;     /* to add, and its half-width (rule 1) */
    double concentration_ph, concentration_half_ph; /* likewise (rule 2) */
    double ph_per_c, ph_per_pct; /* how far an error of one degree or one percent moves the result */
};

/* STATUS_RANGE outside rule 3 or for a number that is none. pKw: IAPWS R11-24. */
enum status at_reference(double temperature_c, double concentration_pct, struct at_reference *ret_shift,
                         struct failure *failure);

/* What to add for temperature alone (rule 1); STATUS_RANGE likewise. */
enum status at_reference_temperature(double temperature_c, double *ret_ph, struct failure *failure);

#endif
