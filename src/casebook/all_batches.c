/* all_batches.c - many batches loaded and worked out, on all the machine's cores. */
#include "all_batches.h"

#include <errno.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "batch_store.h"
#include "memory.h"

/* Batches are read and worked out a handful at a time: one lock of the notebook for them, and one word between the
 * threads. */
enum { MOST_CORES = 64, HANDFULS_A_CORE = 3, MOST_IN_HAND = 8 };

/* One batch under way. Owns both. */
struct work {
    struct batch_case *batch;
    char *rows;
    size_t rows_length;
};

static void
work_clear(struct work *work)
{
    batch_case_free(work->batch);
    free(work->rows);
    *work = (struct work){0};
}

/* A few batches under way. */
struct handful {
    struct work works[MOST_IN_HAND]; /* as far as loaded */
    size_t count;
    enum { HANDFUL_WAITING, HANDFUL_TAKEN, HANDFUL_DONE } stage;
    size_t worked_out; /* before `status` went wrong */
    enum status status;
    struct failure failure;
};

static void
handful_clear(struct handful *handful)
{
    for (size_t i = 0; i < handful->count; i++)
        work_clear(&handful->works[i]);
    handful->count = handful->worked_out = 0;
}

/* Handfuls first to end - 1 are under way, in handfuls[n % size]. The lock guards all but what a taken one owns. */
struct crew {
    const struct batches_request *request;
    struct handful *handfuls;
    size_t size, first, next, end; /* next: the first that no one has taken */
    bool over;
    pthread_mutex_t lock;
    pthread_cond_t something_to_do, something_done;
};

static enum status
write_rows(const struct batches_request *request, struct work *work, struct failure *failure)
{
    FILE *memory = open_memstream(&work->rows, &work->rows_length);
    enum status status = STATUS_OK;

    if (memory != NULL)
        status = request->write(work->batch, memory, failure);
    if (memory == NULL || fclose(memory) != 0)
        return failure_set(failure, STATUS_SYSTEM, "cannot keep the rows: %s", strerror(errno));
    return status;
}

static enum status
work_out(const struct batches_request *request, struct work *work, struct failure *failure)
{
    struct batch_case *batch = work->batch;
    enum status status = STATUS_OK;

    if (request->points)
        status = batch_case_value(batch, failure);
    if (status == STATUS_OK && (request->judged || request->followed))
        status = batch_case_judge(batch, failure);
    if (status == STATUS_OK && request->followed)
        status = batch_case_follow(batch, request->target_ph, failure);
    if (status == STATUS_OK && request->write != NULL)
        status = write_rows(request, work, failure);
    if (status != STATUS_OK)
        failure_at(failure, "batch %s: ", batch->dossier.batch.code);
    return status;
}

static void
work_out_handful(const struct batches_request *request, struct handful *handful)
{
    while (handful->status == STATUS_OK && handful->worked_out < handful->count) {
        handful->status = work_out(request, &handful->works[handful->worked_out], &handful->failure);
        handful->worked_out += handful->status == STATUS_OK ? 1 : 0;
    }
}

static void *
work(void *data)
{
    struct crew *crew = data;

    pthread_mutex_lock(&crew->lock);
    for (;;) {
        struct handful *handful;

        while (crew->next == crew->end && !crew->over)
            pthread_cond_wait(&crew->something_to_do, &crew->lock);
        if (crew->over)
            break;
        handful = &crew->handfuls[crew->next++ % crew->size];
        handful->stage = HANDFUL_TAKEN;
        pthread_mutex_unlock(&crew->lock);
        work_out_handful(crew->request, handful);
        pthread_mutex_lock(&crew->lock);
        handful->stage = HANDFUL_DONE;
        pthread_cond_signal(&crew->something_done);
    }
    pthread_mutex_unlock(&crew->lock);
    return NULL;
}

/* What only the thread that reads the notebook touches. */
struct feeder {
    const struct batches_request *request;
    struct case_loader loader;
};

static enum status
load(struct feeder *feeder, const char *code, struct batch_case **ret_batch, struct failure *failure)
{
    const struct batches_request *request = feeder->request;
    struct batch_case *batch = memory_new(1, sizeof *batch);
    enum status status = request->judged || request->followed
                             ? case_loader_load(&feeder->loader, code, batch, failure)
                             : case_loader_load_dossier(&feeder->loader, code, batch, failure);

    if (status == STATUS_OK)
        *ret_batch = batch;
    else
        batch_case_free(batch);
    return status;
}

/* Read the next batches, `most` of them if there are as many. Those read before one that fails are in the handful. */
static enum status
load_handful(struct feeder *feeder, size_t from, size_t most, struct handful *handful,
             struct failure *failure)
{
    const struct batches_request *request = feeder->request;
    size_t left = request->count - from;
    enum status status = store_begin_reading(feeder->loader.store, failure);

    *handful = (struct handful){.count = 0};
    if (status != STATUS_OK)
        return status;
    for (size_t i = 0; status == STATUS_OK && i < most && i < left; i++) {
        status = load(feeder, request->codes[from + i], &handful->works[i].batch, failure);
        handful->count += status == STATUS_OK ? 1 : 0;
    }
    store_end_reading(feeder->loader.store);
    return status;
}

