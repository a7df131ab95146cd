/* test_mixture.c - solutions as people name them: amounts by hand, pH against published values. */
#include "check.h"
#include "mixture.h"

static struct mixture
parse(const char *text)
{
    struct failure failure = {0};
    struct mixture mixture = {0};

    check_ok(mixture_parse(text, 25.0, &mixture, &failure), &failure);
    check_close(mixture.solution.temperature_c, 25.0, 0.0, "as asked");
    return mixture;
}

static struct expectation
expect(const char *text, double temperature_c)
{
    struct failure failure = {0};
    struct expectation expectation = {.ph = NAN};

    check_ok(expectation_of(text, temperature_c, &expectation, &failure), &failure);
    assert_true(isfinite(expectation.ph) && expectation.u_ph > 0.0);
    assert_true(strlen(expectation.source) > 10);
    return expectation;
}

/* Molalities by hand: 10 x percent / molar mass / mass fraction of water. */
static const struct {
    const char *text;
    enum acid acid;
    double acid_mol_per_kg, base_mol_per_kg;
    const char *by_hand;
} amounts[] = {
    {"citric acid 3 %", ACID_CITRIC, 0.16098, 0.0, "30/192.123/0.97"},
    {"3% citric acid", ACID_CITRIC, 0.16098, 0.0, "30/192.123/0.97"},
    {"Citric Acid 3%", ACID_CITRIC, 0.16098, 0.0, "30/192.123/0.97"},
    {"citric acid monohydrate 3 %", ACID_CITRIC, 0.14679, 0.0, "30/210.14/(0.97 + 0.03 x 18.015/210.14)"},
    {"naoh 0.1 mol/kg", ACID_CITRIC, 0.0, 0.1, "as written"},
    {"naoh 0,1 mol/kg", ACID_CITRIC, 0.0, 0.1, "as written"},
    {"0.1 mol/kg sodium hydroxide", ACID_CITRIC, 0.0, 0.1, "as written"},
    {"33 % lye", ACID_CITRIC, 0.0, 12.3144, "330/39.997/0.67"},
    {"naoh 1 % + citric acid 1 %", ACID_CITRIC, 0.053112, 0.255122, "10/192.123/0.98 and 10/39.997/0.98"},
    {"sodium bicarbonate 1 %", ACID_CARBONIC, 0.120240, 0.120240, "10/84.007/0.99"},
    {"washing soda 1 %", ACID_CARBONIC, 0.095303, 0.190606, "10/105.988/0.99"},
    {"vinegar 5 %", ACID_ACETIC, 0.876430, 0.0, "50/60.052/0.95"},
    {"sodium citrate 1 %", ACID_CITRIC, 0.034303, 0.102909, "10/294.10/(0.99 + 0.01 x 36.03/294.10)"},
    {"borax 0.01 mol/kg", ACID_BORIC, 0.04, 0.02, "Na2B4O7"},
};

static void
amounts_become_molalities(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(amounts); i++) {
        struct mixture mixture = parse(amounts[i].text);

        assert_null(mixture.buffer);
        check_close(mixture.solution.acid_mol_per_kg[amounts[i].acid], amounts[i].acid_mol_per_kg, 1e-5,
                    amounts[i].by_hand);
        check_close(mixture.solution.base_mol_per_kg, amounts[i].base_mol_per_kg, 1e-4, amounts[i].by_hand);
    }
    assert_string_equal(parse("citric acid 3 %").amounts, "citric acid 0.161 mol/kg");
}

static void
water_and_buffers_are_known_by_name(void **state)
{
    (void)state;
    assert_true(parse("water").pure_water && parse("Boiled water").pure_water);
    check_close(parse("water in air").solution.co2_atm, 420e-6, 1e-12, "today's air, rounded");
    check_close(parse("water in air 600 ppm").solution.co2_atm, 600e-6, 1e-12, "as written");
    check_close(parse("water in air 316,2ppm").solution.co2_atm, 316.2e-6, 1e-12, "as written");
    assert_string_equal(parse("lime water").buffer->name, "calcium-hydroxide");
    assert_string_equal(parse("borax buffer").buffer->name, "borax");
    assert_string_equal(parse("pH 7.00").buffer->name, "technical-7.00");
}

#define PITZER "Pitzer parameters, method reference table"

