/* sitting.c - what follows a walk-through. */
#include "sitting.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "batch_state.h"
#include "bench.h"
#include "listing.h"
#include "memory.h"
#include "session_store.h"
#include "text.h"
#include "titration_filing.h"
#include "titration_view.h"
#include "walk.h"

static const char burette_key[] = "burette";

/* A finished session as it lies in the notebook. Owns both. */
struct sitting {
    struct bench bench;
    struct answer *answers;
    size_t answer_count;
};

static void
sitting_clear(struct sitting *sitting)
{
    for (size_t i = 0; i < sitting->answer_count; i++)
        answer_clear(&sitting->answers[i]);
    free(sitting->answers);
    bench_clear(&sitting->bench);
}

/* The standing value of the step that records something, or has a key; NAN when it was left out. */
static double
value_of(const struct sitting *sitting, enum step_records records, const char *key, int64_t specimen_id)
{
    for (size_t i = 0; i < sitting->answer_count; i++) {
        const struct answer *answer = &sitting->answers[i];
        const struct step *step = procedure_step(&sitting->bench.procedure, answer->step);

        if (step != NULL && answer->outcome == ANSWER_DONE && answer->superseded_by == 0 &&
            answer->specimen_id == specimen_id &&
            (key != NULL ? strcmp(step->key, key) == 0 : step->records == records))
            return answer->value;
    }
    return (double)NAN;
}

static enum status
no_acid(const char *code, const struct titration *titration, struct failure *failure)
{
    char *typed = text_as_typed(code);

    failure_set(failure, STATUS_MISSING,
                "the acid's concentration was left out: file the titration with curetrace titrate %s "
                "--soap-g %g --volume-ml %g --acid-mol-l ...",
                typed, titration->soap_mass_g, titration->volume_ml);
    free(typed);
    return STATUS_MISSING;
}

static enum status
file_titration(struct store *store, const struct sitting *sitting, const struct specimen *specimen,
               int replicate, bool *ret_filed, struct failure *failure)
{
    const struct session *session = &sitting->bench.session;
    struct titration titration;
    enum status status;

    titration_init(&titration);
    titration.batch_id = specimen->batch_id;
    titration.session_id = session->id;
    titration.replicate = replicate;
    titration.soap_mass_g = specimen->soap_mass_g;
    titration.acid_mol_per_l = value_of(sitting, RECORDS_ACID, NULL, 0);
    titration.volume_ml = value_of(sitting, RECORDS_TITRANT, NULL, specimen->id);
    titration.blank_ml = value_of(sitting, RECORDS_BLANK, NULL, 0);
    titration.burette_ml = value_of(sitting, RECORDS_ANSWER, burette_key, 0);
    titration.balance_id = specimen->balance_id != 0 ? specimen->balance_id : session->balance_id;
    titration.taken_at = session->finished_at;
    *ret_filed = !isnan(titration.volume_ml) && !isnan(titration.soap_mass_g);
    if (!*ret_filed)
        return STATUS_OK;
    if (isnan(titration.acid_mol_per_l))
        return no_acid(sitting->bench.codes[0], &titration, failure);
    titration.bar = memory_copy(specimen->bar);
    titration.method = memory_copy(sitting->bench.procedure.name);
    status = titration_filing(store, &titration, failure);
    titration_clear(&titration);
    return status;
}

/* True for the first specimen of its batch in the session. */
static bool
first_of_batch(const struct bench *bench, size_t index)
{
    for (size_t i = 0; i < index; i++)
        if (bench->specimens[i].batch_id == bench->specimens[index].batch_id)
            return false;
    return true;
}

static enum status
file_titrations(struct store *store, const struct sitting *sitting, bool *filed, struct failure *failure)
{
    const struct bench *bench = &sitting->bench;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < bench->specimen_count; i++) {
        int replicate = 1;

        for (size_t k = 0; k < i; k++)
            if (bench->specimens[k].batch_id == bench->specimens[i].batch_id && filed[k])
                replicate++;
        status = file_titration(store, sitting, &bench->specimens[i], replicate, &filed[i], failure);
    }
    return status;
}

static enum status
hold_batches(struct context *context, const struct bench *bench, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < bench->specimen_count; i++)
        if (first_of_batch(bench, i))
            status = batch_state_after_results(context, (const char *const[]){bench->codes[i]}, 1,
                                               (struct filed_sessions){bench->session.id, bench->session.id},
                                               failure);
    return status;
}

