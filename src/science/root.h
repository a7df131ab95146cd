/* root.h - where a function is zero.
 *
 * Source, from memory: R. P. Brent (1973), Algorithms for Minimization without Derivatives, chapter 4. */
#ifndef ROOT_H
#define ROOT_H

/* The x from `low` to `high` at which `function` crosses zero, its signs at the two ends differing (or one of them being
 * zero), to within absolute + relative |x|; both 0: as exactly as a double can say it.
 *
 * NAN when the signs do not differ or the function is not a number. */
double root_between(double (*function)(double x, void *payload), void *payload, double low, double high,
                    double absolute, double relative);

#endif
