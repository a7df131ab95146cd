/* comparison.c - do two batches read differently? */
#include "comparison.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>
#include <stdlib.h>

#include "distribution.h"
#include "memory.h"
#include "power.h"
#include "two_samples.h"

#define RESOLUTION_ASSUMED_PH 0.01 /* of a meter whose resolution is not on record */
#define LEAST_P 1e-12              /* that is said of a difference with shared errors */

enum { ITERATIONS = 100 };

/* One age of a batch: the mean of its results. */
struct sitting {
    double age_d, ph;
    const struct cure_point *results; /* lent */
    size_t count;
};

/* Given: free() it. */
static struct sitting *
sittings_of(const struct cure_point *points, size_t count, size_t *ret_count)
{
    struct sitting *sittings = memory_new(count + 1, sizeof *sittings);
    size_t made = 0;

    for (size_t i = 0; i < count;) {
        struct sitting sitting = {.age_d = points[i].age_d, .results = &points[i]};
        double above = 0.0; /* the first: equal results have that mean exactly */

        for (; i < count && points[i].age_d == sitting.age_d; i++, sitting.count++)
            above += points[i].ph - sitting.results[0].ph;
        sitting.ph = sitting.results[0].ph + above / (double)sitting.count;
        sittings[made++] = sitting;
    }
    *ret_count = made;
    return sittings;
}

/* Index of the sitting nearest in age, the earlier one of two; `from` is where to begin to look and moves
 * along, for ages are asked in rising order. */
static size_t
nearest(const struct sitting *sittings, size_t count, double age_d, size_t *from)
{
    while (*from + 1 < count && fabs(sittings[*from + 1].age_d - age_d) < fabs(sittings[*from].age_d - age_d))
        (*from)++;
    return *from;
}

static bool
in_window(double first_d, double second_d, double window)
{
    double allowed = fmax(COMPARISON_WINDOW_LEAST_D, window * 0.5 * fabs(first_d + second_d));

    return fabs(first_d - second_d) <= allowed * (1.0 + 1e-12);
}

/* Two sittings of about the same age. */
struct match {
    const struct sitting *first, *second;
};

/* Rule 2. Given: free() it. */
static struct match *
find_pairs(const struct sitting *first, size_t first_count, const struct sitting *second, size_t second_count,
           double window, size_t *ret_count)
{
    size_t *back = memory_new(second_count + 1, sizeof *back), from = 0, made = 0;
    struct match *matches = memory_new(first_count + 1, sizeof *matches);

    for (size_t j = 0; first_count > 0 && j < second_count; j++)
        back[j] = nearest(first, first_count, second[j].age_d, &from);
    from = 0;
    for (size_t i = 0; second_count > 0 && i < first_count; i++) {
        size_t j = nearest(second, second_count, first[i].age_d, &from);

        if (back[j] == i && in_window(first[i].age_d, second[j].age_d, window))
            matches[made++] = (struct match){&first[i], &second[j]};
    }
    free(back);
    *ret_count = made;
    return matches;
}

/* -- what the two share -- */

/* The sittings that are set against each other, and each one's weight in the difference. Owned. */
struct weighing {
    struct shared shared;
    double *weights;
    size_t count;
};

static void
weighing_clear(struct weighing *weighing)
{
    shared_clear(&weighing->shared);
    free(weighing->weights);
}

/* `count` sittings, the first batch's and the second's in any order, with their weights: which it takes. */
static struct weighing
weigh(const struct sitting *const *sittings, double *weights, size_t count)
{
    struct weighing weighing = {.weights = weights, .count = count};
    struct shared_member *members;
    struct sources *alone;
    size_t results = 0, made = 0;

    for (size_t g = 0; g < count; g++)
        results += sittings[g]->count;
    members = memory_new(results + 1, sizeof *members);
    alone = memory_new(results + 1, sizeof *alone);
    for (size_t g = 0; g < count; g++)
        for (size_t i = 0; i < sittings[g]->count; i++, made++) {
            const struct cure_point *point = &sittings[g]->results[i];

            alone[made] = (struct sources){.ph = point->ph, .own_u_ph = point->u_ph};
            members[made] = (struct shared_member){
                .sources = point->sources != NULL ? point->sources : &alone[made], .group = g};
        }
    shared_of(members, results, count, &weighing.shared);
    free(alone);
    free(members);
    return weighing;
}

