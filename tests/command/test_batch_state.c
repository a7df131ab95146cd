/* test_batch_state.c - "batch hold|release|discard" and "policy". */
#include "check.h"
#include "kitchen.h"

static const char sound[] = "--acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
                            "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.56";

static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed == 0) {
        kitchen_do(*state, "batch add W-07 --made 2026-05-02");
        kitchen_do(*state, "gear add scale --kind balance --readability-g 0.01");
    }
    return failed;
}

/* Titrate a sound batch at a moment. */
static void
titrate(struct kitchen *kitchen, const char *at)
{
    char line[400];

    snprintf(line, sizeof line, "titrate W-07 %s --at %s", sound, at);
    kitchen_do(kitchen, line);
}

static void
release_needs_the_evidence_of_the_policy(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch release W-07", "W-07 is not released; --override with --why");
    assert_string_equal(kitchen->err, "Missing of what the policy asks (3 of 4):\n"
                                      "  - the latest verdict is within (not tested yet)\n"
                                      "  - on a checked meter, or by titration (not tested yet)\n"
                                      "  - within at enough different ages (0, asked are 2)\n");
    check_lacks(kitchen->failure.text, "within"); /* each thing is said once */
    titrate(kitchen, "2026-05-20T10:00");
    kitchen_refuses(kitchen, "batch release W-07", "W-07 is not released");
    assert_string_equal(kitchen->err, "Missing of what the policy asks (1 of 4):\n"
                                      "  - within at enough different ages (1, asked are 2)\n");
    titrate(kitchen, "2026-05-30T10:00");
    kitchen_do(kitchen, "batch release W-07");
    check_contains(kitchen->out, "yes  within at enough different ages (2, asked are 2)");
    check_contains(kitchen->out, "W-07 is released now: the evidence that the policy asks for is there");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "state      released\n");
    check_contains(kitchen->out, "within: 0.020 +/-");
    check_lacks(kitchen->out, "OVERRIDE");
    kitchen_refuses(kitchen, "batch release W-07", "the batch is released: it cannot be released");
}

static void
an_override_needs_a_reason_and_is_shown_for_ever(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch release W-07 --override", "an override needs a reason");
    kitchen_do(kitchen, "batch release W-07 --override --why 'for my own sink only'");
    check_contains(kitchen->out, "W-07 is released now, by override: for my own sink only");
    kitchen_do(kitchen, "batch hold W-07 --why 'second thoughts'");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "released BY OVERRIDE: for my own sink only");
    check_contains(kitchen->out, "the latest verdict is within: no");
    check_contains(kitchen->out, "held: second thoughts");
}

static void
a_bad_result_takes_a_release_back(void **state)
{
    struct kitchen *kitchen = *state;

    titrate(kitchen, "2026-05-20T10:00");
    titrate(kitchen, "2026-05-30T10:00");
    kitchen_do(kitchen, "batch release W-07");
    kitchen_do(kitchen, "titrate W-07 --soap-g 10 --acid-mol-l 0.1 --volume-ml 25");
    check_contains(kitchen->out, "W-07 is held now");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "held");
}

static void
hold_and_discard_ask_why(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch hold W-07", "why? the record keeps the reason");
    kitchen_refuses(kitchen, "batch discard W-07", "why? the record keeps the reason");
    kitchen_do(kitchen, "batch hold W-07 --why 'white crystals'");
    check_contains(kitchen->out, "never taste-test");
    kitchen_refuses(kitchen, "batch hold W-07 --why again", "the batch is held: it cannot be held");
    kitchen_do(kitchen, "batch discard W-07 --why 'thrown away'");
    kitchen_refuses(kitchen, "batch release W-07 --override --why please",
                    "the batch is discarded: it cannot be released");
    kitchen_refuses(kitchen, "batch discard W-07 --why again", "it cannot be discarded");
}

static void
the_policy_is_shown_and_set(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "policy");
    check_contains(kitchen->out, "ages                    2  at how many different ages it was within");
    kitchen_do(kitchen, "policy cure-days 28 --why 'four weeks for every bar'");
    check_contains(kitchen->out, "cure-days              28");
    kitchen_do(kitchen, "policy ages 1");
    kitchen_do(kitchen, "policy --csv");
    check_contains(kitchen->out, "name,value,meaning\nchecked-meter,yes,");
    check_contains(kitchen->out, "\nages,1,");
    check_contains(kitchen->out, "\ncure-days,28,");
    titrate(kitchen, "2026-05-20T10:00");
    kitchen_do(kitchen, "batch release W-07"); /* 30 days old, one age */
    kitchen_refuses(kitchen, "policy ages", "expected a name and a value");
    kitchen_refuses(kitchen, "policy ages many", "ages");
    kitchen_refuses(kitchen, "policy colour red", "the policy has no 'colour'");
}

int
main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test_setup_teardown(release_needs_the_evidence_of_the_policy, furnish, kitchen_close),
        cmocka_unit_test_setup_teardown(an_override_needs_a_reason_and_is_shown_for_ever, furnish,
                                        kitchen_close),
        cmocka_unit_test_setup_teardown(a_bad_result_takes_a_release_back, furnish, kitchen_close),
        cmocka_unit_test_setup_teardown(hold_and_discard_ask_why, furnish, kitchen_close),
        cmocka_unit_test_setup_teardown(the_policy_is_shown_and_set, furnish, kitchen_close),
    };

    return check_run("command/batch_state", tests);
}
