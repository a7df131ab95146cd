/* report_case.h - what a page about one batch needs to know: its case, and its cure beside that of its reference. */
#ifndef REPORT_CASE_H
#define REPORT_CASE_H

#include "batch_case.h"
#include "comparison.h"

/* Owns all of it and stays where it is in memory: its parts lend from each other. */
struct report_case {
    struct batch_case batch; /* judged, valued and followed */
    struct series reference; /* of the reference batch, as its cure and the comparison; empty without one */
    struct cure reference_cure;
    struct comparison comparison;
    bool compared;
};

/* Load one batch and work it out.
 *
 * ret_case  zeroed; report_case_clear() it, also after a failure
 *
 * STATUS as batch_case_open(), batch_case_value(),
 * batch_case_follow() and comparison_make(). */
enum status report_case_load(struct store *store, const char *code, struct report_case *ret_case,
                             struct failure *failure);
void report_case_clear(struct report_case *report);

#endif
