/* test_foreign.c - a notebook from elsewhere whose every text holds what no screen should get, through every command. */
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "every_command.h"
#include "file.h"
#include "kitchen.h"
#include "tamper.h"
#include "text.h"

/* ESC with a colour, right-to-left override, zero-width space, soft hyphen, Hangul filler; none of them shows. */
static const char in_names[] = "\033[31m\342\200\256\342\200\213\302\255\343\205\244";
/* And in free texts what would begin a line or ring a bell. */
static const char in_texts[] =
    "\033[31m\342\200\256\342\200\213\302\255\343\205\244\r\nFORGED\a\033]0;x\a\302\233"
    "31m";

static const struct {
    const char *table, *column;
    bool name; /* of a batch or of gear: they are typed on command lines */
} texts[] = {
    {"batch", "code", true},          {"gear", "name", true},
    {"batch", "title", false},        {"batch", "note", false},
    {"recipe_line", "name", false},   {"gear", "note", false},
    {"calibration", "reason", false}, {"calibration", "note", false},
    {"session", "note", false},       {"session_close", "left_open", false},
    {"specimen", "bar", false},       {"weighing", "why", false},
    {"answer", "text", false},        {"answer", "deviation", false},
    {"answer", "why", false},         {"reading", "why", false},
    {"reading", "note", false},       {"titration", "method", false},
    {"titration", "why", false},      {"titration", "note", false},
    {"state_change", "why", false},   {"state_change", "evidence", false},
    {"plan_entry", "what", false},    {"plan_entry", "why", false},
    {"plan_drop", "why", false},      {"setting", "why", false},
};

static void
spoil(const struct kitchen *kitchen)
{
    sqlite3 *handle = NULL;

    assert_int_equal(sqlite3_open(kitchen->notebook, &handle), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(texts); i++) {
        char *change = text_format("UPDATE %s SET %s = %s || '%s'%s", texts[i].table, texts[i].column,
                                   texts[i].column, texts[i].name ? in_names : in_texts,
                                   strcmp(texts[i].table, "recipe_line") == 0 ? " WHERE kind = 'other'" : "");
        char *all = tamper_change(handle, texts[i].table, change);
        char *error = NULL;

        if (sqlite3_exec(handle, all, NULL, NULL, &error) != SQLITE_OK)
            fail_msg("%s: %s", change, error);
        free(all);
        free(change);
    }
    sqlite3_close(handle);
}

/* A line end inside a field of CSV is part of CSV. */
static bool
is_harmless(const char *shown, bool csv)
{
    static const char *const never[] = {
        "\033", "\r", "\a", "\342\200\256", "\342\200\213", "\302\255", "\343\205\244", "\302\233",
    };

    for (size_t i = 0; i < LENGTH(never); i++)
        if (strstr(shown, never[i]) != NULL)
            return false;
    return text_is_utf8(shown) && (csv || strstr(shown, "\nFORGED") == NULL);
}

static void
check_shown(const struct every_line *line, const char *where, const char *shown)
{
    if (is_harmless(shown, strstr(line->line, "--csv") != NULL))
        return;
    print_error("%s, %s:\n%s\n", line->line, where, shown);
    fail();
}

static void
every_command_has_a_line(void **state)
{
    (void)state;
    if (every_command_missing(false) != NULL)
        fail_msg("tests/support/every_command.c has no line for '%s'", every_command_missing(false));
}

static void
no_text_reaches_the_screen_as_anything_else(void **state)
{
    struct kitchen *kitchen = *state;
    size_t done = 0, showing = 0;

    every_command_furnish(kitchen);
    spoil(kitchen);
    kitchen->terminal = true; /* also CSV is for a screen then */
    for (size_t i = 0; i < every_line_count(); i++) {
        char *failure;

        kitchen->failure = (struct failure){0};
        done += every_command_run(kitchen, &every_lines[i], in_names) == STATUS_OK ? 1 : 0;
        failure = text_visible(kitchen->failure.text); /* as main.c prints it */
        check_shown(&every_lines[i], "output", kitchen->out);
        check_shown(&every_lines[i], "error output", kitchen->err);
        check_shown(&every_lines[i], "failure", failure);
        showing += strstr(kitchen->out, "\\u202e") != NULL || strstr(failure, "\\u202e") != NULL ? 1 : 0;
        if (kitchen->failure.text[0] != '\0')
            print_message("  %s: %s\n", every_lines[i].line, failure);
        free(failure);
    }
    print_message("%zu command lines, %zu of them done, %zu show foreign text\n", every_line_count(), done,
                  showing);
    assert_true(done > every_line_count() / 2);
    assert_true(showing > every_line_count() / 3);
}

#define in_kitchen(behaviour) cmocka_unit_test_setup_teardown(behaviour, kitchen_open, kitchen_close)
static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_command_has_a_line),
    in_kitchen(no_text_reaches_the_screen_as_anything_else),
};

const struct check_module test_command_foreign = CHECK_MODULE("command/foreign", tests);
