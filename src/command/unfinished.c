/* unfinished.c - walk-throughs that were left and not finished. */
#include "unfinished.h"

#include <stdlib.h>

#include "batch_store.h"
#include "listing.h"
#include "memory.h"
#include "session_store.h"
#include "sitting.h"
#include "text.h"
#include "walk.h"

/* The codes of the session's batches, each once. */
static enum status
add_codes(struct store *store, int64_t session_id, struct text *text, struct failure *failure)
{
    struct specimen *specimens = NULL;
    size_t count = 0;
    enum status status = specimen_store_of_session(store, session_id, &specimens, &count, failure);

    for (size_t i = 0; i < count; i++) {
        char *code = NULL;
        bool named = false;

        for (size_t k = 0; k < i; k++)
            named = named || specimens[k].batch_id == specimens[i].batch_id;
        if (status == STATUS_OK && !named)
            status = batch_store_code(store, specimens[i].batch_id, &code, failure);
        if (code != NULL)
            text_addf(text, "%s%s", text->length == 0 ? "" : ", ", code);
        free(code);
    }
    for (size_t i = 0; i < count; i++)
        specimen_clear(&specimens[i]);
    free(specimens);
    return status;
}

static enum status
find(struct store *store, int64_t id, struct unfinished *unfinished, struct failure *failure)
{
    struct session session = {0};
    struct text codes = {0};
    enum status status = session_store_find(store, id, &session, failure);

    if (status == STATUS_OK)
        status = add_codes(store, id, &codes, failure);
    unfinished->id = id;
    unfinished->begun = session.started_at;
    unfinished->codes = memory_copy(text_of(&codes));
    text_clear(&codes);
    session_clear(&session);
    return status;
}

enum status
unfinished_list(struct store *store, struct unfinished **ret_list, size_t *ret_count, struct failure *failure)
{
    int64_t *ids = NULL;
    size_t count = 0;
    enum status status = session_store_unfinished(store, &ids, &count, failure);

    *ret_list = memory_new(count + 1, sizeof **ret_list);
    *ret_count = status == STATUS_OK ? count : 0;
    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        status = find(store, ids[i], &(*ret_list)[i], failure);
    free(ids);
    return status;
}

void
unfinished_free(struct unfinished *list, size_t count)
{
    for (size_t i = 0; i < count; i++)
        free(list[i].codes);
    free(list);
}

enum status
unfinished_of_batch(struct store *store, int64_t batch_id, int64_t *ret_session_id, struct failure *failure)
{
    struct portions portions = {.batch_id = batch_id};
    struct session *sessions = NULL;
    size_t count = 0;
    enum status status = session_store_of(store, &portions, &sessions, &count, failure);

    *ret_session_id = 0;
    for (size_t i = 0; i < count; i++) {
        if (sessions[i].procedure_id != 0 && sessions[i].finished_at == MOMENT_NONE)
            *ret_session_id = sessions[i].id;
        session_clear(&sessions[i]);
    }
    free(sessions);
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
    enum status status = walk_open(store, session_id, &walk, failure);

    if (status != STATUS_OK && status != STATUS_FORMAT)
        return status;
    text_addf(&text, "closed before its end: %s", why);
    if (status == STATUS_OK) {
        char *not_done = walk_not_done(&walk), *left_out = walk_left_open(&walk);

        text_addf(&text, "%s%s", not_done == NULL ? "" : "; not done: ", not_done == NULL ? "" : not_done);
        text_addf(&text, "%s%s", left_out == NULL ? "" : "; left out: ", left_out == NULL ? "" : left_out);
        free(left_out);
        free(not_done);
        walk_close(&walk);
    }
    *ret_text = text_take(&text);
    return STATUS_OK;
}

/* What the session measured is judged and filed like that of a finished one. A titration that lacks its acid
 * is told, and does not keep the session open. */
static enum status
settle(struct context *context, int64_t session_id, struct failure *failure)
{
    enum status status = sitting_after(context, session_id, true, failure);

    if (status == STATUS_MISSING) {
        listing_paragraph(context->out, context->width, 0, failure->text);
        status = STATUS_OK;
    }
    return status == STATUS_FORMAT ? STATUS_OK : status;
}

enum status
unfinished_close(struct context *context, int64_t session_id, civil_time closed_at, const char *why,
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
        status = settle(context, session_id, failure);
    }
    if (status == STATUS_OK)
        context_next(context, "due", NULL);
    free(undone);
    return status;
}
