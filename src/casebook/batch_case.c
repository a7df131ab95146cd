/* batch_case.c - a batch with all its evidence. */
#include "batch_case.h"

#include <math.h>
#include <stdlib.h>

#include "batch_store.h"
#include "dossier_store.h"
#include "makers_policy.h"
#include "memory.h"
#include "recipe_evidence.h"
#include "text.h"

/* Owned. */
struct codes {
    char **codes;
    size_t count, capacity;
};

enum status
batch_case_paper_bias(struct store *store, int64_t paper_id, struct paper_bias *ret_bias,
                      struct failure *failure)
{
    struct dossier dossier = {0};
    enum status status = dossier_store_of_paper(store, paper_id, &dossier, failure);

    if (status == STATUS_OK)
        status = paper_bias_learn(&dossier, paper_id, ret_bias, failure);
    dossier_clear(&dossier);
    return status;
}

/* The bias of a paper, learned when it is first asked for; lent from the loader until the next is asked for. */
static enum status
learn(struct case_loader *loader, int64_t paper_id, const struct paper_bias **ret_bias,
      struct failure *failure)
{
    struct paper_bias bias = {0};
    enum status status;

    for (size_t i = 0; i < loader->bias_count; i++) {
        *ret_bias = &loader->biases[i];
        if (loader->biases[i].paper_id == paper_id)
            return STATUS_OK;
    }
    status = batch_case_paper_bias(loader->store, paper_id, &bias, failure);
    if (status != STATUS_OK)
        return status;
    loader->biases =
        memory_room(loader->biases, loader->bias_count, &loader->bias_capacity, sizeof *loader->biases);
    loader->biases[loader->bias_count] = bias;
    *ret_bias = &loader->biases[loader->bias_count++];
    return STATUS_OK;
}

static bool
was_read_with(const struct dossier *dossier, int64_t paper_id)
{
    for (size_t i = 0; i < dossier->reading_count; i++)
        if (dossier->readings[i].gear_id == paper_id && dossier->readings[i].method == READING_PAPER &&
            reading_stands(&dossier->readings[i]))
            return true;
    return false;
}

/* Of the papers that the batch or its reference was read with; any gear of the notebook may be in either. */
static enum status
load_biases(struct case_loader *loader, struct batch_case *batch, struct failure *failure)
{
    const struct dossier *dossiers[] = {&batch->dossier, &batch->reference};
    enum status status = STATUS_OK;

    batch->biases =
        memory_new(batch->dossier.gear_count + batch->reference.gear_count + 1, sizeof *batch->biases);
    for (size_t d = 0; d < LENGTH(dossiers); d++) {
        for (size_t i = 0; status == STATUS_OK && i < dossiers[d]->gear_count; i++) {
            const struct gear *gear = &dossiers[d]->gear[i];
            const struct paper_bias *bias = NULL;

            if (gear->kind != GEAR_PAPER || !was_read_with(dossiers[d], gear->id))
                continue;
            status = learn(loader, gear->id, &bias, failure);
            if (status == STATUS_OK)
                batch->biases[batch->bias_count++] = *bias;
        }
    }
    return status;
}

enum status
case_loader_load_dossier(struct case_loader *loader, const char *code, struct batch_case *ret_case,
                         struct failure *failure)
{
    return loader->many ? dossier_store_load_of_many(loader->store, code, &ret_case->dossier, failure)
                        : dossier_store_load(loader->store, code, &ret_case->dossier, failure);
}

static enum status
load_reference(struct case_loader *loader, struct batch_case *batch, struct failure *failure)
{
    struct batch_case reference = {0};
    enum status status =
        case_loader_load_dossier(loader, batch->dossier.batch.reference_code, &reference, failure);

    batch->reference = reference.dossier;
    return status;
}

static enum status
load_policy(struct case_loader *loader, struct policy *ret_policy, struct failure *failure)
{
    enum status status =
        loader->policy_known ? STATUS_OK : makers_policy(loader->store, &loader->policy, failure);

    loader->policy_known = status == STATUS_OK;
    *ret_policy = loader->policy;
    return status;
}

