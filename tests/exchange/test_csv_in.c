/* test_csv_in.c - CSV files read row by row, columns found by their heading. */
#include "csv_in.h"

#include <stdlib.h>

#include "check.h"
#include "csv_out.h"
#include "memory.h"

enum { BATCH, PH, NOTE };
static const struct csv_column columns[] = {{.name = "batch", .need = CSV_VALUE},
                                            {.name = "ph", .need = CSV_COLUMN},
                                            {.name = "note", .need = CSV_OPTIONAL}};
static const struct csv_layout usual = {.columns = columns, .columns_length = LENGTH(columns)};

/* Writes what it was handed as "line:batch|ph|note;". */
static enum status
collect(const struct csv_row *row, void *payload, struct failure *failure)
{
    struct text *seen = payload;
    const char *batch = NULL, *note = NULL;
    double ph = NAN;

    if (csv_in_text(row, BATCH, &batch, failure) != STATUS_OK ||
        csv_in_number(row, PH, 0, 14, &ph, failure) != STATUS_OK ||
        csv_in_text(row, NOTE, &note, failure) != STATUS_OK)
        return failure->status;
    text_addf(seen, "%zu:%s|%g|%s;", row->line, batch, ph, note == NULL ? "-" : note);
    return STATUS_OK;
}

static enum status
read_bytes(const char *bytes, size_t length, const struct csv_layout *layout, struct problems *problems,
           struct text *seen, struct failure *failure)
{
    char *copy = memory_new(length + 1, 1);
    FILE *input;
    enum status status;

    memcpy(copy, bytes, length);
    /* fmemopen() refuses an empty buffer */
    input = length == 0 ? fopen("/dev/null", "rb") : fmemopen(copy, length, "rb");
    status = csv_in_read(input, "spring.csv", layout, collect, seen, problems, failure);
    fclose(input);
    free(copy);
    return status;
}

/* The text with each LF as `line_end`. */
static struct text
with_line_ends(const char *text, const char *line_end)
{
    struct text result = {0};

    for (; *text != '\0'; text++) {
        if (*text == '\n')
            text_add(&result, line_end);
        else
            text_add_bytes(&result, text, 1);
    }
    return result;
}

/* Each sample in LF; `seen` holds no line breaks inside texts, so it is the same for all line ends. */
static const struct {
    const char *file, *seen;
} samples[] = {
    {"batch,ph,note\nW-07,9.87,oat bar\nW-08,,\n", "2:W-07|9.87|oat bar;3:W-08|nan|-;"},
    {"batch,ph,note\nW-07,9.87,\"a,b \"\"c\"\"\"\n", "2:W-07|9.87|a,b \"c\";"},
    {"\n\nbatch,ph\n\n  \nW-07,9.87\n\n\nW-08,1\n", "6:W-07|9.87|-;9:W-08|1|-;"},
    {"note;ph;batch\nx;9.87;W-07\n;;\n", "2:W-07|9.87|x;"},
    {"ph\tbatch\tnote\n9.87\tW-07\tx\n\tW-08\t\n", "2:W-07|9.87|x;3:W-08|nan|-;"},
    {"\"batch\",\" PH \",\"Note\"\n W-07 , 9.87 ,\" x \"\n", "2:W-07|9.87| x ;"},
    {"batch,ph,\nW-07,1,\n", "2:W-07|1|-;"},
    {"batch,ph\n", ""},
};

static void
check_variant(const struct text *file, const char *seen)
{
    static const char *const marks[] = {"", "\xef\xbb\xbf"};

    for (size_t mark = 0; mark < LENGTH(marks); mark++) {
        for (size_t cut = 0; cut < 2; cut++) {
            struct text whole = {0}, result = {0};
            struct failure failure = {0};
            struct problems problems = {0};
            size_t length = file->length;

            while (cut == 1 && length > 0 && strchr("\r\n", file->data[length - 1]) != NULL)
                length--;
            text_add(&whole, marks[mark]);
            text_add_bytes(&whole, file->data, length);
            check_ok(read_bytes(whole.data, whole.length, &usual, &problems, &result, &failure), &failure);
            assert_string_equal(text_of(&result), seen);
            text_clear(&whole);
            text_clear(&result);
        }
    }
}

