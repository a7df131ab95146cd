/* test_observation.c - what may be seen or said in a sitting. */
#include "check.h"
#include "observation.h"

static struct observation
seen(enum observation_kind kind, char *word, double value)
{
    struct observation observation;

    observation_init(&observation);
    observation.kind = kind;
    observation.word = word;
    observation.value = value;
    return observation;
}

static void
each_kind_takes_its_own_words(void **state)
{
    char distilled[] = "distilled", weeping[] = "weeping", soap[] = "soap", spot[] = "spot", tap[] = "tap";
    struct observation good[] = {
        seen(OBSERVATION_WATER, distilled, NAN),  seen(OBSERVATION_LOOK, weeping, NAN),
        seen(OBSERVATION_UNDISSOLVED, soap, NAN), seen(OBSERVATION_CUT, spot, NAN),
        seen(OBSERVATION_WATER_PH, NULL, 0.0),    seen(OBSERVATION_WATER_PH, NULL, 14.0),
    };
    struct observation bad[] = {
        seen(OBSERVATION_WATER, weeping, NAN),    seen(OBSERVATION_WATER, tap, NAN),
        seen(OBSERVATION_WATER, distilled, 7.0),  seen(OBSERVATION_WATER, NULL, NAN),
        seen(OBSERVATION_WATER_PH, tap, NAN),     seen(OBSERVATION_WATER_PH, tap, 7.0),
        seen(OBSERVATION_UNDISSOLVED, spot, NAN),
    };
    struct observation far[] = {seen(OBSERVATION_WATER_PH, NULL, 14.01),
                                seen(OBSERVATION_WATER_PH, NULL, -0.01)};
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(good); i++) {
        check_ok(observation_check(&good[i], &failure), &failure);
        assert_true(observation_stands(&good[i]));
    }
    for (size_t i = 0; i < LENGTH(bad); i++)
        check_refused(observation_check(&bad[i], &failure), STATUS_FORMAT, &failure);
    for (size_t i = 0; i < LENGTH(far); i++)
        check_refused(observation_check(&far[i], &failure), STATUS_RANGE, &failure);
}

static void
what_replaces_says_why_and_may_take_back(void **state)
{
    char why[] = "misheard", other[] = "other";
    struct observation back = seen(OBSERVATION_WATER, NULL, NAN),
                       replaced = seen(OBSERVATION_WATER, other, NAN);
    struct failure failure = {0};

    (void)state;
    back.supersedes = 3;
    check_refused(observation_check(&back, &failure), STATUS_FORMAT, &failure);
    back.why = why;
    check_ok(observation_check(&back, &failure), &failure);
    assert_false(observation_stands(&back));
    replaced.superseded_by = 4;
    assert_false(observation_stands(&replaced));
}

static void
words_can_be_offered_and_explained(void **state)
{
    const char *const *words = NULL;
    enum observation_kind kind;
    struct failure failure = {0};

    (void)state;
    for (int k = OBSERVATION_WATER; k <= OBSERVATION_CUT; k++) {
        size_t count = observation_words((enum observation_kind)k, &words);

        for (size_t i = 0; i < count; i++)
            assert_non_null(observation_word_text((enum observation_kind)k, words[i]));
        check_ok(observation_kind_parse(observation_kind_word((enum observation_kind)k), &kind, &failure),
                 &failure);
        assert_int_equal(kind, k);
    }
    assert_null(observation_word_text(OBSERVATION_WATER, "weeping"));
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(each_kind_takes_its_own_words),
    cmocka_unit_test(what_replaces_says_why_and_may_take_back),
    cmocka_unit_test(words_can_be_offered_and_explained),
};

const struct check_module test_record_observation = CHECK_MODULE("record/observation", tests);
