/* settling.c - what follows for batches when something on record is put right, or a calibration is kept late. */
#include "settling.h"

#include <stdlib.h>

#include "batch_store.h"
#include "memory.h"
#include "text.h"

static const struct filed_sessions every_session = {1, INT64_MAX};

static enum status
add_one(struct store *store, const char *code, struct standings *standings, struct failure *failure)
{
    struct batch_case batch = {0};
    enum status status = batch_case_open(store, code, &batch, failure);

    for (size_t i = 0; status == STATUS_OK && i < standings->count; i++) {
        if (text_same(standings->batches[i].code, batch.dossier.batch.code)) {
            batch_case_clear(&batch);
            return STATUS_OK;
        }
    }
    if (status == STATUS_OK) {
        standings->batches = memory_room(standings->batches, standings->count, &standings->capacity,
                                         sizeof *standings->batches);
        standings->batches[standings->count++] =
            (struct standing_before){.code = memory_copy(batch.dossier.batch.code),
                                     .verdict = batch.conclusion.verdict,
                                     .word = conclusion_word(&batch.conclusion),
                                     .releasable = batch.conclusion.release.met};
    }
    batch_case_clear(&batch);
    return status;
}

enum status
standings_add(struct store *store, const char *const *codes, size_t count, struct standings *standings,
              struct failure *failure)
{
    struct batch_codes all = {0};
    enum status status = STATUS_OK;

    for (size_t i = 0; i < count; i++)
        batch_codes_add(&all, codes[i]);
    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        status = holding_add_referring(store, codes[i], &all, failure);
    for (size_t i = 0; status == STATUS_OK && i < all.count; i++)
        status = add_one(store, all.codes[i], standings, failure);
    batch_codes_clear(&all);
    return status;
}

enum status
standings_add_gear(struct store *store, int64_t gear_id, civil_time since, struct standings *standings,
                   struct failure *failure)
{
    struct batch_codes codes = {0};
    enum status status = batch_store_of_gear(store, gear_id, since, &codes.codes, &codes.count, failure);

    if (status == STATUS_OK)
        status = standings_add(store, (const char *const *)codes.codes, codes.count, standings, failure);
    batch_codes_clear(&codes);
    return status;
}

/* Rule 2: the first thing that a release asks for and that is not there. Given: free() it. */
static char *
what_is_missing(const struct release_check *check)
{
    for (size_t i = 0; i < check->count; i++)
        if (!check->items[i].met)
            return text_format("%s: no (%s)", check->items[i].asked, check->items[i].found);
    return memory_copy("");
}

static enum status
hold_again(const struct holding *holding, const struct batch_case *batch, const char *cause,
           struct failure *failure)
{
    char *missing = what_is_missing(&batch->conclusion.release);
    char *why = text_format("the evidence for its release no longer stands; %s", cause);
    enum status status = holding_keep(holding, batch, BATCH_HELD, why, missing, failure);

    free(missing);
    free(why);
    return status;
}

/* The state that the maker's last change left, or in-cure: what a hold by the rule came upon. */
static enum batch_state
state_before_hold(const struct dossier *dossier)
{
    for (size_t i = dossier->state_change_count; i-- > 0;)
        if (!dossier->state_changes[i].automatic)
            return dossier->state_changes[i].state;
    return BATCH_IN_CURE;
}

/* Would anything that stands have held the batch by itself? */
static bool
anything_holds(const struct conclusion *conclusion)
{
    bool holds = conclusion_holds(conclusion) || conclusion->recipe_holds;

    for (size_t i = 0; i < conclusion->sittings.count; i++)
        holds = holds || conclusion->sittings.verdicts[i].verdict >= VERDICT_DOUBTFUL;
    for (size_t i = 0; i < conclusion->free_alkali.count; i++)
        holds = holds || bar_titration_word(&conclusion->free_alkali.results[i].figures) >= VERDICT_DOUBTFUL;
    return holds;
}

/* Rule 3. */
static enum status
end_hold(const struct holding *holding, const struct batch_case *batch, const struct standing_before *before,
         const char *cause, struct failure *failure)
{
    const struct dossier *dossier = &batch->dossier;
    const struct state_change *last = dossier_last_change(dossier);
    enum batch_state earlier = state_before_hold(dossier);
    bool releasable = batch->conclusion.release.met;
    char *why, *words;
    enum status status;

    if (dossier->batch.state != BATCH_HELD || last == NULL || !last->automatic ||
        (before->verdict < VERDICT_DOUBTFUL && (before->releasable || !releasable)))
        return STATUS_OK;
    if (earlier != BATCH_RELEASED || !releasable) {
        if (earlier == BATCH_DISCARDED || earlier == BATCH_HELD || anything_holds(&batch->conclusion))
            return STATUS_OK;
        earlier = BATCH_IN_CURE;
    }
    why = text_format("what it was held for no longer stands; %s", cause);
    words = conclusion_text(&batch->conclusion);
    status = holding_keep(holding, batch, earlier, why, words, failure);
    free(words);
    free(why);
    return status;
}

static enum status
settle_one(const struct holding *holding, const struct standing_before *before, const char *cause,
           struct failure *failure)
{
    struct batch_case batch = {0};
    const struct conclusion *conclusion = &batch.conclusion;
    bool held = false;
    enum status status = batch_case_open(holding->store, before->code, &batch, failure);

    if (status == STATUS_OK && holding->turned != NULL && conclusion_word(conclusion) != before->word)
        holding->turned(batch.dossier.batch.code, before->word, conclusion_word(conclusion), holding->data);
    if (status == STATUS_OK && conclusion->verdict > before->verdict)
        status = hold_for_result(holding, &batch, every_session, &held, failure);
    if (status == STATUS_OK && !held && batch.dossier.batch.state == BATCH_RELEASED && before->releasable &&
        !conclusion->release.met && !dossier_released_by_override(&batch.dossier))
        status = hold_again(holding, &batch, cause, failure);
    else if (status == STATUS_OK && !held)
        status = end_hold(holding, &batch, before, cause, failure);
    batch_case_clear(&batch);
    return status;
}

enum status
standings_settle(const struct holding *holding, const struct standings *standings, const char *cause,
                 struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < standings->count; i++)
        status = settle_one(holding, &standings->batches[i], cause, failure);
    return status;
}

void
standings_clear(struct standings *standings)
{
    for (size_t i = 0; i < standings->count; i++)
        free(standings->batches[i].code);
    free(standings->batches);
    *standings = (struct standings){0};
}
