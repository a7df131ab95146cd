/* weighed_acid.c - an acid for titration that is made on a kitchen balance. */
#include "weighed_acid.h"

#include <math.h>

#include "memory.h"
#include "substance.h"
#include "text.h"
#include "titration_model.h"

static const double protons = 3.0, purity_half_width = 0.005, most_pct = 20.0;

const char *const citric_form_words[] = {"anhydrous", "monohydrate", "not known"};

enum status
citric_form_parse(const char *text, enum citric_form *ret_form, struct failure *failure)
{
    static const struct {
        const char *word;
        enum citric_form form;
    } others[] = {{"water-free", CITRIC_ANHYDROUS}, {"dry", CITRIC_ANHYDROUS},
                  {"hydrate", CITRIC_MONOHYDRATE},  {"crystals", CITRIC_NOT_KNOWN},
                  {"unknown", CITRIC_NOT_KNOWN},    {"not said", CITRIC_NOT_KNOWN},
                  {"?", CITRIC_NOT_KNOWN},          {"mono", CITRIC_MONOHYDRATE}};

    for (size_t i = 0; i < LENGTH(citric_form_words); i++)
        if (text_same(text, citric_form_words[i])) {
            *ret_form = (enum citric_form)i;
            return STATUS_OK;
        }
    for (size_t i = 0; i < LENGTH(others); i++)
        if (text_same(text, others[i].word)) {
            *ret_form = others[i].form;
            return STATUS_OK;
        }
    return failure_set(failure, STATUS_FORMAT,
                       "'%.40s' is no form of citric acid: anhydrous, monohydrate or not known", text);
}

static enum status
check(const struct weighed_acid *acid, struct failure *failure)
{
    const struct {
        const char *what;
        double number, lowest, highest; /* above the lowest */
        const char *unit;
    } numbers[] = {
        {"citric acid", acid->citric_mass_g, 0.0, CITRIC_HIGHEST_G, " g"},
        {"water", acid->water_mass_g, 0.0, CITRIC_WATER_HIGHEST_G, " g"},
        {"purity", isnan(acid->purity_fraction) ? 1.0 : acid->purity_fraction, CITRIC_PURITY_LOWEST, 1.0, ""},
    };

    for (size_t i = 0; i < LENGTH(numbers); i++)
        if (!(numbers[i].number > numbers[i].lowest && numbers[i].number <= numbers[i].highest))
            return failure_set(failure, STATUS_RANGE, "%s is %g%s, allowed is above %g to %g%s",
                               numbers[i].what, numbers[i].number, numbers[i].unit, numbers[i].lowest,
                               numbers[i].highest, numbers[i].unit);
    if (!(acid->readability_g >= 0.0))
        return failure_set(failure, STATUS_RANGE, "a balance reads to 0 g and up, not %g",
                           acid->readability_g);
    return STATUS_OK;
}

/* Moles of H+ that a gram gives. */
static enum status
per_gram(const char *name, double *ret_mol, struct failure *failure)
{
    const struct substance *substance = NULL;
    enum status status = substance_find(name, &substance, failure);

    if (status == STATUS_OK)
        *ret_mol = protons / substance->molar_mass_g_per_mol;
    return status;
}

/* Rule 2: the moles of a gram, and how far they may be off. */
static enum status
per_gram_of_form(enum citric_form form, double *ret_mol, double *ret_half_width, struct failure *failure)
{
    double anhydrous = NAN, monohydrate = NAN;
    enum status status = per_gram("citric acid, anhydrous", &anhydrous, failure);

    if (status == STATUS_OK)
        status = per_gram("citric acid, monohydrate", &monohydrate, failure);
    if (status != STATUS_OK)
        return status;
    *ret_mol = form == CITRIC_ANHYDROUS     ? anhydrous
               : form == CITRIC_MONOHYDRATE ? monohydrate
                                            : (anhydrous + monohydrate) / 2.0;
    *ret_half_width = form == CITRIC_NOT_KNOWN ? (anhydrous - monohydrate) / 2.0 : 0.0;
    return STATUS_OK;
}

enum status
weighed_acid_strength(const struct weighed_acid *acid, double *ret_mol_per_kg, double *ret_u_relative,
                      double *ret_mol_per_l, struct failure *failure)
{
    double purity = isnan(acid->purity_fraction) ? 1.0 : acid->purity_fraction;
    double all_g = acid->citric_mass_g + acid->water_mass_g, pct = 100.0 * acid->citric_mass_g / all_g;
    double weighing_g = acid->readability_g / sqrt(6.0), mol = NAN, form = NAN, mol_per_kg;
    enum status status = check(acid, failure);

    if (status == STATUS_OK)
        status = per_gram_of_form(acid->form, &mol, &form, failure);
    if (status != STATUS_OK)
        return status;
    mol_per_kg = 1000.0 * mol * purity * acid->citric_mass_g / all_g;
    if (!(pct <= most_pct && mol_per_kg >= TITRATION_ACID_LOWEST_MOL_PER_L &&
          mol_per_kg <= TITRATION_ACID_HIGHEST_MOL_PER_L))
        return failure_set(
            failure, STATUS_RANGE,
            "%g g of citric acid in %g g of water make %.3g mol of H+ per kg, allowed is %g to %g",
            acid->citric_mass_g, acid->water_mass_g, mol_per_kg, TITRATION_ACID_LOWEST_MOL_PER_L,
            TITRATION_ACID_HIGHEST_MOL_PER_L);
    *ret_mol_per_kg = mol_per_kg;
    *ret_mol_per_l = mol_per_kg * (0.9982 + 0.0041 * pct);
    *ret_u_relative =
        hypot(hypot(form / mol, purity_half_width / purity) / sqrt(3.0),
              hypot(weighing_g / acid->citric_mass_g * acid->water_mass_g / all_g, weighing_g / all_g));
    return STATUS_OK;
}
