/* file.c - whole files, private folders, and the files that come with the program. */
#include "file.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "interrupt.h"
#include "memory.h"
#include "text.h"

enum status
file_read(const char *path, size_t largest, char **ret_text, struct failure *failure)
{
    struct text text = {0};
    char piece[16384];
    FILE *input = fopen(path, "rb");
    enum status status = STATUS_OK;
    size_t got;

    if (input == NULL)
        return failure_set(failure, STATUS_MISSING, "cannot open '%s': %s", path, strerror(errno));
    while ((got = fread(piece, 1, sizeof piece, input)) > 0) {
        text_add_bytes(&text, piece, got);
        if (text.length > largest) {
            status = failure_set(failure, STATUS_FORMAT, "'%s' is larger than %zu bytes", path, largest);
            goto out;
        }
    }
    if (ferror(input) != 0) {
        status = failure_set(failure, STATUS_SYSTEM, "cannot read '%s': %s", path, strerror(errno));
        goto out;
    }
    if (text.length > 0 && memchr(text.data, '\0', text.length) != NULL) {
        status = failure_set(failure, STATUS_FORMAT, "'%s' is not a text file: it holds NUL bytes", path);
        goto out;
    }
    *ret_text = text_take(&text);
out:
    text_clear(&text);
    fclose(input);
    return status;
}

static enum status
cannot_write(const char *path, struct failure *failure)
{
    return failure_set(failure, STATUS_SYSTEM, "cannot write '%s': %s", path, strerror(errno));
}

/* The mode a plain new file would get; mkstemp() itself makes private ones. */
static mode_t
usual_mode(void)
{
    mode_t mask = umask(0);

    umask(mask);
    return 0666 & ~mask;
}

enum status
file_write(const char *path, const void *bytes, size_t length, struct failure *failure)
{
    struct file_draft draft = {0};
    enum status status = file_draft_begin(path, &draft, failure);

    if (status != STATUS_OK)
        return status;
    fwrite(bytes, 1, length, draft.stream); /* file_draft_end() asks whether it arrived */
    return file_draft_end(&draft, STATUS_OK, failure);
}

/* A device or a pipe: it can be written, and must not be replaced. */
static bool
is_special(const char *path)
{
    struct stat about;

    return stat(path, &about) == 0 && !S_ISREG(about.st_mode) && !S_ISDIR(about.st_mode);
}

/* Every SQLite file begins so (sqlite.org/fileformat2.html, 1.3.1). */
static bool
is_database(const char *path)
{
    static const char beginning[] = "SQLite format 3";
    char bytes[sizeof beginning] = "";
    struct stat about;
    FILE *file = stat(path, &about) == 0 && S_ISREG(about.st_mode) ? fopen(path, "rb") : NULL;
    bool same = file != NULL && fread(bytes, 1, sizeof bytes, file) == sizeof bytes &&
                memcmp(bytes, beginning, sizeof bytes) == 0;

    if (file != NULL)
        fclose(file);
    return same;
}

enum status
file_check_name(const char *path, struct failure *failure)
{
    static const char *const endings[] = {"-journal", "-wal", "-shm"};
    char *real = realpath(path, NULL);
    const char *name = real == NULL ? path : real;
    enum status status = STATUS_OK;
    size_t length = strlen(name);

    for (size_t i = 0; status == STATUS_OK && i < LENGTH(endings); i++)
        if (length > strlen(endings[i]) && strcmp(name + length - strlen(endings[i]), endings[i]) == 0)
            status = failure_set(failure, STATUS_CONFLICT,
                                 "'%s' ends in %s, a name that SQLite takes for its own; name another file",
                                 path, endings[i]);
    free(real);
    return status;
}

/* Rule 1. */
static enum status
check_output(const char *path, struct failure *failure)
{
    if (is_database(path))
        return failure_set(
            failure, STATUS_CONFLICT,
            "'%s' is a notebook or another database, which no output replaces; name another file", path);
    return file_check_name(path, failure);
}

/* A file without a name in the folder of `path`, which is gone by itself when this program ends early; -1 where the
 * file system has none, or where it could be given no name later. */
static int
open_nameless(const char *path)
{
    char *folder = file_folder(path), link[64];
    int file = open(folder, O_TMPFILE | O_WRONLY | O_CLOEXEC, 0600);

    free(folder);
    if (file < 0)
        return -1;
    snprintf(link, sizeof link, "/proc/self/fd/%d", file);
    if (access(link, F_OK) == 0)
        return file;
    close(file);
    return -1;
}

/* Name a file that has none. */
static bool
name_draft(struct file_draft *draft)
{
    char link[64];

    snprintf(link, sizeof link, "/proc/self/fd/%d", fileno(draft->stream));
    for (int i = 0; i < 100; i++) {
        free(draft->beside);
        draft->beside = text_format("%s.%ld-%d", draft->path, (long)getpid(), i);
        if (linkat(AT_FDCWD, link, AT_FDCWD, draft->beside, AT_SYMLINK_FOLLOW) == 0) {
            draft->nameless = false;
            return true;
        }
        if (errno != EEXIST)
            return false;
    }
    return false;
}

