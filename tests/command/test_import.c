/* test_import.c - "import readings|batches|gear": all of a file or nothing of it. */
#include <stdlib.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "memory.h"
#include "text.h"

/* Run "import KIND FILE REST" on a file of that content. */
static enum status
import_text(struct kitchen *kitchen, const char *kind, const char *content, const char *rest)
{
    char *line = kitchen_import_line(kitchen, kind, "file.csv", content, rest);
    enum status status = kitchen_run(kitchen, line);

    free(line);
    return status;
}

static void
import_well(struct kitchen *kitchen, const char *kind, const char *content, const char *rest,
            const char *said)
{
    if (import_text(kitchen, kind, content, rest) != STATUS_OK)
        print_error("%s\n%s", kitchen->failure.text, kitchen->err);
    assert_int_equal(kitchen->exit_code, 0);
    check_contains(kitchen->out, said);
}

static void
furnish(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01");
    kitchen_do(kitchen, "gear add strips --kind paper --steps 7,8,9,10,11");
    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02");
}

static void
gear_comes_in_all_or_none(void **state)
{
    struct kitchen *kitchen = *state;
    char *path = kitchen_file(kitchen, "gear.csv",
                              "name,kind,resolution_ph,accuracy_ph,atc,steps,readability_g\n"
                              "pocket,meter,0.1,0.2,1,,\n"
                              "scale,balance,,,,,0.01\n");
    char *bad =
        kitchen_file(kitchen, "bad.csv", "name,kind,readability_g\nfine,balance,0.001\ncoarse,balance,abc\n");
    char *line = text_format("import gear %s", path), *bad_line = text_format("import gear %s", bad);

    kitchen_do(kitchen, line);
    kitchen_do(kitchen, "gear list");
    check_contains(kitchen->out, "pocket");
    check_contains(kitchen->out, "scale");
    kitchen_refuses(kitchen, bad_line, "bad.csv:3:");
    kitchen_do(kitchen, "gear list");
    check_lacks(kitchen->out, "fine");
    free(line);
    free(bad_line);
    free(path);
    free(bad);
}

static void
check_verified(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
}

static const char usual[] =
    "batch,session,taken_at,method,gear,replicate,ph,ph_low,ph_high,temperature_c,concentration_pct\n"
    "W-07,1,2026-03-09T10:00,meter,bench,1,9.87,,,40.1,1.00\n"
    "w-07,1,2026-03-09T10:02,meter,bench,2,9.85,,,39.9,1.00\n"
    "W-07,1,2026-03-09T10:05,paper,strips,1,,9,10,,1.00\n";

static void
readings_come_in_once_however_often_they_are_imported(void **state)
{
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    import_well(kitchen, "readings", usual, "--dry-run", "3 readings would be added; nothing was changed");
    import_well(kitchen, "readings", usual, "", "3 readings added\n");
    check_verified(kitchen);
    import_well(kitchen, "readings", usual, "", "0 readings added, 3 were there already");
    import_well(
        kitchen, "readings",
        "batch,taken_at,gear,ph,replicate\nW-07,2026-03-09T10:02,bench,9.85,2\nW-07,2026-03-16,bench,9.7,\n",
        "", "1 readings added, 1 was there already");
    check_verified(kitchen);
}

/* The same three readings, as programs and people write them. */
static void
every_way_of_writing_a_file_says_the_same(void **state)
{
    static const struct {
        const char *content, *options;
    } files[] = {
        {"\xef\xbb\xbf"
         "Batch;Taken_at;Gear;Replicate;pH;temperature_c\r\nW-07;2026-03-09T10:00;bench;1;9,87;40,1\r\n",
         "--decimal comma"},
        {"batch\ttaken_at\tgear\treplicate\tph\ttemperature_c\nW-07\t9.3.2026 10:00\tbench\t1\t9.87\t40.1",
         "--date-order dmy --separator tab"},
        {"Charge,When,Which,n,Meter pH,Temp,Weather\nW-07,3/9/2026 10:00,bench,1,9.870,40.10,rain\n",
         "--date-order mdy --column batch=Charge --column taken_at=When --column gear=Which --column "
         "replicate=n "
         "--column 'ph=Meter pH' --column temperature_c=Temp"},
        {"batch,taken_at,ph,replicate,temperature_c\nW-07,2026-03-09 10:00,9.87,1,40.1\n",
         "--separator comma --decimal point"},
    };
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    import_well(kitchen, "readings", files[0].content, files[0].options, "1 readings added\n");
    for (size_t i = 1; i < LENGTH(files); i++)
        import_well(kitchen, "readings", files[i].content, files[i].options,
                    "0 readings added, 1 was there already");
}

