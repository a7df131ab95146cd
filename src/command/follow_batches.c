/* follow_batches.c - batches loaded and worked out, on all the machine's cores. */
#include "follow_batches.h"

#include <errno.h>
#include <pthread.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "batch_store.h"
#include "dossier_store.h"
#include "memory.h"
#include "text.h"

enum { MOST_CORES = 64, BATCHES_A_CORE = 4 };

void
followed_free(struct followed *followed)
{
    if (followed == NULL)
        return;
    cure_clear(&followed->cure);
    series_clear(&followed->series);
    free(followed->points);
    free(followed->rows);
    evidence_clear(&followed->evidence);
    free(followed);
}

/* A place in the row of batches under way. */
struct slot {
    struct followed *followed; /* owned */
    enum { SLOT_WAITING, SLOT_TAKEN, SLOT_DONE } stage;
    enum status status;
    struct failure failure;
};

/* Batches first to end - 1 are under way, in slots[n % size]. The lock guards all but what a taken slot owns. */
struct crew {
    const struct follow_request *request;
    struct slot *slots;
    size_t size, first, next, end; /* next: the first that no one has taken */
    bool over;
    pthread_mutex_t lock;
    pthread_cond_t something_to_do, something_done;
};

static enum status
write_rows(const struct follow_request *request, struct followed *followed, struct failure *failure)
{
    FILE *memory = open_memstream(&followed->rows, &followed->rows_length);

    if (memory != NULL)
        request->write(followed, memory);
    if (memory == NULL || fclose(memory) != 0)
        return failure_set(failure, STATUS_SYSTEM, "cannot keep the rows: %s", strerror(errno));
    return STATUS_OK;
}

static enum status
work_out(const struct follow_request *request, struct followed *followed, struct failure *failure)
{
    enum status status = STATUS_OK;

    if (request->points)
        status = verdict_points(&followed->evidence.dossier, &followed->points, failure);
    if (status == STATUS_OK && request->series) {
        struct verdict_aid aid = evidence_aid(&followed->evidence);

        aid.ph_alone = !request->verdicts;
        status = series_of(&followed->evidence.dossier, &aid, &followed->series, failure);
        if (status == STATUS_OK)
            status = cure_follow(followed->series.points, followed->series.count, request->target_ph,
                                 &followed->cure, failure);
    }
    if (status == STATUS_OK && request->write != NULL)
        status = write_rows(request, followed, failure);
    if (status != STATUS_OK)
        failure_at(failure, "batch %s: ", followed->evidence.dossier.batch.code);
    return status;
}

static void *
work(void *data)
{
    struct crew *crew = data;

    pthread_mutex_lock(&crew->lock);
    for (;;) {
        struct slot *slot;

        while (crew->next == crew->end && !crew->over)
            pthread_cond_wait(&crew->something_to_do, &crew->lock);
        if (crew->over)
            break;
        slot = &crew->slots[crew->next++ % crew->size];
        slot->stage = SLOT_TAKEN;
        pthread_mutex_unlock(&crew->lock);
        slot->status = work_out(crew->request, slot->followed, &slot->failure);
        pthread_mutex_lock(&crew->lock);
        slot->stage = SLOT_DONE;
        pthread_cond_signal(&crew->something_done);
    }
    pthread_mutex_unlock(&crew->lock);
    return NULL;
}

/* What only the thread that reads the notebook touches. */
struct loader {
    struct store *store;
    const struct follow_request *request;
    struct paper_bias *biases; /* owned: of every paper, learned once */
    size_t bias_count;
    bool learned;
};

static enum status
learn_papers(struct loader *loader, const struct dossier *dossier, struct failure *failure)
{
    enum status status = STATUS_OK;

    loader->learned = true;
    loader->biases = memory_new(dossier->gear_count + 1, sizeof *loader->biases);
    for (size_t i = 0; status == STATUS_OK && i < dossier->gear_count; i++) /* every gear of the notebook */
        if (dossier->gear[i].kind == GEAR_PAPER)
            status = evidence_paper_bias(loader->store, dossier->gear[i].id,
                                         &loader->biases[loader->bias_count++], failure);
    return status;
}

