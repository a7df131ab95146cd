/* test_text.c - texts as a person sees them. */
#include <locale.h>
#include <stdlib.h>

#include "check.h"
#include "text.h"

static void
check_visible(const char *text, const char *expected)
{
    char *visible = text_visible(text);

    assert_string_equal(visible, expected);
    free(visible);
}

static void
harmful_characters_become_visible(void **state)
{
    (void)state;
    check_visible("oat bar, 5 % \xc3\xa9", "oat bar, 5 % \xc3\xa9");
    check_visible("a\x1b[31mb", "a\\x1b[31mb");
    check_visible("two\nlines\ttab\r", "two\\nlines\\ttab\\r");
    check_visible("\xe2\x80\xaeright to left", "\\u202eright to left");
    check_visible("\xc2\x9b"
                  "31m",
                  "\\x9b31m");
    check_visible("broken \xff\xc0\x80", "broken \\xff\\xc0\\x80");
    check_visible(NULL, "");
}

static void
utf8_is_checked_to_the_letter(void **state)
{
    (void)state;
    assert_true(text_is_utf8("pl\xc3\xa4in \xe2\x82\xac \xf0\x9f\xa7\xbc"));
    assert_false(text_is_utf8("\xc0\x80"));         /* overlong */
    assert_false(text_is_utf8("\xed\xa0\x80"));     /* surrogate */
    assert_false(text_is_utf8("\xf4\x90\x80\x80")); /* above U+10FFFF */
    assert_false(text_is_utf8("\xe2\x82"));         /* cut short */
}

static void
widths_are_columns(void **state)
{
    (void)state;
    setlocale(LC_CTYPE, "C.UTF-8");
    assert_int_equal(text_width("abc"), 3);
    assert_int_equal(text_width("\xc3\xa4"
                                "b"),
                     2);
    assert_int_equal(text_width("e\xcc\x81"), 1);    /* combining acute */
    assert_int_equal(text_width("\xe7\x9f\xb3"), 2); /* a wide character */
    assert_int_equal(text_fit("\xc3\xa4\xc3\xa4\xc3\xa4", 2), 4);
}

static void
near_words_are_found(void **state)
{
    static const char *const words[] = {"verdict", "trend", "titrate", "olive oil", "pH"};

    (void)state;
    assert_string_equal(text_nearest("verdcit", words, LENGTH(words)), "verdict");
    assert_string_equal(text_nearest("Tred", words, LENGTH(words)), "trend");
    assert_string_equal(text_nearest("oliv oil", words, LENGTH(words)), "olive oil");
    assert_null(text_nearest("zzzzzz", words, LENGTH(words)));
    assert_null(text_nearest("", words, LENGTH(words)));
}

static void
lines_split_into_words_as_in_a_shell(void **state)
{
    char line[] = "batch add  W-01 --title \"oat 'bar'\" --note='a # b' # a remark";
    char empty[] = "  # only a remark", *words[8];

    (void)state;
    assert_int_equal(text_split_words(line, words, LENGTH(words)), 6);
    assert_string_equal(words[1], "add");
    assert_string_equal(words[4], "oat 'bar'");
    assert_string_equal(words[5], "--note=a # b");
    assert_int_equal(text_split_words(empty, words, LENGTH(words)), 0);
    memcpy(line, "a b c d", 8);
    assert_int_equal(text_split_words(line, words, 3), 4);
}

static void
texts_grow(void **state)
{
    struct text text = {0};
    char *taken;

    (void)state;
    assert_string_equal(text_of(&text), "");
    for (int i = 0; i < 1000; i++)
        text_addf(&text, "%d,", i % 10);
    assert_int_equal(text.length, 2000);
    taken = text_take(&text);
    assert_int_equal(strlen(taken), 2000);
    free(taken);
    assert_string_equal(text_of(&text), "");
}

