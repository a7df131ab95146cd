/* command.c - from a command line to the command that does it. */
#include "command.h"

#include <assert.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>

#include "listing.h"
#include "memory.h"
#include "notebook.h"
#include "text.h"

#ifndef CURETRACE_VERSION
#error "the build says which version this is"
#endif

const struct option_spec command_common_options[] = {
    {.name = "notebook", .kind = OPTION_FILE, .value = "FILE", .help = "another notebook than the usual one"},
    {.name = "help", .kind = OPTION_FLAG, .help = "this text"},
    {.name = NULL},
};

civil_time
context_now(const struct context *context)
{
    return context->clock(context->clock_data);
}

civil_day
context_today(const struct context *context)
{
    return clock_day_of(context_now(context));
}

enum status
context_moment(const struct context *context, const struct options *options, const char *name,
               civil_time *ret_moment, struct failure *failure)
{
    civil_time now = context_now(context), given = options_time(options, name);
    char text[MOMENT_TEXT_SIZE];

    if (given == MOMENT_NONE)
        given = now;
    if (given > now)
        return failure_set(failure, STATUS_RANGE, "--%s: %s is in the future", name,
                           clock_moment_text(given, text));
    *ret_moment = given;
    return STATUS_OK;
}

enum status
context_begin(struct context *context, struct held_words *held, struct failure *failure)
{
    enum status status = store_begin(context->store, failure);

    if (status != STATUS_OK)
        return status;
    *held = (struct held_words){.out = context->out};
    context->out = open_memstream(&held->text, &held->size);
    return STATUS_OK;
}

enum status
context_commit(struct context *context, struct held_words *held, enum status status, struct failure *failure)
{
    fclose(context->out);
    context->out = held->out;
    status = store_end(context->store, status, failure);
    if (status == STATUS_OK)
        fwrite(held->text, 1, held->size, context->out);
    free(held->text);
    return status;
}

char *
context_notebook_typed(const struct context *context)
{
    char *path, *option;

    if (!context->notebook_named)
        return memory_copy("");
    path = text_as_typed(context->notebook);
    option = text_format(" --notebook %s", path);
    free(path);
    return option;
}

void
context_command(const struct context *context, const char *const *words, size_t count)
{
    char *notebook = context_notebook_typed(context);

    fputs("curetrace", context->out);
    for (size_t i = 0; i < count; i++) {
        char *typed = text_as_typed(words[i]);

        fprintf(context->out, " %s", typed);
        free(typed);
    }
    fprintf(context->out, "%s\n", notebook);
    free(notebook);
}

void
context_next(const struct context *context, const char *command, ...)
{
    const char *words[16];
    size_t count = 0;
    va_list arguments;

    va_start(arguments, command);
    for (const char *word = command; word != NULL; word = va_arg(arguments, const char *)) {
        assert(count < LENGTH(words));
        words[count++] = word;
    }
    va_end(arguments);
    fputs("next: ", context->out);
    context_command(context, words, count);
}

const char *
context_tone(const struct context *context, enum tone tone)
{
    return context->colour ? screen_tone(context->screen, tone) : "";
}

/* Words of argv that the command's name takes; 0 when it is another command. */
static int
words_taken(const struct command *command, int argc, char **argv)
{
    const char *rest = command->name;

    for (int i = 0; i < argc; i++) {
        size_t length = strlen(argv[i]);

        if (strncmp(rest, argv[i], length) != 0 || (rest[length] != ' ' && rest[length] != '\0'))
            return 0;
        if (rest[length] == '\0')
            return i + 1;
        rest += length + 1;
    }
    return 0;
}

static const struct command *
find(int argc, char **argv, int *ret_words)
{
    for (size_t i = 0; command_table[i] != NULL; i++) {
        *ret_words = words_taken(command_table[i], argc, argv);
        if (*ret_words > 0)
            return command_table[i];
    }
    return NULL;
}

