/* test_batch_close.c - "batch close", and taking back what was a slip. The clock stands at 2026-06-01. */
#include "check.h"
#include "kitchen.h"

static const char sound[] = "--acid-mol-l 0.1 --acid-u-pct 0.5 --blank-ml 0.05 --burette-ml 0.05 "
                            "--soap-g 10 --volume-ml 0.55 --soap-g 10 --volume-ml 0.56";

static void
titrate_two_bars(struct kitchen *kitchen, const char *code)
{
    for (int bar = 'A'; bar <= 'B'; bar++) {
        char line[400];

        snprintf(line, sizeof line, "titrate %s --bar %c %s --at 2026-05-20T10:00", code, bar, sound);
        kitchen_do(kitchen, line);
    }
}

/* One that is released, one in cure, one held, and one that was thrown away. */
static int
furnish(void **state)
{
    struct kitchen *kitchen;
    int failed = kitchen_open(state);

    if (failed != 0)
        return failed;
    kitchen = *state;
    kitchen_do(kitchen, "gear add scale --kind balance --readability-g 0.01");
    kitchen_do(kitchen, "batch add R-01 --made 2026-04-01");
    titrate_two_bars(kitchen, "R-01");
    kitchen_do(kitchen, "batch release R-01");
    kitchen_do(kitchen, "batch add C-01 --made 2026-04-02");
    kitchen_do(kitchen, "batch add H-01 --made 2026-04-03");
    kitchen_do(kitchen, "batch hold H-01 --why 'white crystals'");
    kitchen_do(kitchen, "batch add D-01 --made 2026-04-04");
    kitchen_do(kitchen, "batch discard D-01 --why 'fell into the sink'");
    return 0;
}

static void
a_released_batch_closes_and_due_forgets_it(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "plan R-01 --enter");
    kitchen_do(kitchen, "due --days 400");
    check_contains(kitchen->out, "R-01");
    kitchen_do(kitchen, "batch close R-01 --reason 'used up' --at 2026-05-30 --why 'the last bar was mine'");
    check_contains(kitchen->out, "R-01 is closed since 2026-05-30: used up\n");
    kitchen_do(kitchen, "due --days 400");
    check_lacks(kitchen->out, "R-01");
    check_contains(kitchen->out, "C-01");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "released, used up");
    kitchen_do(kitchen, "batch show R-01");
    check_contains(kitchen->out,
                   "state      released\nclosed     used up, 2026-05-30: the last bar was mine\n");
    kitchen_refuses(kitchen, "batch close R-01 --reason sold", "R-01 is closed since 2026-05-30: used up");
    kitchen_do(kitchen, "verdict R-01"); /* what was judged is judged still */
    check_contains(kitchen->out, "within");
}

static void
what_was_never_released_closes_as_thrown_away_or_by_override(void **state)
{
    static const char *const reasons[] = {"'used up'", "sold", "'given away'", "gift", "used-up"};
    struct kitchen *kitchen = *state;
    char line[100];

    for (size_t i = 0; i < LENGTH(reasons); i++) {
        snprintf(line, sizeof line, "batch close C-01 --reason %s", reasons[i]);
        kitchen_refuses(kitchen, line, "C-01 is in-cure, not released: it closes as thrown away only");
        snprintf(line, sizeof line, "batch close H-01 --reason %s", reasons[i]);
        kitchen_refuses(kitchen, line, "H-01 is held, not released");
        snprintf(line, sizeof line, "batch close D-01 --reason %s --override --why x", reasons[i]);
        kitchen_refuses(kitchen, line, "the batch is discarded: it cannot be released");
    }
    kitchen_refuses(kitchen, "batch close H-01 --reason sold --override", "an override needs a reason");
    kitchen_do(kitchen, "batch show H-01");
    check_lacks(kitchen->out, "closed"); /* nothing of it was kept */
    kitchen_do(kitchen, "batch close H-01 --reason sold --override --why 'an assessor took it over'");
    check_contains(kitchen->out, "H-01 is released now, by override: an assessor took it over");
    check_contains(kitchen->out, "H-01 is closed since 2026-06-01: sold");
    kitchen_do(kitchen, "batch show H-01");
    check_contains(kitchen->out, "released BY OVERRIDE: an assessor took it over");
    kitchen_do(kitchen, "batch close C-01 --reason 'thrown away'");
    kitchen_do(kitchen, "batch close D-01 --reason trash");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "in-cure, thrown away");
    check_contains(kitchen->out, "discarded, thrown away");
}

