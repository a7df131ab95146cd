/* cure.c - how a batch settles. */
#include "cure.h"

#include <math.h>
#include <stdlib.h>

#include "distribution.h"
#include "memory.h"
#include "text.h"

#define SCATTER_PROBABILITY 0.05  /* rule 2 */
#define REFUTED_PROBABILITY 0.001 /* rule 1 */
#define FALSE_MARKS 0.05          /* rule 3 */
#define EXTRAPOLATION 0.5         /* rule 4 */

enum { SCAN_STEPS = 512 }; /* of the band when it is searched for the target */

/* The points as the fits take them. Owned. */
struct columns {
    double *age, *ph, *u;
};

static void
set(struct cure *cure, enum cure_flag flag)
{
    cure->flags |= 1u << flag;
}

bool
cure_has(const struct cure *cure, enum cure_flag flag)
{
    return (cure->flags & (1u << flag)) != 0;
}

static enum status
check(const struct cure_point *points, size_t count, double target_ph, struct failure *failure)
{
    if (!isfinite(target_ph))
        return failure_set(failure, STATUS_RANGE, "the target pH is not a number");
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(points[i].age_d) || !isfinite(points[i].ph) || !isfinite(points[i].u_ph))
            return failure_set(failure, STATUS_RANGE, "result %zu of the cure is not a number", i + 1);
        if (!(points[i].u_ph > 0.0))
            return failure_set(failure, STATUS_RANGE, "result %zu of the cure has no uncertainty", i + 1);
        if (i > 0 && points[i].age_d < points[i - 1].age_d)
            return failure_set(failure, STATUS_RANGE, "results of a cure must be in order of age");
    }
    return STATUS_OK;
}

/* A probability that the scatter about a curve is due to the stated uncertainties alone. */
static double
misfit_probability(double residual_sd, double dof)
{
    return dof > 0.0 ? chi_squared_above(residual_sd * residual_sd * dof, dof) : 1.0;
}

/* Root of the mean weighted square of the stated uncertainties: turns a pure number into pH. */
static double
typical_u(const struct columns *c, size_t count)
{
    double sum = 0.0;

    for (size_t i = 0; i < count; i++)
        sum += 1.0 / (c->u[i] * c->u[i]);
    return sqrt((double)count / sum);
}

static void
note_reason(struct cure *cure, unsigned reasons)
{
    static const struct {
        unsigned reason;
        enum cure_flag flag;
    } names[] = {
        {APPROACH_FEW_AGES, CURE_FEW_AGES},       {APPROACH_FLAT, CURE_FLAT},
        {APPROACH_NO_END, CURE_NO_END},           {APPROACH_TOO_FAST, CURE_TOO_FAST},
        {APPROACH_RATE_UNSURE, CURE_RATE_UNSURE},
    };

    for (size_t i = 0; i < LENGTH(names); i++)
        if (reasons & names[i].reason)
            set(cure, names[i].flag);
}

static enum status
fit_approach(struct cure *cure, const struct columns *c, struct failure *failure)
{
    struct approach fit;
    double dof = (double)cure->count - 3.0;
    enum status status =
        approach_fit(c->age, c->ph, c->u, cure->count, NULL, LINE_SD_AS_STATED, &fit, failure);

    if (status != STATUS_OK)
        return status;
    if (fit.reasons == 0 && misfit_probability(fit.residual_sd, dof) < SCATTER_PROBABILITY) {
        set(cure, CURE_SCATTER);
        status = approach_fit(c->age, c->ph, c->u, cure->count, NULL, LINE_SD_FROM_SCATTER, &fit, failure);
        if (status != STATUS_OK)
            return status;
    }
    note_reason(cure, fit.reasons);
    if (fit.reasons != 0)
        return STATUS_OK;
    cure->model = CURE_APPROACH;
    cure->approach = fit;
    cure->residual_sd = fit.residual_sd * typical_u(c, cure->count);
    return STATUS_OK;
}