/* "batch ad" and "batch": the second word is wrong or missing. */
static enum status
unknown(int argc, char **argv, struct failure *failure)
{
    char *typed = argc > 1 && argv[1][0] != '-' ? text_format("%.40s %.40s", argv[0], argv[1])
                                                : text_format("%.40s", argv[0]);
    const char *known[128], *nearest;
    struct text family = {0};
    size_t count = 0, length = strlen(argv[0]);

    for (; command_table[count] != NULL && count < LENGTH(known); count++) {
        known[count] = command_table[count]->name;
        if (strncmp(known[count], argv[0], length) == 0 && known[count][length] == ' ')
            text_addf(&family, "%s%s", family.length == 0 ? "" : ", ", known[count]);
    }
    nearest = text_nearest(typed, known, count);
    if (nearest == NULL)
        nearest = text_nearest(argv[0], known, count);
    if (family.length > 0)
        failure_set(failure, STATUS_USAGE, "'%s' is no command; there is %s", typed, text_of(&family));
    else if (nearest != NULL)
        failure_set(failure, STATUS_USAGE, "'%s' is no command; did you mean '%s'?", typed, nearest);
    else
        failure_set(failure, STATUS_USAGE, "'%s' is no command (curetrace --help lists them)", typed);
    text_clear(&family);
    free(typed);
    return STATUS_USAGE;
}

static void
print_option(const struct option_spec *spec, FILE *out, size_t width)
{
    char *left =
        text_format("  --%s%s%s%s%s", spec->name, spec->value == NULL ? "" : " ", spec->optional ? "[" : "",
                    spec->value == NULL ? "" : spec->value, spec->optional ? "]" : "");

    if (strlen(left) > 27)
        fprintf(out, "%s\n%*s", left, 28, "");
    else
        fprintf(out, "%-28s", left);
    listing_paragraph(out, width > 60 ? width - 28 : 32, 28, spec->help);
    free(left);
}

/* A command line that is too wide is broken before an option, as a shell takes it. */
static void
print_example(const char *example, FILE *out, size_t width)
{
    size_t used = 2;

    fputs("\nExample\n  ", out);
    while (*example != '\0') {
        const char *next = strstr(example + 1, " --");
        size_t length = next == NULL ? strlen(example) : (size_t)(next - example);

        if (used > 2 && used + length + 2 > width) {
            fputs(" \\\n     ", out);
            used = 5;
        }
        fprintf(out, "%.*s", (int)length, example);
        used += length;
        example += length;
    }
    fputc('\n', out);
}

static void
show_help(const struct command *command, FILE *out, size_t width)
{
    fprintf(out, "curetrace %s%s%s%s\n\n", command->name, *command->names == '\0' ? "" : " ", command->names,
            command->options[0].name == NULL ? "" : " [options]");
    listing_paragraph(out, width, 0, command->summary);
    fputs("\nOptions\n", out);
    for (const struct option_spec *spec = command->options; spec->name != NULL; spec++)
        print_option(spec, out, width);
    for (const struct option_spec *spec = command_common_options; spec->name != NULL; spec++)
        print_option(spec, out, width);
    if (command->example != NULL)
        print_example(command->example, out, width);
}

static void
show_overview(FILE *out, size_t width)
{
    listing_paragraph(out, width, 0,
                      "curetrace keeps the pH tests of cold-process soap: it walks through a 1 % solution, "
                      "judges readings with their uncertainty, follows the cure and keeps a record.");
    fputs("\nCommands\n", out);
    for (size_t i = 0; command_table[i] != NULL; i++) {
        fprintf(out, "  %-16s ", command_table[i]->name);
        listing_paragraph(out, width > 50 ? width - 19 : 31, 19, command_table[i]->summary);
    }
    fputs("\nEach command explains itself with --help. A first batch:\n"
          "  curetrace batch add W-01 --made 2026-03-02 --title \"plain bar\"\n"
          "  curetrace test W-01\n",
          out);
}

