/* cure.c - how a batch settles. */
#include "cure.h"

#include <math.h>
#include <stdlib.h>

#include "distribution.h"
#include "memory.h"
#include "text.h"

#define CHANCE 0.05             /* rule 5 and the scatter flag */
#define EARLY_CHANCE 0.025      /* rule 5 below five days: two looks */
#define NEARLY_AS_MUCH 3.84     /* rule 5: chi-squared, 95 %, one degree */
#define EXTRAPOLATION 0.5       /* rule 6 */
#define BEYOND_PROBABILITY 0.99 /* rule 7 */
#define HISTORY_ALONE_DOF 6.0   /* the maker's own scatter stands alone from here on */
#define LEAST_SD_PH 1e-6        /* of a result that shares all of its uncertainty */

enum { LEAST_FOR_ODD = 5, MANY_DAYS = 40, SCAN_STEPS = 48 };

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

/* -- days -- */

/* The results by day, as the fits take them. Owned. */
struct days {
    size_t count;
    size_t *of;       /* of each result: its day */
    double *age, *ph; /* of each day; ph is the mean */
    struct shared shared;
};

static void
days_clear(struct days *days)
{
    free(days->of);
    free(days->age);
    free(days->ph);
    shared_clear(&days->shared);
}

/* Rule 1. */
static struct days
days_of(const struct cure_point *points, size_t count)
{
    struct days days = {.of = memory_new(count + 1, sizeof *days.of),
                        .age = memory_new(count + 1, sizeof *days.age),
                        .ph = memory_new(count + 1, sizeof *days.ph)};
    struct shared_member *members = memory_new(count + 1, sizeof *members);
    struct sources *alone = memory_new(count + 1, sizeof *alone);

    for (size_t i = 0; i < count; i++) {
        if (i == 0 || points[i].age_d > points[i - 1].age_d)
            days.age[days.count++] = points[i].age_d;
        days.of[i] = days.count - 1;
        alone[i] = (struct sources){.ph = points[i].ph, .own_u_ph = points[i].u_ph};
        members[i] = (struct shared_member){
            .sources = points[i].sources != NULL ? points[i].sources : &alone[i], .group = days.of[i]};
    }
    shared_of(members, count, days.count, &days.shared);
    for (size_t d = 0, first = 0, end; d < days.count; d++, first = end) {
        double above = 0.0; /* the first: the mean of equal results is that result */

        for (end = first; end < count && days.of[end] == d; end++)
            above += points[end].ph - points[first].ph;
        days.ph[d] = points[first].ph + above / (double)(end - first);
        days.shared.own_u_ph[d] = fmax(days.shared.own_u_ph[d], LEAST_SD_PH);
    }
    free(alone);
    free(members);
    return days;
}

/* -- scatter between tests (rule 2) -- */

void
cure_history_add(struct cure_history *history, const struct cure_history *other)
{
    history->squares += other->squares;
    history->dof += other->dof;
}

/* What is known before this cure: its variance and degrees of freedom. */
struct prior {
    double variance, dof, own_dof; /* own_dof of them are the maker's, the others assumed */
    double
        least_odd; /* variance that a mark is held against: where the assumption is below the maker's own, that */
    bool assumed;
};

static struct prior
prior_of(const struct cure_history *history)
{
    static const double assumed = CURE_BETWEEN_ASSUMED_PH * CURE_BETWEEN_ASSUMED_PH;
    double dof = history->dof, squares = history->squares, blend;

    if (dof >= HISTORY_ALONE_DOF)
        return (struct prior){
            .variance = squares / dof, .dof = dof, .own_dof = dof, .least_odd = squares / dof};
    blend = (CURE_BETWEEN_ASSUMED_DOF * assumed + squares) / (CURE_BETWEEN_ASSUMED_DOF + dof);
    return (struct prior){.variance = blend,
                          .dof = CURE_BETWEEN_ASSUMED_DOF + dof,
                          .own_dof = dof,
                          .least_odd = dof > 0.0 ? fmax(blend, squares / dof) : blend,
                          .assumed = true};
}

