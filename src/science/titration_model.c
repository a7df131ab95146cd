/* titration_model.c - percent of free alkali from millilitres of acid. */
#include "titration_model.h"

#include <math.h>

#include "distribution.h"
#include "saponification.h"

/* A 95 % interval, both ends. */
static const double two_sided = 0.975, normal_95 = 1.96;

/* The ends of the bands, rule 4. */
static const double within_to_pct = 0.05, borderline_to_pct = 0.1;
static const double irritant_from_pct = 0.5, corrosive_from_pct = 2.0, severe_from_pct = 5.0;

double
titration_free_naoh_pct(double net_volume_ml, double acid_mol_per_l, double soap_mass_g)
{
    return 0.1 * SAPONIFICATION_NAOH_G_PER_MOL * net_volume_ml * acid_mol_per_l / soap_mass_g;
}

enum titration_band
titration_band_of(double free_naoh_pct)
{
    if (free_naoh_pct <= within_to_pct)
        return TITRATION_WITHIN;
    if (free_naoh_pct <= borderline_to_pct)
        return TITRATION_BORDERLINE;
    if (free_naoh_pct < irritant_from_pct)
        return TITRATION_HOLD;
    if (free_naoh_pct < corrosive_from_pct)
        return TITRATION_IRRITANT;
    if (free_naoh_pct < severe_from_pct)
        return TITRATION_CORROSIVE;
    return TITRATION_SEVERELY_CORROSIVE;
}

const char *
titration_band_name(enum titration_band band)
{
    static const char *const names[] = {"within",   "borderline", "hold",
                                        "irritant", "corrosive",  "severely-corrosive"};

    return names[band];
}

const char *
titration_source_name(enum titration_source source)
{
    static const char *const names[] = {"scatter", "burette", "balance", "acid"};

    return names[source];
}

static enum status
check_number(double value, double low, double high, const char *what, const char *unit,
             struct failure *failure)
{
    if (!(value >= low && value <= high))
        return failure_set(failure, STATUS_RANGE, "%s %g%s: expected %g to %g%s", what, value, unit, low,
                           high, unit);
    return STATUS_OK;
}

static enum status
check_setup(const struct titration_setup *setup, struct failure *failure)
{
    if (check_number(setup->acid_mol_per_l, TITRATION_ACID_LOWEST_MOL_PER_L, TITRATION_ACID_HIGHEST_MOL_PER_L,
                     "concentration of the acid", " mol/L", failure) != STATUS_OK ||
        check_number(setup->acid_relative_u, 0.0, TITRATION_U_ACID_HIGHEST,
                     "relative uncertainty of the acid", "", failure) != STATUS_OK ||
        check_number(setup->blank_ml, 0.0, TITRATION_BLANK_HIGHEST_ML, "blank", " mL", failure) !=
            STATUS_OK ||
        check_number(setup->blank_half_width_ml, 0.0, TITRATION_BLANK_HIGHEST_ML, "half-width of the blank",
                     " mL", failure) != STATUS_OK ||
        check_number(setup->burette_half_width_ml, 0.0, TITRATION_BURETTE_HIGHEST_ML,
                     "half-width of the burette", " mL", failure) != STATUS_OK ||
        check_number(setup->readability_g, 0.0, 10.0, "readability of the balance", " g", failure) !=
            STATUS_OK)
        return failure->status;
    if (isnan(setup->own_sd_pct) && isnan(setup->own_dof))
        return STATUS_OK;
    if (check_number(setup->own_sd_pct, 0.0, 100.0, "own scatter", " %", failure) != STATUS_OK ||
        check_number(setup->own_dof, 1.0, 1e9, "degrees of freedom of the own scatter", "", failure) !=
            STATUS_OK)
        return failure->status;
    return STATUS_OK;
}

static enum status
check_portion(const struct titration_setup *setup, const struct titration_portion *portion,
              struct failure *failure)
{
    if (!(portion->soap_mass_g > 0.0 && portion->soap_mass_g <= TITRATION_SOAP_HIGHEST_G))
        return failure_set(failure, STATUS_RANGE, "mass of soap %g g: expected above 0, to %g g",
                           portion->soap_mass_g, TITRATION_SOAP_HIGHEST_G);
    if (check_number(portion->volume_ml, 0.0, TITRATION_VOLUME_HIGHEST_ML, "volume of acid", " mL",
                     failure) != STATUS_OK)
        return failure->status;
    if (setup->blank_ml - portion->volume_ml > setup->burette_half_width_ml + setup->blank_half_width_ml)
        return failure_set(failure, STATUS_RANGE,
                           "the soap took %g mL of acid and the blank %g mL: a blank is not larger than the "
                           "titration of a soap; check whether they are exchanged",
                           portion->volume_ml, setup->blank_ml);
    return STATUS_OK;
}

