/* reading_value.h - one meter reading with its calibration applied, brought to 40 degC and 1.00 %, and every
 * part of its uncertainty but the scatter.
 *
 * Rules
 * (1) A reading is usable when its calibration is on record, not refused and not found off by more than a check
 *     allows (0.05 pH), it was read off exactly, its temperature lies within 15 to 50 degC and its concentration within 0.5 to 2 %. Only usable
 *     readings make a mean.
 * (2) A usable reading more than 1 pH beyond the buffers, or outside pH 2 to 12, is kept, can warn and
 *     cannot clear (`beyond`).
 * (3) `known_ph` is the value brought to 40 degC and 1 % as far as that is known, for readings that are not usable or
 *     beyond: they speak against a bar and never for it. A temperature that was not measured may have been as low as 15
 *     degC, an unknown concentration as high as 10 %: `below_ph` says how much lower the value may then be.
 * (4) Drift: checks in buffers between the calibration and the next one count, those before the reading
 *     and the first after it. The largest departure is added whole. A next calibration that finds the meter off by more
 *     than a check allows counts as one too: it showed the buffers as they were read. Without a check after the reading
 *     0.05 pH a month is assumed as well, 0.02 at least (judgement): an unchecked calibration never counts for more than
 *     one that a check found good.
 * (5) Without a calibration, or a refused one, the value is the one shown and the meter's accuracy (stated
 *     or assumed) stands in for the calibration, for orientation only.
 * (6) The calibration is the one the reading was filed with, or one of the same meter that was filed later
 *     and lies between the two.
 * (7) Boiled water is taken to hold as much carbon dioxide as water of pH 6.2, the lowest that ASTM D1172 lets pass; a
 *     water check that was lower says more. A higher one says nothing: a meter is unsure in pure water. */
#ifndef READING_VALUE_H
#define READING_VALUE_H

#include <stdbool.h>

#include "at_reference.h"
#include "dossier.h"
#include "meter_check.h"
#include "status.h"

enum { READING_VALUE_FRESH_S = CLOCK_DAY_S, READING_VALUE_DRIFT_DAYS = 30 }; /* rule 4 */

struct reading_value {
    const struct reading *reading; /* lent from the dossier, as the next three */
    const struct specimen *specimen;
    const struct gear *meter;
    const struct calibration *calibration; /* that corrects and came before; NULL: none */
    uint64_t flags;                        /* flag.h */
    bool usable, beyond;                   /* rules 1 and 2 */
    double concentration_pct;              /* NAN: not known */
    double ph;                             /* calibrated, at its own temperature */
    double ph_at_reference;                /* NAN when it cannot be brought there */
    double known_ph;                       /* rule 3 */
    double
        below_ph; /* how far below known_ph it may lie for what is not known: free share, temperature, strength */
    struct meter_correction correction; /* parts of the calibration's uncertainty */
    struct at_reference shift;          /* zeros when it cannot be brought there */
    double departure_ph;                /* found by checks, 0 or more; added whole in the decision (rule 4) */
    double drift_half_ph;               /* assumed, rectangular; 0: a check after the reading says better */
    double water_half_ph,
        water_per_ph; /* carbon dioxide left in the water, rectangular; and how that goes with the pH */
    double u_temperature_c, u_concentration_pct; /* standard uncertainties of the two */
    int64_t thermometer_id;                      /* 0: none named */
};

/* What valuing several readings of a dossier shares: readings that follow each other mostly rest on one calibration,
 * which is judged once. Zeroed but for the dossier it is ready; reading_valuer_clear() it afterwards. */
struct reading_valuer {
    const struct dossier *dossier;         /* lent */
    const struct calibration *calibration; /* judged last, for `meter`; NULL: none */
    const struct gear *meter;
    struct meter_check check;
    int64_t water_session_id; /* of the sitting whose water was looked at last; 0: none */
    double water_co2_mol_per_kg;
    double drift_to_next_ph; /* 0 when the next calibration found nothing amiss */
};
void reading_valuer_clear(struct reading_valuer *valuer);

/* Value one meter reading that has a pH (superseded ones too, so that they can be shown).
 *
 * reading    of the valuer's dossier; lent
 * ret_value  holds no memory of its own
 *
 * STATUS_MISSING when the dossier lacks the specimen, session or meter; STATUS_FORMAT for a paper or
 * withdrawn reading; otherwise as meter_check_judge() on its calibration. */
enum status reading_value_of(struct reading_valuer *valuer, const struct reading *reading,
                             struct reading_value *ret_value, struct failure *failure);

/* Set the flags of temperature and concentration that are missing (NAN) or outside the tolerance. */
void reading_value_flag_conditions(double temperature_c, double concentration_pct, uint64_t *flags);

#endif
