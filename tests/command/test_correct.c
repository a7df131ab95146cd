/* test_correct.c - every kind of record put right: what follows is what follows in a notebook that was right from the
 * start, but for the history; what depends on times does not depend on the order of typing. */
#include <stdlib.h>
#include <string.h>

#include "check.h"
#include "kitchen.h"
#include "memory.h"
#include "text.h"

/* A notebook that is right from the start. */
static const char *const facts[] = {
    "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc",
    "gear add old --kind meter --resolution-ph 0.1 --accuracy-ph 0.2",
    "gear add strips --kind paper --steps 7,8,9,10,11,12",
    "gear add scale --kind balance --readability-g 0.01",
    "batch add R-01 --made 2026-02-20 --title plain --role control",
    "batch add W-07 --made 2026-03-02 --title oat --role variant --reference R-01 --fat 'olive oil=1000' "
    "--lye "
    "naoh=125@99%",
    "batch add W-08 --made 2026-03-02 --title rye",
    "calibrate bench --at 2026-03-20T09:00 --buffer borax@25=9.18 --buffer 'lime water@25=12.45'",
    "read R-01 --water distilled --at 2026-03-20T10:00 --meter bench --ph 9.90 --temperature-c 40 --percent "
    "1 --bar A",
    "read W-07 --water distilled --at 2026-03-20T10:30 --meter bench --ph 10.02 --paper strips --between "
    "9..10 "
    "--temperature-c 40 --soap-g 1 --water-g 99 --balance scale --bar A",
    "calibrate bench --at 2026-05-20T09:00 --buffer borax@25=9.18 --buffer 'lime water@25=12.45'",
    "read W-07 --water distilled --at 2026-05-20T10:00 --meter bench --ph 9.71 --ph 9.72 --temperature-c 40 "
    "--percent 1 --bar B",
    "titrate W-07 --at 2026-05-21T10:00 --soap-g 10 --volume-ml 0.40 --soap-g 10 --volume-ml 0.41 "
    "--acid-mol-l 0.1 "
    "--burette-ml 0.05 --bar B",
};

