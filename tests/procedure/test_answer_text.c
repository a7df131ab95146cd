/* test_answer_text.c - what tired people with gloves on type. */
#include "answer_text.h"
#include "check.h"

static void
a_ph_may_bring_its_temperature(void **state)
{
    static const struct {
        const char *text;
        double ph, temperature_c;
    } known[] = {
        {"9.87", 9.87, NAN},
        {"9,87", 9.87, NAN},
        {"9,87 40,1", 9.87, 40.1},
        {"9.87  40.1C", 9.87, 40.1},
        {"9.87\t104 F", 9.87, 40.0},
        {"0", 0, NAN},
        {"14", 14, NAN},
        {"11.6 pH", 11.6, NAN},
        {"pH 11,6", 11.6, NAN},
        {"11.6pH 40", 11.6, 40.0},
        {"11 ph 104F", 11.0, 40.0},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        double ph = NAN, temperature_c = 1;

        check_ok(answer_text_ph(known[i].text, &ph, &temperature_c, &failure), &failure);
        check_close(ph, known[i].ph, 0, "as typed");
        if (isnan(known[i].temperature_c))
            assert_true(isnan(temperature_c));
        else
            check_close(temperature_c, known[i].temperature_c, 0.005, "as typed; 104 F is 40 degC");
    }
}

