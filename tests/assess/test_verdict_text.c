/* test_verdict_text.c - a verdict in words. */
#include "bench.h"
#include "standing.h"
#include "verdict_text.h"

/* As lines, each begun by what kind it is. */
static void
add_lines(const struct sentences *said, struct text *text)
{
    static const char *const kinds[] = {[SENTENCE_HEADING] = "",
                                        [SENTENCE_PLAIN] = "  ",
                                        [SENTENCE_REASON] = "  - ",
                                        [SENTENCE_CAUTION] = "Caution: ",
                                        [SENTENCE_NEXT] = "next: "};

    for (size_t i = 0; i < said->count; i++) {
        text_addf(text, "%s%s", kinds[said->items[i].kind], said->items[i].text);
        for (size_t k = 0; k < said->items[i].word_count; k++)
            text_addf(text, "%s%s", k == 0 ? " | " : " ", said->items[i].words[k]);
        text_add(text, "\n");
    }
}

/* The verdict on the first portion. */
static struct verdict
judged(const struct dossier *bench)
{
    struct failure failure = {0};
    struct verdict_list list = {0};
    struct verdict verdict;

    check_ok(verdict_of_all(bench, NULL, &list, &failure), &failure);
    verdict = list.verdicts[0];
    verdict_list_clear(&list);
    return verdict;
}

/* The whole text of a batch. Given: free() it. */
static char *
text_for(const struct dossier *bench)
{
    struct conclusion conclusion = {0};
    struct failure failure = {0};
    struct sentences said = {0};
    struct text text = {0};

    check_ok(conclusion_of(bench, NULL, &conclusion, &failure), &failure);
    for (size_t i = 0; i < conclusion.ph.count; i++)
        verdict_say_bar(&conclusion.ph.verdicts[i], &said);
    verdict_say_closing(&conclusion.ph, conclusion.verdict, &said);
    standing_say_next(&conclusion, &said);
    add_lines(&said, &text);
    sentences_clear(&said);
    conclusion_clear(&conclusion);
    return text_take(&text);
}

static void
says(const struct dossier *bench, const char *part)
{
    char *text = text_for(bench);

    check_contains(text, part);
    free(text);
}

static void
lacks(const struct dossier *bench, const char *part)
{
    char *text = text_for(bench);

    check_lacks(text, part);
    free(text);
}

static void
a_sound_bar_reads_with_what_it_rests_on(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    for (int i = 0; i < 3; i++)
        bench_ph(&bench, specimen, 9.93 + 0.01 * i, 40.1);
    says(&bench, "W-07, 7 days old: within\n");
    says(&bench, "pH 9.94 +/- 0.04 at 40 degC and 1.00 % (95 %, k = ");
    says(&bench,
         "from 3 meter readings of one cup; within up to 10.7, lye-heavy above 11; probability of being "
         "above them less than 0.1 % and less than 0.1 %\n");
    says(&bench, "at this reading, 0.1 % more of free lye would show as +0.1");
    says(&bench, "read as pH 9.94 at 40.1 degC and 1.00 %, meter bench, checked in borax and "
                 "lime water at 25.0 degC, 33 min before\n");
    says(&bench, "free alkali by this pH");
    says(&bench, "What a pH cannot prove");
    says(&bench, "A titration can");
    says(&bench, "ATC");
    says(&bench, "licensed cosmetic safety assessor");
    says(
        &bench,
        "next: let it cure on, and test it again from 2024-11-01 on | test W-07\n"); /* day 20028 since 1970 */
    lacks(&bench, "goggles");
    dossier_clear(&bench);
}

static void
a_lye_heavy_or_doubtful_bar_carries_the_cautions(void **state)
{
    static const double ph[] = {11.31, 10.99};

    (void)state;
    for (size_t i = 0; i < LENGTH(ph); i++) {
        struct dossier bench;

        bench_ph(&bench, bench_ready(&bench), ph[i], 40.0);
        says(&bench, i == 0 ? "lye-heavy" : "doubtful");
        says(&bench, "gloves and goggles");
        says(&bench, "lye goes into water");
        says(&bench, "never test soap on the tongue");
        says(&bench, "children and pets");
        says(&bench, "batch held");
        says(&bench, "What a pH cannot prove");
        says(&bench, i == 0 ? "next: keep it held, and titrate two bars, labelled | titrate W-07"
                            : "next: keep it held, and titrate a portion | titrate W-07");
        dossier_clear(&bench);
    }
}

static void
an_unchecked_meter_is_told_what_to_do(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0)->calibration_id = 0;
    says(&bench, "not-judged");
    says(&bench, "not checked in any buffer");
    says(&bench, "no calibration of the meter is on record");
    says(&bench, "next: put the meter against borax and lime water");
    lacks(&bench, "probability");
    bench.readings[0].ph = 11.4;
    says(&bench, "a reading that cannot clear a bar comes to pH 11.40, as far as that is known, and speaks "
                 "against it");
    says(&bench, "next: keep it held, and titrate two bars, labelled");
    bench.readings[0].ph = 10.8;
    says(&bench, "next: keep it held, put the meter against borax and lime water, and test it again | "
                 "calibrate bench");
    dossier_clear(&bench);
}

static void
paper_alone_is_told_as_a_range(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_paper(&bench, specimen, 8.0, 9.0);
    says(&bench, "paper: pH 8.0 to 9.0 as read; lye-heavy above 11");
    says(&bench, "paper alone can warn and never clears a bar");
    says(&bench, "paper strips");
    says(&bench, "next: use a meter");
    lacks(&bench, "ATC");
    dossier_clear(&bench);
}

