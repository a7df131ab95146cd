/* soap.h - hydrolysis of soap in water, and the free alkali that a pH reading speaks of.
 *
 * Model of a plain soap (no free alkali): soap ion + water = acid soap + hydroxide, one apparent constant,
 * x0^2 / (c - x0) = Kw / Ka, where x0 is the molality of hydroxide and c that of soap. The apparent pKa lies
 * from 7.5 (lauric) to 10.2 (stearic); micelles, mixed fats and temperature all move it, so 8.6 is a middle
 * and no more. 300 g of bar are taken to hold one mole of soap (judgement: fats of saponification value 190
 * give 304 g of dry sodium soap a mole, coconut 240, and a bar also holds water and glycerol); a factor of
 * 1.2 in that moves the pH by 0.04. Ionic strength is taken as that of the soap plus the hydroxide. */
#ifndef SOAP_H
#define SOAP_H

#include "status.h"

#define SOAP_APPARENT_PKA 8.6
#define SOAP_APPARENT_PKA_LOW 7.5
#define SOAP_APPARENT_PKA_HIGH 10.2

/* A result to be read for free alkali. */
struct soap_reading {
    double ph;             /* 0 to 14 */
    double u_ph;           /* its standard uncertainty, 0 to 2 */
    double reference_ph;   /* of a sound bar of the same recipe, same temperature and concentration; or NAN */
    double u_reference_ph; /* ignored when there is no reference */
    double temperature_c;  /* 0 to 60 */
    double concentration_pct; /* bar in solution by mass, 0.1 to 5 */
    double
        shared_half_ph; /* 95 % half-width of what moves both readings alike, and stands in neither u; 0 to 4 */
};

/* Free alkali as NaOH, percent of the bar's mass, 0 to 100: a reading that asks for more than the whole bar
 * is wrong in pH, temperature or concentration. */
struct soap_free_naoh {
    double low_pct, estimate_pct, high_pct;
};

/* Molality of hydroxide, mol per kg of water, that a pH means in a soap solution: 10^(pH - pKw) / gamma,
 * gamma by Davies.
 *
 * Ranges as in struct soap_reading. STATUS_RANGE outside, and where the ionic strength is above 0.5 mol/kg.
 */
enum status soap_hydroxide(double ph, double temperature_c, double concentration_pct, double *ret_mol_per_kg,
                           struct failure *failure);

/* pH of a plain soap solution by the model above.
 *
 * apparent_pka  7 to 11. STATUS_RANGE outside any range. */
enum status soap_plain_ph(double apparent_pka, double temperature_c, double concentration_pct, double *ret_ph,
                          struct failure *failure);

/* Free alkali from a pH.
 *
 * With a reference: b = x - x0^2 / x (the hydrolysis is pushed back by the lye); low and high are where the
 * expanded uncertainties (k = 2) of the two readings and what both share, combined in quadrature, lead. What both share
 * does not cancel: it leaves nothing of nothing, but makes of any b ten times as much for each unit of pH. Without: high counts all
 * hydroxide as lye (an upper bound), the estimate takes x0 from the model with the middle pKa, low with the
 * highest. It speaks of today: lye that has turned to carbonate is not seen.
 *
 * STATUS_RANGE when a number is outside its range. */
enum status soap_free_naoh_pct(const struct soap_reading *reading, struct soap_free_naoh *ret_free_naoh,
                               struct failure *failure);

/* The other way: pH that a bar with so much free alkali gives, which without it would give plain_ph.
 *
 * free_naoh_pct  of the bar's mass, 0 to 20. STATUS_RANGE outside any range. */
enum status soap_ph_with_free_naoh(double free_naoh_pct, double plain_ph, double temperature_c,
                                   double concentration_pct, double *ret_ph, struct failure *failure);

/* How much higher a reading would be with `more_naoh_pct` (0 to 20) more of free NaOH in the bar: what a pH can
 * show of it. The bar is taken for a plain one, which gives the least rise that so much lye can make at this
 * reading; b = x - x0^2 / x with x0 from `ph`. Low readings show much of it, high ones little.
 *
 * STATUS_RANGE outside any range. */
enum status soap_ph_rise(double more_naoh_pct, double ph, double temperature_c, double concentration_pct,
                         double *ret_rise_ph, struct failure *failure);

#endif
