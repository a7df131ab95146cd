/* evidence.c - what a batch is judged on. */
#include "evidence.h"

#include <stdlib.h>

#include "batch_store.h"
#include "dossier_store.h"
#include "memory.h"

enum status
evidence_paper_bias(struct store *store, int64_t paper_id, struct paper_bias *ret_bias,
                    struct failure *failure)
{
    struct dossier dossier = {0};
    enum status status = dossier_store_of_paper(store, paper_id, &dossier, failure);

    if (status == STATUS_OK)
        status = paper_bias_learn(&dossier, paper_id, ret_bias, failure);
    dossier_clear(&dossier);
    return status;
}

/* The bias of every paper that a standing reading of the batch was made with. */
static enum status
learn_biases(struct store *store, struct evidence *evidence, struct failure *failure)
{
    const struct dossier *dossier = &evidence->dossier;
    enum status status = STATUS_OK;

    evidence->biases = memory_new(dossier->gear_count, sizeof *evidence->biases);
    for (size_t i = 0; status == STATUS_OK && i < dossier->gear_count; i++) {
        bool used = false;

        for (size_t k = 0; k < dossier->reading_count && !used; k++)
            used = dossier->readings[k].gear_id == dossier->gear[i].id &&
                   dossier->readings[k].method == READING_PAPER && reading_stands(&dossier->readings[k]);
        if (used)
            status = evidence_paper_bias(store, dossier->gear[i].id,
                                         &evidence->biases[evidence->bias_count++], failure);
    }
    return status;
}

enum status
evidence_load(struct store *store, const char *code, struct evidence *ret_evidence, struct failure *failure)
{
    struct evidence evidence = {0};
    enum status status = store_begin_reading(store, failure); /* one state for all that is judged on */

    if (status != STATUS_OK)
        return status;
    status = dossier_store_load(store, code, &evidence.dossier, failure);
    if (status == STATUS_OK && evidence.dossier.batch.reference_code != NULL)
        status =
            dossier_store_load(store, evidence.dossier.batch.reference_code, &evidence.reference, failure);
    if (status == STATUS_OK)
        status = learn_biases(store, &evidence, failure);
    store_end_reading(store);
    if (status != STATUS_OK) {
        evidence_clear(&evidence);
        return status;
    }
    *ret_evidence = evidence;
    return STATUS_OK;
}

void
evidence_clear(struct evidence *evidence)
{
    dossier_clear(&evidence->dossier);
    dossier_clear(&evidence->reference);
    free(evidence->biases);
    *evidence = (struct evidence){0};
}

struct verdict_aid
evidence_aid(const struct evidence *evidence)
{
    return (struct verdict_aid){.reference = evidence->reference.batch.id == 0 ? NULL : &evidence->reference,
                                .biases = evidence->biases,
                                .bias_count = evidence->bias_count};
}
