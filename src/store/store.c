/* store.c - the notebook: one SQLite file, opened, checked and migrated. */
#include "store.h"

#include <assert.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "backup.h"
#include "file.h"
#include "memory.h"
#include "sql.h"
#include "store_internal.h"
#include "text.h"

/* "CuTr": marks the file as this program's. */
#define APPLICATION_ID 0x43755472

enum { WAIT_MS = 10000 };

/* Slots in which SQLite keeps the cursors of a statement, instead of asking for memory at every step: its own are
 * too small for the widest tables. */
enum { LOOKASIDE_BYTES = 4096, LOOKASIDE_SLOTS = 64 };

enum status
store_failure(struct store *store, int code, const char *doing, struct failure *failure)
{
    switch (code & 0xff) {
    case SQLITE_CONSTRAINT:
        return failure_set(failure, STATUS_CONFLICT, "%s: %s", doing, sqlite3_errmsg(store->handle));
    case SQLITE_FULL:
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': the disk is full; nothing was changed", doing,
                           store->path);
    case SQLITE_READONLY:
        if (sqlite3_extended_errcode(store->handle) == SQLITE_READONLY_DBMOVED)
            return failure_set(failure, STATUS_SYSTEM,
                               "%s '%s': it was moved or deleted while it was open; nothing was changed",
                               doing, store->path);
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': it is read-only", doing, store->path);
    case SQLITE_BUSY:
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': another program is using it; try again", doing,
                           store->path);
    case SQLITE_NOTADB:
    case SQLITE_CORRUPT:
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': it is damaged, or no notebook (%s)", doing,
                           store->path, sqlite3_errmsg(store->handle));
    default:
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': %s", doing, store->path,
                           sqlite3_errmsg(store->handle));
    }
}

static enum status
run(struct store *store, const char *sql, const char *doing, struct failure *failure)
{
    int code = sqlite3_exec(store->handle, sql, NULL, NULL, NULL);

    return code == SQLITE_OK ? STATUS_OK : store_failure(store, code, doing, failure);
}

/* The value of a PRAGMA that is one whole number. */
static enum status
pragma(struct store *store, const char *sql, int64_t *ret_value, struct failure *failure)
{
    sqlite3_stmt *handle = NULL;
    int code = sqlite3_prepare_v2(store->handle, sql, -1, &handle, NULL);

    if (code == SQLITE_OK && (code = sqlite3_step(handle)) == SQLITE_ROW) {
        *ret_value = sqlite3_column_int64(handle, 0);
        code = SQLITE_OK;
    }
    sqlite3_finalize(handle);
    return code == SQLITE_OK ? STATUS_OK : store_failure(store, code, "cannot open the notebook", failure);
}

