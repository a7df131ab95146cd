/* folder.c - a fresh folder for one test. */
#include "folder.h"

#include <ftw.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "memory.h"

int
folder_make(void **state)
{
    struct folder *folder = memory_new(1, sizeof *folder);
    const char *place = getenv("TMPDIR");

    if (place == NULL || place[0] != '/' || strlen(place) > 30)
        place = "/tmp";
    snprintf(folder->path, sizeof folder->path, "%s/curetrace-test-XXXXXX", place);
    *state = folder;
    return mkdtemp(folder->path) == NULL ? -1 : 0;
}

static int
erase(const char *path, const struct stat *about, int kind, struct FTW *place)
{
    (void)about;
    (void)kind;
    (void)place;
    return remove(path);
}

int
folder_remove(void **state)
{
    struct folder *folder = *state;

    nftw(folder->path, erase, 16, FTW_DEPTH | FTW_PHYS);
    free(folder);
    return 0;
}