static void
weigh(struct cure *cure, const struct days *days, const struct prior *prior)
{
    const double *own = days->shared.own_u_ph;
    double dof = (double)days->count - APPROACH_PARAMETERS;
    double found = approach_extra_variance(&cure->grid, days->ph, own);
    double squares = approach_least_squares(&cure->grid, days->ph, own, prior->variance, APPROACH_ALL);
    double variance;

    cure->history = (struct cure_history){.squares = dof * found, .dof = dof};
    cure->dof = prior->dof + dof;
    variance = (prior->dof * prior->variance + dof * found) / cure->dof;
    cure->between_ph = sqrt(variance);
    for (size_t d = 0; d < days->count; d++)
        cure->sd_ph[d] = sqrt(own[d] * own[d] + variance);
    if (prior->assumed)
        set(cure, CURE_SCATTER_ASSUMED);
    if (dof > 0.0 && chi_squared_above(squares, dof) < CHANCE)
        set(cure, CURE_SCATTER);
}

/* -- the curve -- */

/* The curve at a time from the first test (INFINITY: its end); each edge holds with this probability. */
static struct cure_band
band_at(const struct cure *cure, double t, double probability)
{
    struct cure_band band = {.ph = approach_value(&cure->approach, t)};
    double *weights = memory_new(cure->grid.count, sizeof *weights);
    struct shared_sum sum;
    double low, high;

    approach_interval(&cure->approach, t, student_t_quantile(probability, cure->dof), &low, &high);
    approach_weights(&cure->grid, &cure->approach, cure->sd_ph, t, weights);
    sum = shared_sum_of(&cure->shared, weights, cure->fitted_ph);
    band.low = band.ph - shared_half_ph(&sum, band.ph - low, probability);
    band.high = band.ph + shared_half_ph(&sum, high - band.ph, probability);
    free(weights);
    return band;
}

enum status
cure_at(const struct cure *cure, double age_d, struct cure_band *ret_band, struct failure *failure)
{
    if (cure->model == CURE_NO_MODEL)
        return failure_set(failure, STATUS_RANGE, "there is no curve through these results");
    if (!(age_d >= cure->age_first_d && age_d <= cure->age_limit_d))
        return failure_set(failure, STATUS_RANGE,
                           "the curve says nothing about an age of %g days, only about %g to %g", age_d,
                           cure->age_first_d, cure->age_limit_d);
    *ret_band = band_at(cure, age_d - cure->age_low_d, 0.5 * (1.0 + CURE_COVERAGE));
    return STATUS_OK;
}

/* Rule 9, by what is each test's own: the shared errors move both ends alike. */
static void
look_for_rise(struct cure *cure)
{
    double reach = student_t_quantile(0.5 * (1.0 + CURE_COVERAGE), cure->dof), low, high, ignored;

    approach_interval(&cure->approach, 0.0, reach, &ignored, &high);
    approach_interval(&cure->approach, cure->age_high_d - cure->age_low_d, reach, &low, &ignored);
    if (low > high)
        set(cure, CURE_RISING);
}

/* Takes over what the days share. */
static enum status
fit(struct cure *cure, struct days *days, const struct prior *prior, struct failure *failure)
{
    double reach;
    bool downwards;
    enum status status =
        approach_grid_of(days->age, days->count, APPROACH_SLOWEST / (cure->age_high_d - cure->age_low_d),
                         APPROACH_FASTEST / (days->age[1] - days->age[0]), &cure->grid, failure);

    if (status != STATUS_OK)
        return status;
    cure->model = CURE_APPROACH;
    cure->sd_ph = memory_new(days->count, sizeof *cure->sd_ph);
    cure->fitted_ph = memory_new(days->count, sizeof *cure->fitted_ph);
    weigh(cure, days, prior);
    approach_fit(&cure->grid, days->ph, cure->sd_ph, APPROACH_ALL, &cure->approach);
    for (size_t d = 0; d < days->count; d++)
        cure->fitted_ph[d] = approach_value(&cure->approach, cure->grid.t[d]);
    cure->shared = days->shared;
    days->shared = (struct shared){0};
    reach = student_t_quantile(0.5 * (1.0 + CURE_COVERAGE), cure->dof);
    if (approach_end_open(&cure->approach, reach, &downwards)) {
        set(cure, CURE_END_OPEN);
        cure->end_open_low = downwards;
        cure->end_open_high = !downwards;
    }
    cure->end = band_at(cure, INFINITY, 0.5 * (1.0 + CURE_COVERAGE));
    look_for_rise(cure);
    return STATUS_OK;
}

