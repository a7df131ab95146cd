/* test_export.c - "export" and "import notebook": out and back without loss. */
#include <dirent.h>
#include <signal.h>
#include <stdlib.h>
#include <sys/resource.h>

#include "check.h"
#include "every_command.h"
#include "file.h"
#include "filled_notebook.h"
#include "kitchen.h"
#include "notebook.h"
#include "round_trip.h"
#include "text.h"

static void
every_table_and_every_column_comes_back(void **state)
{
    struct kitchen *kitchen = *state;
    struct failure failure = {0};
    struct store *store = NULL;

    check_ok(notebook_open(kitchen->notebook, STORE_CREATE, &store, NULL, &failure), &failure);
    for (int i = 0; i < 3; i++)
        notebook_fill(store);
    store_close(store);
    round_trip_check(kitchen, "");
}

/* As a spreadsheet wants them where the comma is the decimal sign. */
static void
an_export_with_decimal_commas_comes_back(void **state)
{
    struct kitchen *kitchen = *state;
    char *path, *text = NULL;
    struct failure failure = {0};

    every_command_furnish(kitchen);
    round_trip_check(kitchen, "--decimal comma --separator semicolon");
    path = file_join(kitchen->folder->path, "first/reading.csv");
    check_ok(file_read(path, 100000, &text, &failure), &failure);
    check_contains(text, ";10,22;");
    check_lacks(text, "10.22");
    kitchen_refuses(kitchen, "export nowhere --decimal comma --separator comma", "do not go together");
    free(text);
    free(path);
}

static void
texts_come_back_whatever_they_hold(void **state)
{
    static const char *const texts[] = {"",
                                        " ",
                                        "'",
                                        "''",
                                        "'=x",
                                        "=1+1",
                                        "+",
                                        "-",
                                        "@a",
                                        "\t",
                                        "\n",
                                        "\r\n",
                                        "a\nb",
                                        "\"",
                                        "\"quoted\"",
                                        ",",
                                        ";",
                                        "  both  ",
                                        "\xc3\xa4\xc3\xb6",
                                        "'a",
                                        "1,5",
                                        "\\n",
                                        "0"};
    struct kitchen *kitchen = *state;
    char *exported, *text = NULL, *line = text_format("export %s/seen", kitchen->folder->path);
    struct failure failure = {0};

    for (size_t i = 0; i < LENGTH(texts); i++) {
        char *add = text_format("batch add W-%02zu --made 2026-03-02 '--note=%s' '--title=%s'", i,
                                strchr(texts[i], '\'') == NULL ? texts[i] : "",
                                strchr(texts[i], '\'') == NULL ? "t" : "");

        kitchen_do(kitchen, add);
        free(add);
    }
    round_trip_check(kitchen, "");
    kitchen_do(kitchen, line);
    exported = text_format("%s/seen/batch.csv", kitchen->folder->path);
    check_ok(file_read(exported, 1 << 20, &text, &failure), &failure);
    check_contains(text, ",'=1+1,"); /* a formula is marked, an empty text told from none */
    check_contains(text, "W-00,t,2026-03-02,ordinary,,,',");
    free(exported);
    free(text);
    free(line);
}

static void
the_demo_comes_back(void **state)
{
    struct kitchen *kitchen = *state;
    char *line = text_format("demo %s/workshop", kitchen->folder->path);

    kitchen_set_time(kitchen, "2026-08-01T12:00"); /* after its last reading */
    kitchen_do(kitchen, line);
    free(line);
    line = text_format("%s/workshop/notebook.sqlite", kitchen->folder->path);
    free(kitchen->notebook);
    kitchen->notebook = line;
    round_trip_check(kitchen, "");
}

static void
nothing_is_written_over_and_only_an_empty_notebook_is_filled(void **state)
{
    struct kitchen *kitchen = *state;
    char *out = text_format("export %s/out", kitchen->folder->path);
    char *back = text_format("import notebook %s/out", kitchen->folder->path);
    char *again = text_format("%s --force", out);
    char *elsewhere = text_format("import notebook %s/nowhere --notebook %s/new.sqlite",
                                  kitchen->folder->path, kitchen->folder->path);

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_do(kitchen, out);
    check_contains(kitchen->out, "2 rows in 23 files"); /* the batch, and its entry in the journal */
    kitchen_refuses(kitchen, out, "is there already (--force replaces the export)");
    kitchen_do(kitchen, again);
    kitchen_refuses(kitchen, back, "into an empty one only");
    kitchen_refuses(kitchen, elsewhere, "No such file or directory");
    free(out);
    free(back);
    free(again);
    free(elsewhere);
}

