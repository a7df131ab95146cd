/* holding.c - results hold their batches. */
#include "holding.h"

#include <stdlib.h>

#include "all_batches.h"
#include "batch_store.h"
#include "follow_store.h"
#include "memory.h"
#include "release.h"
#include "text.h"

/* What a batch is held for: a word, and what that rests on. */
struct grounds {
    enum verdict_word verdict;
    char *rests_on; /* owned */
    bool news;      /* it has to do with what was filed just now, or may have */
    bool tested;    /* else it is the recipe */
};

static bool
is_filed(const struct verdict *cup, struct filed_sessions filed)
{
    return cup->session->id >= filed.first && cup->session->id <= filed.last;
}

/* What was filed decides, or speaks against a bar beside what does. */
static bool
is_news(const struct conclusion *conclusion, struct filed_sessions filed)
{
    if (conclusion->deciding == NULL || filed.last == 0 || is_filed(conclusion->deciding, filed))
        return true;
    for (size_t i = 0; i < conclusion->sittings.count; i++)
        if (conclusion->sittings.verdicts[i].verdict > VERDICT_NOT_JUDGED &&
            is_filed(&conclusion->sittings.verdicts[i], filed))
            return true;
    return false;
}

static struct grounds
grounds_of(const struct conclusion *conclusion, struct filed_sessions filed)
{
    return (struct grounds){.verdict = conclusion->verdict,
                            .rests_on = conclusion_text(conclusion),
                            .news = is_news(conclusion, filed),
                            .tested = conclusion->basis != CONCLUSION_NOTHING};
}

/* Do they hold the batch? A maker who released it in spite of what stood on record need not do so again for what did
 * not change it. */
static bool
holds(const struct grounds *grounds, const struct dossier *dossier)
{
    struct state_request request = {.cause = STATE_BY_RESULT, .verdict = grounds->verdict};
    enum batch_state from = dossier->batch.state, next = from;
    struct failure none = {0}; /* a result is never refused */

    return release_next_state(from, &request, &next, &none) == STATUS_OK && next != from &&
           ((grounds->news && grounds->verdict > VERDICT_NOT_JUDGED) ||
            !dossier_released_by_override(dossier));
}

/* By the rule, since the time of the evidence. */
enum status
holding_keep(const struct holding *holding, const struct batch_case *batch, enum batch_state state,
             const char *why, const char *rests_on, struct failure *failure)
{
    civil_time at = batch->conclusion.at;
    struct state_change change = {.batch_id = batch->dossier.batch.id,
                                  .state = state,
                                  .at = holding->now,
                                  .since_at =
                                      state == BATCH_HELD && at != MOMENT_NONE && at < holding->now ? at : 0,
                                  .why = (char *)(uintptr_t)why,
                                  .evidence = (char *)(uintptr_t)rests_on,
                                  .automatic = true};
    enum status status = state_change_store_add(holding->store, &change, failure);

    if (status == STATUS_OK)
        holding->moved(batch->dossier.batch.code, state, state == BATCH_HELD ? rests_on : why, holding->data);
    return status;
}

static enum status
file_hold(const struct holding *holding, const struct batch_case *batch, const struct grounds *grounds,
          struct failure *failure)
{
    char *why = grounds->tested ? text_format("the result is %s", verdict_word(grounds->verdict))
                                : memory_copy("by its recipe lye exceeds fat");
    enum status status = holding_keep(holding, batch, BATCH_HELD, why, grounds->rests_on, failure);

    free(why);
    return status;
}

enum status
hold_for_result(const struct holding *holding, const struct batch_case *batch, struct filed_sessions filed,
                bool *ret_held, struct failure *failure)
{
    struct grounds grounds = grounds_of(&batch->conclusion, filed);
    enum status status = STATUS_OK;

    *ret_held = holds(&grounds, &batch->dossier);
    if (*ret_held)
        status = file_hold(holding, batch, &grounds, failure);
    free(grounds.rests_on);
    return status;
}

/* What goes on while batches are judged. */
struct after_results {
    const struct holding *holding;
    struct filed_sessions filed;
    bool beside_reference; /* only what a reference bar makes of them is looked at */
};

static enum status
take(struct batch_case *batch, struct batch_rows rows, void *payload, struct failure *failure)
{
    const struct after_results *after = payload;
    const struct verdict *deciding = batch->conclusion.deciding;
    enum status status = STATUS_OK;
    bool held;

    (void)rows;
    if (!after->beside_reference || (deciding != NULL && deciding->raised_by_reference))
        status = hold_for_result(after->holding, batch, after->filed, &held, failure);
    batch_case_free(batch);
    return status;
}

enum status
holding_add_referring(struct store *store, const char *code, struct batch_codes *codes,
                      struct failure *failure)
{
    char **referring = NULL;
    size_t count = 0;
    enum status status = batch_store_referring(store, code, &referring, &count, failure);

    for (size_t i = 0; i < count; i++) {
        batch_codes_add(codes, referring[i]);
        free(referring[i]);
    }
    free(referring);
    return status;
}

/* Those whose reference bar one of these batches is. */
static enum status
hold_referring(const struct holding *holding, const char *const *codes, size_t count,
               struct filed_sessions filed, struct failure *failure)
{
    struct after_results after = {holding, filed, true};
    struct batch_codes referring = {0};
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        status = holding_add_referring(holding->store, codes[i], &referring, failure);
    if (status == STATUS_OK && referring.count > 0) {
        const struct batches_request request = {
            .codes = (const char *const *)referring.codes, .count = referring.count, .judged = true};

        status = all_batches(holding->store, &request, take, &after, failure);
    }
    batch_codes_clear(&referring);
    return status;
}

enum status
hold_after_results(const struct holding *holding, const char *const *codes, size_t count,
                   struct filed_sessions filed, struct failure *failure)
{
    struct after_results after = {holding, filed, false};
    struct batches_request request = {.codes = codes, .count = count, .judged = true};
    enum status status = all_batches(holding->store, &request, take, &after, failure);

    return status == STATUS_OK ? hold_referring(holding, codes, count, filed, failure) : status;
}

enum status
hold_beside_reference(const struct holding *holding, const char *const *codes, size_t count,
                      struct failure *failure)
{
    return hold_referring(holding, codes, count, (struct filed_sessions){0}, failure);
}