static void
a_mapping_file_names_the_columns(void **state)
{
    struct kitchen *kitchen = *state;
    char *map, *options;

    furnish(kitchen);
    map = kitchen_file(kitchen, "my.map",
                       "# my spreadsheet\nbatch = Charge\n\ntaken_at=When\r\nph = Meter pH\n");
    options = text_format("--map %s", map);
    import_well(kitchen, "readings", "Charge,When,Meter pH,Colour\nW-07,2026-03-09,9.5,amber\n", options,
                "1 readings added\ncolumns left out: 'Colour'");
    free(map);
    free(options);
    map = kitchen_file(kitchen, "my.map", "batch = Charge\nnonsense\n");
    options = text_format("--map %s", map);
    assert_int_equal(import_text(kitchen, "readings", "Charge\n", options), STATUS_FORMAT);
    check_contains(kitchen->failure.text, "my.map:2: 'nonsense' is not of the form COLUMN=HEADING");
    free(map);
    free(options);
}

static void
all_problems_are_listed_and_nothing_is_taken(void **state)
{
    static const char bad[] = "batch,made_on,taken_at,method,gear,replicate,ph,ph_low,ph_high,temperature_c\n"
                              "W-07,,2026-03-09,meter,bench,1,9.87,,,40\n"
                              "W-99,,2026-03-09,meter,bench,1,9.87,,,40\n"
                              "W-07,,2026-03-32,meter,bench,1,9.87,,,40\n"
                              "W-07,,2026-03-09,meter,bench,1,19.87,,,40\n"
                              "W-07,,2026-03-09,meter,bench,1,9.8x,,,40\n"
                              "W-07,,2026-03-09,meter,other,1,9.87,,,40\n"
                              "W-07,,2026-03-09,paper,strips,1,,9,9,40\n"
                              "W-07,,2026-03-09,paper,strips,1,,9.5,10,40\n"
                              "W-07,,2026-03-09,meter,bench,1,9.87,9,10,40\n"
                              "W-07,,2026-03-09,meter,bench,1,,,,40\n"
                              "W-07,,2026-03-01,meter,bench,1,9.87,,,40\n"
                              "W-07,,2027-03-09,meter,bench,1,9.87,,,40\n"
                              "W-07,2026-03-03,2026-03-09,meter,bench,1,9.87,,,40\n"
                              "W-07,,2026-03-09,meter,bench,0,9.87,,,40\n"
                              "W-07,,2026-03-09,meter,bench,1,9.87,,,140\n";
    static const char *const parts[] = {
        "file.csv:3: column 'batch': there is no batch 'W-99'; a column made_on would add it",
        "file.csv:4: column 'taken_at': '2026-03-32' is not a date",
        "file.csv:5: column 'ph': is 19.87, allowed is 0 to 14",
        "file.csv:6: column 'ph': '9.8x' is not a number",
        "file.csv:7: column 'gear': there is no meter 'other'",
        "file.csv:8: column 'ph_low': paper reads between two steps, low first, not 9 and 9",
        "file.csv:9: column 'ph_low': 9.5 is not printed on 'strips', its steps are 7,8,9,10,11",
        "file.csv:10: column 'ph': a meter reading has ph, a paper reading ph_low and ph_high",
        "file.csv:11: column 'ph': is empty, and there is no ph_low and ph_high",
        "file.csv:12: column 'taken_at': is before batch W-07 was made, on 2026-03-02",
        "file.csv:13: column 'taken_at': is in the future",
        "file.csv:14: column 'made_on': batch W-07 was made on 2026-03-02",
        "file.csv:15: column 'replicate': is 0, allowed is 1 to 1e+06",
        "file.csv:16: column 'temperature_c': is 140, allowed is 0 to 100",
    };
    struct kitchen *kitchen = *state;
    struct text many = {0};

    furnish(kitchen);
    assert_int_not_equal(import_text(kitchen, "readings", bad, ""), STATUS_OK);
    check_contains(kitchen->failure.text, "nothing was imported: 14 problems in ");
    assert_int_equal(kitchen->exit_code, 2);
    for (size_t i = 0; i < LENGTH(parts); i++)
        check_contains(kitchen->err, parts[i]);
    text_add(&many, "batch,taken_at,ph\n");
    for (int i = 0; i < 30; i++)
        text_add(&many, "W-07,2026-03-09,99\n");
    assert_int_not_equal(import_text(kitchen, "readings", text_of(&many), ""), STATUS_OK);
    check_contains(kitchen->err, "file.csv:21: ");
    check_lacks(kitchen->err, "file.csv:22: ");
    check_contains(kitchen->err, "and 10 more");
    text_clear(&many);
    import_well(kitchen, "readings", usual, "", "3 readings added\n"); /* nothing came in before */
    check_verified(kitchen);
}

