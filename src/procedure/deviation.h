/* deviation.h - what is outside the tolerance of a step, in words for the record.
 *
 * A text is given: free() it. NULL: inside, or nothing to hold it against. The ends of a tolerance are
 * inside. */
#ifndef DEVIATION_H
#define DEVIATION_H

#include "procedure.h"
#include "session.h"

/* A value against the step's target.
 *
 * value     in the unit of the step's kind
 * specimen  its masses so far, for a portion or its water: what they make is held against the procedure's
 *           concentration; NULL for a session's step */
char *deviation_of_value(const struct procedure *procedure, const struct step *step, double value,
                         const struct specimen *specimen);

/* A pH or a paper range with its temperature: the pH against the step's target, and the temperature of a reading
 * against the procedure's. With a step that reads a buffer the pH is held against the buffer's table at this
 * temperature instead.
 *
 * ph             NAN for paper
 * temperature_c  NAN: not known */
char *deviation_of_reading(const struct procedure *procedure, const struct step *step, double ph,
                           double temperature_c);

/* A choice that is not the expected one. */
char *deviation_of_choice(const struct step *step, const char *choice);

#endif
