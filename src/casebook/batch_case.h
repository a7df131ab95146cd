/* batch_case.h - a batch with all its evidence: loaded once, judged once.
 *
 * Rules
 * (1) Whatever is said of a batch rests on its case: verdict, hold, release, due list, report and plot read one
 *     conclusion, and nobody judges again.
 * (2) The reference batch is judged once, without any reference of its own.
 * (3) What a case is judged on is read from one state of the notebook. */
#ifndef BATCH_CASE_H
#define BATCH_CASE_H

#include "conclusion.h"
#include "cup_history.h"
#include "cure.h"
#include "dossier.h"
#include "lye_balance.h"
#include "paper_bias.h"
#include "policy.h"
#include "series.h"
#include "store.h"

/* Owns all of it. Its parts lend from each other: once judged it stays where it is in memory. Zeroed is empty. */
struct batch_case {
    struct dossier dossier;
    struct dossier reference;  /* batch.id 0: none */
    struct paper_bias *biases; /* of the papers that the two were read with */
    size_t bias_count;
    struct scatter_group between,
        reference_between;      /* cups of one bar, over all other batches than each of the two */
    struct policy policy;       /* the maker's */
    struct lye_balance balance; /* from here on batch_case_judge()'s; solved when `balanced` */
    bool balanced;              /* else it has no recipe, or balance_failure says why not */
    struct failure balance_failure;
    struct verdict_list reference_bars;
    struct conclusion conclusion;
    struct verdict_point *points; /* batch_case_value()'s */
    struct cure_history history;  /* of the maker's other cures */
    struct series series;         /* batch_case_follow()'s, as the cure */
    struct cure cure;
};

/* Loads cases one after the other; reads the policy and learns each paper, and how cups differ, once. Zeroed but for its store it is ready; papers are
 * case_loader_clear()'s. */
struct case_loader {
    struct store *store; /* lent */
    bool many;           /* gear and calibrations are lent by the store: see dossier_store_load_of_many() */
    struct paper_bias *biases; /* owned */
    size_t bias_count, bias_capacity;
    struct policy policy;
    bool policy_known;
    struct cup_history cups; /* learned when first asked for */
    bool cups_known;
    bool follows; /* cures are to be followed: what the maker's other cures say is learned once too */
    struct known_cure *cures; /* owned: the latest that say anything */
    size_t cure_count;
    bool cures_known;
};

/* What a cure of the notebook says of the scatter between tests. */
struct known_cure {
    int64_t batch_id;
    struct cure_history history;
};
void case_loader_clear(struct case_loader *loader);

/* Load the evidence of a batch.
 *
 * ret_case  zeroed; batch_case_clear() it, also after a failure
 *
 * STATUS_MISSING when there is no such batch; otherwise as dossier_store_load(), makers_policy() and
 * paper_bias_learn(). */
enum status case_loader_load(struct case_loader *loader, const char *code, struct batch_case *ret_case,
                             struct failure *failure);

/* The records of the batch alone, for what is never judged. Status likewise. */
enum status case_loader_load_dossier(struct case_loader *loader, const char *code,
                                     struct batch_case *ret_case, struct failure *failure);

/* Judge a loaded case. A recipe that cannot be balanced refuses nothing. STATUS as conclusion_of(). */
enum status batch_case_judge(struct batch_case *batch, struct failure *failure);

/* Load and judge one. */
enum status batch_case_open(struct store *store, const char *code, struct batch_case *ret_case,
                            struct failure *failure);

/* Value each reading of a loaded case by itself. STATUS as verdict_points(). */
enum status batch_case_value(struct batch_case *batch, struct failure *failure);

/* Follow the cure of a judged case. STATUS as cure_follow(). */
enum status batch_case_follow(struct batch_case *batch, double target_ph, struct failure *failure);

void batch_case_clear(struct batch_case *batch);

/* Clear and free one that was allocated; NULL is nothing. */
void batch_case_free(struct batch_case *batch);

/* How one paper reads soap, from what it was lately read on. STATUS as dossier_store_of_paper() and paper_bias_learn(). */
enum status batch_case_paper_bias(struct store *store, int64_t paper_id, struct paper_bias *ret_bias,
                                  struct failure *failure);

#endif
