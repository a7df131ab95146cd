/* test_compare.c - "compare". The workshop is invented; the p values of the first test are R's (see
 * ../assess/comparison.R). */
#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

static const char heading[] = "a,b,design,n,mean_difference,u,dof,low,high,t,p_different,margin,p_equivalent,"
                              "conclusion,detectable_difference,p_rank,shared_half,sharing\n";

static void
read_on(struct kitchen *kitchen, const char *batch, const char *day, double ph)
{
    char *line = text_format(
        "read %s --water distilled --meter bench --ph %.2f --temperature-c 40 --percent 1 --at %s", batch, ph,
        day);

    kitchen_do(kitchen, line);
    free(line);
}

/* Differences of 0.00, -0.08 and -0.07 on the same days (common practice, no source). */
static int
set_up(void **state)
{
    struct kitchen *kitchen;

    if (kitchen_open(state) != 0)
        return -1;
    kitchen = *state;
    kitchen_do(kitchen, "batch add W-06 --made 2026-01-01 --title 'plain bar'");
    kitchen_do(kitchen, "batch add W-07 --made 2026-01-01 --title 'oat bar'");
    kitchen_do(kitchen, "batch add W-08 --made 2026-01-01");
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02");
    read_on(kitchen, "W-06", "2026-01-03", 10.40);
    read_on(kitchen, "W-06", "2026-01-29", 9.95);
    read_on(kitchen, "W-06", "2026-05-01", 9.60);
    read_on(kitchen, "W-07", "2026-01-03", 10.40);
    read_on(kitchen, "W-07", "2026-01-29", 9.87);
    read_on(kitchen, "W-07", "2026-05-01", 9.53);
    return 0;
}

static void
two_recipes_of_the_same_days_are_practically_the_same(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "compare W-06 W-07");
    check_contains(kitchen->out, "W-07 less W-06: these two batches are practically the same");
    check_contains(kitchen->out, "difference -0.050 pH (95 %: -0.158 to +0.058)");
    check_contains(kitchen->out, " 0.19. ");
    check_contains(kitchen->out, " 0.014. ");
    kitchen_do(kitchen, "compare W-06 W-07 --csv");
    assert_memory_equal(kitchen->out, heading, strlen(heading));
    check_contains(kitchen->out, "\nW-06,W-07,paired,3,-0.05");
    check_contains(kitchen->out, ",practically the same,0.142");
    kitchen_do(kitchen, "compare W-06 W-07 --margin 0,1");
    check_contains(kitchen->out, "cannot tell yet");
    check_contains(kitchen->out, "next: curetrace plan W-06 W-07");
}

static void
thin_evidence_is_said_to_be_thin(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "compare W-06 W-08");
    check_contains(kitchen->out, "W-08 less W-06: cannot tell yet");
    check_contains(kitchen->out, "no result that can be compared");
    read_on(kitchen, "W-08", "2026-01-29", 10.9);
    kitchen_do(kitchen, "compare W-06 W-08");
    check_contains(kitchen->out, "too few to know how bars scatter");
    read_on(kitchen, "W-08", "2026-02-20", 10.8);
    read_on(kitchen, "W-08", "2026-02-21", 10.8);
    kitchen_do(kitchen, "compare W-06 W-07 W-08 --csv");
    check_contains(kitchen->out, "\nW-06,W-08,welch,3,");
    kitchen_do(kitchen, "compare W-06 W-07 W-08");
    check_contains(kitchen->out, "Holm's correction");
}

static void
a_plot_shows_both_and_their_difference(void **state)
{
    struct kitchen *kitchen = *state;
    char *path = file_join(kitchen->folder->path, "difference.svg");
    char *line = text_format("compare W-06 W-07 --plot %s", path), *svg = NULL;
    struct failure failure = {0};

    if (kitchen_run(kitchen, line) == STATUS_MISSING) { /* no gnuplot on this machine */
        check_contains(kitchen->failure.text, "gnuplot");
        skip();
    }
    check_ok(file_read(path, 1u << 22, &svg, &failure), &failure);
    check_contains(svg, "W-06 plain bar");
    check_contains(svg, "difference from W-06, pH");
    check_contains(svg, "within 0.2 pH");
    free(svg);
    free(line);
    free(path);
}

static void
wrong_comparisons_are_refused_in_one_line(void **state)
{
    static const struct {
        const char *line, *text;
    } bad[] = {
        {"compare W-06", "expected curetrace compare CONTROL CODE"},
        {"compare W-06 W-06", "named twice"},
        {"compare W-06 W-66", "there is no batch 'W-66'"},
        {"compare W-06 W-07 --margin 0", "margin"},
        {"compare W-06 W-07 --age-window 0", "age-window"},
    };
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(kitchen, bad[i].line, bad[i].text);
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, set_up, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(two_recipes_of_the_same_days_are_practically_the_same),
    KITCHEN_TEST(thin_evidence_is_said_to_be_thin),
    KITCHEN_TEST(a_plot_shows_both_and_their_difference),
    KITCHEN_TEST(wrong_comparisons_are_refused_in_one_line),
};

const struct check_module test_command_compare = CHECK_MODULE("command/compare", tests);
