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
    {"gram", 1.0, 0.0},
    {"grams", 1.0, 0.0},
    {"ounce", 28.349523125, 0.0},
    {"ounces", 28.349523125, 0.0},
    {"pound", 453.59237, 0.0},
    {"pounds", 453.59237, 0.0},
};
static const struct unit temperatures[] = {
    {"", 1.0, 0.0},
    {"c", 1.0, 0.0},
    {"degc", 1.0, 0.0},
    {"\xc2\xb0"
     "c",
     1.0, 0.0},
    {"celsius", 1.0, 0.0},
    {"f", 5.0 / 9.0, -160.0 / 9.0},
    {"fahrenheit", 5.0 / 9.0, -160.0 / 9.0},
    {"degf", 5.0 / 9.0, -160.0 / 9.0},
    {"\xc2\xb0"
     "f",
     5.0 / 9.0, -160.0 / 9.0},
};

static const struct unit ph[] = {{"", 1.0, 0.0}, {"ph", 1.0, 0.0}};
static const struct unit percents[] = {{"", 1.0, 0.0}, {"%", 1.0, 0.0}};

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
parse(const char *text, const struct unit *units, size_t count, const char *allowed,
      enum number_decimal decimal, const struct unit **ret_unit, double *ret_kept, struct failure *failure)
{
    char copy[64], number_text[64], *number = NULL, *unit = NULL;
    double typed = NAN;
    enum status status = split(text, copy, sizeof copy, &number, &unit, failure);

    if (status != STATUS_OK)
        return status;
    snprintf(number_text, sizeof number_text, "%.*s", (int)(unit - number), number);
    unit = text_trim(unit);
    for (size_t i = 0; i < count; i++) {
        if (!text_same(unit, units[i].name))
            continue;
        status = number_parse(number_text, decimal, &typed, failure);
        if (status != STATUS_OK)
            return status;
        *ret_unit = &units[i];
        *ret_kept = typed * units[i].factor + units[i].shift;
        return STATUS_OK;
    }
    if (number_text[0] == '\0' || (units != masses && units != temperatures && !units_is_unit(unit)))
        return failure_set(failure, STATUS_FORMAT, "'%.40s' is not a number", text);
    if (units != masses && units != temperatures)
        return failure_set(failure, STATUS_FORMAT, "'%.40s': unit '%.20s' does not fit, allowed is %s", text,
                           unit, allowed);
    return failure_set(failure, STATUS_FORMAT, "'%.40s': unit '%.20s' is unknown, allowed are %s", text, unit,
                       allowed);
}

enum status
units_parse_mass(const char *text, double *ret_mass_g, struct failure *failure)
{
    const struct unit *unit;

    return parse(text, masses, LENGTH(masses), "g, mg, kg, oz and lb", NUMBER_POINT_OR_COMMA, &unit,
                 ret_mass_g, failure);
}

bool
units_is_unit(const char *word)
{
    static const char *const others[] = {"ml",    "l", "mol/l", "m",   "n", "drop",
                                         "drops", "d", "s",     "min", "h", "mv"};

    for (size_t i = 1; i < LENGTH(masses); i++)
        if (text_same(word, masses[i].name))
            return true;
    for (size_t i = 1; i < LENGTH(temperatures); i++)
        if (text_same(word, temperatures[i].name))
            return true;
    for (size_t i = 0; i < LENGTH(others); i++)
        if (text_same(word, others[i]))
            return true;
    return text_same(word, ph[1].name) || text_same(word, percents[1].name);
}

static enum status
parse_temperature(const char *text, enum number_decimal decimal, double *ret_temperature_c,
                  struct failure *failure)
{
    const struct unit *unit = NULL;
    double kept = NAN;
    enum status status =
        parse(text, temperatures, LENGTH(temperatures), "C and F", decimal, &unit, &kept, failure);

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
        return parse(text, ph, LENGTH(ph), "pH", decimal, &unit, ret_number, failure);
    case UNITS_PERCENT:
        return parse(text, percents, LENGTH(percents), "%", decimal, &unit, ret_number, failure);
    case UNITS_TEMPERATURE:
        return parse_temperature(text, decimal, ret_number, failure);
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
