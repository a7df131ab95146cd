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
 * (4) What a further result would do to the 95 % interval of the end value follows from the curve's
 *     covariance (one more row of its design: J. Sherman and W. J. Morrison 1950, Ann. Math. Stat. 21,
 *     124-127). */
#ifndef PLANNING_H
#define PLANNING_H

#include <stddef.h>

#include "comparison.h"
#include "cure.h"
#include "status.h"

#define PLANNING_SCATTER_ASSUMED_PH 0.05

enum planning_source { PLANNING_PAIRS, PLANNING_CURVES, PLANNING_STATED, PLANNING_ASSUMED };

struct planning_scatter {
    double sd_ph; /* of one result */
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
        end_half_then; /* rule 4, each age by itself; NAN without an approach or too far beyond */
};

/* The ages worth testing from today on, in order, at most `most` (up to PLANNING_MOST_AGES) of them.
 *
 * points  of the cure, in order of age; ages has room for `most`. Gives how many. */
size_t planning_ages(const struct cure *cure, const struct cure_point *points, int today_age_d, size_t most,
                     struct planning_age *ages);

/* "usual", "missed", "confirm"; and a sentence for the maker. Lent for ever. */
const char *planning_why_word(enum planning_why why);
const char *planning_why_text(enum planning_why why);

#endif
