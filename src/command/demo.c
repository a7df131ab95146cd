/* demo.c - "demo": an invented workshop, built by running its command lines as a user would type them.
 *
 * Rules
 * (1) The folder is made by the demo; one that holds a notebook already is left alone.
 * (2) Each line is run on the day it speaks of (--at, --made), as it was typed then; a line without one is
 *     run on the day of the line before.
 * (3) A line that fails stops the demo and is named by file and line.
 * (4) The notebook gets its name when all is made, so that a demo that was killed can be run again. */
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "commands.h"
#include "file.h"
#include "listing.h"
#include "memory.h"
#include "text.h"

enum { LARGEST_WORKSHOP = 1 << 20, MOST_WORDS = 64 };

static const struct option_spec no_options[] = {{.name = NULL}};

static civil_time
tell_time(void *data)
{
    const civil_time *day = data;

    return *day;
}

/* Rule 2. What is no date is left to the command to refuse. */
static void
move_clock(char *const *words, size_t count, civil_time *day)
{
    struct failure ignored = {0};

    for (size_t i = 0; i + 1 < count; i++)
        if (strcmp(words[i], "--at") == 0 || strcmp(words[i], "--made") == 0)
            clock_parse_moment(words[i + 1], day, &ignored);
}

/* Run one command line in a context of its own; its words are cut out of `line`. */
static enum status
run_line(struct context *context, char *line, civil_time *day, struct failure *failure)
{
    char program[] = "curetrace", *words[MOST_WORDS + 1];
    size_t count = text_split_words(line, words + 1, MOST_WORDS);

    words[0] = program;
    if (count > MOST_WORDS)
        return failure_set(failure, STATUS_FORMAT, "too many words");
    move_clock(words + 1, count, day);
    return count == 0 ? STATUS_OK : command_main(context, (int)count + 1, words, failure);
}

static enum status
run_workshop(const struct context *outer, const char *path, const char *notebook, struct failure *failure)
{
    struct context quiet = *outer;
    char *text = NULL, *rest, *line, *spoken = NULL;
    size_t size = 0;
    civil_time day = context_now(outer);
    enum status status = file_read(path, LARGEST_WORKSHOP, &text, failure);

    if (status != STATUS_OK)
        return status;
    quiet.store = NULL;
    quiet.notebook = notebook;
    quiet.clock = tell_time;
    quiet.clock_data = &day;
    quiet.out = quiet.err = open_memstream(&spoken, &size);
    rest = text;
    for (int number = 1; status == STATUS_OK && (line = strsep(&rest, "\n")) != NULL; number++) {
        status = run_line(&quiet, line, &day, failure);
        if (status != STATUS_OK)
            failure_at(failure, "%s:%d: ", path, number);
    }
    fclose(quiet.out);
    free(spoken);
    free(text);
    return status;
}

/* One more command on the new notebook, about all three batches. `option` and `value` may be NULL. */
static enum status
ask(struct context *context, const char *command, const char *option, const char *value,
    struct failure *failure)
{
    const char *line[] = {"curetrace", command, "P-01", "O-01", "L-01", option, value};
    char *words[LENGTH(line)];
    int count = option == NULL ? 5 : 7;
    enum status status;

    for (int i = 0; i < count; i++)
        words[i] = memory_copy(line[i]);
    status = command_main(context, count, words, failure);
    for (int i = 0; i < count; i++)
        free(words[i]);
    return status;
}

/* Ask for a file in the folder; only its path is said. */
static enum status
make_file(const struct context *outer, const char *notebook, const char *option, const char *folder,
          const char *name, struct failure *failure)
{
    char *path = file_join(folder, name), *spoken = NULL;
    struct context quiet = *outer;
    size_t size = 0;
    enum status status;

    quiet.store = NULL;
    quiet.notebook = notebook;
    quiet.out = quiet.err = open_memstream(&spoken, &size);
    status = ask(&quiet, "trend", option, path, failure);
    fclose(quiet.out);
    free(spoken);
    if (status == STATUS_OK)
        fprintf(outer->out, "  %s\n", path);
    free(path);
    return status;
}

/* A plot that cannot be drawn for want of gnuplot does not spoil the demo: it is said, and the rest stands. */
static enum status
draw(const struct context *context, const char *notebook, const char *folder, struct failure *failure)
{
    enum status status = make_file(context, notebook, "--plot", folder, "cure.svg", failure);

    if (status == STATUS_OK)
        status = make_file(context, notebook, "--plot", folder, "cure.png", failure);
    if (status != STATUS_MISSING)
        return status;
    fprintf(context->out, "no plot: %s\n", failure->text);
    return STATUS_OK;
}

static enum status
show_verdicts(const struct context *outer, const char *notebook, struct failure *failure)
{
    struct context context = *outer;

    context.store = NULL;
    context.notebook = notebook;
    context.notebook_named = true;
    return ask(&context, "verdict", NULL, NULL, failure);
}

/* Rule 4: everything is made from a notebook of another name, which gets its own at the end. */
static enum status
build(const struct context *context, const char *folder, const char *notebook, struct failure *failure)
{
    char *workshop = file_join(context->samples, "workshop.txt"),
         *unfinished = file_join(folder, "unfinished");
    char *journal = text_format("%s-journal", unfinished);
    enum status status;

    unlink(unfinished);
    unlink(journal);
    status = run_workshop(context, workshop, unfinished, failure);
    if (status == STATUS_OK)
        fprintf(context->out, "an invented workshop, tested over four months:\n  %s\n", notebook);
    if (status == STATUS_OK)
        status = make_file(context, unfinished, "--csv", folder, "trend.csv", failure);
    if (status == STATUS_OK)
        status = draw(context, unfinished, folder, failure);
    if (status == STATUS_OK)
        status = file_give_name(unfinished, notebook, false, failure);
    if (status == STATUS_OK) {
        fputs("\nthe latest verdicts:\n", context->out);
        status = show_verdicts(context, notebook, failure);
    }
    free(journal);
    free(unfinished);
    free(workshop);
    return status;
}

static enum status
run(struct context *context, const struct options *options, struct failure *failure)
{
    const char *folder = options_name(options, 0);
    char *notebook = file_join(folder, "notebook.sqlite");
    enum status status = STATUS_OK;

    if (context->samples == NULL)
        status = failure_set(
            failure, STATUS_MISSING,
            "the invented workshop that comes with the program (samples/workshop.txt) is not there");
    else if (file_exists(notebook)) /* rule 1 */
        status =
            failure_set(failure, STATUS_CONFLICT, "'%s' holds a notebook already; name a new folder", folder);
    else
        status = file_make_folder(folder, failure);
    if (status == STATUS_OK)
        status = build(context, folder, notebook, failure);
    free(notebook);
    return status;
}

const struct command demo_command = {
    .name = "demo",
    .names = "DIR",
    .fewest = 1,
    .most = 1,
    .summary = "build an invented workshop in a new folder: notebook, CSV and plots to look at",
    .example = "curetrace demo build/demo",
    .options = no_options,
    .needs = COMMAND_NOTHING,
    .run = run,
};