static enum status
load_cups(struct case_loader *loader, struct batch_case *batch, struct failure *failure)
{
    enum status status = STATUS_OK;

    if (!loader->cups_known) {
        cup_history_clear(&loader->cups); /* of a try that failed */
        status = cup_history_learn(loader->store, &loader->cups, failure);
    }
    loader->cups_known = status == STATUS_OK;
    batch->between = cup_history_of_others(&loader->cups, batch->dossier.batch.id);
    batch->reference_between = cup_history_of_others(&loader->cups, batch->reference.batch.id);
    return status;
}

/* The codes of a notebook's batches, the latest poured last. */
static enum status
add_code(const struct batch *batch, void *payload, struct failure *failure)
{
    struct codes *codes = payload;

    (void)failure;
    codes->codes = memory_room(codes->codes, codes->count, &codes->capacity, sizeof *codes->codes);
    codes->codes[codes->count++] = memory_copy(batch->code);
    return STATUS_OK;
}

/* Enough days to say anything of the scatter between them? Readings are in order of time. */
static bool
says_anything(const struct dossier *dossier)
{
    size_t days = 0;
    civil_day last = DAY_NONE;

    for (size_t i = 0; i < dossier->reading_count; i++) {
        civil_day day = clock_day_of(dossier->readings[i].taken_at);

        if (dossier->readings[i].method == READING_METER && day != last) {
            days++;
            last = day;
        }
    }
    return days > APPROACH_PARAMETERS;
}

/* What one cure says; nothing when it cannot be followed. */
static struct cure_history
history_of(const struct dossier *dossier)
{
    struct verdict_list verdicts = {0};
    struct verdict_aid aid = {0};
    struct series series = {0};
    struct cure cure = {0};
    struct failure ignored;
    struct cure_history history = {0};

    if (verdict_of_all(dossier, &aid, &verdicts, &ignored) != STATUS_OK)
        return history;
    series_of(&verdicts, &series);
    if (cure_follow(series.points, series.count, CURE_TARGET_PH_USUAL, NULL, &cure, &ignored) == STATUS_OK)
        history = cure.history;
    cure_clear(&cure);
    series_clear(&series);
    verdict_list_clear(&verdicts);
    return history;
}

/* The latest cures that say anything, one more than count, for the batch itself may be among them. A notebook is not
 * read whole for it: of very many batches without a cure some are looked at. */
static enum status
learn_cures(struct case_loader *loader, const char *own_code, struct failure *failure)
{
    enum { MOST_LOOKED_AT = 3 * CURE_HISTORY_MOST };
    struct codes codes = {0};
    enum status status = batch_store_list(loader->store, add_code, &codes, failure);

    loader->cures_known = true;
    loader->cures = memory_new(CURE_HISTORY_MOST + 1, sizeof *loader->cures);
    for (size_t i = codes.count, looked = 0;
         status == STATUS_OK && i-- > 0 && looked < MOST_LOOKED_AT && loader->cure_count <= CURE_HISTORY_MOST;
         looked++) {
        struct batch_case other = {0};
        struct cure_history history;

        if (!loader->many && text_same(codes.codes[i], own_code)) /* of many each is another's history */
            continue;
        status = case_loader_load_dossier(loader, codes.codes[i], &other, failure);
        history = status == STATUS_OK && says_anything(&other.dossier) ? history_of(&other.dossier)
                                                                       : (struct cure_history){0};
        if (status != STATUS_SYSTEM)
            status = STATUS_OK; /* one that cannot be read says nothing, and stops no other */
        if (history.dof > 0.0)
            loader->cures[loader->cure_count++] = (struct known_cure){other.dossier.batch.id, history};
        batch_case_clear(&other);
    }
    for (size_t i = 0; i < codes.count; i++)
        free(codes.codes[i]);
    free(codes.codes);
    return status;
}

static enum status
load_history(struct case_loader *loader, struct batch_case *batch, struct failure *failure)
{
    enum status status =
        loader->cures_known ? STATUS_OK : learn_cures(loader, batch->dossier.batch.code, failure);

    for (size_t i = 0, taken = 0; i < loader->cure_count && taken < CURE_HISTORY_MOST; i++)
        if (loader->cures[i].batch_id != batch->dossier.batch.id) {
            cure_history_add(&batch->history, &loader->cures[i].history);
            taken++;
        }
    return status;
}

