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
    return 0;
}

/* The mode a plain new file would get; mkstemp() itself makes private ones. */
static mode_t
usual_mode(void)
{
    mode_t mask = umask(0);

    umask(mask);
    return 0666 & ~mask;
}

static enum status
cannot_write(const char *path, struct failure *failure)
{
    return failure_set(failure, STATUS_SYSTEM, "cannot write '%s': %s", path, strerror(errno));
}

/* A new file beside the old one, which takes its place when all of it is on disk. */
static enum status
replace(const char *path, const void *bytes, size_t length, struct failure *failure)
{
    char *beside = text_format("%s.XXXXXX", path);
    enum status status = STATUS_OK;
    int file = mkstemp(beside);

    if (file < 0) {
        status = cannot_write(path, failure);
        free(beside);
        return status;
    }
    if (write_all(file, bytes, length) != 0 || fsync(file) != 0 || fchmod(file, usual_mode()) != 0)
        status = cannot_write(path, failure);
    if (close(file) != 0 && status == STATUS_OK)
        status = cannot_write(path, failure);
    if (status == STATUS_OK && rename(beside, path) != 0)
        status = cannot_write(path, failure);
    if (status != STATUS_OK)
        unlink(beside);
    free(beside);
    return status;
}

static enum status
write_in_place(const char *path, const void *bytes, size_t length, struct failure *failure)
{
    int file = open(path, O_WRONLY);
    enum status status = STATUS_OK;

    if (file < 0 || write_all(file, bytes, length) != 0)
        status = cannot_write(path, failure);
    if (file >= 0 && close(file) != 0 && status == STATUS_OK)
        status = cannot_write(path, failure);
    return status;
}

enum status
file_write(const char *path, const void *bytes, size_t length, struct failure *failure)
{
    char *target = realpath(path, NULL); /* NULL for a new file */
    struct stat about;
    bool plain = stat(path, &about) != 0 || S_ISREG(about.st_mode);
    enum status status = plain ? replace(target == NULL ? path : target, bytes, length, failure)
                               : write_in_place(path, bytes, length, failure);

    free(target);
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
