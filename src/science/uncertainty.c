/* uncertainty.c - uncertainty budget, coverage and the probability of conformity. */
#include "uncertainty.h"

#include <math.h>

#include "distribution.h"

/* Sums over components, each in units of the largest. */
struct uncertainty_sum {
    double largest, variance, fourth;
};

static double
divisor(enum uncertainty_shape shape)
{
    switch (shape) {
    case UNCERTAINTY_NORMAL:
        return 1.0;
    case UNCERTAINTY_RECTANGULAR:
        return sqrt(3.0);
    case UNCERTAINTY_TRIANGULAR:
        return sqrt(6.0);
    case UNCERTAINTY_ARCSINE:
        return sqrt(2.0);
    }
    return 1.0;
}

double
uncertainty_component_standard(const struct uncertainty_component *component)
{
    return fabs(component->sensitivity) * component->spread / divisor(component->shape);
}

static enum status
check_component(const struct uncertainty_component *component, struct failure *failure)
{
    const char *name = component->name != NULL ? component->name : "unnamed";

    if (!(component->spread >= 0.0 && isfinite(component->spread)))
        return failure_set(failure, STATUS_RANGE,
                           "uncertainty component '%s' has a spread of %g, allowed is 0 or more", name,
                           component->spread);
    if (!isfinite(component->sensitivity))
        return failure_set(failure, STATUS_RANGE, "uncertainty component '%s' has no finite sensitivity",
                           name);
    if (!(component->dof > 0.0))
        return failure_set(failure, STATUS_RANGE,
                           "uncertainty component '%s' has %g degrees of freedom, allowed is above 0", name,
                           component->dof);
    if (!isfinite(uncertainty_component_standard(component)))
        return failure_set(failure, STATUS_RANGE, "uncertainty component '%s' is too large to compute with",
                           name);
    return STATUS_OK;
}

/* Summed in units of the largest component: fourth powers would overflow and underflow early. */
static enum status
sum_up(const struct uncertainty_component *components, size_t count, struct uncertainty_sum *ret_sum,
       struct failure *failure)
{
    struct uncertainty_sum sum = {0};

    if (count == 0)
        return failure_set(failure, STATUS_RANGE, "an uncertainty budget needs at least one component");
    for (size_t i = 0; i < count; i++) {
        enum status status = check_component(&components[i], failure);

        if (status != STATUS_OK)
            return status;
        sum.largest = fmax(sum.largest, uncertainty_component_standard(&components[i]));
    }
    for (size_t i = 0; i < count && sum.largest > 0.0; i++) {
        double relative = uncertainty_component_standard(&components[i]) / sum.largest;
        double square = relative * relative;

        sum.variance += square;
        sum.fourth += square * square / components[i].dof;
    }
    *ret_sum = sum;
    return STATUS_OK;
}

enum status
uncertainty_standard(const struct uncertainty_component *components, size_t count,
                     double *ret_standard_uncertainty, struct failure *failure)
{
    struct uncertainty_sum sum = {0};
    enum status status = sum_up(components, count, &sum, failure);

    if (status == STATUS_OK)
        *ret_standard_uncertainty = sum.largest * sqrt(sum.variance);
    return status;
}

enum status
uncertainty_combine(const struct uncertainty_component *components, size_t count, double coverage_probability,
                    struct uncertainty *ret_uncertainty, double *ret_shares, struct failure *failure)
{
    struct uncertainty result = {0};
    struct uncertainty_sum sum = {0};

    if (!(coverage_probability > 0.0 && coverage_probability < 1.0))
        return failure_set(failure, STATUS_RANGE,
                           "coverage probability is %g, allowed is above 0 and below 1",
                           coverage_probability);
    if (sum_up(components, count, &sum, failure) != STATUS_OK)
        return failure->status;
    result.standard_uncertainty = sum.largest * sqrt(sum.variance);
    result.effective_dof = sum.fourth > 0.0 ? sum.variance * sum.variance / sum.fourth : (double)INFINITY;
    result.coverage_factor = student_t_coverage_factor(coverage_probability, result.effective_dof);
    result.expanded_uncertainty = result.coverage_factor * result.standard_uncertainty;
    if (!isfinite(result.expanded_uncertainty))
        return failure_set(failure, STATUS_RANGE,
                           "the uncertainty budget cannot be expanded: u is %g with %g degrees of freedom",
                           result.standard_uncertainty, result.effective_dof);

    for (size_t i = 0; i < count && ret_shares != NULL; i++) {
        double standard = uncertainty_component_standard(&components[i]);
        double relative = sum.largest > 0.0 ? standard / sum.largest : 0.0;

        ret_shares[i] = sum.largest > 0.0 ? relative * relative / sum.variance : 0.0;
    }
    *ret_uncertainty = result;
    return STATUS_OK;
}

static enum status
check_estimate(double estimate, double standard_uncertainty, double dof, struct failure *failure)
{
    if (!isfinite(estimate))
        return failure_set(failure, STATUS_RANGE, "an estimate must be a finite number, not %g", estimate);
    if (!(standard_uncertainty >= 0.0 && isfinite(standard_uncertainty)))
        return failure_set(failure, STATUS_RANGE, "standard uncertainty is %g, allowed is 0 or more",
                           standard_uncertainty);
    if (!(dof > 0.0))
        return failure_set(failure, STATUS_RANGE, "degrees of freedom are %g, allowed is above 0", dof);
    return STATUS_OK;
}

static double
above(double estimate, double standard_uncertainty, double dof, double limit)
{
    if (estimate == limit)
        return 0.5;
    if (standard_uncertainty == 0.0)
        return estimate > limit ? 1.0 : 0.0;
    return student_t_above((limit - estimate) / standard_uncertainty, dof);
}

enum status
uncertainty_probability_above(double estimate, double standard_uncertainty, double dof, double limit,
                              double *ret_probability, struct failure *failure)
{
    enum status status = check_estimate(estimate, standard_uncertainty, dof, failure);

    if (status != STATUS_OK)
        return status;
    if (!isfinite(limit))
        return failure_set(failure, STATUS_RANGE, "a limit must be a finite number, not %g", limit);
    *ret_probability = above(estimate, standard_uncertainty, dof, limit);
    return STATUS_OK;
}

enum status
uncertainty_pooled_sd(const double *sds, const double *dofs, size_t count, double *ret_sd, double *ret_dof,
                      struct failure *failure)
{
    double largest = 0.0, squares = 0.0, dof = 0.0;

    if (count == 0)
        return failure_set(failure, STATUS_RANGE, "a pooled standard deviation needs at least one group");
    for (size_t i = 0; i < count; i++) {
        if (!(sds[i] >= 0.0 && isfinite(sds[i])))
            return failure_set(failure, STATUS_RANGE,
                               "standard deviation of group %zu is %g, allowed is 0 or more", i + 1, sds[i]);
        if (!(dofs[i] > 0.0 && isfinite(dofs[i])))
            return failure_set(failure, STATUS_RANGE,
                               "degrees of freedom of group %zu are %g, allowed is above 0", i + 1, dofs[i]);
        largest = fmax(largest, sds[i]);
        dof += dofs[i];
    }
    for (size_t i = 0; i < count && largest > 0.0; i++)
        squares += dofs[i] / dof * (sds[i] / largest) * (sds[i] / largest);
    *ret_sd = largest * sqrt(squares);
    *ret_dof = dof;
    return STATUS_OK;
}
