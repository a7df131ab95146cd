/* test_flag.c - the short words beside a result. */
#include "check.h"
#include "flag.h"

static void
a_set_reads_as_its_words_joined_by_semicolons(void **state)
{
    uint64_t flags = 0;
    char *text = flag_text(flags);

    (void)state;
    assert_string_equal(text, "");
    free(text);
    flag_set(&flags, FLAG_BELOW_USUAL);
    flag_set(&flags, FLAG_METER_UNCHECKED);
    text = flag_text(flags);
    assert_string_equal(text, "meter-unchecked;below-usual");
    free(text);
}

static void
every_flag_has_a_word_of_its_own(void **state)
{
    char *words[FLAG_COUNT];

    (void)state;
    for (int flag = 0; flag < FLAG_COUNT; flag++) {
        words[flag] = flag_text(UINT64_C(1) << flag);
        assert_true(strlen(words[flag]) > 0);
        assert_null(strpbrk(words[flag], "; \","));
        for (int other = 0; other < flag; other++)
            assert_string_not_equal(words[flag], words[other]);
    }
    for (int flag = 0; flag < FLAG_COUNT; flag++)
        free(words[flag]);
}

static void
setting_a_flag_leaves_the_others_alone(void **state)
{
    uint64_t flags = 0;

    (void)state;
    flag_set(&flags, FLAG_DRIFT);
    flag_set(&flags, FLAG_DRIFT);
    for (int flag = 0; flag < FLAG_COUNT; flag++)
        assert_int_equal(flag_is_set(flags, (enum flag)flag), flag == FLAG_DRIFT);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_set_reads_as_its_words_joined_by_semicolons),
    cmocka_unit_test(every_flag_has_a_word_of_its_own),
    cmocka_unit_test(setting_a_flag_leaves_the_others_alone),
};

const struct check_module test_assess_flag = CHECK_MODULE("assess/flag", tests);