/* Rule 2. Defensive mode also keeps a hostile schema from writing into SQLite's own tables. */
static enum status
harden(struct store *store, enum store_mode mode, struct failure *failure)
{
    enum status status;

    sqlite3_db_config(store->handle, SQLITE_DBCONFIG_LOOKASIDE, NULL, LOOKASIDE_BYTES, LOOKASIDE_SLOTS);
    sqlite3_db_config(store->handle, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(store->handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    sqlite3_db_config(store->handle, SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0, NULL);
    sqlite3_busy_timeout(store->handle, WAIT_MS);
    status = run(store, "PRAGMA foreign_keys = ON; PRAGMA synchronous = EXTRA; PRAGMA cell_size_check = ON;",
                 "cannot open the notebook", failure);
    if (status == STATUS_OK)
        status = run(store, mode == STORE_READ ? "PRAGMA query_only = ON" : "PRAGMA journal_mode = PERSIST",
                     "cannot open the notebook", failure);
    return status;
}

static enum status
keep_copy(struct store *store, int64_t version, struct failure *failure)
{
    char *copy = text_format("%s.before-%d", store->path, (int)version);
    enum status status = STATUS_OK;

    if (!file_exists(copy)) /* it is only there when it is whole (backup.h) */
        status = backup_write(store, copy, false, false, failure);
    free(copy);
    if (status == STATUS_CONFLICT) /* another process copied it meanwhile */
        return STATUS_OK;
    return status == STATUS_OK ? status : failure_at(failure, "before bringing the notebook up to date: ");
}

static enum status
migrate_one(struct store *store, int64_t version, struct failure *failure)
{
    char *mark = text_format("PRAGMA application_id = %d; PRAGMA user_version = %d;", APPLICATION_ID,
                             (int)version + 1);
    enum status status = run(store, "BEGIN IMMEDIATE", "cannot write the notebook", failure);
    int64_t found = version;

    if (status != STATUS_OK)
        goto out;
    status = pragma(store, "PRAGMA user_version", &found, failure); /* another process may have been first */
    if (status == STATUS_OK && found == version) {
        status =
            run(store, store->schema.migrations[version], "cannot bring the notebook up to date", failure);
        if (status == STATUS_OK)
            status = run(store, mark, "cannot bring the notebook up to date", failure);
    }
    if (status == STATUS_OK)
        status = run(store, "COMMIT", "cannot write the notebook", failure);
    if (status != STATUS_OK)
        sqlite3_exec(store->handle, "ROLLBACK", NULL, NULL, NULL);
out:
    free(mark);
    return status;
}

/* Rule 2: their SQL would run whenever a table of that name is read. */
static enum status
check_plain(struct store *store, struct failure *failure)
{
    int64_t count = 0;
    enum status status = pragma(store,
                                "SELECT count(*) FROM sqlite_schema WHERE type = 'view' OR "
                                "(type = 'table' AND rootpage = 0)",
                                &count, failure);

    if (status == STATUS_OK && count > 0)
        return failure_set(failure, STATUS_FORMAT,
                           "'%s' holds views or virtual tables, which no notebook of this program has",
                           store->path);
    return status;
}

static enum status
check_kind(struct store *store, int64_t *ret_version, bool *ret_empty, struct failure *failure)
{
    int64_t application = 0, version = 0, tables = 0;
    enum status status = pragma(store, "PRAGMA application_id", &application, failure);

    if (status == STATUS_OK)
        status = pragma(store, "PRAGMA user_version", &version, failure);
    if (status == STATUS_OK)
        status = pragma(store, "SELECT count(*) FROM sqlite_schema", &tables, failure);
    if (status != STATUS_OK)
        return status;
    *ret_empty = application == 0 && version == 0 && tables == 0;
    if (!*ret_empty && application != APPLICATION_ID)
        return failure_set(failure, STATUS_FORMAT, "'%s' is a database, but no notebook of this program",
                           store->path);
    if (version > store->schema.count || version < 0 || (!*ret_empty && version == 0))
        return failure_set(
            failure, STATUS_FORMAT,
            "'%s' was made by a newer version of curetrace (its version is %d, this one knows up to %d)",
            store->path, (int)version, store->schema.count);
    *ret_version = version;
    return check_plain(store, failure);
}

static enum status
migrate(struct store *store, enum store_mode mode, bool *ret_created, struct failure *failure)
{
    int64_t version = 0;
    bool empty = false;
    enum status status = store_begin_reading(store, failure); /* one lock for all that is looked at */

    if (status != STATUS_OK)
        return status;
    status = check_kind(store, &version, &empty, failure);
    store_end_reading(store);
    if (status != STATUS_OK)
        return status;
    if (empty && mode != STORE_CREATE)
        return failure_set(failure, STATUS_FORMAT, "'%s' is empty, no notebook", store->path);
    if (version < store->schema.count && mode == STORE_READ)
        return failure_set(
            failure, STATUS_FORMAT,
            "'%s' was made by an older version; open it for writing once to bring it up to date",
            store->path);
    if (!empty && version < store->schema.count)
        status = keep_copy(store, version, failure);
    for (; status == STATUS_OK && version < store->schema.count; version++)
        status = migrate_one(store, version, failure);
    if (ret_created != NULL)
        *ret_created = empty;
    return status;
}

static bool
in_memory(const char *path)
{
    return strcmp(path, ":memory:") == 0;
}

/* The folder 0700 and the file 0600 before SQLite sees them, so that they are never open to others. */
static enum status
make_private(const char *path, struct failure *failure)
{
    char *folder = file_folder(path);
    enum status status = file_make_folder(folder, failure);
    FILE *file;
    mode_t mask;

    free(folder);
    if (status != STATUS_OK || file_exists(path))
        return status;
    mask = umask(0077);
    file = fopen(path, "ab");
    umask(mask);
    if (file == NULL)
        return failure_set(failure, STATUS_SYSTEM, "cannot make the notebook '%s': %s", path,
                           strerror(errno));
    fclose(file);
    return STATUS_OK;
}

static enum status
open_file(struct store *store, enum store_mode mode, struct failure *failure)
{
    /* Even for reading: SQLite undoes what a crash left half-written, and falls back by itself when the file
     * may not be written. harden() then forbids writing. */
    int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX;
    enum status status = STATUS_OK;
    int code;

    if (in_memory(store->path))
        flags |= SQLITE_OPEN_MEMORY;
    else if (mode == STORE_CREATE)
        status = make_private(store->path, failure);
    else if (!file_exists(store->path))
        status = failure_set(failure, STATUS_MISSING, "there is no notebook '%s'", store->path);
    if (status != STATUS_OK)
        return status;
    sqlite3_config(SQLITE_CONFIG_MEMSTATUS,
                   0); /* nobody asks how much memory it takes; only the first call counts */
    code = sqlite3_open_v2(store->path, &store->handle, flags, NULL);
    if (code != SQLITE_OK)
        return failure_set(failure, STATUS_SYSTEM, "cannot open the notebook '%s': %s", store->path,
                           sqlite3_errmsg(store->handle));
    if (mode != STORE_READ && sqlite3_db_readonly(store->handle, "main") == 1)
        return failure_set(failure, STATUS_SYSTEM, "cannot write the notebook '%s': it is read-only",
                           store->path);
    return STATUS_OK;
}

enum status
store_open_as(const char *path, enum store_mode mode, const struct store_schema *schema,
              struct store **ret_store, bool *ret_created, struct failure *failure)
{
    struct store *store = memory_new(1, sizeof *store);
    enum status status;

    store->path = memory_copy(path);
    store->schema = *schema;
    status = open_file(store, mode, failure);
    if (status == STATUS_OK)
        status = harden(store, mode, failure);
    if (status == STATUS_OK)
        status = migrate(store, mode, ret_created, failure);
    if (status != STATUS_OK) {
        store_close(store);
        return status;
    }
    *ret_store = store;
    return STATUS_OK;
}

enum status
store_open(const char *path, enum store_mode mode, struct store **ret_store, bool *ret_created,
           struct failure *failure)
{
    struct store_schema schema = {sql_migrations, sql_migration_count};

    return store_open_as(path, mode, &schema, ret_store, ret_created, failure);
}

void
store_close(struct store *store)
{
    if (store == NULL)
        return;
    for (size_t i = 0; i < store->statement_count; i++)
        sqlite3_finalize(store->statements[i].handle);
    /* Removes the rollback journal that the writing left beside the notebook, empty of meaning. */
    if (store->handle != NULL && sqlite3_get_autocommit(store->handle) != 0 &&
        sqlite3_total_changes(store->handle) > 0)
        sqlite3_exec(store->handle, "PRAGMA journal_mode = DELETE", NULL, NULL, NULL);
    sqlite3_close(store->handle);
    for (size_t i = 0; i < TABLES_MOST; i++) {
        free(store->tables[i].rows_sql);
        free(store->tables[i].add_sql);
        canonical_rows_clear(&store->tables[i].unwritten);
    }
    tools_free(store->tools);
    free(store->path);
    free(store);
}

enum status
store_begin(struct store *store, struct failure *failure)
{
    if (store->depth == 0) {
        enum status status = run(store, "BEGIN IMMEDIATE", "cannot write the notebook", failure);

        if (status != STATUS_OK)
            return status;
    }
    store->depth++;
    return STATUS_OK;
}

/* What is written to a file that was deleted while it was open would be acknowledged and gone. SQLite looks
 * for that when it begins to write; a walk-through may have it open much longer. */
static enum status
check_place(struct store *store, struct failure *failure)
{
    int moved = 0;

    sqlite3_file_control(store->handle, "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    if (moved == 0)
        return STATUS_OK;
    return failure_set(failure, STATUS_SYSTEM,
                       "cannot write the notebook '%s': it was moved or deleted while it was open",
                       store->path);
}

enum status
store_end(struct store *store, enum status status, struct failure *failure)
{
    assert(store->depth > 0);
    if (--store->depth > 0)
        return status;
    if (status == STATUS_OK)
        status = check_place(store, failure);
    if (status == STATUS_OK)
        status = run(store, "COMMIT", "cannot write the notebook", failure);
    if (status != STATUS_OK && sqlite3_get_autocommit(store->handle) == 0)
        sqlite3_exec(store->handle, "ROLLBACK", NULL, NULL, NULL);
    return status;
}

enum status
store_begin_reading(struct store *store, struct failure *failure)
{
    int64_t ignored = 0;
    enum status status = STATUS_OK;

    if (store->reading_depth++ > 0)
        return STATUS_OK;
    store->reading_alone = sqlite3_get_autocommit(store->handle) != 0;
    if (store->reading_alone)
        status = run(store, "BEGIN", "cannot read the notebook", failure);
    if (status == STATUS_OK && store->reading_alone) /* only a read takes the lock */
        status = pragma(store, "SELECT count(*) FROM sqlite_schema", &ignored, failure);
    if (status != STATUS_OK)
        store_end_reading(store);
    return status;
}

void
store_end_reading(struct store *store)
{
    assert(store->reading_depth > 0);
    if (--store->reading_depth == 0 && store->reading_alone && sqlite3_get_autocommit(store->handle) == 0)
        sqlite3_exec(store->handle, "ROLLBACK", NULL, NULL, NULL);
}

const char *
store_path(const struct store *store)
{
    return store->path;
}

int
store_version(void)
{
    return sql_migration_count;
}
