/* report_load.h - what a report needs of one batch, loaded from the notebook and worked out. */
#ifndef REPORT_LOAD_H
#define REPORT_LOAD_H

#include "command.h"
#include "follow_batches.h"
#include "report.h"

/* Owns all of it and stays where it is in memory: its parts lend from each other. */
struct report_load {
    struct followed *followed;
    struct conclusion conclusion;
    struct verdict_list all;
    struct series reference; /* of the reference batch */
    struct cure reference_cure;
    struct comparison comparison;
    struct lye_balance balance;
    struct failure balance_failure, plot_failure;
    char *cure_words;
    char *drawings[4];          /* cure wide and narrow, comparison wide and narrow */
    struct report_batch report; /* lends from the above */
};

/* Load one batch.
 *
 * number    of the batch in the page, so that the ids of its drawings are its own
 * ret_load  zeroed; report_load_clear() it, also after a failure
 *
 * A recipe that cannot be balanced and a plot that cannot be drawn are said in the report and refuse nothing.
 * STATUS as evidence_load(), conclusion_of(), series_of(), cure_follow() and comparison_make(). */
enum status report_load(const struct context *context, const char *code, size_t number,
                        struct report_load *ret_load, struct failure *failure);

/* No more than the conclusion, for an index. */
enum status report_load_conclusion(const struct context *context, const char *code,
                                   struct report_load *ret_load, struct failure *failure);

void report_load_clear(struct report_load *load);

#endif
