/* holding.c - results hold their batches. */
#include "holding.h"

#include <stdlib.h>

#include "all_batches.h"
#include "batch_store.h"
#include "follow_store.h"
#include "memory.h"
#include "release.h"
#include "text.h"

static const struct filed_sessions every_session = {1, INT64_MAX};

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

static enum status
file_hold(const struct holding *holding, const struct batch *batch, const struct grounds *grounds,
          struct failure *failure)
{
    char *why = grounds->tested ? text_format("the result is %s", verdict_word(grounds->verdict))
                                : memory_copy("by its recipe lye exceeds fat");
    struct state_change change = {.batch_id = batch->id,
                                  .state = BATCH_HELD,
                                  .at = holding->now,
                                  .why = why,
                                  .evidence = grounds->rests_on,
                                  .automatic = true};
    enum status status = state_change_store_add(holding->store, &change, failure);

    if (status == STATUS_OK)
        holding->held(batch->code, grounds->rests_on, holding->data);
    free(why);
    return status;
}

static enum status
hold(const struct holding *holding, const struct batch_case *batch, struct filed_sessions filed,
     struct failure *failure)
{
    struct grounds grounds = grounds_of(&batch->conclusion, filed);
    enum status status = STATUS_OK;

    if (holds(&grounds, &batch->dossier))
        status = file_hold(holding, &batch->dossier.batch, &grounds, failure);
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

    (void)rows;
    if (!after->beside_reference || (deciding != NULL && deciding->raised_by_reference))
        status = hold(after->holding, batch, after->filed, failure);
    batch_case_free(batch);
    return status;
}

/* The batches whose reference bar is this one, added. */
static enum status
add_referring(struct store *store, const char *code, struct batch_codes *codes, struct failure *failure)
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
        status = add_referring(holding->store, codes[i], &referring, failure);
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

enum status
standings_of_meter(struct store *store, int64_t meter_id, civil_time since, struct standings *ret_standings,
                   struct failure *failure)
{
    struct standings standings = {0};
    struct batch_codes codes = {0};
    enum status status = batch_store_of_gear(store, meter_id, since, &codes.codes, &codes.count, failure);

    codes.capacity = codes.count;
    for (size_t i = 0, read = codes.count; status == STATUS_OK && i < read; i++)
        status = add_referring(store, codes.codes[i], &codes, failure);
    standings.codes = codes.codes;
    standings.count = codes.count;
    standings.verdicts = memory_new(standings.count + 1, sizeof *standings.verdicts);
    for (size_t i = 0; status == STATUS_OK && i < standings.count; i++) {
        struct batch_case batch = {0};

        status = batch_case_open(store, standings.codes[i], &batch, failure);
        if (status == STATUS_OK)
            standings.verdicts[i] = batch.conclusion.verdict;
        batch_case_clear(&batch);
    }
    if (status == STATUS_OK)
        *ret_standings = standings;
    else
        standings_clear(&standings);
    return status;
}

enum status
hold_what_is_worse(const struct holding *holding, const struct standings *standings, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < standings->count; i++) {
        struct batch_case batch = {0};

        status = batch_case_open(holding->store, standings->codes[i], &batch, failure);
        if (status == STATUS_OK && batch.conclusion.verdict > standings->verdicts[i])
            status = hold(holding, &batch, every_session, failure);
        batch_case_clear(&batch);
    }
    return status;
}

void
standings_clear(struct standings *standings)
{
    for (size_t i = 0; i < standings->count; i++)
        free(standings->codes[i]);
    free(standings->codes);
    free(standings->verdicts);
    *standings = (struct standings){0};
}