static void
batches_come_along_and_superseded_rows_stay_out(void **state)
{
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    import_well(kitchen, "readings",
                "batch,role,made_on,session,taken_at,age_d,method,gear,replicate,ph,ph_at_reference,u_ph,"
                "superseded,flags,note\n"
                "N-01,control,2026-02-01,7,2026-03-09,36,meter,bench,1,9.87,9.9,0.05,yes,,\n"
                "N-01,control,2026-02-01,7,2026-03-09,36,meter,bench,1,9.78,9.8,0.05,,,'=sum\n",
                "", "1 readings added\nbatches added: 1\nsuperseded (corrected) rows left out: 1\n");
    kitchen_do(kitchen, "batch show N-01");
    check_contains(kitchen->out, "control");
    check_verified(kitchen);
}

static void
rows_of_a_session_share_it_and_others_do_not(void **state)
{
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    import_well(
        kitchen, "readings",
        "batch,session,taken_at,ph\nW-07,a,2026-03-09,9.1\nW-07,a,2026-03-09,9.2\nW-07,b,2026-03-09,9.3\n"
        "W-07,,2026-03-10T09:00,9.4\nW-07,,2026-03-10T15:00,9.5\nW-07,,2026-03-11,9.6\n",
        "", "6 readings added");
    /* sessions a, b, 10 March, 11 March, each with its close and one specimen; one batch, two gear, 6 readings */
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "checked: 21 rows");
    import_text(kitchen, "readings",
                "batch,session,taken_at,ph\nW-07,c,2026-04-01T09:00,9.1\nW-07,c,2026-04-02T09:01,9.2\n", "");
    check_contains(kitchen->failure.text,
                   "file.csv:3: column 'ph': session 'c' began on 2026-04-01: a cup is not read");
}

static void
batches_and_gear_come_from_files_too(void **state)
{
    static const char gear[] =
        "name,kind,resolution_ph,steps,readability_g,buffer,expires_on\n"
        "bench,meter,0.01,,,,\nstrips,paper,,\"7,8,9,10\",,,2027-01-01\nscale,balance,,,0.01,,\n";
    static const char batches[] =
        "batch,title,made_on,role,reference,recipe\n"
        "W-06,plain bar,2026-03-01,control,,\"fat olive oil=500; lye naoh=64@98.5%; water water=150\"\n"
        "W-07,oat bar,2026-03-02,variant,w-06,\n";
    struct kitchen *kitchen = *state;

    import_well(kitchen, "gear", gear, "", "3 gear added\n");
    import_well(kitchen, "gear", gear, "", "0 gear added, 3 were there already");
    import_well(kitchen, "batches", batches, "--dry-run", "2 batches would be added");
    import_well(kitchen, "batches", batches, "", "2 batches added\n");
    import_well(kitchen, "batches", batches, "", "0 batches added, 2 were there already");
    kitchen_do(kitchen, "batch show W-06");
    check_contains(kitchen->out, "98.5 % pure");
    assert_int_not_equal(import_text(kitchen, "gear", "name,kind,resolution_ph\nbench,meter,0.1\n", ""),
                         STATUS_OK);
    check_contains(kitchen->failure.text, "the notebook has 'bench' with other values");
    assert_int_not_equal(
        import_text(kitchen, "batches", "batch,made_on,recipe\nX,2026-03-01,fat olive oil=-5\n", ""),
        STATUS_OK);
    check_contains(kitchen->failure.text, "file.csv:2: column 'batch': fat 'olive oil': mass is -5 g");
    check_verified(kitchen);
}