static const struct {
    const char *text;
    double temperature_c, ph, tolerance;
    const char *source;
} known[] = {
    {"borax buffer", 25.0, 9.180, 5e-4, "NBS/IUPAC pH(S)"},
    {"borax buffer", 40.0, 9.068, 5e-4, "NBS/IUPAC pH(S)"},
    {"borax 0.01 mol/kg", 40.0, 9.068, 0.05, "NBS/IUPAC pH(S), as equilibrium"},
    {"lime water", 40.0, 11.984, 5e-4, "NBS/IUPAC pH(S)"},
    {"naoh 0.1 mol/kg", 25.0, 12.886, 0.005, PITZER},
    {"water", 25.0, 6.9975, 5e-4, "half of pKw, CRC Handbook"},
    {"water in air 316.228 ppm", 25.0, 5.65, 0.01, "textbook value"},
    {"citric acid 0.1 mol/kg", 25.0, 2.08, 0.01, "published table of the pH of common acids and bases"},
    {"acetic acid 0.1 mol/kg", 25.0, 2.88, 0.01, "published table of the pH of common acids and bases"},
    {"sodium bicarbonate 0.025 mol/kg + sodium carbonate 0.025 mol/kg", 25.0, 10.012, 0.05,
     "NBS/IUPAC pH(S)"},
    {"sodium bicarbonate 1 %", 25.0, 8.2, 0.15, "8.1 to 8.3, pharmacopoeias and handbooks, from memory"},
    {"sodium carbonate 1 %", 25.0, 11.37, 0.1, "1 % soda ash, makers' data, from memory"},
    {"vinegar 5 %", 25.0, 2.4, 0.05, "5 % acetic acid, handbooks, from memory"},
};

static void
expected_ph_agrees_with_published_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++)
        check_close(expect(known[i].text, known[i].temperature_c).ph, known[i].ph, known[i].tolerance,
                    known[i].source);
}

/* 1 mol of citric acid takes 3 of lye: a little less leaves it acid, a little more leaves it alkaline. */
static void
lye_and_acid_neutralise_each_other(void **state)
{
    (void)state;
    assert_true(expect("naoh 0.29 mol/kg + citric acid 0.1 mol/kg", 25.0).ph < 7.0);
    assert_true(expect("naoh 0.31 mol/kg + citric acid 0.1 mol/kg", 25.0).ph > 11.0);
    check_close(expect("naoh 0.3 mol/kg + citric acid 0.1 mol/kg", 25.0).ph,
                expect("sodium citrate 0.1 mol/kg", 25.0).ph, 1e-9, "the same solution");
}

static void
what_cannot_be_trusted_is_flagged(void **state)
{
    struct expectation lye = expect("33 % lye", 25.0), weak = expect("naoh 0.1 mol/kg", 25.0);

    (void)state;
    assert_string_equal(lye.flags, "beyond-activity-range;beyond-glass-range;alkaline-error");
    check_contains(lye.note, "alkaline error: above pH 12 and 0.1 mol/kg");
    check_contains(lye.note, "ASTM E70");
    check_lacks(lye.note, "12.7");
    check_contains(lye.caution, "lye into water");
    assert_true(lye.ph > 14.0 && lye.u_ph > 0.3);
    assert_string_equal(weak.flags, "beyond-glass-range");
    check_lacks(weak.note, "alkaline error");
    check_contains(expect("naoh 0.11 mol/kg", 25.0).flags, "alkaline-error");
    assert_string_equal(expect("citric acid 60 %", 25.0).flags, "beyond-activity-range;beyond-glass-range");
    assert_true(expect("citric acid 60 %", 25.0).u_ph > 0.1);
    assert_string_equal(expect("vinegar 5 %", 25.0).flags, "");
    check_lacks(expect("pH 7.00", 25.0).source, "NBS/IUPAC pH(S)");
    check_contains(expect("pH 7.00", 25.0).source, "not one of the NBS/IUPAC standards");
    check_contains(expect("borax", 25.0).source, "NBS/IUPAC pH(S)");
    assert_string_equal(expect("baking soda 5 %", 25.0).flags, "beyond-activity-range");
    assert_string_equal(expect("citric acid 1 %", 25.0).flags, "");
    assert_string_equal(expect("lime water", 25.0).flags, "beyond-glass-range");
    assert_string_equal(expect("sodium citrate 1 %", 25.0).flags, "weakly-buffered");
    check_contains(expect("lime water", 25.0).caution, "gloves and goggles");
    check_contains(expect("boiled water", 25.0).note, "6.2 to 7.2");
    check_contains(expect("baking soda 1 %", 25.0).note, "fresh");
    assert_null(expect("citric acid 1 %", 25.0).caution);
}

