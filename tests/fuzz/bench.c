/* bench.c - a kitchen for fuzz targets. */
#include "bench.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "file.h"
#include "fuzz.h"
#include "memory.h"
#include "text.h"

static struct {
    struct kitchen *kitchen;
    char *notebook; /* its bytes */
    size_t size;
} bench;

static void
leave(void)
{
    void *kitchen = bench.kitchen;

    kitchen_close(&kitchen);
    free(bench.notebook);
}

static void
furnish(void)
{
    enum { LARGEST = 1 << 24 };
    void *kitchen = NULL;
    FILE *file;

    setenv("TMPDIR", "/dev/shm", 1);
    setenv("PATH", "/nonexistent", 1); /* no gnuplot: it is not what is tried */
    if (getenv("SOURCE_ROOT") == NULL)
        exit(1); /* where the procedures are */
    if (kitchen_open(&kitchen) != 0)
        exit(1);
    bench.kitchen = kitchen;
    every_command_furnish(bench.kitchen);
    bench.notebook = memory_new(LARGEST, 1);
    file = fopen(bench.kitchen->notebook, "rb");
    if (file == NULL)
        exit(1);
    bench.size = fread(bench.notebook, 1, LARGEST, file);
    fclose(file);
    atexit(leave);
}

struct kitchen *
bench_anew(void)
{
    char *journal;
    FILE *file;

    if (bench.kitchen == NULL)
        furnish();
    journal = text_format("%s-journal", bench.kitchen->notebook);
    unlink(journal);
    free(journal);
    unlink(bench.kitchen->notebook);
    file = fopen(bench.kitchen->notebook, "wb");
    if (file == NULL || fwrite(bench.notebook, 1, bench.size, file) != bench.size || fclose(file) != 0)
        exit(1);
    return bench.kitchen;
}

static bool
is_harmless(const char *shown)
{
    for (const char *byte = shown; *byte != '\0'; byte++)
        if (((unsigned char)*byte < 0x20 && *byte != '\n') || *byte == 0x7f)
            return false;
    return text_is_utf8(shown);
}

enum status
bench_run(struct kitchen *kitchen, const struct every_line *line)
{
    enum status status;

    kitchen->terminal = true;
    status = every_command_run(kitchen, line, "");
    FUZZ_HOLDS(is_harmless(kitchen->out));
    FUZZ_HOLDS(is_harmless(kitchen->err));
    FUZZ_HOLDS(status == STATUS_OK || kitchen->failure.text[0] != '\0');
    return status;
}
