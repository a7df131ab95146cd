/* bulk_writer.c - blocks of an import's rows go into the notebook while the next are made ready. */
#include "bulk_writer.h"

#include <pthread.h>
#include <stdlib.h>

#include "journal.h"
#include "memory.h"
#include "sql.h"
#include "store_internal.h"

/* Enough that neither thread waits because the other has a slow moment. */
enum { BLOCKS = 4 };

struct bulk_writer {
    struct store *store; /* lent */
    struct bulk_source sources[BULK_TABLES];
    sqlite3_stmt *add[BULK_TABLES];
    struct bulk_block blocks[BLOCKS];

    bool started; /* there is a second thread; if not, blocks are written when they are handed over */
    pthread_t thread;
    pthread_mutex_t lock; /* of what follows */
    pthread_cond_t handed_over, done;
    size_t handed, written; /* blocks so far: the one being filled is blocks[handed % BLOCKS] */
    bool over;
    struct failure failure;
};

static const char *const add_sql[BULK_TABLES] = {
    [BULK_BATCH] = sql_batch_add_many,         [BULK_SESSION] = sql_session_add_many,
    [BULK_CLOSE] = sql_session_close_add_many, [BULK_SPECIMEN] = sql_specimen_add_many,
    [BULK_READING] = sql_reading_add_many,
};

enum status
bulk_writer_open(struct store *store, struct bulk_writer **ret_writer, struct failure *failure)
{
    struct bulk_writer *writer = memory_new(1, sizeof *writer);
    int code = SQLITE_OK;

    writer->store = store;
    pthread_mutex_init(&writer->lock, NULL);
    pthread_cond_init(&writer->handed_over, NULL);
    pthread_cond_init(&writer->done, NULL);
    for (size_t i = 0; code == SQLITE_OK && i < BULK_TABLES; i++) {
        writer->sources[i].table = (enum bulk_table)i;
        code = bulk_source_open(store->handle, &writer->sources[i]);
        if (code == SQLITE_OK)
            code = sqlite3_prepare_v3(store->handle, add_sql[i], -1, SQLITE_PREPARE_PERSISTENT,
                                      &writer->add[i], NULL);
    }
    if (code != SQLITE_OK) {
        store_failure(store, code, "cannot write the notebook", failure);
        bulk_writer_close(writer);
        return failure->status;
    }
    *ret_writer = writer;
    return STATUS_OK;
}

struct bulk_block *
bulk_writer_block(struct bulk_writer *writer)
{
    return &writer->blocks[writer->handed % BLOCKS]; /* `handed` is changed by this thread alone */
}

/* The rows were journalled under the numbers that they must get now. */
static enum status
write_rows(struct bulk_writer *writer, const struct bulk_block *block, enum bulk_table table,
           struct failure *failure)
{
    const struct bulk_rows *rows = &block->rows[table];
    sqlite3 *handle = writer->store->handle;
    int code;

    if (rows->count == 0)
        return STATUS_OK;
    writer->sources[table].block = block;
    code = sqlite3_step(writer->add[table]);
    sqlite3_reset(writer->add[table]);
    writer->sources[table].block = NULL;
    if (code != SQLITE_DONE)
        return store_failure(writer->store, code, "cannot write the notebook", failure);
    if (sqlite3_changes(handle) != (int)rows->count ||
        sqlite3_last_insert_rowid(handle) != bulk_block_last(block, table))
        return failure_set(
            failure, STATUS_SYSTEM,
            "cannot write the notebook '%s': table %s does not number its rows from 1 without a gap (see "
            "verify); nothing was changed",
            writer->store->path, bulk_table_names[table]);
    return STATUS_OK;
}

