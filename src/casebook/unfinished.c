/* unfinished.c - walk-throughs that were left and not finished. */
#include "unfinished.h"

#include <stdlib.h>

#include "batch_store.h"
#include "memory.h"
#include "session_store.h"
#include "text.h"

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
