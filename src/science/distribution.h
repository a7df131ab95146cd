/* distribution.h - Student's t, central and not, the normal distribution and chi-squared, with degrees of
 * freedom that may be infinite (chi-squared apart).
 *
 * Rules
 * (1) Degrees of freedom are above zero; INFINITY, and more than 1e6, mean the normal distribution (GSL's
 *     quantiles fail from about 1e16 on).
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

/* The value that the sum of a rectangular variable from -half_width to half_width (0 or more) and an independent
 * normal one of that sd (0 or more) stays at or below with `probability`, 0.5 to below 1. 0 when both are 0.
 * Its distribution function is sd/(2A) [G((x + A)/sd) - G((x - A)/sd)], A the half-width and G(z) = z P(z) + p(z)
 * with P and p the standard normal distribution and its density (the convolution, by parts); solved by Brent's
 * method (GSL). */
double rectangle_normal_quantile(double half_width, double sd, double probability);

/* Half-width of the symmetric interval that holds `coverage` (0 < coverage < 1) of a Student t variable:
 * the coverage factor, 1.960 for 0.95 and infinite degrees of freedom (JCGM 100:2008, table G.2). */
double student_t_coverage_factor(double coverage, double dof);

/* Probability that (Z + noncentrality) / sqrt(chi2 / dof) is above `t`: a noncentral t variable, as t tests
 * have when there is a true difference. Absolute error below 1e-10 for a noncentrality from -1000 to 1000
 * and dof to 1e7; beyond that noncentrality, the normal approximation of Abramowitz and Stegun (1964),
 * equation 26.7.10. Source, from memory: R. V. Lenth (1989), algorithm AS 243, Appl. Stat. 38, 185-189,
 * doi:10.2307/2347693; its series is summed about the largest Poisson weight instead of from the first term,
 * which underflows beyond 37. */
double noncentral_t_above(double t, double dof, double noncentrality);

/* Probability that a chi-squared variable is above `x` (0 or more). Source: GSL, checked against R's
 * pchisq(). */
double chi_squared_above(double x, double dof);

/* The x that a chi-squared variable stays at or below with `probability` (0 < probability < 1). */
double chi_squared_quantile(double probability, double dof);

#endif
