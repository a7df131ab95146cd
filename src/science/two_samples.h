/* two_samples.h - do two sets of readings differ, and are they practically the same?
 *
 * Rules
 * (1) "Differs" and "practically the same" are two questions: a p value each. The second is answered by
 *     two one-sided tests against a margin (D. J. Schuirmann 1987, J. Pharmacokinet. Biopharm. 15, 657-680,
 *     doi:10.1007/BF01068419; from memory); its p value is the larger of the two. Neither small: the evidence
 *     is too thin. */
#ifndef TWO_SAMPLES_H
#define TWO_SAMPLES_H

#include <stddef.h>

#include "status.h"

struct difference {
    double difference, standard_error, dof;
    double t;                                    /* difference over standard error */
    double p_differs;                            /* two-sided p value for a true difference of zero */
    double low, high;                            /* confidence interval of the true difference */
    double p_above_minus_margin, p_below_margin; /* the two one-sided p values */
    double p_equivalent;                         /* the larger of them: small means "within the margin" */
};

/* Test a difference whose standard error (above 0) and degrees of freedom (above 0, INFINITY allowed) are
 * known.
 *
 * coverage  of the interval, above 0 and below 1
 * margin    above 0: true differences between -margin and margin count as practically the same
 *
 * STATUS_RANGE for anything else. */
enum status difference_test(double difference, double standard_error, double dof, double coverage,
                            double margin, struct difference *ret_difference, struct failure *failure);

/* Correct `count` p values (at least one) for being looked at together; `ret_adjusted` has the same order and
 * may be the same array.
 *
 * STATUS_RANGE for a p value outside 0 to 1.
 * Source, from memory: S. Holm (1979), Scand. J. Stat. 6, 65-70. */
enum status holm_adjust(const double *p_values, size_t count, double *ret_adjusted, struct failure *failure);

#endif
