/* reading_value.c - one meter reading, calibrated and brought to the reference. */
#include "reading_value.h"

#include <math.h>

#include "carbon_dioxide.h"
#include "dilution.h"
#include "fitness.h"
#include "flag.h"
#include "text.h"
#include "water.h"

static const double glass_low_ph = 2.0, glass_high_ph = 12.0; /* ASTM E70 */
static const double not_compensated_ph = 0.05; /* worth a word from here on; as a second buffer's agreement */
/* What stands on the edge of the tolerance is inside, whatever binary fractions make of 0.98. */
static const double edge = 1e-9;

/* The calibration that corrects (dossier.h); not one that came later, or only looked. */
static const struct calibration *
calibration_of(const struct dossier *dossier, const struct reading *reading)
{
    const struct calibration *calibration = dossier_calibration(dossier, reading->calibration_id);

    return calibration == NULL || calibration->purpose != CALIBRATION_ADJUST ||
                   calibration->taken_at > reading->taken_at
               ? NULL
               : calibration;
}

/* The meter's next calibration; NULL when there was none. */
static const struct calibration *
next_adjustment(const struct dossier *dossier, const struct calibration *calibration)
{
    const struct calibration *next = NULL;

    for (size_t i = 0; i < dossier->calibration_count; i++) {
        const struct calibration *other = &dossier->calibrations[i];

        if (other->meter_id == calibration->meter_id && other->purpose == CALIBRATION_ADJUST &&
            other->taken_at > calibration->taken_at && (next == NULL || other->taken_at < next->taken_at))
            next = other;
    }
    return next;
}

/* Is `look` a check with values of this calibration, before the meter was adjusted again? */
static bool
checks(const struct calibration *look, const struct calibration *calibration, civil_time next)
{
    return look->meter_id == calibration->meter_id && look->purpose == CALIBRATION_CHECK && !look->declared &&
           look->taken_at >= calibration->taken_at && look->taken_at < next;
}

/* Rule 4, last sentence. */
static double
assumed_drift_ph(const struct reading_value *value)
{
    static const double least_ph = 0.02;
    double days = clock_days_between(value->calibration->taken_at, value->reading->taken_at);

    return fmax(least_ph, METER_CHECK_AGREEMENT_PH * days / READING_VALUE_DRIFT_DAYS);
}

/* Rule 4, but one sentence: what the meter showed when it was calibrated anew also tells how it had drifted. */
static double
drift_to_next_ph(const struct meter_check *check, const struct calibration *next)
{
    double drift = NAN;
    struct failure ignored = {0}; /* one that tells nothing of drift is no check */

    if (next == NULL || next->declared || meter_check_drift(check, next, &drift, &ignored) != STATUS_OK ||
        !(drift > METER_CHECK_AGREEMENT_PH))
        return 0.0;
    return drift;
}

/* Rule 4. */
static enum status
add_drift(const struct reading_valuer *valuer, struct reading_value *value, struct failure *failure)
{
    const struct dossier *dossier = valuer->dossier;
    const struct calibration *anew = next_adjustment(dossier, value->calibration);
    civil_time next = anew == NULL ? INT64_MAX : anew->taken_at, first_after = INT64_MAX;
    civil_time read_at = value->reading->taken_at;

    value->departure_ph = valuer->drift_to_next_ph;
    for (size_t i = 0; i < dossier->calibration_count; i++) {
        const struct calibration *look = &dossier->calibrations[i];

        if (checks(look, value->calibration, next) && look->taken_at >= read_at &&
            look->taken_at < first_after)
            first_after = look->taken_at;
    }
    for (size_t i = 0; i < dossier->calibration_count; i++) {
        const struct calibration *look = &dossier->calibrations[i];
        double drift = NAN;

        if (!checks(look, value->calibration, next) ||
            (look->taken_at >= read_at && look->taken_at != first_after))
            continue;
        if (meter_check_drift(&valuer->check, look, &drift, failure) != STATUS_OK)
            return failure->status;
        value->departure_ph = fmax(value->departure_ph, drift);
    }
    if (value->departure_ph > METER_CHECK_AGREEMENT_PH) {
        flag_set(&value->flags, FLAG_DRIFT);
        value->usable = false;
    }
    if (read_at - value->calibration->taken_at > READING_VALUE_FRESH_S)
        flag_set(&value->flags, FLAG_CALIBRATION_OLD);
    if (first_after == INT64_MAX)
        value->drift_half_ph = assumed_drift_ph(value);
    return STATUS_OK;
}

