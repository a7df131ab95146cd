/* soap.c - hydrolysis of soap, and free alkali from pH. */
#include "soap.h"

#include <math.h>
#include <stdbool.h>

#include "activity.h"
#include "saponification.h"
#include "water.h"

static const double bar_g_per_mol_soap = 300.0;
static const double coverage_factor = 2.0;

static enum status
check_range(const char *what, double value, double low, double high, struct failure *failure)
{
    if (value >= low && value <= high)
        return STATUS_OK;
    return failure_set(failure, STATUS_RANGE, "%s is %g, allowed is %g to %g", what, value, low, high);
}

static enum status
check_conditions(double temperature_c, double concentration_pct, struct failure *failure)
{
    if (check_range("temperature in degC", temperature_c, 0.0, 60.0, failure) != STATUS_OK)
        return failure->status;
    return check_range("concentration in percent", concentration_pct, 0.1, 5.0, failure);
}

/* Moles of soap per kg of water. */
static double
soap_molality(double concentration_pct)
{
    return 1000.0 * concentration_pct / (100.0 - concentration_pct) / bar_g_per_mol_soap;
}

/* What all hydroxide of one solution is reckoned with. */
struct solution {
    double pkw, slope_a, soap; /* soap: mol per kg of water */
};

static enum status
solution_of(double temperature_c, double concentration_pct, struct solution *ret_solution,
            struct failure *failure)
{
    struct solution solution = {.soap = soap_molality(concentration_pct)};

    if (check_conditions(temperature_c, concentration_pct, failure) != STATUS_OK ||
        water_pkw(temperature_c, &solution.pkw, failure) != STATUS_OK ||
        activity_debye_huckel(temperature_c, &solution.slope_a, failure) != STATUS_OK)
        return failure->status;
    *ret_solution = solution;
    return STATUS_OK;
}

/* Hydroxide adds to the ionic strength that decides its own coefficient: settled after a few rounds. */
static double
hydroxide_at(const struct solution *solution, double ph)
{
    double hydroxide = 0.0, before = -1.0;

    for (int rounds = 0; rounds < 30 && fabs(hydroxide - before) > 1e-15 * hydroxide; rounds++) {
        double strength = fmin(solution->soap + hydroxide, ACTIVITY_IONIC_STRENGTH_MAX);

        before = hydroxide;
        hydroxide = pow(10.0, ph - solution->pkw - activity_davies(solution->slope_a, -1.0, strength));
    }
    return hydroxide;
}

enum status
soap_hydroxide(double ph, double temperature_c, double concentration_pct, double *ret_mol_per_kg,
               struct failure *failure)
{
    struct solution solution = {0};

    if (check_range("pH", ph, 0.0, 14.0, failure) != STATUS_OK ||
        solution_of(temperature_c, concentration_pct, &solution, failure) != STATUS_OK)
        return failure->status;
    *ret_mol_per_kg = hydroxide_at(&solution, ph);
    return STATUS_OK;
}

/* x0 of the model: x0^2 + k x0 - k c = 0 with k = Kw / Ka. */
static double
plain_hydroxide(double apparent_pka, double pkw, double soap)
{
    double k = pow(10.0, apparent_pka - pkw);

    return 2.0 * k * soap / (k + sqrt(k * k + 4.0 * k * soap));
}

enum status
soap_plain_ph(double apparent_pka, double temperature_c, double concentration_pct, double *ret_ph,
              struct failure *failure)
{
    double pkw = 0.0, log_gamma = 0.0, soap, hydroxide;

    if (check_range("apparent pKa", apparent_pka, 7.0, 11.0, failure) != STATUS_OK ||
        check_conditions(temperature_c, concentration_pct, failure) != STATUS_OK ||
        water_pkw(temperature_c, &pkw, failure) != STATUS_OK)
        return failure->status;
    soap = soap_molality(concentration_pct);
    hydroxide = plain_hydroxide(apparent_pka, pkw, soap);
    if (activity_log_gamma(-1.0, soap + hydroxide, temperature_c, &log_gamma, failure) != STATUS_OK)
        return failure->status;
    *ret_ph = pkw + log10(hydroxide) + log_gamma;
    return STATUS_OK;
}

/* Percent NaOH of the bar from x and x0; the hydrolysis of the soap, x0, is pushed back by the lye. */
static double
percent(double x, double x0, double concentration_pct)
{
    double free_mol_per_kg = fmax(0.0, x - x0 * x0 / x);                      /* per kg of water */
    double of_solution = free_mol_per_kg * (1.0 - concentration_pct / 100.0); /* per kg of solution */

    return fmin(100.0, 100.0 * of_solution * SAPONIFICATION_NAOH_G_PER_MOL / (10.0 * concentration_pct));
}

/* Hydroxide at a pH; one beyond the scale is its end. */
static double
hydroxide_within(const struct solution *solution, double ph)
{
    return hydroxide_at(solution, fmin(fmax(ph, 0.0), 14.0));
}

