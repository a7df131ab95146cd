/* evidence.h - what a batch is judged on: its dossier, its reference's, and how the papers used read. */
#ifndef EVIDENCE_H
#define EVIDENCE_H

#include "dossier.h"
#include "paper_bias.h"
#include "store.h"
#include "verdict.h"

/* Owns all of it; zeroed is empty. */
struct evidence {
    struct dossier dossier;
    struct dossier reference; /* batch.id 0: none */
    struct paper_bias *biases;
    size_t bias_count;
};

/* STATUS_MISSING when there is no such batch; otherwise as dossier_store_load() and paper_bias_learn(). */
enum status evidence_load(struct store *store, const char *code, struct evidence *ret_evidence,
                          struct failure *failure);
void evidence_clear(struct evidence *evidence);

/* What a verdict may know beyond its own batch; lent from the evidence. */
struct verdict_aid evidence_aid(const struct evidence *evidence);

/* How one paper reads soap, from what it was lately read on. */
enum status evidence_paper_bias(struct store *store, int64_t paper_id, struct paper_bias *ret_bias,
                                struct failure *failure);

#endif
