/* import_source.c - the file of an import as UTF-8 text. */
#include "import_source.h"

#include <errno.h>
#include <iconv.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "memory.h"
#include "text.h"

enum { CHUNK = 65536, SHOWN = 40 };

const char *const import_encodings[IMPORT_ENCODINGS] = {"utf-8", "windows-1252", "macintosh", "utf-16"};

static enum status
system_failure(const char *what, const char *path, struct failure *failure)
{
    return failure_set(failure, STATUS_SYSTEM, "cannot %s '%s': %s", what, path, strerror(errno));
}

/* Write all that iconv can turn; what is left of the bytes stays at their beginning. */
static enum status
turn_chunk(iconv_t turn, char *bytes, size_t *length, FILE *out, const char *path, struct failure *failure)
{
    char turned[2 * CHUNK], *from = bytes;

    while (*length > 0) {
        char *to = turned;
        size_t room = sizeof turned, done = iconv(turn, &from, length, &to, &room);

        fwrite(turned, 1, sizeof turned - room, out);
        if (done != (size_t)-1 || errno == E2BIG)
            continue;
        memmove(bytes, from, *length);
        return errno == EINVAL ? STATUS_OK /* a character cut by the chunk */
                               : failure_set(failure, STATUS_FORMAT, "'%s' is not in that encoding", path);
    }
    return STATUS_OK;
}

/* Byte for byte. */
static void
copy_into(FILE *in, FILE *out)
{
    char *bytes = memory_new(CHUNK, 1);
    size_t got;

    while ((got = fread(bytes, 1, CHUNK, in)) > 0)
        fwrite(bytes, 1, got, out);
    free(bytes);
}

static enum status
turn_into(FILE *in, const char *encoding, FILE *out, const char *path, struct failure *failure)
{
    char *bytes = memory_new(CHUNK, 1);
    iconv_t turn = iconv_open("UTF-8", encoding);
    size_t kept = 0, got;
    enum status status = STATUS_OK;

    if (turn == (iconv_t)-1) {
        free(bytes);
        return failure_set(failure, STATUS_SYSTEM, "this system does not know the encoding %s", encoding);
    }
    while (status == STATUS_OK && (got = fread(bytes + kept, 1, CHUNK - kept, in)) > 0) {
        kept += got;
        status = turn_chunk(turn, bytes, &kept, out, path, failure);
    }
    if (status == STATUS_OK && kept > 0)
        status = failure_set(failure, STATUS_FORMAT, "'%s' ends within a character", path);
    iconv_close(turn);
    free(bytes);
    return status;
}

/* Rule 3. The stream is replaced by the copy; without an encoding it is one byte for byte. */
static enum status
copy_turned(FILE **file, const char *encoding, const char *path, struct failure *failure)
{
    FILE *copy = tmpfile();
    enum status status = STATUS_OK;

    if (copy == NULL)
        return system_failure("copy", path, failure);
    if (encoding == NULL)
        copy_into(*file, copy);
    else
        status = turn_into(*file, encoding, copy, path, failure);
    if (status == STATUS_OK && ferror(*file))
        status = system_failure("read", path, failure);
    if (status == STATUS_OK && (fflush(copy) != 0 || ferror(copy)))
        status = system_failure("copy", path, failure);
    fclose(*file);
    *file = copy;
    rewind(copy);
    return status;
}

/* Rule 2: a few bytes around the first that is not UTF-8, as Windows-1252 has them. */
static enum status
not_utf8(const char *path, size_t line, char *bytes, struct failure *failure)
{
    char shown[4 * SHOWN] = "", *to = shown, *visible;
    size_t at = 0, length, room = sizeof shown - 1;
    iconv_t turn = iconv_open("UTF-8", "windows-1252");

    while ((bytes[at] & 0x80) == 0)
        at++;
    bytes += at > SHOWN / 2 ? at - SHOWN / 2 : 0;
    length = strcspn(bytes, "\r\n");
    length = length < SHOWN ? length : SHOWN;
    if (turn != (iconv_t)-1) {
        iconv(turn, &bytes, &length, &to, &room);
        iconv_close(turn);
    }
    *to = '\0';
    visible = text_visible(shown);
    failure_set(failure, STATUS_FORMAT,
                "%s:%zu: this is not UTF-8 text; --encoding windows-1252 reads it as '%s'", path, line,
                visible);
    free(visible);
    return failure->status;
}

static enum status
check_utf8(FILE *file, const char *path, struct failure *failure)
{
    char *line = NULL;
    size_t size = 0;
    enum status status = STATUS_OK;

    for (size_t number = 1; status == STATUS_OK && getline(&line, &size, file) > 0; number++)
        if (!text_is_utf8(line))
            status = not_utf8(path, number, line, failure);
    if (status == STATUS_OK && ferror(file))
        status = system_failure("read", path, failure);
    free(line);
    rewind(file);
    return status;
}

static bool
is_utf16(FILE *file)
{
    unsigned char mark[2] = {0};
    bool is = fread(mark, 1, 2, file) == 2 &&
              ((mark[0] == 0xff && mark[1] == 0xfe) || (mark[0] == 0xfe && mark[1] == 0xff));

    rewind(file);
    return is;
}

enum status
import_source_open(const char *path, const char *encoding, FILE **ret_file, uint64_t *ret_bytes,
                   struct failure *failure)
{
    FILE *file = fopen(path, "rb");
    enum status status = STATUS_OK;
    struct stat about = {0};

    if (file == NULL)
        return failure_set(failure, STATUS_MISSING, "cannot open '%s': %s", path, strerror(errno));
    if (fstat(fileno(file), &about) != 0 || !S_ISREG(about.st_mode))
        status = copy_turned(&file, NULL, path, failure);
    if (status == STATUS_OK && encoding == NULL && is_utf16(file))
        encoding = "utf-16";
    if (status == STATUS_OK && encoding != NULL && strcmp(encoding, "utf-8") != 0)
        status = copy_turned(&file, encoding, path, failure);
    if (status == STATUS_OK)
        status = check_utf8(file, path, failure);
    if (status == STATUS_OK && fstat(fileno(file), &about) != 0)
        status = system_failure("read", path, failure);
    if (status != STATUS_OK) {
        fclose(file);
        return status;
    }
    *ret_file = file;
    *ret_bytes = (uint64_t)about.st_size;
    return STATUS_OK;
}