/* -- odd results (rule 5) -- */

static void
mark(struct cure *cure, size_t i)
{
    cure->marked_count += cure->marked[i] ? 0 : 1;
    cure->marked[i] = true;
    set(cure, CURE_RECHECK);
}

/* Of the results of one day, those that lie off `ph` at least half as far as the furthest. Gives the furthest. */
static size_t
mark_day(struct cure *cure, const struct cure_point *points, const struct days *days, size_t day, double ph)
{
    size_t furthest = cure->count;

    for (size_t i = 0; i < cure->count; i++)
        if (days->of[i] == day &&
            (furthest == cure->count || fabs(points[i].ph - ph) > fabs(points[furthest].ph - ph)))
            furthest = i;
    for (size_t i = 0; i < cure->count; i++)
        if (days->of[i] == day && (points[i].ph - ph) * (points[furthest].ph - ph) > 0.0 &&
            fabs(points[i].ph - ph) >= 0.5 * fabs(points[furthest].ph - ph))
            mark(cure, i);
    mark(cure, furthest);
    return furthest;
}

/* What the curve through the other days says of this one. */
static double
without(const struct cure *cure, const struct days *days, const double *sd, size_t day)
{
    struct approach others;
    double ph;

    approach_fit(&cure->grid, days->ph, sd, day, &others);
    ph = approach_value(&others, cure->grid.t[day]);
    approach_clear(&others);
    return ph;
}

/* How far the sum of squares falls without a day at the rate of the whole curve: the least it can fall. */
static double
least_fall(const struct approach_rate *fit, double t, double ph, double sd)
{
    double weight = 1.0 / (sd * sd), decay = exp(-fit->rate * t), away = decay - fit->decay_mean;
    double residual = ph - fit->end - fit->drop * decay;
    double leverage = weight * (1.0 / fit->weights + away * away / fit->decay_squares);

    return weight * residual * residual / fmax(1.0 - leverage, 1e-9);
}

/* Leave each day out in turn: what is left of the sum of squares then, which gives that of the whole. Of very many days
 * those that hardly move the curve are not left out one by one: at its own rate is near enough for them. */
static double
leave_out_each(const struct cure *cure, const struct days *days, const double *sd, double *rest)
{
    double most_fall = 0.0, all;
    struct approach whole;

    approach_fit(&cure->grid, days->ph, sd, APPROACH_ALL, &whole);
    all = whole.best.squares;
    for (size_t d = 0; d < days->count; d++) {
        rest[d] = all - least_fall(&whole.best, cure->grid.t[d], days->ph[d], sd[d]);
        most_fall = fmax(most_fall, all - rest[d]);
    }
    for (size_t d = 0; d < days->count; d++)
        if (days->count <= MANY_DAYS || all - rest[d] >= 0.5 * most_fall)
            rest[d] = approach_least_squares(&cure->grid, days->ph, sd, 0.0, d);
    for (size_t d = 0; d < days->count; d++)
        rest[d] = fmin(fmax(0.0, rest[d]), all);
    approach_clear(&whole);
    return all;
}

/* Degrees that what was known before lends to a mark. Where the other days scatter more than they are held against,
 * those that are only assumed lend none: an assumption makes marks rarer, never more frequent (rule 5). */
static double
lent_dof(const struct prior *prior, double rest, double rest_dof)
{
    return rest_dof > 0.0 && rest > rest_dof ? prior->own_dof : prior->dof;
}

/* How rare by chance such a fall is, at a day named beforehand. */
static double
fall_chance(const struct prior *prior, double all, double rest, double rest_dof)
{
    double lent = lent_dof(prior, rest, rest_dof), dof = lent + rest_dof;

    return student_t_two_sided(sqrt((all - rest) * dof / (lent + rest)), dof);
}

