/* policy.h - what the maker asks for before a batch is released, and when something counts as due.
 *
 * The words of each name and value are kept in the notebook as settings; defaults hold until one is set. */
#ifndef POLICY_H
#define POLICY_H

#include <stdbool.h>
#include <stddef.h>

#include "status.h"

struct policy {
    bool checked_meter;        /* release: the verdict rests on a meter with a calibration on record */
    int ages;                  /* release: within at so many different ages */
    bool deviations_explained; /* release: what was not done as written has its reason */
    bool titration;            /* release: a titration says within */
    int cure_days; /* release: not younger than this at the test; a smaller value on record is read as 28 */
    int calibration_days; /* due: a meter calibrated longer ago is to be calibrated before the test */
    int window_days;      /* due: so long before its day a test counts as the planned one */
};

enum { POLICY_COUNT = 7, POLICY_CURE_DAYS_LEAST = 28 };

/* The defaults: yes, 2, yes, no, 28, 1, 2. */
void policy_init(struct policy *policy);

/* Set one by name. STATUS_MISSING for an unknown name, STATUS_FORMAT or STATUS_RANGE for a value. */
enum status policy_set(struct policy *policy, const char *name, const char *value, struct failure *failure);

/* Name and meaning of the index-th, 0 to POLICY_COUNT - 1; lent for ever. */
const char *policy_name(size_t index);
const char *policy_help(size_t index);

/* Its value as policy_set() takes it; given: free() it. */
char *policy_value_text(const struct policy *policy, size_t index);

#endif