static void
what_is_off_is_told_with_its_number(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.94, 24.5);
    bench.specimens[0].water_mass_g = 82.3;
    says(&bench, "read at 24.5 degC instead of 40 +/- 2 and brought to 40");
    says(&bench, "1.20 % instead of 1.00 +/- 0.02");
    bench.readings[0].temperature_c = 60.0;
    says(&bench, "outside 15 to 50 degC");
    says(&bench, "cannot be brought to 40 degC and 1 %");
    bench.readings[0].temperature_c = NAN;
    says(&bench, "temperature not measured");
    bench.readings[0].temperature_c = 40.0;
    bench.specimens[0].water_mass_g = 19.0;
    says(&bench, "5.00 %: outside 0.5 to 2 %");
    bench.specimens[0].water_mass_g = 99.0;
    bench.readings[0].ph = 9.0;
    says(&bench, "outside the buffers (pH 9.18 to 12.45), by at most 1 pH");
    bench.readings[0].ph = 8.0;
    says(&bench, "more than 1 pH outside the buffers (pH 9.18 to 12.45)");
    dossier_clear(&bench);
}

static void
deviations_and_drift_and_a_marginal_calibration_are_told(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    bench.answers = memory_new(1, sizeof *bench.answers);
    bench.answer_count = 1;
    answer_init(&bench.answers[0]);
    bench.answers[0].session_id = 1;
    bench.answers[0].deviation = memory_copy("gel \033[31mon cooling");
    bench.calibrations[0].verdict = CALIBRATION_MARGINAL;
    bench.calibrations[0].reason = memory_copy("the slope is 93 %");
    bench_point(bench_calibration(&bench, bench_day(7) + 7200, CALIBRATION_CHECK), "borax", 9.18, 9.26);
    says(&bench, "deviation: gel \\x1b[31mon cooling"); /* what was typed cannot steer the terminal */
    says(&bench, "the calibration is marginal: the slope is 93 %");
    says(&bench, "0.08 pH off");
    dossier_clear(&bench);
}

static void
every_flag_has_its_sentence(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct verdict verdict = {0};

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    bench.answers = memory_new(1, sizeof *bench.answers);
    bench.answer_count = 1;
    answer_init(&bench.answers[0]);
    bench.answers[0].session_id = 1;
    bench.answers[0].deviation = memory_copy("cloudy");
    verdict = judged(&bench);
    for (int flag = 0; flag < FLAG_COUNT; flag++) {
        struct verdict one = verdict;
        struct sentences with = {0}, without = {0};

        one.flags = 0;
        verdict_say_bar(&one, &without);
        flag_set(&one.flags, (enum flag)flag);
        verdict_say_bar(&one, &with);
        assert_int_equal(with.count, without.count + 1);
        for (size_t i = 0; i < without.count; i++)
            assert_string_equal(with.items[i].text, without.items[i].text);
        assert_int_equal(with.items[without.count].kind, SENTENCE_REASON);
        assert_true(strlen(with.items[without.count].text) > 15);
        check_lacks(with.items[without.count].text, "(null)");
        assert_null(strchr(with.items[without.count].text, '\n'));
        sentences_clear(&with);
        sentences_clear(&without);
    }
    dossier_clear(&bench);
}

static void
the_budget_is_a_line_a_component_and_a_total(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct verdict verdict = {0};
    struct text text = {0};

    (void)state;
    bench_ph(&bench, specimen, 9.94, 30.0);
    verdict = judged(&bench);
    verdict_text_budget(&verdict, &text);
    check_contains(text_of(&text), "component");
    /* 0.02 on 2 degrees, widened to 5: times 2.920 / 2.015 (tables of t) */
    check_contains(text_of(&text), "scatter (assumed)        0.0290 normal");
    check_contains(text_of(&text), "meter resolution         0.0050 rectangular");
    check_contains(text_of(&text), " whole for the free share");
    check_contains(text_of(&text), "buffers");
    check_contains(text_of(&text), "100.0%");
    text_clear(&text);
    bench.readings[0].temperature_c = NAN;
    verdict = judged(&bench);
    verdict_text_budget(&verdict, &text);
    check_contains(text_of(&text), "no uncertainty budget");
    text_clear(&text);
    dossier_clear(&bench);
}

static void
several_bars_share_one_closing(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    char *text;
    size_t closings = 0;

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    bench_ph(&bench, bench_specimen(&bench, 1, 1.0), 11.4, 40.0);
    bench.specimens[1].bar = memory_copy("corner");
    says(&bench, "W-07, bar corner, 7 days old: lye-heavy");
    says(&bench, "next: keep it held, and titrate bar corner");
    text = text_for(&bench);
    for (const char *at = strstr(text, "cannot prove"); at != NULL; at = strstr(at + 1, "cannot prove"))
        closings++;
    assert_int_equal(closings, 1);
    free(text);
    dossier_clear(&bench);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_sound_bar_reads_with_what_it_rests_on),
    cmocka_unit_test(a_lye_heavy_or_doubtful_bar_carries_the_cautions),
    cmocka_unit_test(an_unchecked_meter_is_told_what_to_do),
    cmocka_unit_test(paper_alone_is_told_as_a_range),
    cmocka_unit_test(what_is_off_is_told_with_its_number),
    cmocka_unit_test(deviations_and_drift_and_a_marginal_calibration_are_told),
    cmocka_unit_test(every_flag_has_its_sentence),
    cmocka_unit_test(the_budget_is_a_line_a_component_and_a_total),
    cmocka_unit_test(several_bars_share_one_closing),
};

const struct check_module test_assess_verdict_text = CHECK_MODULE("assess/verdict_text", tests);
