/* test_step_file.c - procedure files: what they give, and every mistake with its line. */
#include "check.h"
#include "file.h"
#include "step_file.h"

static const char sound[] = "; a comment\n"
                            "[procedure]\n"
                            "title = Test\n"
                            "summary = One line\n"
                            "  and one more\n"
                            "applies = soap-solution\n"
                            "limit_ph = 10,5\n"
                            "cautions =\n"
                            "  Gloves.\n"
                            "  Goggles.\n"
                            "\n"
                            "[step water]\n"
                            "scope = session\n"
                            "kind = do\n"
                            "text = Boil it.\n"
                            "[step soap]\n"
                            "kind = mass\n"
                            "records = soap\n"
                            "text: Weigh it.\n"
                            "target = 1.00\n"
                            "tolerance = 0.2\n"
                            "unit = g\n"
                            "[step look]\n"
                            "kind = choice\n"
                            "text = How?\n"
                            "choices = clear, undissolved bits\n"
                            "expected = clear\n"
                            "optional = yes\n"
                            "[step ph]\n"
                            "kind = ph\n"
                            "records = reading\n"
                            "text = Read.\n"
                            "replicates = 3\n";

static void
a_file_becomes_steps(void **state)
{
    struct failure failure = {0};
    struct procedure procedure = {0};
    struct text mistakes = {0};

    (void)state;
    check_ok(step_file_parse("some/where/try.ini", sound, &procedure, &mistakes, &failure), &failure);
    assert_string_equal(procedure.name, "try");
    assert_string_equal(procedure.summary, "One line and one more");
    assert_int_equal(procedure.subject, PROCEDURE_SOAP_SOLUTION);
    check_close(procedure.limit_ph, 10.5, 0, "as written, with a decimal comma");
    check_close(procedure.temperature_c, 40, 0, "method.md, section 1");
    assert_int_equal(procedure.cautions.count, 2);
    assert_string_equal(procedure.cautions.items[1], "Goggles.");
    assert_int_equal(procedure.step_count, 4);
    assert_int_equal(procedure.steps[0].scope, STEP_SESSION);
    assert_string_equal(procedure.steps[1].text, "Weigh it.");
    assert_int_equal(procedure.steps[1].records, RECORDS_SOAP);
    check_close(procedure.steps[1].tolerance, 0.2, 0, "as written");
    assert_int_equal(procedure.steps[2].choices.count, 2);
    assert_string_equal(procedure.steps[2].choices.items[1], "undissolved bits");
    assert_int_equal(procedure.steps[2].optional, 1);
    assert_int_equal(procedure.steps[3].replicates, 3);
    assert_int_equal(procedure.steps[3].line, 29);
    assert_true(procedure_needs(&procedure, STEP_PH));
    assert_false(procedure_needs(&procedure, STEP_PAPER));
    assert_string_equal(text_of(&mistakes), "");
    procedure_clear(&procedure);
}

static void
line_ends_and_byte_order_marks_do_not_matter(void **state)
{
    struct failure failure = {0};
    struct procedure procedure = {0};
    struct text mistakes = {0}, changed = {0};

    (void)state;
    text_add(&changed, "\xef\xbb\xbf");
    for (const char *next = sound; *next != '\0'; next++) {
        if (*next == '\n')
            text_add(&changed, "\r");
        text_add_bytes(&changed, next, 1);
    }
    check_ok(step_file_parse("try", text_of(&changed), &procedure, &mistakes, &failure), &failure);
    assert_int_equal(procedure.step_count, 4);
    assert_string_equal(procedure.cautions.items[1], "Goggles.");
    procedure_clear(&procedure);
    text_clear(&changed);
}

static void
the_hash_is_blake2b_256(void **state)
{
    struct failure failure = {0};
    struct procedure procedure = {0};
    struct text mistakes = {0};
    static const char least[] = "[procedure]\ntitle=a\nsummary=b\napplies=meter\ncautions=c\n[step s]\n"
                                "kind=do\ntext=d\n";

    (void)state;
    check_ok(step_file_parse("try.ini", least, &procedure, &mistakes, &failure), &failure);
    /* b2sum -l 256 of GNU coreutils 9.1 on the same bytes */
    assert_string_equal(procedure.hash, "50a987940b2092fc904514d156010d9a4bf5660a433f2406e8ef1d78e9d15076");
    assert_string_equal(procedure.source, least);
    assert_int_equal(procedure.steps[0].scope, STEP_SESSION); /* a meter has no specimens */
    procedure_clear(&procedure);
}

