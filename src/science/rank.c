/* rank.c - Mann-Kendall and Theil-Sen, Wilcoxon and Mann-Whitney. */
#include "rank.h"

#include <math.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "distribution.h"
#include "memory.h"

enum { ALL_SLOPES_LIMIT = 1000, HALVINGS = 200 };

struct point {
    double x, y;
};

/* Points sorted by x, then y, and room to work in. */
struct series {
    const struct point *points;
    size_t count;
    double pairs;           /* pairs that differ in x */
    double *slopes;         /* all of them, sorted; NULL for a long series */
    double *values, *spare; /* `count` each */
};

static int
compare_doubles(const void *left, const void *right)
{
    double a = *(const double *)left, b = *(const double *)right;

    return (a > b) - (a < b);
}

static int
compare_points(const void *left, const void *right)
{
    const struct point *a = left, *b = right;

    if (a->x != b->x)
        return a->x > b->x ? 1 : -1;
    return compare_doubles(&a->y, &b->y);
}

/* Sort `values` upwards by merging; gives the pairs that stood in falling order. */
static double
sort_and_count(double *values, double *spare, size_t count)
{
    size_t half = count / 2, i = 0, j = half, k = 0;
    double falling;

    if (count < 2)
        return 0.0;
    falling = sort_and_count(values, spare, half) + sort_and_count(values + half, spare, count - half);
    while (i < half && j < count) {
        if (values[j] < values[i]) {
            falling += (double)(half - i);
            spare[k++] = values[j++];
        } else
            spare[k++] = values[i++];
    }
    while (i < half)
        spare[k++] = values[i++];
    memcpy(values, spare, k * sizeof *values); /* what is left of the second half is in place */
    return falling;
}

/* Pairs whose slope is below `slope`. Within one x the points rise in y, so those pairs never count. */
static double
slopes_below(const struct series *series, double slope)
{
    for (size_t i = 0; i < series->count; i++)
        series->values[i] = series->points[i].y - slope * series->points[i].x;
    return sort_and_count(series->values, series->spare, series->count);
}

/* Sums over groups of equal values that the variance of S needs. */
struct ties {
    double pairs;   /* t (t - 1) / 2 */
    double triples; /* t (t - 1) (t - 2) */
    double heavy;   /* t (t - 1) (2 t + 5) */
};

static void
ties_add(struct ties *ties, size_t equal)
{
    double t = (double)equal;

    ties->pairs += 0.5 * t * (t - 1.0);
    ties->triples += t * (t - 1.0) * (t - 2.0);
    ties->heavy += t * (t - 1.0) * (2.0 * t + 5.0);
}

static struct ties
ties_of(const double *sorted, size_t count)
{
    struct ties ties = {0};

    for (size_t i = 0, end; i < count; i = end) {
        for (end = i + 1; end < count && sorted[end] == sorted[i];)
            end++;
        ties_add(&ties, end - i);
    }
    return ties;
}

/* Pairs equal in both x and y. */
static double
equal_pairs(const struct point *points, size_t count)
{
    struct ties ties = {0};

    for (size_t i = 0, end; i < count; i = end) {
        for (end = i + 1; end < count && compare_points(&points[end], &points[i]) == 0;)
            end++;
        ties_add(&ties, end - i);
    }
    return ties.pairs;
}

