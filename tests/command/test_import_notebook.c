/* test_import_notebook.c - "import notebook": nothing of an export is taken unseen. */
#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "notebook.h"
#include "row.h"
#include "text.h"

static char *
in_folder(const struct kitchen *kitchen, const char *name)
{
    return text_format("%s/out/%s", kitchen->folder->path, name);
}

static char *
read_file(const char *path)
{
    struct failure failure = {0};
    char *text = NULL;

    check_ok(file_read(path, 1 << 20, &text, &failure), &failure);
    return text;
}

static void
write_file(const char *path, const char *text)
{
    struct failure failure = {0};

    check_ok(file_write(path, text, strlen(text), &failure), &failure);
}

/* Two batches, a meter and five readings, exported to "out". */
static void
make_export(struct kitchen *kitchen)
{
    char *line = text_format("export %s/out", kitchen->folder->path);

    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01");
    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --note 'rain, and \"cold\"'");
    kitchen_do(kitchen, "batch add W-02 --made 2026-03-03");
    for (int i = 1; i <= 5; i++) {
        char *read = text_format("read W-0%d --ph 9.%d --percent 1 --temperature-c 40 --at 2026-03-2%dT10:00",
                                 1 + i % 2, i, i);

        kitchen_do(kitchen, read);
        free(read);
    }
    kitchen_do(kitchen, line);
    free(line);
}

static void
check_refused_whole(struct kitchen *kitchen, const char *text)
{
    char *back = text_format("import notebook %s/out --notebook %s/new.sqlite", kitchen->folder->path,
                             kitchen->folder->path);
    char *list = text_format("batch list --notebook %s/new.sqlite", kitchen->folder->path);

    kitchen_refuses(kitchen, back, text);
    kitchen_do(kitchen, list);
    check_contains(kitchen->out, "no batches yet");
    free(back);
    free(list);
}

static void
check_taken(struct kitchen *kitchen, const char *text)
{
    char *back = text_format("import notebook %s/out --notebook %s/new.sqlite", kitchen->folder->path,
                             kitchen->folder->path);
    char *verify = text_format("verify --notebook %s/new.sqlite", kitchen->folder->path);

    kitchen_do(kitchen, back);
    check_contains(kitchen->out, text);
    kitchen_do(kitchen, verify);
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
    free(back);
    free(verify);
}