static void
look_for_odd(struct cure *cure, const struct cure_point *points, const struct days *days,
             const struct prior *prior)
{
    double *rest = memory_new(2 * days->count, sizeof *rest), *sd = rest + days->count;
    /* Four days leave one degree to the curve and none to what is left without one of them. */
    double count = (double)days->count, rest_dof = fmax(0.0, count - 4.0), least, lent, all;
    size_t most = 0;

    for (size_t d = 0; d < days->count; d++)
        sd[d] = sqrt(cure->shared.own_u_ph[d] * cure->shared.own_u_ph[d] + prior->least_odd);
    all = leave_out_each(cure, days, sd, rest);
    for (size_t d = 0; d < days->count; d++)
        most = rest[d] < rest[most] ? d : most; /* the rarer by chance, the less is left */
    least = fall_chance(prior, all, rest[most], rest_dof);
    lent = lent_dof(prior, rest[most], rest_dof);
    if (days->count < LEAST_FOR_ODD) {
        if (least <= EARLY_CHANCE)
            set(cure, CURE_NOT_ONE_CURVE);
    } else if (count * least <= CHANCE) {
        for (size_t d = 0; d < days->count; d++)
            if ((lent + rest_dof + 1.0) * log((lent + rest[d]) / (lent + rest[most])) < NEARLY_AS_MUCH) {
                size_t furthest = mark_day(cure, points, days, d, without(cure, days, sd, d));

                if (d == most)
                    cure->oddest = furthest;
            }
    }
    free(rest);
}

/* The largest rise between two days that is no chance. */
static void
look_for_early_rise(struct cure *cure, const struct cure_point *points, const struct days *days,
                    const struct shared *shared, const struct prior *prior)
{
    double pairs = 0.5 * (double)days->count * ((double)days->count - 1.0);
    double probability = 1.0 - EARLY_CHANCE / fmax(pairs, 1.0), largest = 0.0,
           between = 2.0 * prior->variance;
    double *weights = memory_new(days->count + 1, sizeof *weights);
    size_t low = 0, high = 0;

    for (size_t i = 0; i < days->count; i++)
        for (size_t k = i + 1; k < days->count; k++) {
            double own = hypot(shared->own_u_ph[i], shared->own_u_ph[k]), rise = days->ph[k] - days->ph[i];
            struct shared_sum sum;
            double variance, dof;

            weights[i] = -1.0;
            weights[k] = 1.0;
            sum = shared_sum_of(shared, weights, NULL);
            weights[i] = weights[k] = 0.0;
            variance = own * own + between + sum.u_ph * sum.u_ph;
            dof = prior->dof * (variance / between) * (variance / between); /* Welch and Satterthwaite */
            rise -= sum.whole_half_ph + student_t_quantile(probability, dof) * sqrt(variance);
            if (rise > largest) {
                largest = rise;
                low = i;
                high = k;
            }
        }
    if (largest > 0.0) {
        mark_day(cure, points, days, low, days->ph[high]);
        mark_day(cure, points, days, high, days->ph[low]);
    }
    free(weights);
}

/* -- ready (rule 7) -- */

/* The band at an age, as a date may rest on it. */
static struct cure_band
band_for_date(const struct cure *cure, double age_d)
{
    return band_at(cure, age_d - cure->age_low_d,
                   age_d > cure->age_high_d ? BEYOND_PROBABILITY : 0.5 * (1.0 + CURE_COVERAGE));
}

static bool
is_there(const struct cure *cure, double age_d, bool surely)
{
    struct cure_band band = band_for_date(cure, age_d);

    return surely ? band.high < cure->target_ph : band.low <= cure->target_ph;
}

/* The first day on which the target may be reached, or surely is; NAN when none. In strides, and then day by day. */
static double
first_day(const struct cure *cure, bool surely)
{
    double last = floor(cure->age_limit_d), stride = fmax(1.0, ceil((last - cure->age_low_d) / SCAN_STEPS));
    double before = cure->age_low_d - 1.0;

    for (double age = cure->age_low_d;; age = fmin(age + stride, last)) {
        if (is_there(cure, age, surely)) {
            for (double day = before + 1.0; day < age; day += 1.0)
                if (is_there(cure, day, surely))
                    return day;
            return age;
        }
        if (age >= last)
            return NAN;
        before = age;
    }
}

static void
predict(struct cure *cure)
{
    cure->ready_from_d = first_day(cure, false);
    cure->ready_to_d = first_day(cure, true);
}

static enum status
follow_trend(struct cure *cure, const struct cure_point *points, struct failure *failure)
{
    double *age = memory_new(2 * cure->count, sizeof *age), *ph = age + cure->count;
    enum status status;

    for (size_t i = 0; i < cure->count; i++) {
        age[i] = points[i].age_d;
        ph[i] = points[i].ph;
    }
    status = rank_trend(age, ph, cure->count, CURE_COVERAGE, &cure->trend, failure);
    cure->trend_known = status == STATUS_OK;
    free(age);
    return status;
}

