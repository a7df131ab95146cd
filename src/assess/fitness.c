/* fitness.c - is this gear good enough for the purpose? */
#include "fitness.h"

#include <math.h>
#include <stdlib.h>

#include "buffer.h"
#include "dilution.h"
#include "session.h"
#include "text.h"
#include "water.h"

/* One-sided 95 % point of the normal distribution: how far below the limit a result must lie (JCGM 106). */
static const double guard_factor = 1.645;

static const char *const levels[] = {"good", "limited", "unfit"};

const char *
fitness_level_word(enum fitness_level level)
{
    return levels[level];
}

/* A stated half-width and the rounding to a last digit, both rectangular. */
static double
rectangular_u(double half_width, double resolution)
{
    return sqrt(half_width * half_width / 3.0 + resolution * resolution / 12.0);
}

static double
stated_or(double stated, double assumed)
{
    return isnan(stated) ? assumed : stated;
}

/* Fresh from its own routine: accuracy, stated or assumed, and resolution. */
static double
meter_u_ph(const struct gear *meter)
{
    return rectangular_u(stated_or(meter->accuracy_ph, FITNESS_ACCURACY_ASSUMED_PH), meter->resolution_ph);
}

double
fitness_thermometer_u_c(const struct gear *thermometer)
{
    return rectangular_u(stated_or(thermometer->accuracy_c, FITNESS_ACCURACY_ASSUMED_C),
                         thermometer->resolution_c);
}

static enum fitness_level
level_of(double value, double good, double limited)
{
    if (value <= good)
        return FITNESS_GOOD;
    return value <= limited ? FITNESS_LIMITED : FITNESS_UNFIT;
}

static enum status
judge_balance(const struct gear *balance, struct fitness *fitness, struct failure *failure)
{
    double soap_g = NAN, water_g;
    enum status status = dilution_smallest_portion(REFERENCE_CONCENTRATION_PCT, CONCENTRATION_TOLERANCE_PCT,
                                                   balance->readability_g, &soap_g, failure);

    if (status != STATUS_OK)
        return status;
    water_g = soap_g * (100.0 / REFERENCE_CONCENTRATION_PCT - 1.0);
    fitness->level = level_of(soap_g, 1.0, 10.0);
    if (fitness->level == FITNESS_GOOD)
        fitness->sentence = text_format("with a readability of %g g it holds 1.00 +/- 0.02 %% "
                                        "from %.2g g of soap up, so 1 g in 99 g of water will do",
                                        balance->readability_g, soap_g);
    else
        fitness->sentence =
            text_format("with a readability of %g g it holds 1.00 +/- 0.02 %% only from %.0f g of soap in "
                        "%.1f kg of water up; a balance that shows 0.01 g serves 1 g",
                        balance->readability_g, ceil(soap_g), water_g / 1000.0);
    return STATUS_OK;
}

/* pH a degree: three quarters of the slope of pKw at 40 degC, as readings are brought there. */
static enum status
ph_per_degree(double *ret_ph, struct failure *failure)
{
    double below = NAN, above = NAN;
    enum status status = water_pkw(REFERENCE_TEMPERATURE_C - 0.5, &below, failure);

    if (status == STATUS_OK)
        status = water_pkw(REFERENCE_TEMPERATURE_C + 0.5, &above, failure);
    if (status == STATUS_OK)
        *ret_ph = 0.75 * (below - above);
    return status;
}

static enum status
judge_thermometer(const struct gear *thermometer, struct fitness *fitness, struct failure *failure)
{
    double u_c = fitness_thermometer_u_c(thermometer), ph = NAN;
    enum status status = ph_per_degree(&ph, failure);

    if (status != STATUS_OK)
        return status;
    fitness->level = level_of(2.0 * u_c, TEMPERATURE_TOLERANCE_C / 2.0, TEMPERATURE_TOLERANCE_C);
    /* A stated +/- 1 degC and one assumed come out alike; only the words differ. */
    fitness->sentence = text_format(
        "it knows the temperature to about +/- %.1f degC%s, where 40 +/- 2 degC is wanted; "
        "that is +/- %.2f pH",
        2.0 * u_c, isnan(thermometer->accuracy_c) ? " (accuracy not stated, +/- 1 degC assumed)" : "",
        2.0 * u_c * ph);
    return STATUS_OK;
}

