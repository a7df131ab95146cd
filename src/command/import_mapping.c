/* import_mapping.c - how a file is read: told on the command line, in a file, or by a name that the notebook keeps. */
#include <stdlib.h>
#include <string.h>

#include "file.h"
#include "follow_store.h"
#include "import.h"
#include "memory.h"

enum { MAP_LARGEST = 65536, NAME_LONGEST = 60 };

/* Those that are of one run, not of a shape of file. */
static bool
is_of_the_run(const char *name)
{
    static const char *const names[] = {"check",        "dry-run",  "map", "mapping",
                                        "keep-mapping", "notebook", "help"};

    for (size_t i = 0; i < LENGTH(names); i++)
        if (strcmp(names[i], name) == 0)
            return true;
    return false;
}

/* The word is given. */
static void
add_word(struct import *import, char *word)
{
    import->words =
        memory_room(import->words, import->word_count, &import->word_capacity, sizeof *import->words);
    import->words[import->word_count++] = word;
}

/* "--decimal comma" or "--decimal=comma"; left out when the command line has it. */
static enum status
add_option_line(struct import *import, const struct options *typed, char *line, struct failure *failure)
{
    char *name = line + 2, *value = name + strcspn(name, "= ");

    if (*value != '\0')
        *value++ = '\0';
    value = text_trim(value);
    if (!options_takes(typed, name) || is_of_the_run(name))
        return failure_set(failure, STATUS_FORMAT, "'--%.60s' is no option that a mapping holds", name);
    if (!options_has(typed, name))
        add_word(import, *value == '\0' ? text_format("--%s", name) : text_format("--%s=%s", name, value));
    return STATUS_OK;
}

/* "ph = Meter pH" with blanks around either, an option, a remark or nothing. */
static enum status
add_line(struct import *import, const struct options *typed, char *line, struct failure *failure)
{
    char *equals;

    line = text_trim(line);
    if (*line == '\0' || *line == '#')
        return STATUS_OK;
    if (strncmp(line, "--", 2) == 0)
        return add_option_line(import, typed, line, failure);
    equals = strchr(line, '=');
    if (equals == NULL)
        return failure_set(failure, STATUS_FORMAT, "'%.80s' is not of the form COLUMN=HEADING", line);
    *equals = '\0';
    add_word(import, text_format("--column=%s=%s", text_trim(line), text_trim(equals + 1)));
    return STATUS_OK;
}

static enum status
add_lines(struct import *import, const struct options *typed, char *lines, const char *from,
          struct failure *failure)
{
    enum status status = STATUS_OK;
    char *line;

    for (size_t number = 1; status == STATUS_OK && (line = strsep(&lines, "\n")) != NULL; number++) {
        status = add_line(import, typed, line, failure);
        if (status != STATUS_OK)
            failure_at(failure, "%s:%zu: ", from, number);
    }
    return status;
}

static enum status
add_map_file(struct import *import, const struct options *typed, struct failure *failure)
{
    const char *path = options_text(typed, "map");
    char *text = NULL;
    enum status status = path == NULL ? STATUS_OK : file_read(path, MAP_LARGEST, &text, failure);

    if (status == STATUS_OK && text != NULL)
        status = add_lines(import, typed, text, path, failure);
    free(text);
    return status;
}

static char *
setting_name(const struct import *import, const char *name)
{
    return text_format("mapping %s %s", import->kind->word, name);
}

static enum status
no_mapping(const struct import *import, const char *name, struct failure *failure)
{
    struct text known = {0};
    char *prefix = setting_name(import, "");
    enum status status = setting_store_names(import->context->store, prefix, &known, failure);

    if (status == STATUS_OK)
        status = failure_set(failure, STATUS_MISSING, "there is no mapping '%.60s' for %s; %s%s", name,
                             import->kind->word, known.length == 0 ? "none is kept" : "there is ",
                             known.length == 0 ? " (--keep-mapping keeps one)" : text_of(&known));
    free(prefix);
    text_clear(&known);
    return status;
}

static enum status
add_kept(struct import *import, const struct options *typed, struct failure *failure)
{
    const char *name = options_text(typed, "mapping");
    char *setting, *text = NULL;
    enum status status;

    if (name == NULL)
        return STATUS_OK;
    setting = setting_name(import, name);
    status = setting_store_find(import->context->store, setting, &text, failure);
    if (status == STATUS_OK && text == NULL)
        status = no_mapping(import, name, failure);
    if (status == STATUS_OK)
        status = add_lines(import, typed, text, name, failure);
    free(text);
    free(setting);
    return status;
}

/* What was typed: `named` with values as they were written. */
static void
add_typed(struct import *import, const struct options *typed)
{
    for (size_t i = 0; i < options_written(typed); i++) {
        const char *name = options_written_name(typed, i), *text = options_written_text(typed, i);

        if (strcmp(name, "notebook") != 0)
            add_word(import, text == NULL ? text_format("--%s", name) : text_format("--%s=%s", name, text));
    }
    add_word(import, memory_copy("--"));
    for (size_t i = 0; i < options_name_count(typed); i++)
        add_word(import, memory_copy(options_name(typed, i)));
}

enum status
import_mapping_read(struct import *import, const struct options *typed, struct failure *failure)
{
    enum status status = add_map_file(import, typed, failure);

    if (status == STATUS_OK)
        status = add_kept(import, typed, failure);
    if (status != STATUS_OK)
        return status;
    add_typed(import, typed);
    return options_parse(import->kind->options, (int)import->word_count, import->words,
                         context_now(import->context), &import->options, failure);
}

/* "ph = Meter pH" and "--percent 1", one a line; what was found out among them. */
static char *
mapping_text(const struct import *import)
{
    const struct options *options = import->options;
    struct text text = {0};

    for (size_t i = 0; i < options_written(options); i++) {
        const char *name = options_written_name(options, i), *value = options_written_text(options, i);

        if (strcmp(name, "column") == 0)
            text_addf(&text, "%s\n", value);
        else if (!is_of_the_run(name))
            text_addf(&text, "--%s%s%s\n", name, value == NULL ? "" : " ", value == NULL ? "" : value);
    }
    if (!options_has(options, "decimal") && import->layout.decimal == NUMBER_COMMA)
        text_add(&text, "--decimal comma\n");
    if (!options_has(options, "date-order") && import->layout.dates != CSV_DATE_CERTAIN)
        text_addf(&text, "--date-order %s\n", import->layout.dates == CSV_DATE_DAY_FIRST ? "dmy" : "mdy");
    return text_take(&text);
}

enum status
import_keep_mapping(const struct import *import, struct failure *failure)
{
    const char *name = options_text(import->options, "keep-mapping");
    char *setting, *text;
    enum status status;

    if (name == NULL)
        return STATUS_OK;
    if (*name == '\0' || strlen(name) > NAME_LONGEST || !text_is_utf8(name))
        return failure_set(failure, STATUS_USAGE, "--keep-mapping: a name has 1 to %d letters", NAME_LONGEST);
    setting = setting_name(import, name);
    text = mapping_text(import);
    status = setting_store_set(import->context->store, setting, text == NULL ? "" : text,
                               context_now(import->context), NULL, failure);
    if (status == STATUS_OK) {
        fputs("the mapping is kept; for the next file of this shape: ", import->context->out);
        context_command(import->context,
                        (const char *const[]){"import", import->kind->word, "FILE", "--mapping", name}, 5);
    }
    free(text);
    free(setting);
    return status;
}