/* Standard uncertainty of the difference from all that is stated. */
static double
stated_u(const struct weighing *weighing, const struct shared_sum *sum)
{
    double u = sum->u_ph;

    for (size_t g = 0; g < weighing->count; g++)
        u = hypot(u, weighing->weights[g] * weighing->shared.own_u_ph[g]);
    return u;
}

static double
resolution_of(const struct sitting *sitting)
{
    double resolution = 0.0;

    for (size_t i = 0; i < sitting->count; i++)
        resolution = fmax(resolution, sitting->results[i].resolution_ph);
    return resolution > 0.0 ? resolution : RESOLUTION_ASSUMED_PH;
}

/* Rule 5. */
static enum comparison_sharing
sharing_of(const struct match *matches, size_t count)
{
    enum comparison_sharing sharing = COMPARISON_SAME_SITTINGS;

    for (size_t k = 0; k < count; k++) {
        const struct cure_point *a = &matches[k].first->results[0], *b = &matches[k].second->results[0];

        if (a->meter_id != b->meter_id)
            return COMPARISON_TWO_METERS;
        if (a->calibration_id == 0 || a->calibration_id != b->calibration_id)
            sharing = COMPARISON_APART;
    }
    return sharing;
}

/* -- the difference and what is to be thought of it -- */

/* A difference whose error is Student's and what is shared together (rule 3). */
struct tested {
    double difference, standard_error, dof;
    struct shared_sum shared;
    double reach; /* looked for: the half-width that is to come out */
};

/* Half-width of the interval that holds with probability 1 - p. */
static double
half_at(const struct tested *tested, double p)
{
    double own = tested->standard_error * student_t_quantile(1.0 - 0.5 * p, tested->dof);

    return shared_half_ph(&tested->shared, own, 1.0 - 0.5 * p);
}

static double
half_excess(double log_p, void *data)
{
    const struct tested *tested = data;

    return half_at(tested, exp(log_p)) - tested->reach;
}

/* The p at which the half-width is `reach`: 1 when it is larger than that at any p, LEAST_P when never as large. */
static double
p_of_half(struct tested tested, double reach)
{
    gsl_function function = {.function = half_excess, .params = &tested};
    gsl_root_fsolver *solver;
    double log_p;

    tested.reach = reach;
    if (!(reach > tested.shared.whole_half_ph))
        return 1.0;
    if (half_at(&tested, LEAST_P) <= reach)
        return LEAST_P;
    solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    gsl_root_fsolver_set(solver, &function, log(LEAST_P), log(1.0 - 1e-12));
    for (int i = 0; i < ITERATIONS; i++)
        if (gsl_root_fsolver_iterate(solver) != GSL_SUCCESS ||
            gsl_root_test_interval(gsl_root_fsolver_x_lower(solver), gsl_root_fsolver_x_upper(solver), 1e-9,
                                   0.0) == GSL_SUCCESS)
            break;
    log_p = gsl_root_fsolver_root(solver);
    gsl_root_fsolver_free(solver);
    return exp(log_p);
}

static bool
shares_nothing(const struct shared_sum *sum)
{
    return sum->u_ph == 0.0 && sum->whole_half_ph == 0.0;
}

/* Rule 3: the interval and both p values. */
static enum status
test(struct comparison *c, const struct tested *tested, struct failure *failure)
{
    double half = half_at(tested, 1.0 - CURE_COVERAGE), size = fabs(tested->difference);
    struct difference plain;
    enum status status = difference_test(tested->difference, tested->standard_error, tested->dof,
                                         CURE_COVERAGE, c->margin, &plain, failure);

    if (status != STATUS_OK)
        return status;
    c->mean_difference = tested->difference;
    c->u = hypot(tested->standard_error, tested->shared.u_ph);
    c->dof = tested->dof;
    c->t = plain.t;
    c->low = tested->difference - half;
    c->high = tested->difference + half;
    c->shared_half_ph = shared_half_ph(&tested->shared, 0.0, 0.5 * (1.0 + CURE_COVERAGE));
    c->p_different = plain.p_differs;
    c->p_equivalent = plain.p_equivalent;
    if (!shares_nothing(&tested->shared)) {
        c->p_different = p_of_half(*tested, size);
        c->p_equivalent = size < c->margin ? 0.5 * p_of_half(*tested, c->margin - size) : 1.0;
    }
    return STATUS_OK;
}

