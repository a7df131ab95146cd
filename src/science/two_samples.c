/* two_samples.c - difference and equivalence of two sets of readings. */
#include "two_samples.h"

#include <math.h>
#include <stdlib.h>

#include "distribution.h"
#include "memory.h"

enum status
difference_test(double difference, double standard_error, double dof, double coverage, double margin,
                struct difference *ret_difference, struct failure *failure)
{
    struct difference d = {.difference = difference, .standard_error = standard_error, .dof = dof};
    double half;

    if (!isfinite(difference))
        return failure_set(failure, STATUS_RANGE, "a difference must be a finite number, not %g", difference);
    if (!(standard_error > 0.0 && isfinite(standard_error)))
        return failure_set(failure, STATUS_RANGE,
                           "standard error of the difference is %g, allowed is above 0", standard_error);
    if (!(dof > 0.0))
        return failure_set(failure, STATUS_RANGE, "degrees of freedom are %g, allowed is above 0", dof);
    if (!(coverage > 0.0 && coverage < 1.0))
        return failure_set(failure, STATUS_RANGE, "coverage is %g, allowed is above 0 and below 1", coverage);
    if (!(margin > 0.0 && isfinite(margin)))
        return failure_set(failure, STATUS_RANGE, "margin of equivalence is %g, allowed is above 0", margin);

    half = student_t_coverage_factor(coverage, dof) * standard_error;
    d.t = difference / standard_error;
    d.p_differs = student_t_two_sided(d.t, dof);
    d.low = difference - half;
    d.high = difference + half;
    d.p_above_minus_margin = student_t_above((difference + margin) / standard_error, dof);
    d.p_below_margin = student_t_below((difference - margin) / standard_error, dof);
    d.p_equivalent = fmax(d.p_above_minus_margin, d.p_below_margin);
    if (!isfinite(half))
        return failure_set(failure, STATUS_RANGE,
                           "the difference has no finite interval with %g degrees of freedom", dof);
    *ret_difference = d;
    return STATUS_OK;
}

struct ranked {
    double p_value;
    size_t place;
};

static int
compare_ranked(const void *left, const void *right)
{
    const struct ranked *a = left, *b = right;

    return (a->p_value > b->p_value) - (a->p_value < b->p_value);
}

enum status
holm_adjust(const double *p_values, size_t count, double *ret_adjusted, struct failure *failure)
{
    struct ranked *ranked;
    double largest = 0.0;

    if (count == 0)
        return failure_set(failure, STATUS_RANGE, "a correction needs at least one p value");
    for (size_t i = 0; i < count; i++)
        if (!(p_values[i] >= 0.0 && p_values[i] <= 1.0))
            return failure_set(failure, STATUS_RANGE, "p value %zu is %g, allowed is 0 to 1", i + 1,
                               p_values[i]);
    ranked = memory_new(count, sizeof *ranked);
    for (size_t i = 0; i < count; i++)
        ranked[i] = (struct ranked){p_values[i], i};
    qsort(ranked, count, sizeof *ranked, compare_ranked);
    for (size_t i = 0; i < count; i++) {
        largest = fmax(largest, fmin(1.0, (double)(count - i) * ranked[i].p_value));
        ret_adjusted[ranked[i].place] = largest;
    }
    free(ranked);
    return STATUS_OK;
}
