/* test_known_rows.c - a reference row that the program would not know stops the build. */
#include "check.h"
#include "known_rows.h"

static void
every_row_of_ours_is_known(void **state)
{
    struct failure failure = {0};

    (void)state;
    check_ok(known_rows_buffers(table_buffers, table_buffers_length, &failure), &failure);
    check_ok(known_rows_acids(table_acid_constants, table_acid_constants_length, &failure), &failure);
}

static void
a_row_without_a_name_in_the_program_is_refused(void **state)
{
    static const struct buffer_row buffers[] = {{"borax", 25.0, 9.18, "x", "use"},
                                                {"ammonia", 25.0, 9.5, "x", "use"}};
    static const struct acid_constant_row acid = {"malic", 1, 3.4, 0.0, "x"},
                                          step = {"acetic", 2, 5.0, 0.0, "x"};
    struct failure failure = {0};

    (void)state;
    check_ok(known_rows_buffers(buffers, 1, &failure), &failure);
    check_refused(known_rows_buffers(buffers, 2, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "'ammonia'");
    check_contains(failure.text, "science/buffer.c");
    check_refused(known_rows_acids(&acid, 1, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "'malic'");
    check_refused(known_rows_acids(&step, 1, &failure), STATUS_MISSING, &failure);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(every_row_of_ours_is_known),
    cmocka_unit_test(a_row_without_a_name_in_the_program_is_refused),
};

const struct check_module test_tools_known_rows = CHECK_MODULE("tools/known_rows", tests);