/* Rule 1. Leaves series->values with y sorted. */
static void
mann_kendall(struct series *series, struct rank_trend *trend)
{
    double n = (double)series->count, all = 0.5 * n * (n - 1.0), falling, variance, distance;
    struct ties in_x, in_y;

    for (size_t i = 0; i < series->count; i++)
        series->values[i] = series->points[i].x;
    in_x = ties_of(series->values, series->count);
    for (size_t i = 0; i < series->count; i++)
        series->values[i] = series->points[i].y;
    falling = sort_and_count(series->values, series->spare, series->count);
    in_y = ties_of(series->values, series->count);

    series->pairs = all - in_x.pairs;
    trend->s = all - in_x.pairs - in_y.pairs + equal_pairs(series->points, series->count) - 2.0 * falling;
    variance = (n * (n - 1.0) * (2.0 * n + 5.0) - in_x.heavy - in_y.heavy) / 18.0 +
               4.0 * in_x.pairs * in_y.pairs / (2.0 * n * (n - 1.0)) +
               in_x.triples * in_y.triples / (9.0 * n * (n - 1.0) * (n - 2.0));
    trend->tau_b = 0.0;
    trend->p_value = 1.0;
    trend->s_sd = 0.0;
    if (!(all > in_y.pairs)) /* all y equal: the variance is zero but for rounding */
        return;
    trend->s_sd = sqrt(variance);
    trend->tau_b = trend->s / sqrt((all - in_x.pairs) * (all - in_y.pairs));
    distance = fmax(fabs(trend->s) - 1.0, 0.0) / trend->s_sd;
    trend->p_value = student_t_two_sided(distance, INFINITY);
}

static void
compute_slopes(struct series *series)
{
    size_t filled = 0;

    series->slopes = memory_new((size_t)series->pairs, sizeof *series->slopes);
    for (size_t i = 0; i < series->count; i++)
        for (size_t j = i + 1; j < series->count; j++)
            if (series->points[j].x > series->points[i].x)
                series->slopes[filled++] =
                    (series->points[j].y - series->points[i].y) / (series->points[j].x - series->points[i].x);
    qsort(series->slopes, filled, sizeof *series->slopes, compare_doubles);
}

/* The slope of this rank, 1 to series->pairs (rule 3). `bound` is no smaller than any slope's size. */
static double
slope_of_rank(const struct series *series, double rank, double bound)
{
    double low = -bound, high = bound;

    if (series->slopes != NULL)
        return series->slopes[(size_t)rank - 1];
    for (int i = 0; i < HALVINGS && high - low > 1e-12 * fmax(fabs(low), fabs(high)); i++) {
        double middle = 0.5 * (low + high);

        if (slopes_below(series, middle) >= rank)
            high = middle;
        else
            low = middle;
        if (low <= 0.0 && high >= 0.0 && high - low <= 1e-15 * bound / (double)series->count)
            return 0.0; /* rounding alone would keep it from zero */
    }
    return 0.5 * (low + high);
}

/* No slope is steeper than the whole range of y over the smallest step in x. */
static double
slope_bound(const struct point *points, size_t count)
{
    double step = INFINITY, y_low = points[0].y, y_high = points[0].y;

    for (size_t i = 1; i < count; i++) {
        if (points[i].x > points[i - 1].x)
            step = fmin(step, points[i].x - points[i - 1].x);
        y_low = fmin(y_low, points[i].y);
        y_high = fmax(y_high, points[i].y);
    }
    return (y_high - y_low) / step;
}

static double
middle_of(const double *sorted, size_t count)
{
    return 0.5 * (sorted[(count - 1) / 2] + sorted[count / 2]);
}

/* Rule 2 and the interval. */
static void
theil_sen(struct series *series, double coverage, struct rank_trend *trend)
{
    double bound = slope_bound(series->points, series->count);
    double reach = student_t_coverage_factor(coverage, INFINITY) * trend->s_sd;
    double rank = round(0.5 * (series->pairs - reach));

    if (series->count <= ALL_SLOPES_LIMIT)
        compute_slopes(series);
    trend->slope = 0.5 * (slope_of_rank(series, floor(0.5 * (series->pairs + 1.0)), bound) +
                          slope_of_rank(series, floor(0.5 * series->pairs) + 1.0, bound));
    trend->slope_low = -(double)INFINITY;
    trend->slope_high = INFINITY;
    if (rank >= 1.0) {
        trend->slope_low = slope_of_rank(series, rank, bound);
        trend->slope_high = slope_of_rank(series, series->pairs + 1.0 - rank, bound);
    }
    slopes_below(series, trend->slope);
    trend->intercept = middle_of(series->values, series->count);
}

