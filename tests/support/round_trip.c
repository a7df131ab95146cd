/* round_trip.c - export, import into a new notebook, export again. */
#include "round_trip.h"

#include "check.h"
#include "file.h"
#include "table_store.h"
#include "text.h"

static size_t
check_same_file(const char *folder_a, const char *folder_b, const char *name)
{
    char *path_a = text_format("%s/%s.csv", folder_a, name),
         *path_b = text_format("%s/%s.csv", folder_b, name);
    char *a = NULL, *b = NULL;
    struct failure failure = {0};
    size_t length;

    check_ok(file_read(path_a, SIZE_MAX - 1, &a, &failure), &failure);
    check_ok(file_read(path_b, SIZE_MAX - 1, &b, &failure), &failure);
    length = strlen(a);
    if (strcmp(a, b) != 0) {
        size_t at = 0;

        while (a[at] == b[at])
            at++;
        print_error("%s.csv differs at byte %zu: '%.60s' and '%.60s'\n", name, at, a + at, b + at);
        fail();
    }
    free(path_a);
    free(path_b);
    free(a);
    free(b);
    return length;
}

void
round_trip_check(struct kitchen *kitchen, const char *manner)
{
    char *first = file_join(kitchen->folder->path, "first"),
         *second = file_join(kitchen->folder->path, "second");
    char *copy = file_join(kitchen->folder->path, "copy.sqlite");
    char *lines[] = {text_format("export %s %s", first, manner),
                     text_format("import notebook %s --notebook %s %s", first, copy, manner),
                     text_format("verify --notebook %s", copy),
                     text_format("export %s --notebook %s %s", second, copy, manner)};
    size_t bytes = 0;

    for (size_t i = 0; i < LENGTH(lines); i++) {
        kitchen_do(kitchen, lines[i]);
        free(lines[i]);
    }
    for (size_t i = 0; i < table_store_count(); i++)
        bytes += check_same_file(first, second, table_store_name(i));
    print_message("round trip: %zu bytes in %zu tables exported, imported and exported again, all equal\n",
                  bytes, table_store_count());
    free(first);
    free(second);
    free(copy);
}