static enum status
check_names(const struct command *command, const struct options *options, struct failure *failure)
{
    int count = (int)options_name_count(options);

    if (count >= command->fewest && (command->most < 0 || count <= command->most))
        return STATUS_OK;
    if (count > command->most && command->most >= 0)
        return failure_set(failure, STATUS_USAGE, "'%.60s' is one word too many; expected curetrace %s %s",
                           options_name(options, (size_t)command->most), command->name, command->names);
    return failure_set(failure, STATUS_USAGE, "expected curetrace %s %s", command->name, command->names);
}

/* What a person should know of the opening, one line each. */
static void
say_news(const struct context *context, const struct store *store, const struct notebook_news *news)
{
    char *path = text_visible(context->notebook), *kept = text_visible(news->kept), *foreign;

    if (news->created)
        fprintf(context->err, "started a new notebook: %s\n", path);
    if (news->kept != NULL)
        fprintf(context->err, "brought the notebook up to date; as it was, it is kept as %s\n", kept);
    if (store_foreign(store) != NULL) {
        foreign = text_visible(store_foreign(store));
        fprintf(context->err,
                "caution: '%s' is not as curetrace makes it (%s): it is only read, and what it says may not "
                "be what was "
                "recorded; curetrace verify lists what differs\n",
                path, foreign);
        free(foreign);
    }
    free(path);
    free(kept);
}

enum status
context_open_notebook(const struct context *context, enum store_mode mode, struct store **ret_store,
                      struct failure *failure)
{
    struct notebook_news news = {0};
    enum status status = notebook_check_name(context->notebook, failure);

    if (status == STATUS_OK)
        status = notebook_open(context->notebook, mode, ret_store, &news, failure);
    if (status == STATUS_OK)
        say_news(context, *ret_store, &news);
    notebook_news_clear(&news);
    return status;
}

static enum store_mode
mode_of(const struct command *command, const struct options *options)
{
    if (command->needs == COMMAND_READS_STORE ||
        (command->only_reads != NULL && command->only_reads(options)))
        return STORE_READ;
    return command->needs == COMMAND_CHANGES_STORE ? STORE_WRITE : STORE_CREATE;
}

/* "batch --help": a first word that several commands share. False when there is no such command. */
static bool
family_help(const char *word, FILE *out, size_t width)
{
    size_t length = strlen(word);
    bool found = false;

    for (size_t i = 0; command_table[i] != NULL; i++) {
        const struct command *command = command_table[i];

        if (strncmp(command->name, word, length) != 0 || command->name[length] != ' ')
            continue;
        fprintf(out, "%scuretrace %s%s%s\n    ", found ? "\n" : "", command->name,
                *command->names == '\0' ? "" : " ", command->names);
        listing_paragraph(out, width > 30 ? width - 4 : 26, 4, command->summary);
        found = true;
    }
    if (found)
        fputs("\nEach explains its options with --help.\n", out);
    return found;
}

static enum status
open_notebook(struct context *context, const struct command *command, const struct options *options,
              struct failure *failure)
{
    if (command->needs == COMMAND_NOTHING ||
        (command->needs_nothing_with != NULL && options_has(options, command->needs_nothing_with)))
        return STATUS_OK;
    if (context->notebook == NULL)
        return failure_set(
            failure, STATUS_MISSING,
            "where is the notebook? neither HOME nor CURETRACE_NOTEBOOK is set (--notebook FILE)");
    return context_open_notebook(context, mode_of(command, options), &context->store, failure);
}

static enum status
run(struct context *context, const struct command *command, const struct options *options,
    struct failure *failure)
{
    enum status status = check_names(command, options, failure);