/* Rule 4. */
static void
conclude(struct comparison *c)
{
    c->conclusion = COMPARISON_CANNOT_TELL;
    if (!comparison_can_decide(c))
        return;
    if (c->p_equivalent <= COMPARISON_SIGNIFICANCE)
        c->conclusion = COMPARISON_SAME;
    else if (c->p_different <= COMPARISON_SIGNIFICANCE)
        c->conclusion = COMPARISON_DIFFERS;
}

bool
comparison_can_decide(const struct comparison *c)
{
    return (c->design == COMPARISON_PAIRED || c->design == COMPARISON_WELCH) && !c->ages_differ;
}

/* Sum of squares about the mean of differences from the first: equal values have none at all. */
static double
squares_of(const double *values, size_t count, double *ret_mean)
{
    double mean = 0.0, squares = 0.0;

    for (size_t i = 0; i < count; i++)
        mean += values[i] - values[0];
    mean /= (double)count;
    for (size_t i = 0; i < count; i++)
        squares += (values[i] - values[0] - mean) * (values[i] - values[0] - mean);
    *ret_mean = values[0] + mean;
    return squares;
}

static enum status
compare_pairs(struct comparison *c, const struct match *matches, struct failure *failure)
{
    size_t n = c->n = c->pair_count;
    const struct sitting **sittings = memory_new(2 * n, sizeof *sittings);
    double *weights = memory_new(2 * n, sizeof *weights), *differences = memory_new(n, sizeof *differences);
    double resolution = 0.0, squares;
    struct tested tested = {.dof = (double)n - 1.0};
    struct weighing weighing;
    enum status status;

    c->first_age_d = c->second_age_d = 0.0;
    for (size_t k = 0; k < n; k++) {
        sittings[2 * k] = matches[k].first;
        sittings[2 * k + 1] = matches[k].second;
        weights[2 * k] = -1.0 / (double)n;
        weights[2 * k + 1] = 1.0 / (double)n;
        differences[k] = matches[k].second->ph - matches[k].first->ph;
        c->first_age_d += matches[k].first->age_d / (double)n;
        c->second_age_d += matches[k].second->age_d / (double)n;
        resolution =
            fmax(resolution, fmax(resolution_of(matches[k].first), resolution_of(matches[k].second)));
    }
    squares = squares_of(differences, n, &tested.difference);
    weighing = weigh(sittings, weights, 2 * n);
    tested.shared = shared_sum_of(&weighing.shared, weights, NULL);
    c->design = n >= 2 ? COMPARISON_PAIRED : COMPARISON_SINGLE;
    if (n >= 2) {
        c->sd = fmax(sqrt(squares / ((double)n - 1.0)), resolution / sqrt(6.0));
        tested.standard_error = c->sd / sqrt((double)n);
        status = rank_signed(differences, n, &c->p_rank, failure);
    } else {
        tested.standard_error = stated_u(&weighing, &tested.shared);
        tested.shared = (struct shared_sum){.whole_half_ph = tested.shared.whole_half_ph};
        tested.dof = INFINITY;
        status = STATUS_OK;
    }
    if (status == STATUS_OK)
        status = test(c, &tested, failure);
    weighing_clear(&weighing);
    free(differences);
    free(sittings);
    return status;
}

/* The results of one batch that are no pairs, each as a sitting of its own. */
struct sample {
    struct sitting *results;
    double *ph, mean, age_d, squares, floor; /* of the variance of one result */
    size_t count;
};

static struct sample
sample_of(const struct cure_point *points, size_t count)
{
    struct sample sample = {.results = memory_new(count, sizeof *sample.results),
                            .ph = memory_new(count, sizeof *sample.ph),
                            .count = count};

    for (size_t i = 0; i < count; i++) {
        double resolution;

        sample.results[i] =
            (struct sitting){.age_d = points[i].age_d, .ph = points[i].ph, .results = &points[i], .count = 1};
        sample.ph[i] = points[i].ph;
        sample.age_d += points[i].age_d / (double)count;
        resolution = resolution_of(&sample.results[i]);
        sample.floor = fmax(sample.floor, resolution * resolution / 12.0);
    }
    sample.squares = squares_of(sample.ph, count, &sample.mean);
    return sample;
}

/* Variance of the mean. */
static double
mean_variance(const struct sample *sample)
{
    return fmax(sample->squares / ((double)sample->count - 1.0), sample->floor) / (double)sample->count;
}

/* Standard error and degrees of freedom by Welch (two_samples.h). */
static void
take_welch(struct tested *tested, const struct sample *first, const struct sample *second)
{
    double a = mean_variance(first), b = mean_variance(second);

    tested->standard_error = sqrt(a + b);
    tested->dof =
        (a + b) * (a + b) / (a * a / ((double)first->count - 1.0) + b * b / ((double)second->count - 1.0));
}