/* Each piece stands in place of a part of the sound file; the line is that of the mistake. */
static const struct {
    const char *part, *instead, *mistake;
} wrong[] = {
    {"title = Test", "titel = Test", "try.ini:3: 'titel' is unknown here, did you mean 'title'?"},
    {"title = Test", "titel = Test", "try.ini:2: [procedure] needs a title"},
    {"title = Test", "title =", "try.ini:2: [procedure] needs a title"},
    {"title = Test", "title = Test\ntitle = Two", "try.ini:4: 'title' stands here a second time"},
    {"title = Test", "title Test", "try.ini:3: 'title Test' has no '=', expected key = value"},
    {"title = Test", "title = Te\x01st",
     "try.ini:3: control characters or broken UTF-8: 'title = Te\\x01st'"},
    {"title = Test", "title = Te\xffst", "try.ini:3: control characters or broken UTF-8"},
    {"title = Test", "title = Rinse ; then read", "try.ini:3: a ';' behind a blank would begin a comment"},
    {"title = Test", "wxyz = 1\ntitle = Test", "try.ini:3: 'wxyz' is unknown here\n"},
    {"summary = One line", "", "try.ini:2: [procedure] needs a summary"},
    {"applies = soap-solution", "", "try.ini:2: [procedure] needs 'applies'"},
    {"applies = soap-solution", "applies = soup",
     "try.ini:6: applies 'soup' is unknown, allowed are soap-solution"},
    {"applies = soap-solution", "applies = meter",
     "step 'soap': 'soap' is recorded for a specimen, but the scope is session"},
    {"limit_ph = 10,5", "limit_ph = 13", "try.ini:7: limit_ph is 13, allowed is 7 to 11"},
    {"limit_ph = 10,5", "limit_ph = high", "try.ini:7: limit_ph: 'high' is not a number"},
    {"limit_ph = 10,5", "limit_ph = 8",
     "try.ini:2: usual_low_ph is 8.5, allowed is 7 to below clear_ph, which is 8"},
    {"limit_ph = 10,5", "clear_ph = 10.71", "try.ini:7: clear_ph is 10.71, allowed is 7 to 10.7"},
    {"limit_ph = 10,5", "limit_ph = 10\nclear_ph = 10.1",
     "try.ini:2: clear_ph is 10.1, allowed is above 7 to 10: it may be lowered, not raised"},
    {"limit_ph = 10,5", "limit_ph = 10\n  5", "try.ini:8: 'limit_ph' has one line, it cannot be continued"},
    {"limit_ph = 10,5", "temperature_c = 60", "try.ini:7: temperature_c is 60, allowed is 15 to 50"},
    {"limit_ph = 10,5", "concentration_pct = 5", "try.ini:7: concentration_pct is 5, allowed is 0.5 to 2"},
    {"  Gloves.\n  Goggles.\n", "", "try.ini:2: [procedure] needs cautions, at least one"},
    {"[procedure]", "", "try.ini:1: there is no [procedure] section"},
    {"[procedure]", "", "try.ini:3: 'title' stands before the heading [procedure]"},
    {"[procedure]", "[procedur]",
     "try.ini:2: section 'procedur' is unknown, expected [procedure] or [step KEY]"},
    {"[procedure]", "[procedure", "try.ini:2: '[procedure' is no heading"},
    {"[procedure]", "[procedure] x", "is no heading, expected [procedure] or [step KEY] alone on its line"},
    {"[step water]", "[procedure]\n[step water]",
     "try.ini:12: [procedure] stands here a second time, first in line 2"},
    {"[step water]", "[step]", "try.ini:12: '' cannot name a step"},
    {"[step water]", "[step Wa ter]",
     "try.ini:12: 'Wa ter' cannot name a step, allowed are 1 to 40 small letters"},
    {"[step water]", "[step soap]", "try.ini:16: step 'soap' stands here a second time, first in line 12"},
    {"kind = do", "", "try.ini:12: step 'water' needs a kind"},
    {"kind = do", "kind = dance", "kind 'dance' is unknown, allowed are do, wait, mass"},
    {"text = Boil it.", "", "try.ini:12: step 'water' needs a text"},
    {"text = Boil it.", "text = Boil it.\nchoices = a, b",
     "step 'water': 'choices' does not belong to a step of kind do"},
    {"text = Boil it.", "text = Boil it.\ntarget = 3",
     "step 'water': 'target' does not belong to a step of kind do"},
    {"kind = do", "kind = wait", "try.ini:12: step 'water': a wait needs duration_s"},
    {"kind = do", "kind = wait\nduration_s = 0", "try.ini:15: duration_s is 0, allowed is 1 to 86400"},
    {"kind = do", "kind = wait\nduration_s = 1.5", "try.ini:15: duration_s is 1.5, expected a whole number"},
    {"scope = session", "scope = bench", "scope 'bench' is unknown, allowed are session, specimen"},
    {"[step look]\n", "[step look]\nscope = session\n",
     "step 'look' is for the session but stands between steps"},
    {"records = soap", "records = soapy", "try.ini:18: records 'soapy' is unknown, allowed are answer, soap"},
    {"records = soap", "records = reading", "step 'soap': a step of kind mass cannot record 'reading'"},
    {"records = soap", "records = soap\nscope = session",
     "'soap' is recorded for a specimen, but the scope is session"},
    {"records = soap", "records = water",
     "step 'soap': the water is computed from the portion, weigh that first"},
    {"records = soap", "records = water",
     "step 'soap': the mass of water is computed from the portion, it has no"},
    {"records = soap", "records = soap\nreplicates = 2",
     "step 'soap': a specimen has one mass of soap, not 2"},
    {"target = 1.00\n", "", "step 'soap': a tolerance needs a target"},
    {"target = 1.00\n", "target = 1.00\n  tolerance = 3\n",
     "try.ini:21: 'tolerance' begins with blanks and so continues"},
    {"target = 1.00", "target = -1", "try.ini:20: target is -1, allowed is 0 to 100000"},
    {"unit = g", "unit = kg", "step 'soap': the unit of kind mass is g, not 'kg'"},
    {"expected = clear", "expected = bright",
     "step 'look': 'bright' is expected, but it is not among the choices"},
    {"choices = clear, undissolved bits", "choices = clear",
     "step 'look': a choice needs two choices or more"},
    {"choices = clear, undissolved bits", "choices = clear, Clear", "step 'look': 'Clear' is there twice"},
    {"choices = clear, undissolved bits", "choices = clear, back", "'back' is a word of the walk-through"},
    {"optional = yes", "optional = maybe", "optional 'maybe' is unknown, allowed are no, yes"},
    {"replicates = 3", "replicates = 21", "try.ini:33: replicates is 21, allowed is 1 to 20"},
    {"replicates = 3", "target = 15", "step 'ph': a pH lies between 0 and 14"},
    {"replicates = 3", "buffer = boraks", "did you mean"},
    {"replicates = 3", "buffer = borax\ntarget = 9",
     "the pH of a buffer comes from its table, it has no target"},
};

