/* test_listing.c - tables and paragraphs for people. */
#include <stdlib.h>

#include "check.h"
#include "listing.h"

static char *printed;
static size_t printed_size;

/* A stream whose text is in `printed` once it is closed. */
static FILE *
paper(void)
{
    free(printed);
    printed = NULL;
    return open_memstream(&printed, &printed_size);
}

static void
columns_line_up_and_rows_end_without_blanks(void **state)
{
    struct listing listing = {0};
    FILE *out = paper();

    (void)state;
    listing_column(&listing, "name", LISTING_LEFT);
    listing_column(&listing, "g", LISTING_RIGHT);
    listing_column(&listing, "note", LISTING_FLEXIBLE);
    listing_cell(&listing, "olive oil");
    listing_cellf(&listing, "%.1f", 500.0);
    listing_cell(&listing, "a\tb");
    listing_cell(&listing, "lye");
    listing_cellf(&listing, "%.1f", 64.5);
    listing_cell(&listing, NULL);
    listing_print(&listing, out, 80);
    fclose(out);
    assert_string_equal(printed, "name           g  note\n"
                                 "olive oil  500.0  a\\tb\n"
                                 "lye         64.5\n");
    listing_clear(&listing);
}

static void
a_wrapped_column_loses_nothing(void **state)
{
    struct listing listing = {0};
    FILE *out = paper();

    (void)state;
    listing_column(&listing, "code", LISTING_LEFT);
    listing_column(&listing, "why", LISTING_WRAPPED);
    listing_cell(&listing, "W-07");
    listing_cell(&listing, "white crystals, and a spot that weeps");
    listing_cell(&listing, "W-08");
    listing_cell(&listing, "short");
    listing_print(&listing, out, 30);
    fclose(out);
    assert_string_equal(printed, "code  why\n"
                                 "W-07  white crystals, and a\n"
                                 "      spot that weeps\n"
                                 "W-08  short\n");
    listing_clear(&listing);
}

static void
the_flexible_column_gives_way(void **state)
{
    struct listing listing = {0};
    FILE *out = paper();

    (void)state;
    listing_column(&listing, "code", LISTING_LEFT);
    listing_column(&listing, "title", LISTING_FLEXIBLE);
    listing_cell(&listing, "W-07");
    listing_cell(&listing, "a very long title of a bar");
    listing_print(&listing, out, 20);
    fclose(out);
    assert_string_equal(printed, "code  title\nW-07  a very long...\n");
    listing_clear(&listing);
}

static void
long_lines_are_broken_and_short_ones_kept(void **state)
{
    FILE *out = paper();

    (void)state;
    listing_lines(out, 20, "a  table   row\n  one two three four five six\nend\n");
    fclose(out);
    assert_string_equal(printed, "a  table   row\n  one two three four\n    five six\nend\n");
}

static void
every_line_of_a_paragraph_is_as_wide(void **state)
{
    FILE *out = paper();

    (void)state;
    fputs("    ", out);
    listing_paragraph(out, 10, 4, "one two three four five six");
    fclose(out);
    assert_string_equal(printed, "    one two\n    three four\n    five six\n");
}

static int
forget_what_was_printed(void **state)
{
    (void)state;
    free(printed);
    printed = NULL;
    return 0;
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_line_of_a_paragraph_is_as_wide),
    cmocka_unit_test(columns_line_up_and_rows_end_without_blanks),
    cmocka_unit_test(a_wrapped_column_loses_nothing),
    cmocka_unit_test(the_flexible_column_gives_way),
    cmocka_unit_test(long_lines_are_broken_and_short_ones_kept),
};

const struct check_module test_base_listing = {
    .name = "base/listing", .tests = tests, .count = LENGTH(tests), .tear_down = forget_what_was_printed};
