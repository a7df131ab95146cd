/* folder.h - a fresh folder for one test, removed with all it holds. */
#ifndef FOLDER_H
#define FOLDER_H

struct folder {
    char path[64];
};

/* For cmocka_unit_test_setup_teardown(): *state is a struct folder. */
int folder_make(void **state);
int folder_remove(void **state);

#endif
