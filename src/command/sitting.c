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
#include "titrating.h"
#include "titration_view.h"
#include "walk.h"

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

static enum status
no_acid(const struct sitting *sitting, const struct titrating *titrating, size_t index,
        struct failure *failure)
{
    const struct specimen *specimen = &sitting->bench.specimens[index];
    char *typed = text_as_typed(sitting->bench.codes[index]);

    failure_set(failure, STATUS_MISSING,
                "the acid's concentration was left out: file the titration with curetrace titrate %s "
                "--soap-g %g --volume-ml %g --acid-mol-l ...",
                typed, specimen->soap_mass_g, titrating_value(titrating, RECORDS_TITRANT, specimen->id));
    free(typed);
    return STATUS_MISSING;
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

/* In one transaction, which speaks once it is on disk. */
static enum status
settle(struct context *context, const struct sitting *sitting, const struct titrating *titrating,
       struct failure *failure)
{
    struct held_words held;
    enum status status = context_begin(context, &held, failure);

    if (status != STATUS_OK)
        return status;
    if (sitting->bench.procedure.subject == PROCEDURE_TITRATION)
        status = titrating_file(titrating, failure);
    if (status == STATUS_OK)
        status = hold_batches(context, &sitting->bench, failure);
    return context_commit(context, &held, status, failure);
}

/* What each batch's titrations say now, once the last portion was read. */
static enum status
show_titrations(struct context *context, const struct sitting *sitting, const struct titrating *titrating,
                struct failure *failure)
{
    const struct bench *bench = &sitting->bench;
    size_t without_acid = titrating_without_acid(titrating);
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < bench->specimen_count; i++)
        if (first_of_batch(bench, i) && titrating_filed(titrating, i))
            status = titration_view_print(context, bench->codes[i], failure);
    return status == STATUS_OK && without_acid != SIZE_MAX
               ? no_acid(sitting, titrating, without_acid, failure)
               : status;
}

enum status
sitting_after(struct context *context, int64_t session_id, bool finished, struct failure *failure)
{
    struct sitting sitting = {0};
    struct titrating titrating = {.store = context->store, .bench = &sitting.bench};
    enum status status = bench_lay_out(context->store, session_id, &sitting.bench, failure);

    if (status != STATUS_OK)
        return status;
    status =
        answer_store_of_session(context->store, session_id, &sitting.answers, &sitting.answer_count, failure);
    titrating.answers = sitting.answers;
    titrating.answer_count = sitting.answer_count;
    if (status == STATUS_OK)
        status = settle(context, &sitting, &titrating, failure);
    if (status == STATUS_OK && finished && sitting.bench.procedure.subject == PROCEDURE_TITRATION)
        status = show_titrations(context, &sitting, &titrating, failure);
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

    if (status != STATUS_MISSING && status != STATUS_FORMAT)
        return status;
    listing_paragraph(context->out, context->width, 0, failure->text);
    return STATUS_OK;
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
