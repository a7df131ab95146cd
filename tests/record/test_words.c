/* test_words.c - names that people type and read show as themselves. */
#include <string.h>

#include "check.h"
#include "words.h"

static void
names_show_as_themselves(void **state)
{
    static const struct {
        const char *name;
        enum status status;
    } names[] = {
        {"W-07", STATUS_OK},
        {"oat bar", STATUS_OK},
        {"$(touch x)", STATUS_OK}, /* odd, and as harmless as any other text */
        {"Seife f\303\274r H\303\244nde", STATUS_OK},
        {"\346\237\232\345\255\220", STATUS_OK}, /* yuzu */
        {"-W", STATUS_FORMAT},
        {" W", STATUS_FORMAT},
        {"W ", STATUS_FORMAT},
        {"W\n07", STATUS_FORMAT},
        {"W\033[31m", STATUS_FORMAT},
        {"W\342\200\256", STATUS_FORMAT}, /* U+202E, right-to-left override */
        {"W\342\200\213", STATUS_FORMAT}, /* U+200B, zero-width space */
        {"W\302\255", STATUS_FORMAT},     /* U+00AD, soft hyphen */
        {"W\343\205\244", STATUS_FORMAT}, /* U+3164, Hangul filler */
        {"W\357\276\240", STATUS_FORMAT}, /* U+FFA0, halfwidth Hangul filler */
        {"W\341\205\237", STATUS_FORMAT}, /* U+115F, Hangul choseong filler */
        {"W\315\217", STATUS_FORMAT},     /* U+034F, combining grapheme joiner */
        {"W\302\240"
         "07",
         STATUS_FORMAT},                  /* U+00A0, no-break space */
        {"W\342\240\200", STATUS_FORMAT}, /* U+2800, a pattern of no dots */
        {"W\357\270\217", STATUS_FORMAT}, /* U+FE0F, variation selector */
        {"W\377", STATUS_FORMAT},         /* no UTF-8 */
        {"12345678901", STATUS_RANGE},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(names); i++) {
        struct failure failure = {0};
        size_t longest = names[i].status == STATUS_RANGE ? 10 : 40;
        enum status status = words_check_name("code", names[i].name, longest, &failure);

        if (status != names[i].status)
            fail_msg("name %zu '%s': status %d", i, names[i].name, (int)status);
        if (status != STATUS_OK)
            assert_int_equal(strncmp(failure.text, "code '", 6), 0);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(names_show_as_themselves),
};

const struct check_module test_record_words = CHECK_MODULE("record/words", tests);
