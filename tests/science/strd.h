/* strd.h - reads the NIST StRD data sets kept in tests/science/data. */
#ifndef STRD_H
#define STRD_H

#include <stdlib.h>

#include "check.h"

/* Rows "y,x" below one heading line; gives their number, at most `room`. */
static inline size_t
strd_read(const char *name, double *x, double *y, size_t room)
{
    char path[4096];
    size_t count = 0;
    FILE *file;

    snprintf(path, sizeof path, "%s/tests/science/data/%s", getenv("SOURCE_ROOT"), name);
    file = fopen(path, "r");
    assert_non_null(file);
    assert_int_equal(fscanf(file, "%*[^\n]"), 0);
    while (count < room && fscanf(file, "%lf,%lf", &y[count], &x[count]) == 2)
        count++;
    fclose(file);
    return count;
}

#endif
