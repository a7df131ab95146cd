/* shelf.c - where procedures are kept, and finding one by name. */
#include "shelf.h"

#include <dirent.h>
#include <stdlib.h>
#include <string.h>

#include "file.h"
#include "memory.h"
#include "step_file.h"

void
shelf_init(struct shelf *shelf, const char *shipped)
{
    char *own = file_personal("XDG_CONFIG_HOME", ".config", "procedures");

    *shelf = (struct shelf){0};
    if (own != NULL)
        words_add(&shelf->folders, own);
    if (shipped != NULL)
        words_add(&shelf->folders, shipped);
    free(own);
}

void
shelf_clear(struct shelf *shelf)
{
    words_clear(&shelf->folders);
}

static bool
ends_in_ini(const char *name)
{
    size_t length = strlen(name);

    return length > 4 && strcmp(name + length - 4, ".ini") == 0;
}

static enum status
not_there(const struct shelf *shelf, const char *name, struct failure *failure)
{
    struct words names = {0};
    const char *nearest;

    shelf_names(shelf, &names);
    nearest = text_nearest(name, (const char *const *)names.items, names.count);
    if (names.count == 0)
        failure_set(failure, STATUS_MISSING,
                    "there is no procedure '%.60s', and none at all where they are "
                    "looked for",
                    name);
    else if (nearest != NULL)
        failure_set(failure, STATUS_MISSING, "there is no procedure '%.60s'; did you mean '%.60s'?", name,
                    nearest);
    else
        failure_set(failure, STATUS_MISSING,
                    "there is no procedure '%.60s' (curetrace test --procedures lists all)", name);
    words_clear(&names);
    return STATUS_MISSING;
}

enum status
shelf_find(const struct shelf *shelf, const char *name, char **ret_path, struct failure *failure)
{
    if (strchr(name, '/') != NULL || ends_in_ini(name)) {
        *ret_path = memory_copy(name);
        return STATUS_OK;
    }
    for (size_t i = 0; *name != '\0' && i < shelf->folders.count; i++) {
        char *path = text_format("%s/%s.ini", shelf->folders.items[i], name);

        if (file_exists(path)) {
            *ret_path = path;
            return STATUS_OK;
        }
        free(path);
    }
    return not_there(shelf, name, failure);
}

enum status
shelf_read(const struct shelf *shelf, const char *name, struct procedure *ret_procedure,
           struct text *mistakes, struct failure *failure)
{
    char *path = NULL;
    enum status status = shelf_find(shelf, name, &path, failure);

    if (status == STATUS_OK)
        status = step_file_read(path, ret_procedure, mistakes, failure);
    free(path);
    return status;
}

static int
by_name(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

static void
add_names(struct words *names, const char *folder)
{
    DIR *open = opendir(folder);
    const struct dirent *entry;

    if (open == NULL)
        return;
    while ((entry = readdir(open)) != NULL) {
        if (entry->d_name[0] != '.' && ends_in_ini(entry->d_name)) {
            char *name = text_format("%.*s", (int)strlen(entry->d_name) - 4, entry->d_name);

            words_add(names, name);
            free(name);
        }
    }
    closedir(open);
}

void
shelf_names(const struct shelf *shelf, struct words *ret_names)
{
    struct words all = {0};

    for (size_t i = 0; i < shelf->folders.count; i++)
        add_names(&all, shelf->folders.items[i]);
    if (all.count > 0)
        qsort(all.items, all.count, sizeof *all.items, by_name);
    *ret_names = (struct words){0};
    for (size_t i = 0; i < all.count; i++)
        if (i == 0 || strcmp(all.items[i], all.items[i - 1]) != 0)
            words_add(ret_names, all.items[i]);
    words_clear(&all);
}
