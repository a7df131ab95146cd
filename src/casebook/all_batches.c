/* all_batches.c - many batches loaded and worked out, on all the machine's cores. */
#include "all_batches.h"

#include <errno.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "batch_store.h"
#include "memory.h"

/* Batches are read some at a time, under one lock of the notebook, and then shared out. */
enum { MOST_CORES = 64, BATCHES_A_CORE = 32 };

/* One batch under way. Owns the batch and its rows. */
struct work {
    const char *code;         /* lent */
    struct batch_case *batch; /* NULL: it could not be read */
    char *rows;
    size_t rows_length;
    enum status status;
    struct failure failure;
};

static enum status
write_rows(const struct batches_request *request, struct work *work)
{
    FILE *memory = open_memstream(&work->rows, &work->rows_length);
    enum status status = STATUS_OK;

    if (memory != NULL)
        status = request->write(work->batch, memory, request->write_data, &work->failure);
    if (memory == NULL || fclose(memory) != 0)
        return failure_set(&work->failure, STATUS_SYSTEM, "cannot keep the rows: %s", strerror(errno));
    return status;
}

static void
work_out(const struct batches_request *request, struct work *work)
{
    struct batch_case *batch = work->batch;
    struct failure *failure = &work->failure;
    enum status status = work->status;

    if (status == STATUS_OK && request->points)
        status = batch_case_value(batch, failure);
    if (status == STATUS_OK && (request->judged || request->followed))
        status = batch_case_judge(batch, failure);
    if (status == STATUS_OK && request->followed)
        status = batch_case_follow(batch, request->target_ph, failure);
    if (status == STATUS_OK && request->write != NULL)
        status = write_rows(request, work);
    work->status = status;
}

/* Some batches, of which each hand works out every `step`th. */
struct hand {
    const struct batches_request *request;
    struct work *works;
    size_t first, step, count;
    pthread_t thread;
    bool started;
};

static void *
run_hand(void *data)
{
    const struct hand *hand = data;

    for (size_t i = hand->first; i < hand->count; i += hand->step)
        work_out(hand->request, &hand->works[i]);
    return NULL;
}

/* A machine that gives no thread has this one do its part. */
static void
share_out(const struct batches_request *request, struct work *works, size_t count, size_t cores)
{
    struct hand hands[MOST_CORES];

    for (size_t i = 0; i < cores; i++) {
        hands[i] =
            (struct hand){.request = request, .works = works, .first = i, .step = cores, .count = count};
        hands[i].started = i > 0 && pthread_create(&hands[i].thread, NULL, run_hand, &hands[i]) == 0;
    }
    for (size_t i = 0; i < cores; i++)
        if (!hands[i].started)
            run_hand(&hands[i]);
    for (size_t i = 0; i < cores; i++)
        if (hands[i].started)
            pthread_join(hands[i].thread, NULL);
}

static enum status
load(struct case_loader *loader, const struct batches_request *request, const char *code,
     struct batch_case **ret_batch, struct failure *failure)
{
    struct batch_case *batch = memory_new(1, sizeof *batch);
    enum status status = request->judged || request->followed
                             ? case_loader_load(loader, code, batch, failure)
                             : case_loader_load_dossier(loader, code, batch, failure);

    if (status == STATUS_OK)
        *ret_batch = batch;
    else
        batch_case_free(batch);
    return status;
}

/* ret_count  of `works`, each with its batch or why there is none */
static enum status
load_some(struct case_loader *loader, const struct batches_request *request, size_t from, size_t most,
          struct work *works, size_t *ret_count, struct failure *failure)
{
    enum status status = store_begin_reading(loader->store, failure);

    *ret_count = 0;
    if (status != STATUS_OK)
        return status;
    for (size_t i = from; *ret_count < most && i < request->count; i++) {
        struct work *work = &works[(*ret_count)++];

        *work = (struct work){.code = request->codes[i]};
        work->status = load(loader, request, work->code, &work->batch, &work->failure);
    }
    store_end_reading(loader->store);
    return STATUS_OK;
}

/* Rule 3. */
static enum status
refuse(const struct batches_request *request, struct work *work, void *payload, struct failure *failure)
{
    if (request->refused != NULL && work->status != STATUS_SYSTEM) {
        request->refused(work->code, &work->failure, payload);
        return STATUS_OK;
    }
    *failure = work->failure;
    return work->batch == NULL ? work->status : failure_at(failure, "batch %s: ", work->code);
}

/* Give the sink what was worked out, until something ends it, and free the rest. */
static enum status
give(const struct batches_request *request, struct work *works, size_t count, batches_sink sink,
     void *payload, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; i < count; i++) {
        struct work *work = &works[i];

        if (status == STATUS_OK && work->status == STATUS_OK) {
            status = sink(work->batch, (struct batch_rows){work->rows, work->rows_length}, payload, failure);
        } else {
            if (status == STATUS_OK)
                status = refuse(request, work, payload, failure);
            batch_case_free(work->batch);
        }
        free(work->rows);
    }
    return status;
}

static size_t
cores_of(const struct batches_request *request)
{
    long online = sysconf(_SC_NPROCESSORS_ONLN);
    size_t cores = request->cores > 0 ? request->cores : online > 0 ? (size_t)online : 1;

    if (cores > request->count)
        cores = request->count;
    return cores < MOST_CORES ? cores : MOST_CORES;
}

static void
say_progress(const struct batches_request *request, size_t done)
{
    if (request->progress != NULL)
        request->progress(done, request->count, request->progress_data);
}

enum status
all_batches(struct store *store, const struct batches_request *request, batches_sink sink, void *payload,
            struct failure *failure)
{
    struct case_loader loader = {.store = store, .many = request->count > 1, .follows = request->followed};
    size_t cores = cores_of(request), most = cores * BATCHES_A_CORE, count = 0;
    struct work *works = memory_new(most + 1, sizeof *works);
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < request->count; i += most) {
        say_progress(request, i);
        status = load_some(&loader, request, i, most, works, &count, failure);
        if (status != STATUS_OK)
            break;
        share_out(request, works, count, cores);
        status = give(request, works, count, sink, payload, failure);
    }
    say_progress(request, request->count);
    free(works);
    case_loader_clear(&loader);
    return status;
}

void
batch_codes_add(struct batch_codes *codes, const char *code)
{
    codes->codes = memory_room(codes->codes, codes->count, &codes->capacity, sizeof *codes->codes);
    codes->codes[codes->count++] = memory_copy(code);
}

static enum status
add_batch(const struct batch *batch, void *payload, struct failure *failure)
{
    (void)failure;
    batch_codes_add(payload, batch->code);
    return STATUS_OK;
}

enum status
batch_codes_all(struct store *store, struct batch_codes *codes, struct failure *failure)
{
    return batch_store_list(store, add_batch, codes, failure);
}

void
batch_codes_clear(struct batch_codes *codes)
{
    for (size_t i = 0; i < codes->count; i++)
        free(codes->codes[i]);
    free(codes->codes);
    *codes = (struct batch_codes){0};
}