/* As evidence_load(), without learning each paper again for each batch. */
static enum status
load_aid(struct loader *loader, struct evidence *evidence, struct failure *failure)
{
    enum status status = STATUS_OK;

    if (evidence->dossier.batch.reference_code != NULL)
        status = dossier_store_load(loader->store, evidence->dossier.batch.reference_code,
                                    &evidence->reference, failure);
    if (status == STATUS_OK && !loader->learned)
        status = learn_papers(loader, &evidence->dossier, failure);
    if (status != STATUS_OK)
        return status;
    evidence->biases = memory_new(loader->bias_count + 1, sizeof *evidence->biases);
    for (size_t i = 0; i < loader->bias_count; i++)
        evidence->biases[evidence->bias_count++] = loader->biases[i];
    return STATUS_OK;
}

static enum status
load(struct loader *loader, const char *code, struct followed **ret_followed, struct failure *failure)
{
    struct followed *followed = memory_new(1, sizeof *followed);
    enum status status = dossier_store_load(loader->store, code, &followed->evidence.dossier, failure);

    if (status == STATUS_OK && loader->request->verdicts)
        status = load_aid(loader, &followed->evidence, failure);
    if (status == STATUS_OK)
        *ret_followed = followed;
    else
        followed_free(followed);
    return status;
}

/* Wait for the oldest batch and hand it over. */
static enum status
hand_over(struct crew *crew, followed_sink sink, void *payload, struct failure *failure)
{
    struct slot *slot = &crew->slots[crew->first % crew->size];
    struct followed *followed;
    enum status status;

    pthread_mutex_lock(&crew->lock);
    while (slot->stage != SLOT_DONE)
        pthread_cond_wait(&crew->something_done, &crew->lock);
    crew->first++;
    pthread_mutex_unlock(&crew->lock);
    followed = slot->followed;
    slot->followed = NULL;
    status = slot->status;
    if (status == STATUS_OK)
        return sink(followed, payload, failure);
    *failure = slot->failure;
    followed_free(followed);
    return status;
}

static enum status
put_in(struct crew *crew, struct loader *loader, const char *code, struct failure *failure)
{
    struct slot *slot = &crew->slots[crew->end % crew->size];
    enum status status;

    *slot = (struct slot){.stage = SLOT_WAITING};
    status = load(loader, code, &slot->followed, failure);
    if (status != STATUS_OK)
        return status;
    pthread_mutex_lock(&crew->lock);
    crew->end++;
    pthread_cond_signal(&crew->something_to_do);
    pthread_mutex_unlock(&crew->lock);
    return STATUS_OK;
}

static void
say_progress(const struct follow_request *request, size_t done)
{
    if (request->progress == NULL)
        return;
    if (done == request->count)
        fputs("\r\033[K", request->progress); /* the line has done its duty */
    else if (done % 16 == 0)
        fprintf(request->progress, "\rbatch %zu of %zu", done + 1, request->count);
    fflush(request->progress);
}

static enum status
feed(struct crew *crew, struct loader *loader, followed_sink sink, void *payload, struct failure *failure)
{
    const struct follow_request *request = crew->request;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < request->count; i++) {
        if (crew->end - crew->first == crew->size)
            status = hand_over(crew, sink, payload, failure);
        say_progress(request, i);
        if (status == STATUS_OK)
            status = put_in(crew, loader, request->codes[i], failure);
    }
    while (status == STATUS_OK && crew->first < crew->end)
        status = hand_over(crew, sink, payload, failure);
    say_progress(request, request->count);
    return status;
}

