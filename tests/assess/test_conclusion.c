/* test_conclusion.c - pH and titration of a batch taken together: the rules of conclusion.h as tables. */
#include "bench.h"
#include "conclusion.h"

/* pH at seven days that is within, doubtful or lye-heavy (test_verdict.c), in a session of its own. */
static void
read_at(struct dossier *bench, int age_d, double ph)
{
    int64_t specimen = bench_specimen(bench, bench_session(bench, bench_day(age_d)), 1.0);
    int64_t calibration = bench_calibrated(bench, bench_day(age_d) - 1800);

    for (int i = -1; i <= 1; i++)
        bench_ph(bench, specimen, ph + 0.01 * i, 40.0)->calibration_id = calibration;
}

/* Three portions, two hours after a pH of that day; 0.4 mL is within, 1.9 borderline, 5 hold, 20 irritant. */
static void
titrate_at(struct dossier *bench, int age_d, double volume_ml)
{
    for (int i = 0; i < 3; i++)
        bench_titration(bench, bench_day(age_d) + 7200, volume_ml + 0.01 * i);
}

static void
both_are_joined_by_the_rules(void **state)
{
    static const struct {
        double ph;
        int ph_age_d;
        double volume_ml;
        int titrated_age_d;
        enum verdict_word verdict;
        enum conclusion_basis basis;
        bool disagree;
        const char *rule;
    } cases[] = {
        {9.94, 7, 0, 0, VERDICT_WITHIN, CONCLUSION_PH, false, "pH alone"},
        {10.97, 7, 0, 0, VERDICT_DOUBTFUL, CONCLUSION_PH, false, "pH alone"},
        {11.31, 7, 0, 0, VERDICT_LYE_HEAVY, CONCLUSION_PH, false, "pH alone"},
        {0, 0, 0.4, 7, VERDICT_WITHIN, CONCLUSION_TITRATION, false, "titration alone"},
        {0, 0, 1.9, 7, VERDICT_DOUBTFUL, CONCLUSION_TITRATION, false, "rule 1: borderline"},
        {0, 0, 5.0, 7, VERDICT_LYE_HEAVY, CONCLUSION_TITRATION, false, "rule 1: hold"},
        {0, 0, 20.0, 7, VERDICT_LYE_HEAVY, CONCLUSION_TITRATION, false, "rule 1: irritant"},
        {11.31, 7, 0.4, 7, VERDICT_WITHIN, CONCLUSION_TITRATION, true, "rule 3: the same day"},
        {11.31, 7, 0.4, 8, VERDICT_WITHIN, CONCLUSION_TITRATION, true, "rule 3: earlier pH"},
        {11.31, 9, 0.4, 8, VERDICT_LYE_HEAVY, CONCLUSION_PH, true, "rule 3: later and worse"},
        {10.97, 9, 0.4, 8, VERDICT_DOUBTFUL, CONCLUSION_PH, true, "rule 3: later and worse"},
        {9.94, 9, 0.4, 8, VERDICT_WITHIN, CONCLUSION_TITRATION, false, "rule 3: later and as good"},
        {9.94, 28, 5.0, 7, VERDICT_LYE_HEAVY, CONCLUSION_TITRATION, true, "rule 2: pH never clears"},
        {9.94, 28, 1.9, 7, VERDICT_DOUBTFUL, CONCLUSION_TITRATION, true, "rule 2: pH never clears"},
        {11.31, 28, 1.9, 7, VERDICT_LYE_HEAVY, CONCLUSION_PH, true, "rule 3: later and worse"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = bench_new();
        struct failure failure = {0};
        struct conclusion conclusion;

        if (cases[i].ph > 0)
            read_at(&bench, cases[i].ph_age_d, cases[i].ph);
        if (cases[i].volume_ml > 0)
            titrate_at(&bench, cases[i].titrated_age_d, cases[i].volume_ml);
        check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
        if (conclusion.verdict != cases[i].verdict || conclusion.basis != cases[i].basis)
            print_error("case %zu, %s: %s\n", i, cases[i].rule, verdict_word(conclusion.verdict));
        assert_int_equal(conclusion.verdict, cases[i].verdict);
        assert_int_equal(conclusion.basis, cases[i].basis);
        assert_int_equal(conclusion.disagree, cases[i].disagree);
        assert_int_equal(conclusion.ph.count, cases[i].ph > 0 ? 1 : 0); /* both stay visible */
        assert_int_equal(conclusion.free_alkali.count, cases[i].volume_ml > 0 ? 1 : 0);
        conclusion_clear(&conclusion);
        dossier_clear(&bench);
    }
}

static void
a_reading_that_cannot_be_judged_does_not_outrank_a_titration(void **state)
{
    struct dossier bench = bench_new();
    struct failure failure = {0};
    struct conclusion conclusion;

    (void)state;
    titrate_at(&bench, 7, 0.4);
    read_at(&bench, 9, 9.5);
    for (size_t i = 0; i < bench.reading_count; i++)
        bench.readings[i].calibration_id = 0;
    check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
    assert_int_equal(conclusion.ph.worst, VERDICT_NOT_JUDGED);
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
check_says(const struct conclusion *conclusion, const char *part)
{
    char *text = conclusion_text(conclusion);

    assert_non_null(text);
    check_contains(text, part);
    free(text);
}

/* The conclusion stays with the caller, since the earlier failure is lent from it. */
static enum verdict_word
joined(const struct dossier *bench, struct conclusion *ret_conclusion, const struct verdict **ret_earlier)
{
    struct failure failure = {0};

    conclusion_clear(ret_conclusion);
    check_ok(conclusion_of(bench, NULL, ret_conclusion, &failure), &failure);
    *ret_earlier = conclusion_earlier_failure(ret_conclusion);
    return ret_conclusion->verdict;
}

/* Rule 3, to the minute. */
static void
a_titration_clears_what_was_read_before_it_and_nothing_later(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion = {0};
    const struct verdict *earlier;
    civil_time read;

    (void)state;
    read_at(&bench, 7, 11.6);
    titrate_at(&bench, 7, 0.4);
    read = bench.readings[2].taken_at;
    assert_int_equal(joined(&bench, &conclusion, &earlier), VERDICT_WITHIN);
    for (size_t i = 0; i < 3; i++)
        bench.titrations[i].taken_at = read - 3600; /* the other bar was read after it */
    assert_int_equal(joined(&bench, &conclusion, &earlier), VERDICT_LYE_HEAVY);
    for (size_t i = 0; i < 3; i++)
        bench.titrations[i].session_id = bench.sessions[0].id;
    assert_int_equal(joined(&bench, &conclusion, &earlier), VERDICT_WITHIN); /* one sitting */
    for (size_t i = 0; i < 3; i++) {
        bench.titrations[i].session_id = 0;
        bench.titrations[i].taken_at = read - read % 86400; /* a date alone: before or after? */
    }
    assert_int_equal(joined(&bench, &conclusion, &earlier), VERDICT_LYE_HEAVY);
    for (size_t i = 0; i < 3; i++) {
        bench.titrations[i].taken_at = read + 600;
        bench.readings[i].taken_at = read - read % 86400; /* likewise */
    }
    assert_int_equal(joined(&bench, &conclusion, &earlier), VERDICT_LYE_HEAVY);
    for (size_t i = 0; i < 3; i++)
        bench.titrations[i].taken_at = read + 86400;
    assert_int_equal(joined(&bench, &conclusion, &earlier), VERDICT_WITHIN);
    bench_ph(&bench, bench.readings[0].specimen_id, 12.6, 40.0)->calibration_id =
        0; /* the same cup, unchecked */
    bench.readings[3].taken_at = read + 2 * 86400;
    assert_int_equal(joined(&bench, &conclusion, &earlier), VERDICT_LYE_HEAVY);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
a_lower_reading_does_not_take_a_lye_heavy_one_back(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion = {0};
    const struct verdict *earlier;

    (void)state;
    read_at(&bench, 7, 11.6);
    read_at(&bench, 9, 9.94);
    assert_int_equal(joined(&bench, &conclusion, &earlier), VERDICT_WITHIN);
    assert_non_null(earlier);
    titrate_at(&bench, 6, 0.4); /* before it */
    joined(&bench, &conclusion, &earlier);
    assert_non_null(earlier);
    titrate_at(&bench, 8, 0.4);
    joined(&bench, &conclusion, &earlier);
    assert_null(earlier);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* 0.1 g with a burette that is read to 0.05 mL tells nothing below a third of a percent. */
static void
a_portion_too_small_to_tell_is_doubtful_and_no_lye_heavy(void **state)
{
    struct dossier bench = bench_new();
    struct failure failure = {0};
    struct conclusion conclusion;

    (void)state;
    titrate_at(&bench, 7, 0.05);
    for (size_t i = 0; i < 3; i++)
        bench.titrations[i].soap_mass_g = 0.1;
    check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
    assert_true(conclusion.free_alkali.current->figures.band >= TITRATION_HOLD);
    assert_int_equal(conclusion.verdict, VERDICT_DOUBTFUL);
    check_says(&conclusion, "too uncertain to tell");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
an_earlier_titration_that_found_too_much_is_not_forgotten(void **state)
{
    struct dossier bench = bench_new();
    struct failure failure = {0};
    struct conclusion conclusion;

    (void)state;
    titrate_at(&bench, 7, 9.5);
    titrate_at(&bench, 8, 0.4);
    check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN);
    assert_non_null(conclusion_earlier_titration(&conclusion));
    /* (9.51 - 0.05) mL of 0.1 mol/L on 10 g, 0.39997 % per 10 mL */
    check_close(conclusion_earlier_titration(&conclusion)->figures.free_naoh_pct, 0.3784, 1e-3, "by hand");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
the_worst_bar_is_the_one_that_is_told(void **state)
{
    struct dossier bench = bench_new();
    struct failure failure = {0};
    struct conclusion conclusion;
    int64_t calibration = bench_calibrated(&bench, bench_day(7) - 1800),
            session = bench_session(&bench, bench_day(7)), first = bench_specimen(&bench, session, 1.0),
            second = bench_specimen(&bench, session, 1.0);

    (void)state;
    for (int i = -1; i <= 1; i++) {
        bench_ph(&bench, first, 9.60 + 0.01 * i, 40.0)->calibration_id = calibration;
        bench_ph(&bench, second, 10.80 + 0.01 * i, 40.0)->calibration_id = calibration;
    }
    check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
    check_says(&conclusion, "within: pH 10.80");
    conclusion_clear(&conclusion);
    bench_ph(&bench, first, 11.20, 40.0)->calibration_id = 0; /* unchecked */
    check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
    check_says(&conclusion, "lye-heavy: a reading that cannot clear shows pH 11.20; beside it pH 9.60");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
nothing_is_nothing_and_said_so(void **state)
{
    struct dossier bench = bench_new();
    struct failure failure = {0};
    struct conclusion conclusion;

    (void)state;
    check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
    assert_int_equal(conclusion.basis, CONCLUSION_NOTHING);
    assert_int_equal(conclusion.verdict, VERDICT_NOT_JUDGED);
    check_says(&conclusion, "not tested yet");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
one_line_says_what_it_rests_on(void **state)
{
    struct dossier bench = bench_new();
    struct failure failure = {0};
    struct conclusion conclusion;

    (void)state;
    read_at(&bench, 7, 11.31);
    check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
    check_says(&conclusion, "lye-heavy: pH 11.31 +/- ");
    check_says(&conclusion, "at 40 degC and 1 %, more than 99.9 % probable above 11");
    conclusion_clear(&conclusion);
    titrate_at(&bench, 7, 5.0);
    check_ok(conclusion_of(&bench, NULL, &conclusion, &failure), &failure);
    check_says(&conclusion, "lye-heavy: 0.198 +/- "); /* 4.96 mL net x 0.039997 % per mL */
    check_says(&conclusion, "% free NaOH by titration (hold), 2024-10-11"); /* day 20007 since 1970 */
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(both_are_joined_by_the_rules),
    cmocka_unit_test(a_reading_that_cannot_be_judged_does_not_outrank_a_titration),
    cmocka_unit_test(a_titration_clears_what_was_read_before_it_and_nothing_later),
    cmocka_unit_test(a_lower_reading_does_not_take_a_lye_heavy_one_back),
    cmocka_unit_test(a_portion_too_small_to_tell_is_doubtful_and_no_lye_heavy),
    cmocka_unit_test(an_earlier_titration_that_found_too_much_is_not_forgotten),
    cmocka_unit_test(the_worst_bar_is_the_one_that_is_told),
    cmocka_unit_test(nothing_is_nothing_and_said_so),
    cmocka_unit_test(one_line_says_what_it_rests_on),
};

const struct check_module test_assess_conclusion = CHECK_MODULE("assess/conclusion", tests);
