/* store.c - the file of a notebook: its connection and its transactions. */
#include "store.h"

#include <assert.h>
#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file.h"
#include "memory.h"
#include "store_internal.h"

enum { WAIT_MS = 10000 };

/* Slots in which SQLite keeps the cursors of a statement, instead of asking for memory at every step: its own are
 * too small for the widest tables. */
enum { LOOKASIDE_BYTES = 4096, LOOKASIDE_SLOTS = 64 };

static bool
has_moved(const struct store *store)
{
    int moved = 0;

    sqlite3_file_control(store->handle, "main", SQLITE_FCNTL_HAS_MOVED, &moved);
    return moved != 0;
}

static enum status
moved_failure(const struct store *store, const char *doing, struct failure *failure)
{
    return failure_set(failure, STATUS_SYSTEM, "%s '%s': %s; nothing was changed", doing, store->path,
                       file_exists(store->path) ? "another file took its place while it was open"
                                                : "it was moved or deleted while it was open");
}

static enum status
read_only_failure(struct store *store, const char *doing, struct failure *failure)
{
    switch (sqlite3_extended_errcode(store->handle)) {
    case SQLITE_READONLY_DBMOVED:
        return moved_failure(store, doing, failure);
    case SQLITE_READONLY_ROLLBACK:
        return failure_set(
            failure, STATUS_SYSTEM,
            "%s '%s': a program that was cut off left half a write in it ('%s-journal'), which can be "
            "undone only where both may be written; nothing was changed",
            doing, store->path, store->path);
    default:
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': it is read-only", doing, store->path);
    }
}

enum status
store_failure(struct store *store, int code, const char *doing, struct failure *failure)
{
    if ((code & 0xff) == SQLITE_IOERR && has_moved(store))
        return moved_failure(store, doing, failure);
    switch (code & 0xff) {
    case SQLITE_CONSTRAINT:
        return failure_set(failure, STATUS_CONFLICT, "%s: %s", doing, sqlite3_errmsg(store->handle));
    case SQLITE_FULL:
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': the disk is full; nothing was changed", doing,
                           store->path);
    case SQLITE_READONLY:
        return read_only_failure(store, doing, failure);
    case SQLITE_BUSY:
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': another program is using it; try again", doing,
                           store->path);
    case SQLITE_NOTADB:
    case SQLITE_CORRUPT:
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': it is damaged, or no notebook (%s)", doing,
                           store->path, sqlite3_errmsg(store->handle));
    case SQLITE_INTERRUPT:
        return failure_set(failure, STATUS_SYSTEM,
                           "%s '%s': reading it takes too long, and it is not as this program makes it",
                           doing, store->path);
    case SQLITE_TOOBIG:
        return failure_set(failure, STATUS_SYSTEM,
                           "%s '%s': it holds a value that is longer than any of this program's", doing,
                           store->path);
    default:
        return failure_set(failure, STATUS_SYSTEM, "%s '%s': %s", doing, store->path,
                           sqlite3_errmsg(store->handle));
    }
}

enum status
store_run(struct store *store, const char *sql, const char *doing, struct failure *failure)
{
    int code = sqlite3_exec(store->handle, sql, NULL, NULL, NULL);

    return code == SQLITE_OK ? STATUS_OK : store_failure(store, code, doing, failure);
}

enum status
store_number(struct store *store, const char *sql, int64_t *ret_number, struct failure *failure)
{
    sqlite3_stmt *handle = NULL;
    int code = sqlite3_prepare_v2(store->handle, sql, -1, &handle, NULL);

    if (code == SQLITE_OK && (code = sqlite3_step(handle)) == SQLITE_ROW) {
        *ret_number = sqlite3_column_int64(handle, 0);
        code = SQLITE_OK;
    }
    sqlite3_finalize(handle);
    return code == SQLITE_OK ? STATUS_OK : store_failure(store, code, "cannot read the notebook", failure);
}

/* Rule 2. */
enum { MIB = 1 << 20, FOREIGN_LENGTH = MIB, OWN_LENGTH = 64 * MIB, FOREIGN_S = 5, STEPS_BETWEEN_LOOKS = 100 };

/* Above 0 ends the statement with SQLITE_INTERRUPT. */
static int
is_too_late(void *payload)
{
    const struct store *store = payload;

    return clock() > store->deadline ? 1 : 0;
}