/* The first place of `from` becomes `to`. Given: free() it. */
static char *
replaced(const char *text, const char *from, const char *to)
{
    const char *at = strstr(text, from);

    assert_non_null(at);
    return text_format("%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
}

/* The text up to the end of its line of that number. Given: free() it. */
static char *
cut_after(const char *text, int line)
{
    const char *at = text;

    for (; line > 0; line--) {
        at = strchr(at, '\n');
        assert_non_null(at++);
    }
    return text_format("%.*s", (int)(at - text), text);
}

static void
a_cut_export_is_refused(void **state)
{
    static const struct {
        const char *file;
        int lines; /* that are left */
        const char *text;
    } cuts[] = {
        {"reading.csv", 4,
         "contents.csv:14: column 'rows': reading.csv has 3 rows, not 5: it was cut or changed"},
        {"batch.csv", 2, "batch.csv has 1 rows, not 2: it was cut or changed"},
        {"journal.csv", 10, "journal.csv"},
        {"contents.csv", 3, "contents.csv"},
    };
    struct kitchen *kitchen = *state;

    make_export(kitchen);
    for (size_t i = 0; i < LENGTH(cuts); i++) {
        char *path = in_folder(kitchen, cuts[i].file), *whole = read_file(path),
             *cut = cut_after(whole, cuts[i].lines);

        write_file(path, cut);
        check_refused_whole(kitchen, cuts[i].text);
        write_file(path, whole);
        free(path);
        free(whole);
        free(cut);
    }
    check_taken(kitchen, "23 rows in 22 tables");
}

static void
a_changed_value_is_refused_by_the_journal(void **state)
{
    static const struct {
        const char *file, *from, *to, *text;
    } changes[] = {
        {"reading.csv", "9.3", "9.1", "rows 3 to 3 of reading.csv are not as they were written"},
        {"batch.csv", "cold", "warm", "rows 1 to 1 of batch.csv are not as they were written"},
        {"batch.csv", "2026-03-03", "2026-02-03", "rows 2 to 2 of batch.csv are not as they were written"},
        {"journal.csv", "ph=9.3", "ph=9.1", "its hash is not that of what it says"},
        {"contents.csv", "journal,23,", "journal,22,", "journal.csv has 23 rows, contents.csv says 22"},
    };
    struct kitchen *kitchen = *state;

    make_export(kitchen);
    for (size_t i = 0; i < LENGTH(changes); i++) {
        char *path = in_folder(kitchen, changes[i].file), *whole = read_file(path),
             *changed = replaced(whole, changes[i].from, changes[i].to);

        write_file(path, changed);
        check_refused_whole(kitchen, changes[i].text);
        write_file(path, whole);
        free(path);
        free(whole);
        free(changed);
    }
}

/* Every wrong field of a file is named at once. */
static void
nonsense_is_named_with_line_and_column(void **state)
{
    struct kitchen *kitchen = *state;
    char *path, *text, *changed, *again;
    char *back = text_format("import notebook %s/out --notebook %s/new.sqlite", kitchen->folder->path,
                             kitchen->folder->path);

    make_export(kitchen);
    path = in_folder(kitchen, "reading.csv");
    text = read_file(path);
    changed = replaced(text, "2026-03-21T10:00", "not a time");
    again = replaced(changed, "9.2", "nine");
    write_file(path, again);
    kitchen_refuses(kitchen, back, "reading.csv:2: column 'taken_at': ");
    check_contains(kitchen->err, "reading.csv:2: column 'taken_at': 'not a time'");
    check_contains(kitchen->err, "reading.csv:3: column 'ph': 'nine' is not a number");
    free(back);
    free(path);
    free(text);
    free(changed);
    free(again);
}

/* A notebook whose journal fits, made by a program that checks nothing. */
static void
what_could_not_have_been_typed_is_refused(void **state)
{
    struct kitchen *kitchen = *state;
    struct failure failure = {0};
    struct store *store = NULL;
    struct row row;
    int64_t id = 0;
    char *line = text_format("export %s/out", kitchen->folder->path);

    check_ok(notebook_open(kitchen->notebook, STORE_CREATE, &store, NULL, &failure), &failure);
    row_start(&row, store, "batch");
    row_text(&row, "code", "W\x1b[31m");
    row_day(&row, "made_on", 20000);
    row_text(&row, "role", "ordinary");
    row_time(&row, "added_at", 0);
    check_ok(row_add(&row, &id, &failure), &failure);
    store_close(store);
    kitchen_do(kitchen, line);
    check_refused_whole(kitchen, "batch 'W");
    free(line);
}

static void
an_export_of_an_earlier_version_is_taken_and_said(void **state)
{
    struct kitchen *kitchen = *state;
    static const char *const later[] = {"contents.csv", "observation.csv", "bar_used_up.csv",
                                        "recipe_revision.csv"};

    make_export(kitchen);
    for (size_t i = 0; i < LENGTH(later); i++) {
        char *path = in_folder(kitchen, later[i]);

        assert_int_equal(remove(path), 0);
        free(path);
    }
    check_taken(kitchen, "an export of an earlier version, without contents.csv");
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(a_cut_export_is_refused),
    KITCHEN_TEST(a_changed_value_is_refused_by_the_journal),
    KITCHEN_TEST(nonsense_is_named_with_line_and_column),
    KITCHEN_TEST(what_could_not_have_been_typed_is_refused),
    KITCHEN_TEST(an_export_of_an_earlier_version_is_taken_and_said),
};

const struct check_module test_command_import_notebook = CHECK_MODULE("command/import_notebook", tests);