static void
samples_read_the_same_with_every_line_end_and_mark(void **state)
{
    static const char *const line_ends[] = {"\n", "\r\n", "\r"};

    (void)state;
    for (size_t i = 0; i < LENGTH(samples); i++) {
        for (size_t end = 0; end < LENGTH(line_ends); end++) {
            struct text file = with_line_ends(samples[i].file, line_ends[end]);

            check_variant(&file, samples[i].seen);
            text_clear(&file);
        }
    }
}

static void
line_breaks_inside_quotes_are_kept_and_counted(void **state)
{
    static const char *const line_ends[] = {"\n", "\r\n", "\r"};

    (void)state;
    for (size_t end = 0; end < LENGTH(line_ends); end++) {
        struct text file = with_line_ends("batch,ph,note\nA,1,\"one\ntwo\n\"\nB,2,x\n", line_ends[end]);
        struct text seen = {0}, expected = {0};
        struct failure failure = {0};

        check_ok(read_bytes(file.data, file.length, &usual, NULL, &seen, &failure), &failure);
        text_addf(&expected, "2:A|1|one%stwo%s;5:B|2|x;", line_ends[end], line_ends[end]);
        assert_string_equal(text_of(&seen), expected.data);
        text_clear(&file);
        text_clear(&seen);
        text_clear(&expected);
    }
}

static const struct {
    const char *file;
    size_t length; /* 0: up to NUL */
    const char *text, *seen;
} refused[] = {
    {"", 0, "spring.csv: is empty, expected a row of headings", ""},
    {"\n\n", 0, "spring.csv: is empty, expected a row of headings", ""},
    {"batch,ph\nA,1\nB,\"2\"x\nC,3\n", 0,
     "spring.csv:3: a quotation mark in the wrong place (a text that holds one is quoted, with the mark "
     "doubled)",
     "2:A|1|-;"},
    {"batch,ph\nA,1\nB\"x,2\nC,3\n", 0,
     "spring.csv:3: a quotation mark in the wrong place (a text that holds one is quoted, with the mark "
     "doubled)",
     "2:A|1|-;"},
    {"batch,ph\nA,1\n\"B,2\nC,3\n", 0, "spring.csv:3: a quoted text that begins in this row does not end",
     "2:A|1|-;"},
    {"batch,ph\nA,1\nB,\0 2\nC,3\n", 22, "spring.csv:3: a NUL byte: this is no text file", "2:A|1|-;"},
    {"\xff\xfe"
     "b\0a\0",
     6, "spring.csv:1: the file is UTF-16; save it as CSV in UTF-8", ""},
    {"batch,ph\nA,1,2\nB,2\n", 0, "spring.csv:2: expected 2 fields as in the heading, got 3", "3:B|2|-;"},
    {"batch,ph\nA\nB,2\n", 0, "spring.csv:2: expected 2 fields as in the heading, got 1", "3:B|2|-;"},
    {"batch,ph,\nA,1,2\nB,2,\n", 0, "spring.csv:2: column 3 has no heading but a value", "3:B|2|-;"},
    {"batch,ph\nA,21.5x\nB,2\n", 0, "spring.csv:2: column 'ph': '21.5x' is not a number", "3:B|2|-;"},
    {"batch,ph\nA,\"1\n\"\nB,2\n", 0, "spring.csv:2: column 'ph': '1\\n' is not a number", "4:B|2|-;"},
    {"batch,ph,PH\nA,1,2\n", 0, "spring.csv:1: the heading 'PH' is there twice", ""},
    {"batch\nA\n", 0, "spring.csv:1: there is no column 'ph'", ""},
    {"batch,ph,nite\nA,1,2\n", 0, "spring.csv:1: 'nite' is no known heading, did you mean 'note'?", ""},
    {"batch,ph,zzzzz\nA,1,2\n", 0, "spring.csv:1: 'zzzzz' is no known heading", ""},
};

static void
each_trouble_has_its_line_and_words(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(refused); i++) {
        struct text seen = {0};
        struct problems problems = {0};
        struct failure failure = {0};
        size_t length = refused[i].length == 0 ? strlen(refused[i].file) : refused[i].length;

        check_refused(read_bytes(refused[i].file, length, &usual, &problems, &seen, &failure), STATUS_FORMAT,
                      &failure);
        assert_string_equal(failure.text, refused[i].text);
        assert_string_equal(text_of(&seen), refused[i].seen);
        assert_int_equal(problems.count, 1);
        problems_clear(&problems);
        text_clear(&seen);
    }
}

