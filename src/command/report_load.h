/* report_load.h - one batch as a page shows it: what is known of it, with its plots drawn. */
#ifndef REPORT_LOAD_H
#define REPORT_LOAD_H

#include "report.h"
#include "report_case.h"

/* Owns all of it and stays where it is in memory: its parts lend from each other. */
struct report_load {
    struct report_case known;
    struct failure plot_failure;
    char *drawings[4];          /* cure wide and narrow, comparison wide and narrow */
    struct report_batch report; /* lends from the above */
};

/* Load one batch.
 *
 * number    of the batch in the page, so that the ids of its drawings are its own
 * ret_load  zeroed; report_load_clear() it, also after a failure
 *
 * A plot that cannot be drawn is said in the report and refuses nothing. STATUS as report_case_load(). */
enum status report_load(struct store *store, const char *code, size_t number, struct report_load *ret_load,
                        struct failure *failure);

void report_load_clear(struct report_load *load);

#endif
