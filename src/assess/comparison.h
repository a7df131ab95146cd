/* comparison.h - do two batches read differently, practically the same, or is the evidence too thin?
 *
 * Rules
 * (1) The difference is the second batch less the first.
 * (2) Results of one age are averaged first. Two ages are a pair when each is the other batch's nearest
 *     and they are no further apart than the window: a fraction of their mean age, and one day at least.
 * (3) Two pairs or more: Student's t of the differences. Otherwise two results or more on each side:
 *     Welch's t of the results. Otherwise, or when there is no scatter at all, the standard error is that of
 *     the stated uncertainties; a single pair tells nothing about bars and never decides. Neither do results
 *     that are no pairs when their mean ages lie outside the window: pH falls with age.
 * (4) differs: p_different <= 5 %. practically the same: p_equivalent <= 5 % (two one-sided tests), also
 *     when a difference is sure but sure to be smaller than the margin. Else: cannot tell yet.
 * (5) With more than two batches, each against the first: both p values after Holm's correction. Intervals
 *     are not corrected.
 * (6) The detectable difference is what the same number of pairs or results would find with 80 % power. */
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
    COMPARISON_WELCH,
    COMPARISON_STATED /* as the former two, but without any scatter */
};

enum comparison_conclusion { COMPARISON_CANNOT_TELL, COMPARISON_SAME, COMPARISON_DIFFERS };

/* Results of about the same age. */
struct comparison_pair {
    double first_age_d, second_age_d;
    double first_ph, second_ph;
    double u_difference; /* from the stated uncertainties */
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
    double mean_difference, u, dof, low, high, t;
    double p_different, margin, p_equivalent;
    enum comparison_conclusion conclusion;
    double sd; /* of a difference, or of a result within its batch; NAN without scatter */
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

/* Rule 5 over comparisons with the same first batch: their p values and conclusions. STATUS_OK always, or as
 * holm_adjust(). */
enum status comparison_correct(struct comparison *comparisons, size_t count, struct failure *failure);

/* "paired", "welch", "stated", "single", "none". Lent for ever. */
const char *comparison_design_word(enum comparison_design design);

/* "differs", "practically the same", "cannot tell yet". Lent for ever. */
const char *comparison_conclusion_text(enum comparison_conclusion conclusion);

#endif