static void
limit(struct store *store)
{
    struct stat about;
    clock_t mibs = stat(store->path, &about) == 0 ? (clock_t)(about.st_size / MIB) : 0;

    store->deadline = clock() + (FOREIGN_S + mibs) * CLOCKS_PER_SEC;
    sqlite3_progress_handler(store->handle, STEPS_BETWEEN_LOOKS, is_too_late, store);
    sqlite3_limit(store->handle, SQLITE_LIMIT_LENGTH, FOREIGN_LENGTH);
    sqlite3_limit(store->handle, SQLITE_LIMIT_LIKE_PATTERN_LENGTH, 100);
    sqlite3_limit(store->handle, SQLITE_LIMIT_ATTACHED, 0);
}

/* Rule 2. Defensive mode also keeps a hostile schema from writing into SQLite's own tables. With recursive_triggers
 * REPLACE fires the triggers that refuse to delete. */
static enum status
harden(struct store *store, struct failure *failure)
{
    sqlite3_db_config(store->handle, SQLITE_DBCONFIG_LOOKASIDE, NULL, LOOKASIDE_BYTES, LOOKASIDE_SLOTS);
    sqlite3_db_config(store->handle, SQLITE_DBCONFIG_DEFENSIVE, 1, NULL);
    sqlite3_db_config(store->handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, NULL);
    sqlite3_db_config(store->handle, SQLITE_DBCONFIG_ENABLE_LOAD_EXTENSION, 0, NULL);
    sqlite3_busy_timeout(store->handle, WAIT_MS);
    limit(store);
    return store_run(store,
                     "PRAGMA foreign_keys = ON; PRAGMA recursive_triggers = ON; PRAGMA synchronous = EXTRA; "
                     "PRAGMA cell_size_check = ON; PRAGMA query_only = ON",
                     "cannot open the notebook", failure);
}

enum status
store_trust(struct store *store, struct failure *failure)
{
    sqlite3_progress_handler(store->handle, 0, NULL, NULL);
    sqlite3_limit(store->handle, SQLITE_LIMIT_LENGTH, OWN_LENGTH);
    if (store->mode == STORE_READ)
        return STATUS_OK;
    return store_run(store, "PRAGMA query_only = OFF; PRAGMA journal_mode = PERSIST",
                     "cannot open the notebook", failure);
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
    struct stat about;
    FILE *file;
    mode_t mask;

    free(folder);
    if (status != STATUS_OK)
        return status;
    if (stat(path, &about) == 0) {
        if (S_ISREG(about.st_mode) && about.st_size == 0 && (about.st_mode & 0077) != 0)
            chmod(path, 0600); /* an empty one becomes a notebook; who may not, may not write it either */
        return STATUS_OK;
    }
    mask = umask(0077);
    file = fopen(path, "ab");
    umask(mask);
    if (file == NULL)
        return failure_set(failure, STATUS_SYSTEM, "cannot make the notebook '%s': %s", path,
                           strerror(errno));
    fclose(file);
    return STATUS_OK;
}

/* What there is may belong to someone else. */
static enum status
check_there(const char *path, enum store_mode mode, struct failure *failure)
{
    if (access(path, mode == STORE_READ ? R_OK : R_OK | W_OK) == 0)
        return STATUS_OK;
    if (errno == ENOENT || errno == ENOTDIR)
        return failure_set(failure, STATUS_MISSING, "there is no notebook '%s'", path);
    return failure_set(failure, STATUS_SYSTEM, "cannot %s the notebook '%s': %s",
                       mode == STORE_READ ? "read" : "write", path,
                       errno == EACCES ? "it, or its folder, is not open to you" : strerror(errno));
}