/* Give the sink what was worked out, and free the rest. */
static enum status
give(struct handful *handful, batches_sink sink, void *payload, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < handful->worked_out; i++) {
        struct work *work = &handful->works[i];
        struct batch_case *batch = work->batch;

        work->batch = NULL;
        status = sink(batch, (struct batch_rows){work->rows, work->rows_length}, payload, failure);
    }
    if (status == STATUS_OK && handful->status != STATUS_OK) {
        *failure = handful->failure;
        status = handful->status;
    }
    handful_clear(handful);
    return status;
}

/* Wait for the oldest handful and give it. */
static enum status
hand_over(struct crew *crew, batches_sink sink, void *payload, struct failure *failure)
{
    struct handful *handful = &crew->handfuls[crew->first % crew->size];

    pthread_mutex_lock(&crew->lock);
    while (handful->stage != HANDFUL_DONE)
        pthread_cond_wait(&crew->something_done, &crew->lock);
    crew->first++;
    pthread_mutex_unlock(&crew->lock);
    return give(handful, sink, payload, failure);
}

static void
put_in(struct crew *crew)
{
    pthread_mutex_lock(&crew->lock);
    crew->end++;
    pthread_cond_signal(&crew->something_to_do);
    pthread_mutex_unlock(&crew->lock);
}

static void
say_progress(const struct batches_request *request, size_t done)
{
    if (request->progress != NULL)
        request->progress(done, request->count, request->progress_data);
}

/* What comes before a batch that cannot be read is given first, so that the first failure is the one told. */
static enum status
feed(struct crew *crew, struct feeder *feeder, size_t most, batches_sink sink, void *payload,
     struct failure *failure)
{
    const struct batches_request *request = crew->request;
    struct failure unread = {0};
    enum status status = STATUS_OK, read = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && read == STATUS_OK && i < request->count; i += most) {
        if (crew->end - crew->first == crew->size)
            status = hand_over(crew, sink, payload, failure);
        say_progress(request, i);
        if (status != STATUS_OK)
            break;
        read = load_handful(feeder, i, most, &crew->handfuls[crew->end % crew->size], &unread);
        put_in(crew);
    }
    while (status == STATUS_OK && crew->first < crew->end)
        status = hand_over(crew, sink, payload, failure);
    say_progress(request, request->count);
    if (status == STATUS_OK && read != STATUS_OK)
        *failure = unread;
    return status == STATUS_OK ? read : status;
}

/* Without threads, for one batch, one core, or a machine that gives none. */
static enum status
one_by_one(struct feeder *feeder, batches_sink sink, void *payload, struct failure *failure)
{
    const struct batches_request *request = feeder->request;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < request->count; i++) {
        struct handful handful;

        say_progress(request, i);
        status = load_handful(feeder, i, 1, &handful, failure);
        if (status != STATUS_OK)
            break;
        work_out_handful(request, &handful);
        status = give(&handful, sink, payload, failure);
    }
    say_progress(request, request->count);
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

static enum status
with_threads(struct feeder *feeder, size_t cores, batches_sink sink, void *payload, struct failure *failure)
{
    pthread_t threads[MOST_CORES];
    struct crew crew = {.request = feeder->request, .size = cores * HANDFULS_A_CORE};
    size_t started = 0, most = feeder->request->count / crew.size + 1; /* so that each core gets some */
    enum status status;

    most = most < MOST_IN_HAND ? most : MOST_IN_HAND;
    crew.handfuls = memory_new(crew.size, sizeof *crew.handfuls);
    pthread_mutex_init(&crew.lock, NULL);
    pthread_cond_init(&crew.something_to_do, NULL);
    pthread_cond_init(&crew.something_done, NULL);
    while (started < cores && pthread_create(&threads[started], NULL, work, &crew) == 0)
        started++;
    status = started == 0 ? one_by_one(feeder, sink, payload, failure)
                          : feed(&crew, feeder, most, sink, payload, failure);
    pthread_mutex_lock(&crew.lock);
    crew.over = true;
    pthread_cond_broadcast(&crew.something_to_do);
    pthread_mutex_unlock(&crew.lock);
    for (size_t i = 0; i < started; i++)
        pthread_join(threads[i], NULL);
    for (; crew.first < crew.end; crew.first++)
        handful_clear(&crew.handfuls[crew.first % crew.size]);
    pthread_mutex_destroy(&crew.lock);
    pthread_cond_destroy(&crew.something_to_do);
    pthread_cond_destroy(&crew.something_done);
    free(crew.handfuls);
    return status;
}

enum status
all_batches(struct store *store, const struct batches_request *request, batches_sink sink, void *payload,
            struct failure *failure)
{
    struct feeder feeder = {.request = request, .loader = {.store = store, .many = request->count > 1}};
    size_t cores = cores_of(request);
    enum status status = cores < 2 ? one_by_one(&feeder, sink, payload, failure)
                                   : with_threads(&feeder, cores, sink, payload, failure);

    case_loader_clear(&feeder.loader);
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