/* Rule 5. */
static void
take_as_shown(struct reading_value *value)
{
    bool assumed = isnan(value->meter->accuracy_ph);
    double accuracy_ph = assumed ? FITNESS_ACCURACY_ASSUMED_PH : value->meter->accuracy_ph;

    value->usable = false;
    value->correction = (struct meter_correction){
        .ph = value->reading->ph, .u_line_ph = accuracy_ph / sqrt(3.0), .line_dof = INFINITY};
    sources_add(&value->correction.sources,
                &(struct source_part){.source = {SOURCE_ACCURACY, value->meter->id, NULL},
                                      .rectangular = true,
                                      .u_ph = value->correction.u_line_ph},
                1.0);
    if (assumed)
        flag_set(&value->flags, FLAG_ACCURACY_ASSUMED);
}

static void
flag_correction(const struct meter_check *check, struct reading_value *value)
{
    if (value->calibration->verdict == CALIBRATION_MARGINAL)
        flag_set(&value->flags, FLAG_CALIBRATION_MARGINAL);
    if (check->basis == METER_CHECK_DECLARED) {
        flag_set(&value->flags, FLAG_CALIBRATION_DECLARED);
        if (check->accuracy_assumed)
            flag_set(&value->flags, FLAG_ACCURACY_ASSUMED);
    }
    if (value->correction.place == METER_CHECK_EXTRAPOLATED)
        flag_set(&value->flags, FLAG_EXTRAPOLATED);
    if (value->correction.place == METER_CHECK_BEYOND) {
        flag_set(&value->flags, FLAG_BEYOND_CALIBRATION);
        value->beyond = true;
    }
    if (value->correction.compensation_half_ph > not_compensated_ph)
        flag_set(&value->flags, FLAG_NOT_COMPENSATED);
}

/* Judge a calibration, unless it is the one judged last. */
static enum status
take_calibration(struct reading_valuer *valuer, const struct reading_value *value, struct failure *failure)
{
    enum status status;

    if (valuer->calibration == value->calibration && valuer->meter == value->meter)
        return STATUS_OK;
    reading_valuer_clear(valuer);
    status = meter_check_judge(value->calibration, value->meter, &valuer->check, failure);
    if (status != STATUS_OK)
        return status;
    valuer->calibration = value->calibration;
    valuer->meter = value->meter;
    valuer->drift_to_next_ph =
        drift_to_next_ph(&valuer->check, next_adjustment(valuer->dossier, value->calibration));
    return STATUS_OK;
}

static enum status
apply_calibration(struct reading_valuer *valuer, struct reading_value *value, struct failure *failure)
{
    struct failure ignored = {0};
    enum status status;

    if (value->calibration == NULL || value->calibration->verdict == CALIBRATION_REFUSED) {
        flag_set(&value->flags, value->calibration == NULL ? FLAG_METER_UNCHECKED : FLAG_CALIBRATION_REFUSED);
        take_as_shown(value);
        return STATUS_OK;
    }
    if (take_calibration(valuer, value, &ignored) != STATUS_OK) {
        /* A point that means nothing to this program, as in a notebook that another one changed: verify names it. */
        value->calibration = NULL;
        flag_set(&value->flags, FLAG_METER_UNCHECKED);
        take_as_shown(value);
        return STATUS_OK;
    }
    status = meter_check_correct(&valuer->check, value->reading->ph, value->reading->temperature_c,
                                 &value->correction, failure);
    if (status == STATUS_OK)
        status = add_drift(valuer, value, failure);
    if (status == STATUS_OK)
        flag_correction(&valuer->check, value);
    return status;
}

