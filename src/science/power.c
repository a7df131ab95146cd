/* power.c - power of t tests. */
#include "power.h"

#include <math.h>

#include "distribution.h"
#include "root.h"

/* A test that is planned. */
struct plan {
    enum power_design design;
    double count, significance, power;
};

/* How far its power to find a difference, in units of sd, is above the wanted one. */
static double
excess(double standardised, void *payload)
{
    const struct plan *plan = payload;
    double dof = plan->design == POWER_TWO_SAMPLES ? 2.0 * (plan->count - 1.0) : plan->count - 1.0;
    double readings = plan->design == POWER_TWO_SAMPLES ? 0.5 * plan->count : plan->count;
    double noncentrality = standardised * sqrt(readings);
    double critical = student_t_coverage_factor(1.0 - plan->significance, dof);

    return noncentral_t_above(critical, dof, noncentrality) +
           noncentral_t_above(critical, dof, -noncentrality) - plan->power;
}

static enum status
check_count(size_t count, struct failure *failure)
{
    if (count < 2 || count > POWER_COUNT_LIMIT)
        return failure_set(failure, STATUS_RANGE, "number of readings is %zu, allowed is 2 to %d", count,
                           POWER_COUNT_LIMIT);
    return STATUS_OK;
}

static enum status
check_scatter(double sd, double significance, struct failure *failure)
{
    if (!(sd > 0.0 && isfinite(sd)))
        return failure_set(failure, STATUS_RANGE, "standard deviation is %g, allowed is above 0", sd);
    /* below 1e-9 a coverage of 1 - significance has too few digits */
    if (!(significance >= 1e-9 && significance < 1.0))
        return failure_set(failure, STATUS_RANGE, "significance is %g, allowed is 1e-9 to below 1",
                           significance);
    return STATUS_OK;
}

static enum status
check_power(double power, double significance, struct failure *failure)
{
    if (!(power > significance && power < 1.0))
        return failure_set(failure, STATUS_RANGE,
                           "power is %g, allowed is above the significance %g and below 1", power,
                           significance);
    return STATUS_OK;
}

enum status
power_count_needed(enum power_design design, double difference, double sd, double significance, double power,
                   size_t *ret_count, struct failure *failure)
{
    enum status status = check_scatter(sd, significance, failure);
    size_t too_few = 1, enough = 2;
    struct plan plan = {design, 2.0, significance, power};
    double standardised = difference / sd;

    if (status == STATUS_OK)
        status = check_power(power, significance, failure);
    if (status != STATUS_OK)
        return status;
    if (!(isfinite(standardised) && standardised != 0.0))
        return failure_set(failure, STATUS_RANGE,
                           "no number of readings finds a difference of %g in a scatter of %g", difference,
                           sd);
    for (; excess(standardised, &plan) < 0.0; plan.count = (double)enough) {
        if (enough >= POWER_COUNT_LIMIT)
            return failure_set(
                failure, STATUS_RANGE,
                "more than %d readings would be needed to find a difference of %g in a scatter of %g",
                POWER_COUNT_LIMIT, difference, sd);
        too_few = enough;
        enough = enough > POWER_COUNT_LIMIT / 2 ? POWER_COUNT_LIMIT : 2 * enough;
    }
    while (enough - too_few > 1) {
        size_t middle = (too_few + enough) / 2;

        plan.count = (double)middle;
        if (excess(standardised, &plan) < 0.0)
            too_few = middle;
        else
            enough = middle;
    }
    *ret_count = enough;
    return STATUS_OK;
}

enum status
power_detectable_difference(enum power_design design, size_t count, double sd, double significance,
                            double power, double *ret_difference, struct failure *failure)
{
    enum status status = check_count(count, failure);
    struct plan plan = {design, (double)count, significance, power};
    double high = 1.0; /* in units of sd */

    if (status == STATUS_OK)
        status = check_scatter(sd, significance, failure);
    if (status == STATUS_OK)
        status = check_power(power, significance, failure);
    if (status != STATUS_OK)
        return status;
    while (excess(high, &plan) < 0.0) {
        high *= 2.0;
        if (!isfinite(high))
            return failure_set(failure, STATUS_RANGE, "%zu readings find no difference with a power of %g",
                               count, power);
    }
    *ret_difference = sd * root_between(excess, &plan, 0.0, high, 0.0, 1e-10);
    return STATUS_OK;
}