static void
a_ph_that_cannot_be_is_refused(void **state)
{
    static const struct {
        const char *text, *part;
    } bad[] = {
        {"15", "a pH of 15 cannot be, allowed is 0 to 14"},
        {"-1", "allowed is 0 to 14"},
        {"987", "a pH of 987 cannot be"},
        {"nine", "'nine' is not a number"},
        {"", "a number is missing"},
        {"9, 87", "no blank behind the decimal sign"}, /* would be pH 9 at 87 degC */
        {"11 38", "'11 38': write the pH with its decimals, as in 11.00 38, or one number as in 11,38"},
        {"9 40,1", "write the pH with its decimals, as in 9.00 40,1"},
        {"9.87 200", "200 degC cannot be, allowed is 0 to 100 degC"},
        {"9.87 warm", "warm"},
        {"9.8.7", "is not a number"},
        {"nan", "is not a number"},
        {"9.87 %", "'9.87 %' is no pH"},
        {"9.87%", "unit '%' does not fit, allowed is pH"},
        {"pH", "a number is missing"},
        {"9.87 pH warm", "warm"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct failure failure = {0};
        double ph = 1, temperature_c = 2;

        assert_true(answer_text_ph(bad[i].text, &ph, &temperature_c, &failure) != STATUS_OK);
        check_contains(failure.text, bad[i].part);
        assert_true(ph == 1 && temperature_c == 2);
    }
}

static void
values_are_no_words(void **state)
{
    static const char *const values[] = {"1.03g", "1,03 g", "9.87",  "9,87 40,1", "8..9 pH",
                                         "104F",  "1 %",    "5 min", "pH 9.87",   "25.05 mL"};
    static const char *const words[] = {
        "", "scale drifts", "2 drops spilled", "1.03g was typed", "g", "pH", "-", "0x"};

    (void)state;
    for (size_t i = 0; i < LENGTH(values); i++)
        assert_true(answer_text_is_value(values[i]));
    for (size_t i = 0; i < LENGTH(words); i++)
        assert_false(answer_text_is_value(words[i]));
}

static void
masses_volumes_and_temperatures_have_their_bounds(void **state)
{
    struct failure failure = {0};
    double value = NAN;

    (void)state;
    check_ok(answer_text_mass("1,03 g", 10000, &value, &failure), &failure);
    check_close(value, 1.03, 0, "as typed");
    check_ok(answer_text_mass("1 oz", 10000, &value, &failure), &failure);
    check_close(value, 28.349523125, 1e-9, "international avoirdupois ounce");
    check_refused(answer_text_mass("0", 10000, &value, &failure), STATUS_RANGE, &failure);
    check_refused(answer_text_mass("10001", 10000, &value, &failure), STATUS_RANGE, &failure);
    check_refused(answer_text_mass("a lot", 10000, &value, &failure), STATUS_FORMAT, &failure);
    check_ok(answer_text_volume("1,25 mL", 1000, NAN, &value, &failure), &failure);
    check_close(value, 1.25, 0, "as typed");
    check_ok(answer_text_volume("0", 1000, NAN, &value, &failure), &failure);
    check_refused(answer_text_volume("-0.1", 1000, NAN, &value, &failure), STATUS_RANGE, &failure);
    check_refused(answer_text_volume("1001", 1000, NAN, &value, &failure), STATUS_RANGE, &failure);
    check_ok(answer_text_concentration("0.1 mol/L", &value, &failure), &failure);
    check_close(value, 0.1, 0, "as typed");
    check_refused(answer_text_concentration("0", &value, &failure), STATUS_RANGE, &failure);
    check_refused(answer_text_concentration("2.1", &value, &failure), STATUS_RANGE, &failure);
    check_refused(answer_text_concentration("0.0009", &value, &failure), STATUS_RANGE, &failure);
    check_ok(answer_text_temperature("104F", &value, &failure), &failure);
    check_close(value, 40.0, 0.005, "104 F is 40 degC");
    check_refused(answer_text_temperature("9,92 40,2", &value, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "only the temperature here, as in 40,2 or 104F");
    check_refused(answer_text_temperature("200", &value, &failure), STATUS_RANGE, &failure);
    check_refused(answer_text_temperature("-1", &value, &failure), STATUS_RANGE, &failure);
    check_refused(answer_text_temperature("warm", &value, &failure), STATUS_FORMAT, &failure);
}

static void
make_paper(struct gear *paper)
{
    struct failure failure = {0};

    gear_init(paper, GEAR_PAPER);
    paper->name = memory_copy("strips");
    check_ok(gear_parse_steps(paper, "7,7.5,8,9,10,11", &failure), &failure);
}

static void
paper_lies_between_printed_steps(void **state)
{
    static const struct {
        const char *text;
        double low, high, temperature_c;
    } known[] = {
        {"8..9", 8, 9, NAN},
        {"8-9", 8, 9, NAN},
        {"9 - 8", 8, 9, NAN},
        {"8 to 9", 8, 9, NAN},
        {"7,5..8", 7.5, 8, NAN},
        {"8..9 40", 8, 9, 40},
        /* one step is a range of itself: half of 7.5 to 8 below, half of 8 to 9 above; at the ends as on the other side */
        {"8", 7.75, 8.5, NAN},
        {"8..8", 7.75, 8.5, NAN},
        {"7", 6.75, 7.25, NAN},
        {"pH 11", 10.5, 11.5, NAN},
        {"8 to 9 40,5", 8, 9, 40.5},
        {"7-10 104 F", 7, 10, 40},
    };
    struct gear paper;

    (void)state;
    make_paper(&paper);
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        double low = NAN, high = NAN, temperature_c = 1;

        check_ok(answer_text_range(known[i].text, &paper, &low, &high, &temperature_c, &failure), &failure);
        check_close(low, known[i].low, 0, "as typed");
        check_close(high, known[i].high, 0, "as typed");
        assert_true(isnan(known[i].temperature_c) == isnan(temperature_c));
    }
    gear_clear(&paper);
}

/* No paper reads below 0 or above 14, whatever its half step is. */
static void
one_step_stays_on_the_scale(void **state)
{
    struct failure failure = {0};
    struct gear paper;
    double low = NAN, high = NAN, temperature_c = NAN;

    (void)state;
    gear_init(&paper, GEAR_PAPER);
    check_ok(gear_parse_steps(&paper, "0,1,13,14", &failure), &failure);
    check_ok(answer_text_range("14", &paper, &low, &high, &temperature_c, &failure), &failure);
    assert_true(low == 13.5 && high == 14.0);
    check_ok(answer_text_range("0", &paper, &low, &high, &temperature_c, &failure), &failure);
    assert_true(low == 0.0 && high == 0.5);
    gear_clear(&paper);
}

static void
paper_that_is_not_printed_so_is_refused(void **state)
{
    static const struct {
        const char *text, *part;
    } bad[] = {
        {"green", "type the two printed steps the colour lies between, such as 8..9"},
        {"8..", "is no range"},
        {"8 9", "is no range"},
        {"8.7", "8.7 is not printed on"},
        {"8..12", "12 is not printed on 'strips', its steps are 7,7.5,8,9,10,11"},
        {"8.5..9", "8.5 is not printed on"},
        {"8..9 300", "300 degC cannot be"},
    };
    struct gear paper;

    (void)state;
    make_paper(&paper);
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct failure failure = {0};
        double low = 1, high = 2, temperature_c = 3;

        assert_true(answer_text_range(bad[i].text, &paper, &low, &high, &temperature_c, &failure) !=
                    STATUS_OK);
        check_contains(failure.text, bad[i].part);
        assert_true(low == 1 && high == 2 && temperature_c == 3);
    }
    gear_clear(&paper);
}

