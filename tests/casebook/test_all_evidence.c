/* What the record knows reaches every command: verdict, hold, release, due, report and index say one thing. */
#include <stdlib.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

/* 128 g of lye for fats that take up 120 g at most: superfat -6.5 % and worse. */
static const char too_much_lye[] =
    "batch add W-09 --made 2026-03-02 --fat 'olive oil=500' --fat 'coconut oil=250' --lye naoh=128@99%";

static char *
page_of(struct kitchen *kitchen, const char *what)
{
    char *path = file_join(kitchen->folder->path, "page.html"), *html = NULL;
    char *line = text_format("report %s --output %s", what, path);
    struct failure failure = {0};

    kitchen_do(kitchen, line);
    check_ok(file_read(path, 1 << 22, &html, &failure), &failure);
    free(line);
    free(path);
    return html;
}

/* V2. */
static void
a_recipe_with_too_much_lye_holds_its_batch_when_it_is_written_down(void **state)
{
    struct kitchen *kitchen = *state;
    char *html;

    kitchen_do(kitchen, too_much_lye);
    check_contains(kitchen->out, "W-09 is held now (doubtful: by its recipe lye exceeds fat)");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "held");
    kitchen_do(kitchen, "verdict W-09 --strict"); /* without a single reading */
    assert_int_equal(kitchen->exit_code, 3);
    check_contains(kitchen->out, "W-09: doubtful: by its recipe lye exceeds fat");
    check_contains(kitchen->out, "put the recipe right");
    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "by its recipe");
    html = page_of(kitchen, "W-09");
    check_contains(html, "by its recipe lye exceeds fat with a probability of more than 99.9");
    free(html);
    html = page_of(kitchen, "--notebook-index");
    check_contains(html, "<strong>doubtful</strong>");
    free(html);
}

/* V2: no pH releases it. */
static void
no_ph_releases_a_batch_with_more_lye_than_fat(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, too_much_lye);
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(
        kitchen,
        "calibrate bench --at 2026-05-01T09:00 --buffer borax@40=9.07 --buffer \"lime water@40=11.98\"");
    kitchen_do(kitchen,
               "read W-09 --water distilled --at 2026-05-01T10:00 --temperature-c 40 --percent 1 --ph 9.6 "
               "--ph 9.6 --ph 9.6");
    kitchen_do(kitchen,
               "read W-09 --water distilled --at 2026-05-20T10:00 --temperature-c 40 --percent 1 --ph 9.5 "
               "--ph 9.5 --ph 9.5");
    kitchen->width = 200;
    kitchen_refuses(kitchen, "batch release W-09", "W-09 is not released");
    check_contains(kitchen->err, "by its recipe lye exceeds fat");
    kitchen_do(kitchen, "verdict W-09");
    check_contains(kitchen->out, "by its recipe lye exceeds fat with a probability of more than 99.9 %");
    kitchen_do(kitchen, "verdict W-09 --all"); /* rows that are within do not have the last word */
    check_contains(kitchen->out, "Each batch by all that is known of it:\nW-09: doubtful: by its recipe");
    check_contains(kitchen->out, "Treat it as lye-heavy until it has been tested again.");
}

static void
an_imported_recipe_holds_its_batch_too(void **state)
{
    struct kitchen *kitchen = *state;
    static const char rows[] = "batch,made_on,recipe\nW-01,2026-03-02,fat olive oil=500; lye naoh=60@98%\n"
                               "W-02,2026-03-02,fat olive oil=500; lye naoh=90@98%\n";
    char *path = file_join(kitchen->folder->path, "batches.csv");
    char *line = text_format("import batches %s", path);
    struct failure failure = {0};

    check_ok(file_write(path, rows, sizeof rows - 1, &failure), &failure);
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "2 batches added");
    check_contains(kitchen->out, "W-02 is held now (doubtful: by its recipe lye exceeds fat)");
    check_lacks(kitchen->out, "W-01");
    free(line);
    free(path);
}

static void
a_sound_recipe_is_not_held(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-09 --made 2026-03-02 --fat 'olive oil=500' --lye naoh=60@98%");
    check_lacks(kitchen->out, "held");
    kitchen_refuses(kitchen, "verdict W-09", "no readings yet");
}

/* A wrong name shows nothing of the others. */
static void
half_a_table_is_none(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, too_much_lye);
    kitchen_refuses(kitchen, "verdict W-09 NOPE --csv", "NOPE");
    assert_string_equal(kitchen->out, "");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_recipe_with_too_much_lye_holds_its_batch_when_it_is_written_down,
                                    kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(no_ph_releases_a_batch_with_more_lye_than_fat, kitchen_open,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(an_imported_recipe_holds_its_batch_too, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(a_sound_recipe_is_not_held, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(half_a_table_is_none, kitchen_open, kitchen_close),
};

const struct check_module test_casebook_all_evidence = CHECK_MODULE("casebook/all_evidence", tests);