/* POSIX.1-2017, Shell Command Language, 2.2: within single quotes every character but ' stands for itself. */
static void
words_are_written_as_a_shell_takes_them(void **state)
{
    static const struct {
        const char *word, *typed;
    } known[] = {
        {"W-07", "W-07"},
        {"my soap", "'my soap'"},
        {"$HOME", "'$HOME'"},
        {"", "''"},
        {"Mai's bar", "'Mai'\\''s bar'"},
        {"oat;rm", "'oat;rm'"},
        {"Hafer\xc3\xb6l", "Hafer\xc3\xb6l"},
        /* POSIX.1-2024, 2.2.4, dollar-single-quotes */
        {"a\nb", "$'a\\nb'"},
        {"it's\x1b[1m", "$'it\\'s\\x1b[1m'"},
        {"a\\b\t", "$'a\\\\b\\t'"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        char *typed = text_as_typed(known[i].word);

        assert_string_equal(typed, known[i].typed);
        free(typed);
    }
}

/* Under tr_TR (tests/run.sh) strcasecmp() and tolower() say otherwise of i and I. */
static void
letters_are_those_of_ascii_in_every_locale(void **state)
{
    (void)state;
    assert_true(text_same("TITLE,distilled WIDTH", "title,DISTILLED width"));
    assert_true(text_same_start("LIME water", "lime", 4));
    assert_true(text_same_start("lime", "LIME", 40));
    assert_false(text_same_start("lime", "limes", 5));
    assert_false(text_same("\303\204", "\303\244")); /* the case of other letters counts */
    for (int byte = 0; byte < 256; byte++) {
        bool digit = byte >= 48 && byte <= 57, large = byte >= 65 && byte <= 90,
             small = byte >= 97 && byte <= 122;

        assert_int_equal(text_is_digit((char)byte), digit);
        assert_int_equal(text_is_letter((char)byte), large || small);
        assert_int_equal(text_is_blank((char)byte), byte == 32 || (byte >= 9 && byte <= 13));
        assert_int_equal((unsigned char)text_lower((char)byte), large ? byte + 32 : byte);
        assert_int_equal((unsigned char)text_upper((char)byte), small ? byte - 32 : byte);
    }
}

/* Default_Ignorable_Code_Point of Unicode 15 (DerivedCoreProperties.txt; from memory). */
static void
what_does_not_show_becomes_visible(void **state)
{
    static const struct {
        const char *text, *visible;
    } known[] = {
        {"a\302\255b", "a\\xadb"},                                /* soft hyphen */
        {"a\343\205\244b", "a\\u3164b"},                          /* Hangul filler */
        {"a\357\276\240b", "a\\uffa0b"},                          /* its half-width form */
        {"a\341\205\240b", "a\\u1160b"},                          /* Hangul jungseong filler */
        {"a\315\217b", "a\\u034fb"},                              /* combining grapheme joiner */
        {"a\341\240\216b", "a\\u180eb"},                          /* Mongolian vowel separator */
        {"a\360\235\205\263b", "a\\u1d173b"},                     /* musical begin beam */
        {"a\363\240\204\200b", "a\\ue0100b"},                     /* variation selector 17 */
        {"\342\235\244\357\270\217", "\342\235\244\357\270\217"}, /* a heart in colour stays one */
        {"\355\225\234", "\355\225\234"},                         /* Hangul */
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        char *visible = text_visible(known[i].text);

        assert_string_equal(visible, known[i].visible);
        free(visible);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(harmful_characters_become_visible),
    cmocka_unit_test(utf8_is_checked_to_the_letter),
    cmocka_unit_test(widths_are_columns),
    cmocka_unit_test(near_words_are_found),
    cmocka_unit_test(lines_split_into_words_as_in_a_shell),
    cmocka_unit_test(texts_grow),
    cmocka_unit_test(words_are_written_as_a_shell_takes_them),
    cmocka_unit_test(letters_are_those_of_ascii_in_every_locale),
    cmocka_unit_test(what_does_not_show_becomes_visible),
};

const struct check_module test_base_text = CHECK_MODULE("base/text", tests);
