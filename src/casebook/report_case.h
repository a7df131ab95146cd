/* report_case.h - what a page about one batch needs to know: its case, its cure beside that of its reference, its
 * recipe's balance. */
#ifndef REPORT_CASE_H
#define REPORT_CASE_H

#include "batch_case.h"
#include "comparison.h"
#include "lye_balance.h"

/* Owns all of it and stays where it is in memory: its parts lend from each other. */
struct report_case {
    struct batch_case batch; /* judged, valued and followed */
    struct series reference; /* of the reference batch, as its cure and the comparison; empty without one */
    struct cure reference_cure;
    struct comparison comparison;
    struct lye_balance balance; /* solved, when `balanced` */
    bool compared, balanced;
    struct failure balance_failure; /* why a recipe has no balance; else empty */
};

/* Load one batch and work it out.
 *
 * ret_case  zeroed; report_case_clear() it, also after a failure
 *
 * A recipe that cannot be balanced refuses nothing. STATUS as batch_case_open(), batch_case_value(),
 * batch_case_follow() and comparison_make(). */
enum status report_case_load(struct store *store, const char *code, struct report_case *ret_case,
                             struct failure *failure);
void report_case_clear(struct report_case *report);

#endif
