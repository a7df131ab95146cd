/* kitchen.h - a kitchen to run commands in: its own folder, notebook and clock.
 *
 * The clock stands at 2026-06-01T12:00 until kitchen_set_time() moves it. */
#ifndef KITCHEN_H
#define KITCHEN_H

#include "answers.h"
#include "clock.h"
#include "command.h"
#include "folder.h"
#include "status.h"

struct kitchen {
    struct folder *folder; /* owned */
    char *notebook;        /* owned: path */
    civil_time now;
    char *out, *err;        /* what the last command wrote; owned */
    struct failure failure; /* of the last command */
    int exit_code;          /* as main.c would give it */
    size_t width;
    bool typed;          /* the answers come from a person's keyboard */
    bool terminal;       /* the output is for a person's screen */
    FILE *in;            /* of the command that runs; NULL: a text */
    const char *samples; /* another folder than the source's; NULL: that; lent */
};

/* For cmocka_unit_test_setup_teardown(): *state is a struct kitchen. */
int kitchen_open(void **state);
int kitchen_close(void **state);

void kitchen_set_time(struct kitchen *kitchen, const char *moment);

/* Run a command line, as in kitchen_run(kitchen, "batch add W-01 --made 2026-03-02 --title 'oat bar'").
 * Words are split as a shell would. Gives the command's status. */
enum status kitchen_run(struct kitchen *kitchen, const char *line);

/* The same with answers to its questions on standard input. */
enum status kitchen_run_with(struct kitchen *kitchen, const char *line, const char *input);

/* The same from words as they are, the last one NULL: for texts that no quoting can hold. */
enum status kitchen_run_words(struct kitchen *kitchen, const char *const *words);

/* The same from `count` words, the first of which stands for the program, with answers. */
enum status kitchen_run_list(struct kitchen *kitchen, char **words, size_t count, const char *input);

/* The same with a stream, which stays open. */
enum status kitchen_run_from(struct kitchen *kitchen, const char *line, FILE *input);

/* The same with answers by step. */
enum status kitchen_walk(struct kitchen *kitchen, const char *line, struct answers *answers);

/* The same, which must succeed, and which must be refused with this failure text. */
void kitchen_do(struct kitchen *kitchen, const char *line);
void kitchen_refuses(struct kitchen *kitchen, const char *line, const char *text);

/* Write a file into the folder; its path. Given: free() it. */
char *kitchen_file(const struct kitchen *kitchen, const char *name, const char *content);

/* "import KIND FILE REST" of a file of that name and content. Given: free() it. */
char *kitchen_import_line(const struct kitchen *kitchen, const char *kind, const char *name,
                          const char *content, const char *rest);

/* From now on the kitchen has a new notebook. */
void kitchen_other_notebook(struct kitchen *kitchen);

#endif
