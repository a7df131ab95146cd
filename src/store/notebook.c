/* notebook.c - opening a notebook: is it one, is it as a released version makes it, is it up to date? */
#include "notebook.h"

#include <stdlib.h>
#include <string.h>

#include "backup.h"
#include "file.h"
#include "journal.h"
#include "memory.h"
#include "notebook_internal.h"
#include "schema.h"
#include "text.h"
#include "verify.h"

/* "CuTr": marks the file as this program's. */
#define APPLICATION_ID 0x43755472

enum { COPIES_MOST = 1000 };

/* --- what is it? ------------------------------------------------------------------------------------- */

/* Rule 1: their SQL would run whenever a table of that name is read. */
static enum status
check_plain(struct store *store, struct failure *failure)
{
    int64_t count = 0;
    enum status status = store_number(store,
                                      "SELECT count(*) FROM sqlite_schema WHERE type = 'view' OR "
                                      "(type = 'table' AND coalesce(rootpage, 0) = 0)",
                                      &count, failure);

    if (status == STATUS_OK && count > 0)
        return failure_set(failure, STATUS_FORMAT,
                           "'%s' holds views or virtual tables, which no notebook of this program has",
                           store->path);
    return status;
}

/* Rule 1. An empty file has version 0 and is no notebook yet. */
static enum status
check_kind(struct store *store, int64_t *ret_version, bool *ret_empty, struct failure *failure)
{
    int64_t application = 0, version = 0, objects = 0;
    enum status status = store_number(store, "PRAGMA application_id", &application, failure);

    if (status == STATUS_OK)
        status = store_number(store, "PRAGMA user_version", &version, failure);
    if (status == STATUS_OK)
        status = store_number(store, "SELECT count(*) FROM sqlite_schema", &objects, failure);
    if (status != STATUS_OK)
        return status;
    *ret_version = version;
    *ret_empty = application == 0 && version == 0 && objects == 0;
    if (*ret_empty)
        return STATUS_OK;
    if (application != APPLICATION_ID)
        return failure_set(failure, STATUS_FORMAT,
                           "'%s' is a database of another program, not a notebook of this one", store->path);
    if (version <= 0)
        return failure_set(
            failure, STATUS_FORMAT,
            "'%s' is marked as a notebook but does not say of which version: another program changed "
            "it",
            store->path);
    if (version > store->schema.count)
        return failure_set(
            failure, STATUS_FORMAT,
            "'%s' was made by a newer version of curetrace (its version is %lld, this one knows up to %d)",
            store->path, (long long)version, store->schema.count);
    return check_plain(store, failure);
}

static void
keep_first(const char *difference, void *payload)
{
    char **first = payload;

    if (*first == NULL)
        *first = memory_copy(difference);
}

/* Rule 2, under one lock; what was compared is remembered, so that a later change shows (store.h, rule 3). */
static enum status
look(struct store *store, int64_t *ret_version, bool *ret_empty, struct failure *failure)
{
    enum status status = store_begin_reading(store, failure);
    bool exact = true;

    if (status != STATUS_OK)
        return status;
    status = check_kind(store, ret_version, ret_empty, failure);
    if (status == STATUS_OK && !*ret_empty)
        status = schema_compare(store, (int)*ret_version, keep_first, &store->foreign, &exact, failure);
    if (status == STATUS_OK)
        status = store_number(store, "PRAGMA schema_version", &store->schema_cookie, failure);
    sqlite3_file_control(store->handle, "main", SQLITE_FCNTL_DATA_VERSION, &store->data_version);
    store_end_reading(store);
    if (status == STATUS_OK && !exact && store->foreign == NULL)
        store->foreign = memory_copy("its schema is another one");
    return status;
}

/* --- up to date -------------------------------------------------------------------------------------- */