/* In one transaction, which speaks once it is on disk. `filed` has room for each specimen. */
static enum status
settle(struct context *context, const struct sitting *sitting, bool titrated, bool *filed,
       struct failure *failure)
{
    struct held_words held;
    enum status status = context_begin(context, &held, failure);

    if (status != STATUS_OK)
        return status;
    if (titrated)
        status = file_titrations(context->store, sitting, filed, failure);
    if (status == STATUS_OK)
        status = hold_batches(context, &sitting->bench, failure);
    return context_commit(context, &held, status, failure);
}

enum status
sitting_after(struct context *context, int64_t session_id, bool finished, struct failure *failure)
{
    struct sitting sitting = {0};
    bool *filed = NULL, titrated;
    enum status status = bench_lay_out(context->store, session_id, &sitting.bench, failure);

    if (status != STATUS_OK)
        return status;
    titrated = finished && sitting.bench.procedure.subject == PROCEDURE_TITRATION;
    filed = memory_new(sitting.bench.specimen_count + 1, sizeof *filed);
    status =
        answer_store_of_session(context->store, session_id, &sitting.answers, &sitting.answer_count, failure);
    if (status == STATUS_OK)
        status = settle(context, &sitting, titrated, filed, failure);
    for (size_t i = 0; status == STATUS_OK && titrated && i < sitting.bench.specimen_count; i++) {
        bool shown = false;

        for (size_t k = 0; k < i; k++)
            shown = shown ||
                    (filed[k] && sitting.bench.specimens[k].batch_id == sitting.bench.specimens[i].batch_id);
        if (filed[i] && !shown)
            status = titration_view_print(context, sitting.bench.codes[i], failure);
    }
    free(filed);
    sitting_clear(&sitting);
    return status;
}

/* "closed before its end: WHY; not done: ...; left out: ...". Given. A procedure that this version cannot read
 * must not keep its session open for ever. */
static enum status
left_undone(struct store *store, int64_t session_id, const char *why, char **ret_text,
            struct failure *failure)
{
    struct walk walk;
    struct text text = {0};
    enum status status = walk_standing(store, session_id, &walk, failure);

    if (status != STATUS_OK && status != STATUS_FORMAT)
        return status;
    text_addf(&text, "closed before its end: %s", why);
    if (status == STATUS_OK) {
        char *not_done = walk_not_done(&walk), *left_out = walk_left_open(&walk);

        text_addf(&text, "%s%s", not_done == NULL ? "" : "; not done: ", not_done == NULL ? "" : not_done);
        text_addf(&text, "%s%s", left_out == NULL ? "" : "; left out: ", left_out == NULL ? "" : left_out);
        free(left_out);
        free(not_done);
        walk_clear(&walk);
    }
    *ret_text = text_take(&text);
    return STATUS_OK;
}

/* What the session measured is judged and filed like that of a finished one. A titration that lacks its acid
 * is told, and does not keep the session open. */
static enum status
settle_closed(struct context *context, int64_t session_id, struct failure *failure)
{
    enum status status = sitting_after(context, session_id, true, failure);

    if (status == STATUS_MISSING) {
        listing_paragraph(context->out, context->width, 0, failure->text);
        status = STATUS_OK;
    }
    return status == STATUS_FORMAT ? STATUS_OK : status;
}

enum status
sitting_close_early(struct context *context, int64_t session_id, civil_time closed_at, const char *why,
                    struct failure *failure)
{
    char *undone = NULL;
    enum status status;

    if (why == NULL || *why == '\0')
        return failure_set(failure, STATUS_USAGE, "why? the record keeps the reason (--why \"...\")");
    status = store_begin(context->store, failure);
    if (status != STATUS_OK)
        return status;
    status = left_undone(context->store, session_id, why, &undone, failure);
    if (status == STATUS_OK)
        status = session_store_close(context->store, session_id, closed_at, undone, failure);
    status = store_end(context->store, status, failure);
    if (status == STATUS_OK) {
        char *line = text_format("session %lld is %s", (long long)session_id, undone);
        char *shown = text_visible(line);

        listing_paragraph(context->out, context->width > 40 ? context->width - 2 : 38, 2, shown);
        fputs("what it holds stays on record and counts as before\n", context->out);
        free(shown);
        free(line);
        status = settle_closed(context, session_id, failure);
    }
    if (status == STATUS_OK)
        context_next(context, "due", NULL);
    free(undone);
    return status;
}
