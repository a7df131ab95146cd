/* test_typed.c - what a question takes from a person. */
#include "check.h"
#include "typed.h"

static struct typed
asked(const struct question *question)
{
    return (struct typed){
        .question = question, .before_c = NAN, .value = NAN, .value_high = NAN, .temperature_c = NAN};
}

static void
enter_repeats_a_temperature_that_is_offered_and_no_other(void **state)
{
    static const struct step step = {.kind = STEP_PH, .records = RECORDS_READING, .replicates = 3};
    const struct question question = {
        .step = &step, .part = QUESTION_TEMPERATURE, .replicate = 2, .reading = 2};
    struct typed typed = asked(&question);
    struct failure failure = {0};

    (void)state;
    check_refused(typed_take("", &typed, &failure), STATUS_FORMAT, &failure);
    assert_true(isnan(typed.value));
    typed.before_c = 40.1;
    check_ok(typed_take("", &typed, &failure), &failure);
    check_close(typed.value, 40.1, 0, "the temperature before");
    check_ok(typed_take("39,8", &typed, &failure), &failure);
    check_close(typed.value, 39.8, 0, "as typed");
    typed.correcting = true;
    check_ok(typed_take("", &typed, &failure), &failure);
    assert_true(typed.keep);
}

static void
calibrate_is_a_choice_only_where_it_is_offered(void **state)
{
    static char checked[] = "checked", not_checked[] = "not checked";
    static char *items[] = {checked, not_checked};
    static const struct step step = {
        .kind = STEP_CHOICE, .records = RECORDS_METER_CHECK, .replicates = 1, .choices = {items, 2}};
    const struct question question = {.step = &step, .replicate = 1};
    struct typed typed = asked(&question);
    struct failure failure = {0};

    (void)state;
    check_ok(typed_take("c", &typed, &failure), &failure);
    assert_int_equal(typed.choice, 0);
    check_refused(typed_take("calibrate", &typed, &failure), STATUS_FORMAT, &failure);
    typed.can_calibrate = true;
    check_refused(typed_take("c", &typed, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "'c' could be checked or calibrate: one more letter");
    check_ok(typed_take("n", &typed, &failure), &failure);
    assert_true(typed.choice == 1 && !typed.calibrate);
    check_ok(typed_take("ca", &typed, &failure), &failure);
    assert_true(typed.calibrate);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(enter_repeats_a_temperature_that_is_offered_and_no_other),
    cmocka_unit_test(calibrate_is_a_choice_only_where_it_is_offered),
};

const struct check_module test_procedure_typed = CHECK_MODULE("procedure/typed", tests);