enum status
file_draft_begin(const char *path, struct file_draft *ret_draft, struct failure *failure)
{
    struct file_draft draft = {0};
    enum status status = check_output(path, failure);
    int file;

    if (status != STATUS_OK)
        return status;
    draft.path = realpath(path, NULL); /* a link is followed; NULL for a new file */
    if (draft.path == NULL)
        draft.path = memory_copy(path);
    if (is_special(path)) {
        file = open(path, O_WRONLY | O_CLOEXEC);
    } else {
        draft.beside = text_format("%s.XXXXXX", draft.path);
        file = open_nameless(draft.path);
        draft.nameless = file >= 0;
        if (file < 0)
            file = mkstemp(draft.beside);
    }
    draft.stream = file < 0 ? NULL : fdopen(file, "w");
    if (draft.stream != NULL) {
        *ret_draft = draft;
        return STATUS_OK;
    }
    cannot_write(path, failure);
    if (file >= 0) {
        close(file);
        if (draft.beside != NULL && !draft.nameless)
            unlink(draft.beside);
    }
    free(draft.path);
    free(draft.beside);
    return STATUS_SYSTEM;
}

/* Everything is on disk, as a plain file of the usual mode. */
static bool
settle(const struct file_draft *draft)
{
    if (ferror(draft->stream) != 0 || fflush(draft->stream) != 0)
        return false;
    return draft->beside == NULL ||
           (fsync(fileno(draft->stream)) == 0 && fchmod(fileno(draft->stream), usual_mode()) == 0);
}

enum status
file_draft_end(struct file_draft *draft, enum status status, struct failure *failure)
{
    bool good;

    if (draft->stream == NULL)
        return status;
    good = settle(draft);
    if (good && status == STATUS_OK && draft->nameless)
        good = name_draft(draft);
    good = fclose(draft->stream) == 0 && good;
    if (status == STATUS_OK && !good)
        status = cannot_write(draft->path, failure);
    if (status == STATUS_OK && draft->beside != NULL)
        status = file_give_name(draft->beside, draft->path, true, failure);
    if (status != STATUS_OK && draft->beside != NULL && !draft->nameless)
        unlink(draft->beside);
    free(draft->path);
    free(draft->beside);
    *draft = (struct file_draft){0};
    return status;
}

/* So that a name given in this folder survives a power cut; not every file system can. */
static void
sync_folder(const char *path)
{
    int folder = open(path, O_RDONLY | O_DIRECTORY | O_CLOEXEC);

    if (folder >= 0) {
        fsync(folder);
        close(folder);
    }
}

static void
sync_folder_of(const char *path)
{
    char *folder = file_folder(path);

    sync_folder(folder);
    free(folder);
}

enum status
file_give_name(const char *beside, const char *path, bool overwrite, struct failure *failure)
{
    /* A link fails where something has come there meanwhile; not every disk has links. */
    if (!overwrite && link(beside, path) != 0) {
        if (errno == EEXIST || file_exists(path))
            return failure_set(failure, STATUS_CONFLICT, "'%s' is there already (--force replaces it)", path);
        overwrite = true;
    }
    if (overwrite ? rename(beside, path) != 0 : unlink(beside) != 0)
        return cannot_write(path, failure);
    sync_folder_of(path);
    return STATUS_OK;
}

/* The path of a folder that is there, or is to be, without slashes at its end. Given: free() it. */
static char *
plain_path(const char *path)
{
    char *plain = realpath(path, NULL);

    if (plain == NULL) {
        plain = memory_copy(path);
        for (size_t length = strlen(plain); length > 1 && plain[length - 1] == '/'; length--)
            plain[length - 1] = '\0';
    }
    return plain;
}

/* A notebook would be parted from the files that SQLite keeps beside it. */
static bool
holds_database(const char *path)
{
    DIR *folder = opendir(path);
    bool found = false;

    if (folder == NULL)
        return false;
    for (const struct dirent *entry; !found && (entry = readdir(folder)) != NULL;) {
        char *file = file_join(path, entry->d_name);

        found = is_database(file);
        free(file);
    }
    closedir(folder);
    return found;
}

/* `ret_mode` is that of the folder that is there, or 0700. */
static enum status
check_exchangeable(const char *path, mode_t *ret_mode, struct failure *failure)
{
    struct stat about, here;

    *ret_mode = 0700;
    if (stat(path, &about) != 0)
        return STATUS_OK;
    if (!S_ISDIR(about.st_mode))
        return failure_set(failure, STATUS_CONFLICT, "'%s' is no folder", path);
    if (stat(".", &here) == 0 && here.st_dev == about.st_dev && here.st_ino == about.st_ino)
        return failure_set(
            failure, STATUS_CONFLICT,
            "'%s' is the folder you are in, which cannot be exchanged as a whole; name one inside it", path);
    if (holds_database(path))
        return failure_set(
            failure, STATUS_CONFLICT,
            "'%s' holds a notebook or another database, and is exchanged as a whole; name another folder",
            path);
    *ret_mode = about.st_mode & 07777;
    return STATUS_OK;
}