/* A concentration that was only told is one that the balance held with the usual portion. */
static double
concentration_u_pct(const struct specimen *specimen, const struct gear *balance)
{
    struct dilution dilution = {0};
    struct failure ignored = {0};
    enum status status;

    if (balance == NULL || balance->kind != GEAR_BALANCE)
        return CONCENTRATION_TOLERANCE_PCT / sqrt(3.0);
    if (isnan(specimen->stated_concentration_pct))
        status = dilution_from_masses(specimen->soap_mass_g, specimen->water_mass_g, balance->readability_g,
                                      &dilution, &ignored);
    else
        status = dilution_for_percent(PORTION_USUAL_G, specimen->stated_concentration_pct,
                                      balance->readability_g, &dilution, &ignored);
    return status == STATUS_OK ? dilution.u_percent : CONCENTRATION_TOLERANCE_PCT / sqrt(3.0);
}

/* How well temperature and concentration are known: by the gear named for it, else as a kitchen thermometer,
 * and as the tolerance of the weighing. */
static void
add_bench(const struct dossier *dossier, const struct session *session, struct reading_value *value)
{
    const struct specimen *specimen = value->specimen;
    const struct gear *thermometer = dossier_gear(dossier, session->thermometer_id);

    value->thermometer_id = session->thermometer_id;
    value->concentration_pct = specimen_concentration_pct(specimen);
    value->u_temperature_c = FITNESS_ACCURACY_ASSUMED_C / sqrt(3.0);
    if (thermometer != NULL && thermometer->kind == GEAR_THERMOMETER)
        value->u_temperature_c = fitness_thermometer_u_c(thermometer);
    value->u_concentration_pct =
        concentration_u_pct(specimen, dossier_gear(dossier, specimen->balance_id != 0 ? specimen->balance_id
                                                                                      : session->balance_id));
}

void
reading_value_flag_conditions(double temperature_c, double concentration_pct, uint64_t *flags)
{
    if (isnan(temperature_c))
        flag_set(flags, FLAG_TEMPERATURE_MISSING);
    else if (fabs(temperature_c - REFERENCE_TEMPERATURE_C) > TEMPERATURE_TOLERANCE_C + edge)
        flag_set(flags, FLAG_TEMPERATURE_OFF);
    if (isnan(concentration_pct))
        flag_set(flags, FLAG_CONCENTRATION_MISSING);
    else if (fabs(concentration_pct - REFERENCE_CONCENTRATION_PCT) > CONCENTRATION_TOLERANCE_PCT + edge)
        flag_set(flags, FLAG_CONCENTRATION_OFF);
}

/* Rule 3: what temperature and concentration do as far as they are known, all of it as free lye would follow. */
static void
bring_as_far_as_known(struct reading_value *value)
{
    static const double coldest_c = AT_REFERENCE_LOW_C, strongest_decades = 1.0; /* a 10 % cup */
    double reference = NAN, here = NAN, coldest = NAN, follows = 0.0;
    struct failure ignored = {0};

    value->known_ph = value->ph;
    value->below_ph = 0.0;
    if (water_pkw(REFERENCE_TEMPERATURE_C, &reference, &ignored) != STATUS_OK ||
        water_pkw(coldest_c, &coldest, &ignored) != STATUS_OK)
        return;
    if (water_pkw(value->reading->temperature_c, &here, &ignored) == STATUS_OK)
        follows += reference - here;
    else
        value->below_ph += coldest - reference;
    if (value->concentration_pct > 0.0)
        follows += log10(REFERENCE_CONCENTRATION_PCT / value->concentration_pct);
    else
        value->below_ph += strongest_decades;
    value->known_ph += AT_REFERENCE_MIDDLE_PART * follows;
    value->below_ph += AT_REFERENCE_HALF_PART * fabs(follows);
}

static void
bring_to_reference(struct reading_value *value)
{
    struct failure ignored = {0}; /* the flags say what is missing or off */

    value->ph = value->correction.ph;
    value->ph_at_reference = NAN;
    bring_as_far_as_known(value);
    if (at_reference(value->reading->temperature_c, value->concentration_pct, &value->shift, &ignored) !=
        STATUS_OK) {
        value->usable = false;
        return;
    }
    value->ph_at_reference = value->ph + value->shift.shift_ph;
}

