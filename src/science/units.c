/* units.c - the units a kitchen uses. */
#include "units.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <string.h>

#include "memory.h"
#include "text.h"

struct unit {
    const char *name;
    double factor, shift; /* kept = typed * factor + shift */
};

static const struct unit masses[] = {
    {"", 1.0, 0.0},
    {"g", 1.0, 0.0},
    {"mg", 0.001, 0.0},
    {"kg", 1000.0, 0.0},
    {"oz", 28.349523125, 0.0},
    {"lb", 453.59237, 0.0},
    {"lbs", 453.59237, 0.0},
    {"gr", 1.0, 0.0}, /* gram: a grain of 65 mg weighs no soap */
    {"gm", 1.0, 0.0},
    {"gram", 1.0, 0.0},
    {"grams", 1.0, 0.0},
    {"gramme", 1.0, 0.0},
    {"grammes", 1.0, 0.0},
    {"kilo", 1000.0, 0.0},
    {"kilos", 1000.0, 0.0},
    {"kilogram", 1000.0, 0.0},
    {"kilograms", 1000.0, 0.0},
    {"milligram", 0.001, 0.0},
    {"milligrams", 0.001, 0.0},
    {"ounce", 28.349523125, 0.0},
    {"ounces", 28.349523125, 0.0},
    {"pound", 453.59237, 0.0},
    {"pounds", 453.59237, 0.0},
};
static const struct unit temperatures[] = {
    {"", 1.0, 0.0},
    {"c", 1.0, 0.0},
    {"degc", 1.0, 0.0},
    {"deg c", 1.0, 0.0},
    {"degrees c", 1.0, 0.0},
    {"\xc2\xb0"
     "c",
     1.0, 0.0},
    {"\xc2\xb0 c", 1.0, 0.0},
    {"celsius", 1.0, 0.0},
    {"centigrade", 1.0, 0.0},
    {"f", 5.0 / 9.0, -160.0 / 9.0},
    {"degf", 5.0 / 9.0, -160.0 / 9.0},
    {"deg f", 5.0 / 9.0, -160.0 / 9.0},
    {"degrees f", 5.0 / 9.0, -160.0 / 9.0},
    {"\xc2\xb0"
     "f",
     5.0 / 9.0, -160.0 / 9.0},
    {"\xc2\xb0 f", 5.0 / 9.0, -160.0 / 9.0},
    {"fahrenheit", 5.0 / 9.0, -160.0 / 9.0},
};
static const struct unit volumes[] = {
    {"", 1.0, 0.0},
    {"ml", 1.0, 0.0},
    {"cc", 1.0, 0.0},
    {"ccm", 1.0, 0.0},
    {"cm3", 1.0, 0.0},
    {"millilitre", 1.0, 0.0},
    {"millilitres", 1.0, 0.0},
    {"milliliter", 1.0, 0.0},
    {"milliliters", 1.0, 0.0},
    {"l", 1000.0, 0.0},
    {"litre", 1000.0, 0.0},
    {"litres", 1000.0, 0.0},
    {"liter", 1000.0, 0.0},
    {"liters", 1000.0, 0.0},
};
/* Of H+: 0.1 N is 0.1 mol of H+ a litre whatever the acid is. */
static const struct unit concentrations[] = {
    {"", 1.0, 0.0},         {"mol/l", 1.0, 0.0}, {"mol/kg", 1.0, 0.0}, {"mol", 1.0, 0.0},
    {"m", 1.0, 0.0},        {"molar", 1.0, 0.0}, {"n", 1.0, 0.0},      {"normal", 1.0, 0.0},
    {"mmol/l", 0.001, 0.0}, {"mm", 0.001, 0.0},
};

static const struct unit ph[] = {{"", 1.0, 0.0}, {"ph", 1.0, 0.0}};
static const struct unit percents[] = {{"", 1.0, 0.0}, {"%", 1.0, 0.0}, {"percent", 1.0, 0.0}};

/* What may stand behind a number, and the units that a refusal names. */
struct family {
    const struct unit *units;
    size_t count;
    const char *allowed;
};
static const struct family mass_units = {masses, LENGTH(masses), "g, mg, kg, oz and lb"},
                           temperature_units = {temperatures, LENGTH(temperatures), "C and F"},
                           volume_units = {volumes, LENGTH(volumes), "mL and L"},
                           concentration_units = {concentrations, LENGTH(concentrations), "mol/L and N"},
                           ph_units = {ph, LENGTH(ph), "pH"},
                           percent_units = {percents, LENGTH(percents), "%"};
static const struct family *const families[] = {&mass_units,          &temperature_units, &volume_units,
                                                &concentration_units, &ph_units,          &percent_units};

/* The number and, behind it, the unit; both in `copy`. */
static enum status
split(const char *text, char *copy, size_t size, char **ret_number, char **ret_unit, struct failure *failure)
{
    size_t digits;

    if (strlen(text) >= size)
        return failure_set(failure, STATUS_FORMAT, "'%.40s' is not a number", text);
    memcpy(copy, text, strlen(text) + 1);
    *ret_number = text_trim(copy);
    digits = strspn(*ret_number, "+-.,0123456789");
    *ret_unit = *ret_number + digits;
    return STATUS_OK;
}

