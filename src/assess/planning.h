/* planning.h - what to test, and when, so that a question gets its answer.
 *
 * Rules
 * (1) Scatter is the maker's own where there is any: of the differences of pairs, else of results about
 *     their cure's curve (pooled), else the stated uncertainties, else 0.05 pH is assumed (ISO 10523:1994
 *     calls it attainable).
 * (2) A difference of a pair scatters by the square root of 2 times what a result does.
 * (3) Ages: days 2, 7, 14, 28, 42, 56, 84, 112, 168, 252 and 364 (common practice, no source), without
 *     those tested already (within 10 % of the age, one day at least) and those past; today, when one was
 *     missed; and the day by which the target is likely reached.
 * (4) What a further result would do to the 95 % interval of the end value is tried out: the curve is followed as
 *     if that result lay on it (cure_with_one_more()).
 * (5) With few degrees of freedom a scatter may be much larger than it looks: below 20 the upper end of its
 *     one-sided 80 % interval is planned with (R. H. Browne 1995, Stat. Med. 14, 1933-1940; from memory). */
#ifndef PLANNING_H
#define PLANNING_H

#include <stddef.h>

#include "comparison.h"
#include "cure.h"
#include "status.h"

#define PLANNING_SCATTER_ASSUMED_PH 0.05

enum planning_source { PLANNING_PAIRS, PLANNING_CURVES, PLANNING_STATED, PLANNING_ASSUMED };

#define PLANNING_UPPER 0.80 /* rule 5 */
#define PLANNING_FEW_DOF 20.0

struct planning_scatter {
    double sd_ph;         /* of one result */
    double dof, upper_ph; /* rule 5; dof INFINITY for what is stated or assumed */
    enum planning_source source;
};

/* The cures and, in the same order, their results; all lent. `pairs` may be NULL. */
struct planning_scatter planning_scatter_of(const struct cure *const *cures,
                                            const struct cure_point *const *points, size_t count,
                                            const struct comparison *pairs);

/* "the differences of 6 pairs" is said by the caller; this gives "your own pairs", "your own curves", "the
 * stated uncertainties", "an assumption". Lent for ever. */
const char *planning_source_text(enum planning_source source);

struct planning_need {
    size_t pairs; /* ages at which both batches are tested */
    size_t bars;  /* of each batch, all tested at one age */
};

/* "it rests on 5 degrees of freedom and may be up to 0.05; planned with that", "" when it is sure enough (rule 5).
 * Given: free() it. */
char *planning_certainty_text(const struct planning_scatter *scatter);

/* How many show a true difference with the given power, at a significance of 5 %.
 *
 * difference  pH, above 0; power  above 0.05 and below 1
 * STATUS_RANGE for anything else, or when more than a million would be needed. */
enum status planning_need(struct planning_scatter scatter, double difference, double power,
                          struct planning_need *ret_need, struct failure *failure);

enum planning_why { PLANNING_USUAL, PLANNING_MISSED, PLANNING_CONFIRM };

enum { PLANNING_MOST_AGES = 14 };

struct planning_age {
    double age_d; /* a whole number of days */
    enum planning_why why;
    double end_half_now,
        end_half_then; /* rule 4, each age by itself; NAN without a curve, while the end is open, or too far beyond */
};

/* The ages worth testing from today on, in order, at most `most` (up to PLANNING_MOST_AGES) of them.
 *
 * points  of the cure, in order of age; ages has room for `most`. Gives how many. */
size_t planning_ages(const struct cure *cure, const struct cure_point *points, int today_age_d, size_t most,
                     struct planning_age *ages);

/* The first usual age after the last test at which one more result, if it lies on the curve, would close an open end
 * and tell the date of the target, or that it is not reached; NAN when none would. */
double planning_settling_age(const struct cure *cure, const struct cure_point *points);

/* "usual", "missed", "confirm"; and a sentence for the maker. Lent for ever. */
const char *planning_why_word(enum planning_why why);
const char *planning_why_text(enum planning_why why);

#endif
