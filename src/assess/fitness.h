/* fitness.h - is this gear good enough to tell a lye-heavy bar from a sound one?
 *
 * Rules (judgement and common practice where no source is named)
 * (1) Balance: the smallest portion that holds 1.00 +/- 0.02 % (dilution.h, rule 3) is good up to 1 g,
 *     limited up to 10 g (a litre of water), unfit above.
 * (2) Thermometer: twice its standard uncertainty is good within half of the +/- 2 degC, limited within
 *     all of it. An accuracy that is not stated is taken as +/- 1 degC.
 * (3) Meter: twice its standard uncertainty from resolution and accuracy is good to 0.1 pH, limited to
 *     0.25, half of what lies between a usual young bar (10.5) and the limit (11.0). An accuracy that is not
 *     stated is taken as FITNESS_ACCURACY_ASSUMED_PH.
 * (4) Paper never clears a bar and so is never good; it is limited when its steps reach the limit.
 * (5) A bottle of buffer or a paper past its date is unfit. */
#ifndef FITNESS_H
#define FITNESS_H

#include "clock.h"
#include "gear.h"
#include "status.h"

#define FITNESS_ACCURACY_ASSUMED_PH 0.1 /* half-width, pocket meters; common practice */
#define FITNESS_ACCURACY_ASSUMED_C 1.0  /* half-width, kitchen thermometers; common practice */

enum fitness_level { FITNESS_GOOD, FITNESS_LIMITED, FITNESS_UNFIT };

struct fitness {
    enum fitness_level level;
    char *sentence; /* owned: one or two plain sentences for the maker */
};

const char *fitness_level_word(enum fitness_level level);

/* Standard uncertainty of a thermometer that has passed gear_check(). */
double fitness_thermometer_u_c(const struct gear *thermometer);

/* Judge one piece of gear for the test at a limit.
 *
 * gear      has passed gear_check()
 * today     for dates printed on bottles and paper
 * limit_ph  2 to 14; usually LIMIT_PH_USUAL
 * ret       owned by the caller, fitness_clear()
 *
 * STATUS_RANGE for a limit outside; STATUS_MISSING for a bottle whose buffer is not known. */
enum status fitness_of_gear(const struct gear *gear, civil_day today, double limit_ph,
                            struct fitness *ret_fitness, struct failure *failure);
void fitness_clear(struct fitness *fitness);

#endif