static enum status
compare_results(struct comparison *c, const struct cure_point *first_points,
                const struct cure_point *second_points, double window, struct failure *failure)
{
    struct sample first = sample_of(first_points, c->first_count);
    struct sample second = sample_of(second_points, c->second_count);
    size_t all = first.count + second.count;
    const struct sitting **sittings = memory_new(all, sizeof *sittings);
    double *weights = memory_new(all, sizeof *weights);
    struct tested tested = {.difference = second.mean - first.mean, .dof = INFINITY};
    struct weighing weighing;
    enum status status = STATUS_OK;

    for (size_t i = 0; i < all; i++) {
        sittings[i] = i < first.count ? &first.results[i] : &second.results[i - first.count];
        weights[i] = i < first.count ? -1.0 / (double)first.count : 1.0 / (double)second.count;
    }
    c->n = first.count < second.count ? first.count : second.count;
    c->first_age_d = first.age_d;
    c->second_age_d = second.age_d;
    c->ages_differ = !in_window(first.age_d, second.age_d, window);
    weighing = weigh(sittings, weights, all);
    tested.shared = shared_sum_of(&weighing.shared, weights, NULL);
    c->design = c->n >= 2 ? COMPARISON_WELCH : COMPARISON_SINGLE;
    if (c->n >= 2) {
        c->sd = sqrt((first.squares + second.squares) / ((double)all - 2.0));
        c->sd = fmax(c->sd, sqrt(fmax(first.floor, second.floor)));
        take_welch(&tested, &first, &second);
        status = rank_sum(first.ph, first.count, second.ph, second.count, &c->p_rank, failure);
    } else {
        tested.standard_error = stated_u(&weighing, &tested.shared);
        tested.shared = (struct shared_sum){.whole_half_ph = tested.shared.whole_half_ph};
    }
    if (status == STATUS_OK)
        status = test(c, &tested, failure);
    weighing_clear(&weighing);
    free(sittings);
    free(first.results);
    free(first.ph);
    free(second.results);
    free(second.ph);
    return status;
}

/* Rule 7. */
static enum status
find_detectable(struct comparison *c, struct failure *failure)
{
    enum power_design design = c->design == COMPARISON_WELCH ? POWER_TWO_SAMPLES : POWER_PAIRS;
    enum status status;

    if (c->design != COMPARISON_PAIRED && c->design != COMPARISON_WELCH)
        return STATUS_OK;
    status = power_detectable_difference(design, c->n, c->sd, COMPARISON_SIGNIFICANCE, COMPARISON_POWER,
                                         &c->detectable_difference, failure);
    if (status == STATUS_OK)
        c->detectable_difference += c->shared_half_ph;
    return status;
}

static enum status
check(const struct cure_point *points, size_t count, struct failure *failure)
{
    for (size_t i = 0; i < count; i++)
        if (!isfinite(points[i].age_d) || !isfinite(points[i].ph) ||
            !(points[i].u_ph > 0.0 && isfinite(points[i].u_ph)) ||
            (i > 0 && points[i].age_d < points[i - 1].age_d))
            return failure_set(failure, STATUS_RANGE, "result %zu of a batch cannot be compared", i + 1);
    return STATUS_OK;
}

/* A pair as it is shown, with the uncertainty of its difference. */
static struct comparison_pair
pair_of(const struct match *match)
{
    const struct sitting *sittings[] = {match->first, match->second};
    double *weights = memory_new(2, sizeof *weights);
    struct weighing weighing;
    struct shared_sum sum;
    struct comparison_pair pair = {.first_age_d = match->first->age_d,
                                   .second_age_d = match->second->age_d,
                                   .first_ph = match->first->ph,
                                   .second_ph = match->second->ph};

    weights[0] = -1.0;
    weights[1] = 1.0;
    weighing = weigh(sittings, weights, 2);
    sum = shared_sum_of(&weighing.shared, weights, NULL);
    pair.u_difference = stated_u(&weighing, &sum);
    weighing_clear(&weighing);
    return pair;
}