static double
percent_of(const struct titration_setup *setup, const struct titration_portion *portion)
{
    return titration_free_naoh_pct(portion->volume_ml - setup->blank_ml, setup->acid_mol_per_l,
                                   portion->soap_mass_g);
}

/* Standard deviation of the replicates; NAN for one. */
static double
replicate_sd(const struct titration_setup *setup, const struct titration_portion *portions, size_t count,
             double mean_pct)
{
    double sum = 0.0;

    for (size_t i = 0; i < count; i++)
        sum += pow(percent_of(setup, &portions[i]) - mean_pct, 2.0);
    return count > 1 ? sqrt(sum / (double)(count - 1)) : (double)NAN;
}

static double
mean_pct_per_ml(const struct titration_setup *setup, const struct titration_portion *portions, size_t count)
{
    double sum = 0.0;

    for (size_t i = 0; i < count; i++)
        sum += titration_free_naoh_pct(1.0, setup->acid_mol_per_l, portions[i].soap_mass_g);
    return sum / (double)count;
}

/* Rule 3: half-width of the mean from the scatter of the portions. */
static double
scatter_half_width(const struct titration_setup *setup, size_t count, double sd_pct)
{
    bool own = !isnan(setup->own_dof) && setup->own_dof >= TITRATION_OWN_DOF;
    double prior_dof = own ? setup->own_dof : TITRATION_ASSUMED_DOF;
    double prior_sd_pct = own ? setup->own_sd_pct : TITRATION_ASSUMED_SD_PCT;
    double n = (double)count, dof = prior_dof + n - 1.0;
    double squares = prior_dof * prior_sd_pct * prior_sd_pct;

    if (count > 1)
        squares += (n - 1.0) * sd_pct * sd_pct;
    return student_t_quantile(two_sided, dof) * sqrt(squares / dof / n);
}

/* Rule 2: what readings rounded to half-widths w and b can be off together, in mL. */
static double
rounding_half_width(double w, double b)
{
    return fmin(w + b, normal_95 * hypot(w, b) / sqrt(3.0));
}

/* Standard uncertainty of the mean from weighing, relative. */
static double
weighing_relative_u(const struct titration_setup *setup, const struct titration_portion *portions,
                    size_t count)
{
    double squares = 0.0;

    for (size_t i = 0; i < count; i++)
        squares += pow(setup->readability_g / portions[i].soap_mass_g, 2.0) / 6.0;
    return sqrt(squares) / (double)count;
}

/* Rules 2 and 3: half-widths of all sources, and the interval. */
static void
find_interval(const struct titration_setup *setup, const struct titration_portion *portions, size_t count,
              struct titration_result *result)
{
    double mean_pct = result->free_naoh_pct, variance = 0.0;
    double *part_pct = result->part_pct;

    part_pct[TITRATION_FROM_SCATTER] = scatter_half_width(setup, count, result->sd_pct);
    part_pct[TITRATION_FROM_BURETTE] =
        mean_pct_per_ml(setup, portions, count) *
        rounding_half_width(setup->burette_half_width_ml, setup->blank_half_width_ml);
    part_pct[TITRATION_FROM_BALANCE] =
        normal_95 * fabs(mean_pct) * weighing_relative_u(setup, portions, count);
    part_pct[TITRATION_FROM_ACID] = normal_95 * fabs(mean_pct) * setup->acid_relative_u;
    for (int i = 0; i < TITRATION_SOURCES; i++)
        variance += part_pct[i] * part_pct[i];
    for (int i = 0; i < TITRATION_SOURCES; i++)
        result->share_fraction[i] = part_pct[i] * part_pct[i] / variance;
    result->half_width_pct = sqrt(variance);
    result->low_pct = fmax(0.0, mean_pct - result->half_width_pct);
    result->high_pct = fmax(0.0, mean_pct + result->half_width_pct);
}

enum status
titration_compute(const struct titration_setup *setup, const struct titration_portion *portions, size_t count,
                  struct titration_result *ret_result, struct failure *failure)
{
    struct titration_result result = {0};

    if (count == 0)
        return failure_set(failure, STATUS_RANGE, "no titration: at least one is needed");
    if (check_setup(setup, failure) != STATUS_OK)
        return failure->status;
    for (size_t i = 0; i < count; i++) {
        if (check_portion(setup, &portions[i], failure) != STATUS_OK)
            return failure_at(failure, "titration %zu: ", i + 1);
        result.free_naoh_pct += percent_of(setup, &portions[i]) / (double)count;
    }
    result.sd_pct = replicate_sd(setup, portions, count, result.free_naoh_pct);
    result.scatter_assumed = !(setup->own_dof >= TITRATION_OWN_DOF);
    find_interval(setup, portions, count, &result);

    result.mean_band = titration_band_of(result.free_naoh_pct);
    result.band = titration_band_of(result.high_pct);
    if (count == 1 && result.band == TITRATION_WITHIN)
        result.band = TITRATION_BORDERLINE;
    *ret_result = result;
    return STATUS_OK;
}
