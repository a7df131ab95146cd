/* planning.c - what to test, and when. */
#include "planning.h"

#include <assert.h>
#include <math.h>

#include "distribution.h"
#include "memory.h"
#include "power.h"
#include "text.h"

/* Rule 3. */
static const double usual[] = {2, 7, 14, 28, 42, 56, 84, 112, 168, 252, 364};

/* One result about its curve: its own uncertainty and what lies between tests. */
static struct planning_scatter
about_curves(const struct cure *const *cures, size_t count)
{
    struct planning_scatter scatter = {.source = PLANNING_CURVES};
    double squares = 0.0, ages = 0.0;

    for (size_t i = 0; i < count; i++) {
        if (!(cures[i]->history.dof > 0.0))
            continue;
        for (size_t d = 0; d < cures[i]->age_count; d++)
            squares += cures[i]->sd_ph[d] * cures[i]->sd_ph[d];
        ages += (double)cures[i]->age_count;
        scatter.dof = fmax(scatter.dof, cures[i]->dof); /* what is known before is known once */
    }
    scatter.sd_ph = ages > 0.0 ? sqrt(squares / ages) : 0.0;
    return scatter;
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
    struct planning_scatter scatter = about_curves(cures, count);

    if (pairs != NULL && pairs->design == COMPARISON_PAIRED && pairs->sd > 0.0)
        scatter = (struct planning_scatter){
            .sd_ph = pairs->sd / M_SQRT2, .source = PLANNING_PAIRS, .dof = (double)pairs->pair_count - 1.0};
    if (!(scatter.sd_ph > 0.0))
        scatter = (struct planning_scatter){
            .sd_ph = as_stated(cures, points, count), .source = PLANNING_STATED, .dof = INFINITY};
    if (!(scatter.sd_ph > 0.0))
        scatter = (struct planning_scatter){
            .sd_ph = PLANNING_SCATTER_ASSUMED_PH, .source = PLANNING_ASSUMED, .dof = INFINITY};
    scatter.upper_ph = scatter.sd_ph;
    if (scatter.dof < PLANNING_FEW_DOF)
        scatter.upper_ph *= sqrt(scatter.dof / chi_squared_quantile(1.0 - PLANNING_UPPER, scatter.dof));
    return scatter;
}

const char *
planning_source_text(enum planning_source source)
{
    static const char *const texts[] = {"your own pairs", "your own curves", "the stated uncertainties",
                                        "an assumption, for nothing was tested yet"};

    return texts[source];
}

char *
planning_certainty_text(const struct planning_scatter *scatter)
{
    if (!(scatter->upper_ph > scatter->sd_ph))
        return memory_copy("");
    return text_format(
        " That rests on %.3g degrees of freedom only: it may be up to %.3f (80 %%), and that is "
        "planned with.",
        scatter->dof, scatter->upper_ph);
}

enum status
planning_need(struct planning_scatter scatter, double difference, double power,
              struct planning_need *ret_need, struct failure *failure)
{
    struct planning_need need;
    enum status status = power_count_needed(POWER_PAIRS, difference, M_SQRT2 * scatter.upper_ph,
                                            COMPARISON_SIGNIFICANCE, power, &need.pairs, failure);

    if (status == STATUS_OK)
        status = power_count_needed(POWER_TWO_SAMPLES, difference, scatter.upper_ph, COMPARISON_SIGNIFICANCE,
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

struct plan {
    const struct cure *cure;
    const struct cure_point *points;
    struct planning_age *ages;
    size_t count, most;
};

/* Half of the end's interval; NAN while it is open. */
static double
end_half(const struct cure *cure)
{
    return cure->model == CURE_NO_MODEL || cure_has(cure, CURE_END_OPEN)
               ? (double)NAN
               : 0.5 * (cure->end.high - cure->end.low);
}

/* Rule 4. */
static void
narrow(const struct plan *plan, struct planning_age *age)
{
    struct cure then = {0};
    struct failure ignored;

    age->end_half_now = age->end_half_then = NAN;
    if (!(age->age_d <= plan->cure->age_limit_d)) /* beyond, the curve says nothing (cure.h, rule 6) */
        return;
    if (cure_with_one_more(plan->cure, plan->points, age->age_d, &then, &ignored) != STATUS_OK)
        return;
    age->end_half_now = end_half(plan->cure);
    age->end_half_then = end_half(&then);
    cure_clear(&then);
}

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
    narrow(plan, &age);
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

double
planning_settling_age(const struct cure *cure, const struct cure_point *points)
{
    for (size_t i = 0; i < LENGTH(usual); i++) {
        struct cure then = {0};
        struct failure ignored;
        bool settled;

        if (cure_with_one_more(cure, points, usual[i], &then, &ignored) != STATUS_OK)
            continue;
        settled =
            !cure_has(&then, CURE_END_OPEN) && (!isnan(then.ready_to_d) || then.end.low > then.target_ph);
        cure_clear(&then);
        if (settled)
            return usual[i];
    }
    return NAN;
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
