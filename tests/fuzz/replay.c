/* replay.c - runs a fuzz target over its kept corpus, and over mutations of it, without libFuzzer.
 *
 * replay FOLDER [MUTATIONS]: each file as it is, then that many mutated copies of each, by a fixed seed: bits
 * flipped, bytes set, pieces cut, doubled or swapped for those of another file. Prints the executions. */
#include <dirent.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "file.h"
#include "fuzz.h"
#include "memory.h"

enum { SEED = 20260601, LARGEST = 1 << 20, FILES_MOST = 1000 };

struct input {
    uint8_t *bytes;
    size_t size;
};

static uint64_t state = SEED;

static size_t
chance(size_t below)
{
    state = state * 6364136223846793005u + 1442695040888963407u; /* Knuth's MMIX generator, from memory */
    return (size_t)(state >> 33) % below;
}

static struct input
read_input(const char *path)
{
    struct input input = {.bytes = memory_new(LARGEST, 1)};
    FILE *file = fopen(path, "rb");

    if (file == NULL) {
        perror(path);
        exit(1);
    }
    input.size = fread(input.bytes, 1, LARGEST, file);
    fclose(file);
    return input;
}

static int
by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static size_t
read_folder(const char *folder, struct input inputs[FILES_MOST])
{
    char *names[FILES_MOST];
    size_t count = 0;
    DIR *open = opendir(folder);

    if (open == NULL) {
        perror(folder);
        exit(1);
    }
    for (const struct dirent *entry; count < FILES_MOST && (entry = readdir(open)) != NULL;)
        if (entry->d_name[0] != '.')
            names[count++] = file_join(folder, entry->d_name);
    closedir(open);
    qsort(names, count, sizeof names[0], by_name); /* the same order everywhere */
    for (size_t i = 0; i < count; i++) {
        inputs[i] = read_input(names[i]);
        free(names[i]);
    }
    return count;
}

static void
mutate(struct input *input, const struct input *other)
{
    size_t at = input->size == 0 ? 0 : chance(input->size), length;

    switch (input->size == 0 ? 4 : chance(6)) {
    case 0:
        input->bytes[at] ^= (uint8_t)(1 << chance(8));
        break;
    case 1:
        input->bytes[at] = (uint8_t)chance(256);
        break;
    case 2: /* cut a piece, or the end */
        length = chance(4) == 0 ? input->size - at : 1 + chance(input->size - at);
        memmove(input->bytes + at, input->bytes + at + length, input->size - at - length);
        input->size -= length;
        break;
    case 3: /* double a piece */
        length = 1 + chance(input->size - at < 64 ? input->size - at : 64);
        if (input->size + length > LARGEST)
            break;
        memmove(input->bytes + at + length, input->bytes + at, input->size - at);
        input->size += length;
        break;
    case 4: /* a piece of another file */
        if (other->size == 0)
            break;
        length = 1 + chance(other->size < 32 ? other->size : 32);
        if (at + length > LARGEST)
            length = LARGEST - at;
        memcpy(input->bytes + at, other->bytes + chance(other->size - length + 1), length);
        input->size = input->size < at + length ? at + length : input->size;
        break;
    default: { /* what parsers stumble over */
        static const uint8_t special[] = {0, 0xff, '"', '\n', ',', '=', '[', 0x80, 0x7f, '\r', '-'};

        input->bytes[at] = special[chance(sizeof special)];
        break;
    }
    }
}

/* A copy of just its size, so that a sanitizer sees a read behind the end. */
static void
execute(const struct input *input)
{
    uint8_t *bytes = malloc(input->size == 0 ? 1 : input->size);

    if (bytes == NULL)
        exit(1);
    memcpy(bytes, input->bytes, input->size);
    LLVMFuzzerTestOneInput(bytes, input->size);
    free(bytes);
}

int
main(int argc, char **argv)
{
    static struct input inputs[FILES_MOST];
    size_t mutations = argc > 2 ? (size_t)strtoul(argv[2], NULL, 10) : 0, executions = 0, count;
    struct input copy = {.bytes = memory_new(LARGEST, 1)};

    if (argc < 2) {
        fputs("expected FOLDER [MUTATIONS]\n", stderr);
        return 1;
    }
    count = read_folder(argv[1], inputs);
    for (size_t i = 0; i < count; i++) {
        execute(&inputs[i]);
        executions++;
        for (size_t m = 0; m < mutations; m++, executions++) {
            memcpy(copy.bytes, inputs[i].bytes, inputs[i].size);
            copy.size = inputs[i].size;
            for (size_t times = 1 + chance(4); times > 0; times--)
                mutate(&copy, &inputs[chance(count)]);
            execute(&copy);
        }
    }
    printf("executions: %zu, from %zu kept inputs\n", executions, count);
    for (size_t i = 0; i < count; i++)
        free(inputs[i].bytes);
    free(copy.bytes);
    return count == 0 ? 1 : 0;
}
