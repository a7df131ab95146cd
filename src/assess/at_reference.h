/* at_reference.h - bring a pH read at one temperature and concentration to 40 degC and 1.00 %.
 *
 * Rules (judgement between two limiting cases; no standard gives a correction)
 * (1) A plain soap solution follows half of pKw and half a unit a decade of concentration w, free hydroxide all of
 *     both: one unknown, the free share f from 0.5 to 1. Three quarters of pKw(40) - pKw(t) + log10(1.00 / w) are
 *     added, signs kept: at 25 degC and 1 % -0.345.
 * (2) One quarter of it is the half-width, +/- 0.115 there. It is added whole to an interval and to what is decided on,
 *     never in quadrature: the share lies at one end, plain in sound bars and all lye in heavy ones.
 * (3) A more dilute solution also feels its hydroxide more strongly: the activity coefficient (activity.h) rises by up to
 *     0.07 in log10 a decade at the ionic strength of 0.5 to 2 % of soap, which the free share does not hold. So much a
 *     decade is added to the half-width.
 * (4) Outside 15 to 50 degC or 0.5 to 2 % nothing is brought anywhere. */
#ifndef AT_REFERENCE_H
#define AT_REFERENCE_H

#include "status.h"

#define AT_REFERENCE_LOW_C 15.0
#define AT_REFERENCE_HIGH_C 50.0
#define AT_REFERENCE_LOW_PCT 0.5
#define AT_REFERENCE_HIGH_PCT 2.0

/* What is added, and its half-width, as parts of the whole. */
#define AT_REFERENCE_MIDDLE_PART 0.75
#define AT_REFERENCE_HALF_PART 0.25
#define AT_REFERENCE_FELT_PART 0.07 /* rule 3 */

struct at_reference {
    double temperature_ph, concentration_ph; /* to add for each (rule 1) */
    double shift_ph;                         /* both together */
    double share_half_ph;                    /* its half-width (rules 2 and 3) */
    double ph_per_c, ph_per_pct; /* how far an error of one degree or one percent moves the result */
};

/* STATUS_RANGE outside rule 4 or for a number that is none. pKw: IAPWS R11-24. */
enum status at_reference(double temperature_c, double concentration_pct, struct at_reference *ret_shift,
                         struct failure *failure);

/* What to add for temperature alone (rule 1); STATUS_RANGE likewise. */
enum status at_reference_temperature(double temperature_c, double *ret_ph, struct failure *failure);

#endif
