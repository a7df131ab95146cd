/* test_batch.c - recipe lines as typed, and what a batch may be. */
#include "batch.h"
#include "check.h"

static void
recipe_lines_read_as_typed(void **state)
{
    struct failure failure = {0};
    struct recipe_line line = {0};

    (void)state;
    check_ok(recipe_line_parse(RECIPE_FAT, "olive oil=500", &line, &failure), &failure);
    assert_string_equal(line.name, "olive oil");
    check_close(line.mass_g, 500.0, 0.0, "as typed");
    assert_true(isnan(line.sv_min_mg_koh_per_g));
    recipe_line_clear(&line);
    check_ok(recipe_line_parse(RECIPE_FAT, "olive oil = 500,5 g @ sv 188..192", &line, &failure), &failure);
    assert_string_equal(line.name, "olive oil");
    check_close(line.mass_g, 500.5, 0.0, "as typed");
    check_close(line.sv_min_mg_koh_per_g, 188.0, 0.0, "as typed");
    check_close(line.sv_max_mg_koh_per_g, 192.0, 0.0, "as typed");
    recipe_line_clear(&line);
    check_ok(recipe_line_parse(RECIPE_LYE, "naoh=104.5@98.5%", &line, &failure), &failure);
    check_close(line.mass_g, 104.5, 0.0, "as typed");
    check_close(line.purity_fraction, 0.985, 1e-12, "as typed");
    recipe_line_clear(&line);
    check_ok(recipe_line_parse(RECIPE_ACID, "citric acid, anhydrous=10", &line, &failure), &failure);
    assert_string_equal(line.name, "citric acid, anhydrous");
    recipe_line_clear(&line);
}

static void
wrong_recipe_lines_are_named(void **state)
{
    static const struct {
        enum recipe_kind kind;
        const char *text, *part;
    } bad[] = {
        {RECIPE_FAT, "olive oil", "expected NAME=GRAMS"},
        {RECIPE_FAT, "=500", "expected NAME=GRAMS"},
        {RECIPE_FAT, "olive oil=many", "is not a number"},
        {RECIPE_FAT, "olive oil=500@190", "saponification value"},
        {RECIPE_FAT, "olive oil=500@sv 192..188", "allowed is 192 to 600"},
        {RECIPE_LYE, "naoh=104@985%", "outside 0% to 100%"},
        {RECIPE_WATER, "water=200@5%", "nothing may follow"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct failure failure = {0};
        struct recipe_line line = {0};

        assert_true(recipe_line_parse(bad[i].kind, bad[i].text, &line, &failure) != STATUS_OK);
        check_contains(failure.text, bad[i].part);
        assert_null(line.name);
    }
}

static void
a_batch_is_checked_by_itself(void **state)
{
    static const char *const bad[] = {"",      " W-07", "W-07 ",
                                      "W\n07", "-W",    "0123456789012345678901234567890123456789X"};
    struct failure failure = {0};
    char code[64] = "W-07";
    struct batch batch = {.code = code, .made_on = 20000};

    (void)state;
    check_ok(batch_check(&batch, 20000, &failure), &failure);
    check_refused(batch_check(&batch, 19999, &failure), STATUS_RANGE, &failure);
    assert_string_equal(failure.text, "made on 2024-10-04, which is after today");
    for (size_t i = 0; i < LENGTH(bad); i++) {
        snprintf(code, sizeof code, "%s", bad[i]);
        assert_true(batch_check(&batch, 20000, &failure) != STATUS_OK);
    }
    snprintf(code, sizeof code, "W-07");
    batch_add_line(&batch, (struct recipe_line){.kind = RECIPE_FAT,
                                                .name = code,
                                                .mass_g = -5.0,
                                                .purity_fraction = NAN,
                                                .sv_min_mg_koh_per_g = NAN});
    check_refused(batch_check(&batch, 20000, &failure), STATUS_RANGE, &failure);
    assert_string_equal(failure.text, "fat 'W-07': mass is -5 g, allowed is above 0 to 1000000 g");
    free(batch.lines);
}

static void
words_go_there_and_back(void **state)
{
    struct failure failure = {0};
    enum batch_role role = BATCH_ORDINARY;

    (void)state;
    for (int i = BATCH_ORDINARY; i <= BATCH_LYE_HEAVY; i++) {
        check_ok(batch_role_parse(batch_role_word((enum batch_role)i), &role, &failure), &failure);
        assert_int_equal(role, i);
    }
    check_refused(batch_role_parse("plain", &role, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text,
                        "role 'plain' is unknown, allowed are ordinary, control, variant, lye-heavy");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(recipe_lines_read_as_typed),
    cmocka_unit_test(wrong_recipe_lines_are_named),
    cmocka_unit_test(a_batch_is_checked_by_itself),
    cmocka_unit_test(words_go_there_and_back),
};

const struct check_module test_record_batch = CHECK_MODULE("record/batch", tests);