static enum status
fit_line(struct cure *cure, const struct columns *c, struct failure *failure)
{
    struct line fit;
    enum status status = line_fit(c->age, c->ph, c->u, cure->count, LINE_SD_AS_STATED, &fit, failure);
    double probability;

    if (status != STATUS_OK)
        return status;
    probability = misfit_probability(fit.residual_sd, (double)cure->count - 2.0);
    cure->flags &= ~(1u << CURE_SCATTER); /* of the approach that was given up */
    if (probability < REFUTED_PROBABILITY) {
        set(cure, CURE_LINE_REFUTED);
        return STATUS_OK;
    }
    if (probability < SCATTER_PROBABILITY) {
        set(cure, CURE_SCATTER);
        status = line_fit(c->age, c->ph, c->u, cure->count, LINE_SD_FROM_SCATTER, &fit, failure);
        if (status != STATUS_OK)
            return status;
    }
    cure->model = CURE_LINE;
    cure->line = fit;
    cure->residual_sd = fit.residual_sd * typical_u(c, cure->count);
    return STATUS_OK;
}

static enum status
fit_curve(struct cure *cure, const struct columns *c, struct failure *failure)
{
    enum status status = STATUS_OK;

    if (cure->age_count < 3) {
        set(cure, CURE_FEW_RESULTS);
        return STATUS_OK;
    }
    if (cure->age_count < 4)
        set(cure, CURE_FEW_AGES);
    else
        status = fit_approach(cure, c, failure);
    if (status == STATUS_OK && cure->model == CURE_NO_MODEL)
        status = fit_line(cure, c, failure);
    return status;
}

/* All results of one age. */
struct age_group {
    size_t first, count;
    double ph, u;
    bool high, low; /* rule 3 */
};

/* Weighted mean of a group; its uncertainty is that of its best member, for results of one day share their
 * meter and its calibration. */
static void
close_group(struct age_group *group, const struct cure_point *points)
{
    double weights = 0.0, sum = 0.0, best = INFINITY;

    for (size_t i = group->first; i < group->first + group->count; i++) {
        double weight = 1.0 / (points[i].u_ph * points[i].u_ph);

        weights += weight;
        sum += weight * (points[i].ph - points[group->first].ph);
        best = fmin(best, points[i].u_ph);
    }
    group->ph = points[group->first].ph + sum / weights;
    group->u = best;
}

/* Given: free() it. */
static struct age_group *
group_by_age(const struct cure_point *points, size_t count, size_t *ret_count)
{
    struct age_group *groups = memory_new(count + 1, sizeof *groups);
    size_t made = 0;

    for (size_t i = 0; i < count; i++) {
        if (i == 0 || points[i].age_d > points[i - 1].age_d)
            groups[made++] = (struct age_group){.first = i};
        groups[made - 1].count++;
    }
    for (size_t i = 0; i < made; i++)
        close_group(&groups[i], points);
    *ret_count = made;
    return groups;
}

/* How far a lies above b, in combined standard uncertainties. */
static double
above(const struct age_group *a, const struct age_group *b)
{
    return (a->ph - b->ph) / hypot(a->u, b->u);
}

/* Rule 3 for the rise from group i to the next. */
static void
mark_rise(struct age_group *groups, size_t count, size_t i, double factor)
{
    bool later_high = i > 0 && above(&groups[i + 1], &groups[i - 1]) > factor;
    bool earlier_low = i + 2 < count && above(&groups[i + 2], &groups[i]) > factor;

    if (earlier_low)
        groups[i].low = true;
    if (later_high || !earlier_low)
        groups[i + 1].high = true;
}

/* Does one result of a marked group depart by itself, and not only the mean of its day? */
static bool
departs(const struct cure_point *point, const struct age_group *group, double factor)
{
    struct age_group alone = {.ph = point->ph, .u = point->u_ph};

    return (group->high && above(&alone, group - 1) > factor) ||
           (group->low && above(group + 1, &alone) > factor);
}

static void
mark_group(struct cure *cure, const struct cure_point *points, const struct age_group *group, double factor)
{
    size_t before = cure->marked_count;

    for (size_t i = group->first; i < group->first + group->count; i++)
        if (departs(&points[i], group, factor)) {
            cure->marked[i] = true;
            cure->marked_count++;
        }
    if (cure->marked_count > before)
        return;
    for (size_t i = group->first; i < group->first + group->count; i++)
        cure->marked[i] = true;
    cure->marked_count += group->count;
}