/* One fact that is typed wrong, and what puts it right; what is typed as well comes last. */
static const struct {
    const char *right, *wrong, *correction, *second;
} cases[] = {
    {"--ph 10.02", "--ph 11.42", "correct 2 --ph 10.02 --why 'digits turned'", NULL},
    {"--between 9..10", "--between 11..12", "correct reading 3 --between 9..10 --why 'another row'", NULL},
    {"--ph 10.02 --paper strips --between 9..10 --temperature-c 40",
     "--ph 10.02 --paper strips --between 9..10 --temperature-c 20",
     "correct reading 2 --temperature-c 40 --why 'misread'",
     "correct reading 3 --temperature-c 40 --why misread"},
    {"2026-03-20T10:00 --meter bench --ph 9.90", "2026-03-20T10:00 --meter old --ph 9.90",
     "correct reading 1 --gear bench --why 'the other one lay beside it'", NULL},
    {"2026-05-20T10:00 --meter bench", "2026-05-20T08:00 --meter bench",
     "correct reading 4 --at 2026-05-20T10:00 --why 'an hour ahead'",
     "correct reading 5 --at '20.5.2026 10:00' --why 'an hour ahead'"},
    {"--percent 1 --bar B", "--percent 1 --bar C", "correct reading 4 --bar B --why 'labels mixed up'", NULL},
    {"read W-07 --water distilled --at 2026-05-20T10:00", "read W-08 --water distilled --at 2026-05-20T10:00",
     "correct reading 5 --batch W-07 --why 'labels mixed up'", NULL},
    {"--percent 1 --bar B", "--percent 3 --bar B", "correct portion 3 --percent 1 --why 'wrote 3'", NULL},
    {"--soap-g 1 --water-g 99", "--soap-g 2 --water-g 99",
     "correct weighing 1 --mass-g 1 --why 'read the tare'", NULL},
    {"--soap-g 1 --water-g 99", "--soap-g 1 --water-g 49",
     "correct 2 --weighing --mass-g 99 --why 'two beakers'", NULL},
    {"--volume-ml 0.40", "--volume-ml 4.0", "correct titration 1 --volume-ml 0.40 --why 'a slip'", NULL},
    {"--acid-mol-l 0.1", "--acid-mol-l 0.5", "correct titration 1 --acid-mol-l 0.1 --why 'the other bottle'",
     "correct titration 2 --acid-mol-l 0.1 --why 'the other bottle'"},
    {"--burette-ml 0.05 --bar B", "--burette-ml 0.05 --bar Z", "correct titration 1 --bar B --why slip",
     "correct titration 2 --bar B --why slip"},
    {"titrate W-07 --at 2026-05-21T10:00", "titrate W-08 --at 2026-05-21T10:00",
     "correct titration 1 --batch W-07 --why slip", "correct titration 2 --batch W-07 --why slip"},
    {"read W-07 --water distilled --at 2026-05", "read W-07 --water other --at 2026-05",
     "correct observation 3 --word distilled --why 'it was the new can'", NULL},
    {"--made 2026-03-02 --title oat", "--made 2026-01-02 --title oat",
     "correct batch W-07 --poured 2026-03-02 --why 'another month'", NULL},
    {"--made 2026-03-02 --title oat --role variant", "--made 2026-03-02 --title oat --role lye-heavy",
     "correct batch W-07 --role variant --why 'the next line of the list'", NULL},
    {"--reference R-01", "--reference W-06", "correct batch W-07 --reference R-01 --why 'the right one'",
     NULL},
    {"--title oat --role", "--title oats --role", "correct batch W-07 --title oat --why 'one of them'", NULL},
    {"batch add W-07 --made", "batch add W-70 --made", "correct batch W-70 --code W-07 --why 'digits turned'",
     NULL},
    {"naoh=125@99%", "naoh=145@99%", "correct line 2 --mass-g 125 --why 'wrote 145'", NULL},
    {"naoh=125@99%", "naoh=125@49%", "correct line 2 --purity 99% --why 'the label says 99'", NULL},
    {"'olive oil=1000'", "'coconut oil=1000'", "correct line 1 --name 'olive oil' --why 'the can beside it'",
     NULL},
    {"'olive oil=1000' --lye", "'olive oil=1000' --fat 'coconut oil=200' --lye",
     "correct line 2 --withdraw --why 'that was the other batch'", NULL},
    {"--resolution-ph 0.01 --accuracy-ph 0.02", "--resolution-ph 0.1 --accuracy-ph 0.5",
     "correct gear bench --resolution-ph 0.01 --accuracy-ph 0.02 --why 'another leaflet'", NULL},
    {"--steps 7,8,9,10,11,12", "--steps 5,8,9,10,11,13",
     "correct gear strips --steps 7,8,9,10,11,12 --why 'see box'", NULL},
    {"--readability-g 0.01", "--readability-g 1",
     "correct gear scale --readability-g 0.01 --why 'two decimals'", NULL},
    {"gear add old", "gear add older", "correct gear older --name old --why 'its label'", NULL},
    {"2026-05-20T09:00 --buffer borax@25=9.18", "2026-05-20T09:00 --buffer borax@25=9.81",
     "correct buffer 3 --ph 9.18 --why 'digits turned'", NULL},
    {"2026-05-20T09:00 --buffer borax@25=9.18", "2026-05-20T09:00 --buffer borax@5=9.18",
     "correct buffer 3 --temperature-c 25 --why 'the probe was in the fridge'", NULL},
    {"2026-05-20T09:00 --buffer borax@25=9.18", "2026-05-20T09:00 --buffer phosphate@25=9.18",
     "correct buffer 3 --buffer borax --why 'the other bottle'", NULL},
    {"calibrate bench --at 2026-05-20T09:00", "calibrate bench --at 2026-05-25T09:00",
     "correct calibration 2 --at 2026-05-20T09:00 --why 'another day'", NULL},
    {"calibrate bench --at 2026-05-20T09:00", "calibrate old --at 2026-05-20T09:00",
     "correct calibration 2 --gear bench --why 'the other meter'", NULL},
};

static char *
replaced(const char *line, const char *part, const char *by)
{
    const char *at = strstr(line, part);

    return at == NULL ? memory_copy(line)
                      : text_format("%.*s%s%s", (int)(at - line), line, by, at + strlen(part));
}