static void
a_choice_may_be_shortened(void **state)
{
    char clear[] = "clear", cloudy[] = "cloudy", bits[] = "undissolved bits";
    char *const choices[] = {clear, cloudy, bits};
    struct failure failure = {0};
    size_t index = 9;

    (void)state;
    check_ok(answer_text_choice("UNDISSOLVED BITS", choices, 3, &index, &failure), &failure);
    assert_int_equal(index, 2);
    check_ok(answer_text_choice("cle", choices, 3, &index, &failure), &failure);
    assert_int_equal(index, 0);
    check_refused(answer_text_choice("cl", choices, 3, &index, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "'cl' could be clear or cloudy: one more letter");
    check_refused(answer_text_choice("murky", choices, 3, &index, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text,
                        "'murky' is none of the answers, which are: clear, cloudy, undissolved bits");
    check_refused(answer_text_choice("", choices, 3, &index, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "type one of: clear, cloudy, undissolved bits");
    assert_int_equal(index, 0);
}

static void
units_go_by_their_usual_names(void **state)
{
    struct failure failure = {0};
    double value = NAN;

    (void)state;
    check_ok(answer_text_mass("0.5 ounces", 10000, &value, &failure), &failure);
    check_close(value, 14.1747615625, 1e-9, "28.349523125 g an ounce: international yard and pound, 1959");
    check_ok(answer_text_mass("1,5 grams", 10000, &value, &failure), &failure);
    check_close(value, 1.5, 0, "as typed");
    check_ok(answer_text_concentration("0,1 N", &value, &failure), &failure);
    check_close(value, 0.1, 0, "mol of H+ per litre");
    check_ok(answer_text_volume("3 drops", 1000, NAN, &value, &failure), &failure);
    check_close(value, 0.15, 1e-12, "0.05 mL a drop: common practice, no source");
    check_ok(answer_text_volume("1 drop", 1000, NAN, &value, &failure), &failure);
    check_ok(answer_text_temperature("104 Fahrenheit", &value, &failure), &failure);
    check_close(value, 40, 0, "(104 - 32) / 1.8");
    assert_int_equal(answer_text_volume("3 dozen", 1000, NAN, &value, &failure), STATUS_FORMAT);
}

/* A kitchen at 77 degF is at 25 degC; water at 77 degC is seldom meant. */
static void
a_temperature_that_may_be_fahrenheit_is_asked_back(void **state)
{
    struct failure failure = {0};
    double value = 1;

    (void)state;
    check_refused(answer_text_temperature("77", &value, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "77 degF? That is 25 degC: type 77F, or 77C when it is degC");
    check_close(value, 1, 0, "left alone");
    check_ok(answer_text_temperature("77F", &value, &failure), &failure);
    check_close(value, 25, 0, "(77 - 32) / 1.8");
    check_ok(answer_text_temperature("77 C", &value, &failure), &failure);
    check_close(value, 77, 0, "as typed");
    check_ok(answer_text_temperature("55", &value, &failure), &failure);
}

static void
words_of_a_walk_are_known_and_nothing_else_is(void **state)
{
    static const struct {
        const char *text;
        enum answer_word word;
        const char *rest;
    } known[] = {
        {"note smells", ANSWER_WORD_NOTE, "smells"},
        {"Skip: empty", ANSWER_WORD_SKIP, "empty"},
        {"back", ANSWER_WORD_BACK, ""},
        {"BACK 9,87 40", ANSWER_WORD_BACK, "9,87 40"},
        {"quit", ANSWER_WORD_QUIT, ""},
        {"?", ANSWER_WORD_HELP, ""},
        {"cup 2", ANSWER_WORD_CUP, "2"},
        {"portion 1", ANSWER_WORD_CUP, "1"},
        {"cup", ANSWER_WORD_CUP, ""},
        {"cup smells", ANSWER_WORD_NONE, NULL},
        {"back to it", ANSWER_WORD_NONE, NULL},
        {"quit it", ANSWER_WORD_NONE, NULL},
        {"", ANSWER_WORD_NONE, NULL},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        const char *rest = NULL;

        assert_int_equal(answer_text_word(known[i].text, &rest), known[i].word);
        if (known[i].rest != NULL)
            assert_string_equal(rest, known[i].rest);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(units_go_by_their_usual_names),
    cmocka_unit_test(a_temperature_that_may_be_fahrenheit_is_asked_back),
    cmocka_unit_test(words_of_a_walk_are_known_and_nothing_else_is),
    cmocka_unit_test(a_ph_may_bring_its_temperature),
    cmocka_unit_test(a_ph_that_cannot_be_is_refused),
    cmocka_unit_test(values_are_no_words),
    cmocka_unit_test(masses_volumes_and_temperatures_have_their_bounds),
    cmocka_unit_test(paper_lies_between_printed_steps),
    cmocka_unit_test(one_step_stays_on_the_scale),
    cmocka_unit_test(paper_that_is_not_printed_so_is_refused),
    cmocka_unit_test(a_choice_may_be_shortened),
};

const struct check_module test_procedure_answer_text = CHECK_MODULE("procedure/answer_text", tests);
