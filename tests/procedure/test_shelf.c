/* test_shelf.c - finding procedures by name and by path. */
#include "check.h"
#include "file.h"
#include "folder.h"
#include "shelf.h"

static const char least[] = "[procedure]\ntitle=mine\nsummary=b\napplies=meter\ncautions=c\n[step s]\n"
                            "kind=do\ntext=d\n";

static void
put(const char *folder, const char *name, const char *text)
{
    struct failure failure = {0};
    char *path = file_join(folder, name);

    check_ok(file_write(path, text, strlen(text), &failure), &failure);
    free(path);
}

/* The maker's folder is in the test's own, which stands for $XDG_CONFIG_HOME. */
static void
fill(struct shelf *shelf, const struct folder *folder, char **ret_mine)
{
    struct failure failure = {0};
    char *shipped = text_format("%s/procedures", getenv("SOURCE_ROOT"));

    *ret_mine = text_format("%s/curetrace/procedures", folder->path);
    check_ok(file_make_folder(*ret_mine, &failure), &failure);
    setenv("XDG_CONFIG_HOME", folder->path, 1);
    shelf_init(shelf, shipped);
    free(shipped);
}

static void
the_makers_own_come_first(void **state)
{
    struct failure failure = {0};
    struct shelf shelf = {0};
    struct procedure procedure = {0};
    struct text mistakes = {0};
    char *mine = NULL;

    fill(&shelf, *state, &mine);
    check_ok(shelf_read(&shelf, PROCEDURE_USUAL, &procedure, &mistakes, &failure), &failure);
    assert_string_equal(procedure.title, "pH of a 1 % soap solution at 40 degC");
    procedure_clear(&procedure);
    put(mine, "soap-1pct-40c.ini", least);
    check_ok(shelf_read(&shelf, PROCEDURE_USUAL, &procedure, &mistakes, &failure), &failure);
    assert_string_equal(procedure.title, "mine");
    procedure_clear(&procedure);
    shelf_clear(&shelf);
    free(mine);
}

static void
a_path_is_taken_as_it_is(void **state)
{
    struct failure failure = {0};
    struct shelf shelf = {0};
    char *path = NULL;

    (void)state;
    check_ok(shelf_find(&shelf, "./odd", &path, &failure), &failure);
    assert_string_equal(path, "./odd");
    free(path);
    check_ok(shelf_find(&shelf, "odd.ini", &path, &failure), &failure);
    assert_string_equal(path, "odd.ini");
    free(path);
}

static void
a_wrong_name_is_answered_with_the_near_one(void **state)
{
    struct failure failure = {0};
    struct shelf shelf = {0}, bare = {0};
    char *mine = NULL, *path = NULL;

    fill(&shelf, *state, &mine);
    check_refused(shelf_find(&shelf, "papr-only", &path, &failure), STATUS_MISSING, &failure);
    assert_string_equal(failure.text, "there is no procedure 'papr-only'; did you mean 'paper-only'?");
    check_refused(shelf_find(&shelf, "zz", &path, &failure), STATUS_MISSING, &failure);
    assert_string_equal(failure.text, "there is no procedure 'zz' (curetrace test --procedures lists all)");
    check_refused(shelf_find(&shelf, "", &path, &failure), STATUS_MISSING, &failure);
    check_refused(shelf_find(&bare, "zz", &path, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "none at all");
    shelf_clear(&shelf);
    free(mine);
}

static void
names_are_sorted_and_come_once(void **state)
{
    struct shelf shelf = {0};
    struct words names = {0};
    char *mine = NULL;

    fill(&shelf, *state, &mine);
    put(mine, "zeta.ini", least);
    put(mine, "paper-only.ini", least);
    put(mine, "notes.txt", "not one of them");
    put(mine, ".hidden.ini", least);
    shelf_names(&shelf, &names);
    assert_int_equal(names.count, 7);
    assert_string_equal(names.items[0], "free-alkali-by-weight");
    assert_string_equal(names.items[3], "paper-only");
    assert_string_equal(names.items[6], "zeta");
    words_clear(&names);
    shelf_clear(&shelf);
    free(mine);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(the_makers_own_come_first, folder_make, folder_remove),
    cmocka_unit_test(a_path_is_taken_as_it_is),
    cmocka_unit_test_setup_teardown(a_wrong_name_is_answered_with_the_near_one, folder_make, folder_remove),
    cmocka_unit_test_setup_teardown(names_are_sorted_and_come_once, folder_make, folder_remove),
};

const struct check_module test_procedure_shelf = CHECK_MODULE("procedure/shelf", tests);
