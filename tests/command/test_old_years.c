/* test_old_years.c - the invented spreadsheet of three years in samples/: one check, one mapping, one import. */
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

/* "import KIND samples/FILE REST" */
static char *
sample_line(const char *kind, const char *file, const char *rest)
{
    return text_format("import %s %s/samples/%s %s", kind, getenv("SOURCE_ROOT"), file, rest);
}

static void
import_sample(struct kitchen *kitchen, const char *kind, const char *file, const char *rest, const char *said)
{
    char *line = sample_line(kind, file, rest);

    kitchen_do(kitchen, line);
    check_contains(kitchen->out, said);
    free(line);
}

static void
furnish(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen, "gear add strips --kind paper --steps 1,2,3,4,5,6,7,8,9,10,11,12,13,14");
}

/* What the batches come to: the field before the last three of each row of "verdict --csv". Given: free() it. */
static char *
conclusions(struct kitchen *kitchen)
{
    struct text line = {0}, words = {0};

    text_add(&line, "verdict");
    for (int i = 1; i <= 75; i++)
        text_addf(&line, " S-%03d", i);
    text_add(&line, " --csv");
    kitchen_do(kitchen, text_of(&line));
    for (char *row = strchr(kitchen->out, '\n') + 1; *row != '\0';) {
        size_t length = strcspn(row, "\n");

        row[length] = '\0';
        for (int i = 0; i < 3; i++)
            *strrchr(row, ',') = '\0';
        text_addf(&words, "%.5s %s\n", row, strrchr(row, ',') + 1);
        row += length + 1;
    }
    text_clear(&line);
    return text_take(&words);
}

static size_t
count_of(const char *text, const char *piece)
{
    size_t count = 0;

    for (; (text = strstr(text, piece)) != NULL; text += strlen(piece))
        count++;
    return count;
}

/* 600 rows with 1549 values, 36 of them without a temperature, counted by awk with the semicolons as field separators
 * (NR-independent: rows that begin with S-, fields 7 to 9 that are not empty; field 10 empty). */
static void
three_years_come_in_by_one_mapping(void **state)
{
    static const char *const said[] = {
        "1549 readings would be added; nothing was changed\n",
        "dates have the day first, as all rows show\n",
        "numbers have a decimal comma, as all rows show\n",
        "line 1 'Soap book 2023 to 2025 (invented",
        "line 608 'Total rows', line 609 'printed for the shelf in the workshop'\n",
        "batches added: 75\n",
        "without a temperature, so they clear no bar: 36 ",
    };
    struct kitchen *kitchen = *state;
    char *map = text_format("--map %s/samples/old-years.map --check", getenv("SOURCE_ROOT")), *words, *line;

    furnish(kitchen);
    for (size_t i = 0; i < LENGTH(said); i++)
        if (i == 0)
            import_sample(kitchen, "readings", "old-years.csv", map, said[i]);
        else
            check_contains(kitchen->out, said[i]);
    kitchen_do(kitchen, "batch list");
    check_lacks(kitchen->out, "S-001"); /* nothing was changed */
    map[strlen(map) - strlen(" --check")] = '\0';
    line = text_format("%s --keep-mapping book", map);
    import_sample(kitchen, "readings", "old-years.csv", line, "1549 readings added\n");
    check_contains(kitchen->out, "S-023 is held now (lye-heavy: ");
    assert_int_equal(count_of(kitchen->out, "is held now"), 1);
    words = conclusions(kitchen);
    assert_int_equal(count_of(words, "not-judged"), 74); /* there is no calibration yet */
    assert_int_equal(count_of(words, "lye-heavy"), 1);
    free(words);
    import_sample(kitchen, "calibrations", "old-years-buffers.csv",
                  "--column taken_at=day --column temperature_c=degrees --column note=remark",
                  "146 calibrations added\n");
    words = conclusions(kitchen);
    assert_int_equal(count_of(words, "within"), 74);
    assert_int_equal(count_of(words, "S-023 lye-heavy"), 1);
    free(words);
    import_sample(kitchen, "readings", "old-years.csv", "--mapping book",
                  "0 readings added, 1549 were there already\n");
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
    free(line);
    free(map);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(three_years_come_in_by_one_mapping, kitchen_open, kitchen_close),
};
const struct check_module test_command_old_years = CHECK_MODULE("command/old_years", tests);
