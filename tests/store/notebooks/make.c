/* make.c - makes a notebook to keep for a version: make FILE, which prints the head to keep beside it.
 * Run once, when a version is released; tests/store/test_backup.c opens what it made ever after. */
#include <stdio.h>

#include "filled_notebook.h"
#include "journal.h"
#include "notebook.h"

int
main(int argc, char **argv)
{
    struct failure failure = {0};
    struct store *store = NULL;
    char head[JOURNAL_HASH_SIZE] = "";

    if (argc != 2 || notebook_open(argv[1], STORE_CREATE, &store, NULL, &failure) != STATUS_OK) {
        fprintf(stderr, "%s\n", argc == 2 ? failure.text : "expected one file");
        return 1;
    }
    notebook_fill(store);
    notebook_fill(store);
    journal_head(store, head, &failure);
    store_close(store);
    puts(head);
    return 0;
}
