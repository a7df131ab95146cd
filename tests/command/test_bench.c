/* test_bench.c - gear, dilute, read and correct. */
#include "check.h"
#include "kitchen.h"

static int
furnish(void **state)
{
    struct kitchen *kitchen;
    int failed = kitchen_open(state);

    if (failed != 0)
        return failed;
    kitchen = *state;
    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02 --title 'oat bar'");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen, "gear add strips --kind paper --steps 1,2,3,4,5,6,7,8,9,10,11,12,13,14");
    kitchen_do(kitchen, "gear add scale --kind balance --readability-g 0,01");
    return 0;
}

static void
gear_is_added_judged_and_listed(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "gear add pocket --kind meter --resolution-ph 0.1");
    check_contains(kitchen->out, "added meter pocket");
    check_contains(kitchen->out, "next: curetrace calibrate pocket");
    kitchen_do(kitchen, "gear add kitchen-scale --kind balance --readability-g 1");
    check_contains(kitchen->out, "unfit: ");
    kitchen_do(kitchen, "gear list");
    check_contains(kitchen->out, "strips         paper    steps 1,2,3,4,5,6,7,8,9,10,11,12,13,14");
    check_contains(kitchen->out, "bench          meter    reads to 0.01 pH, accurate to 0.02 pH");
    kitchen_do(kitchen, "gear show bench");
    check_contains(kitchen->out, "not calibrated yet");
}

static void
wrong_gear_is_refused(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"gear add x", "--kind is missing"},
        {"gear add x --kind meetr", "kind of gear 'meetr' is unknown"},
        {"gear add x --kind meter", "a meter needs --resolution-ph"},
        {"gear add x --kind meter --resolution-ph 0.01 --readability-g 1", "a meter has no --readability-g"},
        {"gear add BENCH --kind meter --resolution-ph 0.01", "there is gear named 'bench' already (a meter)"},
        {"gear add x --kind balance --readability-g -1", "readability-g is -1, allowed is above 0 to 100"},
        {"gear add x --kind paper --steps 1,1", "a paper's steps must rise"},
        {"gear add x --kind buffer --buffer borx", "borax"},
        {"gear show x", "there is no gear 'x'"},
    };

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(*state, bad[i].line, bad[i].text);
}

static void
dilute_tells_water_percent_and_whether_the_balance_holds(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "dilute --soap-g 1,00");
    check_contains(kitchen->out, "1.000 g of soap in 99.00 g of water: 1.000 % by mass, 100.00 g in all");
    check_contains(kitchen->out, "good enough to hold 1.00 +/- 0.02 %");
    kitchen_do(kitchen, "dilute --soap-g 1.00 --water-g 99.00 --csv"); /* 1 g in 100 g: arithmetic */
    check_contains(kitchen->out, "soap_g,percent,water_g,total_g,u_percent\n1,1,99,100,0.00");
    kitchen_do(kitchen, "dilute --soap-g 1 --readability-g 1");
    check_contains(kitchen->out, "not good enough");
    check_contains(kitchen->out, "take at least 40.");
    kitchen_do(kitchen, "dilute --soap-g 0.5 --percent 2 --csv"); /* 0.5 (100 / 2 - 1) = 24.5 */
    check_contains(kitchen->out, "\n0.5,2,24.5,25,");
    kitchen_refuses(kitchen, "dilute", "--soap-g is missing");
    kitchen_refuses(kitchen, "dilute --soap-g 1 --percent 1 --water-g 99", "not both");
    kitchen_refuses(kitchen, "dilute --soap-g 0", "0");
    kitchen_refuses(kitchen, "dilute --soap-g 1 --balance bench", "'bench' is a meter, not a balance");
}