/* True when the file is a copy of the notebook as it is now. */
static bool
is_copy(struct store *store, const char *path)
{
    struct failure ignored = {0};
    struct store *copy = NULL;
    char is[JOURNAL_HASH_SIZE], was[JOURNAL_HASH_SIZE];
    int64_t version = 0, copy_version = -1;
    bool same = store_connect(path, STORE_READ, &store->schema, &copy, &ignored) == STATUS_OK &&
                store_number(store, "PRAGMA user_version", &version, &ignored) == STATUS_OK &&
                store_number(copy, "PRAGMA user_version", &copy_version, &ignored) == STATUS_OK &&
                version == copy_version && journal_head(store, is, &ignored) == STATUS_OK &&
                journal_head(copy, was, &ignored) == STATUS_OK && strcmp(is, was) == 0;

    store_close(copy);
    return same;
}

/* Rule 3. A copy that is there is whole (backup.h). */
static enum status
keep_copy(struct store *store, int64_t version, char **ret_kept, struct failure *failure)
{
    enum status status = STATUS_CONFLICT;

    for (int i = 1; status == STATUS_CONFLICT && i <= COPIES_MOST; i++) {
        char *copy = i == 1 ? text_format("%s.before-%d", store->path, (int)version)
                            : text_format("%s.before-%d-%d", store->path, (int)version, i);

        if (!file_exists(copy))
            status =
                backup_write(store, copy, false, false, NULL, failure); /* a conflict: another was first */
        else if (is_copy(store, copy))
            status = STATUS_OK;
        if (status == STATUS_OK)
            *ret_kept = copy;
        else
            free(copy);
    }
    return status == STATUS_OK ? status : failure_at(failure, "before bringing the notebook up to date: ");
}

static enum status
check_verifies(struct store *store, struct failure *failure)
{
    struct verify_report report = {0};
    enum status status = verify_notebook(store, NULL, &report, failure);

    if (status == STATUS_OK && report.finding_count > 0)
        status = failure_set(failure, STATUS_SYSTEM, "the notebook would not verify: %s", report.findings[0]);
    verify_report_clear(&report);
    return status;
}

static enum status
apply(struct store *store, int64_t version, struct failure *failure)
{
    char *mark = text_format("PRAGMA application_id = %d; PRAGMA user_version = %d;", APPLICATION_ID,
                             (int)version + 1);
    enum status status =
        store_run(store, store->schema.migrations[version], "cannot bring the notebook up to date", failure);

    if (status == STATUS_OK)
        status = store_run(store, mark, "cannot bring the notebook up to date", failure);
    free(mark);
    if (status == STATUS_OK && version > 0 && version + 1 == store->schema.count)
        status = check_verifies(store, failure);
    return status;
}

static enum status
migrate_one(struct store *store, int64_t version, struct failure *failure)
{
    enum status status = store_run(store, "BEGIN IMMEDIATE", "cannot write the notebook", failure);
    int64_t found = version;

    if (status != STATUS_OK)
        return status;
    status =
        store_number(store, "PRAGMA user_version", &found, failure); /* another process may have been first */
    if (status == STATUS_OK && found == version)
        status = apply(store, version, failure);
    if (status == STATUS_OK)
        status = store_run(store, "COMMIT", "cannot write the notebook", failure);
    if (status != STATUS_OK && sqlite3_get_autocommit(store->handle) == 0)
        sqlite3_exec(store->handle, "ROLLBACK", NULL, NULL, NULL);
    return status;
}

static enum status
migrate(struct store *store, int64_t version, struct failure *failure)
{
    enum status status = STATUS_OK;

    for (; status == STATUS_OK && version < store->schema.count; version++)
        status = migrate_one(store, version, failure);
    return status;
}

