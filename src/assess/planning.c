/* planning.c - what to test, and when. */
#include "planning.h"

#include <assert.h>
#include <math.h>

#include "distribution.h"
#include "memory.h"
#include "power.h"

/* Pooled over all curves: squares of residuals over degrees of freedom. */
static double
about_curves(const struct cure *const *cures, size_t count)
{
    double squares = 0.0, dof = 0.0;

    for (size_t i = 0; i < count; i++) {
        double own = (double)cures[i]->count - (cures[i]->model == CURE_APPROACH ? 3.0 : 2.0);

        if (cures[i]->model == CURE_NO_MODEL || !(own > 0.0))
            continue;
        squares += cures[i]->residual_sd * cures[i]->residual_sd * own;
        dof += own;
    }
    return dof > 0.0 ? sqrt(squares / dof) : 0.0;
}

static double
as_stated(const struct cure *const *cures, const struct cure_point *const *points, size_t count)
{
    double squares = 0.0, results = 0.0;

    for (size_t i = 0; i < count; i++)
        for (size_t k = 0; k < cures[i]->count; k++) {
            squares += points[i][k].u_ph * points[i][k].u_ph;
            results += 1.0;
        }
    return results > 0.0 ? sqrt(squares / results) : 0.0;
}

struct planning_scatter
planning_scatter_of(const struct cure *const *cures, const struct cure_point *const *points, size_t count,
                    const struct comparison *pairs)
{
    double sd;

    if (pairs != NULL && pairs->design == COMPARISON_PAIRED && pairs->sd > 0.0)
        return (struct planning_scatter){pairs->sd / M_SQRT2, PLANNING_PAIRS};
    sd = about_curves(cures, count);
    if (sd > 0.0)
        return (struct planning_scatter){sd, PLANNING_CURVES};
    sd = as_stated(cures, points, count);
    if (sd > 0.0)
        return (struct planning_scatter){sd, PLANNING_STATED};
    return (struct planning_scatter){PLANNING_SCATTER_ASSUMED_PH, PLANNING_ASSUMED};
}

const char *
planning_source_text(enum planning_source source)
{
    static const char *const texts[] = {"your own pairs", "your own curves", "the stated uncertainties",
                                        "an assumption, for nothing was tested yet"};

    return texts[source];
}

enum status
planning_need(struct planning_scatter scatter, double difference, double power,
              struct planning_need *ret_need, struct failure *failure)
{
    struct planning_need need;
    enum status status = power_count_needed(POWER_PAIRS, difference, M_SQRT2 * scatter.sd_ph,
                                            COMPARISON_SIGNIFICANCE, power, &need.pairs, failure);

    if (status == STATUS_OK)
        status = power_count_needed(POWER_TWO_SAMPLES, difference, scatter.sd_ph, COMPARISON_SIGNIFICANCE,
                                    power, &need.bars, failure);
    if (status == STATUS_OK)
        *ret_need = need;
    return status;
}

static bool
near(double tested_d, double age_d)
{
    return fabs(tested_d - age_d) <= fmax(COMPARISON_WINDOW_LEAST_D, COMPARISON_WINDOW_USUAL * age_d);
}

static bool
tested(const struct cure_point *points, size_t count, double age_d)
{
    for (size_t i = 0; i < count; i++)
        if (near(points[i].age_d, age_d))
            return true;
    return false;
}