static void
mark(struct cure *cure, const struct cure_point *points, struct age_group *groups)
{
    size_t count = cure->age_count;
    double factor;

    if (count < 2)
        return;
    factor = student_t_quantile(1.0 - FALSE_MARKS / (double)(count - 1), INFINITY);
    for (size_t i = 0; i + 1 < count; i++)
        if (above(&groups[i + 1], &groups[i]) > factor)
            mark_rise(groups, count, i, factor);
    for (size_t i = 0; i < count; i++)
        if (groups[i].high || groups[i].low)
            mark_group(cure, points, &groups[i], factor);
    if (cure->marked_count > 0)
        set(cure, CURE_RECHECK);
}

/* The curve at an age, and its standard uncertainty. */
static enum status
curve_at(const struct cure *cure, double age_d, double *ret_ph, double *ret_u_ph, struct failure *failure)
{
    if (cure->model == CURE_APPROACH)
        return approach_mean(&cure->approach, age_d, ret_ph, ret_u_ph, failure);
    line_at(&cure->line, age_d, ret_ph, ret_u_ph);
    return STATUS_OK;
}

/* What its uncertainty is multiplied by for the band. */
static double
coverage_factor(const struct cure *cure)
{
    return student_t_coverage_factor(CURE_COVERAGE,
                                     cure->model == CURE_APPROACH ? cure->approach.dof : cure->line.dof);
}

enum status
cure_at(const struct cure *cure, double age_d, double new_u_ph, double *ret_ph, double *ret_mean_half,
        double *ret_new_half, struct failure *failure)
{
    double ph = NAN, u_ph = NAN, scale = 1.0, factor;
    enum status status;

    if (cure->model == CURE_NO_MODEL)
        return failure_set(failure, STATUS_RANGE, "there is no curve through these results");
    if (!(age_d >= cure->age_low_d && age_d <= cure->age_limit_d))
        return failure_set(failure, STATUS_RANGE,
                           "the curve says nothing about an age of %g days, only about %g to %g", age_d,
                           cure->age_low_d, cure->age_limit_d);
    status = curve_at(cure, age_d, &ph, &u_ph, failure);
    if (status != STATUS_OK)
        return status;
    if (cure->model == CURE_APPROACH)
        scale = cure->approach.y_unit_sd;
    else if (isfinite(cure->line.dof))
        scale = cure->line.residual_sd;
    factor = coverage_factor(cure);
    *ret_ph = ph;
    *ret_mean_half = factor * u_ph;
    *ret_new_half = factor * hypot(u_ph, scale * new_u_ph);
    return STATUS_OK;
}

/* The band of the mean as it is searched for the target. */
struct band {
    const struct cure *cure;
    double factor;
};

/* Its upper (side 1) or lower (side -1) edge at an age from age_low_d to age_limit_d, less the target. INFINITY
 * where it cannot be computed. */
static double
edge(const struct band *band, double age_d, double side)
{
    struct failure ignored;
    double ph = NAN, u_ph = NAN;

    if (curve_at(band->cure, age_d, &ph, &u_ph, &ignored) != STATUS_OK)
        return copysign(INFINITY, side);
    return ph + side * band->factor * u_ph - band->cure->target_ph;
}

/* Where between two ages an edge goes below the target: it is not below at `high_d`'s earlier neighbour
 * `low_d`, and below at `high_d`. */
static double
crossing(const struct band *band, double low_d, double high_d, double side)
{
    for (int i = 0; i < 60 && high_d - low_d > 1e-9 * (1.0 + fabs(high_d)); i++) {
        double middle = 0.5 * (low_d + high_d);

        if (edge(band, middle, side) < 0.0)
            high_d = middle;
        else
            low_d = middle;
    }
    return high_d;
}