static void
beside_reference(const struct soap_reading *reading, const struct solution *solution,
                 struct soap_free_naoh *free_naoh)
{
    double reach = coverage_factor * reading->u_ph,
           reference_reach = coverage_factor * reading->u_reference_ph;
    double w = reading->concentration_pct;
    double x = hydroxide_within(solution, reading->ph),
           x0 = hydroxide_within(solution, reading->reference_ph);
    double middle = percent(x, x0, w);
    double low = percent(hydroxide_within(solution, reading->ph - reach), x0, w);
    double high = percent(hydroxide_within(solution, reading->ph + reach), x0, w);
    double reference_low = percent(x, hydroxide_within(solution, reading->reference_ph + reference_reach), w);
    double reference_high =
        percent(x, hydroxide_within(solution, reading->reference_ph - reference_reach), w);
    double shared = reading->shared_half_ph;
    double shared_low = percent(hydroxide_within(solution, reading->ph - shared),
                                hydroxide_within(solution, reading->reference_ph - shared), w);
    double shared_high = percent(hydroxide_within(solution, reading->ph + shared),
                                 hydroxide_within(solution, reading->reference_ph + shared), w);

    free_naoh->estimate_pct = middle;
    free_naoh->low_pct =
        fmax(0.0, middle - hypot(hypot(middle - low, middle - reference_low), middle - shared_low));
    free_naoh->high_pct = middle + hypot(hypot(high - middle, reference_high - middle), shared_high - middle);
}

/* The upper end counts all hydroxide as lye: a reference at pH 0 hydrolyses nothing. */
static void
without_reference(const struct soap_reading *reading, const struct solution *solution,
                  struct soap_free_naoh *free_naoh)
{
    double reach = coverage_factor * reading->u_ph, w = reading->concentration_pct;
    double plain = plain_hydroxide(SOAP_APPARENT_PKA, solution->pkw, solution->soap),
           plain_high = plain_hydroxide(SOAP_APPARENT_PKA_HIGH, solution->pkw, solution->soap);

    free_naoh->estimate_pct = percent(hydroxide_within(solution, reading->ph), plain, w);
    free_naoh->low_pct = percent(hydroxide_within(solution, reading->ph - reach), plain_high, w);
    free_naoh->high_pct =
        percent(hydroxide_within(solution, reading->ph + reach), hydroxide_at(solution, 0.0), w);
}

enum status
soap_free_naoh_pct(const struct soap_reading *reading, struct soap_free_naoh *ret_free_naoh,
                   struct failure *failure)
{
    struct soap_free_naoh free_naoh = {0};
    struct solution solution = {0};
    bool has_reference = !isnan(reading->reference_ph);

    if (check_range("pH", reading->ph, 0.0, 14.0, failure) != STATUS_OK ||
        check_range("uncertainty of the pH", reading->u_ph, 0.0, 2.0, failure) != STATUS_OK)
        return failure->status;
    if (has_reference &&
        (check_range("pH of the reference", reading->reference_ph, 0.0, 14.0, failure) != STATUS_OK ||
         check_range("uncertainty of the reference", reading->u_reference_ph, 0.0, 2.0, failure) !=
             STATUS_OK ||
         check_range("what both readings share", reading->shared_half_ph, 0.0, 4.0, failure) != STATUS_OK))
        return failure->status;
    if (solution_of(reading->temperature_c, reading->concentration_pct, &solution, failure) != STATUS_OK)
        return failure->status;
    if (has_reference)
        beside_reference(reading, &solution, &free_naoh);
    else
        without_reference(reading, &solution, &free_naoh);
    *ret_free_naoh = free_naoh;
    return STATUS_OK;
}

enum status
soap_ph_with_free_naoh(double free_naoh_pct, double plain_ph, double temperature_c, double concentration_pct,
                       double *ret_ph, struct failure *failure)
{
    double pkw = 0.0, log_gamma = 0.0, x0 = 0.0, b, x;

    if (check_range("free NaOH in percent", free_naoh_pct, 0.0, 20.0, failure) != STATUS_OK ||
        soap_hydroxide(plain_ph, temperature_c, concentration_pct, &x0, failure) != STATUS_OK ||
        water_pkw(temperature_c, &pkw, failure) != STATUS_OK)
        return failure->status;
    /* percent() solved for x: x - x0^2 / x = b. */
    b = free_naoh_pct / 100.0 * 10.0 * concentration_pct / SAPONIFICATION_NAOH_G_PER_MOL /
        (1.0 - concentration_pct / 100.0);
    x = (b + sqrt(b * b + 4.0 * x0 * x0)) / 2.0;
    if (activity_log_gamma(-1.0, soap_molality(concentration_pct) + x, temperature_c, &log_gamma, failure) !=
        STATUS_OK)
        return failure->status;
    *ret_ph = pkw + log10(x) + log_gamma;
    return STATUS_OK;
}

enum status
soap_ph_rise(double more_naoh_pct, double ph, double temperature_c, double concentration_pct,
             double *ret_rise_ph, struct failure *failure)
{
    double raised_ph = 0.0;

    if (soap_ph_with_free_naoh(more_naoh_pct, ph, temperature_c, concentration_pct, &raised_ph, failure) !=
        STATUS_OK)
        return failure->status;
    *ret_rise_ph = raised_ph - ph;
    return STATUS_OK;
}
