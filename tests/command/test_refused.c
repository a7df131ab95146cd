/* test_refused.c - a batch that cannot be judged stops none of the others: it gets its line with the reason. The workshop
 * is invented. */
#include <sqlite3.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "tamper.h"
#include "text.h"

static const char *const codes[] = {"W-01", "W-02", "W-03"};

static int
set_up(void **state)
{
    static const char *const days[] = {"2026-01-04", "2026-01-12", "2026-01-29", "2026-03-01"};
    static const double ph[] = {10.3, 10.0, 9.7, 9.6};
    struct kitchen *kitchen;

    if (kitchen_open(state) != 0)
        return -1;
    kitchen = *state;
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen, "gear add scale --kind balance --readability-g 0.01");
    for (size_t b = 0; b < LENGTH(codes); b++) {
        char *line = text_format("batch add %s --made 2026-01-01", codes[b]);

        kitchen_do(kitchen, line);
        free(line);
    }
    for (size_t i = 0; i < LENGTH(days); i++) {
        char *line = text_format(
            "calibrate bench --buffer borax@40=9.07 --buffer 'lime water@40=11.98' --at %sT10:00", days[i]);

        kitchen_do(kitchen, line);
        free(line);
        for (size_t b = 0; b < LENGTH(codes); b++) {
            line =
                text_format("read %s --water distilled --meter bench --ph %.2f --ph %.2f --temperature-c 40 "
                            "--percent 1 --at %sT1%zu:30",
                            codes[b], ph[i], ph[i] + 0.01, days[i], b);
            kitchen_do(kitchen, line);
            free(line);
        }
    }
    return 0;
}

/* A record that another program changed, and what is then said of its batch. */
static const struct {
    const char *table, *change, *why;
} damages[] = {
    {"reading", "UPDATE reading SET gear = 2 WHERE %s", "has no meter on record"},
    {"reading", "UPDATE reading SET taken_at = 'some day' WHERE %s", "some day"},
    {"reading", "UPDATE reading SET method = 'tongue' WHERE %s", "tongue"},
};

static void
damage(const struct kitchen *kitchen, size_t which, const char *code)
{
    char *these = text_format("specimen IN (SELECT specimen.id FROM specimen JOIN batch ON batch.id = batch "
                              "WHERE code = '%s')",
                              code);
    struct text change = {0};
    char *sql, *error = NULL;
    sqlite3 *handle = NULL;

    text_addf(&change, "%.*s%s;", (int)(strstr(damages[which].change, "%s") - damages[which].change),
              damages[which].change, these);
    assert_int_equal(sqlite3_open(kitchen->notebook, &handle), SQLITE_OK);
    sql = tamper_change(handle, damages[which].table, text_of(&change));
    if (sqlite3_exec(handle, sql, NULL, NULL, &error) != SQLITE_OK)
        fail_msg("%s: %s", sql, error);
    sqlite3_close(handle);
    free(sql);
    free(these);
    text_clear(&change);
}

/* Each command, and whether the reason stands in what it shows too, and not only on the error stream. */
static const struct {
    const char *line;
    bool shown;
} commands[] = {
    {"trend --all-batches", false},
    {"trend --all-batches --csv", false},
    {"trend --all-batches --model --csv", false},
    {"trend W-01 W-02 W-03", false},
    {"verdict W-01 W-02 W-03", false},
    {"verdict W-01 W-02 W-03 --csv", false},
    {"verdict W-03 W-02 W-01 --all", false},
    {"due --days 3000 --csv", true},
};

static void
check_others_are_shown(const char *shown, size_t bad)
{
    for (size_t b = 0; b < LENGTH(codes); b++)
        if (b != bad)
            check_contains(shown, codes[b]);
}

static void
check_command(struct kitchen *kitchen, size_t c, size_t bad, const char *why)
{
    check_contains(kitchen->err, codes[bad]);
    check_contains(kitchen->err, why);
    assert_int_not_equal(kitchen->exit_code, 0);
    if (commands[c].shown)
        check_contains(kitchen->out, why);
    check_others_are_shown(kitchen->out, bad);
}

/* Where it is the one that all are compared with there is nothing to go on with. */
static void
check_comparison(struct kitchen *kitchen, size_t bad, const char *why)
{
    if (bad == 0) {
        kitchen_refuses(kitchen, "compare W-01 W-02 W-03", why);
        return;
    }
    kitchen_do(kitchen, "compare W-01 W-02 W-03");
    check_contains(kitchen->err, codes[bad]);
    check_contains(kitchen->err, why);
    assert_int_not_equal(kitchen->exit_code, 0);
    check_others_are_shown(kitchen->out, bad);
    check_lacks(kitchen->out, codes[bad]);
}

static void
check_index(struct kitchen *kitchen, size_t bad, const char *why)
{
    char *path = text_format("%s/index.html", kitchen->folder->path);
    char *line = text_format("report --notebook-index --output %s", path);
    struct failure failure = {0};
    char *html = NULL;

    kitchen_do(kitchen, line);
    assert_int_not_equal(kitchen->exit_code, 0);
    check_ok(file_read(path, 1 << 20, &html, &failure), &failure);
    check_contains(html, "cannot be told: ");
    check_contains(html, why);
    check_others_are_shown(html, bad);
    free(html);
    free(line);
    free(path);
}

static void
one_batch_that_cannot_be_told_stops_no_other(void **state)
{
    struct kitchen *kitchen = *state;
    char *whole = text_format("%s.whole", kitchen->notebook);
    char *copy = text_format("cp '%s' '%s'", whole, kitchen->notebook);

    kitchen_do(kitchen, "plan W-01 --enter");
    kitchen_do(kitchen, "plan W-03 --enter");
    assert_int_equal(rename(kitchen->notebook, whole), 0);
    for (size_t d = 0; d < LENGTH(damages); d++)
        for (size_t bad = 0; bad < LENGTH(codes); bad++) {
            assert_int_equal(system(copy), 0);
            damage(kitchen, d, codes[bad]);
            for (size_t c = 0; c < LENGTH(commands); c++) {
                kitchen_do(kitchen, commands[c].line);
                check_command(kitchen, c, bad, damages[d].why);
            }
            check_comparison(kitchen, bad, damages[d].why);
            check_index(kitchen, bad, damages[d].why);
        }
    kitchen_do(kitchen, "verdict W-01 W-02 W-03 --strict"); /* W-03 is not judged, the others are within */
    assert_int_equal(kitchen->exit_code, 3);
    kitchen_refuses(kitchen, "verdict W-01 W-0 W-03", "there is no batch 'W-0'");
    free(copy);
    free(whole);
}

#define REFUSED_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, kitchen_close)

static const struct CMUnitTest tests[] = {
    REFUSED_TEST(one_batch_that_cannot_be_told_stops_no_other),
};

const struct check_module test_command_refused = CHECK_MODULE("command/refused", tests);