/* Type all facts, one of them wrong where `index` is of a case. */
static void
type_facts(struct kitchen *kitchen, size_t index)
{
    size_t changed = 0;

    kitchen_do(kitchen, "batch add W-06 --made 2026-02-01");
    for (size_t i = 0; i < LENGTH(facts); i++) {
        bool wrong = index < LENGTH(cases) && strstr(facts[i], cases[index].right) != NULL && changed == 0;
        char *line =
            wrong ? replaced(facts[i], cases[index].right, cases[index].wrong) : memory_copy(facts[i]);

        changed += wrong ? 1U : 0U;
        if (index < LENGTH(cases) && strncmp(cases[index].wrong, "batch add W-70", 14) == 0 && !wrong) {
            char *coded = line;

            line = strstr(coded, "batch add") == NULL ? replaced(coded, "W-07", "W-70") : memory_copy(coded);
            free(coded);
        } else if (index < LENGTH(cases) && strcmp(cases[index].wrong, "gear add older") == 0 && !wrong) {
            char *coded = line;

            line = replaced(coded, "meter old ", "meter older ");
            free(coded);
        }
        kitchen_do(kitchen, line);
        free(line);
    }
    if (index < LENGTH(cases) && changed != 1)
        fail_msg("case %zu changes nothing", index);
}

static int
by_text(const void *a, const void *b)
{
    return strcmp(*(char *const *)a, *(char *const *)b);
}

/* A row's note of why it took the place of another; no reason here has a comma. */
static void
leave_out_why(char *line)
{
    char *note = strstr(line, ",corrected: "), *rest = note == NULL ? NULL : strchr(note + 1, ',');

    if (note != NULL && rest == NULL)
        note[1] = '\0';
    else if (note != NULL)
        memmove(note + 1, rest, strlen(rest) + 1);
}

/* What a command writes, without lines that hold a word of the history, and in the order of the alphabet: rows of one
 * moment come in the order of their numbers. Given. */
static char *
said(struct kitchen *kitchen, const char *command)
{
    static const char *const history[] = {",yes,", "put right", "What speaks against it", "What is missing"};
    enum { LINES_MOST = 200 };
    struct text kept = {0};
    char *copy, *rest, *line, *lines[LINES_MOST];
    size_t count = 0;

    kitchen_do(kitchen, command);
    rest = copy = memory_copy(kitchen->out);
    while ((line = strsep(&rest, "\n")) != NULL) {
        bool drop = false;

        for (size_t i = 0; i < LENGTH(history); i++)
            drop = drop || strstr(line, history[i]) != NULL;
        assert_true(count < LINES_MOST);
        leave_out_why(line);
        if (!drop)
            lines[count++] = line;
    }
    qsort(lines, count, sizeof *lines, by_text);
    for (size_t i = 0; i < count; i++)
        text_addf(&kept, "%s\n", lines[i]);
    free(copy);
    return text_take(&kept);
}

/* What follows from the evidence: each of them in the words or numbers of the command. */
static const char *const asked[] = {"verdict W-07 --csv",     "verdict R-01 --csv", "due --days 400 --csv",
                                    "trend W-07 R-01 --csv",  "recipe W-07 --csv",  "batch list",
                                    "compare R-01 W-07 --csv"};

/* From the first line that is another one on. */
static void
say_first_difference(const char *expected, const char *found)
{
    size_t from = 0;

    for (size_t i = 0; expected[i] != '\0' && expected[i] == found[i]; i++)
        from = expected[i] == '\n' ? i + 1 : from;
    print_error("right from the start: %.400s\n", expected + from);
    print_error("put right:            %.400s\n", found + from);
}

/* False, and what differs is said. */
static bool
is_same(struct kitchen *right, struct kitchen *corrected, size_t index)
{
    bool same = true;

    for (size_t i = 0; i < LENGTH(asked); i++) {
        char *expected = said(right, asked[i]), *found = said(corrected, asked[i]);

        if (strcmp(expected, found) != 0) {
            same = false;
            print_error("case %zu (%s), %s\n", index, cases[index].correction, asked[i]);
            say_first_difference(expected, found);
        }
        free(expected);
        free(found);
    }
    return same;
}

static void
every_record_put_right_is_as_if_right_from_the_start(void **state)
{
    struct kitchen *right = *state;
    size_t different = 0;

    type_facts(right, SIZE_MAX);
    for (size_t i = 0; i < LENGTH(cases); i++) {
        void *other = NULL;
        struct kitchen *corrected;

        assert_int_equal(kitchen_open(&other), 0);
        corrected = other;
        type_facts(corrected, i);
        kitchen_do(corrected, cases[i].correction);
        if (cases[i].second != NULL)
            kitchen_do(corrected, cases[i].second);
        different += is_same(right, corrected, i) ? 0U : 1U;
        kitchen_do(corrected, "verify");
        assert_int_equal(kitchen_close(&other), 0);
    }
    assert_int_equal(different, 0);
}

