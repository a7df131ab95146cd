/* fuzz.c - what fuzz targets share. */
#include "fuzz.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"

char *
fuzz_text(const uint8_t *data, size_t size)
{
    char *text = memory_new(size + 1, 1);

    if (size > 0)
        memcpy(text, data, size);
    return text;
}

void
fuzz_stop(const char *what, const char *file, int line)
{
    fprintf(stderr, "%s:%d: does not hold: %s\n", file, line, what);
    abort();
}