/* First age from `from_d` to `to_d` at which an edge is below the target; NAN when it never is. */
static double
first_below(const struct band *band, double from_d, double to_d, double side)
{
    double before = from_d;

    for (int i = 0; i <= SCAN_STEPS; i++) {
        double age = i == SCAN_STEPS ? to_d : from_d + (to_d - from_d) * i / SCAN_STEPS;

        if (edge(band, age, side) < 0.0)
            return i == 0 ? age : crossing(band, before, age, side);
        before = age;
    }
    return NAN;
}

/* Age after which the upper edge stays below the target to the last result; it is below there. */
static double
last_above(const struct band *band)
{
    double from = band->cure->age_low_d, to = band->cure->age_high_d, after = to;

    for (int i = SCAN_STEPS - 1; i >= 0; i--) {
        double age = from + (to - from) * i / SCAN_STEPS;

        if (!(edge(band, age, 1.0) < 0.0))
            return crossing(band, age, after, 1.0);
        after = age;
    }
    return from;
}

/* Rule 5. */
static void
predict(struct cure *cure)
{
    if (cure->model != CURE_NO_MODEL) {
        struct band band = {cure, coverage_factor(cure)};

        cure->ready_from_d = first_below(&band, cure->age_low_d, cure->age_limit_d, -1.0);
        if (edge(&band, cure->age_high_d, 1.0) < 0.0)
            cure->ready_to_d = last_above(&band);
        else
            cure->ready_to_d = first_below(&band, cure->age_high_d, cure->age_limit_d, 1.0);
    }
    if (isnan(cure->ready_to_d))
        set(cure, CURE_NOT_PREDICTED);
}

static enum status
follow(struct cure *cure, const struct columns *c, struct failure *failure)
{
    enum status status = fit_curve(cure, c, failure);

    if (status != STATUS_OK)
        return status;
    if (cure->count >= 3 && cure->age_count >= 2) {
        status = rank_trend(c->age, c->ph, cure->count, CURE_COVERAGE, &cure->trend, failure);
        if (status != STATUS_OK)
            return status;
        cure->trend_known = true;
    }
    if ((cure->model == CURE_APPROACH && cure->approach.end > cure->approach.start) ||
        (cure->model == CURE_LINE && cure->line.slope > 0.0))
        set(cure, CURE_RISING);
    predict(cure);
    return STATUS_OK;
}

enum status
cure_follow(const struct cure_point *points, size_t count, double target_ph, struct cure *ret_cure,
            struct failure *failure)
{
    struct cure cure = {.count = count,
                        .target_ph = target_ph,
                        .residual_sd = NAN,
                        .ready_from_d = NAN,
                        .ready_to_d = NAN,
                        .age_low_d = NAN,
                        .age_high_d = NAN,
                        .age_limit_d = NAN};
    struct columns c;
    struct age_group *groups;
    enum status status = check(points, count, target_ph, failure);

    if (status != STATUS_OK)
        return status;
    c.age = memory_new(3 * count + 1, sizeof *c.age);
    c.ph = c.age + count;
    c.u = c.ph + count;
    for (size_t i = 0; i < count; i++) {
        c.age[i] = points[i].age_d;
        c.ph[i] = points[i].ph;
        c.u[i] = points[i].u_ph;
    }
    cure.marked = memory_new(count + 1, sizeof *cure.marked);
    groups = group_by_age(points, count, &cure.age_count);
    if (count > 0) {
        cure.age_low_d = points[0].age_d;
        cure.age_high_d = points[count - 1].age_d;
        cure.age_limit_d = cure.age_high_d + EXTRAPOLATION * (cure.age_high_d - cure.age_low_d);
    }
    mark(&cure, points, groups);
    status = follow(&cure, &c, failure);
    free(groups);
    free(c.age);
    if (status == STATUS_OK)
        *ret_cure = cure;
    else
        cure_clear(&cure);
    return status;
}

civil_day
cure_ready_day(const struct cure *cure, civil_day made_on, bool to)
{
    double age_d = to ? ceil(cure->ready_to_d) : floor(cure->ready_from_d);

    return fabs(age_d) < 1e6 ? made_on + (civil_day)age_d : DAY_NONE; /* false for NAN */
}

void
cure_clear(struct cure *cure)
{
    free(cure->marked);
    *cure = (struct cure){0};
}
