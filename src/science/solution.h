/* solution.h - acid-base equilibrium of a solution by charge balance: what an ideal meter would read.
 *
 * Rules
 * (1) Amounts are molalities (mol per kg of water). Acids count whole, in whatever form they are: sodium
 *     citrate is citric acid plus three times its amount of base.
 * (2) pH is -log10 of the hydrogen ion's activity. Activities follow Davies; beyond an ionic strength of
 *     0.5 mol/kg the coefficients stay at their value there, and the result is flagged.
 * (3) Ion pairs (NaCO3-), polyborates, solids other than lime and the activity of water are left out.
 * (4) The result is the root of the charge balance, which falls steadily with pH at a fixed ionic
 *     strength: bisection on pH inside, ionic strength iterated outside. */
#ifndef SOLUTION_H
#define SOLUTION_H

#include <stdbool.h>

#include "acid.h"
#include "status.h"

struct solution {
    double temperature_c;               /* 0 to 60 */
    double acid_mol_per_kg[ACID_COUNT]; /* total of each acid, bound or not; 0 to 20 */
    double base_mol_per_kg;             /* sodium and potassium together, bound or not; 0 to 20 */
    double co2_atm;      /* partial pressure of carbon dioxide above it, to 1; 0: closed to the air */
    bool lime_saturated; /* stands over solid calcium hydroxide */
};

struct solution_result {
    double ph;
    double u_ph; /* standard uncertainty of the model, see solution_solve() */
    double ionic_strength_mol_per_kg;
    double residual_mol_per_kg; /* charge left over; below 1e-12 in size */
    bool
        beyond_activity_range; /* ionic strength above 0.5 mol/kg, or above 1 mol/kg of acid that is no ion */
    bool beyond_glass_range;   /* pH below 2 or above 12: a glass electrode is not trusted (ASTM E70) */
    bool
        alkaline_error; /* above pH 12 and 0.1 mol/kg of sodium or potassium: glass reads too low (ASTM E70) */
    bool weakly_buffered; /* closed, and the carbon dioxide of unboiled water (1.4e-5 mol/kg) moves it by over
                             0.1 */
};

/* Solve it.
 *
 * u_ph combines, each by solving again with the change: all pKa shifted by 0.02 + 0.002 per degC away from
 * 25; every log10 gamma by a tenth; a trace of 2e-7 mol/kg of acid, which only near pure water matters
 * (ASTM D1172 accepts pH 6.2 to 7.2 there); 0.05 in the solubility of lime; 0.005 for the convention behind
 * any pH; and beyond the range of the activities 0.15 for each further mol/kg of ionic strength (what
 * published activity coefficients of NaOH and KOH ask for up to 20 mol/kg) and 0.05 for each further mol/kg of acid that
 * is no ion (judgement). It does not hold the weighing.
 *
 * STATUS_RANGE when a number is outside its range; STATUS_CONFLICT for carbonate under a given pressure of
 * carbon dioxide, and for lime with anything that it makes a solid with. */
enum status solution_solve(const struct solution *solution, struct solution_result *ret_result,
                           struct failure *failure);

#endif
