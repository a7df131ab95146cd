/* evidence.c - what a batch is judged on. */
#include "evidence.h"

#include <stdlib.h>

#include "batch_store.h"
#include "calibration_store.h"
#include "dossier_store.h"
#include "memory.h"
#include "walk.h"

enum status
evidence_paper_bias(struct store *store, int64_t paper_id, struct paper_bias *ret_bias,
                    struct failure *failure)
{
    char **codes = NULL;
    struct dossier *dossiers;
    const struct dossier **lent;
    size_t count = 0, loaded = 0;
    enum status status = batch_store_of_paper(store, paper_id, &codes, &count, failure);

    dossiers = memory_new(count, sizeof *dossiers);
    lent = memory_new(count, sizeof *lent);
    for (; status == STATUS_OK && loaded < count; loaded++) {
        status = dossier_store_load(store, codes[loaded], &dossiers[loaded], failure);
        lent[loaded] = &dossiers[loaded];
    }
    if (status == STATUS_OK)
        status = paper_bias_learn(lent, count, paper_id, ret_bias, failure);
    for (size_t i = 0; i < count; i++) {
        dossier_clear(&dossiers[i]);
        free(codes[i]);
    }
    free(codes);
    free(dossiers);
    free(lent);
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

/* A pH that was answered, while its temperature is still asked for, is no reading in the notebook yet. */
static bool
half_answered(const struct walk *walk, const struct question *question)
{
    const struct answer *answer = walk_answer(walk, question);

    return question->step->kind == STEP_PH && question->reading != 0 && question->part == QUESTION_VALUE &&
           answer != NULL && answer->outcome == ANSWER_DONE && walk_other_half(walk, question) == NULL;
}

static enum status
add_half_answered(struct store *store, const struct walk *walk, const struct question *question,
                  struct dossier *dossier, struct failure *failure)
{
    const struct answer *answer = walk_answer(walk, question);
    struct reading *reading;

    if (dossier_specimen(dossier, answer->specimen_id) == NULL ||
        !(answer->value > walk->bench.session.limit_ph))
        return STATUS_OK;
    dossier->readings =
        memory_resize(dossier->readings, dossier->reading_count + 1, sizeof *dossier->readings);
    reading = &dossier->readings[dossier->reading_count++];
    reading_init(reading);
    reading->specimen_id = answer->specimen_id;
    reading->gear_id = walk->bench.session.meter_id;
    reading->replicate = question->reading;
    reading->ph = answer->value;
    reading->taken_at = answer->answered_at;
    return calibration_store_in_force(store, reading->gear_id, reading->taken_at, &reading->calibration_id,
                                      failure);
}

/* Add what was answered above the limit in walk-throughs that were left between a pH and its temperature: a
 * high reading is never softened, and this one is on record. A session that cannot be laid out any more is
 * passed over; the verdict says that it is open. */
static enum status
add_from_open_sessions(struct store *store, struct dossier *dossier, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < dossier->session_count; i++) {
        const struct session *session = &dossier->sessions[i];
        struct walk walk = {0};
        struct failure ignored = {0};

        if (session->procedure_id == 0 || session->finished_at != MOMENT_NONE ||
            walk_open(store, session->id, &walk, &ignored) != STATUS_OK)
            continue;
        for (size_t k = 0; status == STATUS_OK && k < walk.question_count; k++)
            if (half_answered(&walk, &walk.questions[k]))
                status = add_half_answered(store, &walk, &walk.questions[k], dossier, failure);
        walk_close(&walk);
    }
    return status;
}

enum status
evidence_load(struct store *store, const char *code, struct evidence *ret_evidence, struct failure *failure)
{
    struct evidence evidence = {0};
    enum status status = dossier_store_load(store, code, &evidence.dossier, failure);

    if (status == STATUS_OK)
        status = add_from_open_sessions(store, &evidence.dossier, failure);
    if (status == STATUS_OK && evidence.dossier.batch.reference_code != NULL)
        status =
            dossier_store_load(store, evidence.dossier.batch.reference_code, &evidence.reference, failure);
    if (status == STATUS_OK)
        status = learn_biases(store, &evidence, failure);
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
