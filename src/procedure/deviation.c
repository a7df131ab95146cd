/* deviation.c - what is outside the tolerance of a step, in words for the record. */
#include "deviation.h"

#include <math.h>
#include <stdlib.h>

#include "buffer.h"
#include "dilution.h"
#include "text.h"

/* Ends are inside, in spite of binary fractions: 40 + 2 against 42. */
static bool
outside(double value, double target, double tolerance)
{
    return fabs(value - target) > tolerance + 1e-9;
}

/* Three significant digits, or as many more as it takes to see that the value is outside. */
static int
digits_to_see(double value, double target, double tolerance)
{
    int digits = 3;

    for (; digits < 7; digits++) {
        double scale = pow(10.0, digits - 1 - floor(log10(value)));

        if (outside(round(value * scale) / scale, target, tolerance))
            break;
    }
    return digits;
}

static char *
deviation_of_masses(const struct procedure *procedure, double soap_g, double water_g)
{
    struct failure failure = {0};
    struct dilution made = {.percent = NAN};
    double target = procedure->concentration_pct, tolerance = procedure->concentration_tolerance_pct;

    if (isnan(soap_g) || isnan(water_g))
        return NULL;
    if (dilution_from_masses(soap_g, water_g, NAN, &made, &failure) != STATUS_OK)
        return text_format("%s", failure.text);
    if (!outside(made.percent, target, tolerance))
        return NULL;
    return text_format("%g g of soap and %g g of water make %.*g %%, outside %g to %g %%", soap_g, water_g,
                       digits_to_see(made.percent, target, tolerance), made.percent, target - tolerance,
                       target + tolerance);
}

char *
deviation_of_value(const struct procedure *procedure, const struct step *step, double value,
                   const struct specimen *specimen)
{
    char *masses = NULL;

    if (specimen != NULL && step->records == RECORDS_WATER)
        return deviation_of_masses(procedure, specimen->soap_mass_g, value);
    if (!isnan(step->target) && !isnan(step->tolerance) && outside(value, step->target, step->tolerance))
        return text_format("%g %s is outside %g to %g %s", value, step_kind_units[step->kind],
                           step->target - step->tolerance, step->target + step->tolerance,
                           step_kind_units[step->kind]);
    if (specimen != NULL && step->records == RECORDS_SOAP) /* corrected when the water is in already */
        masses = deviation_of_masses(procedure, value, specimen->water_mass_g);
    return masses;
}

static char *
deviation_from_buffer(const struct step *step, double ph, double temperature_c)
{
    const struct buffer *buffer = NULL;
    struct failure failure = {0};
    double table_ph = NAN;

    if (buffer_find(step->buffer, &buffer, &failure) != STATUS_OK ||
        buffer_ph(buffer, temperature_c, &table_ph, &failure) != STATUS_OK)
        return text_format("%s", failure.text);
    if (isnan(step->tolerance) || isnan(ph) || !outside(ph, table_ph, step->tolerance))
        return NULL;
    return text_format("pH %g is not within %g of the %s buffer's %.2f at %g degC", ph, step->tolerance,
                       buffer->name, table_ph, temperature_c);
}

static char *
deviation_of_temperature(const struct procedure *procedure, double temperature_c)
{
    double target = procedure->temperature_c, tolerance = procedure->temperature_tolerance_c;

    if (!outside(temperature_c, target, tolerance))
        return NULL;
    return text_format("read at %g degC, outside %g to %g degC", temperature_c, target - tolerance,
                       target + tolerance);
}

char *
deviation_of_reading(const struct procedure *procedure, const struct step *step, double ph,
                     double temperature_c)
{
    char *value, *warmth = NULL, *both;

    if (step->buffer != NULL)
        return isnan(temperature_c) ? NULL : deviation_from_buffer(step, ph, temperature_c);
    value = isnan(ph) ? NULL : deviation_of_value(procedure, step, ph, NULL);
    if (step->records == RECORDS_READING && !isnan(temperature_c))
        warmth = deviation_of_temperature(procedure, temperature_c);
    if (value == NULL || warmth == NULL)
        return value == NULL ? warmth : value;
    both = text_format("%s; %s", value, warmth);
    free(warmth);
    free(value);
    return both;
}

char *
deviation_of_choice(const struct step *step, const char *choice)
{
    struct text expected = {0};
    char *words;

    if (step_expects(step, choice))
        return NULL;
    for (size_t i = 0; i < step->expected.count; i++)
        text_addf(&expected, "%s%s", i == 0 ? "" : " or ", step->expected.items[i]);
    words = text_format("%s, expected %s", choice, text_of(&expected));
    text_clear(&expected);
    return words;
}