static void
without_a_list_the_first_trouble_ends_the_reading(void **state)
{
    struct text seen = {0};
    struct failure failure = {0};
    static const char file[] = "batch,ph\nA,1\nB,x\nC,3\n";

    (void)state;
    check_refused(read_bytes(file, strlen(file), &usual, NULL, &seen, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "spring.csv:3: column 'ph': 'x' is not a number");
    assert_string_equal(text_of(&seen), "2:A|1|-;");
    text_clear(&seen);
}

static void
all_problems_are_found(void **state)
{
    struct text file = {0}, seen = {0};
    struct problems problems = {0};
    struct failure failure = {0};

    (void)state;
    text_add(&file, "batch,ph\n");
    for (int i = 0; i < 30; i++)
        text_addf(&file, "A%d,%s\n", i, i % 5 == 0 ? "1" : "15");
    check_refused(read_bytes(file.data, file.length, &usual, &problems, &seen, &failure), STATUS_RANGE,
                  &failure);
    assert_int_equal(problems.count, 24);
    check_contains(failure.text,
                   "24 problems, the first: spring.csv:3: column 'ph': is 15, allowed is 0 to 14");
    problems_clear(&problems);
    text_clear(&file);
    text_clear(&seen);
}

static void
a_wrong_heading_is_told_in_full_and_no_row_is_read(void **state)
{
    struct text seen = {0};
    struct problems problems = {0};
    struct failure failure = {0};
    static const char file[] = "bacth,Meter pH\nA,1\n";

    (void)state;
    check_refused(read_bytes(file, strlen(file), &usual, &problems, &seen, &failure), STATUS_FORMAT,
                  &failure);
    assert_int_equal(problems.count, 4);
    assert_string_equal(problems.texts[0], "spring.csv:1: there is no column 'batch', is it 'bacth'?");
    assert_string_equal(problems.texts[1], "spring.csv:1: there is no column 'ph'");
    assert_string_equal(problems.texts[2],
                        "spring.csv:1: 'bacth' is no known heading, did you mean 'batch'?");
    assert_string_equal(problems.texts[3], "spring.csv:1: 'Meter pH' is no known heading");
    assert_string_equal(text_of(&seen), "");
    problems_clear(&problems);
}

/* Where the maker can say how a file is written, the message tells how; the notebook's own files have no options. */
static void
what_a_file_has_instead_is_told_with_the_option_that_takes_it(void **state)
{
    static const struct {
        const char *file, *message;
    } wrong[] = {
        {"bar,day,Meter pH,\nA,1,2,\n", "spring.csv:1: there is no column 'batch'; the file has 'bar', "
                                        "'day', 'Meter pH' (--column batch=bar if it "
                                        "is that)"},
        {"bacth,ph\nA,1\n",
         "spring.csv:1: there is no column 'batch', is it 'bacth'? (--column batch=bacth takes it)"},
        {"ph,a,b,c,d,e,f,g,h,i,j\n", "spring.csv:1: there is no column 'batch'; the file has 'a', 'b', 'c', "
                                     "'d', 'e', 'f', 'g', 'h' and 2 more "
                                     "(--column batch=HEADING says which it is)"},
        {"batch\nA\n", "spring.csv:1: there is no column 'ph'"},
        {"batch,ph\nA,\"10,35\"\n", "spring.csv:2: column 'ph': '10,35' is not a number with a decimal point "
                                    "(--decimal comma reads it)"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(wrong); i++) {
        struct text seen = {0}, ignored = {0};
        struct failure failure = {0};
        struct csv_layout layout = usual;

        layout.ignored = &ignored;
        check_refused(read_bytes(wrong[i].file, strlen(wrong[i].file), &layout, NULL, &seen, &failure),
                      STATUS_FORMAT, &failure);
        assert_string_equal(failure.text, wrong[i].message);
        text_clear(&seen);
        text_clear(&ignored);
    }
}

static void
columns_can_have_other_names_and_others_be_ignored(void **state)
{
    struct csv_rename rename = {0};
    struct text seen = {0}, ignored = {0};
    struct failure failure = {0};
    struct csv_layout layout = {.columns = columns,
                                .columns_length = LENGTH(columns),
                                .renames = &rename,
                                .renames_length = 1,
                                .separator = ';',
                                .decimal = NUMBER_COMMA,
                                .ignored = &ignored};
    static const char file[] = "batch;Meter pH;ph;noet\nA;9,87;x;y\n";
    static const char other[] = "batch;ph\nA;9,87\n";

    (void)state;
    check_ok(csv_rename_parse("ph=Meter pH", columns, LENGTH(columns), &rename, &failure), &failure);
    check_ok(read_bytes(file, strlen(file), &layout, NULL, &seen, &failure), &failure);
    assert_string_equal(text_of(&seen), "2:A|9.87|-;");
    assert_string_equal(text_of(&ignored), "'ph', 'noet' (to take it: --column note=noet)");
    check_refused(read_bytes(other, strlen(other), &layout, NULL, &seen, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(
        failure.text,
        "spring.csv:1: there is no column 'Meter pH', which was to be read as 'ph'; the file has "
        "'ph' (--column ph=ph if it is that)");
    text_clear(&seen);
    text_clear(&ignored);
    csv_rename_clear(&rename);
}

/* Rows as large as allowed pass, a larger one is refused, whether it is one line or many. */
static void
a_row_has_a_largest_size(void **state)
{
    static const char *const pieces[] = {"x", "\n"};

    (void)state;
    for (size_t i = 0; i < LENGTH(pieces); i++) {
        for (size_t more = 0; more < 2; more++) {
            struct text file = {0}, seen = {0};
            struct failure failure = {0};
            size_t frame = strlen("A,1,\"\"\n");
            enum status status;

            text_add(&file, "batch,ph,note\nA,1,\"");
            for (size_t j = 0; j < CSV_ROW_LARGEST - frame + more; j++)
                text_add(&file, pieces[i]);
            text_add(&file, "\"\nB,2,y\n");
            status = read_bytes(file.data, file.length, &usual, NULL, &seen, &failure);
            if (more == 0) {
                check_ok(status, &failure);
                check_contains(text_of(&seen), "B|2|y;");
            } else {
                check_refused(status, STATUS_FORMAT, &failure);
                check_contains(failure.text, "spring.csv:2: a row of more than 1 MiB");
            }
            text_clear(&file);
            text_clear(&seen);
        }
    }
}

/* Line ends, quotes and marks on both sides of every place where the reader's own pieces end. */
static void
nothing_depends_on_where_a_piece_ends(void **state)
{
    (void)state;
    for (size_t pad = 65536 - 40; pad < 65536 + 4; pad++) {
        struct text file = {0}, seen = {0};
        struct failure failure = {0};

        text_add(&file, "batch,ph,note\r\nA,1,");
        for (size_t i = 0; i < pad - 30; i++)
            text_add(&file, "x");
        text_add(&file, "\r\n\r\nB,2,\"say \"\"a\"\"\r\nb\"\r\nC,3,c\r\n");
        check_ok(read_bytes(file.data, file.length, &usual, NULL, &seen, &failure), &failure);
        check_contains(text_of(&seen) + pad - 40, "x;4:B|2|say \"a\"\r\nb;6:C|3|c;");
        text_clear(&file);
        text_clear(&seen);
    }
}

static enum status
system_trouble(const struct csv_row *row, void *payload, struct failure *failure)
{
    ++*(int *)payload;
    return failure_set(failure, STATUS_SYSTEM, "the disk is full at %zu", row->line);
}

static void
trouble_of_the_system_ends_the_reading(void **state)
{
    static char file[] = "batch,ph\nA,1\nB,2\n";
    struct problems problems = {0};
    struct failure failure = {0};
    FILE *input = fmemopen(file, strlen(file), "rb");
    int rows = 0;

    (void)state;
    check_refused(csv_in_read(input, "spring.csv", &usual, system_trouble, &rows, &problems, &failure),
                  STATUS_SYSTEM, &failure);
    assert_string_equal(failure.text, "the disk is full at 2");
    assert_int_equal(rows, 1);
    fclose(input);
    input = fopen("/", "rb"); /* a folder opens and cannot be read */
    check_refused(csv_in_read(input, "\x1b/", &usual, system_trouble, &rows, &problems, &failure),
                  STATUS_SYSTEM, &failure);
    assert_string_equal(failure.text, "cannot read '\\x1b/': Is a directory");
    fclose(input);
}

static enum status
keep_note(const struct csv_row *row, void *payload, struct failure *failure)
{
    const char *note = NULL;

    if (csv_in_text(row, 0, &note, failure) != STATUS_OK)
        return failure->status;
    text_add(payload, note == NULL ? "" : note);
    text_add_bytes(payload, "\x1f", 1);
    return STATUS_OK;
}

/* What csv_out writes comes back byte for byte, whatever a person typed. */
static void
written_texts_come_back_unchanged(void **state)
{
    static const char alphabet[] = "=+-@\t\r\n'\",; ax";
    static const char *const names[] = {"note", "end"};
    static const struct csv_column note[] = {{.name = "note", .need = CSV_COLUMN},
                                             {.name = "end", .need = CSV_COLUMN}};
    const struct csv_layout layout = {.columns = note, .columns_length = 2};
    struct text sent = {0}, back = {0};
    struct failure failure = {0};
    struct csv_out out;
    char *file = NULL;
    size_t length = 0;
    FILE *stream = open_memstream(&file, &length);

    (void)state;
    csv_out_start(&out, stream, (struct csv_manner){0});
    csv_out_heading(&out, names, 2);
    for (size_t i = 0; i < 14 * 14 * 14 * 14; i++) {
        char text[5] = {alphabet[i % 14], alphabet[i / 14 % 14], alphabet[i / 196 % 14],
                        alphabet[i / 2744 % 14], '\0'};

        csv_out_text(&out, text);
        csv_out_text(&out, "end");
        csv_out_end_row(&out);
        text_add(&sent, text);
        text_add_bytes(&sent, "\x1f", 1);
    }
    check_ok(csv_out_finish(&out, "memory", &failure), &failure);
    fclose(stream);
    stream = fmemopen(file, length, "rb");
    check_ok(csv_in_read(stream, "memory", &layout, keep_note, &back, NULL, &failure), &failure);
    assert_int_equal(sent.length, back.length);
    assert_memory_equal(sent.data, back.data, sent.length);
    fclose(stream);
    free(file);
    text_clear(&sent);
    text_clear(&back);
}

/* Remarks and sums are passed over and listed, a row with other separators is not: it is a reading. */
static void
what_is_no_data_is_passed_over_and_listed(void **state)
{
    static const char file[] = "Old book;;\nbatch;ph;note\nW-07;9.87;\n2024;;\nMean;;9.8\n;;\nMeaning;9.7;x\n"
                               "W-07,9.6,x\nseen, so far, by nobody\n";
    static const struct csv_column needed[] = {{.name = "batch", .need = CSV_VALUE},
                                               {.name = "ph", .need = CSV_VALUE},
                                               {.name = "note", .need = CSV_OPTIONAL}};
    struct text skipped = {0}, ignored = {0}, seen = {0};
    struct csv_layout layout = {.columns = needed, .columns_length = LENGTH(needed)};
    struct problems problems = {0};
    struct failure failure = {0};

    (void)state;
    layout.separator = ';';
    layout.heading_line = 2;
    layout.skipped = &skipped;
    layout.ignored = &ignored;
    check_refused(read_bytes(file, strlen(file), &layout, &problems, &seen, &failure), STATUS_FORMAT,
                  &failure);
    assert_string_equal(failure.text, "spring.csv:8: expected 3 fields as in the heading, got 1");
    assert_string_equal(text_of(&seen), "3:W-07|9.87|-;7:Meaning|9.7|x;");
    assert_string_equal(text_of(&skipped),
                        "line 1 'Old book', line 4 '2024', line 5 'Mean', line 9 'seen, so far, by nobody'");
    text_clear(&skipped);
    text_clear(&ignored);
    text_clear(&seen);
    problems_clear(&problems);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(what_is_no_data_is_passed_over_and_listed),
    cmocka_unit_test(samples_read_the_same_with_every_line_end_and_mark),
    cmocka_unit_test(line_breaks_inside_quotes_are_kept_and_counted),
    cmocka_unit_test(each_trouble_has_its_line_and_words),
    cmocka_unit_test(without_a_list_the_first_trouble_ends_the_reading),
    cmocka_unit_test(all_problems_are_found),
    cmocka_unit_test(a_wrong_heading_is_told_in_full_and_no_row_is_read),
    cmocka_unit_test(what_a_file_has_instead_is_told_with_the_option_that_takes_it),
    cmocka_unit_test(columns_can_have_other_names_and_others_be_ignored),
    cmocka_unit_test(a_row_has_a_largest_size),
    cmocka_unit_test(nothing_depends_on_where_a_piece_ends),
    cmocka_unit_test(trouble_of_the_system_ends_the_reading),
    cmocka_unit_test(written_texts_come_back_unchanged),
};

const struct check_module test_exchange_csv_in = CHECK_MODULE("exchange/csv_in", tests);