static void
a_damaged_export_is_refused_whole(void **state)
{
    static const struct {
        const char *batch, *text;
    } bad[] = {
        {"id,code,title,made_on,role,reference,parent,note,added_at\n2,W-1,,2026-03-02,ordinary,,,,2026-03-"
         "02\n",
         "batch.csv:2: column 'id': rows are numbered from 1 without a gap; expected id 1"},
        {"id,code,title,made_on,role,reference,parent,note,added_at\n1,W-1,,2026-03-02,ordinary,9,,,2026-03-"
         "02\n",
         "FOREIGN KEY"},
        {"id,code,title,made_on,role,reference,parent,note,added_at\n1,W-1,,2026-03-02,splendid,,,,2026-03-"
         "02\n",
         "batch.csv:2: column 'id': cannot add the row: CHECK constraint failed"},
        {"id,code,colour\n1,W-1,red\n", "'colour' is no known heading"},
    };
    struct kitchen *kitchen = *state;
    char *out = text_format("export %s/out", kitchen->folder->path);
    char *path = text_format("%s/out/batch.csv", kitchen->folder->path);
    char *back = text_format("import notebook %s/out --notebook %s/new.sqlite", kitchen->folder->path,
                             kitchen->folder->path);
    char *list = text_format("batch list --notebook %s/new.sqlite", kitchen->folder->path);
    struct failure failure = {0};

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_do(kitchen, out);
    for (size_t i = 0; i < LENGTH(bad); i++) {
        check_ok(file_write(path, bad[i].batch, strlen(bad[i].batch), &failure), &failure);
        kitchen_refuses(kitchen, back, bad[i].text);
        kitchen_do(kitchen, list);
        check_contains(kitchen->out, "no batches yet");
    }
    free(out);
    free(path);
    free(back);
    free(list);
}

/* What an import can check itself by: a count a table and the seal of the journal. */
static void
an_export_says_how_much_it_is_and_what_its_seal_is(void **state)
{
    struct kitchen *kitchen = *state;
    char *out = text_format("export %s/out", kitchen->folder->path), *text = NULL, *seal;
    char *path = text_format("%s/out/contents.csv", kitchen->folder->path);
    struct failure failure = {0};

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --fat 'olive oil=500' --fat 'coconut oil=100'");
    kitchen_do(kitchen, out);
    check_contains(kitchen->out, "6 rows in 23 files");
    seal = strstr(kitchen->out, "seal   ");
    assert_non_null(seal);
    seal = text_format("%.35s", seal + strlen("seal   "));
    check_ok(file_read(path, 10000, &text, &failure), &failure);
    check_contains(text, "table,rows,seal\nprocedure,0,\n");
    check_contains(text, "\nbatch,1,\n");
    check_contains(text, "\nrecipe_line,2,\n");
    free(out);
    out = text_format("\njournal,3,%s\n", seal);
    check_contains(text, out);
    free(text);
    free(seal);
    free(path);
    free(out);
}

static size_t
entries(const char *path)
{
    DIR *folder = opendir(path);
    size_t count = 0;

    assert_non_null(folder);
    while (readdir(folder) != NULL)
        count++;
    closedir(folder);
    return count;
}

/* A limit on the size of files stands for a full disk. */
static void
an_export_that_does_not_fit_leaves_the_earlier_one_whole(void **state)
{
    struct kitchen *kitchen = *state;
    char *out = text_format("export %s/out", kitchen->folder->path), *again = text_format("%s --force", out);
    char *path = text_format("%s/out/batch.csv", kitchen->folder->path), *before = NULL, *after = NULL;
    char *title = memory_new(20001, 1), *add;
    struct failure failure = {0};
    struct rlimit usual, small;
    size_t files;

    memset(title, 'x', 20000);
    add = text_format("batch add W-02 --made 2026-03-02 --title %s", title);
    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_do(kitchen, out);
    check_ok(file_read(path, 10000, &before, &failure), &failure);
    kitchen_do(kitchen, add);
    files = entries(kitchen->folder->path);
    signal(SIGXFSZ, SIG_IGN);
    getrlimit(RLIMIT_FSIZE, &usual);
    small = (struct rlimit){.rlim_cur = 10000, .rlim_max = usual.rlim_max};
    setrlimit(RLIMIT_FSIZE, &small);
    kitchen_run(kitchen, again);
    setrlimit(RLIMIT_FSIZE, &usual);
    assert_int_equal(kitchen->exit_code, 1);
    check_contains(kitchen->failure.text, "batch.csv': File too large");
    check_ok(file_read(path, 10000, &after, &failure), &failure);
    assert_string_equal(after, before);
    assert_int_equal(entries(kitchen->folder->path), files);
    free(out);
    free(again);
    free(path);
    free(before);
    free(after);
    free(title);
    free(add);
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(every_table_and_every_column_comes_back),
    KITCHEN_TEST(an_export_with_decimal_commas_comes_back),
    KITCHEN_TEST(texts_come_back_whatever_they_hold),
    KITCHEN_TEST(the_demo_comes_back),
    KITCHEN_TEST(nothing_is_written_over_and_only_an_empty_notebook_is_filled),
    KITCHEN_TEST(a_damaged_export_is_refused_whole),
    KITCHEN_TEST(an_export_says_how_much_it_is_and_what_its_seal_is),
    KITCHEN_TEST(an_export_that_does_not_fit_leaves_the_earlier_one_whole),
};

const struct check_module test_command_export = CHECK_MODULE("command/export", tests);
