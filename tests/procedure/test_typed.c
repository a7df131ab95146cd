/* test_typed.c - what a question takes from a person. */
#include "check.h"
#include "typed.h"

static enum status
take(const struct question *question, double before_c, const char *words, struct answer *answer)
{
    struct failure failure = {0};

    const struct typed_beside beside = {NULL, before_c, NAN};

    answer_init(answer);
    return typed_take(question, &beside, words, answer, &failure);
}

static void
enter_repeats_a_temperature_that_is_offered_and_no_other(void **state)
{
    static const struct step step = {.kind = STEP_PH, .records = RECORDS_READING, .replicates = 3};
    const struct question question = {
        .step = &step, .standing = STANDING_TEMPERATURE, .replicate = 2, .reading = 2};
    struct answer answer;

    (void)state;
    assert_int_equal(take(&question, NAN, "", &answer), STATUS_FORMAT);
    assert_true(isnan(answer.temperature_c));
    assert_int_equal(take(&question, 40.1, "", &answer), STATUS_OK);
    check_close(answer.temperature_c, 40.1, 0, "the temperature before");
    assert_int_equal(take(&question, 40.1, "39,8", &answer), STATUS_OK);
    check_close(answer.temperature_c, 39.8, 0, "as typed");
    assert_true(isnan(answer.value)); /* it is the other half */
}

static void
yes_and_no_mean_what_should_be_and_what_should_not(void **state)
{
    static char checked[] = "checked", not_checked[] = "not checked", third[] = "perhaps";
    static char *items[] = {not_checked, checked, third};
    static const struct {
        const char *typed, *meant;
    } known[] = {{"yes", checked},     {"Y", checked},        {"ok", checked}, {"no", not_checked},
                 {"n", not_checked},   {"nope", not_checked}, {"ch", checked}, {"not checked", not_checked},
                 {"not", not_checked}, {"YEAH", checked}};
    struct step step = {
        .kind = STEP_CHOICE, .replicates = 1, .choices = {items, 2}, .expected = {items + 1, 1}};
    const struct question question = {.step = &step, .replicate = 1};
    struct answer answer;

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        assert_int_equal(take(&question, NAN, known[i].typed, &answer), STATUS_OK);
        assert_string_equal(answer.text, known[i].meant);
        answer_clear(&answer);
    }
    step.choices.count = 3; /* then they could mean either of two */
    assert_int_equal(take(&question, NAN, "yes", &answer), STATUS_FORMAT);
    step.choices.count = 2;
    step.expected.count = 0;
    assert_int_equal(take(&question, NAN, "yes", &answer), STATUS_FORMAT);
}

/* Choices as the procedures that come with the program have them; what people type is common practice, no source. */
static void
usual_words_mean_the_choice(void **state)
{
    static char distilled[] = "distilled", deionised[] = "deionised", other[] = "other", clear[] = "clear",
                cloudy[] = "cloudy", residue[] = "residue", undissolved[] = "undissolved soap",
                gelled[] = "gelled", nothing[] = "nothing of it", weeping[] = "weeping",
                white[] = "white pockets or streaks", orange[] = "orange spots";
    static char *waters[] = {distilled, deionised, other},
                *solutions[] = {clear, cloudy, residue, undissolved, gelled},
                *titrated[] = {clear, residue, undissolved}, *looks[] = {nothing, weeping, white, orange};
    static const struct step water = {.kind = STEP_CHOICE,
                                      .records = RECORDS_WATER_KIND,
                                      .replicates = 1,
                                      .choices = {waters, LENGTH(waters)}},
                             solution = {.kind = STEP_CHOICE,
                                         .records = RECORDS_UNDISSOLVED,
                                         .replicates = 1,
                                         .choices = {solutions, LENGTH(solutions)}},
                             flask = {.kind = STEP_CHOICE,
                                      .records = RECORDS_UNDISSOLVED,
                                      .replicates = 1,
                                      .choices = {titrated, LENGTH(titrated)}},
                             look = {.kind = STEP_CHOICE,
                                     .records = RECORDS_BAR_LOOK,
                                     .replicates = 1,
                                     .choices = {looks, LENGTH(looks)}};
    static const struct {
        const struct step *step;
        const char *typed, *kept; /* NULL: refused */
    } known[] = {
        {&water, "tap", other},
        {&water, "Tap Water", other},
        {&water, "deionized", deionised},
        {&water, "beer", NULL},
        {&solution, "milky", cloudy},
        {&solution, "salt", residue},
        {&solution, "bits", undissolved},
        {&solution, "jelly", gelled},
        {&flask, "milky", NULL},
        {&flask, "clay", residue},
        {&look, "soda ash, wet", "white pockets or streaks, weeping"},
        {&look, "fine", nothing},
        {&look, "dos", orange},
        {&look, "crumbly", NULL},
        {&look, "fine, wet", NULL},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        const struct question question = {.step = known[i].step, .replicate = 1};
        struct answer answer;

        assert_int_equal(take(&question, NAN, known[i].typed, &answer),
                         known[i].kept == NULL ? STATUS_FORMAT : STATUS_OK);
        if (known[i].kept != NULL)
            assert_string_equal(answer.text, known[i].kept);
        answer_clear(&answer);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(usual_words_mean_the_choice),
    cmocka_unit_test(enter_repeats_a_temperature_that_is_offered_and_no_other),
    cmocka_unit_test(yes_and_no_mean_what_should_be_and_what_should_not),
};

const struct check_module test_procedure_typed = CHECK_MODULE("procedure/typed", tests);