static const struct {
    const char *text;
    enum status status;
    const char *reason;
} bad[] = {
    {"", STATUS_FORMAT, "missing; write it as in 'lime water'"},
    {"   ", STATUS_FORMAT, "missing"},
    {"citric acid", STATUS_FORMAT, "'citric acid' has no amount: write 'citric acid 1 %'"},
    {"lime watr", STATUS_MISSING, "did you mean 'lime water'"},
    {"soap", STATUS_MISSING, "'soap' is not known; write it as in"},
    {"citrik acid 3 %", STATUS_MISSING, "did you mean 'citric acid'"},
    {"citric acid 3 % +", STATUS_FORMAT, "has no amount"},
    {"+", STATUS_FORMAT, "has no amount"},
    {"naoh 1 % + citric acid", STATUS_FORMAT, "'citric acid' has no amount"},
    {"naoh %", STATUS_FORMAT, "amount in %: a number is missing"},
    {"%", STATUS_FORMAT, "amount in %: a number is missing"},
    {"naoh 1.2.3 %", STATUS_FORMAT, "'1.2.3' is not a number"},
    {"naoh 0 %", STATUS_RANGE, "amount in % is 0"},
    {"naoh -1 %", STATUS_RANGE, "amount in % is -1"},
    {"naoh 61 %", STATUS_RANGE, "allowed is 0.0001 to 60"},
    {"naoh 40 % + citric acid 30 %", STATUS_RANGE, "add up to 70 %"},
    {"naoh 21 mol/kg", STATUS_RANGE, "amount in mol/kg is 21"},
    {"naoh 0.1 mol/l", STATUS_MISSING, "write it as in"},
    {"3 %", STATUS_MISSING, "there is no substance ''"},
    {"water in air 600", STATUS_FORMAT, "expected ppm"},
    {"water in air ppm", STATUS_FORMAT, "a number is missing"},
    {"water in air x ppm", STATUS_FORMAT, "'x' is not a number"},
    {"water in air 0 ppm", STATUS_RANGE, "carbon dioxide in ppm is 0"},
    {"citric acid 1 %\n", STATUS_FORMAT, "is not a number"},
    {"borax 1%+borax 1%+borax 1%+borax 1%+borax 1%+borax 1%+borax 1%+borax 1%+borax 1%", STATUS_FORMAT,
     "at most 8"},
};

static void
bad_text_is_refused_with_what_is_allowed(void **state)
{
    char longest[300];

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct failure failure = {0};
        struct mixture untouched = {.free_lye_mol_per_kg = -5.0};

        check_refused(mixture_parse(bad[i].text, 25.0, &untouched, &failure), bad[i].status, &failure);
        check_contains(failure.text, bad[i].reason);
        check_close(untouched.free_lye_mol_per_kg, -5.0, 0.0, "a refusal leaves the result alone");
    }
    memset(longest, 'a', sizeof longest);
    longest[sizeof longest - 1] = '\0';
    {
        struct failure failure = {0};
        struct mixture untouched = {0};

        check_refused(mixture_parse(longest, 25.0, &untouched, &failure), STATUS_FORMAT, &failure);
        check_contains(failure.text, "longer than 200");
    }
}

static void
a_temperature_outside_the_range_is_refused(void **state)
{
    static const struct {
        const char *text;
        double temperature_c;
        const char *reason;
    } outside[] = {
        {"citric acid 1 %", 61.0, "0 to 60 degC"}, {"citric acid 1 %", NAN, "0 to 60 degC"},
        {"water", -1.0, "0 to 60 degC"},           {"lime water", 61.0, "from 0 to 60 degC"},
        {"carbonate", 51.0, "from 0 to 50 degC"},  {"borax buffer", NAN, "from 0 to 95 degC"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(outside); i++) {
        struct failure failure = {0};
        struct expectation untouched = {.ph = -5.0};

        check_refused(expectation_of(outside[i].text, outside[i].temperature_c, &untouched, &failure),
                      STATUS_RANGE, &failure);
        check_contains(failure.text, outside[i].reason);
        check_close(untouched.ph, -5.0, 0.0, "a refusal leaves the result alone");
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(amounts_become_molalities),
    cmocka_unit_test(water_and_buffers_are_known_by_name),
    cmocka_unit_test(expected_ph_agrees_with_published_values),
    cmocka_unit_test(lye_and_acid_neutralise_each_other),
    cmocka_unit_test(what_cannot_be_trusted_is_flagged),
    cmocka_unit_test(bad_text_is_refused_with_what_is_allowed),
    cmocka_unit_test(a_temperature_outside_the_range_is_refused),
};

const struct check_module test_science_mixture = CHECK_MODULE("science/mixture", tests);