enum status
comparison_make(const struct cure_point *first, size_t first_count, const struct cure_point *second,
                size_t second_count, double window, double margin, struct comparison *ret_comparison,
                struct failure *failure)
{
    struct comparison c = {.first_count = first_count,
                           .second_count = second_count,
                           .first_age_d = NAN,
                           .second_age_d = NAN,
                           .mean_difference = NAN,
                           .u = NAN,
                           .dof = NAN,
                           .low = NAN,
                           .high = NAN,
                           .t = NAN,
                           .p_different = NAN,
                           .margin = margin,
                           .p_equivalent = NAN,
                           .sd = NAN,
                           .p_rank = NAN,
                           .shared_half_ph = NAN,
                           .detectable_difference = NAN};
    struct sitting *first_sittings, *second_sittings;
    struct match *matches;
    size_t first_made, second_made;
    enum status status;

    if (!(window > 0.0 && window <= 1.0))
        return failure_set(failure, STATUS_RANGE, "the age window is %g, allowed is above 0 to 1", window);
    if (!(margin > 0.0 && isfinite(margin)))
        return failure_set(failure, STATUS_RANGE, "the margin is %g pH, allowed is above 0", margin);
    status = check(first, first_count, failure);
    if (status == STATUS_OK)
        status = check(second, second_count, failure);
    if (status != STATUS_OK)
        return status;
    first_sittings = sittings_of(first, first_count, &first_made);
    second_sittings = sittings_of(second, second_count, &second_made);
    matches = find_pairs(first_sittings, first_made, second_sittings, second_made, window, &c.pair_count);
    c.pairs = memory_new(c.pair_count + 1, sizeof *c.pairs);
    for (size_t k = 0; k < c.pair_count; k++)
        c.pairs[k] = pair_of(&matches[k]);
    c.sharing = sharing_of(matches, c.pair_count);
    if (first_count > 0 && second_count > 0) {
        /* One pair of single results is a pair; one sitting with several bars on each side is not. */
        if (c.pair_count >= 2 || (c.pair_count == 1 && (first_count < 2 || second_count < 2)))
            status = compare_pairs(&c, matches, failure);
        else
            status = compare_results(&c, first, second, window, failure);
    }
    free(matches);
    free(first_sittings);
    free(second_sittings);
    if (status == STATUS_OK)
        status = find_detectable(&c, failure);
    if (status != STATUS_OK) {
        comparison_clear(&c);
        return status;
    }
    conclude(&c);
    *ret_comparison = c;
    return STATUS_OK;
}

void
comparison_clear(struct comparison *comparison)
{
    free(comparison->pairs);
    *comparison = (struct comparison){0};
}

enum status
comparison_correct(struct comparison *comparisons, size_t count, struct failure *failure)
{
    double *p = memory_new(2 * count + 1, sizeof *p);
    size_t *which = memory_new(count + 1, sizeof *which), known = 0;
    enum status status = STATUS_OK;

    for (size_t i = 0; i < count; i++)
        if (comparison_can_decide(&comparisons[i])) {
            p[known] = comparisons[i].p_different;
            p[count + known] = comparisons[i].p_equivalent;
            which[known++] = i;
        }
    if (known > 0)
        status = holm_adjust(p, known, p, failure);
    if (status == STATUS_OK && known > 0)
        status = holm_adjust(p + count, known, p + count, failure);
    for (size_t i = 0; status == STATUS_OK && i < known; i++) {
        comparisons[which[i]].p_different = p[i];
        comparisons[which[i]].p_equivalent = p[count + i];
        conclude(&comparisons[which[i]]);
    }
    free(p);
    free(which);
    return status;
}

const char *
comparison_design_word(enum comparison_design design)
{
    static const char *const words[] = {"none", "single", "paired", "welch"};

    return words[design];
}

const char *
comparison_conclusion_text(enum comparison_conclusion conclusion)
{
    static const char *const texts[] = {"cannot tell yet", "practically the same", "differs"};

    return texts[conclusion];
}

const char *
comparison_answer_text(enum comparison_conclusion conclusion)
{
    static const char *const texts[] = {"cannot tell yet", "these two batches are practically the same",
                                        "these two batches differ"};

    return texts[conclusion];
}

const char *
comparison_sharing_word(enum comparison_sharing sharing)
{
    static const char *const words[] = {"same-sittings", "apart", "two-meters"};

    return words[sharing];
}

const char *
comparison_sharing_text(enum comparison_sharing sharing)
{
    static const char *const texts[] = {
        "same meter and calibration on the same days; what they share cancels",
        "same meter, not after one calibration; what the meter or the bottles of buffer are off by cancels, "
        "each "
        "calibration does not",
        "two meters; their difference cannot be told from the recipes'"};

    return texts[sharing];
}
