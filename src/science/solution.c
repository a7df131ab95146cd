/* solution.c - acid-base equilibrium by charge balance. */
#include "solution.h"

#include <math.h>

#include "activity.h"
#include "root.h"
#include "water.h"

enum { CHARGE_MAX = 3, ROUNDS_MAX = 400 };

static const double amount_max_mol_per_kg = 20.0;

/* What each mol/kg beyond the activity model's range adds to u: of ions, and of acid that is none. */
static const double u_ph_per_ion_mol_per_kg = 0.15, u_ph_per_acid_mol_per_kg = 0.05;
static const double neutral_max_mol_per_kg = 1.0;

/* A glass electrode answers to sodium too (ASTM E70). */
static const double alkaline_error_ph = 12.0, alkaline_error_mol_per_kg = 0.1;
static const double trace_mol_per_kg = 2e-7;

/* What pure water takes up from air with 420 ppm at 25 degC: 420e-6 atm x 10^-1.468 mol/(kg atm). */
static const double air_mol_per_kg = 1.4e-5, weakly_buffered_ph = 0.1;

/* Everything that depends on the temperature alone, perhaps shifted to learn how much it matters. */
struct constants {
    double slope_a, pkw, log_kh_co2;
    double pka[ACID_COUNT][ACID_STEPS_MAX];
    double log_k_lime;            /* Ca(OH)2(s) + 2 H+ = Ca2+ + 2 H2O */
    double log_k_calcium_hydroxo; /* Ca2+ + H2O = CaOH+ + H+ */
};

/* Charges and ionic strength as they are summed over the ions. */
struct sums {
    double charge, twice_strength;
};

static void
add_ion(struct sums *sums, int charge, double mol_per_kg)
{
    sums->charge += charge * mol_per_kg;
    sums->twice_strength += charge * charge * mol_per_kg;
}

/* Lime: log K and enthalpies as widespread in geochemical data files, from memory; the solubility and pH at
 * 25 degC which follow are checked in the tests. */
static enum status
set_constants(struct constants *constants, double temperature_c, struct failure *failure)
{
    double inverse_k = 1.0 / (temperature_c + 273.15) - 1.0 / 298.15;
    double per_kj = 1000.0 / (8.314462618 * log(10.0));

    for (int acid = 0; acid < ACID_COUNT; acid++) {
        for (int step = 1; step <= acid_steps((enum acid)acid); step++) {
            if (acid_pka((enum acid)acid, step, temperature_c, &constants->pka[acid][step - 1], failure) !=
                STATUS_OK)
                return failure->status;
        }
    }
    if (acid_log_henry_co2(temperature_c, &constants->log_kh_co2, failure) != STATUS_OK ||
        water_pkw(temperature_c, &constants->pkw, failure) != STATUS_OK ||
        activity_debye_huckel(temperature_c, &constants->slope_a, failure) != STATUS_OK)
        return failure->status;
    constants->log_k_lime = 22.804 + 128.62 * per_kj * inverse_k;
    constants->log_k_calcium_hydroxo = -12.78 - 64.11 * per_kj * inverse_k;
    return STATUS_OK;
}

/* The forms of one acid, which share `amount`; or, when the air fixes it, the uncharged form has `amount`. */
static void
add_acid(struct sums *sums, const double pka[ACID_STEPS_MAX], int steps, double amount, bool fixed_by_air,
         double ph, const double log_gamma[CHARGE_MAX + 1])
{
    double share[CHARGE_MAX + 1] = {1.0}; /* of each form, relative to the uncharged one */
    double total = 1.0;

    for (int step = 1; step <= steps; step++) {
        share[step] = share[step - 1] * pow(10.0, ph - pka[step - 1] + log_gamma[step - 1] - log_gamma[step]);
        total += share[step];
    }
    for (int step = 1; step <= steps; step++)
        add_ion(sums, -step, amount * share[step] / (fixed_by_air ? 1.0 : total));
}

static void
add_lime(struct sums *sums, const struct constants *constants, double ph,
         const double log_gamma[CHARGE_MAX + 1])
{
    double log_calcium = constants->log_k_lime - 2.0 * ph;

    add_ion(sums, 2, pow(10.0, log_calcium - log_gamma[2]));
    add_ion(sums, 1, pow(10.0, log_calcium + constants->log_k_calcium_hydroxo + ph - log_gamma[1]));
}