static void
judge_meter(const struct gear *meter, double limit_ph, struct fitness *fitness)
{
    double u_ph = meter_u_ph(meter);

    fitness->level = level_of(2.0 * u_ph, 0.1, 0.25);
    fitness->sentence =
        text_format("freshly calibrated it knows pH to about +/- %.2f%s, so at best a reading up to %.2f "
                    "can be called "
                    "within a limit of %g; check it in buffers that lie on both sides of soap, such as borax "
                    "and lime water",
                    2.0 * u_ph, isnan(meter->accuracy_ph) ? " (accuracy not stated, +/- 0.1 assumed)" : "",
                    floor((limit_ph - guard_factor * u_ph) * 100.0) / 100.0, limit_ph);
}

static void
judge_paper(const struct gear *paper, civil_day today, double limit_ph, struct fitness *fitness)
{
    double last = paper->steps[paper->step_count - 1], widest = 0.0;
    char day[DAY_TEXT_SIZE];

    for (size_t i = 1; i < paper->step_count; i++)
        widest = fmax(widest, paper->steps[i] - paper->steps[i - 1]);
    if (paper->expires_on != DAY_NONE && paper->expires_on < today) {
        fitness->level = FITNESS_UNFIT;
        fitness->sentence = text_format("its date passed on %s", clock_day_text(paper->expires_on, day));
    } else if (last < limit_ph) {
        fitness->level = FITNESS_UNFIT;
        fitness->sentence = text_format("its last step is %g and the limit is %g, so it "
                                        "cannot even warn",
                                        last, limit_ph);
    } else {
        fitness->level = FITNESS_LIMITED;
        fitness->sentence =
            text_format("can warn and never clears a bar: its steps are up to %g pH wide, and "
                        "cheap paper commonly reads soap low, by a unit or more",
                        widest);
    }
}

static enum status
judge_bottle(const struct gear *bottle, civil_day today, struct fitness *fitness, struct failure *failure)
{
    const struct buffer *buffer = NULL;
    char day[DAY_TEXT_SIZE];
    double ph = NAN, low_c = NAN, high_c = NAN, temperature_c;
    enum status status = buffer_find(bottle->buffer, &buffer, failure);

    if (status != STATUS_OK)
        return status;
    buffer_range(buffer, &low_c, &high_c);
    temperature_c = fmin(fmax(25.0, low_c), high_c);
    status = buffer_ph(buffer, temperature_c, &ph, failure);
    if (status != STATUS_OK)
        return status;
    if (bottle->expires_on != DAY_NONE && bottle->expires_on < today) {
        fitness->level = FITNESS_UNFIT;
        fitness->sentence = text_format("its date passed on %s", clock_day_text(bottle->expires_on, day));
    } else if (ph < 8.0) {
        fitness->level = FITNESS_LIMITED;
        fitness->sentence = text_format("pH %.2f at %g degC lies far below soap; one buffer near 9 or "
                                        "10 and one above 11 are what soap needs",
                                        ph, temperature_c);
    } else {
        fitness->level = FITNESS_GOOD;
        fitness->sentence =
            text_format("pH %.2f at %g degC, for checking a meter where soap reads", ph, temperature_c);
    }
    return STATUS_OK;
}

enum status
fitness_of_gear(const struct gear *gear, civil_day today, double limit_ph, struct fitness *ret_fitness,
                struct failure *failure)
{
    struct fitness fitness = {0};
    enum status status = STATUS_OK;

    if (!(limit_ph >= 2.0 && limit_ph <= 14.0))
        return failure_set(failure, STATUS_RANGE, "the limit is pH %g, allowed is 2 to 14", limit_ph);
    switch (gear->kind) {
    case GEAR_BALANCE:
        status = judge_balance(gear, &fitness, failure);
        break;
    case GEAR_THERMOMETER:
        status = judge_thermometer(gear, &fitness, failure);
        break;
    case GEAR_METER:
        judge_meter(gear, limit_ph, &fitness);
        break;
    case GEAR_PAPER:
        judge_paper(gear, today, limit_ph, &fitness);
        break;
    case GEAR_BUFFER:
        status = judge_bottle(gear, today, &fitness, failure);
        break;
    }
    if (status == STATUS_OK)
        *ret_fitness = fitness;
    return status;
}

void
fitness_clear(struct fitness *fitness)
{
    if (fitness == NULL)
        return;
    free(fitness->sentence);
    *fitness = (struct fitness){0};
}