static void
wrong_command_lines_are_refused(void **state)
{
    static const struct {
        const char *options, *text;
    } bad[] = {
        {"--separator pipe", "--separator: 'pipe' is unknown, allowed are comma, semicolon, tab"},
        {"--decimal dot", "--decimal: 'dot' is unknown"},
        {"--date-order ymd", "--date-order: 'ymd' is unknown, allowed are iso, dmy, mdy"},
        {"--separator comma --decimal comma", "do not go together"},
        {"--column ph", "--column: 'ph' is not of the form COLUMN=HEADING"},
        {"--column pH2=x", "--column: 'pH2' is no known column"},
        {"--column gear=a --column gear=b", "this column is named twice"},
        {"--column ph=Nowhere", "there is no column 'Nowhere', which was to be read as 'ph'"},
    };
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    for (size_t i = 0; i < LENGTH(bad); i++) {
        assert_int_not_equal(import_text(kitchen, "readings", usual, bad[i].options), STATUS_OK);
        check_contains(kitchen->failure.text, bad[i].text);
        assert_int_equal(kitchen->exit_code, 2);
    }
    kitchen_refuses(kitchen, "import readings nowhere.csv --water distilled",
                    "cannot open 'nowhere.csv': No such file or directory");
}

static void
a_longer_file_is_journalled_in_blocks(void **state)
{
    struct kitchen *kitchen = *state;
    struct text many = {0};

    furnish(kitchen);
    text_add(&many, "batch,taken_at,ph,temperature_c\n");
    for (int i = 0; i < 5000; i++)
        text_addf(&many, "W-07,2026-04-%02dT%02d:%02d,9.%02d,40.%d\n", 1 + i / 200, i % 200 / 20, i % 20,
                  i % 100, i % 10);
    import_well(kitchen, "readings", text_of(&many), "", "5000 readings added");
    import_well(kitchen, "readings", text_of(&many), "", "0 readings added, 5000 were there already");
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "checked: 5078 rows of 22 tables against 11 entries");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
    text_clear(&many);
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static void
a_lye_heavy_test_in_the_file_holds_its_batch(void **state)
{
    struct kitchen *kitchen = *state;
    struct text file = {0};

    furnish(kitchen);
    kitchen_do(kitchen, "batch release W-07 --override --why 'for my own sink'");
    text_add(&file, usual);
    text_add(&file, "W-07,2,2026-03-08T10:00,meter,bench,1,11.9,,,40,1.00\n"); /* earlier than the others */
    import_well(kitchen, "readings", text_of(&file), "--dry-run", "4 readings would be added");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "released");
    import_well(kitchen, "readings", text_of(&file), "", "4 readings added\nW-07 is held now (lye-heavy: ");
    check_contains(kitchen->out, "pH 11.90");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "held");
    kitchen_do(kitchen, "batch release W-07 --override --why again");
    import_well(kitchen, "readings", text_of(&file), "", "0 readings added, 4 were there already\n");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "released"); /* nothing new came */
    check_verified(kitchen);
    text_clear(&file);
}

static void
of_many_batches_held_the_first_are_named_and_the_rest_counted(void **state)
{
    struct kitchen *kitchen = *state;
    struct text file = {0};

    furnish(kitchen);
    text_add(&file, "batch,made_on,taken_at,method,gear,ph,temperature_c,concentration_pct\n");
    for (int i = 1; i <= 30; i++)
        text_addf(&file, "X-%02d,2026-03-02,2026-03-09T10:00,meter,bench,%s,40,1.00\n", i,
                  i <= 23 ? "11.6" : "9.6");
    import_well(kitchen, "readings", text_of(&file), "",
                "30 readings added\nbatches added: 30\nX-01 is held now");
    check_contains(kitchen->out, "X-20 is held now");
    check_lacks(kitchen->out, "X-21 is held now");
    check_contains(kitchen->out, "and 3 more are held now: see curetrace batch list\n");
    check_verified(kitchen);
    text_clear(&file);
}

