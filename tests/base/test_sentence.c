/* test_sentence.c - what is to be said, as a list. */
#include "check.h"
#include "sentence.h"

static void
sentences_keep_their_kind_and_order(void **state)
{
    struct sentences list = {0};

    (void)state;
    assert_null(sentences_find(&list, SENTENCE_NEXT));
    sentences_add(&list, SENTENCE_HEADING, "P-01: within");
    sentences_addf(&list, SENTENCE_REASON, "pH %.2f", 9.9);
    sentences_add(&list, SENTENCE_REASON, "one cup");
    assert_int_equal(list.count, 3);
    assert_int_equal(list.items[0].kind, SENTENCE_HEADING);
    assert_string_equal(sentences_find(&list, SENTENCE_REASON)->text, "pH 9.90");
    assert_string_equal(list.items[2].text, "one cup");
    sentences_clear(&list);
    assert_int_equal(list.count, 0);
}

static void
a_next_step_has_its_command_as_words(void **state)
{
    static const char *const words[] = {"titrate", "P 01", NULL};
    struct sentences list = {0}, more = {0};
    const struct sentence *next;

    (void)state;
    sentences_add(&list, SENTENCE_PLAIN, "first");
    sentences_next(&more, words, "keep %s held and titrate a portion", "P 01");
    sentences_next(&more, NULL, "let it cure on");
    sentences_append(&list, &more);
    assert_int_equal(more.count, 0);
    assert_int_equal(list.count, 3);
    next = sentences_find(&list, SENTENCE_NEXT);
    assert_string_equal(next->text, "keep P 01 held and titrate a portion");
    assert_int_equal(next->word_count, 2);
    assert_string_equal(next->words[1], "P 01");
    assert_null(list.items[2].words);
    sentences_clear(&list);
    sentences_clear(&more);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(sentences_keep_their_kind_and_order),
    cmocka_unit_test(a_next_step_has_its_command_as_words),
};

const struct check_module test_base_sentence = CHECK_MODULE("base/sentence", tests);
