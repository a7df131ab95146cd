/* backup.c - a copy of a notebook that is whole, checked and on disk before it gets its name. */
#include "backup.h"

#include <errno.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "file.h"
#include "store_internal.h"
#include "text.h"
#include "verify.h"

static enum status
system_failure(const char *path, struct failure *failure)
{
    return failure_set(failure, STATUS_SYSTEM, "cannot write the backup '%s': %s", path, strerror(errno));
}

static bool
same_file(const char *a, const char *b)
{
    struct stat about_a, about_b;

    return stat(a, &about_a) == 0 && stat(b, &about_b) == 0 && about_a.st_dev == about_b.st_dev &&
           about_a.st_ino == about_b.st_ino;
}

static enum status
check_place(const struct store *store, const char *path, bool overwrite, struct failure *failure)
{
    struct stat about;

    if (file_check_name(path, failure) != STATUS_OK)
        return failure->status;
    if (lstat(path, &about) != 0)
        return errno == ENOENT ? STATUS_OK : system_failure(path, failure);
    if (same_file(path, store->path))
        return failure_set(failure, STATUS_CONFLICT, "'%s' is the notebook itself", path);
    if (!overwrite)
        return failure_set(failure, STATUS_CONFLICT, "'%s' is there already (--force replaces it)", path);
    if (!S_ISREG(about.st_mode))
        return failure_set(failure, STATUS_CONFLICT, "'%s' is no plain file", path);
    return STATUS_OK;
}

enum status
backup_pages(struct store *store, sqlite3 *copy, const char *path, struct failure *failure)
{
    sqlite3_backup *backup = sqlite3_backup_init(copy, "main", store->handle, "main");
    int code = SQLITE_OK;

    if (backup != NULL) {
        sqlite3_backup_step(backup, -1);
        code = sqlite3_backup_finish(backup);
    }
    if (backup != NULL && code == SQLITE_OK)
        return STATUS_OK;
    return failure_set(failure, STATUS_SYSTEM, "cannot write the backup '%s': %s", path,
                       sqlite3_errmsg(copy));
}

static enum status
copy_file(struct store *store, const char *path, struct failure *failure)
{
    sqlite3 *copy = NULL;
    enum status status;

    if (sqlite3_open_v2(path, &copy, SQLITE_OPEN_READWRITE | SQLITE_OPEN_NOMUTEX, NULL) != SQLITE_OK ||
        sqlite3_exec(copy, "PRAGMA synchronous = EXTRA", NULL, NULL, NULL) != SQLITE_OK)
        status = failure_set(failure, STATUS_SYSTEM, "cannot write the backup '%s': %s", path,
                             sqlite3_errmsg(copy));
    else
        status = backup_pages(store, copy, path, failure);
    sqlite3_close(copy);
    return status;
}

static enum status
check_pages(struct store *copy, struct failure *failure)
{
    sqlite3_stmt *check = NULL;
    bool sound =
        sqlite3_prepare_v2(copy->handle, "PRAGMA integrity_check(1)", -1, &check, NULL) == SQLITE_OK &&
        sqlite3_step(check) == SQLITE_ROW && strcmp((const char *)sqlite3_column_text(check, 0), "ok") == 0;

    if (!sound)
        failure_set(failure, STATUS_SYSTEM, "the copy is not sound: %s", sqlite3_errmsg(copy->handle));
    sqlite3_finalize(check);
    return sound ? STATUS_OK : STATUS_SYSTEM;
}

static enum status
check_whole(struct store *copy, char ret_head[JOURNAL_HASH_SIZE], struct failure *failure)
{
    struct verify_report report = {0};
    enum status status = verify_notebook(copy, NULL, &report, failure);

    if (status == STATUS_OK && report.finding_count > 0)
        status = failure_set(failure, STATUS_SYSTEM, "the copy does not verify (curetrace verify): %s",
                             report.findings[0]);
    if (status == STATUS_OK && ret_head != NULL)
        memcpy(ret_head, report.head, JOURNAL_HASH_SIZE);
    verify_report_clear(&report);
    return status;
}

static enum status
check_copy(const struct store *store, const char *path, bool whole, char ret_head[JOURNAL_HASH_SIZE],
           struct failure *failure)
{
    struct store *copy = NULL;
    enum status status = store_connect(path, STORE_READ, &store->schema, &copy, failure);

    if (status == STATUS_OK && store->foreign == NULL)
        status = store_trust(copy, failure);
    if (status == STATUS_OK)
        status = whole ? check_whole(copy, ret_head, failure) : check_pages(copy, failure);
    store_close(copy);
    return status;
}

enum status
backup_write(struct store *store, const char *path, bool overwrite, bool whole,
             char ret_head[JOURNAL_HASH_SIZE], struct failure *failure)
{
    enum status status = check_place(store, path, overwrite, failure);
    char *beside;
    int descriptor;

    if (status != STATUS_OK)
        return status;
    beside = text_format("%s.XXXXXX", path);
    descriptor = mkstemp(beside); /* 0600 */
    if (descriptor < 0) {
        status = system_failure(path, failure);
        free(beside);
        return status;
    }
    close(descriptor);
    status = copy_file(store, beside, failure);
    if (status == STATUS_OK)
        status = check_copy(store, beside, whole, ret_head, failure);
    if (status == STATUS_OK)
        status = file_give_name(beside, path, overwrite, failure);
    if (status != STATUS_OK) {
        char *journal = text_format("%s-journal", beside);

        unlink(beside);
        unlink(journal);
        free(journal);
    }
    free(beside);
    return status;
}