static char *
with(const char *part, const char *instead)
{
    const char *place = strstr(sound, part);

    assert_non_null(place);
    return text_format("%.*s%s%s", (int)(place - sound), sound, instead, place + strlen(part));
}

static void
every_mistake_is_told_with_its_line(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(wrong); i++) {
        struct failure failure = {0};
        struct procedure procedure = {0};
        struct text mistakes = {0};
        char *text = with(wrong[i].part, wrong[i].instead);

        check_refused(step_file_parse("try.ini", text, &procedure, &mistakes, &failure), STATUS_FORMAT,
                      &failure);
        check_contains(text_of(&mistakes), wrong[i].mistake);
        assert_null(procedure.steps);
        free(text);
        text_clear(&mistakes);
    }
}

static void
mistakes_do_not_hide_one_another(void **state)
{
    struct failure failure = {0};
    struct procedure procedure = {0};
    struct text mistakes = {0};
    static const char text[] = "[procedure]\n"
                               "titel = x\n"
                               "nonsense\n"
                               "[step a]\n"
                               "kind = swim\n"
                               "[step b]\n"
                               "kind = wait\n"
                               "text = t\n";

    (void)state;
    check_refused(step_file_parse("try.ini", text, &procedure, &mistakes, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(
        text_of(&mistakes),
        "try.ini:2: 'titel' is unknown here, did you mean 'title'?\n"
        "try.ini:3: 'nonsense' has no '=', expected key = value\n"
        "try.ini:5: kind 'swim' is unknown, allowed are do, wait, mass, volume, concentration, "
        "temperature, ph, paper, choice, note\n"
        "try.ini:1: [procedure] needs a title\n"
        "try.ini:1: [procedure] needs a summary\n"
        "try.ini:1: [procedure] needs 'applies': soap-solution, meter or titration\n"
        "try.ini:1: [procedure] needs cautions, at least one\n"
        "try.ini:4: step 'a' needs a text\n"
        "try.ini:6: step 'b': a wait needs duration_s\n");
    assert_string_equal(failure.text, "try.ini:2: 'titel' is unknown here, did you mean 'title'? (and 8 more "
                                      "mistakes in this file)");
    text_clear(&mistakes);
}

/* A line of `length` bytes in a file that is otherwise sound. */
static enum status
parse_with_line_of(size_t length, struct procedure *ret, struct text *mistakes, struct failure *failure)
{
    char line[300] = "title = ", *text;
    enum status status;

    memset(line + 8, 'v', length - 8);
    line[length] = '\0';
    text = with("title = Test", line);
    status = step_file_parse("try.ini", text, ret, mistakes, failure);
    free(text);
    return status;
}

static void
long_lines_are_whole_or_refused(void **state)
{
    struct failure failure = {0};
    struct procedure procedure = {0};
    struct text mistakes = {0};

    (void)state;
    check_ok(parse_with_line_of(197, &procedure, &mistakes, &failure), &failure);
    assert_int_equal(strlen(procedure.title), 189);
    procedure_clear(&procedure);
    check_refused(parse_with_line_of(198, &procedure, &mistakes, &failure), STATUS_FORMAT, &failure);
    check_contains(text_of(&mistakes),
                   "try.ini:3: the line has 198 bytes, allowed are 197: go on in the next line");
    text_clear(&mistakes);
}

static void
empty_and_huge_files_are_refused(void **state)
{
    struct failure failure = {0};
    struct procedure procedure = {0};
    struct text mistakes = {0}, huge = {0};

    (void)state;
    check_refused(step_file_parse("try.ini", "", &procedure, &mistakes, &failure), STATUS_FORMAT, &failure);
    assert_string_equal(failure.text, "try.ini:1: there is no [procedure] section");
    text_add(&huge, sound);
    while (huge.length <= STEP_FILE_LARGEST)
        text_add(&huge, "; more\n");
    check_refused(step_file_parse("try.ini", text_of(&huge), &procedure, &mistakes, &failure), STATUS_FORMAT,
                  &failure);
    assert_string_equal(failure.text, "try.ini:1: the file has more than 65536 bytes");
    check_refused(step_file_read("/nowhere/try.ini", &procedure, &mistakes, &failure), STATUS_MISSING,
                  &failure);
    text_clear(&huge);
    text_clear(&mistakes);
}

static void
a_flood_of_steps_and_mistakes_stays_small(void **state)
{
    struct failure failure = {0};
    struct procedure procedure = {0};
    struct text mistakes = {0}, flood = {0};

    (void)state;
    text_add(&flood, sound);
    for (int i = 0; i < 200; i++)
        text_addf(&flood, "[step s%d]\nq\n", i);
    check_refused(step_file_parse("try.ini", text_of(&flood), &procedure, &mistakes, &failure), STATUS_FORMAT,
                  &failure);
    check_contains(text_of(&mistakes), "step 's96' is one too many, allowed are 100");
    check_contains(failure.text, "more mistakes in this file");
    assert_true(mistakes.length < 20000);
    text_clear(&flood);
    text_clear(&mistakes);
}

static void
the_shipped_procedures_are_sound(void **state)
{
    static const struct {
        const char *name;
        enum procedure_subject subject;
        bool meter;
    } shipped[] = {
        {"soap-1pct-40c", PROCEDURE_SOAP_SOLUTION, true},
        {"soap-1pct-room", PROCEDURE_SOAP_SOLUTION, true},
        {"paper-only", PROCEDURE_SOAP_SOLUTION, false},
        {"meter-check", PROCEDURE_METER, true},
        {"free-alkali-titration", PROCEDURE_TITRATION, false},
        {"free-alkali-by-weight", PROCEDURE_TITRATION, false},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(shipped); i++) {
        struct failure failure = {0};
        struct procedure procedure = {0};
        struct text mistakes = {0};
        char *path = text_format("%s/procedures/%s.ini", getenv("SOURCE_ROOT"), shipped[i].name);

        check_ok(step_file_read(path, &procedure, &mistakes, &failure), &failure);
        assert_string_equal(procedure.name, shipped[i].name);
        assert_int_equal(procedure.subject, shipped[i].subject);
        assert_int_equal(procedure_needs(&procedure, STEP_PH), shipped[i].meter);
        assert_true(procedure.cautions.count >= 3);
        check_close(procedure.limit_ph, 11.0, 0, "method.md, section 5: common practice");
        procedure_clear(&procedure);
        free(path);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_file_becomes_steps),
    cmocka_unit_test(line_ends_and_byte_order_marks_do_not_matter),
    cmocka_unit_test(the_hash_is_blake2b_256),
    cmocka_unit_test(every_mistake_is_told_with_its_line),
    cmocka_unit_test(mistakes_do_not_hide_one_another),
    cmocka_unit_test(long_lines_are_whole_or_refused),
    cmocka_unit_test(empty_and_huge_files_are_refused),
    cmocka_unit_test(a_flood_of_steps_and_mistakes_stays_small),
    cmocka_unit_test(the_shipped_procedures_are_sound),
};

const struct check_module test_procedure_step_file = CHECK_MODULE("procedure/step_file", tests);
