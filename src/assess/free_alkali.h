/* free_alkali.h - the titrations of a batch as results: percent of free NaOH, uncertainty and band.
 *
 * Rules
 * (1) Titrations that stand, of one bar and one session (which may last past midnight), or typed for one day, with the
 *     same acid, blank, burette and balance are replicates and make one result. Superseded ones are left out.
 * (2) The results of the latest day count; of several that day the one with the highest upper end (there
 *     is never a reason to choose the milder one).
 * (3) What is not on record is assumed and flagged (judgement, common practice without a source): an acid
 *     known to 1 % (standard uncertainty), a burette read to 0.1 mL, a balance that reads to 0.1 g. A burette
 *     or drop of size d gives a half-width of d / 2; acid that was weighed one of half a drop (0.05 g when not said) and
 *     the readability of the balance, for its two readings are rounded by half of it each. A blank that was not run counts as 0 mL with a half-width
 *     of 0.1 mL: to take nothing off errs to the high side.
 * (4) The maker's own scatter (titration_model.h, rule 3) is pooled over the batch's other results of two
 *     portions and more. A single portion is never better than borderline. */
#ifndef FREE_ALKALI_H
#define FREE_ALKALI_H

#include "dossier.h"
#include "titration_model.h"

#define FREE_ALKALI_ACID_ASSUMED_RELATIVE 0.01
#define FREE_ALKALI_BURETTE_ASSUMED_ML 0.1
#define FREE_ALKALI_DROP_ASSUMED_G 0.05
#define FREE_ALKALI_BALANCE_ASSUMED_G 0.1
#define FREE_ALKALI_BLANK_ASSUMED_ML 0.1

enum free_alkali_flag {
    FREE_ALKALI_BLANK_MISSING,    /* blank-missing */
    FREE_ALKALI_ACID_ASSUMED,     /* acid-assumed */
    FREE_ALKALI_BURETTE_ASSUMED,  /* burette-assumed */
    FREE_ALKALI_WEIGHING_ASSUMED, /* weighing-assumed */
    FREE_ALKALI_SCATTER_ASSUMED,  /* scatter-assumed: too few portions to know the maker's own */
    FREE_ALKALI_SINGLE,           /* single-titration: one portion (rule 4) */
    FREE_ALKALI_SEVERAL,          /* several-results: more than one result that day, the highest counts */
    FREE_ALKALI_FLAGS
};

/* One result. The pointers are lent from the dossier. */
struct free_alkali_result {
    const struct titration *first; /* of its titrations */
    size_t count;
    int age_d;
    struct titration_setup setup;
    struct titration_result figures;
    unsigned flags;
};

/* All results of a batch, by day; `current` is the one that counts. */
struct free_alkali {
    struct free_alkali_result *results; /* owned */
    size_t count;
    const struct free_alkali_result *current; /* one of them */
};

/* ret_free_alkali  owned by the caller, free_alkali_clear(); lends the dossier
 *
 * STATUS_MISSING when the batch has no titration that stands; STATUS_RANGE as titration_compute(). */
enum status free_alkali_of(const struct dossier *dossier, struct free_alkali *ret_free_alkali,
                           struct failure *failure);

/* Rule 1, whether they stand or not. */
bool free_alkali_replicates(const struct titration *a, const struct titration *b);

/* Where the end of a band comes from: "IS 2888:2004: toilet soap, at most 0.05 %"; lent for ever. */
const char *free_alkali_band_source(enum titration_band band);

/* Words of the flags joined by ';'. Given: free() it. */
char *free_alkali_flag_text(unsigned flags);
char *free_alkali_flag_phrases(unsigned flags); /* likewise, for people */

void free_alkali_clear(struct free_alkali *free_alkali);

#endif
