/* test_outputs.c - no output of any command takes the place of a notebook, whatever way it is named. */
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "check.h"
#include "command.h"
#include "every_command.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

/* How each output is asked for; %s is the file. The rows are checked against the table of commands below. */
static const struct {
    const char *command, *option, *line;
} outputs[] = {
    {"gear show", "plot", "gear show bench --plot %s"},
    {"verdict", "plot", "verdict W-07 --budget --plot %s"},
    {"trend", "plot", "trend W-07 --plot %s"},
    {"trend", "csv", "trend W-07 --csv %s"},
    {"compare", "plot", "compare P-01 W-07 --plot %s"},
    {"compare", "csv", "compare P-01 W-07 --csv %s"},
    {"report", "output", "report W-07 --output %s"},
};

static const char *const names[] = {"notebook.svg", "notebook.csv", "notebook.html"};

static bool
is_listed(const char *command, const char *option)
{
    if (strcmp(option, "map") == 0) /* is read, not written */
        return true;
    for (size_t i = 0; i < LENGTH(outputs); i++)
        if (strcmp(outputs[i].command, command) == 0 && strcmp(outputs[i].option, option) == 0)
            return true;
    return false;
}

static void
every_option_with_a_file_is_tried(void **state)
{
    (void)state;
    for (size_t i = 0; command_table[i] != NULL; i++)
        for (const struct option_spec *spec = command_table[i]->options; spec->name != NULL; spec++)
            if (spec->kind == OPTION_FILE && !is_listed(command_table[i]->name, spec->name))
                fail_msg("'%s --%s FILE' has no row in tests/command/test_outputs.c", command_table[i]->name,
                         spec->name);
}

/* The line that shows a table of a command as CSV; NULL: it writes none on the screen. */
static const char *
table_line(const struct command *command)
{
    static const char *const lines[] = {
        "policy --csv",
        "due --days 90 --csv",
        "dilute --soap-g 1 --csv",
        "verdict P-01 W-07 --csv",
        "recipe W-07 --csv",
        "rework L-01 --csv",
        "expect borax --csv",
        "trend W-07 --csv",
        "compare P-01 W-07 --csv",
        "plan P-01 W-07 --csv",
        "titrate W-07 --csv",
    };

    for (size_t i = 0; i < LENGTH(lines); i++) {
        size_t length = strlen(command->name);

        if (strncmp(lines[i], command->name, length) == 0 && lines[i][length] == ' ')
            return lines[i];
    }
    return NULL;
}

static bool
has_option(const struct command *command, const char *name)
{
    for (const struct option_spec *spec = command->options; spec->name != NULL; spec++)
        if (strcmp(spec->name, name) == 0)
            return true;
    return false;
}

/* Fields that look like numbers with a decimal point, between these separators. */
static size_t
count_points(const char *table, const char *separators)
{
    size_t count = 0;

    for (const char *field = table; *field != '\0';) {
        size_t length = strcspn(field, separators), digits = strspn(field, "-0123456789.");

        count += length > 0 && digits == length && memchr(field, '.', length) != NULL;
        field += length + (field[length] != '\0' ? 1 : 0);
    }
    return count;
}

/* Every table as CSV: with a comma for the decimal sign no point is left, and the columns are the same. */
static void
every_table_is_written_as_it_is_asked_for(void **state)
{
    struct kitchen *kitchen = *state;
    size_t tables = 0, points = 0;

    every_command_furnish(kitchen);
    for (size_t i = 0; command_table[i] != NULL; i++) {
        const char *line = table_line(command_table[i]);
        char *other, *heading, *comma;

        if (!has_option(command_table[i], "csv"))
            continue;
        if (line == NULL)
            fail_msg("'%s --csv' has no line in tests/command/test_outputs.c", command_table[i]->name);
        kitchen_do(kitchen, line);
        points += count_points(kitchen->out, ",\n");
        heading = text_format("%.*s", (int)strcspn(kitchen->out, "\n"), kitchen->out);
        while ((comma = strchr(heading, ',')) != NULL)
            *comma = ';';
        other = text_format("%s --decimal comma --separator ';'", line);
        kitchen_do(kitchen, other);
        assert_int_equal(strncmp(kitchen->out, heading, strlen(heading)), 0);
        assert_int_equal(count_points(kitchen->out, ";\n"), 0);
        tables++;
        free(heading);
        free(other);
    }
    assert_true(tables >= 11 && points > 20); /* there was something to write otherwise */
}

