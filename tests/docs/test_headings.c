/* test_headings.c - the CSV headings that the pages of docs/ name are those that the commands write and read. */
#include <ctype.h>
#include <dirent.h>
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "memory.h"
#include "text.h"

static const char heading_signs[] = "abcdefghijklmnopqrstuvwxyz0123456789_,";

/* A text file of the source; given. */
static char *
read_source(const char *name)
{
    char *path = file_join(getenv("SOURCE_ROOT"), name), *text = NULL;
    struct failure failure = {0};

    check_ok(file_read(path, 1 << 20, &text, &failure), &failure);
    free(path);
    return text;
}

/* The page from a line that begins with `title` to the next title; given. */
static char *
section_of(const char *page, const char *title)
{
    const char *begin = strstr(page, title), *end;

    if (begin == NULL)
        fail_msg("docs: there is no '%s'", title);
    begin += strlen(title);
    end = strstr(begin, "\n## ");
    return text_format("%.*s", end == NULL ? (int)strlen(begin) : (int)(end - begin), begin);
}

/* The heading that the page names from *at on: an indented line or words in backticks, with commas and no
 * blank; *at moves behind it. Given; NULL: there is no more. */
static char *
next_heading(const char **at)
{
    for (const char *c = *at; *c != '\0'; c++) {
        bool quoted = *c == '`', indented = strncmp(c, "\n    ", 5) == 0;
        const char *begin = c + (indented ? 5 : 1);
        size_t length = strspn(begin, heading_signs);

        if ((!quoted && !indented) || memchr(begin, ',', length) == NULL ||
            begin[length] != (quoted ? '`' : '\n'))
            continue;
        *at = begin + length;
        return text_format("%.*s", (int)length, begin);
    }
    return NULL;
}

/* The words in backticks in the first column of the section's tables, joined by commas; given. */
static char *
first_column(const char *section)
{
    struct text words = {0};

    for (const char *row = strstr(section, "\n| `"); row != NULL; row = strstr(row + 1, "\n| `")) {
        const char *end = strchr(row + 3, '|');

        for (const char *word = strchr(row, '`'); word != NULL && word < end; word = strchr(word, '`')) {
            size_t length = strcspn(word + 1, "`");

            text_addf(&words, "%s%.*s", words.length == 0 ? "" : ",", (int)length, word + 1);
            word += length + 2;
        }
    }
    text_add(&words, "");
    return text_take(&words);
}

/* The first line of what the last command printed; given. */
static char *
first_line(const struct kitchen *kitchen)
{
    return text_format("%.*s", (int)strcspn(kitchen->out, "\n"), kitchen->out);
}

static void
set_up(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "batch add W-06 --made 2026-03-02 --fat 'olive oil=1000' --lye naoh=128");
    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02 --fat 'olive oil=1000' --lye naoh=150");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen,
               "read W-06 --water distilled --ph 9.9 --temperature-c 40 --percent 1 --at 2026-05-10T10:00");
    kitchen_do(kitchen,
               "read W-07 --water distilled --ph 11.6 --temperature-c 40 --percent 1 --at 2026-05-10T10:20");
    kitchen_do(kitchen, "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 25 --at 2026-05-11");
}

