/* test_problems.c - everything that is wrong with a file. */
#include "problems.h"

#include "check.h"

static void
add(struct problems *problems, int count)
{
    for (int i = 1; i <= count; i++) {
        struct failure failure = {0};

        failure_set(&failure, i == 1 ? STATUS_RANGE : STATUS_FORMAT, "spring.csv:%d: wrong", i + 1);
        problems_add(problems, &failure);
    }
}

static void
none_is_success(void **state)
{
    struct problems problems = {0};
    struct failure failure = {0};

    (void)state;
    check_ok(problems_status(&problems, &failure), &failure);
    problems_clear(&problems);
}

static void
one_speaks_for_itself_and_several_are_counted(void **state)
{
    struct problems problems = {0};
    struct failure failure = {0};

    (void)state;
    add(&problems, 1);
    check_refused(problems_status(&problems, &failure), STATUS_RANGE, &failure);
    assert_string_equal(failure.text, "spring.csv:2: wrong");
    add(&problems, 2);
    check_refused(problems_status(&problems, &failure), STATUS_RANGE, &failure);
    assert_string_equal(failure.text, "3 problems, the first: spring.csv:2: wrong");
    problems_clear(&problems);
    assert_int_equal(problems.count, 0);
}

static void
twenty_are_printed_and_the_rest_counted(void **state)
{
    struct problems problems = {0};
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);

    (void)state;
    add(&problems, 23);
    problems_print(&problems, out);
    fclose(out);
    check_contains(text, "spring.csv:21: wrong\nand 3 more\n");
    check_lacks(text, "spring.csv:22");
    free(text);
    problems_clear(&problems);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(none_is_success),
    cmocka_unit_test(one_speaks_for_itself_and_several_are_counted),
    cmocka_unit_test(twenty_are_printed_and_the_rest_counted),
};

const struct check_module test_exchange_problems = CHECK_MODULE("exchange/problems", tests);