static enum status
check_points(const double *x, const double *y, size_t count, double coverage, struct failure *failure)
{
    size_t different = 0;

    if (count < 3)
        return failure_set(failure, STATUS_RANGE, "a trend needs at least 3 points, not %zu", count);
    if (!(coverage > 0.0 && coverage < 1.0))
        return failure_set(failure, STATUS_RANGE, "coverage is %g, allowed is above 0 and below 1", coverage);
    for (size_t i = 0; i < count; i++) {
        if (!isfinite(x[i]) || !isfinite(y[i]))
            return failure_set(failure, STATUS_RANGE,
                               "point %zu of the trend (%g, %g) is not a pair of numbers", i + 1, x[i], y[i]);
        different += x[i] != x[0];
    }
    if (different == 0)
        return failure_set(failure, STATUS_RANGE, "a trend cannot be found: every point has x = %g", x[0]);
    return STATUS_OK;
}

enum status
rank_trend(const double *x, const double *y, size_t count, double coverage, struct rank_trend *ret_trend,
           struct failure *failure)
{
    struct rank_trend trend = {.count = count};
    struct series series = {.count = count};
    enum status status = check_points(x, y, count, coverage, failure);
    struct point *points;

    if (status != STATUS_OK)
        return status;
    points = memory_new(count, sizeof *points);
    for (size_t i = 0; i < count; i++)
        points[i] = (struct point){x[i], y[i]};
    qsort(points, count, sizeof *points, compare_points);
    series.points = points;
    series.values = memory_new(count, sizeof *series.values);
    series.spare = memory_new(count, sizeof *series.spare);

    if (isfinite(slope_bound(points, count))) {
        mann_kendall(&series, &trend);
        theil_sen(&series, coverage, &trend);
    } else
        trend.slope = NAN;

    free(series.slopes);
    free(series.spare);
    free(series.values);
    free(points);
    if (!isfinite(trend.slope) || !isfinite(trend.intercept))
        return failure_set(failure, STATUS_RANGE,
                           "a trend cannot be found: the numbers are too large or too close together");
    *ret_trend = trend;
    return STATUS_OK;
}

/* -- differences -- */

/* One value and whether it counts towards the sum of ranks. */
struct ranked {
    double size;
    bool counts;
};

static int
compare_ranked(const void *left, const void *right)
{
    const struct ranked *a = left, *b = right;

    return (a->size > b->size) - (a->size < b->size);
}

/* Twice the rank of each value (whole even where ranks are shared), which it sorts; gives twice the sum of those that
 * count and, of ties, the sum of t^3 - t. */
static size_t
rank_all(struct ranked *values, size_t count, size_t *ret_doubled, double *ret_ties)
{
    size_t sum = 0;

    *ret_ties = 0.0;
    qsort(values, count, sizeof *values, compare_ranked);
    for (size_t i = 0, end; i < count; i = end) {
        double ties;

        for (end = i + 1; end < count && values[end].size == values[i].size; end++)
            continue;
        ties = (double)(end - i);
        *ret_ties += ties * ties * ties - ties;
        for (size_t k = i; k < end; k++) {
            ret_doubled[k] = i + end + 1;
            sum += values[k].counts ? ret_doubled[k] : 0;
        }
    }
    return sum;
}

/* Both tails of a table of probabilities at a place, the place in both. */
static double
two_sided(const double *probability, size_t most, size_t place)
{
    double below = 0.0, above = 0.0;

    for (size_t i = 0; i <= most; i++) {
        below += i <= place ? probability[i] : 0.0;
        above += i >= place ? probability[i] : 0.0;
    }
    return fmin(1.0, 2.0 * fmin(below, above));
}

static double
two_sided_normal(double away, double variance)
{
    return variance > 0.0
               ? fmin(1.0, student_t_two_sided(fmax(0.0, fabs(away) - 0.5) / sqrt(variance), INFINITY))
               : 1.0;
}