static void
readings_are_filed_with_their_numbers(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "read W-07 --water distilled --ph 9,87 --ph 9.89 --temperature-c 104F --percent 1.00 "
                        "--at 2026-03-04T10:00 "
                        "--between 8..9 --note 'after lunch'");
    check_contains(kitchen->out, "reading 1: pH 9.87 with bench\nreading 2: pH 9.89 with bench\n"
                                 "reading 3: between 8 and 9 with strips\n");
    check_contains(kitchen->out, "next: curetrace verdict W-07");
    kitchen_do(kitchen, "read W-07 --session 1 --ph 9.9 --temperature-c 40 --at 2026-03-04T10:05");
    kitchen_refuses(kitchen, "read W-07 --session 1 --ph 9.9 --temperature-c 40 --at 2026-03-05T10:06",
                    "session 1 was read on 2026-03-04: after more than a day");
    kitchen_do(kitchen, "read W-07 --water distilled --ph 9.8 --at 2026-03-09T10:00 --soap-g 1.02 --water-g "
                        "100.98 --balance scale");
    check_contains(kitchen->out, "no temperature");
    check_lacks(kitchen->out, "no concentration");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "      1  2026-03-04T10:00      2       bench   9.87  40.0");
    check_contains(kitchen->out, "      3  2026-03-04T10:00      2       strips  8..9  40.0");
    check_contains(kitchen->out, "      4  2026-03-04T10:05      2       bench   9.90  40.0");
    check_contains(kitchen->out, "      5  2026-03-09T10:00      7       bench   9.80     -");
    check_contains(kitchen->out, "       1        2  soap     1.02");
}

static void
wrong_readings_are_refused_and_nothing_is_filed(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"read W-07", "what was read?"},
        {"read W-08 --water distilled --ph 9", "there is no batch 'W-08'"},
        {"read W-07 --water distilled --ph 15", "--ph: 15 is outside 0 to 14"},
        {"read W-07 --water distilled --ph nine", "'nine' is not a number"},
        {"read W-07 --water distilled --ph 9 --temperature-c 200",
         "--temperature-c: 200 is outside 0 to 100"},
        {"read W-07 --water distilled --ph 9 --at 2026-06-02T10:00", "is in the future"},
        {"read W-07 --water distilled --ph 9 --at 2026-03-01T10:00", "before batch W-07 was poured"},
        {"read W-07 --water distilled --ph 9 --percent 1 --soap-g 1 --water-g 99", "not both"},
        {"read W-07 --water distilled --ph 9 --soap-g 1", "come together"},
        {"read W-07 --water distilled --ph 9 --meter strips", "'strips' is a paper, not a meter"},
        {"read W-07 --water distilled --ph 12 --limit-ph 11.01",
         "11.01 is outside 7 to 11"}, /* never raised */
        {"read W-07 --water distilled --ph 12 --clear-ph 10.71", "10.71 is outside 7 to 10.7"},
        {"read W-07 --water distilled --ph 12 --limit-ph 10 --clear-ph 10.1",
         "clear_ph is 10.1, allowed is above 7 to 10"},
        {"read W-07 --water tap --ph 9", "water 'tap' is unknown, allowed are distilled, deionised, other"},
        {"read W-07 --water distilled --ph 9 --soap-g 100001 --water-g 99", "100001 is outside 0 to 100000"},
        {"read W-07 --ph 9 --session 99", "there is no session number 99"},
        {"read W-07 --water distilled --between 8..8.5", "8.5"},
        {"read W-07 --water distilled --paper strips --ph 9", "--paper needs --between"},
        {"read W-07 --water distilled --ph 9 --ph 14.5", "14.5 is outside"},
    };
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(kitchen, bad[i].line, bad[i].text);
    kitchen_do(kitchen, "batch show W-07");
    check_lacks(kitchen->out, "reading");
}

/* Issue 12, item 9: which water and what was left undissolved are asked once a sitting, by who sits there. */
static void
what_a_judgement_needs_is_asked_at_a_terminal(void **state)
{
    struct kitchen *kitchen = *state;
    static const char read[] = "read W-07 --ph 9.87 --temperature-c 40 --percent 1";

    kitchen->typed = true;
    assert_int_equal(kitchen_run_with(kitchen, read, "tap\ndist\nno\n"), STATUS_OK);
    check_contains(kitchen->out, "Which water was the soap dissolved in");
    check_contains(kitchen->out, "Was any soap left undissolved");
    check_contains(kitchen->out, "filed in session 1");
    check_lacks(kitchen->out, "no water:");
    assert_int_equal(kitchen_run_with(kitchen, "read W-07 --session 1 --ph 9.88 --temperature-c 40", ""),
                     STATUS_OK);
    check_lacks(kitchen->out, "Which water"); /* once a sitting */
    assert_int_equal(kitchen_run_with(kitchen, read, "deionised\nyes\n"), STATUS_OK);
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "soap was left undissolved");
    assert_int_equal(kitchen_run_with(kitchen, read, "skip do not know\nn\n"), STATUS_OK);
    check_contains(kitchen->out, "no water:");
    assert_int_equal(kitchen_run_with(kitchen, read, "distilled\nquit\n"), STATUS_CONFLICT);
    assert_string_equal(kitchen->failure.text, "left: nothing of it was kept");
    kitchen_do(kitchen, "batch show W-07");
    check_lacks(kitchen->out, "\n      5  ");
    assert_int_equal(kitchen_run_with(kitchen, "read W-07 --water distilled --dissolved --ph 9.8", ""),
                     STATUS_OK);
    check_lacks(kitchen->out, "?");
    kitchen->typed = false; /* nobody sits there */
    assert_int_equal(kitchen_run_with(kitchen, read, ""), STATUS_OK);
    check_lacks(kitchen->out, "Which water");
}