    if (status != STATUS_OK)
        return status;
    if (options_text(options, "notebook") != NULL) {
        context->notebook = options_text(options, "notebook");
        context->notebook_named = true;
    }
    if (options_takes(options, "decimal"))
        status = csv_manner_of(options_text(options, "separator"), options_text(options, "decimal"),
                               &context->csv, failure);
    if (status == STATUS_OK)
        status = open_notebook(context, command, options, failure);
    if (status == STATUS_OK) {
        int changes = context->store == NULL ? 0 : store_changes(context->store);

        status = command->run(context, options, failure);
        context->kept =
            status == STATUS_OK && context->store != NULL && store_changes(context->store) > changes;
    }
    store_close(context->store);
    context->store = NULL;
    return status;
}

/* A command's own options, then the common ones; given: free() it. */
static struct option_spec *
all_options(const struct command *command)
{
    size_t own = 0;
    struct option_spec *all;

    while (command->options[own].name != NULL)
        own++;
    all = memory_new(own + LENGTH(command_common_options), sizeof *all);
    memcpy(all, command->options, own * sizeof *all);
    memcpy(all + own, command_common_options, sizeof command_common_options);
    return all;
}

static bool
asks_for_help(int argc, char **argv)
{
    for (int i = 0; i < argc && strcmp(argv[i], "--") != 0; i++)
        if (strcmp(argv[i], "--help") == 0 || strcmp(argv[i], "-h") == 0)
            return true;
    return false;
}

/* CSV for another program, not for a screen. */
static bool
writes_data(const struct context *context, const struct options *options)
{
    return !context->terminal_out && options_takes(options, "csv") && options_has(options, "csv") &&
           options_text(options, "csv") == NULL;
}

static enum status
run_words(struct context *context, int argc, char **argv, struct failure *failure)
{
    int words = 0;
    const struct command *command = find(argc, argv, &words);
    struct option_spec *specs;
    struct options *options = NULL;
    enum status status;

    if (command == NULL && argc > 1 && asks_for_help(argc - 1, argv + 1) &&
        family_help(argv[0], context->out, context->width))
        return STATUS_OK;
    if (command == NULL)
        return unknown(argc, argv, failure);
    if (asks_for_help(argc - words, argv + words)) {
        show_help(command, context->out, context->width);
        return STATUS_OK;
    }
    specs = all_options(command);
    status = options_parse(specs, argc - words, argv + words, context_now(context), &options, failure);
    if (status == STATUS_OK && writes_data(context, options))
        screen_pass_data(context->screen);
    if (status == STATUS_OK)
        status = run(context, command, options, failure);
    options_close(options);
    free(specs);
    return status;
}

static enum status
run_line(struct context *context, int argc, char **argv, struct failure *failure)
{
    if (argc < 2 || strcmp(argv[1], "--help") == 0 || strcmp(argv[1], "-h") == 0 ||
        strcmp(argv[1], "help") == 0) {
        show_overview(context->out, context->width);
        return STATUS_OK;
    }
    if (strcmp(argv[1], "--version") == 0) {
        fprintf(context->out, "curetrace %s\n", CURETRACE_VERSION);
        return STATUS_OK;
    }
    if (argc > 3 && strcmp(argv[1], "--notebook") == 0) { /* written before the command as well */
        context->notebook = argv[2];
        context->notebook_named = true;
        return run_words(context, argc - 3, argv + 3, failure);
    }
    return run_words(context, argc - 1, argv + 1, failure);
}

enum status
command_main(struct context *context, int argc, char **argv, struct failure *failure)
{
    struct context shown = *context;
    struct screen *err;
    enum status status;

    if (context->screen != NULL) /* a command that runs others */
        return run_line(context, argc, argv, failure);
    shown.screen = screen_open(context->out, context->terminal_out, &shown.out);
    err = screen_open(context->err, true, &shown.err);
    status = run_line(&shown, argc, argv, failure);
    context->output_error = screen_close(shown.screen);
    screen_close(err);
    context->exit_code = shown.exit_code;
    context->kept = shown.kept;
    return status;
}
