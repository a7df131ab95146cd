/* test_values.c - a notebook with the right schema and values in it that no program of ours would write: a clear
 * sentence, never a crash. */
#include <sqlite3.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "check.h"
#include "every_command.h"
#include "file.h"
#include "kitchen.h"
#include "table.h"
#include "tamper.h"
#include "text.h"

/* Change the notebook behind the program's back; false when SQLite does not take it. */
static bool
change(const struct kitchen *kitchen, const char *table, const char *sql)
{
    sqlite3 *handle = NULL;
    char *all;
    bool taken;

    assert_int_equal(sqlite3_open(kitchen->notebook, &handle), SQLITE_OK);
    sqlite3_exec(handle, "PRAGMA synchronous = OFF", NULL, NULL, NULL);
    all = tamper_change(handle, table, sql);
    taken = sqlite3_exec(handle, all, NULL, NULL, NULL) == SQLITE_OK;
    free(all);
    sqlite3_close(handle);
    return taken;
}

static void
copy_to(const char *from, const char *to)
{
    char *line = text_format("cp '%s' '%s'", from, to);

    assert_int_equal(system(line), 0);
    free(line);
}

/* Each ended badly before values were checked where they are read: a paper without steps crashed, the dates were
 * counted beyond what an integer holds. */
static void
what_cannot_stand_in_a_column_is_named(void **state)
{
    static const struct {
        const char *table, *change, *line, *refusal;
    } known[] = {
        {"gear", "UPDATE gear SET steps = '' WHERE name = 'strips'", "gear show strips",
         "row 2 of table gear: column 'steps' holds '', which are no steps of a paper"},
        {"gear", "UPDATE gear SET steps = '9,8' WHERE name = 'strips'", "gear show strips",
         "row 2 of table gear: column 'steps' holds '9,8', which are no steps"},
        {"batch", "UPDATE batch SET made_on = '2026-19-39' WHERE code = 'W-07'", "batch show W-07",
         "row 2 of table batch: column 'made_on' holds '2026-19-39', which is no date"},
        {"batch", "UPDATE batch SET code = 'W-07' || char(10) || 'within' WHERE code = 'W-07'", "batch list",
         "row 2 of table batch: column 'code' holds 'W-07\nwithin', which is no name in one line"},
        {"calibration", "UPDATE calibration SET taken_at = 'soon'", "gear show bench",
         "column 'taken_at' holds 'soon', which is no time"},
        {"calibration", "UPDATE calibration SET taken_at = 'soon'", "due", "column 'taken_at' holds 'soon'"},
        {"reading", "UPDATE reading SET taken_at = 'never'", "verdict W-07",
         "table reading: column 'taken_at' holds 'never'"},
        {"reading", "UPDATE reading SET ph = 1e300", "verdict W-07",
         "column 'ph' holds '1.0e+300', which is outside 0 to 14"},
        {"plan_entry", "UPDATE plan_entry SET due_on = '99'", "due", "column 'due_on' holds '99'"},
        {"state_change", "UPDATE state_change SET state = 'sold'", "batch show W-07",
         "column 'state' holds 'sold', which is not one of its words"},
    };
    struct kitchen *kitchen = *state;
    char *whole = text_format("%s.whole", kitchen->notebook);

    every_command_furnish(kitchen);
    copy_to(kitchen->notebook, whole);
    for (size_t i = 0; i < LENGTH(known); i++) {
        copy_to(whole, kitchen->notebook);
        assert_true(change(kitchen, known[i].table, known[i].change));
        kitchen_run(kitchen, known[i].line);
        if (kitchen->exit_code != status_exit_code(STATUS_FORMAT) ||
            (strstr(kitchen->failure.text, known[i].refusal) == NULL &&
             strstr(kitchen->err, known[i].refusal) == NULL)) /* of one batch among others */
            fail_msg("%s; %s: %s", known[i].change, known[i].line, kitchen->failure.text);
    }
    free(whole);
}

#define in_kitchen(behaviour) cmocka_unit_test_setup_teardown(behaviour, kitchen_open, kitchen_close)
static const struct CMUnitTest tests[] = {
    in_kitchen(what_cannot_stand_in_a_column_is_named),
};

const struct check_module test_command_values = CHECK_MODULE("command/values", tests);