static enum status
open_file(struct store *store, struct failure *failure)
{
    /* Even for reading: SQLite undoes what a crash left half-written, and falls back by itself when the file
     * may not be written. harden() then forbids writing. */
    int flags = SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX;
    enum status status = STATUS_OK;

    if (in_memory(store->path))
        flags |= SQLITE_OPEN_MEMORY;
    else if (store->mode == STORE_CREATE)
        status = make_private(store->path, failure);
    if (status == STATUS_OK && !in_memory(store->path))
        status = check_there(store->path, store->mode, failure);
    if (status != STATUS_OK)
        return status;
    sqlite3_config(SQLITE_CONFIG_MEMSTATUS,
                   0); /* nobody asks how much memory it takes; only the first call counts */
    sqlite3_config(SQLITE_CONFIG_URI, 0); /* a path is a path, whatever it begins with */
    if (sqlite3_open_v2(store->path, &store->handle, flags, NULL) != SQLITE_OK)
        return failure_set(failure, STATUS_SYSTEM, "cannot open the notebook '%s': %s", store->path,
                           sqlite3_errmsg(store->handle));
    if (store->mode != STORE_READ && sqlite3_db_readonly(store->handle, "main") == 1)
        return failure_set(failure, STATUS_SYSTEM, "cannot write the notebook '%s': it is read-only",
                           store->path);
    return STATUS_OK;
}

enum status
store_connect(const char *path, enum store_mode mode, const struct store_schema *schema,
              struct store **ret_store, struct failure *failure)
{
    struct store *store = memory_new(1, sizeof *store);
    enum status status;

    store->path = memory_copy(path);
    store->schema = *schema;
    store->mode = mode;
    status = open_file(store, failure);
    if (status == STATUS_OK)
        status = harden(store, failure);
    if (status != STATUS_OK) {
        store_close(store);
        return status;
    }
    *ret_store = store;
    return STATUS_OK;
}

void
store_close(struct store *store)
{
    if (store == NULL)
        return;
    for (size_t i = 0; i < store->statement_count; i++)
        statement_close(&store->statements[i]);
    put_right_forget(store);
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
    if (store->kept != NULL)
        store->free_kept(store->kept);
    free(store->foreign);
    free(store->path);
    free(store);
}

/* Rule 3: what another process put into the schema would run with the next write. */
static enum status
check_schema_stands(struct store *store, struct failure *failure)
{
    unsigned version = store->data_version;
    int64_t cookie = 0;
    enum status status;

    sqlite3_file_control(store->handle, "main", SQLITE_FCNTL_DATA_VERSION, &version);
    if (version == store->data_version)
        return STATUS_OK;
    status = store_number(store, "PRAGMA schema_version", &cookie, failure);
    if (status == STATUS_OK && cookie != store->schema_cookie)
        status = failure_set(
            failure, STATUS_SYSTEM,
            "cannot write the notebook '%s': another program changed its tables while it was open; "
            "nothing was written",
            store->path);
    if (status == STATUS_OK)
        store->data_version = version;
    return status;
}

enum status
store_begin(struct store *store, struct failure *failure)
{
    enum status status = STATUS_OK;

    if (store->depth == 0) {
        put_right_stale(store);
        status = store_run(store, "BEGIN IMMEDIATE", "cannot write the notebook", failure);
        if (status == STATUS_OK)
            status = check_schema_stands(store, failure);
        if (status != STATUS_OK && sqlite3_get_autocommit(store->handle) == 0)
            sqlite3_exec(store->handle, "ROLLBACK", NULL, NULL, NULL);
    }
    if (status == STATUS_OK)
        store->depth++;
    return status;
}

/* What is written to a file that was deleted while it was open would be acknowledged and gone. SQLite looks
 * for that when it begins to write; a walk-through may have it open much longer. */
static enum status
check_place(struct store *store, struct failure *failure)
{
    return has_moved(store) ? moved_failure(store, "cannot write the notebook", failure) : STATUS_OK;
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
        status = store_run(store, "COMMIT", "cannot write the notebook", failure);
    if (status ==
        STATUS_OK) /* it counts this connection's own writes too; what others write comes on top of it */
        sqlite3_file_control(store->handle, "main", SQLITE_FCNTL_DATA_VERSION, &store->data_version);
    else if (sqlite3_get_autocommit(store->handle) == 0)
        sqlite3_exec(store->handle, "ROLLBACK", NULL, NULL, NULL);
    put_right_stale(store);
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
        put_right_stale(store);
    if (store->reading_alone)
        status = store_run(store, "BEGIN", "cannot read the notebook", failure);
    if (status == STATUS_OK && store->reading_alone) /* only a read takes the lock */
        status = store_number(store, "SELECT count(*) FROM sqlite_schema", &ignored, failure);
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

int
store_changes(const struct store *store)
{
    return sqlite3_total_changes(store->handle);
}

const char *
store_foreign(const struct store *store)
{
    return store->foreign;
}
