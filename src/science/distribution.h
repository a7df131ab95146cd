/* distribution.h - Student's t and the normal distribution, with degrees of freedom that may be infinite.
 *
 * Rules
 * (1) Degrees of freedom are above zero; INFINITY means the normal distribution.
 * (2) NAN, or degrees of freedom that are not above zero, gives NAN. */
#ifndef DISTRIBUTION_H
#define DISTRIBUTION_H

/* Probability that a Student t variable is at most `t`. Source: GSL, checked against R's pt(). */
double student_t_below(double t, double dof);

/* Probability that a Student t variable is above `t`, exact in the far tail too. */
double student_t_above(double t, double dof);

/* Two-sided p value: probability of a departure from zero at least as large as that of `t`. */
double student_t_two_sided(double t, double dof);

/* The t that a Student t variable stays at or below with `probability` (0 < probability < 1). */
double student_t_quantile(double probability, double dof);

/* Half-width of the symmetric interval that holds `coverage` (0 < coverage < 1) of a Student t variable:
 * the coverage factor, 1.960 for 0.95 and infinite degrees of freedom (JCGM 100:2008, table G.2). */
double student_t_coverage_factor(double coverage, double dof);

#endif