static enum status
follow(struct cure *cure, const struct cure_point *points, struct days *days, const struct prior *prior,
       struct failure *failure)
{
    enum status status = STATUS_OK;

    if (days->count < LEAST_FOR_ODD)
        look_for_early_rise(cure, points, days, &days->shared, prior);
    if (days->count < APPROACH_LEAST_POINTS)
        set(cure, CURE_FEW_RESULTS);
    else
        status = fit(cure, days, prior, failure);
    if (status == STATUS_OK && cure->count >= 3 && cure->age_count >= 2)
        status = follow_trend(cure, points, failure);
    if (status != STATUS_OK)
        return status;
    if (cure->model != CURE_NO_MODEL)
        look_for_odd(cure, points, days, prior);
    if (cure->model != CURE_NO_MODEL && !cure_has(cure, CURE_NOT_ONE_CURVE))
        predict(cure);
    if (isnan(cure->ready_to_d))
        set(cure, CURE_NOT_PREDICTED);
    return STATUS_OK;
}

enum status
cure_follow(const struct cure_point *points, size_t count, double target_ph,
            const struct cure_history *history, struct cure *ret_cure, struct failure *failure)
{
    struct cure cure = {.count = count,
                        .oddest = count,
                        .before = history == NULL ? (struct cure_history){0} : *history,
                        .target_ph = target_ph,
                        .between_ph = NAN,
                        .ready_from_d = NAN,
                        .ready_to_d = NAN,
                        .age_low_d = NAN,
                        .age_high_d = NAN,
                        .age_first_d = NAN,
                        .age_limit_d = NAN};
    struct prior prior = prior_of(&cure.before);
    struct days days;
    enum status status = check(points, count, target_ph, failure);

    if (status != STATUS_OK)
        return status;
    days = days_of(points, count);
    cure.marked = memory_new(count + 1, sizeof *cure.marked);
    cure.age_count = days.count;
    if (count > 0) {
        double beyond;

        cure.age_low_d = points[0].age_d;
        cure.age_high_d = points[count - 1].age_d;
        beyond = EXTRAPOLATION * (cure.age_high_d - cure.age_low_d);
        cure.age_first_d = fmin(cure.age_low_d, fmax(0.0, cure.age_low_d - beyond));
        cure.age_limit_d = cure.age_high_d + beyond;
    }
    status = follow(&cure, points, &days, &prior, failure);
    days_clear(&days);
    if (status == STATUS_OK)
        *ret_cure = cure;
    else
        cure_clear(&cure);
    return status;
}

enum status
cure_with_one_more(const struct cure *cure, const struct cure_point *points, double age_d,
                   struct cure *ret_cure, struct failure *failure)
{
    struct cure_point *more;
    double squares = 0.0;
    enum status status;

    if (cure->model == CURE_NO_MODEL || !(age_d > cure->age_high_d))
        return failure_set(failure, STATUS_RANGE, "what a test at %g days would show cannot be told", age_d);
    more = memory_new(cure->count + 1, sizeof *more);
    for (size_t i = 0; i < cure->count; i++)
        more[i] = points[i];
    for (size_t d = 0; d < cure->age_count; d++)
        squares += cure->shared.own_u_ph[d] * cure->shared.own_u_ph[d];
    more[cure->count] = (struct cure_point){.age_d = age_d,
                                            .ph = approach_value(&cure->approach, age_d - cure->age_low_d),
                                            .u_ph = sqrt(squares / (double)cure->age_count)};
    status = cure_follow(more, cure->count + 1, cure->target_ph, &cure->before, ret_cure, failure);
    free(more);
    return status;
}

civil_day
cure_ready_day(const struct cure *cure, civil_day made_on, bool to)
{
    double age_d = to ? cure->ready_to_d : cure->ready_from_d;

    return fabs(age_d) < 1e6 ? made_on + (civil_day)age_d : DAY_NONE; /* false for NAN */
}

void
cure_clear(struct cure *cure)
{
    free(cure->marked);
    free(cure->sd_ph);
    free(cure->fitted_ph);
    approach_clear(&cure->approach);
    approach_grid_clear(&cure->grid);
    shared_clear(&cure->shared);
    *cure = (struct cure){0};
}