/* RFC 4180 lets the last line break out, and so does a copy that broke off: "11.9" cut to "1" cannot be told from 1. */
static void
a_last_row_that_may_be_cut_is_named(void **state)
{
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    import_well(kitchen, "readings", "batch,taken_at,ph\nW-07,2026-03-09,9.5\nW-07,2026-03-10,1", "",
                "2 readings added\nthe file does not end with a line break: was its last row, line 3, cut? "
                "Look at it\n");
    import_well(kitchen, "readings", "batch,taken_at,ph\nW-07,2026-03-11,9.5\r\n\r\n  ", "",
                "1 readings added\n");
    check_lacks(kitchen->out, "line break");
    assert_int_not_equal(import_text(kitchen, "readings", "batch,taken_at,ph\nW-07,2026-03-09", ""),
                         STATUS_OK);
    check_contains(kitchen->failure.text, "expected 3 fields as in the heading, got 2");
}

/* What is typed and what is imported are the same row: the same session, portion, calibration and value. */
static void
a_typed_reading_and_an_imported_one_are_the_same(void **state)
{
    static const char file[] =
        "batch,taken_at,gear,ph,ph_low,ph_high,temperature_c,concentration_pct,replicate,note\n"
        "W-07,2026-03-09T10:00,bench,9.87,,,40,1,1,\"it's, so\"\n"
        "W-07,2026-03-10T10:00,strips,,9,10,,1,1,\n"
        "W-07,2026-03-11T10:00,bench,10.01,,,,,1,\n";
    static const char *const typed[] = {
        ("read W-07 --meter bench --ph 9.87 --temperature-c 40 --percent 1 --at 2026-03-09T10:00 --note "
         "\"it's, so\""),
        "read W-07 --paper strips --between 9..10 --percent 1 --at 2026-03-10T10:00",
        "read W-07 --meter bench --ph 10.01 --at 2026-03-11T10:00",
    };
    static const char *const tables[] = {"session", "session_close", "specimen", "reading"};
    struct kitchen *kitchen = *state;
    struct failure failure = {0};
    char *other = file_join(kitchen->folder->path, "other.sqlite"), *line;
    static const char *const before[] = {
        "gear add bench --kind meter --resolution-ph 0.01",
        "gear add strips --kind paper --steps 7,8,9,10,11", "batch add W-07 --made 2026-03-02",
        "calibrate bench --at 2026-03-09T08:00 --buffer borax@25=9.18 --buffer \"lime water\"@25=12.45"};

    for (size_t i = 0; i < LENGTH(before); i++) {
        kitchen_do(kitchen, before[i]);
        line = text_format("%s --notebook %s", before[i], other);
        kitchen_do(kitchen, line);
        free(line);
    }
    for (size_t i = 0; i < LENGTH(typed); i++)
        kitchen_do(kitchen, typed[i]);
    line = text_format("--notebook %s", other);
    import_well(kitchen, "readings", file, line, "3 readings added");
    free(line);
    import_well(kitchen, "readings", file, "", "0 readings added, 3 were there already");
    line = text_format("export %s/typed", kitchen->folder->path);
    kitchen_do(kitchen, line);
    free(line);
    line = text_format("export %s/imported --notebook %s", kitchen->folder->path, other);
    kitchen_do(kitchen, line);
    free(line);
    for (size_t i = 0; i < LENGTH(tables); i++) {
        char *a = NULL, *b = NULL, *path_a = text_format("%s/typed/%s.csv", kitchen->folder->path, tables[i]),
             *path_b = text_format("%s/imported/%s.csv", kitchen->folder->path, tables[i]);

        check_ok(file_read(path_a, 10000, &a, &failure), &failure);
        check_ok(file_read(path_b, 10000, &b, &failure), &failure);
        assert_string_equal(a, b);
        free(a);
        free(b);
        free(path_a);
        free(path_b);
    }
    free(other);
}

