/* root.c - where a function is zero. */
#include "root.h"

#include <gsl/gsl_errno.h>
#include <gsl/gsl_roots.h>
#include <math.h>

enum { STEP_LIMIT = 200 };

double
root_between(double (*function)(double x, void *payload), void *payload, double low, double high,
             double absolute, double relative)
{
    gsl_function crossing = {.function = function, .params = payload};
    gsl_root_fsolver *solver = gsl_root_fsolver_alloc(gsl_root_fsolver_brent);
    double root = NAN;

    if (gsl_root_fsolver_set(solver, &crossing, low, high) == GSL_SUCCESS)
        for (int i = 0; i < STEP_LIMIT && gsl_root_fsolver_iterate(solver) == GSL_SUCCESS; i++) {
            root = gsl_root_fsolver_root(solver);
            low = gsl_root_fsolver_x_lower(solver);
            high = gsl_root_fsolver_x_upper(solver);
            if (low == high || gsl_root_test_interval(low, high, absolute, relative) == GSL_SUCCESS)
                break;
        }
    gsl_root_fsolver_free(solver);
    return root;
}
