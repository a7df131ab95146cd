/* test_csv_out.c - tables written as CSV. */
#include "csv_out.h"

#include "check.h"
#include "memory.h"
#include "text.h"

/* What is written between start and finish; given. */
static char *
written(void (*write)(struct csv_out *out))
{
    struct failure failure = {0};
    struct csv_out out;
    char *text = NULL;
    size_t length = 0;
    FILE *file = open_memstream(&text, &length);

    csv_out_start(&out, file, (struct csv_manner){0});
    write(&out);
    check_ok(csv_out_finish(&out, "memory", &failure), &failure);
    fclose(file);
    return text;
}

static void
check_written(void (*write)(struct csv_out *out), const char *expected)
{
    char *text = written(write);

    assert_string_equal(text, expected);
    free(text);
}

static void
one_of_each(struct csv_out *out)
{
    static const char *const names[] = {"batch", "ph", "replicate", "made_on", "taken_at"};

    csv_out_heading(out, names, LENGTH(names));
    csv_out_text(out, "W-07");
    csv_out_number(out, 9.87);
    csv_out_integer(out, -2);
    csv_out_day(out, 0);
    csv_out_time(out, 36000);
    csv_out_end_row(out);
    csv_out_text(out, NULL);
    csv_out_number(out, NAN);
    csv_out_integer(out, INT64_MIN);
    csv_out_day(out, DAY_NONE);
    csv_out_time(out, MOMENT_NONE);
    csv_out_end_row(out);
}

/* Day 0 is 1970-01-01 by the definition in clock.h; 36000 s are ten hours. */
static void
every_kind_of_field_has_its_form(void **state)
{
    (void)state;
    check_written(one_of_each, "batch,ph,replicate,made_on,taken_at\n"
                               "W-07,9.87,-2,1970-01-01,1970-01-01T10:00\n"
                               ",,-9223372036854775808,,\n");
}

static const struct {
    const char *text, *field;
} fields[] = {
    {"oat bar", "oat bar"},
    {"", "\"\""}, /* alone in its row */
    {"a,b", "\"a,b\""},
    {"a;b", "\"a;b\""},
    {"say \"oat\"", "\"say \"\"oat\"\"\""},
    {"two\nlines", "\"two\nlines\""},
    {"two\r\nlines", "\"two\r\nlines\""},
    {" blanks ", "\" blanks \""},
    {"pl\xc3\xa4in", "pl\xc3\xa4in"},
    {"=1+1", "'=1+1"},
    {"+1", "'+1"},
    {"-1", "'-1"},
    {"@x", "'@x"},
    {"'x", "''x"},
    {"'", "''"},
    {"\tx", "\"'\tx\""},
    {"\rx", "\"'\rx\""},
    {"=a,\"b\"", "\"'=a,\"\"b\"\"\""},
    {"x=1", "x=1"},
};

static size_t current;

static void
one_text(struct csv_out *out)
{
    csv_out_text(out, fields[current].text);
    csv_out_end_row(out);
}

/* Quoting: RFC 4180 section 2, rules 5 to 7. The marks: rule 4 of csv_out.h. */
static void
texts_are_quoted_and_formulas_marked(void **state)
{
    (void)state;
    for (current = 0; current < LENGTH(fields); current++) {
        char *text = written(one_text);

        assert_int_equal(text[strlen(text) - 1], '\n');
        text[strlen(text) - 1] = '\0';
        assert_string_equal(text, fields[current].field);
        free(text);
    }
}

static void
a_full_disk_is_noticed_however_much_was_written(void **state)
{
    static const size_t rows[] = {1, 100000};

    (void)state;
    for (size_t i = 0; i < LENGTH(rows); i++) {
        struct failure failure = {0};
        struct csv_out out;
        FILE *file = fopen("/dev/full", "wb");

        assert_non_null(file);
        csv_out_start(&out, file, (struct csv_manner){0});
        for (size_t row = 0; row < rows[i]; row++) {
            csv_out_number(&out, 9.87);
            csv_out_end_row(&out);
        }
        check_refused(csv_out_finish(&out, "trend.csv", &failure), STATUS_SYSTEM, &failure);
        assert_string_equal(failure.text, "cannot write 'trend.csv': No space left on device");
        fclose(file);
    }
}

/* Longer than what a csv_out holds back, in the middle and at the ends of a row. */
static void
rows_of_any_length_arrive_whole(void **state)
{
    static const size_t lengths[] = {
        0, 1, CSV_OUT_BYTES - 2, CSV_OUT_BYTES - 1, CSV_OUT_BYTES, 3 * CSV_OUT_BYTES};

    (void)state;
    for (size_t i = 0; i < LENGTH(lengths); i++) {
        char *text = NULL, *long_one = memory_new(lengths[i] + 1, 1), *expected;
        struct failure failure = {0};
        struct csv_out out;
        size_t length = 0;
        FILE *file = open_memstream(&text, &length);

        memset(long_one, 'x', lengths[i]);
        csv_out_start(&out, file, (struct csv_manner){0});
        for (int row = 0; row < 2; row++) {
            csv_out_text(&out, long_one);
            csv_out_integer(&out, 7);
            csv_out_text(&out, long_one);
            csv_out_text(&out, "a, b");
            csv_out_end_row(&out);
        }
        csv_out_rows(&out, "made,elsewhere\n", 15);
        check_ok(csv_out_finish(&out, "memory", &failure), &failure);
        fclose(file);
        expected = text_format("%s,7,%s,\"a, b\"\n%s,7,%s,\"a, b\"\nmade,elsewhere\n", long_one, long_one,
                               long_one, long_one);
        assert_string_equal(text, expected);
        free(expected);
        free(long_one);
        free(text);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_kind_of_field_has_its_form),
    cmocka_unit_test(texts_are_quoted_and_formulas_marked),
    cmocka_unit_test(a_full_disk_is_noticed_however_much_was_written),
    cmocka_unit_test(rows_of_any_length_arrive_whole),
};

const struct check_module test_exchange_csv_out = CHECK_MODULE("exchange/csv_out", tests);