static enum status
no_unit_here(const char *text, const char *unit, const struct family *family, struct failure *failure)
{
    if (units_is_unit(unit))
        return failure_set(failure, STATUS_FORMAT, "'%.40s': unit '%.20s' does not fit, allowed %s %s", text,
                           unit, strchr(family->allowed, ' ') == NULL ? "is" : "are", family->allowed);
    if (family == &ph_units || family == &percent_units)
        return failure_set(failure, STATUS_FORMAT, "'%.40s' is not a number", text);
    return failure_set(failure, STATUS_FORMAT, "'%.40s': unit '%.20s' is unknown, allowed are %s", text, unit,
                       family->allowed);
}

static enum status
parse(const char *text, const struct family *family, enum number_decimal decimal,
      const struct unit **ret_unit, double *ret_kept, struct failure *failure)
{
    char copy[64], number_text[64], *number = NULL, *unit = NULL;
    double typed = NAN;
    enum status status = split(text, copy, sizeof copy, &number, &unit, failure);

    if (status != STATUS_OK)
        return status;
    snprintf(number_text, sizeof number_text, "%.*s", (int)(unit - number), number);
    unit = text_trim(unit);
    if (number_text[0] == '\0' && *unit != '\0')
        return failure_set(failure, STATUS_FORMAT, "'%.40s' is not a number", text);
    for (size_t i = 0; i < family->count; i++) {
        if (!text_same(unit, family->units[i].name))
            continue;
        status = number_parse(number_text, decimal, &typed, failure);
        if (status != STATUS_OK)
            return status;
        *ret_unit = &family->units[i];
        *ret_kept = typed * family->units[i].factor + family->units[i].shift;
        return STATUS_OK;
    }
    return no_unit_here(text, unit, family, failure);
}

enum status
units_parse_mass(const char *text, double *ret_mass_g, struct failure *failure)
{
    const struct unit *unit;

    return parse(text, &mass_units, NUMBER_POINT_OR_COMMA, &unit, ret_mass_g, failure);
}

bool
units_is_unit(const char *word)
{
    static const char *const others[] = {"drop", "drops", "d", "s", "min", "h", "mv"};

    if (*word == '\0')
        return false;
    for (size_t i = 0; i < LENGTH(families); i++)
        for (size_t k = 0; k < families[i]->count; k++)
            if (text_same(word, families[i]->units[k].name))
                return true;
    for (size_t i = 0; i < LENGTH(others); i++)
        if (text_same(word, others[i]))
            return true;
    return false;
}

static enum status
parse_temperature(const char *text, enum number_decimal decimal, double *ret_temperature_c,
                  struct failure *failure)
{
    const struct unit *unit = NULL;
    double kept = NAN;
    enum status status = parse(text, &temperature_units, decimal, &unit, &kept, failure);

    if (status != STATUS_OK)
        return status;
    assert(unit != NULL);
    *ret_temperature_c = unit->shift != 0.0 ? round(kept * 100.0) / 100.0 : kept;
    return STATUS_OK;
}

enum status
units_parse_temperature(const char *text, double *ret_temperature_c, struct failure *failure)
{
    return parse_temperature(text, NUMBER_POINT_OR_COMMA, ret_temperature_c, failure);
}

enum status
units_parse_number(const char *text, enum units_of of, enum number_decimal decimal, double *ret_number,
                   struct failure *failure)
{
    struct failure unused = {0};
    const struct unit *unit;

    if (number_parse(text, decimal, ret_number, &unused) == STATUS_OK) /* most have none */
        return STATUS_OK;
    switch (of) {
    case UNITS_PH:
        return parse(text, &ph_units, decimal, &unit, ret_number, failure);
    case UNITS_PERCENT:
        return parse(text, &percent_units, decimal, &unit, ret_number, failure);
    case UNITS_TEMPERATURE:
        return parse_temperature(text, decimal, ret_number, failure);
    case UNITS_VOLUME:
        return parse(text, &volume_units, decimal, &unit, ret_number, failure);
    case UNITS_CONCENTRATION:
        return parse(text, &concentration_units, decimal, &unit, ret_number, failure);
    case UNITS_NONE:
    default:
        return number_parse(text, decimal, ret_number, failure);
    }
}

enum status
units_parse_fraction(const char *text, double *ret_fraction, struct failure *failure)
{
    char copy[64], *number = copy, *unit = copy, number_text[64];
    double typed = NAN;
    enum status status = split(text, copy, sizeof copy, &number, &unit, failure);

    if (status != STATUS_OK)
        return status;
    snprintf(number_text, sizeof number_text, "%.*s", (int)(unit - number), number);
    unit = text_trim(unit);
    status = number_parse(number_text, NUMBER_POINT_OR_COMMA, &typed, failure);
    if (status != STATUS_OK)
        return status;
    if (text_same(unit, "%"))
        typed /= 100.0;
    else if (*unit != '\0')
        return failure_set(failure, STATUS_FORMAT, "'%.40s': expected a percentage as in 98.5%%", text);
    if (*unit == '\0' && typed > 1.0 && typed <= 100.0)
        return failure_set(failure, STATUS_RANGE, "'%.40s' is outside 0%% to 100%%: write %.40s%%", text,
                           text);
    if (!(typed >= 0.0 && typed <= 1.0))
        return failure_set(failure, STATUS_RANGE, "'%.40s' is outside 0%% to 100%% (write the %% sign)",
                           text);
    *ret_fraction = typed;
    return STATUS_OK;
}
