/* test_policy.c - the maker's policy by name. */
#include "check.h"
#include "policy.h"

static void
check_value(const struct policy *policy, const char *name, const char *expected)
{
    for (size_t i = 0; i < POLICY_COUNT; i++) {
        char *value = policy_value_text(policy, i);

        if (strcmp(policy_name(i), name) == 0)
            assert_string_equal(value, expected);
        free(value);
    }
}

static void
defaults_are_those_of_the_page(void **state)
{
    struct policy policy;

    (void)state;
    policy_init(&policy);
    check_value(&policy, "checked-meter", "yes");
    check_value(&policy, "ages", "2");
    check_value(&policy, "deviations-explained", "yes");
    check_value(&policy, "titration", "no");
    check_value(&policy, "cure-days", "28");
    check_value(&policy, "calibration-days", "1");
    check_value(&policy, "window-days", "2");
}

static void
every_name_is_set_alone(void **state)
{
    (void)state;
    for (size_t i = 0; i < POLICY_COUNT; i++) {
        struct policy before, policy;
        struct failure failure = {0};
        char *old, *new;

        policy_init(&policy);
        before = policy;
        old = policy_value_text(&policy, i);
        check_ok(policy_set(&policy, policy_name(i),
                            strcmp(old, "yes") == 0                    ? "NO"
                            : strcmp(old, "no") == 0                   ? "yes"
                            : strcmp(policy_name(i), "cure-days") == 0 ? "40"
                                                                       : "7",
                            &failure),
                 &failure);
        new = policy_value_text(&policy, i);
        assert_string_not_equal(old, new);
        for (size_t k = 0; k < POLICY_COUNT; k++) {
            char *was = policy_value_text(&before, k), *is = policy_value_text(&policy, k);

            if (k != i)
                assert_string_equal(was, is);
            free(was);
            free(is);
        }
        assert_true(*policy_help(i) != '\0');
        free(old);
        free(new);
    }
}

static void
wrong_values_are_refused_and_change_nothing(void **state)
{
    static const struct {
        const char *name, *value;
        enum status status;
        const char *text;
    } bad[] = {
        {"ages", "11", STATUS_RANGE, "ages is 11, allowed is 0 to 10"},
        {"ages", "-1", STATUS_RANGE, "allowed is 0 to 10"},
        {"ages", "1.5", STATUS_FORMAT, "expected a whole number"},
        {"ages", "two", STATUS_FORMAT, "not a number"},
        {"titration", "maybe", STATUS_FORMAT, "allowed are yes and no"},
        {"agess", "2", STATUS_MISSING, "did you mean 'ages'?"},
        {"colour", "2", STATUS_MISSING, "the policy has no 'colour'"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct policy policy;
        struct failure failure = {0};

        policy_init(&policy);
        check_refused(policy_set(&policy, bad[i].name, bad[i].value, &failure), bad[i].status, &failure);
        check_contains(failure.text, bad[i].text);
        assert_int_equal(policy.ages, 2);
    }
}

static void
a_cure_shorter_than_28_days_on_record_is_read_as_28(void **state)
{
    struct policy policy;
    struct failure failure = {0};

    (void)state;
    policy_init(&policy);
    check_ok(policy_set(&policy, "cure-days", "0", &failure), &failure);
    assert_int_equal(policy.cure_days, 28);
    check_ok(policy_set(&policy, "cure-days", "27", &failure), &failure);
    assert_int_equal(policy.cure_days, 28);
    check_ok(policy_set(&policy, "cure-days", "29", &failure), &failure);
    assert_int_equal(policy.cure_days, 29);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_cure_shorter_than_28_days_on_record_is_read_as_28),
    cmocka_unit_test(defaults_are_those_of_the_page),
    cmocka_unit_test(every_name_is_set_alone),
    cmocka_unit_test(wrong_values_are_refused_and_change_nothing),
};

const struct check_module test_assess_policy = CHECK_MODULE("assess/policy", tests);
