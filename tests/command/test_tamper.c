/* test_tamper.c - every value of the demo's notebook, changed behind the program's back, is found. */
#include "check.h"
#include "kitchen.h"
#include "tamper.h"
#include "text.h"

static void
every_changed_value_of_the_demo_is_found(void **state)
{
    static const char *const tables[] = {"calibration", "calibration_point", "specimen",  "weighing",
                                         "answer",      "reading",           "titration", "session"};
    struct kitchen *kitchen = *state;
    char *line = text_format("demo %s/workshop", kitchen->folder->path);
    char *original = text_format("%s/workshop/notebook.sqlite", kitchen->folder->path);
    char *copy = text_format("%s/copy.sqlite", kitchen->folder->path);
    struct tampering tampering = {.path = copy};

    kitchen_set_time(kitchen, "2026-11-25T12:00"); /* after its last reading */
    kitchen_do(kitchen, line);
    assert_int_equal(sqlite3_open(original, &tampering.whole), SQLITE_OK);
    for (size_t i = 0; i < LENGTH(tables); i++)
        tamper_table(&tampering, tables[i]);
    sqlite3_close(tampering.whole);
    print_message(
        "states checked: %zu values of the demo changed, every one found (SQLite itself refused %zu more)\n",
        tampering.tried, tampering.refused);
    assert_true(tampering.tried > 1000);
    free(line);
    free(original);
    free(copy);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(every_changed_value_of_the_demo_is_found, kitchen_open, kitchen_close),
};

const struct check_module test_command_tamper = CHECK_MODULE("command/tamper", tests);
