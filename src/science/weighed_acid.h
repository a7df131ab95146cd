/* weighed_acid.h - an acid for titration that is made on a kitchen balance: citric acid weighed into water.
 *
 * Rules
 * (1) Citric acid gives three H+ to a mole. Its strength is that of H+: c = 3000 m p / (M (m + w)) mol per kg of solution,
 *     with m g of citric acid of purity p and molar mass M in w g of water.
 * (2) Anhydrous or with a water of its crystals: where that is not known, c is the middle of the two, and the way to
 *     either of them (4.5 %) is a rectangular half-width.
 * (3) Purity: what is stated, else 1; half-width 0.005, which is what pharmacopoeias allow (99.5 to 100.5 % of the
 *     anhydrous acid; from memory). A balance of readability d gives d/sqrt(6) a weighing, tare and load.
 * (4) Judgement: in ethanol the third proton's end is the least sharp. Where it is passed too late more acid is counted
 *     than the lye took, and the result errs to the high side.
 * (5) By volume: times the density of the solution, 0.9982 + 0.0041 kg/L for each % of citric acid (near 20 degC; within
 *     0.001 of the CRC Handbook's concentrative properties to 20 %, from memory). */
#ifndef WEIGHED_ACID_H
#define WEIGHED_ACID_H

#include <stddef.h>

#include "status.h"

enum citric_form { CITRIC_ANHYDROUS, CITRIC_MONOHYDRATE, CITRIC_NOT_KNOWN };

#define CITRIC_HIGHEST_G 1000.0 /* and above 0 */
#define CITRIC_WATER_HIGHEST_G 10000.0
#define CITRIC_PURITY_LOWEST 0.5

struct weighed_acid {
    enum citric_form form;
    double citric_mass_g, water_mass_g; /* above 0, to the highest */
    double purity_fraction;             /* CITRIC_PURITY_LOWEST to 1; NAN: not stated */
    double readability_g;               /* of the balance, 0 and up */
};

/* Strength of the acid in mol of H+ per kg of solution, its relative standard uncertainty, and the same by volume in
 * mol/L (rule 5).
 *
 * STATUS_RANGE for what is outside the ranges above, for more than 20 % of citric acid and for a strength outside those of
 * titration_model.h. */
enum status weighed_acid_strength(const struct weighed_acid *acid, double *ret_mol_per_kg,
                                  double *ret_u_relative, double *ret_mol_per_l, struct failure *failure);

/* "anhydrous", "monohydrate", "not known", as they are typed and shown. */
extern const char *const citric_form_words[3];
enum status citric_form_parse(const char *text, enum citric_form *ret_form, struct failure *failure);

#endif