/* Rule 4: half-widths of the end's 95 % interval now and with one more result at `age_d`. */
static void
narrow(const struct cure *cure, double age_d, double u_ph, struct planning_age *age)
{
    const struct approach *a = &cure->approach;
    double decay, gradient[3], column[3], spread = 0.0, factor, variance;

    age->end_half_now = age->end_half_then = NAN;
    if (!(age_d <= cure->age_limit_d)) /* beyond, the curve says nothing (cure.h, rule 4) */
        return;
    if (cure->model != CURE_APPROACH || !isfinite(a->end_sd) || !isfinite(a->start_sd) ||
        !isfinite(a->rate_sd))
        return;
    decay = exp(-a->rate * age_d);
    gradient[0] = 1.0 - decay; /* in end, start and rate */
    gradient[1] = decay;
    gradient[2] = -(a->start - a->end) * age_d * decay;
    column[0] = a->end_sd * a->end_sd * gradient[0] + a->end_start_covariance * gradient[1] +
                a->end_rate_covariance * gradient[2];
    column[1] = a->end_start_covariance * gradient[0] + a->start_sd * a->start_sd * gradient[1] +
                a->start_rate_covariance * gradient[2];
    column[2] = a->end_rate_covariance * gradient[0] + a->start_rate_covariance * gradient[1] +
                a->rate_sd * a->rate_sd * gradient[2];
    for (int i = 0; i < 3; i++)
        spread += gradient[i] * column[i];
    variance = a->end_sd * a->end_sd - column[0] * column[0] / (u_ph * u_ph + spread);
    factor = student_t_coverage_factor(CURE_COVERAGE, a->dof);
    age->end_half_now = factor * a->end_sd;
    age->end_half_then = factor * sqrt(fmax(variance, 0.0));
}

/* Uncertainty of the results so far, as the fit weighs them. */
static double
usual_u(const struct cure *cure, const struct cure_point *points)
{
    double squares = 0.0;

    for (size_t i = 0; i < cure->count; i++)
        squares += points[i].u_ph * points[i].u_ph;
    return cure->count == 0 ? PLANNING_SCATTER_ASSUMED_PH
                            : cure->approach.y_unit_sd * sqrt(squares / (double)cure->count);
}

struct plan {
    const struct cure *cure;
    const struct cure_point *points;
    struct planning_age *ages;
    size_t count, most;
};

/* Keep the ages in order; one near another is not added. */
static void
add(struct plan *plan, double age_d, enum planning_why why)
{
    struct planning_age age = {.age_d = age_d, .why = why};
    size_t place = plan->count;

    for (size_t i = 0; i < plan->count; i++)
        if (near(plan->ages[i].age_d, age_d))
            return;
    while (place > 0 && plan->ages[place - 1].age_d > age_d)
        place--;
    if (place >= plan->most)
        return;
    narrow(plan->cure, age_d, usual_u(plan->cure, plan->points), &age);
    if (plan->count == plan->most)
        plan->count--;
    for (size_t i = plan->count; i > place; i--)
        plan->ages[i] = plan->ages[i - 1];
    plan->ages[place] = age;
    plan->count++;
}

size_t
planning_ages(const struct cure *cure, const struct cure_point *points, int today_age_d, size_t most,
              struct planning_age *ages)
{
    static const double usual[] = {2, 7, 14, 28, 42, 56, 84, 112, 168, 252, 364};
    struct plan plan = {.cure = cure, .points = points, .ages = ages, .most = most};
    double last_d = cure->count > 0 ? cure->age_high_d : 0.0;
    bool missed = false;

    assert(most <= PLANNING_MOST_AGES);
    if (most == 0)
        return 0;
    if (ceil(cure->ready_to_d) >= today_age_d && cure->ready_to_d > last_d) /* false for NAN */
        add(&plan, ceil(cure->ready_to_d), PLANNING_CONFIRM);
    for (size_t i = 0; i < LENGTH(usual); i++)
        missed =
            missed || (usual[i] > last_d && usual[i] < today_age_d && !tested(points, cure->count, usual[i]));
    if (missed && !tested(points, cure->count, today_age_d))
        add(&plan, today_age_d, PLANNING_MISSED);
    for (size_t i = 0; i < LENGTH(usual); i++)
        if (usual[i] >= today_age_d && !tested(points, cure->count, usual[i]))
            add(&plan, usual[i], PLANNING_USUAL);
    return plan.count;
}

const char *
planning_why_word(enum planning_why why)
{
    static const char *const words[] = {"usual", "missed", "confirm"};

    return words[why];
}

const char *
planning_why_text(enum planning_why why)
{
    static const char *const texts[] = {"a usual age to test", "a usual age went by untested",
                                        "the target is likely reached: to confirm it"};

    return texts[why];
}
