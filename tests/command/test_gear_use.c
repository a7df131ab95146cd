/* test_gear_use.c - "gear default|retire": several meters in one kitchen. */
#include "check.h"
#include "kitchen.h"

static int
furnish(void **state)
{
    int failed = kitchen_open(state);

    if (failed == 0) {
        kitchen_do(*state, "batch add W-07 --made 2026-05-02");
        kitchen_do(*state, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02");
        kitchen_do(*state, "gear add spare --kind meter --resolution-ph 0.1");
    }
    return failed;
}

static const char line[] = "read W-07 --water distilled --ph 9.9 --temperature-c 40 --percent 1";

static void
of_several_the_usual_one_is_meant(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(
        kitchen, line,
        "there are several of kind meter, say which: --meter 'bench', 'spare' (gear default NAME");
    kitchen_do(kitchen, "gear default spare");
    check_contains(kitchen->out, "spare is the usual meter now");
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "with spare");
    kitchen_do(kitchen, "gear default bench --why 'the new electrode'");
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "with bench");
    kitchen_do(kitchen, "read W-07 --water distilled --meter spare --ph 9.9 --temperature-c 40 --percent 1");
    check_contains(kitchen->out, "with spare"); /* named, it is still that one */
    kitchen_do(kitchen, "gear list");
    check_contains(kitchen->out, "accurate to 0.02 pH, the usual one");
    kitchen_do(kitchen, "gear add third --kind meter --resolution-ph 0.01 --default");
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "with third");
    kitchen_do(kitchen, "gear add strips --kind paper --steps 1-14"); /* of another kind */
    kitchen_do(kitchen, "gear default strips");
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "with third");
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
}

static void
what_is_retired_is_neither_meant_nor_due(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "due");
    check_contains(kitchen->out, "bench");
    kitchen_refuses(kitchen, "gear retire bench", "the record keeps the reason");
    kitchen_do(kitchen, "gear retire bench --why 'the electrode is dry'");
    check_contains(kitchen->out,
                   "meter bench is retired; what was measured with it stays as it is: the electrode is dry");
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "with spare");
    kitchen_do(kitchen, "due");
    check_lacks(kitchen->out, "bench");
    kitchen_do(kitchen, "gear list");
    check_contains(kitchen->out, ", retired");
    kitchen_refuses(kitchen, "gear retire bench --why x", "'bench' is retired already");
    kitchen_refuses(kitchen, "gear default bench", "'bench' is retired");
    kitchen_do(kitchen, "gear retire bench --withdraw --why 'soaked it'");
    check_contains(kitchen->out, "meter bench is in use again: soaked it");
    kitchen_refuses(kitchen, "gear retire bench --withdraw --why x", "'bench' is in use already");
    kitchen_refuses(kitchen, line, "there are several of kind meter");
    kitchen_refuses(kitchen, "gear retire NOPE --why x", "there is no gear 'NOPE'");
    kitchen_refuses(kitchen, "gear default NOPE", "there is no gear 'NOPE'");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(of_several_the_usual_one_is_meant, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_is_retired_is_neither_meant_nor_due, furnish, kitchen_close),
};

const struct check_module test_command_gear_use = CHECK_MODULE("command/gear_use", tests);
