/* kitchen.c - a kitchen to run commands in. */
#include "kitchen.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "file.h"
#include "text.h"

enum { MOST_WORDS = 128 };

int
kitchen_open(void **state)
{
    struct kitchen *kitchen = memory_new(1, sizeof *kitchen);
    void *folder = NULL;

    if (folder_make(&folder) != 0)
        return -1;
    kitchen->folder = folder;
    kitchen->notebook = file_join(kitchen->folder->path, "notebook.sqlite");
    kitchen->width = 80;
    kitchen_set_time(kitchen, "2026-06-01T12:00");
    *state = kitchen;
    return 0;
}

int
kitchen_close(void **state)
{
    struct kitchen *kitchen = *state;
    void *folder = kitchen->folder;

    folder_remove(&folder);
    free(kitchen->notebook);
    free(kitchen->out);
    free(kitchen->err);
    free(kitchen);
    return 0;
}

void
kitchen_set_time(struct kitchen *kitchen, const char *moment)
{
    struct failure failure = {0};

    check_ok(clock_parse_moment(moment, &kitchen->now, &failure), &failure);
}

static civil_time
tell_time(void *data)
{
    const struct kitchen *kitchen = data;

    return kitchen->now;
}

enum status
kitchen_run_list(struct kitchen *kitchen, char **words, size_t count, const char *input)
{
    struct context context = {.notebook = kitchen->notebook,
                              .clock = tell_time,
                              .clock_data = kitchen,
                              .terminal_in = kitchen->typed,
                              .terminal_out = kitchen->terminal,
                              .width = kitchen->width};
    char *procedures = file_join(getenv("SOURCE_ROOT"), "procedures");
    char *samples = file_join(getenv("SOURCE_ROOT"), "samples");
    size_t out_size, err_size;
    enum status status;

    free(kitchen->out);
    free(kitchen->err);
    context.procedures = procedures;
    context.samples = kitchen->samples == NULL ? samples : kitchen->samples;
    context.in = kitchen->in != NULL ? kitchen->in
                 : *input == '\0'    ? fopen("/dev/null", "r")
                                     : fmemopen((void *)(uintptr_t)input, strlen(input), "r");
    context.out = open_memstream(&kitchen->out, &out_size);
    context.err = open_memstream(&kitchen->err, &err_size);
    kitchen->failure = (struct failure){0};
    status = command_main(&context, (int)count, words, &kitchen->failure);
    kitchen->exit_code = status == STATUS_OK ? context.exit_code : status_exit_code(status);
    if (kitchen->in == NULL)
        fclose(context.in);
    fclose(context.out);
    fclose(context.err);
    free(procedures);
    free(samples);
    return status;
}

enum status
kitchen_run_with(struct kitchen *kitchen, const char *line, const char *input)
{
    char *copy = memory_copy(line), *words[MOST_WORDS + 1], program[] = "curetrace";
    size_t count = text_split_words(copy, words + 1, MOST_WORDS);
    enum status status;

    assert_true(count <= MOST_WORDS);
    words[0] = program;
    status = kitchen_run_list(kitchen, words, count + 1, input);
    free(copy);
    return status;
}

enum status
kitchen_run_words(struct kitchen *kitchen, const char *const *words)
{
    char *copies[MOST_WORDS + 1] = {memory_copy("curetrace")};
    size_t count = 1;
    enum status status;

    for (; *words != NULL; words++) {
        assert_true(count <= MOST_WORDS);
        copies[count++] = memory_copy(*words);
    }
    status = kitchen_run_list(kitchen, copies, count, "");
    for (size_t i = 0; i < count; i++)
        free(copies[i]);
    return status;
}

enum status
kitchen_run_from(struct kitchen *kitchen, const char *line, FILE *input)
{
    enum status status;

    kitchen->in = input;
    status = kitchen_run_with(kitchen, line, "");
    kitchen->in = NULL;
    return status;
}

enum status
kitchen_run(struct kitchen *kitchen, const char *line)
{
    return kitchen_run_with(kitchen, line, "");
}

enum status
kitchen_walk(struct kitchen *kitchen, const char *line, struct answers *answers)
{
    FILE *input = answers_open(answers);
    enum status status;

    answers->notebook = kitchen->notebook;
    status = kitchen_run_from(kitchen, line, input);
    fclose(input);
    return status;
}

void
kitchen_do(struct kitchen *kitchen, const char *line)
{
    if (kitchen_run(kitchen, line) == STATUS_OK)
        return;
    print_error("%s\n  was refused: %s\n", line, kitchen->failure.text);
    fail();
}

void
kitchen_refuses(struct kitchen *kitchen, const char *line, const char *text)
{
    enum status status = kitchen_run(kitchen, line);

    if (status != STATUS_OK && strstr(kitchen->failure.text, text) != NULL && kitchen->out[0] == '\0')
        return;
    print_error("%s\n  status %d, failure '%s', expected '%s'; output:\n%s", line, (int)status,
                kitchen->failure.text, text, kitchen->out);
    fail();
}

char *
kitchen_file(const struct kitchen *kitchen, const char *name, const char *content)
{
    char *path = file_join(kitchen->folder->path, name);
    struct failure failure = {0};

    check_ok(file_write(path, content, strlen(content), &failure), &failure);
    return path;
}

char *
kitchen_import_line(const struct kitchen *kitchen, const char *kind, const char *name, const char *content,
                    const char *rest)
{
    char *path = kitchen_file(kitchen, name, content);
    char *line = text_format("import %s '%s' %s", kind, path, rest);

    free(path);
    return line;
}

void
kitchen_other_notebook(struct kitchen *kitchen)
{
    free(kitchen->notebook);
    kitchen->notebook = file_join(kitchen->folder->path, "other.sqlite");
}
