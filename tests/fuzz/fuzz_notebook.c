/* fuzz_notebook.c - a notebook file from anywhere: opened, verified, read and written to. */
#include <stdio.h>
#include <stdlib.h>
#include <unistd.h>

#include "batch_store.h"
#include "dossier_store.h"
#include "fuzz.h"
#include "gear_store.h"
#include "notebook.h"
#include "table_store.h"
#include "text.h"
#include "verify.h"

static enum status
read_batch(const struct batch *batch, void *payload, struct failure *failure)
{
    struct dossier dossier = {0};
    struct failure ignored = {0};

    (void)failure;
    if (batch->code != NULL && dossier_store_load(payload, batch->code, &dossier, &ignored) == STATUS_OK)
        dossier_clear(&dossier);
    return STATUS_OK;
}

static enum status
read_row(const struct table_value *values, size_t count, void *payload, struct failure *failure)
{
    size_t *total = payload;

    (void)failure;
    for (size_t i = 0; i < count; i++)
        *total += values[i].null ? 0 : 1;
    return ++*total > 1000000 ? STATUS_CONFLICT : STATUS_OK;
}

static void
use(struct store *store, enum store_mode mode)
{
    struct verify_report report = {0};
    struct failure failure = {0};
    struct batch batch = {
        .code = fuzz_text((const uint8_t *)"Z-1", 3), .made_on = 20000, .added_at = 1728000000};
    size_t total = 0;

    if (verify_notebook(store, NULL, &report, &failure) == STATUS_OK)
        verify_report_clear(&report);
    batch_store_list(store, read_batch, store, &failure);
    for (size_t i = 0; i <= table_store_count(); i++)
        table_store_read(store, i, read_row, &total, &failure);
    if (mode == STORE_WRITE)
        batch_store_add(store, &batch, &failure);
    batch_clear(&batch);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const enum store_mode modes[] = {STORE_READ, STORE_WRITE};
    char path[] = "/dev/shm/curetrace-fuzz-XXXXXX", *journal;
    int descriptor = mkstemp(path);

    if (descriptor < 0 || write(descriptor, data, size) != (ssize_t)size)
        exit(1);
    close(descriptor);
    for (size_t i = 0; i < 2; i++) {
        struct failure failure = {0};
        struct store *store = NULL;

        if (notebook_open(path, modes[i], &store, NULL, &failure) == STATUS_OK)
            use(store, modes[i]);
        store_close(store);
    }
    unlink(path);
    journal = text_format("%s-journal", path);
    unlink(journal);
    free(journal);
    return 0;
}