static void
what_is_written_has_the_headings_of_the_page(void **state)
{
    static const struct {
        const char *page, *lines[2]; /* the headings of a page stand in the order of these */
    } written[] = {
        {"docs/compare.md", {"compare W-06 W-07 --csv"}},
        {"docs/dilute.md", {"dilute --soap-g 1.03 --csv"}},
        {"docs/due.md", {"due --csv"}},
        {"docs/expect.md", {"expect borax --csv"}},
        {"docs/plan.md", {"plan W-06 W-07 --csv"}},
        {"docs/policy.md", {"policy --csv"}},
        {"docs/recipe.md", {"recipe W-06 --csv"}},
        {"docs/rework.md", {"rework W-07 --csv"}},
        {"docs/titrate.md", {"titrate W-07 --csv"}},
        {"docs/trend.md", {"trend W-06 --csv", "trend W-06 --csv --model"}},
    };
    struct kitchen *kitchen = *state;

    set_up(kitchen);
    for (size_t i = 0; i < LENGTH(written); i++) {
        char *page = read_source(written[i].page);
        const char *at = page;

        for (size_t k = 0; k < 2 && written[i].lines[k] != NULL; k++) {
            char *named = next_heading(&at), *printed;

            kitchen_do(kitchen, written[i].lines[k]);
            printed = first_line(kitchen);
            if (named == NULL || strcmp(named, printed) != 0)
                fail_msg("%s: '%s' writes\n%s, the page says\n%s", written[i].page, written[i].lines[k],
                         printed, named == NULL ? "nothing" : named);
            free(printed);
            free(named);
        }
        free(page);
    }
}

static void
the_table_of_verdict_names_its_columns_in_order(void **state)
{
    struct kitchen *kitchen = *state;
    char *page = read_source("docs/verdict.md"), *section = section_of(page, "\n## CSV"), *named, *printed;

    set_up(kitchen);
    kitchen_do(kitchen, "verdict W-06 --csv");
    named = first_column(section);
    printed = first_line(kitchen);
    assert_string_equal(named, printed);
    free(printed);
    free(named);
    free(section);
    free(page);
}

/* Every word of a heading stands in backticks in the text. */
static void
check_words_named(const char *heading, const char *text, const char *where)
{
    char *copy = memory_copy(heading), *rest = copy, *word;

    while ((word = strsep(&rest, ",")) != NULL) {
        char *quoted = text_format("`%s`", word);

        if (strstr(text, quoted) == NULL)
            fail_msg("%s does not name %s", where, quoted);
        free(quoted);
    }
    free(copy);
}

static void
import_one(struct kitchen *kitchen, const char *what, const char *csv)
{
    char *path = file_join(kitchen->folder->path, "a.csv");
    char *line = text_format("import %s %s --notebook %s/new.sqlite", what, path, kitchen->folder->path);
    struct failure failure = {0};

    check_ok(file_write(path, csv, strlen(csv), &failure), &failure);
    kitchen_do(kitchen, line);
    free(line);
    free(path);
}

static void
import_of_readings_knows_what_trend_writes_and_the_page_names(void **state)
{
    struct kitchen *kitchen = *state;
    char *page = read_source("docs/import.md"), *section = section_of(page, "\n## Readings");
    char *heading, *csv, *column, *strange;

    set_up(kitchen);
    kitchen_do(kitchen, "trend W-06 --csv");
    heading = first_line(kitchen);
    csv = memory_copy(kitchen->out);
    check_words_named(heading, section, "import.md, Readings,");
    column = first_column(section);
    for (char *rest = column, *word; (word = strsep(&rest, ",")) != NULL;) {
        char *whole = text_format(",%s,", heading), *part = text_format(",%s", word);

        check_contains(whole, part);
        free(part);
        free(whole);
    }
    import_one(kitchen, "gear", "name,kind,resolution_ph\nbench,meter,0.01\n");
    import_one(kitchen, "readings", csv);
    check_contains(kitchen->out, "1 readings added");
    check_lacks(kitchen->out, "left out");
    strange = text_format("moon,%s", "batch,taken_at,ph\nfull,W-06,2026-05-12,9.9\n");
    import_one(kitchen, "readings", strange);
    check_contains(kitchen->out, "columns left out: 'moon'");
    free(strange);
    free(column);
    free(csv);
    free(heading);
    free(section);
    free(page);
}