enum status
case_loader_load(struct case_loader *loader, const char *code, struct batch_case *ret_case,
                 struct failure *failure)
{
    enum status status = store_begin_reading(loader->store, failure); /* rule 3 */

    if (status != STATUS_OK)
        return status;
    status = case_loader_load_dossier(loader, code, ret_case, failure);
    if (status == STATUS_OK && ret_case->dossier.batch.reference_code != NULL)
        status = load_reference(loader, ret_case, failure);
    if (status == STATUS_OK)
        status = load_biases(loader, ret_case, failure);
    if (status == STATUS_OK)
        status = load_cups(loader, ret_case, failure);
    if (status == STATUS_OK && loader->follows)
        status = load_history(loader, ret_case, failure);
    if (status == STATUS_OK)
        status = load_policy(loader, &ret_case->policy, failure);
    store_end_reading(loader->store);
    return status;
}

void
case_loader_clear(struct case_loader *loader)
{
    free(loader->biases);
    free(loader->cures);
    cup_history_clear(&loader->cups);
    loader->cups_known = false;
    loader->cures = NULL;
    loader->cure_count = 0;
    loader->cures_known = false;
    loader->biases = NULL;
    loader->bias_count = loader->bias_capacity = 0;
}

/* A reference without readings is none. */
static enum status
judge_reference(struct batch_case *batch, const struct verdict_aid *aid, struct failure *failure)
{
    struct verdict_aid its = *aid;
    bool read = false;

    its.between = batch->reference_between;
    for (size_t i = 0; i < batch->reference.reading_count; i++)
        read = read || reading_stands(&batch->reference.readings[i]);
    return read ? verdict_of_all(&batch->reference, &its, &batch->reference_bars, failure) : STATUS_OK;
}

/* Which scale weighed the recipe is not on record, so the balance assumes one. */
static void
balance_recipe(struct batch_case *batch)
{
    struct failure *failure = &batch->balance_failure;

    if (batch->dossier.batch.line_count > 0)
        batch->balanced =
            lye_balance_read(&batch->dossier.batch, (double)NAN, &batch->balance, failure) == STATUS_OK &&
            lye_balance_solve(&batch->balance, LYE_BALANCE_DRAWS, LYE_BALANCE_SEED, failure) == STATUS_OK;
}

enum status
batch_case_judge(struct batch_case *batch, struct failure *failure)
{
    struct verdict_aid aid = {
        .biases = batch->biases, .bias_count = batch->bias_count, .policy = &batch->policy};
    enum status status;

    aid.between = batch->between;
    balance_recipe(batch);
    aid.recipe = recipe_evidence_of(&batch->dossier, batch->balanced ? &batch->balance : NULL);
    status = judge_reference(batch, &aid, failure);
    aid.reference = &batch->reference_bars;
    if (status != STATUS_OK)
        return failure_at(failure, "reference batch '%s': ", batch->reference.batch.code);
    return conclusion_of(&batch->dossier, &aid, &batch->conclusion, failure);
}

enum status
batch_case_open(struct store *store, const char *code, struct batch_case *ret_case, struct failure *failure)
{
    struct case_loader loader = {.store = store};
    enum status status = case_loader_load(&loader, code, ret_case, failure);

    case_loader_clear(&loader);
    return status == STATUS_OK ? batch_case_judge(ret_case, failure) : status;
}

enum status
batch_case_value(struct batch_case *batch, struct failure *failure)
{
    return verdict_points(&batch->dossier, &batch->points, failure);
}

enum status
batch_case_follow(struct batch_case *batch, double target_ph, struct failure *failure)
{
    series_of(&batch->conclusion.all, &batch->series);
    return cure_follow(batch->series.points, batch->series.count, target_ph, &batch->history, &batch->cure,
                       failure);
}

void
batch_case_clear(struct batch_case *batch)
{
    cure_clear(&batch->cure);
    series_clear(&batch->series);
    free(batch->points);
    conclusion_clear(&batch->conclusion);
    verdict_list_clear(&batch->reference_bars);
    lye_balance_clear(&batch->balance);
    free(batch->biases);
    dossier_clear(&batch->reference);
    dossier_clear(&batch->dossier);
    *batch = (struct batch_case){0};
}

void
batch_case_free(struct batch_case *batch)
{
    if (batch != NULL)
        batch_case_clear(batch);
    free(batch);
}
