/* fuzz_export.c - an exported notebook from elsewhere with a file that is not what was written: it is refused, or a whole
 * notebook is made of it that verifies.
 *
 * The first byte says which file; the second, when even, that the rest is the file, else that the rest is written over
 * it from that place on. */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "bench.h"
#include "file.h"
#include "fuzz.h"
#include "table.h"
#include "text.h"

enum { LARGEST = 1 << 20 };

static char *
file_of(const struct kitchen *kitchen, size_t number)
{
    const char *name = number < table_count()    ? table_name(number)
                       : number == table_count() ? "journal"
                                                 : "contents";

    return text_format("%s/export/%s.csv", kitchen->folder->path, name);
}

static void
spoil(const char *path, const char *whole, const uint8_t *data, size_t size)
{
    size_t length = strlen(whole), place = size < 1 || data[0] % 2 == 0 ? 0 : data[0] * length / 256;
    FILE *file = fopen(path, "wb");

    if (file == NULL)
        exit(1);
    if (size > 0 && data[0] % 2 == 1) {
        fwrite(whole, 1, place, file);
        fwrite(data + 1, 1, size - 1, file);
        if (place + size - 1 < length)
            fputs(whole + place + size - 1, file);
    } else if (size > 0) {
        fwrite(data + 1, 1, size - 1, file);
    }
    fclose(file);
}

int
LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    static const struct every_line export = {"export @/export --force", NULL, false},
                                   import = {"import notebook @/export --notebook @/another.sqlite", NULL,
                                             true},
                                   verify = {"verify --notebook @/another.sqlite", NULL, false};
    static bool exported;
    struct kitchen *kitchen = bench_anew();
    char *path = file_of(kitchen, size == 0 ? 0 : data[0] % (table_count() + 2)), *whole = NULL;
    char *another = file_join(kitchen->folder->path, "another.sqlite");
    struct failure failure = {0};

    if (!exported && bench_run(kitchen, &export) != STATUS_OK)
        exit(1);
    exported = true;
    if (file_read(path, LARGEST, &whole, &failure) != STATUS_OK)
        exit(1);
    spoil(path, whole, size == 0 ? data : data + 1, size == 0 ? 0 : size - 1);
    unlink(another);
    if (bench_run(kitchen, &import) == STATUS_OK)
        FUZZ_HOLDS(bench_run(kitchen, &verify) == STATUS_OK);
    if (file_write(path, whole, strlen(whole), &failure) != STATUS_OK)
        exit(1);
    free(another);
    free(whole);
    free(path);
    return 0;
}
