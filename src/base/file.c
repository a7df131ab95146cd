/* file.c - whole files, private folders, and the files that come with the program. */
#include "file.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

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

static int
write_all(int file, const char *bytes, size_t length)
{
    while (length > 0) {
        ssize_t written = write(file, bytes, length);

        if (written < 0 && errno != EINTR)
            return -1;
        if (written > 0) {
            bytes += written;
            length -= (size_t)written;
        }
    }
    return fsync(file);
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
    char *beside = text_format("%s.XXXXXX", path);
    enum status status = STATUS_OK;
    int file = mkstemp(beside);

    if (file < 0) {
        status = failure_set(failure, STATUS_SYSTEM, "cannot write '%s': %s", path, strerror(errno));
        free(beside);
        return status;
    }
    if (write_all(file, bytes, length) != 0 || fchmod(file, usual_mode()) != 0)
        status = failure_set(failure, STATUS_SYSTEM, "cannot write '%s': %s", path, strerror(errno));
    if (close(file) != 0 && status == STATUS_OK)
        status = failure_set(failure, STATUS_SYSTEM, "cannot write '%s': %s", path, strerror(errno));
    if (status == STATUS_OK && rename(beside, path) != 0)
        status = failure_set(failure, STATUS_SYSTEM, "cannot write '%s': %s", path, strerror(errno));
    if (status != STATUS_OK)
        unlink(beside);
    free(beside);
    return status;
}

enum status
file_draft_begin(const char *path, struct file_draft *ret_draft, struct failure *failure)
{
    struct file_draft draft = {.path = memory_copy(path), .beside = text_format("%s.XXXXXX", path)};
    int file = mkstemp(draft.beside);

    draft.stream = file < 0 ? NULL : fdopen(file, "w");
    if (draft.stream != NULL) {
        *ret_draft = draft;
        return STATUS_OK;
    }
    failure_set(failure, STATUS_SYSTEM, "cannot write '%s': %s", path, strerror(errno));
    if (file >= 0) {
        close(file);
        unlink(draft.beside);
    }
    free(draft.path);
    free(draft.beside);
    return STATUS_SYSTEM;
}

enum status
file_draft_end(struct file_draft *draft, enum status status, struct failure *failure)
{
    int bad;

    if (draft->stream == NULL)
        return status;
    bad = ferror(draft->stream) != 0 || fflush(draft->stream) != 0 || fsync(fileno(draft->stream)) != 0 ||
          fchmod(fileno(draft->stream), usual_mode()) != 0;
    bad = fclose(draft->stream) != 0 || bad;
    if (status == STATUS_OK && (bad || rename(draft->beside, draft->path) != 0))
        status = failure_set(failure, STATUS_SYSTEM, "cannot write '%s': %s", draft->path, strerror(errno));
    if (status != STATUS_OK)
        unlink(draft->beside);
    free(draft->path);
    free(draft->beside);
    *draft = (struct file_draft){0};
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