/* The water's own pH in a sitting as it was read, by a check in the walk or beside readings; NAN: not looked at. */
static double
water_ph_of(const struct dossier *dossier, int64_t session_id)
{
    double lowest_ph = NAN;

    for (size_t i = 0; i < dossier->observation_count; i++) {
        const struct observation *seen = &dossier->observations[i];

        if (seen->session_id == session_id && seen->kind == OBSERVATION_WATER_PH && observation_stands(seen))
            lowest_ph = fmin(lowest_ph, seen->value);
    }
    for (size_t i = 0; i < dossier->answer_count; i++) {
        const struct answer *answer = &dossier->answers[i];

        if (answer->session_id == session_id && answer->superseded_by == 0 &&
            answer->outcome == ANSWER_DONE && answer->step != NULL && text_same(answer->step, "water-check"))
            lowest_ph = fmin(lowest_ph, answer->value);
    }
    return lowest_ph;
}

/* Rule 7. */
static void
add_water(struct reading_valuer *valuer, struct reading_value *value)
{
    static const double boiled_ph = 6.2, lowest_ph = 4.0;
    struct failure ignored = {0};
    int64_t session_id = value->specimen->session_id;

    if (valuer->water_session_id != session_id) {
        double ph = fmin(water_ph_of(valuer->dossier, session_id), boiled_ph);

        valuer->water_session_id = session_id;
        if (carbon_dioxide_of_water(fmax(ph, lowest_ph), &valuer->water_co2_mol_per_kg, &ignored) !=
            STATUS_OK)
            valuer->water_co2_mol_per_kg = 0.0;
    }
    if (!isnan(value->ph_at_reference) &&
        carbon_dioxide_fall(valuer->water_co2_mol_per_kg, value->ph, value->reading->temperature_c,
                            value->concentration_pct, &value->water_half_ph, &value->water_per_ph,
                            &ignored) != STATUS_OK)
        value->water_half_ph = value->water_per_ph = 0.0;
}

void
reading_valuer_clear(struct reading_valuer *valuer)
{
    meter_check_clear(&valuer->check);
    *valuer = (struct reading_valuer){.dossier = valuer->dossier};
}

enum status
reading_value_of(struct reading_valuer *valuer, const struct reading *reading,
                 struct reading_value *ret_value, struct failure *failure)
{
    const struct dossier *dossier = valuer->dossier;
    struct reading_value value = {.reading = reading, .usable = true};
    const struct session *session;
    enum status status;

    if (reading->method != READING_METER || isnan(reading->ph))
        return failure_set(failure, STATUS_FORMAT, "only a meter reading with a pH can be valued");
    value.specimen = dossier_specimen(dossier, reading->specimen_id);
    value.meter = dossier_gear(dossier, reading->gear_id);
    if (value.specimen == NULL || value.meter == NULL || value.meter->kind != GEAR_METER)
        return failure_set(failure, STATUS_MISSING, "reading %lld has no %s on record",
                           (long long)reading->id, value.specimen == NULL ? "test portion" : "meter");
    session = dossier_session(dossier, value.specimen->session_id);
    if (session == NULL)
        return failure_set(failure, STATUS_MISSING, "reading %lld has no session on record",
                           (long long)reading->id);
    value.calibration = calibration_of(dossier, reading);
    status = apply_calibration(valuer, &value, failure);
    if (status != STATUS_OK)
        return status;
    add_bench(dossier, session, &value);
    reading_value_flag_conditions(reading->temperature_c, value.concentration_pct, &value.flags);
    bring_to_reference(&value);
    add_water(valuer, &value);
    if (!(reading->ph >= glass_low_ph && reading->ph <= glass_high_ph)) {
        flag_set(&value.flags, FLAG_OUT_OF_RANGE);
        value.beyond = true;
    }
    if (reading->approximate) {
        flag_set(&value.flags, FLAG_APPROXIMATE);
        value.usable = false;
    }
    *ret_value = value;
    return STATUS_OK;
}