/* Rule 4: the connection to the file gives way to one to a copy of its pages. */
static enum status
migrate_in_memory(struct store *store, int64_t version, struct failure *failure)
{
    struct store *copy = NULL;
    enum status status = store_connect(":memory:", STORE_WRITE, &store->schema, &copy, failure);
    sqlite3 *file = store->handle;

    if (status == STATUS_OK)
        status = backup_pages(store, copy->handle, store->path, failure);
    if (status == STATUS_OK)
        status = store_trust(copy, failure);
    if (status == STATUS_OK)
        status = migrate(copy, version, failure);
    if (status == STATUS_OK)
        status = store_run(copy, "PRAGMA query_only = ON", "cannot open the notebook", failure);
    if (status == STATUS_OK) {
        for (size_t i = 0; i < store->statement_count; i++)
            statement_close(&store->statements[i]);
        store->statement_count = 0;
        put_right_forget(store);
        store->handle = copy->handle;
        copy->handle = file;
    }
    store_close(copy);
    return status;
}

/* --- opening ----------------------------------------------------------------------------------------- */

static enum status
make(struct store *store, struct notebook_news *news, struct failure *failure)
{
    enum status status = STATUS_OK;

    if (store->mode != STORE_CREATE)
        return failure_set(failure, STATUS_FORMAT, "'%s' is empty, no notebook", store->path);
    news->created = true;
    status = store_trust(store, failure);
    return status == STATUS_OK ? migrate(store, 0, failure) : status;
}

static enum status
update(struct store *store, int64_t version, struct notebook_news *news, struct failure *failure)
{
    enum status status;

    if (store->mode == STORE_READ)
        return migrate_in_memory(store, version, failure);
    status = keep_copy(store, version, &news->kept, failure);
    return status == STATUS_OK ? migrate(store, version, failure) : status;
}

static enum status
refuse_foreign(const struct store *store, struct failure *failure)
{
    return failure_set(
        failure, STATUS_FORMAT,
        "'%s' is not as curetrace makes it (%s), so nothing is written to it; curetrace verify lists what "
        "differs",
        store->path, store->foreign);
}

static enum status
settle(struct store *store, struct notebook_news *news, struct failure *failure)
{
    int64_t version = 0;
    bool empty = false;
    enum status status = look(store, &version, &empty, failure);

    if (status != STATUS_OK)
        return status;
    if (empty) {
        status = make(store, news, failure);
    } else if (store->foreign != NULL) {
        /* For reading, as far as its tables can be read at all: those of an older version are not brought up to date. */
        return store->mode == STORE_READ ? STATUS_OK : refuse_foreign(store, failure);
    } else {
        status = store_trust(store, failure);
        if (status == STATUS_OK && version < store->schema.count)
            status = update(store, version, news, failure);
    }
    if (status == STATUS_OK && version < store->schema.count)
        status = look(store, &version, &empty, failure);
    if (status == STATUS_OK && store->foreign != NULL) /* another program was quicker */
        status = refuse_foreign(store, failure);
    return status;
}

enum status
notebook_open_as(const char *path, enum store_mode mode, const struct store_schema *schema,
                 struct store **ret_store, struct notebook_news *ret_news, struct failure *failure)
{
    struct notebook_news news = {0};
    struct store *store = NULL;
    enum status status = store_connect(path, mode, schema, &store, failure);

    if (status == STATUS_OK)
        status = settle(store, &news, failure);
    if (status == STATUS_OK && ret_news != NULL) {
        *ret_news = news;
        news = (struct notebook_news){0};
    }
    notebook_news_clear(&news);
    if (status != STATUS_OK) {
        store_close(store);
        return status;
    }
    *ret_store = store;
    return STATUS_OK;
}

enum status
notebook_open(const char *path, enum store_mode mode, struct store **ret_store,
              struct notebook_news *ret_news, struct failure *failure)
{
    struct store_schema released = schema_released();

    return notebook_open_as(path, mode, &released, ret_store, ret_news, failure);
}

void
notebook_news_clear(struct notebook_news *news)
{
    free(news->kept);
    *news = (struct notebook_news){0};
}

enum status
notebook_check_name(const char *path, struct failure *failure)
{
    if (*path != '\0' && *path != ':' && strncmp(path, "file:", 5) != 0)
        return STATUS_OK;
    return failure_set(
        failure, STATUS_USAGE,
        "'%.80s' is no file that keeps a notebook; name one by its path, as in ./notebook.sqlite", path);
}