static void
corrections_keep_the_wrong_value_and_the_reason(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(
        kitchen,
        "read W-07 --water distilled --ph 9.87 --temperature-c 40 --soap-g 1 --water-g 99 --between 8..9");
    kitchen_do(kitchen, "correct 1 --ph 9.78 --why 'misread'");
    check_contains(kitchen->out, "reading 1 is superseded by 3; the old one stays on record");
    kitchen_refuses(kitchen, "correct 1 --ph 9.5 --why again", "was corrected already; correct reading 3");
    kitchen_do(kitchen, "correct 3 --withdraw --why 'wrong cup'");
    kitchen_do(kitchen, "correct 2 --between 9..10 --why 'better light'");
    kitchen_do(kitchen, "correct 1 --weighing --mass-g 1.1 --why 'tare forgotten'");
    kitchen->width = 100;
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "9.87  40.0  corrected by 3");
    check_contains(kitchen->out, "9.78  40.0  corrected by 4");
    check_contains(kitchen->out, "withdraws 3: wrong cup");
    check_contains(kitchen->out, "9..10  40.0  corrects 2: better light");
    check_contains(kitchen->out, "corrects 1: tare forgotten");
}

static void
corrections_without_reason_or_sense_are_refused(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"correct 1 --ph 9", "say why"},
        {"correct 1 --why because", "say what is right"},
        {"correct 1 --ph 9 --withdraw --why because", "say what is right"},
        {"correct 99 --ph 9 --why because", "there is no reading number 99"},
        {"correct one --ph 9 --why because", "'one' is not a number"},
        {"correct 1 --between 8..9 --why because", "reading 1 is of a meter: give --ph"},
        {"correct 2 --between '9..10 38' --why because", "write the temperature as --temperature-c"},
        {"correct 1 --weighing --mass-g 0 --why because", "allowed is above 0"},
        {"correct 9 --weighing --mass-g 1 --why because", "there is no weighing number 9"},
    };

    kitchen_do(
        *state,
        "read W-07 --water distilled --ph 9.87 --temperature-c 40 --soap-g 1 --water-g 99 --between 8..9");
    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(*state, bad[i].line, bad[i].text);
}

static void
a_corrected_weighing_that_makes_the_bar_doubtful_holds_its_batch(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "calibrate bench --at 2026-06-01T09:00 --buffer borax@40=9.068 "
                        "--buffer 'lime water@40=11.984'");
    kitchen_do(kitchen, "read W-07 --water distilled --ph 10.4 --ph 10.4 --ph 10.4 --temperature-c 40 "
                        "--soap-g 1.02 --water-g 99");
    check_lacks(kitchen->out, "is held now");
    /* 0.75 log10(1 / 0.6) = 0.17 up, by hand */
    kitchen_do(kitchen, "correct 1 --weighing --mass-g 0.6 --why 'read the tare'");
    check_contains(kitchen->out, "W-07 is held now (");
}

#define BENCH_TEST(name) cmocka_unit_test_setup_teardown(name, furnish, kitchen_close)

static const struct CMUnitTest tests[] = {
    BENCH_TEST(gear_is_added_judged_and_listed),
    BENCH_TEST(wrong_gear_is_refused),
    BENCH_TEST(dilute_tells_water_percent_and_whether_the_balance_holds),
    BENCH_TEST(readings_are_filed_with_their_numbers),
    BENCH_TEST(wrong_readings_are_refused_and_nothing_is_filed),
    BENCH_TEST(what_a_judgement_needs_is_asked_at_a_terminal),
    BENCH_TEST(corrections_keep_the_wrong_value_and_the_reason),
    BENCH_TEST(corrections_without_reason_or_sense_are_refused),
    BENCH_TEST(a_corrected_weighing_that_makes_the_bar_doubtful_holds_its_batch),
};

const struct check_module test_command_bench = CHECK_MODULE("command/bench", tests);