static void
check_whole(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "contradicts its journal");
}

/* Ask for the output under a name that means the notebook. */
static void
try_name(struct kitchen *kitchen, const char *name)
{
    for (size_t i = 0; i < LENGTH(outputs); i++) {
        char *path = file_join(kitchen->folder->path, name), *quoted = text_as_typed(path), *line;
        const char *whole = outputs[i].line, *gap = strstr(whole, "%s");
        enum status status;

        line = text_format("%.*s%s", (int)(gap - whole), whole, quoted);
        status = kitchen_run(kitchen, line);
        if (status == STATUS_OK || strstr(kitchen->out, "wrote") != NULL)
            fail_msg("%s: status %d, %s", line, (int)status, kitchen->failure.text);
        check_whole(kitchen);
        free(line);
        free(quoted);
        free(path);
    }
}

static void
the_notebook_is_replaced_by_no_output(void **state)
{
    struct kitchen *kitchen = *state;

    every_command_furnish(kitchen);
    for (size_t i = 0; i < LENGTH(names); i++) {
        char *path = file_join(kitchen->folder->path, names[i]);

        assert_int_equal(rename(kitchen->notebook, path), 0);
        free(kitchen->notebook);
        kitchen->notebook = path;
        for (size_t k = 0; k < LENGTH(names); k++) {
            char *soft = text_format("%s/soft-%s", kitchen->folder->path, names[k]),
                 *hard = text_format("%s/hard-%s", kitchen->folder->path, names[k]);

            unlink(soft);
            unlink(hard);
            assert_int_equal(symlink(path, soft), 0);
            assert_int_equal(link(path, hard), 0);
            free(soft);
            free(hard);
        }
        try_name(kitchen, names[i]);
        try_name(kitchen, "soft-notebook.svg");
        try_name(kitchen, "hard-notebook.svg");
        try_name(kitchen, "soft-notebook.csv");
        try_name(kitchen, "hard-notebook.csv");
        try_name(kitchen, "soft-notebook.html");
        try_name(kitchen, "hard-notebook.html");
    }
}

static void
no_copy_takes_a_name_of_sqlites_own(void **state)
{
    static const char *const endings[] = {"-journal", "-wal", "-shm"};
    struct kitchen *kitchen = *state;

    every_command_furnish(kitchen);
    for (size_t i = 0; i < LENGTH(endings); i++) {
        char *path = text_format("%s%s", kitchen->notebook, endings[i]);
        char *line = text_format("backup %s", path), *forced = text_format("backup %s --force", path);
        char *soft = file_join(kitchen->folder->path, "soft"),
             *through = text_format("backup %s --force", soft);

        kitchen_refuses(kitchen, line, "SQLite takes for its own");
        kitchen_refuses(kitchen, forced, "SQLite takes for its own");
        assert_int_equal(symlink(path, soft), 0);
        assert_int_not_equal(kitchen_run(kitchen, through), STATUS_OK); /* a link, and not followed */
        check_whole(kitchen);
        unlink(soft);
        free(through);
        free(soft);
        free(forced);
        free(line);
        free(path);
    }
}

static void
an_export_does_not_move_a_notebook(void **state)
{
    struct kitchen *kitchen = *state;
    char *line = text_format("export %s --force", kitchen->folder->path);

    every_command_furnish(kitchen);
    kitchen_refuses(kitchen, line, "holds a notebook");
    check_whole(kitchen);
    free(line);
}

static void
a_report_is_a_page(void **state)
{
    struct kitchen *kitchen = *state;
    char *line = text_format("report W-07 --output %s/x.pdf", kitchen->folder->path);

    every_command_furnish(kitchen);
    kitchen_refuses(kitchen, line, "the name ends in .html");
    free(line);
}

#define in_kitchen(behaviour) cmocka_unit_test_setup_teardown(behaviour, kitchen_open, kitchen_close)
static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_option_with_a_file_is_tried),
    in_kitchen(every_table_is_written_as_it_is_asked_for),
    in_kitchen(the_notebook_is_replaced_by_no_output),
    in_kitchen(no_copy_takes_a_name_of_sqlites_own),
    in_kitchen(an_export_does_not_move_a_notebook),
    in_kitchen(a_report_is_a_page),
};

const struct check_module test_command_outputs = CHECK_MODULE("command/outputs", tests);
