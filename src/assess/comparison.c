/* comparison.c - do two batches read differently? */
#include "comparison.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "power.h"
#include "two_samples.h"

/* One age of a batch: the mean of its results. */
struct sitting {
    double age_d, ph, u;
};

/* Given: free() it. */
static struct sitting *
sittings_of(const struct cure_point *points, size_t count, size_t *ret_count)
{
    struct sitting *sittings = memory_new(count + 1, sizeof *sittings);
    size_t made = 0;

    for (size_t i = 0; i < count;) {
        size_t end = i;
        double sum = 0.0, squares = 0.0;

        for (; end < count && points[end].age_d == points[i].age_d; end++) {
            sum += points[end].ph;
            squares += points[end].u_ph * points[end].u_ph;
        }
        sittings[made++] = (struct sitting){
            .age_d = points[i].age_d, .ph = sum / (double)(end - i), .u = sqrt(squares) / (double)(end - i)};
        i = end;
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

/* Rule 2. */
static void
find_pairs(struct comparison *c, const struct sitting *first, size_t first_count,
           const struct sitting *second, size_t second_count, double window)
{
    size_t *back = memory_new(second_count + 1, sizeof *back), from = 0;

    c->pairs = memory_new(first_count + 1, sizeof *c->pairs);
    for (size_t j = 0; first_count > 0 && j < second_count; j++)
        back[j] = nearest(first, first_count, second[j].age_d, &from);
    from = 0;
    for (size_t i = 0; second_count > 0 && i < first_count; i++) {
        size_t j = nearest(second, second_count, first[i].age_d, &from);

        if (back[j] == i && in_window(first[i].age_d, second[j].age_d, window))
            c->pairs[c->pair_count++] =
                (struct comparison_pair){.first_age_d = first[i].age_d,
                                         .second_age_d = second[j].age_d,
                                         .first_ph = first[i].ph,
                                         .second_ph = second[j].ph,
                                         .u_difference = hypot(first[i].u, second[j].u)};
    }
    free(back);
}

/* The pH of some results, and what is to be known about them. Owned. */
struct sample {
    double *ph;
    size_t count;
    double mean, age_d; /* means */
    double u_mean;      /* of the mean, from the stated uncertainties */
    double squares;     /* about the mean */
};

static void
sample_close(struct sample *sample)
{
    double sum = 0.0;

    for (size_t i = 0; i < sample->count; i++)
        sum += sample->ph[i] - sample->ph[0];
    sample->mean = sample->ph[0] + sum / (double)sample->count;
    for (size_t i = 0; i < sample->count; i++)
        sample->squares += (sample->ph[i] - sample->mean) * (sample->ph[i] - sample->mean);
}

static struct sample
sample_of_points(const struct cure_point *points, size_t count)
{
    struct sample sample = {.ph = memory_new(count, sizeof *sample.ph), .count = count};
    double ages = 0.0, squares = 0.0;

    for (size_t i = 0; i < count; i++) {
        sample.ph[i] = points[i].ph;
        ages += points[i].age_d;
        squares += points[i].u_ph * points[i].u_ph;
    }
    sample.age_d = ages / (double)count;
    sample.u_mean = sqrt(squares) / (double)count;
    sample_close(&sample);
    return sample;
}

static struct sample
sample_of_pairs(const struct comparison *c, bool second)
{
    struct sample sample = {.ph = memory_new(c->pair_count, sizeof *sample.ph), .count = c->pair_count};
    double ages = 0.0;

    for (size_t i = 0; i < c->pair_count; i++) {
        sample.ph[i] = second ? c->pairs[i].second_ph : c->pairs[i].first_ph;
        ages += second ? c->pairs[i].second_age_d : c->pairs[i].first_age_d;
    }
    sample.age_d = ages / (double)c->pair_count;
    sample_close(&sample);
    return sample;
}

static void
take(struct comparison *c, const struct difference *d)
{
    c->mean_difference = d->difference;
    c->u = d->standard_error;
    c->dof = d->dof;
    c->low = d->low;
    c->high = d->high;
    c->t = d->t;
    c->p_different = d->p_differs;
    c->p_equivalent = d->p_equivalent;
}

/* Rule 4. */
static void
conclude(struct comparison *c)
{
    c->conclusion = COMPARISON_CANNOT_TELL;
    if (c->design == COMPARISON_NOTHING || c->design == COMPARISON_SINGLE || c->ages_differ)
        return;
    if (c->p_equivalent <= COMPARISON_SIGNIFICANCE)
        c->conclusion = COMPARISON_SAME;
    else if (c->p_different <= COMPARISON_SIGNIFICANCE)
        c->conclusion = COMPARISON_DIFFERS;
}

/* Differences of pairs that are all alike up to rounding show no scatter. */
static bool
scatters(double squares, size_t count, double size)
{
    return sqrt(squares / (double)count) > 1e-9 * fmax(1.0, fabs(size));
}

static enum status
by_stated(struct comparison *c, double difference, double u, struct failure *failure)
{
    struct difference d;
    enum status status = difference_test(difference, u, INFINITY, CURE_COVERAGE, c->margin, &d, failure);

    if (status == STATUS_OK)
        take(c, &d);
    return status;
}

static enum status
compare_pairs(struct comparison *c, struct failure *failure)
{
    struct sample first = sample_of_pairs(c, false), second = sample_of_pairs(c, true);
    double difference = second.mean - first.mean, squares = 0.0, u_squares = 0.0;
    struct difference d;
    enum status status;

    c->n = c->pair_count;
    c->first_age_d = first.age_d;
    c->second_age_d = second.age_d;
    for (size_t i = 0; i < c->n; i++) {
        double departure = second.ph[i] - first.ph[i] - difference;

        squares += departure * departure;
        u_squares += c->pairs[i].u_difference * c->pairs[i].u_difference;
    }
    if (c->n >= 2 && scatters(squares, c->n, difference)) {
        c->design = COMPARISON_PAIRED;
        c->sd = sqrt(squares / (double)(c->n - 1));
        status = difference_paired(second.ph, first.ph, c->n, CURE_COVERAGE, c->margin, &d, failure);
        if (status == STATUS_OK)
            take(c, &d);
    } else {
        c->design = c->n >= 2 ? COMPARISON_STATED : COMPARISON_SINGLE;
        status = by_stated(c, difference, sqrt(u_squares) / (double)c->n, failure);
    }
    free(first.ph);
    free(second.ph);
    return status;
}

static enum status
compare_results(struct comparison *c, const struct cure_point *first_points,
                const struct cure_point *second_points, double window, struct failure *failure)
{
    struct sample first = sample_of_points(first_points, c->first_count);
    struct sample second = sample_of_points(second_points, c->second_count);
    size_t freedom = first.count + second.count - 2;
    struct difference d;
    enum status status;

    c->n = first.count < second.count ? first.count : second.count;
    c->first_age_d = first.age_d;
    c->second_age_d = second.age_d;
    c->ages_differ = !in_window(first.age_d, second.age_d, window);
    if (c->n >= 2 && scatters(first.squares + second.squares, freedom, first.mean)) {
        c->design = COMPARISON_WELCH;
        c->sd = sqrt((first.squares + second.squares) / (double)freedom);
        status = difference_unpaired(second.ph, second.count, first.ph, first.count, CURE_COVERAGE, c->margin,
                                     &d, failure);
        if (status == STATUS_OK)
            take(c, &d);
    } else {
        c->design = c->n >= 2 ? COMPARISON_STATED : COMPARISON_SINGLE;
        status = by_stated(c, second.mean - first.mean, hypot(first.u_mean, second.u_mean), failure);
    }
    free(first.ph);
    free(second.ph);
    return status;
}

/* Rule 6. */
static enum status
find_detectable(struct comparison *c, struct failure *failure)
{
    enum power_design design = c->design == COMPARISON_WELCH ? POWER_TWO_SAMPLES : POWER_PAIRS;

    if (c->design != COMPARISON_PAIRED && c->design != COMPARISON_WELCH)
        return STATUS_OK;
    return power_detectable_difference(design, c->n, c->sd, COMPARISON_SIGNIFICANCE, COMPARISON_POWER,
                                       &c->detectable_difference, failure);
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
                           .detectable_difference = NAN};
    struct sitting *first_sittings, *second_sittings;
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
    find_pairs(&c, first_sittings, first_made, second_sittings, second_made, window);
    free(first_sittings);
    free(second_sittings);
    if (first_count > 0 && second_count > 0) {
        /* One pair of single results is a pair; one sitting with several bars on each side is not. */
        if (c.pair_count >= 2 || (c.pair_count == 1 && (first_count < 2 || second_count < 2)))
            status = compare_pairs(&c, failure);
        else
            status = compare_results(&c, first, second, window, failure);
    }
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
        if (!isnan(comparisons[i].p_different)) {
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
    static const char *const words[] = {"none", "single", "paired", "welch", "stated"};

    return words[design];
}

const char *
comparison_conclusion_text(enum comparison_conclusion conclusion)
{
    static const char *const texts[] = {"cannot tell yet", "practically the same", "differs"};

    return texts[conclusion];
}