enum status
file_folder_draft_begin(const char *path, struct file_folder_draft *ret_draft, struct failure *failure)
{
    struct file_folder_draft draft = {.path = plain_path(path)};
    char *above = file_folder(draft.path);
    mode_t mode;
    enum status status = check_exchangeable(path, &mode, failure);

    if (status == STATUS_OK)
        status = file_make_folder(above, failure);
    free(above);
    draft.beside = text_format("%s.XXXXXX", draft.path);
    interrupt_hold(&draft.signals);
    if (status == STATUS_OK && (mkdtemp(draft.beside) == NULL || chmod(draft.beside, mode) != 0))
        status = cannot_write(path, failure);
    if (status == STATUS_OK) {
        *ret_draft = draft;
        return STATUS_OK;
    }
    interrupt_let_go(&draft.signals);
    free(draft.path);
    free(draft.beside);
    return status;
}

/* Remove a folder of files; those that `kept` lacks move there. NULL: none does. */
static void
dissolve(const char *path, const char *kept)
{
    DIR *folder = opendir(path);

    if (folder == NULL)
        return;
    for (const struct dirent *entry; (entry = readdir(folder)) != NULL;) {
        char *file = file_join(path, entry->d_name),
             *other = kept == NULL ? NULL : file_join(kept, entry->d_name);

        if (strcmp(entry->d_name, ".") == 0 || strcmp(entry->d_name, "..") == 0)
            ;
        else if (other == NULL || file_exists(other))
            unlink(file);
        else
            rename(file, other);
        free(file);
        free(other);
    }
    closedir(folder);
    rmdir(path);
}

/* Where a file system cannot exchange two names at once, the old folder steps aside first: both are whole then, too. */
static bool
exchange_folders(const char *beside, const char *path)
{
    char *aside;
    bool good;

    if (renameat2(AT_FDCWD, beside, AT_FDCWD, path, RENAME_EXCHANGE) == 0)
        return true;
    if (errno != EINVAL && errno != ENOSYS)
        return false;
    aside = text_format("%s.old", beside);
    good = rename(path, aside) == 0;
    if (good && rename(beside, path) != 0) {
        rename(aside, path);
        good = false;
    }
    if (good)
        rename(aside, beside);
    free(aside);
    return good;
}

enum status
file_folder_draft_end(struct file_folder_draft *draft, enum status status, struct failure *failure)
{
    bool there = draft->path != NULL && file_exists(draft->path);

    if (draft->path == NULL)
        return status;
    if (status == STATUS_OK) {
        sync_folder(draft->beside);
        if (there ? !exchange_folders(draft->beside, draft->path) : rename(draft->beside, draft->path) != 0)
            status = cannot_write(draft->path, failure);
        else
            sync_folder_of(draft->path);
        if (status == STATUS_OK && there)
            dissolve(draft->beside, draft->path);
    }
    if (status != STATUS_OK)
        dissolve(draft->beside, NULL);
    interrupt_let_go(&draft->signals);
    free(draft->path);
    free(draft->beside);
    *draft = (struct file_folder_draft){0};
    return status;
}

enum status
file_make_folder(const char *path, struct failure *failure)
{
    char *copy = memory_copy(path);
    enum status status = STATUS_OK;

    for (char *slash = copy + 1; status == STATUS_OK; slash++) {
        char end = *slash;

        if (end != '/' && end != '\0')
            continue;
        *slash = '\0';
        if (mkdir(copy, 0700) != 0 && errno != EEXIST)
            status =
                failure_set(failure, STATUS_SYSTEM, "cannot make the folder '%s': %s", copy, strerror(errno));
        *slash = end;
        if (end == '\0')
            break;
    }
    free(copy);
    return status;
}

char *
file_join(const char *folder, const char *name)
{
    return text_format("%s/%s", folder, name);
}

char *
file_folder(const char *path)
{
    const char *slash = strrchr(path, '/');

    if (slash == NULL)
        return memory_copy(".");
    return text_format("%.*s", slash == path ? 1 : (int)(slash - path), path);
}

bool
file_exists(const char *path)
{
    return access(path, F_OK) == 0;
}

char *
file_shipped(const char *name)
{
    static const char *const places[] = {"", "../share/curetrace/"};
    char program[PATH_MAX], *folder;
    ssize_t length = readlink("/proc/self/exe", program, sizeof program - 1);

    if (length <= 0)
        return NULL;
    program[length] = '\0';
    folder = file_folder(program);
    for (size_t i = 0; i < LENGTH(places); i++) {
        char *path = text_format("%s/%s%s", folder, places[i], name);

        if (file_exists(path)) {
            free(folder);
            return path;
        }
        free(path);
    }
    free(folder);
    return NULL;
}

char *
file_personal(const char *variable, const char *fallback, const char *name)
{
    const char *base = getenv(variable), *home = getenv("HOME");

    if (base != NULL && base[0] == '/')
        return text_format("%s/curetrace/%s", base, name);
    if (home == NULL || home[0] != '/')
        return NULL;
    return text_format("%s/%s/curetrace/%s", home, fallback, name);
}
