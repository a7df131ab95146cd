/* memory.c - memory that is there or stops the program. */
#include "memory.h"

#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static void *
or_stop(void *memory)
{
    if (memory == NULL) {
        fputs("curetrace: out of memory\n", stderr);
        exit(1);
    }
    return memory;
}

void *
memory_new(size_t count, size_t size)
{
    return or_stop(calloc(count == 0 ? 1 : count, size));
}

void *
memory_resize(void *memory, size_t count, size_t size)
{
    if (size != 0 && count > SIZE_MAX / size)
        return or_stop(NULL);
    return or_stop(realloc(memory, count * size == 0 ? 1 : count * size));
}

char *
memory_copy(const char *text)
{
    return text == NULL ? NULL : or_stop(strdup(text));
}

void *
memory_room(void *array, size_t count, size_t *capacity, size_t size)
{
    if (array != NULL && count < *capacity)
        return array;
    *capacity = *capacity == 0 ? 8 : *capacity * 2;
    return memory_resize(array, *capacity, size);
}
