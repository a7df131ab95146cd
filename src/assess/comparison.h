/* comparison.h - do two batches read differently, practically the same, or is the evidence too thin?
 *
 * Formulas and what they reach: docs/method.md, "Two recipes". One batch of each is two batches, not two recipes.
 *
 * Rules
 * (1) The difference is the second batch less the first.
 * (2) Results of one age are averaged first. Two ages are a pair when each is the other batch's nearest
 *     and they are no further apart than the window: a fraction of their mean age, and one day at least.
 * (3) Two pairs or more: Student's t of the differences. Otherwise two results or more on each side: Welch's t of the
 *     results. The half-width is that one together with the shared sources that do not cancel (sources.h, rule 5); a p
 *     value is the level at which the half-width comes to the difference. Scatter is never taken as less than
 *     rounding makes (resolution / sqrt 6 of a difference).
 * (4) differs: p_different <= 5 %. practically the same: p_equivalent <= 5 % (two one-sided tests), also
 *     when a difference is sure but sure to be smaller than the margin. Else: cannot tell yet; so too for a single
 *     pair, which tells nothing about bars, and for results that are no pairs when their mean ages lie outside the
 *     window, for pH falls with age.
 * (5) Which design it was follows from the meters and calibrations of the pairs; it says what cancels.
 * (6) With more than two batches, each against the first: both p values after Holm's correction, which counts only
 *     those that can decide. Intervals are not corrected.
 * (7) The detectable difference is what the same number of pairs or results would find with 80 % power, and what is
 *     shared on top of it.
 * (8) Beside Student's t stands a test by ranks (rank.h): it asks nothing of how results scatter, and knows nothing of
 *     what they share. */
#ifndef COMPARISON_H
#define COMPARISON_H

#include <stdbool.h>
#include <stddef.h>

#include "cure.h"
#include "status.h"

#define COMPARISON_WINDOW_USUAL 0.10 /* of the age */
#define COMPARISON_WINDOW_LEAST_D 1.0
#define COMPARISON_MARGIN_USUAL_PH 0.2
#define COMPARISON_SIGNIFICANCE 0.05
#define COMPARISON_POWER 0.80

enum comparison_design {
    COMPARISON_NOTHING, /* one batch has no result */
    COMPARISON_SINGLE,  /* one pair or result: stated uncertainties, no decision */
    COMPARISON_PAIRED,
    COMPARISON_WELCH
};

enum comparison_sharing { COMPARISON_SAME_SITTINGS, COMPARISON_APART, COMPARISON_TWO_METERS };

enum comparison_conclusion { COMPARISON_CANNOT_TELL, COMPARISON_SAME, COMPARISON_DIFFERS };

/* Results of about the same age. */
struct comparison_pair {
    double first_age_d, second_age_d;
    double first_ph, second_ph;
    double u_difference; /* from the stated uncertainties, less what cancels */
};

/* Owns its pairs. Numbers that cannot be said are NAN. */
struct comparison {
    enum comparison_design design;
    struct comparison_pair *pairs; /* in order of age; also when the design is another */
    size_t pair_count;
    size_t n;                         /* pairs, or for Welch the smaller number of results */
    size_t first_count, second_count; /* results of each batch */
    double first_age_d, second_age_d; /* mean ages of what was compared */
    bool ages_differ;                 /* rule 3, last sentence */
    enum comparison_sharing sharing;  /* of the pairs (rule 5) */
    double mean_difference, u, dof, low, high, t;
    double shared_half_ph; /* the part of the interval's half-width that more pairs do not make smaller */
    double p_different, margin, p_equivalent;
    enum comparison_conclusion conclusion;
    double sd;     /* of a difference, or of a result within its batch; NAN for a single pair */
    double p_rank; /* rule 8; NAN likewise */
    double detectable_difference;
};

/* Compare two batches.
 *
 * first, second  their results in order of age (cure.h), any number
 * window         above 0 to 1 (rule 2)
 * margin         pH, above 0
 *
 * ret_comparison  owned by the caller: comparison_clear()
 *
 * STATUS_RANGE for anything else or results as cure_follow() refuses them. */
enum status comparison_make(const struct cure_point *first, size_t first_count,
                            const struct cure_point *second, size_t second_count, double window,
                            double margin, struct comparison *ret_comparison, struct failure *failure);
void comparison_clear(struct comparison *comparison);

/* Rule 6 over comparisons with the same first batch: their p values and conclusions. STATUS_OK always, or as
 * holm_adjust(). */
enum status comparison_correct(struct comparison *comparisons, size_t count, struct failure *failure);

/* Is there enough to decide by (rule 4)? */
bool comparison_can_decide(const struct comparison *comparison);

/* "same-sittings", "apart", "two-meters"; and in words: "same meter and calibration on the same days; ...". Lent for
 * ever. */
const char *comparison_sharing_word(enum comparison_sharing sharing);
const char *comparison_sharing_text(enum comparison_sharing sharing);

/* "paired", "welch", "single", "none". Lent for ever. */
const char *comparison_design_word(enum comparison_design design);

/* "differs", "practically the same", "cannot tell yet"; and as an answer: "these two batches differ". Lent for ever. */
const char *comparison_conclusion_text(enum comparison_conclusion conclusion);
const char *comparison_answer_text(enum comparison_conclusion conclusion);

#endif