static enum status
write_block(struct bulk_writer *writer, const struct bulk_block *block, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (size_t i = 0; status == STATUS_OK && i < BULK_TABLES; i++)
        status = write_rows(writer, block, (enum bulk_table)i, failure);
    for (size_t i = 0; status == STATUS_OK && i < block->entry_count; i++) {
        const struct bulk_entry *entry = &block->entries[i];

        status = journal_entry(writer->store, bulk_table_names[entry->table], entry->first, entry->last,
                               entry->text, failure);
    }
    if (status == STATUS_OK)
        return STATUS_OK;
    failure->status = STATUS_SYSTEM; /* rule 2 */
    return STATUS_SYSTEM;
}

/* The second thread. */
static void *
work(void *data)
{
    struct bulk_writer *writer = data;

    pthread_mutex_lock(&writer->lock);
    for (;;) {
        struct failure failure = {0};

        while (writer->written == writer->handed && !writer->over)
            pthread_cond_wait(&writer->handed_over, &writer->lock);
        if (writer->over)
            break;
        if (writer->failure.status == STATUS_OK) {
            pthread_mutex_unlock(&writer->lock);
            write_block(writer, &writer->blocks[writer->written % BLOCKS], &failure);
            pthread_mutex_lock(&writer->lock);
            writer->failure = failure;
        }
        writer->written++; /* this thread alone changes it */
        pthread_cond_signal(&writer->done);
    }
    pthread_mutex_unlock(&writer->lock);
    return NULL;
}

/* Wait until at most `most` blocks are handed over and not written. */
static enum status
await(struct bulk_writer *writer, size_t most, struct failure *failure)
{
    enum status status;

    pthread_mutex_lock(&writer->lock);
    while (writer->handed - writer->written > most)
        pthread_cond_wait(&writer->done, &writer->lock);
    status = writer->failure.status;
    if (status != STATUS_OK)
        *failure = writer->failure;
    pthread_mutex_unlock(&writer->lock);
    return status;
}

/* Nothing is being written by the other thread, if there is one. */
static enum status
write_here(struct bulk_writer *writer, struct failure *failure)
{
    struct bulk_block *block = bulk_writer_block(writer);

    if (writer->failure.status == STATUS_OK)
        write_block(writer, block, &writer->failure);
    bulk_block_empty(block);
    return await(writer, 0, failure);
}

enum status
bulk_writer_next(struct bulk_writer *writer, struct failure *failure)
{
    enum status status;

    if (!writer->started)
        writer->started = pthread_create(&writer->thread, NULL, work, writer) == 0;
    if (!writer->started)
        return write_here(writer, failure);
    pthread_mutex_lock(&writer->lock);
    writer->handed++;
    pthread_cond_signal(&writer->handed_over);
    pthread_mutex_unlock(&writer->lock);
    status = await(writer, BLOCKS - 1, failure);
    bulk_block_empty(bulk_writer_block(writer));
    return status;
}

enum status
bulk_writer_settle(struct bulk_writer *writer, struct failure *failure)
{
    return await(writer, 0, failure);
}

enum status
bulk_writer_finish(struct bulk_writer *writer, struct failure *failure)
{
    enum status status = await(writer, 0, failure);

    return status == STATUS_OK ? write_here(writer, failure) : status;
}

void
bulk_writer_close(struct bulk_writer *writer)
{
    if (writer == NULL)
        return;
    if (writer->started) {
        pthread_mutex_lock(&writer->lock);
        writer->over = true;
        pthread_cond_signal(&writer->handed_over);
        pthread_mutex_unlock(&writer->lock);
        pthread_join(writer->thread, NULL);
    }
    for (size_t i = 0; i < BULK_TABLES; i++) {
        sqlite3_finalize(writer->add[i]);
        bulk_source_close(writer->store->handle, &writer->sources[i]);
    }
    for (size_t i = 0; i < BLOCKS; i++)
        bulk_block_clear(&writer->blocks[i]);
    pthread_mutex_destroy(&writer->lock);
    pthread_cond_destroy(&writer->handed_over);
    pthread_cond_destroy(&writer->done);
    free(writer);
}