/* R1: a slip in a calibration holds a released batch; put right, the batch is released as it was. */
static void
a_slip_in_a_calibration_is_taken_back(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "policy ages 1");
    for (size_t i = 0; i < LENGTH(facts); i++)
        kitchen_do(kitchen,
                   strstr(facts[i], "--reference") == NULL ? facts[i] : "batch add W-07 --made 2026-03-02");
    kitchen_do(kitchen, "batch release W-07");
    kitchen_do(kitchen,
               "calibrate bench --at 2026-05-20T09:30 --buffer borax@25=8.12 --buffer 'lime water@25=11.92'");
    check_contains(kitchen->out, "W-07 is held now");
    kitchen_do(kitchen, "correct calibration 3 --withdraw --why 'digits turned'");
    check_contains(kitchen->out,
                   "W-07 is released now (what it was held for no longer stands; calibration 3 was "
                   "withdrawn: digits turned)");
    kitchen_do(kitchen, "batch show W-07");
    check_contains(kitchen->out, "state      released");
    check_contains(kitchen->out, "calibration 3: withdrawn: digits turned");
    kitchen_refuses(kitchen, "correct calibration 3 --note x --why y", "calibration 3 was withdrawn already");
}

/* R2: a calibration that is kept after the readings it was made before is used. */
static void
a_calibration_kept_late_is_used_and_said(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, facts[0]);
    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02");
    kitchen_do(kitchen,
               "read W-07 --water distilled --at 2026-05-20T10:00 --ph 9.71 --temperature-c 40 --percent 1");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "W-07: not-judged");
    kitchen_do(
        kitchen,
        "calibrate bench --at '20.5.2026 09:00' --buffer borax@25=9.18 --buffer 'lime water@25=12.45'");
    check_contains(kitchen->out, "W-07 was not-judged, and is within now");
    kitchen_do(kitchen, "verdict W-07");
    check_contains(kitchen->out, "60 min before");
}

static void
what_makes_no_sense_is_refused(void **state)
{
    static const struct {
        const char *line, *says;
    } bad[] = {
        {"correct batch W-07 --poured 2026-03-21 --why x",
         "would be of before the day batch W-07 was poured"},
        {"correct batch W-07 --code W-08 --why x", "is the code of batch W-08 already"},
        {"correct batch W-07 --reference W-07 --why x", "not its own reference"},
        {"correct gear bench --name strips --why x", "there is gear named 'strips' already"},
        {"correct reading 1 --calibration 2 --why x", "is not one of its meter from before that reading"},
        {"correct reading 1 --gear strips --why x", "'strips' is a paper, not a meter"},
        {"correct reading 1 --title x --why x", "--title is not said of a reading"},
        {"correct batch W-07 --withdraw --why x", "a batch is not withdrawn"},
        {"correct titration 1 --soap-g 2000 --why x",
         "soap_mass_g of titration: 2000, allowed is above 0 to"},
        {"correct buffer 99 --ph 9 --why x", "there is no buffer number 99"},
        {"correct planet 1 --why x", "'planet' is nothing that can be put right"},
        {"correct batch W-07 --title x", "say why"}};
    struct kitchen *kitchen = *state;

    for (size_t i = 0; i < LENGTH(facts); i++)
        kitchen_do(kitchen, strstr(facts[i], "W-06") == NULL ? facts[i] : facts[0]);
    for (size_t i = 0; i < LENGTH(bad); i++)
        kitchen_refuses(kitchen, bad[i].line, bad[i].says);
    kitchen_do(kitchen, "verify");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_slip_in_a_calibration_is_taken_back, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(a_calibration_kept_late_is_used_and_said, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(what_makes_no_sense_is_refused, kitchen_open, kitchen_close),
    cmocka_unit_test_setup_teardown(every_record_put_right_is_as_if_right_from_the_start, kitchen_open,
                                    kitchen_close),
};

const struct check_module test_command_correct = CHECK_MODULE("command/correct", tests);