static void
all_that_is_wrong_with_a_row_is_said_at_once(void **state)
{
    static const char *const parts[] = {
        "file.csv:2: column 'ph': is 15, allowed is 0 to 14",
        "file.csv:2: column 'temperature_c': is 140, allowed is 0 to 100",
        "file.csv:2: column 'concentration_pct': 'x' is not a number",
        "file.csv:2: column 'replicate': is 0, allowed is 1 to 1e+06",
        "file.csv:2: column 'taken_at': '2026-03-32' is not a date",
        "file.csv:2: column 'batch': there is no batch 'W-99'",
    };
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    assert_int_not_equal(import_text(kitchen, "readings",
                                     "batch,taken_at,ph,temperature_c,concentration_pct,replicate\n"
                                     "W-99,2026-03-32,15,140,x,0\n",
                                     ""),
                         STATUS_OK);
    check_contains(kitchen->failure.text, "nothing was imported: 6 problems in ");
    for (size_t i = 0; i < LENGTH(parts); i++)
        check_contains(kitchen->err, parts[i]);
}

/* A spreadsheet of some years: a title, a remark between the years, a sum, two pH columns, a strip beside them, empty
 * cells, a bar, a recipe by column, dates in three ways. */
static const char old_book[] = "\xef\xbb\xbfSoap \"old\" book;;;;;;;;;\r\n;;;;;;;;;\r\n"
                               "Code;Name;poured;Which bar;Day;pH 1;pH 2;Strip;Temp;olive oil g\r\n"
                               "S-01;oat;1.2.23;A;15.3.23;9,88;9,91;9-10;40,1;500\r\n"
                               "S-01;oat;1.2.23;B;16 Mar 2023;9,80;;;39,9;\r\n"
                               "2024;;;;;;;;;\r\n"
                               "S-02;plain;45300;A;45350;10,1;10,2;10;40,0;450,5\r\n"
                               "Mean;;;;3;;;;;\r\n";
static const char old_columns[] =
    "--column batch=Code --column title=Name --column made_on=poured --column 'bar=Which bar' --column "
    "taken_at=Day "
    "--column strip=Strip --column temperature_c=Temp --percent 1 --water distilled ";

static void
an_old_book_comes_in_by_one_mapping(void **state)
{
    struct kitchen *kitchen = *state;
    char *check = text_format("%s --check", old_columns),
         *keep = text_format("%s --keep-mapping old", old_columns);

    furnish(kitchen);
    import_well(kitchen, "readings", old_book, check, "7 readings would be added; nothing was changed\n");
    check_contains(kitchen->out, "dates have the day first, as all rows show\n");
    check_contains(kitchen->out, "numbers have a decimal comma, as all rows show\n");
    check_contains(
        kitchen->out,
        "passed over, for it is no data: line 1 'Soap \"old\" book', line 6 '2024', line 8 'Mean'\n");
    check_contains(kitchen->out, "'pH 1' as ph, 'pH 2' as ph, 'Strip', 'Temp' as temperature_c, "
                                 "'olive oil g' as fat olive oil\n");
    kitchen_refuses(kitchen, "batch show S-01", "there is no batch 'S-01'");
    import_well(kitchen, "readings", old_book, keep, "7 readings added\n");
    check_contains(kitchen->out, "import readings FILE --mapping old");
    import_well(kitchen, "readings", old_book, "--mapping old", "0 readings added, 7 were there already\n");
    kitchen_do(kitchen, "trend S-01 S-02 --csv");
    check_contains(kitchen->out,
                   "S-01,ordinary,2023-02-01,1,2023-03-15T00:00,42,meter,bench,1,9.88,,,40.1,1,");
    check_contains(kitchen->out,
                   "S-01,ordinary,2023-02-01,1,2023-03-15T00:00,42,meter,bench,2,9.91,,,40.1,1,");
    check_contains(kitchen->out,
                   "S-01,ordinary,2023-02-01,1,2023-03-15T00:00,42,paper,strips,1,,9,10,40.1,1,");
    check_contains(kitchen->out,
                   "S-01,ordinary,2023-02-01,2,2023-03-16T00:00,43,meter,bench,1,9.8,,,39.9,1,");
    check_contains(kitchen->out, "S-02,ordinary,2024-01-09,3,2024-02-28T00:00,50,meter,bench,1,10.1,,,40,1,");
    check_contains(kitchen->out,
                   "S-02,ordinary,2024-01-09,3,2024-02-28T00:00,50,paper,strips,1,,9.5,10.5,40,1,");
    kitchen_do(kitchen, "batch show S-02");
    check_contains(kitchen->out, "450.50  olive oil");
    check_verified(kitchen);
    kitchen_refuses(kitchen, "import readings x.csv --mapping odl",
                    "there is no mapping 'odl' for readings; there is old");
    free(check);
    free(keep);
}