static void
all_before_a_day_leaves_what_was_never_released(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch close --all-before 2026-05-01 --reason sold --override --why x",
                    "an override is for one batch");
    kitchen_do(kitchen, "batch close --all-before 2026-04-01 --reason sold");
    check_contains(kitchen->out, "nothing to close"); /* poured before the day, not on it */
    kitchen_do(kitchen, "batch close --all-before 2026-05-01 --reason sold");
    check_contains(kitchen->out, "R-01 is closed since 2026-06-01: sold\n");
    check_contains(kitchen->out,
                   "left as they are, because they were never released: C-01 (in-cure), H-01 (held)\n");
    check_contains(kitchen->out, "licensed cosmetic safety assessor");
    kitchen_do(kitchen, "batch show C-01");
    check_lacks(kitchen->out, "closed");
    kitchen_do(kitchen, "batch close --all-before 2026-05-01 --reason 'thrown away'");
    check_contains(kitchen->out, "C-01 is closed");
    check_contains(kitchen->out, "H-01 is closed");
    check_lacks(kitchen->out, "R-01");
}

static void
a_slip_is_taken_back_and_both_stay_on_record(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch close R-01 --withdraw --why x", "R-01 is not closed");
    kitchen_do(kitchen, "batch close R-01 --reason sold");
    kitchen_refuses(kitchen, "batch close R-01 --withdraw", "the record keeps the reason");
    kitchen_do(kitchen, "batch close R-01 --withdraw --why 'it was R-10'");
    check_contains(kitchen->out, "R-01 is not closed any more: it was R-10");
    kitchen_do(kitchen, "batch list");
    check_lacks(kitchen->out, "sold");
    kitchen_do(kitchen, "batch close R-01 --reason gift");
    check_contains(kitchen->out, "given away");
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
}

static void
a_used_up_bar_is_there_again(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "batch used-up R-01 --bar A --withdraw --why x", "is not on record as used up");
    kitchen_do(kitchen, "batch used-up R-01 --bar A --why 'cut up'");
    kitchen_refuses(kitchen, "batch used-up R-01 --bar A --withdraw", "say where it went");
    kitchen_do(kitchen, "batch used-up R-01 --bar a --withdraw --why 'it was B'");
    check_contains(kitchen->out, "bar a of R-01 is there again: it was B");
    kitchen_do(kitchen, "batch show R-01");
    check_lacks(kitchen->out, "used up");
    kitchen_do(kitchen, "batch used-up R-01 --bar A --why 'now it is'");
}

/* A lye-heavy bar that two others settled while it was said to be used up speaks again. */
static void
a_bar_that_is_there_again_may_hold_its_batch(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add B-01 --made 2026-04-01");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    kitchen_do(kitchen,
               "calibrate bench --buffer borax@40=9.07 --buffer 'lime water@40=11.98' --at 2026-05-10T09:00");
    kitchen_do(kitchen, "read B-01 --water distilled --bar X --ph 11.6 --temperature-c 40 --percent 1 --at "
                        "2026-05-10T10:00");
    kitchen_do(kitchen, "batch used-up B-01 --bar X --why 'cut up' --at 2026-05-11");
    titrate_two_bars(kitchen, "B-01");
    kitchen_do(kitchen, "batch release B-01");
    kitchen_do(kitchen, "batch used-up B-01 --bar X --withdraw --why 'found it'");
    check_contains(kitchen->out, "B-01 is held now (lye-heavy");
}

static void
what_makes_no_sense_is_refused(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"batch close R-01", "why is it gone? --reason"},
        {"batch close R-01 --reason eaten",
         "'eaten' is no reason to close a batch: used up, sold, given away or"},
        {"batch close --reason sold", "name one batch, or --all-before DATE"},
        {"batch close R-01 --all-before 2026-05-01 --reason sold", "name one batch, or --all-before"},
        {"batch close R-01 --reason sold --at 2026-07-01", "--at: 2026-07-01 is in the future"},
        {"batch close R-01 --reason sold --at 2026-03-01", "is before R-01 was poured (2026-04-01)"},
        {"batch close --all-before 2026-05-01 --reason sold --at 2026-07-01", "--at is in the future"},
        {"batch close NOPE --reason sold", "there is no batch 'NOPE'"},
        {"batch close R-01 --withdraw --reason sold --why x", "--withdraw takes back"},
    };

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(*state, bad[i].line, bad[i].text);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_released_batch_closes_and_due_forgets_it, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_was_never_released_closes_as_thrown_away_or_by_override, furnish,
                                    kitchen_close),
    cmocka_unit_test_setup_teardown(all_before_a_day_leaves_what_was_never_released, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_slip_is_taken_back_and_both_stay_on_record, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_used_up_bar_is_there_again, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(a_bar_that_is_there_again_may_hold_its_batch, furnish, kitchen_close),
    cmocka_unit_test_setup_teardown(what_makes_no_sense_is_refused, furnish, kitchen_close),
};

const struct check_module test_command_batch_close = CHECK_MODULE("command/batch_close", tests);