static struct sums
balance(const struct solution *solution, const struct constants *constants, double ph, double ionic_strength)
{
    double log_gamma[CHARGE_MAX + 1];
    struct sums sums = {0};

    for (int charge = 0; charge <= CHARGE_MAX; charge++)
        log_gamma[charge] =
            activity_davies(constants->slope_a, charge, fmin(ionic_strength, ACTIVITY_IONIC_STRENGTH_MAX));
    add_ion(&sums, 1, pow(10.0, -ph - log_gamma[1]));
    add_ion(&sums, -1, pow(10.0, ph - constants->pkw - log_gamma[1]));
    sums.charge += solution->base_mol_per_kg;
    sums.twice_strength += fabs(solution->base_mol_per_kg); /* below zero only for the trace of acid */
    for (int acid = 0; acid < ACID_COUNT; acid++) {
        if (solution->acid_mol_per_kg[acid] > 0.0)
            add_acid(&sums, constants->pka[acid], acid_steps((enum acid)acid),
                     solution->acid_mol_per_kg[acid], false, ph, log_gamma);
    }
    if (solution->co2_atm > 0.0)
        add_acid(&sums, constants->pka[ACID_CARBONIC], acid_steps(ACID_CARBONIC),
                 pow(10.0, constants->log_kh_co2) * solution->co2_atm, true, ph, log_gamma);
    if (solution->lime_saturated)
        add_lime(&sums, constants, ph, log_gamma);
    return sums;
}

/* What the charges at a pH are summed for. */
struct trial {
    const struct solution *solution;
    const struct constants *constants;
    double ionic_strength;
};

static double
charge_at(double ph, void *payload)
{
    const struct trial *trial = payload;

    return balance(trial->solution, trial->constants, ph, trial->ionic_strength).charge;
}

static enum status
equilibrate(const struct solution *solution, const struct constants *constants, double *ret_ph,
            double *ret_ionic_strength, double *ret_residual, struct failure *failure)
{
    struct trial trial = {.solution = solution, .constants = constants};

    for (int rounds = 0; rounds < ROUNDS_MAX; rounds++) {
        double ph = root_between(charge_at, &trial, -6.0, 20.0, 0.0, 0.0);
        struct sums sums = balance(solution, constants, ph, trial.ionic_strength);
        double next = 0.5 * sums.twice_strength;

        if (fabs(next - trial.ionic_strength) <= 1e-12 * (1.0 + next)) {
            *ret_ph = ph;
            *ret_ionic_strength = next;
            *ret_residual = sums.charge;
            return STATUS_OK;
        }
        /* A step that overshoots comes back when it is halved. */
        trial.ionic_strength = rounds < 20 ? next : 0.5 * (trial.ionic_strength + next);
    }
    return failure_set(failure, STATUS_RANGE,
                       "this solution does not settle: its ionic strength near %g mol/kg",
                       trial.ionic_strength);
}

static enum status
check(const struct solution *solution, struct failure *failure)
{
    const double *acid = solution->acid_mol_per_kg;

    if (!(solution->temperature_c >= 0.0 && solution->temperature_c <= 60.0))
        return failure_set(failure, STATUS_RANGE, "solutions are computed from 0 to 60 degC, not at %g",
                           solution->temperature_c);
    for (int i = 0; i < ACID_COUNT; i++) {
        if (!(acid[i] >= 0.0 && acid[i] <= amount_max_mol_per_kg))
            return failure_set(failure, STATUS_RANGE, "%s acid is %g mol/kg, allowed is 0 to %g",
                               acid_name((enum acid)i), acid[i], amount_max_mol_per_kg);
    }
    if (!(solution->base_mol_per_kg >= 0.0 && solution->base_mol_per_kg <= amount_max_mol_per_kg))
        return failure_set(failure, STATUS_RANGE, "sodium and potassium are %g mol/kg, allowed is 0 to %g",
                           solution->base_mol_per_kg, amount_max_mol_per_kg);
    if (!(solution->co2_atm >= 0.0 && solution->co2_atm <= 1.0))
        return failure_set(failure, STATUS_RANGE, "carbon dioxide is %g atm, allowed is 0 to 1",
                           solution->co2_atm);
    if (solution->co2_atm > 0.0 && acid[ACID_CARBONIC] > 0.0)
        return failure_set(failure, STATUS_CONFLICT,
                           "either the amount of carbonate is given or the air above, not both");
    if (solution->lime_saturated &&
        (solution->co2_atm > 0.0 || acid[ACID_CARBONIC] > 0.0 || acid[ACID_CITRIC] > 0.0 ||
         acid[ACID_PHOSPHORIC] > 0.0 || acid[ACID_BORIC] > 0.0))
        return failure_set(failure, STATUS_CONFLICT,
                           "lime makes a solid with carbonate, citrate, phosphate or borate: not computed");
    return STATUS_OK;
}

