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

/* Batches are read and worked out a handful at a time: one lock of the notebook for them, and one word between the
 * threads. */
enum { MOST_CORES = 64, HANDFULS_A_CORE = 3, MOST_IN_HAND = 8 };

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

/* A few batches under way. */
struct handful {
    struct followed *batches[MOST_IN_HAND]; /* owned, as far as loaded */
    size_t count;
    enum { HANDFUL_WAITING, HANDFUL_TAKEN, HANDFUL_DONE } stage;
    size_t worked_out; /* before `status` went wrong */
    enum status status;
    struct failure failure;
};

/* Handfuls first to end - 1 are under way, in handfuls[n % size]. The lock guards all but what a taken one owns. */
struct crew {
    const struct follow_request *request;
    struct handful *handfuls;
    size_t size, first, next, end; /* next: the first that no one has taken */
    bool over;
    pthread_mutex_t lock;
    pthread_cond_t something_to_do, something_done;
};

static enum status
write_rows(const struct follow_request *request, struct followed *followed, struct failure *failure)
{
    FILE *memory = open_memstream(&followed->rows, &followed->rows_length);
    enum status status = STATUS_OK;

    if (memory != NULL)
        status = request->write(followed, request->write_data, memory, failure);
    if (memory == NULL || fclose(memory) != 0)
        return failure_set(failure, STATUS_SYSTEM, "cannot keep the rows: %s", strerror(errno));
    return status;
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

static void
work_out_handful(const struct follow_request *request, struct handful *handful)
{
    while (handful->status == STATUS_OK && handful->worked_out < handful->count) {
        handful->status = work_out(request, handful->batches[handful->worked_out], &handful->failure);
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
struct loader {
    struct store *store;
    const struct follow_request *request;
    struct paper_bias *biases; /* owned: of every paper, learned once */
    size_t bias_count;
    bool learned;
};

static enum status
load_dossier(struct loader *loader, const char *code, struct dossier *ret_dossier, struct failure *failure)
{
    return loader->request->count > 1 ? dossier_store_load_of_many(loader->store, code, ret_dossier, failure)
                                      : dossier_store_load(loader->store, code, ret_dossier, failure);
}

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
        status = load_dossier(loader, evidence->dossier.batch.reference_code, &evidence->reference, failure);
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
    enum status status = load_dossier(loader, code, &followed->evidence.dossier, failure);

    if (status == STATUS_OK && loader->request->verdicts)
        status = load_aid(loader, &followed->evidence, failure);
    if (status == STATUS_OK)
        *ret_followed = followed;
    else
        followed_free(followed);
    return status;
}

/* Read the next batches, `most` of them if there are as many. Those read before one that fails are in the handful. */
static enum status
load_handful(struct loader *loader, size_t from, size_t most, struct handful *handful,
             struct failure *failure)
{
    const struct follow_request *request = loader->request;
    size_t left = request->count - from;
    enum status status = store_begin_reading(loader->store, failure);

    *handful = (struct handful){.count = 0};
    if (status != STATUS_OK)
        return status;
    for (size_t i = 0; status == STATUS_OK && i < most && i < left; i++) {
        status = load(loader, request->codes[from + i], &handful->batches[i], failure);
        handful->count += status == STATUS_OK ? 1 : 0;
    }
    store_end_reading(loader->store);
    return status;
}

/* Give the sink what was worked out, and free the rest. */
static enum status
give(struct handful *handful, followed_sink sink, void *payload, struct failure *failure)
{
    enum status status = STATUS_OK;
    size_t given = 0;

    for (; status == STATUS_OK && given < handful->worked_out; given++)
        status = sink(handful->batches[given], payload, failure);
    if (status == STATUS_OK && handful->status != STATUS_OK) {
        *failure = handful->failure;
        status = handful->status;
    }
    for (; given < handful->count; given++)
        followed_free(handful->batches[given]);
    handful->count = handful->worked_out = 0;
    return status;
}

/* Wait for the oldest handful and give it. */
static enum status
hand_over(struct crew *crew, followed_sink sink, void *payload, struct failure *failure)
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
say_progress(const struct follow_request *request, size_t done)
{
    if (request->progress == NULL)
        return;
    if (done == request->count)
        fputs("\r\033[K", request->progress); /* the line has done its duty */
    else
        fprintf(request->progress, "\rbatch %zu of %zu", done + 1, request->count);
    fflush(request->progress);
}

/* What comes before a batch that cannot be read is given first, so that the first failure is the one told. */
static enum status
feed(struct crew *crew, struct loader *loader, size_t most, followed_sink sink, void *payload,
     struct failure *failure)
{
    const struct follow_request *request = crew->request;
    struct failure unread = {0};
    enum status status = STATUS_OK, read = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && read == STATUS_OK && i < request->count; i += most) {
        if (crew->end - crew->first == crew->size)
            status = hand_over(crew, sink, payload, failure);
        say_progress(request, i);
        if (status != STATUS_OK)
            break;
        read = load_handful(loader, i, most, &crew->handfuls[crew->end % crew->size], &unread);
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
one_by_one(struct loader *loader, followed_sink sink, void *payload, struct failure *failure)
{
    const struct follow_request *request = loader->request;
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < request->count; i++) {
        struct handful handful;

        say_progress(request, i);
        status = load_handful(loader, i, 1, &handful, failure);
        if (status != STATUS_OK)
            break;
        work_out_handful(request, &handful);
        status = give(&handful, sink, payload, failure);
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
    struct crew crew = {.request = loader->request, .size = cores * HANDFULS_A_CORE};
    size_t started = 0, most = loader->request->count / crew.size + 1; /* so that each core gets some */
    enum status status;

    most = most < MOST_IN_HAND ? most : MOST_IN_HAND;
    crew.handfuls = memory_new(crew.size, sizeof *crew.handfuls);
    pthread_mutex_init(&crew.lock, NULL);
    pthread_cond_init(&crew.something_to_do, NULL);
    pthread_cond_init(&crew.something_done, NULL);
    while (started < cores && pthread_create(&threads[started], NULL, work, &crew) == 0)
        started++;
    status = started == 0 ? one_by_one(loader, sink, payload, failure)
                          : feed(&crew, loader, most, sink, payload, failure);
    pthread_mutex_lock(&crew.lock);
    crew.over = true;
    pthread_cond_broadcast(&crew.something_to_do);
    pthread_mutex_unlock(&crew.lock);
    for (size_t i = 0; i < started; i++)
        pthread_join(threads[i], NULL);
    for (; crew.first < crew.end; crew.first++) {
        struct handful *handful = &crew.handfuls[crew.first % crew.size];

        for (size_t i = 0; i < handful->count; i++)
            followed_free(handful->batches[i]);
    }
    pthread_mutex_destroy(&crew.lock);
    pthread_cond_destroy(&crew.something_to_do);
    pthread_cond_destroy(&crew.something_done);
    free(crew.handfuls);
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
