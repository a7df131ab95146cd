/* two_samples.c - difference and equivalence of two sets of readings. */
#include "two_samples.h"

#include <gsl/gsl_statistics_double.h>
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

static enum status
check_readings(const double *readings, size_t count, const char *which, struct failure *failure)
{
    if (count < 2)
        return failure_set(failure, STATUS_RANGE, "the %s needs at least 2 readings, not %zu", which, count);
    for (size_t i = 0; i < count; i++)
        if (!isfinite(readings[i]))
            return failure_set(failure, STATUS_RANGE, "reading %zu of the %s is not a number", i + 1, which);
    return STATUS_OK;
}

enum status
difference_paired(const double *first, const double *second, size_t count, double coverage, double margin,
                  struct difference *ret_difference, struct failure *failure)
{
    enum status status = check_readings(first, count, "first set", failure);
    double *differences, mean, standard_error;

    if (status == STATUS_OK)
        status = check_readings(second, count, "second set", failure);
    if (status != STATUS_OK)
        return status;
    differences = memory_new(count, sizeof *differences);
    for (size_t i = 0; i < count; i++)
        differences[i] = first[i] - second[i];
    mean = gsl_stats_mean(differences, 1, count);
    standard_error = gsl_stats_sd_m(differences, 1, count, mean) / sqrt((double)count);
    free(differences);
    /* Equal differences of decimal readings, 9.80 - 9.75 and 9.40 - 9.35, differ in the last bit. */
    if (standard_error <= 1e-14 * (fabs(gsl_stats_mean(first, 1, count)) + fabs(mean)))
        return failure_set(failure, STATUS_RANGE,
                           "the %zu differences are all the same, %g: their scatter is hidden by rounding",
                           count, mean);
    return difference_test(mean, standard_error, (double)count - 1.0, coverage, margin, ret_difference,
                           failure);
}

enum status
difference_unpaired(const double *first, size_t first_count, const double *second, size_t second_count,
                    double coverage, double margin, struct difference *ret_difference,
                    struct failure *failure)
{
    enum status status = check_readings(first, first_count, "first set", failure);
    double first_mean, second_mean, u_first, u_second, standard_error, share;

    if (status == STATUS_OK)
        status = check_readings(second, second_count, "second set", failure);
    if (status != STATUS_OK)
        return status;
    first_mean = gsl_stats_mean(first, 1, first_count);
    second_mean = gsl_stats_mean(second, 1, second_count);
    u_first = gsl_stats_sd_m(first, 1, first_count, first_mean) / sqrt((double)first_count);
    u_second = gsl_stats_sd_m(second, 1, second_count, second_mean) / sqrt((double)second_count);
    standard_error = hypot(u_first, u_second);
    if (standard_error <= 1e-14 * (fabs(first_mean) + fabs(second_mean)))
        return failure_set(failure, STATUS_RANGE,
                           "both sets read the same throughout: their scatter is hidden by rounding");
    share = u_first / standard_error * (u_first / standard_error); /* of the variance */
    return difference_test(first_mean - second_mean, standard_error,
                           1.0 / (share * share / ((double)first_count - 1.0) +
                                  (1.0 - share) * (1.0 - share) / ((double)second_count - 1.0)),
                           coverage, margin, ret_difference, failure);
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