/* One re-solving with something changed: the square of how far the pH moves. */
static enum status
add_shift(const struct solution *solution, const struct constants *constants, double ph,
          double *sum_of_squares, struct failure *failure)
{
    double shifted_ph = 0.0, ionic_strength, residual;
    enum status status = equilibrate(solution, constants, &shifted_ph, &ionic_strength, &residual, failure);

    if (status == STATUS_OK)
        *sum_of_squares += (shifted_ph - ph) * (shifted_ph - ph);
    return status;
}

/* Acid that no base has taken, which in strong solutions is hardly split into ions. */
static double
undissociated(const struct solution *solution)
{
    double sum = -solution->base_mol_per_kg;

    for (int acid = 0; acid < ACID_COUNT; acid++)
        sum += solution->acid_mol_per_kg[acid];
    return sum;
}

static enum status
estimate_uncertainty(const struct solution *solution, const struct constants *constants,
                     const struct solution_result *result, double *ret_u_ph, struct failure *failure)
{
    double u_pka = 0.02 + 0.002 * fabs(solution->temperature_c - 25.0);
    double ions_beyond = fmax(0.0, result->ionic_strength_mol_per_kg - ACTIVITY_IONIC_STRENGTH_MAX);
    double acid_beyond = fmax(0.0, undissociated(solution) - neutral_max_mol_per_kg);
    double squares = 0.005 * 0.005 + pow(u_ph_per_ion_mol_per_kg * ions_beyond, 2.0) +
                     pow(u_ph_per_acid_mol_per_kg * acid_beyond, 2.0);
    struct constants shifted = *constants;
    struct solution tainted = *solution;

    for (int acid = 0; acid < ACID_COUNT; acid++) {
        for (int step = 0; step < ACID_STEPS_MAX; step++)
            shifted.pka[acid][step] += u_pka;
    }
    if (add_shift(solution, &shifted, result->ph, &squares, failure) != STATUS_OK)
        return failure->status;
    shifted = *constants;
    shifted.slope_a *= 1.1;
    if (add_shift(solution, &shifted, result->ph, &squares, failure) != STATUS_OK)
        return failure->status;
    shifted = *constants;
    shifted.log_k_lime += 0.05;
    if (add_shift(solution, &shifted, result->ph, &squares, failure) != STATUS_OK)
        return failure->status;
    tainted.base_mol_per_kg -= trace_mol_per_kg;
    if (add_shift(&tainted, constants, result->ph, &squares, failure) != STATUS_OK)
        return failure->status;
    *ret_u_ph = sqrt(squares);
    return STATUS_OK;
}

/* Whether water that was not boiled would give another pH. */
static enum status
see_buffering(const struct solution *solution, const struct constants *constants,
              struct solution_result *result, struct failure *failure)
{
    struct solution aired = *solution;
    double squares = 0.0;

    if (solution->co2_atm > 0.0)
        return STATUS_OK;
    aired.acid_mol_per_kg[ACID_CARBONIC] += air_mol_per_kg;
    if (add_shift(&aired, constants, result->ph, &squares, failure) != STATUS_OK)
        return failure->status;
    result->weakly_buffered = squares > weakly_buffered_ph * weakly_buffered_ph;
    return STATUS_OK;
}

enum status
solution_solve(const struct solution *solution, struct solution_result *ret_result, struct failure *failure)
{
    struct constants constants = {0};
    struct solution_result result = {0};

    if (check(solution, failure) != STATUS_OK)
        return failure->status;
    if (set_constants(&constants, solution->temperature_c, failure) != STATUS_OK)
        return failure->status;
    if (equilibrate(solution, &constants, &result.ph, &result.ionic_strength_mol_per_kg,
                    &result.residual_mol_per_kg, failure) != STATUS_OK)
        return failure->status;
    if (estimate_uncertainty(solution, &constants, &result, &result.u_ph, failure) != STATUS_OK ||
        see_buffering(solution, &constants, &result, failure) != STATUS_OK)
        return failure->status;
    result.beyond_activity_range = result.ionic_strength_mol_per_kg > ACTIVITY_IONIC_STRENGTH_MAX ||
                                   undissociated(solution) > neutral_max_mol_per_kg;
    result.beyond_glass_range = result.ph < 2.0 || result.ph > 12.0;
    result.alkaline_error =
        result.ph > alkaline_error_ph && solution->base_mol_per_kg > alkaline_error_mol_per_kg;
    *ret_result = result;
    return STATUS_OK;
}