static void
what_is_unclear_in_an_old_book_is_asked_in_one_go(void **state)
{
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    assert_int_not_equal(
        import_text(kitchen, "readings",
                    "batch,taken_at,ph,strip\nW-07,4.3.2026,9.8,10-Sep\nW-07,5.3.2026,\"9,7\",9x\n"
                    "W-07,6.3.2026,~9.6,\n",
                    ""),
        STATUS_OK);
    check_contains(kitchen->failure.text, "nothing was imported: 6 problems in ");
    check_contains(kitchen->err,
                   "file.csv: which part of a date is the day? '4.3.2026' in line 2, and all others, can be "
                   "read both ways; --date-order dmy says");
    check_contains(kitchen->err,
                   "file.csv: which is the decimal sign? Line 2 has '9.8', line 3 '9,7'; --decimal point");
    check_contains(kitchen->err,
                   "file.csv:2: column 'strip': '10-Sep' is a date: a spreadsheet makes one of 9-10");
    check_contains(kitchen->err, "file.csv:3: column 'ph': '9,7' is not a number with a decimal point");
    check_contains(kitchen->err, "file.csv:3: column 'strip': '9x'");
    check_contains(kitchen->err, "file.csv:4: column 'ph': '~9.6'");
}

/* "~9,6" is no exact reading: taken when asked for, it warns and clears nothing, also by way of "trend --csv". */
static void
what_was_read_off_only_about_clears_nothing(void **state)
{
    static const char file[] = "batch;by;taken_at;ph;temperature_c;concentration_pct\n"
                               "W-07;A. B.;2026-05-09;~9,6;40;1\nW-07;A. B.;2026-05-10;9,6?;40;1\n"
                               "W-07;C. D.;2026-05-10;9,61;40;1\n";
    struct kitchen *kitchen = *state;
    char *csv;

    furnish(kitchen);
    kitchen_do(kitchen,
               "calibrate bench --at 2026-05-09 --buffer borax@25=9.18 --buffer 'lime water@25=12.45'");
    assert_int_not_equal(import_text(kitchen, "readings", file, ""), STATUS_OK);
    check_contains(kitchen->err,
                   "file.csv:2: column 'ph': '~9,6' is read off only about (--doubtful takes it: it can "
                   "warn, and clears nothing)");
    import_well(kitchen, "readings", file, "--doubtful --water distilled", "3 readings added\n");
    kitchen_do(kitchen, "verdict W-07 --all --csv");
    check_contains(kitchen->out, ",not-judged,");
    check_contains(kitchen->out, "approximate");
    kitchen_do(kitchen, "trend W-07 --csv");
    check_contains(kitchen->out, "approximate\",,,1,A. B.\n");
    check_contains(kitchen->out, "approximate\",,,2,A. B.\n");
    check_contains(kitchen->out, ",,,3,C. D.\n");
    csv = memory_copy(kitchen->out);
    kitchen_other_notebook(kitchen);
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01");
    import_well(kitchen, "readings", csv, "", "3 readings added\n");
    kitchen_do(kitchen, "verdict W-07 --all --csv");
    check_contains(kitchen->out, "approximate");
    free(csv);
}

