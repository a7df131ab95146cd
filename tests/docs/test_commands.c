/* test_commands.c - docs/ holds every command and option, and no option that there is not. */
#include <ctype.h>
#include <dirent.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "command.h"
#include "file.h"
#include "memory.h"
#include "text.h"

/* The page of a command: the first word of its name. Given: free() it. */
static char *
page_of(const struct command *command)
{
    char *path = text_format("%s/docs/%.*s.md", getenv("SOURCE_ROOT"), (int)strcspn(command->name, " "),
                             command->name),
         *page = NULL;
    struct failure failure = {0};

    check_ok(file_read(path, 1 << 20, &page, &failure), &failure);
    free(path);
    return page;
}

/* Is it there as a whole word? */
static bool
holds(const char *page, const char *word)
{
    size_t length = strlen(word);

    for (const char *at = strstr(page, word); at != NULL; at = strstr(at + 1, word))
        if (!isalnum((unsigned char)at[length]) && at[length] != '-')
            return true;
    return false;
}

static void
every_command_and_option_is_on_its_page(void **state)
{
    (void)state;
    for (size_t i = 0; command_table[i] != NULL; i++) {
        const struct command *command = command_table[i];
        char *page = page_of(command), *name = text_format("curetrace %s", command->name);

        if (!holds(page, name))
            fail_msg("docs: nothing on '%s'", name);
        for (const struct option_spec *spec = command->options; spec->name != NULL; spec++) {
            char *option = text_format("--%s", spec->name);

            if (!holds(page, option))
                fail_msg("docs: nothing on %s of '%s'", option, name);
            free(option);
        }
        free(name);
        free(page);
    }
}

static bool
is_option(const char *name, size_t length)
{
    for (size_t i = 0; command_table[i] != NULL; i++)
        for (const struct option_spec *spec = command_table[i]->options; spec->name != NULL; spec++)
            if (strlen(spec->name) == length && strncmp(spec->name, name, length) == 0)
                return true;
    return (length == 4 && strncmp(name, "help", 4) == 0) ||
           (length == 7 && strncmp(name, "version", 7) == 0) ||
           (length == 8 && strncmp(name, "notebook", 8) == 0);
}

static void
pages_name_no_option_that_there_is_not(void **state)
{
    (void)state;
    for (size_t i = 0; command_table[i] != NULL; i++) {
        char *page = page_of(command_table[i]);

        for (const char *at = strstr(page, "--"); at != NULL; at = strstr(at, "--")) {
            size_t length;

            at += 2;
            length = strspn(at, "abcdefghijklmnopqrstuvwxyz-");
            if (islower((unsigned char)*at) && (at[-3] == ' ' || at[-3] == '`') && !is_option(at, length))
                fail_msg("docs: there is no --%.*s, which the page of '%s' names", (int)length, at,
                         command_table[i]->name);
        }
        free(page);
    }
}

/* Call `each` with the text of every file of a folder whose name ends in ".c"; stops when it gives true, and gives that. */
static bool
any_source(const char *folder, bool (*each)(const char *source, const char *word), const char *word)
{
    char *path = text_format("%s/%s", getenv("SOURCE_ROOT"), folder);
    struct failure failure = {0};
    bool found = false;
    DIR *files = opendir(path);

    assert_non_null(files);
    for (struct dirent *entry; !found && (entry = readdir(files)) != NULL;) {
        size_t length = strlen(entry->d_name);
        char *name, *source = NULL;

        if (length < 3 || strcmp(entry->d_name + length - 2, ".c") != 0)
            continue;
        name = file_join(path, entry->d_name);
        check_ok(file_read(name, 1 << 20, &source, &failure), &failure);
        found = each(source, word);
        free(source);
        free(name);
    }
    closedir(files);
    free(path);
    return found;
}

/* Does the source run the command, as in "gear add ..."? */
static bool
runs(const char *source, const char *name)
{
    size_t length = strlen(name);

    for (const char *at = source; (at = strstr(at, name)) != NULL; at++)
        if (at > source && at[-1] == '"' && (at[length] == ' ' || at[length] == '"'))
            return true;
    return false;
}

/* Is there a command in it that the table does not list? */
static bool
defines_unlisted(const char *source, const char *unused)
{
    static const char beginning[] = "_command = {", field[] = ".name = \"";

    (void)unused;
    for (const char *at = source; (at = strstr(at, beginning)) != NULL; at++) {
        const char *name = strstr(at, field);
        bool listed = false;

        assert_non_null(name);
        name += strlen(field);
        for (size_t i = 0; !listed && command_table[i] != NULL; i++)
            listed = strlen(command_table[i]->name) == strcspn(name, "\"") &&
                     strncmp(command_table[i]->name, name, strcspn(name, "\"")) == 0;
        if (!listed) {
            print_error("src/command/table.c does not list '%.*s'\n", (int)strcspn(name, "\""), name);
            return true;
        }
    }
    return false;
}

static void
every_command_is_listed_and_run_by_a_test(void **state)
{
    (void)state;
    assert_false(any_source("src/command", defines_unlisted, NULL));
    for (size_t i = 0; command_table[i] != NULL; i++)
        if (!any_source("tests/command", runs, command_table[i]->name))
            fail_msg("tests/command: nothing runs '%s'", command_table[i]->name);
}

static void
the_explanations_begin_small_and_end_without_a_stop(void **state)
{
    (void)state;
    for (size_t i = 0; command_table[i] != NULL; i++) {
        const struct command *command = command_table[i];

        assert_false(isupper((unsigned char)*command->summary));
        assert_int_not_equal(command->summary[strlen(command->summary) - 1], '.');
        for (const struct option_spec *spec = command->options; spec->name != NULL; spec++) {
            assert_non_null(spec->help);
            assert_int_not_equal(spec->help[strlen(spec->help) - 1], '.');
            assert_true((spec->kind == OPTION_FLAG) == (spec->value == NULL));
        }
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_command_and_option_is_on_its_page),
    cmocka_unit_test(pages_name_no_option_that_there_is_not),
    cmocka_unit_test(every_command_is_listed_and_run_by_a_test),
    cmocka_unit_test(the_explanations_begin_small_and_end_without_a_stop),
};

const struct check_module test_docs_commands = CHECK_MODULE("docs/commands", tests);