/* Without threads, for one batch, one core, or a machine that gives none. */
static enum status
one_by_one(struct loader *loader, followed_sink sink, void *payload, struct failure *failure)
{
    const struct follow_request *request = loader->request;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < request->count; i++) {
        struct followed *followed = NULL;

        say_progress(request, i);
        status = load(loader, request->codes[i], &followed, failure);
        if (status == STATUS_OK)
            status = work_out(request, followed, failure);
        if (status == STATUS_OK)
            status = sink(followed, payload, failure);
        else
            followed_free(followed);
    }
    say_progress(request, request->count);
    return status;
}

static size_t
cores_of(const struct follow_request *request)
{
    long online = sysconf(_SC_NPROCESSORS_ONLN);
    size_t cores = request->cores > 0 ? request->cores : online > 0 ? (size_t)online : 1;

    if (cores > request->count)
        cores = request->count;
    return cores < MOST_CORES ? cores : MOST_CORES;
}

static enum status
with_threads(struct loader *loader, size_t cores, followed_sink sink, void *payload, struct failure *failure)
{
    pthread_t threads[MOST_CORES];
    struct crew crew = {.request = loader->request, .size = cores * BATCHES_A_CORE};
    size_t started = 0;
    enum status status;

    crew.slots = memory_new(crew.size, sizeof *crew.slots);
    pthread_mutex_init(&crew.lock, NULL);
    pthread_cond_init(&crew.something_to_do, NULL);
    pthread_cond_init(&crew.something_done, NULL);
    while (started < cores && pthread_create(&threads[started], NULL, work, &crew) == 0)
        started++;
    status = started == 0 ? one_by_one(loader, sink, payload, failure)
                          : feed(&crew, loader, sink, payload, failure);
    pthread_mutex_lock(&crew.lock);
    crew.over = true;
    pthread_cond_broadcast(&crew.something_to_do);
    pthread_mutex_unlock(&crew.lock);
    for (size_t i = 0; i < started; i++)
        pthread_join(threads[i], NULL);
    for (; crew.first < crew.end; crew.first++)
        followed_free(crew.slots[crew.first % crew.size].followed);
    pthread_mutex_destroy(&crew.lock);
    pthread_cond_destroy(&crew.something_to_do);
    pthread_cond_destroy(&crew.something_done);
    free(crew.slots);
    return status;
}

enum status
follow_batches(struct store *store, const struct follow_request *request, followed_sink sink, void *payload,
               struct failure *failure)
{
    struct loader loader = {.store = store, .request = request};
    size_t cores = cores_of(request);
    enum status status = cores < 2 ? one_by_one(&loader, sink, payload, failure)
                                   : with_threads(&loader, cores, sink, payload, failure);

    free(loader.biases);
    return status;
}

static void
add_code(struct batch_codes *codes, const char *code)
{
    codes->codes = memory_room(codes->codes, codes->count, &codes->capacity, sizeof *codes->codes);
    codes->codes[codes->count++] = memory_copy(code);
}

static enum status
add_batch(const struct batch *batch, void *payload, struct failure *failure)
{
    (void)failure;
    add_code(payload, batch->code);
    return STATUS_OK;
}

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
        add_code(codes, name);
    }
    return STATUS_OK;
}

enum status
batch_codes_named(struct context *context, const struct options *options, struct batch_codes *ret_codes,
                  struct failure *failure)
{
    struct batch_codes codes = {0};
    bool all = options_has(options, "all-batches");
    enum status status;

    if (all && options_name_count(options) > 0)
        return failure_set(failure, STATUS_USAGE, "name batches or say --all-batches, not both");
    if (!all && options_name_count(options) == 0)
        return failure_set(failure, STATUS_USAGE, "which batch? name one or more, or say --all-batches");
    status = all ? batch_store_list(context->store, add_batch, &codes, failure)
                 : add_names(context, options, &codes, failure);
    if (status == STATUS_OK)
        *ret_codes = codes;
    else
        batch_codes_clear(&codes);
    return status;
}

void
batch_codes_clear(struct batch_codes *codes)
{
    for (size_t i = 0; i < codes->count; i++)
        free(codes->codes[i]);
    free(codes->codes);
    *codes = (struct batch_codes){0};
}
