/* batches_named.c - the batches that a command line names. */
#include "batches_named.h"

#include <stdlib.h>
#include <string.h>

#include "batch_store.h"
#include "memory.h"
#include "session.h"
#include "text.h"

static enum status
add_names(struct context *context, const struct options *options, struct batch_codes *codes,
          struct failure *failure)
{
    for (size_t i = 0; i < options_name_count(options); i++) {
        const char *name = options_name(options, i);
        int64_t id;
        enum status status = batch_store_id(context->store, name, &id, failure);

        if (status != STATUS_OK)
            return status;
        for (size_t k = 0; k < i; k++)
            if (text_same(name, codes->codes[k]))
                return failure_set(failure, STATUS_USAGE, "batch '%s' is named twice", name);
        batch_codes_add(codes, name);
    }
    return STATUS_OK;
}

enum status
batches_named(struct context *context, const struct options *options, struct batch_codes *ret_codes,
              struct failure *failure)
{
    struct batch_codes codes = {0};
    bool offered = options_takes(options, "all-batches");
    bool all = offered && options_has(options, "all-batches");
    enum status status;

    if (all && options_name_count(options) > 0)
        return failure_set(failure, STATUS_USAGE, "name batches or say --all-batches, not both");
    if (!all && options_name_count(options) == 0)
        return failure_set(failure, STATUS_USAGE, "which batch? name one or more%s",
                           offered ? ", or say --all-batches" : "");
    status =
        all ? batch_codes_all(context->store, &codes, failure) : add_names(context, options, &codes, failure);
    if (status == STATUS_OK)
        *ret_codes = codes;
    else
        batch_codes_clear(&codes);
    return status;
}

enum status
batch_named(struct store *store, const char *name, struct batch *ret_batch, char **ret_bar,
            struct failure *failure)
{
    const char *slash = strrchr(name, '/');
    struct failure whole = {0};
    enum status status = batch_store_find(store, name, ret_batch, &whole);
    char *code;

    *ret_bar = NULL;
    if (status != STATUS_MISSING || slash == NULL || slash[1] == '\0') {
        *failure = whole;
        return status;
    }
    code = text_format("%.*s", (int)(slash - name), name);
    status = batch_store_find(store, code, ret_batch, failure);
    if (status == STATUS_OK)
        *ret_bar = bar_label(slash + 1);
    free(code);
    return status;
}