/* The columns that the program looks for, as its table in the source has them between two texts; given. */
static char *
columns_in_source(const char *source, const char *from)
{
    static const char name[] = "] = {.name = \"";
    const char *end;
    struct text names = {0};

    source = strstr(source, from);
    assert_non_null(source);
    end = strstr(source, "};");
    for (const char *at = strstr(source, name); at != NULL && at < end; at = strstr(at + 1, name))
        text_addf(&names, "%s%.*s", names.length == 0 ? "" : ",", (int)strcspn(at + strlen(name), "\""),
                  at + strlen(name));
    assert_true(names.length > 0);
    return text_take(&names);
}

static void
import_of_batches_and_gear_knows_the_columns_of_the_page_and_no_more(void **state)
{
    static const struct {
        const char *what, *title, *table;
    } imports[] = {{"batches", "\n## Batches", "batch_columns[]"}, {"gear", "\n## Gear", "gear_columns[]"}};
    struct kitchen *kitchen = *state;
    char *page = read_source("docs/import.md"), *source = read_source("src/command/import_records.c");

    for (size_t i = 0; i < LENGTH(imports); i++) {
        char *section = section_of(page, imports[i].title);
        char *columns = columns_in_source(source, imports[i].table);
        /* All that stands in backticks before the example and looks like a column is one. */
        const char *example = strstr(section, "```");
        struct text heading = {0};

        check_words_named(columns, section, imports[i].title);
        for (const char *at = strchr(section, '`'); at != NULL && at < example; at = strchr(at, '`')) {
            size_t length = strcspn(at + 1, "`"), plain = strspn(at + 1, heading_signs);

            if (length == plain)
                text_addf(&heading, "%s%.*s", heading.length == 0 ? "" : ",", (int)length, at + 1);
            at += length + 2;
        }
        text_add(&heading, "\n");
        import_one(kitchen, imports[i].what, text_of(&heading));
        check_lacks(kitchen->out, "left out");
        text_clear(&heading);
        free(columns);
        free(section);
    }
    free(source);
    free(page);
}

/* "batch.csv" and no directory entry of another kind; contents.csv tells of the tables and is none. */
static bool
is_csv(const char *name)
{
    size_t length = strlen(name);

    return length > 4 && strcmp(name + length - 4, ".csv") == 0 && strcmp(name, "contents.csv") != 0;
}

static void
export_writes_the_tables_that_notebook_md_lists(void **state)
{
    struct kitchen *kitchen = *state;
    char *page = read_source("docs/notebook.md"), *section = section_of(page, "\n## Tables");
    char *tables = first_column(section), *whole = text_format(",%s,", tables);
    char *folder = file_join(kitchen->folder->path, "csv"), *line = text_format("export %s", folder);
    size_t listed = 1, written = 0;
    DIR *entries;

    set_up(kitchen);
    kitchen_do(kitchen, line);
    for (const char *c = tables; *c != '\0'; c++)
        listed += *c == ',' ? 1U : 0U;
    entries = opendir(folder);
    assert_non_null(entries);
    for (const struct dirent *entry; (entry = readdir(entries)) != NULL;) {
        char *named;

        if (!is_csv(entry->d_name))
            continue;
        named = text_format(",%.*s,", (int)strlen(entry->d_name) - 4, entry->d_name);
        check_contains(whole, named);
        free(named);
        written++;
    }
    closedir(entries);
    assert_int_equal(written, listed);
    free(line);
    free(folder);
    free(whole);
    free(tables);
    free(section);
    free(page);
}

#define HEADINGS_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    HEADINGS_TEST(what_is_written_has_the_headings_of_the_page),
    HEADINGS_TEST(the_table_of_verdict_names_its_columns_in_order),
    HEADINGS_TEST(import_of_readings_knows_what_trend_writes_and_the_page_names),
    HEADINGS_TEST(import_of_batches_and_gear_knows_the_columns_of_the_page_and_no_more),
    HEADINGS_TEST(export_writes_the_tables_that_notebook_md_lists),
};

const struct check_module test_docs_headings = CHECK_MODULE("docs/headings", tests);
