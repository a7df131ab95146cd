/* mixture.h - what a person calls a solution, and the pH to expect of it.
 *
 * Rules
 * (1) Parts are joined by "+". A part is a substance with an amount, in percent of the mixture's mass
 *     ("citric acid 3 %") or mol per kg of water ("naoh 0.1 mol/kg"); the amount may stand first. "vinegar 5
 *     %" is acetic acid of that strength. A decimal comma is a point.
 * (2) Alone stand: "water" or "boiled water" (closed to the air), "water in air" (420 ppm of carbon
 *     dioxide) or "water in air 600 ppm", and the name of a buffer ("borax buffer", "lime water", "pH 7.00").
 * (3) Water bound in crystals counts as water. */
#ifndef MIXTURE_H
#define MIXTURE_H

#include <stdbool.h>

#include "buffer.h"
#include "solution.h"
#include "status.h"

enum { MIXTURE_TEXT_SIZE = 512, MIXTURE_FLAGS_SIZE = 96 };

struct mixture {
    const struct buffer *buffer;     /* a standard buffer; NULL: `solution` is to be solved. Lent for ever */
    struct solution solution;        /* of the temperature asked for */
    double free_lye_mol_per_kg;      /* NaOH and KOH as weighed in */
    bool pure_water;                 /* closed to the air */
    char amounts[MIXTURE_TEXT_SIZE]; /* what was understood: "citric acid 0.161 mol/kg" */
};

/* Read such a text.
 *
 * temperature_c  goes into the solution; its range is checked when it is solved
 *
 * STATUS_FORMAT for a text that is not understood (it says what is allowed), STATUS_MISSING for a substance
 * that is not known, STATUS_RANGE for an amount below 0.0001 or above 60 % or 20 mol/kg, together or alone.
 */
enum status mixture_parse(const char *text, double temperature_c, struct mixture *ret_mixture,
                          struct failure *failure);

struct expectation {
    double ph;
    double u_ph;                      /* standard uncertainty of the model or the buffer as bought or made */
    double ionic_strength_mol_per_kg; /* NAN for a buffer */
    char flags[MIXTURE_FLAGS_SIZE];   /* words joined by ';': beyond-activity-range, beyond-glass-range,
                                       * alkaline-error, weakly-buffered; or "" */
    char source[MIXTURE_TEXT_SIZE];   /* where the number comes from */
    char note[MIXTURE_TEXT_SIZE];     /* what to mind when measuring it, or "" */
    const char *caution;              /* what to mind when handling it, or NULL. Lent for ever */
};

/* The pH to expect of a text at a temperature.
 *
 * temperature_c  0 to 60, for a buffer as far as its table goes
 *
 * STATUS as mixture_parse(), buffer_ph() and solution_solve(). */
enum status expectation_of(const char *text, double temperature_c, struct expectation *ret_expectation,
                           struct failure *failure);

#endif