static enum status
check_values(const double *values, size_t count, struct failure *failure)
{
    if (count == 0)
        return failure_set(failure, STATUS_RANGE, "a test by ranks needs at least one value");
    for (size_t i = 0; i < count; i++)
        if (!isfinite(values[i]))
            return failure_set(failure, STATUS_RANGE, "value %zu of a test by ranks is not a number", i + 1);
    return STATUS_OK;
}

/* Each rank counts or not, with even odds. */
static double
signed_exactly(const size_t *doubled, size_t count, size_t sum)
{
    size_t most = count * (count + 1);
    double *probability = memory_new(most + 1, sizeof *probability), p;

    probability[0] = 1.0;
    for (size_t k = 0; k < count; k++)
        for (size_t i = most + 1; i-- > 0;)
            probability[i] = 0.5 * (probability[i] + (i >= doubled[k] ? probability[i - doubled[k]] : 0.0));
    p = two_sided(probability, most, sum);
    free(probability);
    return p;
}

enum status
rank_signed(const double *differences, size_t count, double *ret_p_value, struct failure *failure)
{
    enum status status = check_values(differences, count, failure);
    struct ranked *values;
    size_t *doubled, kept = 0, sum;
    double ties, n;

    if (status != STATUS_OK)
        return status;
    values = memory_new(count, sizeof *values);
    doubled = memory_new(count, sizeof *doubled);
    for (size_t i = 0; i < count; i++)
        if (differences[i] != 0.0)
            values[kept++] = (struct ranked){fabs(differences[i]), differences[i] > 0.0};
    sum = rank_all(values, kept, doubled, &ties);
    n = (double)kept;
    *ret_p_value = kept <= RANK_EXACT_MOST
                       ? signed_exactly(doubled, kept, sum)
                       : two_sided_normal(0.5 * (double)sum - 0.25 * n * (n + 1.0),
                                          n * (n + 1.0) * (2.0 * n + 1.0) / 24.0 - ties / 48.0);
    free(doubled);
    free(values);
    return STATUS_OK;
}

/* Every choice of `chosen` of the ranks is as likely as any other: counts by how many were chosen, and their sum. */
static double
sum_exactly(const size_t *doubled, size_t count, size_t chosen, size_t sum)
{
    size_t most = count * (count + 1), width = most + 1;
    double *ways = memory_new((chosen + 1) * width, sizeof *ways), all = 0.0, p;

    ways[0] = 1.0;
    for (size_t k = 0; k < count; k++)
        for (size_t c = chosen; c > 0; c--)
            for (size_t i = doubled[k]; i <= most; i++)
                ways[c * width + i] += ways[(c - 1) * width + i - doubled[k]];
    for (size_t i = 0; i <= most; i++)
        all += ways[chosen * width + i];
    for (size_t i = 0; i <= most; i++)
        ways[chosen * width + i] /= all;
    p = two_sided(&ways[chosen * width], most, sum);
    free(ways);
    return p;
}

enum status
rank_sum(const double *first, size_t first_count, const double *second, size_t second_count,
         double *ret_p_value, struct failure *failure)
{
    enum status status = check_values(first, first_count, failure);
    size_t count = first_count + second_count, sum, *doubled;
    struct ranked *values;
    double ties, n = (double)count, a = (double)first_count, b = (double)second_count;

    if (status == STATUS_OK)
        status = check_values(second, second_count, failure);
    if (status != STATUS_OK)
        return status;
    values = memory_new(count, sizeof *values);
    doubled = memory_new(count, sizeof *doubled);
    for (size_t i = 0; i < count; i++)
        values[i] = i < first_count ? (struct ranked){first[i], true}
                                    : (struct ranked){second[i - first_count], false};
    sum = rank_all(values, count, doubled, &ties);
    *ret_p_value = count <= RANK_EXACT_MOST
                       ? sum_exactly(doubled, count, first_count, sum)
                       : two_sided_normal(0.5 * (double)sum - 0.5 * a * (n + 1.0),
                                          a * b / 12.0 * (n + 1.0 - ties / (n * (n - 1.0))));
    free(doubled);
    free(values);
    return STATUS_OK;
}