/* Weighed portions of one sitting, side by side and one below the other: the sitting is not split by their strength. */
static void
one_sitting_is_not_split_by_concentration(void **state)
{
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    import_well(kitchen, "readings",
                "batch,bar,taken_at,time,ph_1,ph_2,temperature_c,soap_mass_g_1,soap_mass_g_2,water_mass_g\n"
                "W-07,A,2026-03-09,10:05,9.8,9.7,40,1.00,1.01,99\nW-07,a,2026-03-09,10:15,9.8,,40,1.02,,99\n",
                "--side-by-side portions", "3 readings added\n");
    kitchen_do(kitchen, "trend W-07 --csv");
    check_contains(kitchen->out, "W-07,ordinary,2026-03-02,1,2026-03-09T10:05,7,meter,bench,1,9.8,,,40,1,");
    check_contains(kitchen->out,
                   "W-07,ordinary,2026-03-02,1,2026-03-09T10:05,7,meter,bench,2,9.7,,,40,1.00989");
    check_contains(kitchen->out,
                   "W-07,ordinary,2026-03-02,1,2026-03-09T10:15,7,meter,bench,3,9.8,,,40,1.01979");
    check_verified(kitchen);
}

static void
encodings_are_known_or_named(void **state)
{
    static const char utf16[] =
        "\xff\xfe"
        "b\0a\0t\0c\0h\0;\0t\0a\0k\0e\0n\0_\0a\0t\0;\0p\0h\0\n\0"
        "W\0-\0000\0007\0;\0002\0000\0002\0006\0-\0000\0003\0-\0000\0009\0;\0009\0\n\0";
    static const char old[] = "batch;taken_at;ph;note\nW-07;2026-03-09;9.5;Oliven\xf6l\n";
    struct kitchen *kitchen = *state;
    char *path = file_join(kitchen->folder->path, "utf16.csv"), *line;
    struct failure failure = {0};

    furnish(kitchen);
    check_ok(file_write(path, utf16, sizeof utf16 - 1, &failure), &failure);
    line = text_format("import readings %s", path);
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "1 readings added\n");
    free(line);
    free(path);
    assert_int_not_equal(import_text(kitchen, "readings", old, ""), STATUS_OK);
    check_contains(kitchen->failure.text, "file.csv:2: this is not UTF-8 text; --encoding windows-1252 reads "
                                          "it as '026-03-09;9.5;Oliven\xc3\xb6l'");
    import_well(kitchen, "readings", old, "--encoding windows-1252", "1 readings added\n");
    check_verified(kitchen);
}

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(an_old_book_comes_in_by_one_mapping),
    KITCHEN_TEST(what_is_unclear_in_an_old_book_is_asked_in_one_go),
    KITCHEN_TEST(what_was_read_off_only_about_clears_nothing),
    KITCHEN_TEST(one_sitting_is_not_split_by_concentration),
    KITCHEN_TEST(encodings_are_known_or_named),
    KITCHEN_TEST(a_last_row_that_may_be_cut_is_named),
    KITCHEN_TEST(a_typed_reading_and_an_imported_one_are_the_same),
    KITCHEN_TEST(all_that_is_wrong_with_a_row_is_said_at_once),
    KITCHEN_TEST(readings_come_in_once_however_often_they_are_imported),
    KITCHEN_TEST(every_way_of_writing_a_file_says_the_same),
    KITCHEN_TEST(a_mapping_file_names_the_columns),
    KITCHEN_TEST(all_problems_are_listed_and_nothing_is_taken),
    KITCHEN_TEST(batches_come_along_and_superseded_rows_stay_out),
    KITCHEN_TEST(rows_of_a_session_share_it_and_others_do_not),
    KITCHEN_TEST(batches_and_gear_come_from_files_too),
    KITCHEN_TEST(gear_comes_in_all_or_none),
    KITCHEN_TEST(wrong_command_lines_are_refused),
    KITCHEN_TEST(a_longer_file_is_journalled_in_blocks),
    KITCHEN_TEST(a_lye_heavy_test_in_the_file_holds_its_batch),
    KITCHEN_TEST(of_many_batches_held_the_first_are_named_and_the_rest_counted),
};

const struct check_module test_command_import = CHECK_MODULE("command/import", tests);
