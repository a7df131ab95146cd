/* test_conclusion.c - all that is known of a batch, joined into one judgement: rules and histories of method.md, section
 * 5. The bounds, 10.7, 10.5 and 11.0, and what follows from them are common practice and judgement, no source. */
#include "bench.h"
#include "conclusion.h"
#include "text.h"

/* Three readings of one cup in a sitting of its own, calibrated before. Gives the portion. */
static int64_t
read_bar(struct dossier *bench, int age_d, const char *bar, double ph)
{
    int64_t specimen = bench_specimen(bench, bench_session(bench, bench_day(age_d)), 1.0);
    int64_t calibration = bench_calibrated(bench, bench_day(age_d) - 1800);

    if (bar != NULL)
        bench_label(bench, specimen, bar);
    for (int i = -1; i <= 1; i++)
        bench_ph(bench, specimen, ph + 0.01 * i, 40.0)->calibration_id = calibration;
    return specimen;
}

/* A second cup in the sitting that was read last. */
static int64_t
read_beside(struct dossier *bench, const char *bar, double ph)
{
    int64_t specimen = bench_specimen(bench, bench->sessions[bench->session_count - 1].id, 1.0);

    if (bar != NULL)
        bench_label(bench, specimen, bar);
    for (int i = -1; i <= 1; i++)
        bench_ph(bench, specimen, ph + 0.01 * i, 40.0)->calibration_id = (int64_t)bench->calibration_count;
    return specimen;
}

/* Three portions, two hours after a pH of that day; 0.4 mL is within, 1.9 doubtful, 5 lye-heavy. */
static void
titrate_bar(struct dossier *bench, int age_d, const char *bar, double volume_ml)
{
    for (int i = 0; i < 3; i++)
        bench_titration(bench, bench_day(age_d) + 7200, volume_ml + 0.01 * i)->bar = memory_copy(bar);
}

static struct conclusion
concluded(const struct dossier *bench, const struct verdict_aid *aid)
{
    struct failure failure = {0};
    struct conclusion conclusion;

    check_ok(conclusion_of(bench, aid, &conclusion, &failure), &failure);
    return conclusion;
}

static enum verdict_word
verdict_of(const struct dossier *bench)
{
    struct conclusion conclusion = concluded(bench, NULL);
    enum verdict_word verdict = conclusion.verdict;

    conclusion_clear(&conclusion);
    return verdict;
}

static bool
is_released(const struct dossier *bench)
{
    struct conclusion conclusion = concluded(bench, NULL);
    bool met = conclusion.release.met;

    conclusion_clear(&conclusion);
    return met;
}

static void
check_says(const struct conclusion *conclusion, const char *part)
{
    char *text = conclusion_text(conclusion);

    assert_non_null(text);
    check_contains(text, part);
    free(text);
}

static void
check_sentence(const struct sentences *list, const char *part)
{
    for (size_t i = 0; i < list->count; i++)
        if (strstr(list->items[i].text, part) != NULL)
            return;
    for (size_t i = 0; i < list->count; i++)
        print_error("%s\n", list->items[i].text);
    fail_msg("no sentence says '%s'", part);
}

/* -- one bar -- */

static void
a_bar_is_judged_by_pH_and_titration_in_the_order_of_time(void **state)
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
        {10.60, 7, 0, 0, VERDICT_WITHIN, CONCLUSION_PH, false, "below 10.7 while young"},
        {10.60, 40, 0, 0, VERDICT_DOUBTFUL, CONCLUSION_PH, false, "above 10.5 from day 28"},
        {10.85, 7, 0, 0, VERDICT_DOUBTFUL, CONCLUSION_PH, false, "V1: 10.85 is no within"},
        {10.97, 7, 0, 0, VERDICT_DOUBTFUL, CONCLUSION_PH, false, "pH alone"},
        {11.31, 7, 0, 0, VERDICT_LYE_HEAVY, CONCLUSION_PH, false, "pH alone"},
        {8.40, 7, 0, 0, VERDICT_DOUBTFUL, CONCLUSION_PH, false, "V14: lower than soap reads"},
        {0, 0, 0.4, 7, VERDICT_WITHIN, CONCLUSION_TITRATION, false, "titration alone"},
        {0, 0, 1.9, 7, VERDICT_DOUBTFUL, CONCLUSION_TITRATION, false, "rule 6: mean below 0.1 %"},
        {0, 0, 5.0, 7, VERDICT_LYE_HEAVY, CONCLUSION_TITRATION, false, "rule 6: mean above 0.1 %"},
        {0, 0, 20.0, 7, VERDICT_LYE_HEAVY, CONCLUSION_TITRATION, false, "rule 6"},
        {11.31, 7, 0.4, 7, VERDICT_WITHIN, CONCLUSION_TITRATION, true, "rule 6: the same day"},
        {11.31, 7, 0.4, 8, VERDICT_WITHIN, CONCLUSION_TITRATION, true, "rule 6: earlier pH"},
        {11.31, 9, 0.4, 8, VERDICT_LYE_HEAVY, CONCLUSION_PH, true, "rule 6: later and worse"},
        {10.97, 9, 0.4, 8, VERDICT_DOUBTFUL, CONCLUSION_PH, true, "rule 6: later and worse"},
        {9.94, 9, 0.4, 8, VERDICT_WITHIN, CONCLUSION_TITRATION, false, "rule 6: later and as good"},
        {9.94, 28, 5.0, 7, VERDICT_LYE_HEAVY, CONCLUSION_TITRATION, true, "rule 6: pH never clears"},
        {9.94, 28, 1.9, 7, VERDICT_DOUBTFUL, CONCLUSION_TITRATION, true, "rule 6: pH never clears"},
        {11.31, 28, 1.9, 7, VERDICT_LYE_HEAVY, CONCLUSION_PH, true, "rule 6: later and worse"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = bench_new();
        struct conclusion conclusion;

        if (cases[i].ph > 0)
            read_bar(&bench, cases[i].ph_age_d, "A", cases[i].ph);
        if (cases[i].volume_ml > 0)
            titrate_bar(&bench, cases[i].titrated_age_d, "A", cases[i].volume_ml);
        conclusion = concluded(&bench, NULL);
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

/* Rule 6, to the minute. */
static void
a_titration_clears_what_was_read_before_it_and_nothing_later(void **state)
{
    struct dossier bench = bench_new();
    civil_time read;

    (void)state;
    read_bar(&bench, 7, "A", 11.6);
    titrate_bar(&bench, 7, "A", 0.4);
    read = bench.readings[2].taken_at;
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    for (size_t i = 0; i < 3; i++)
        bench.titrations[i].taken_at = read - 3600;
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    for (size_t i = 0; i < 3; i++)
        bench.titrations[i].session_id = bench.sessions[0].id;
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN); /* one sitting */
    for (size_t i = 0; i < 3; i++) {
        bench.titrations[i].session_id = 0;
        bench.titrations[i].taken_at = read - read % 86400; /* a date alone: before or after? */
    }
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    for (size_t i = 0; i < 3; i++) {
        bench.titrations[i].taken_at = read + 600;
        bench.readings[i].taken_at = read - read % 86400; /* likewise */
    }
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    for (size_t i = 0; i < 3; i++)
        bench.titrations[i].taken_at = read + 86400;
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    bench_ph(&bench, bench.readings[0].specimen_id, 12.6, 40.0)->calibration_id =
        0; /* the same cup, unchecked */
    bench.readings[3].taken_at = read + 2 * 86400;
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    dossier_clear(&bench);
}

static void
only_a_titration_takes_back_a_lye_heavy_pH(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    read_bar(&bench, 7, "A", 11.6);
    read_bar(&bench, 9, "A", 9.94);
    read_bar(&bench, 30, "A", 9.94);
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    titrate_bar(&bench, 6, "A", 0.4); /* before it */
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    titrate_bar(&bench, 8, "B", 0.4); /* of another */
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    titrate_bar(&bench, 8, "A", 0.4);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    dossier_clear(&bench);
}

static void
what_a_titration_found_stands_whatever_the_pH_says(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    titrate_bar(&bench, 7, "A", 15.05); /* 15.00 mL net of 0.1 mol/L on 10 g: 0.6 % */
    read_bar(&bench, 30, "A", 10.40);
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.verdict, VERDICT_LYE_HEAVY);
    assert_int_equal(conclusion.step, NEXT_REWORK);
    check_sentence(&conclusion.against, "titration found 0.600");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
a_doubtful_bar_is_settled_by_a_retest_on_a_later_day(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    read_bar(&bench, 7, "A", 10.80);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    read_bar(&bench, 7, "A", 9.90); /* of two sittings of one day the worse counts */
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    read_bar(&bench, 8, "B", 9.90); /* another bar */
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    read_bar(&bench, 9, "A", 9.90);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    dossier_clear(&bench);
}

/* 0.1 g with a burette that is read to 0.05 mL tells nothing below a third of a percent. */
static void
a_portion_too_small_to_tell_is_doubtful_and_no_lye_heavy(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    titrate_bar(&bench, 7, "A", 0.05);
    for (size_t i = 0; i < 3; i++)
        bench.titrations[i].soap_mass_g = 0.1;
    conclusion = concluded(&bench, NULL);
    assert_true(conclusion.free_alkali.current->figures.band >= TITRATION_HOLD);
    assert_int_equal(conclusion.verdict, VERDICT_DOUBTFUL);
    check_says(&conclusion, "too uncertain to tell");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* -- every bar (rule 1) -- */

static void
every_bar_counts_worst_first(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 30, "A", 10.99);
    read_bar(&bench, 31, "B", 10.11);
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.verdict, VERDICT_DOUBTFUL);
    assert_int_equal(conclusion.bar_count, 2);
    assert_string_equal(conclusion.bars[0].bar, "A");
    assert_int_equal(conclusion.bars[1].verdict, VERDICT_WITHIN);
    check_says(&conclusion, "doubtful: pH 10.99");
    check_says(&conclusion, "bar A");
    check_sentence(&conclusion.in_favour, "bar B, within: pH 10.11");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* What is below the bound and doubtful for its uncertainty alone is read better; all else is titrated. */
static void
doubt_from_uncertainty_alone_asks_for_a_better_test(void **state)
{
    static const struct {
        double ph, temperature_c;
        const char *bar;
        enum next_step step;
        const char *says;
    } cases[] = {
        {10.48, 40.0, "A", NEXT_TEST,
         "keep it held, and test bar A again on a later day; take three readings from each cup"},
        {10.70, 28.0, "A", NEXT_TEST, "; bring the solution to 40 degC"}, /* 10.43 at 40, +/- 0.09 and more */
        {10.48, 40.0, NULL, NEXT_TEST, "test two bars, labelled, on two later days; take three readings"},
        {10.56, 40.0, "A", NEXT_TITRATE, "keep it held, and titrate bar A"},
        {8.40, 40.0, "A", NEXT_TEST, "; check cup, meter and bar: soap does not read so low"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = bench_new();
        struct conclusion conclusion;

        read_bar(&bench, 40, cases[i].bar, cases[i].ph);
        for (size_t k = 0; k < bench.reading_count; k++)
            bench.readings[k].temperature_c = cases[i].temperature_c;
        conclusion = concluded(&bench, NULL);
        assert_int_equal(conclusion.verdict, VERDICT_DOUBTFUL);
        assert_int_equal(conclusion.step, cases[i].step);
        check_contains(sentences_find(&conclusion.next, SENTENCE_NEXT)->text, cases[i].says);
        if (cases[i].step == NEXT_TEST)
            assert_int_equal(conclusion.step_from, POURED + 41);
        conclusion_clear(&conclusion);
        dossier_clear(&bench);
    }
}

static void
a_young_bar_that_was_never_read_again_holds_up_the_release(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 5, "A", 10.62);
    read_bar(&bench, 30, "B", 10.30);
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN);
    assert_false(conclusion.release.met);
    assert_int_equal(conclusion.step, NEXT_TEST);
    check_contains(sentences_find(&conclusion.next, SENTENCE_NEXT)->text, "test bar A again");
    conclusion_clear(&conclusion);
    read_bar(&bench, 31, "A", 10.30);
    assert_true(is_released(&bench));
    dossier_clear(&bench);
}

/* Two titrated bars speak for a young one as long as all of it is young (rule 9), and no longer (rule 1). */
static void
two_titrated_bars_speak_for_a_young_one_until_day_28(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 5, "C", 10.62);
    titrate_bar(&bench, 10, "A", 0.4);
    titrate_bar(&bench, 10, "B", 0.4);
    assert_true(is_released(&bench));
    titrate_bar(&bench, 40, "A", 0.4); /* C was there to be read as well */
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN);
    assert_false(conclusion.release.met);
    assert_int_equal(conclusion.step, NEXT_TEST);
    check_contains(sentences_find(&conclusion.next, SENTENCE_NEXT)->text, "test bar C again");
    conclusion_clear(&conclusion);
    read_bar(&bench, 41, "C", 10.30);
    assert_true(is_released(&bench));
    dossier_clear(&bench);
    bench = bench_new(); /* or titrated itself */
    read_bar(&bench, 5, "C", 10.62);
    titrate_bar(&bench, 40, "A", 0.4);
    titrate_bar(&bench, 40, "B", 0.4);
    assert_false(is_released(&bench));
    titrate_bar(&bench, 41, "C", 0.4);
    assert_true(is_released(&bench));
    dossier_clear(&bench);
}

/* A doubt that young sittings settled leaves what they read by the bound of their age. */
static void
a_settled_bar_meets_a_release_only_by_what_settled_it(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    read_bar(&bench, 3, NULL, 10.85);
    for (int age_d = 10; age_d <= 11; age_d++) {
        read_bar(&bench, age_d, NULL, 10.62);
        read_beside(&bench, NULL, 10.62);
    }
    read_bar(&bench, 30, "B", 10.20);
    read_bar(&bench, 40, "B", 10.20);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    assert_false(is_released(&bench));
    read_bar(&bench, 41, NULL, 10.20);
    assert_true(is_released(&bench));
    dossier_clear(&bench);
}

static void
cups_without_a_label_may_be_of_any_bar(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    read_bar(&bench, 30, NULL, 10.99);
    read_beside(&bench, NULL, 10.11);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    read_bar(&bench, 31, NULL, 10.11);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL); /* one cup */
    read_bar(&bench, 32, NULL, 10.11);
    read_beside(&bench, NULL, 10.05);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL); /* one sitting of two */
    read_bar(&bench, 33, NULL, 10.11);
    read_beside(&bench, NULL, 10.05);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN); /* two sittings of two cups each */
    dossier_clear(&bench);
    bench = bench_new();
    read_bar(&bench, 30, NULL, 11.40);
    titrate_bar(&bench, 31, "A", 0.4);
    read_bar(&bench, 32, NULL, 10.11);
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    titrate_bar(&bench, 32, "B", 0.4);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN); /* titrations of two bars */
    dossier_clear(&bench);
}

static void
use_up(struct dossier *bench, const char *bar, int age_d)
{
    bench->used_up = memory_resize(bench->used_up, bench->used_up_count + 1, sizeof *bench->used_up);
    bench->used_up[bench->used_up_count++] =
        (struct used_up){.id = 1, .batch_id = 1, .bar = memory_copy(bar), .used_up_on = POURED + age_d};
}

static void
a_bar_that_is_used_up_is_settled_by_two_others(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    read_bar(&bench, 20, "A", 11.40);
    use_up(&bench, "A", 21);
    titrate_bar(&bench, 22, "B", 0.4);
    read_bar(&bench, 30, "C", 9.9);
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY); /* pH is not enough */
    titrate_bar(&bench, 31, "C", 0.4);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    dossier_clear(&bench);
    bench = bench_new();
    read_bar(&bench, 20, "A", 10.80);
    read_bar(&bench, 27, "B", 9.9);
    read_bar(&bench, 28, "C", 9.9);
    use_up(&bench, "A", 21);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL); /* B was read before day 28 */
    read_bar(&bench, 29, "B", 9.9);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    bench.used_up[0].superseded_by = 2; /* found once more */
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    dossier_clear(&bench);
}

/* Rule 6: what a titration found, only titrations take back. */
static void
a_titrated_bar_that_is_used_up_is_settled_by_titrations_alone(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    titrate_bar(&bench, 20, "A", 1.9);
    use_up(&bench, "A", 21);
    read_bar(&bench, 28, "B", 9.9);
    read_bar(&bench, 28, "C", 9.9);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    titrate_bar(&bench, 31, "B", 0.4);
    titrate_bar(&bench, 31, "C", 0.4);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    dossier_clear(&bench);
}

/* 2.70 mL are 0.106 % by hand, above 0.1; 0.25 mL on 1 g are 0.080 %, known so badly that its upper end is higher. */
static void
a_vague_titration_hides_no_lye_heavy_one_of_its_day(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;
    const struct free_alkali_result *sure = NULL, *vague = NULL;

    (void)state;
    bench_titration(&bench, bench_day(9), 2.70)->bar = memory_copy("A");
    bench_titration(&bench, bench_day(9), 2.70)->bar = memory_copy("A");
    bench_titration(&bench, bench_day(9) + 600, 0.25)->bar = memory_copy("A");
    bench.titrations[2].soap_mass_g = 1.0;
    bench.titrations[2].burette_ml = 0.2;
    conclusion = concluded(&bench, NULL);
    for (size_t i = 0; i < conclusion.free_alkali.count; i++)
        *(conclusion.free_alkali.results[i].count == 2 ? &sure : &vague) = &conclusion.free_alkali.results[i];
    assert_true(sure != NULL && vague != NULL);
    assert_true(vague->figures.high_pct > sure->figures.high_pct);
    assert_int_equal(bar_titration_word(&vague->figures), VERDICT_DOUBTFUL);
    assert_int_equal(conclusion.verdict, VERDICT_LYE_HEAVY);
    assert_ptr_equal(bar_titrated_worst(conclusion.bars, conclusion.bar_count), sure);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* A bar that only a young sitting cleared can be read no more either. */
static void
a_young_bar_that_is_used_up_is_settled_by_two_others_too(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 5, "A", 10.62);
    read_bar(&bench, 30, "B", 10.20);
    read_bar(&bench, 31, "C", 10.20);
    assert_false(is_released(&bench));
    use_up(&bench, "A", 6);
    conclusion = concluded(&bench, NULL);
    assert_true(conclusion.release.met);
    check_sentence(&conclusion.settled, "bar A was cleared while young at most, and is used up");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
    bench = bench_new();
    read_bar(&bench, 5, "A", 10.62);
    read_bar(&bench, 30, "B", 10.20);
    use_up(&bench, "A", 6);
    assert_false(is_released(&bench)); /* one other */
    dossier_clear(&bench);
}

/* -- one portion (rule 6) -- */

static void
one_portion_clears_nothing(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;
    int64_t cup;

    (void)state;
    read_bar(&bench, 7, "A", 11.31);
    bench_titration(&bench, bench_day(8), 0.1)->bar = memory_copy("A");
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.verdict, VERDICT_LYE_HEAVY);
    assert_int_equal(conclusion.step, NEXT_TITRATE);
    check_contains(sentences_find(&conclusion.next, SENTENCE_NEXT)->text, "two portions on one day of bar A");
    check_sentence(&conclusion.against, ", in one portion, which clears nothing");
    check_sentence(&conclusion.against, "probable above 11, 2024-10-11; a lower"); /* the bar is named once */
    conclusion_clear(&conclusion);
    bench_titration(&bench, bench_day(8), 0.1)->bar = memory_copy("A");
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    dossier_clear(&bench);
    bench = bench_new(); /* nor what two portions found */
    titrate_bar(&bench, 7, "A", 15.05);
    bench_titration(&bench, bench_day(8), 0.1)->bar = memory_copy("A");
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.verdict, VERDICT_LYE_HEAVY);
    check_says(&conclusion, "0.600");
    conclusion_clear(&conclusion);
    bench_titration(&bench, bench_day(8), 0.1)->bar = memory_copy("A");
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    dossier_clear(&bench);
    bench = bench_new(); /* what it finds counts */
    titrate_bar(&bench, 7, "A", 0.4);
    bench_titration(&bench, bench_day(8), 15.05)->bar = memory_copy("A");
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    bench_titration(&bench, bench_day(9), 0.1)->bar = memory_copy("A");
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    dossier_clear(&bench);
    bench = bench_new(); /* nor what was seen */
    cup = read_bar(&bench, 30, "A", 9.9);
    bench_observation(&bench, 1, cup, OBSERVATION_LOOK, "weeping");
    bench_titration(&bench, bench_day(31), 0.1)->bar = memory_copy("A");
    conclusion = concluded(&bench, NULL);
    assert_non_null(conclusion.worst->look);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* -- what is not judged (rule 2) -- */

static void
a_poor_sitting_never_replaces_a_judged_one_and_speaks_against(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 30, "A", 9.90);
    bench_ph(&bench, read_bar(&bench, 31, "A", 9.80), 9.80, 40.0)->calibration_id = 0;
    for (size_t i = 3; i < bench.reading_count; i++)
        bench.readings[i].calibration_id = 0;
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.verdict,
                     VERDICT_WITHIN); /* V4: it was not judged, and the one before stands */
    check_sentence(&conclusion.missing,
                   "and not judged: bar A (put right first: put the meter against borax and lime water)");
    conclusion_clear(&conclusion);
    for (size_t i = 3; i < bench.reading_count; i++)
        bench.readings[i].ph = 10.9;
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL); /* unchecked 10.9 after a within */
    assert_false(is_released(&bench));
    for (size_t i = 3; i < bench.reading_count; i++)
        bench.readings[i].ph = 11.5;
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    dossier_clear(&bench);
}

static void
a_cold_cup_is_lye_heavy_only_when_the_least_it_can_be_is(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    read_bar(&bench, 7, "A", 11.10);
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].temperature_c = 10.0; /* comes to 10.35 +/- 0.25 */
    assert_int_equal(verdict_of(&bench), VERDICT_NOT_JUDGED);
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].taken_at += 30 * DAY_S; /* 10.35 is above 10.5 less 0.2 */
    bench.calibrations[0].taken_at += 30 * DAY_S;
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    dossier_clear(&bench);
}

static void
tap_water_a_rest_at_the_bottom_and_silence_are_not_judged(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    read_bar(&bench, 30, "A", 9.90);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    memcpy(bench.observations[0].word, "other", sizeof "other");
    assert_int_equal(verdict_of(&bench), VERDICT_NOT_JUDGED);
    bench.observations[0].superseded_by = 9; /* nothing is said of the water */
    assert_int_equal(verdict_of(&bench), VERDICT_NOT_JUDGED);
    bench.observations[0].superseded_by = 0;
    memcpy(bench.observations[0].word, "deionised", sizeof "deionised");
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    bench_observation(&bench, 1, 0, OBSERVATION_WATER_PH, NULL)->value = 7.5;
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    bench.observations[1].value = 7.51;
    assert_int_equal(verdict_of(&bench), VERDICT_NOT_JUDGED);
    bench.observations[1].value = 5.5;
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    bench_observation(&bench, 1, 1, OBSERVATION_UNDISSOLVED, "soap");
    assert_int_equal(verdict_of(&bench), VERDICT_NOT_JUDGED);
    dossier_clear(&bench);
}

static void
a_reading_that_cannot_be_judged_does_not_outrank_a_titration(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    titrate_bar(&bench, 7, "A", 0.4);
    read_bar(&bench, 9, "A", 9.5);
    for (size_t i = 0; i < bench.reading_count; i++)
        bench.readings[i].calibration_id = 0;
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.ph.worst, VERDICT_NOT_JUDGED);
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* -- cups of one bar (rule 3) -- */

static void
cups_of_one_bar_are_joined_and_disagreement_is_said(void **state)
{
    static const double spread[] = {9.77, 9.80, 9.85, 9.88, 9.92, 9.96, 10.00, 10.04}; /* V5 */
    struct dossier bench = bench_new();
    struct conclusion conclusion;
    double alone_u_ph;

    (void)state;
    read_bar(&bench, 30, "A", spread[0]);
    conclusion = concluded(&bench, NULL);
    alone_u_ph = conclusion.sittings.verdicts[0].u_ph;
    conclusion_clear(&conclusion);
    for (size_t i = 1; i < LENGTH(spread); i++)
        read_beside(&bench, "A", spread[i]);
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.sittings.count, 1);
    assert_int_equal(conclusion.sittings.verdicts[0].cups, 8);
    assert_true(flag_is_set(conclusion.sittings.verdicts[0].flags, FLAG_CUPS_APART));
    check_close(conclusion.sittings.verdicts[0].ph_at_reference, 10.04, 1e-9, "the worst cup, alone");
    /* sd of the eight is 0.0958 by hand; one cup of them is no better known than that */
    assert_true(conclusion.sittings.verdicts[0].u_ph > 0.0958 && alone_u_ph < 0.05);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* verdict.h, rule 10: another cup hides nothing, whichever was first. sd of 9.60, 10.00, 10.60 is 0.50 by hand. */
static void
a_second_cup_hides_no_readings_that_disagree(void **state)
{
    static const double agree[] = {10.00, 10.00, 10.01}, disagree[] = {9.60, 10.00, 10.60};

    (void)state;
    for (int first = 0; first < 2; first++) {
        struct dossier bench = bench_new();
        int64_t cups[2] = {read_bar(&bench, 30, "A", 10.0), read_beside(&bench, "A", 10.0)};
        struct conclusion conclusion;

        for (size_t i = 0; i < 6; i++)
            bench.readings[i].ph = (i / 3 == (size_t)first ? disagree : agree)[i % 3];
        conclusion = concluded(&bench, NULL);
        assert_true(cups[0] != cups[1]);
        assert_int_equal(conclusion.sittings.verdicts[0].cups, 2);
        assert_true(flag_is_set(conclusion.sittings.verdicts[0].flags, FLAG_SCATTERED));
        assert_int_equal(conclusion.verdict, VERDICT_DOUBTFUL);
        conclusion_clear(&conclusion);
        dossier_clear(&bench);
    }
}

static void
cups_that_agree_are_known_better_than_one(void **state)
{
    struct dossier one = bench_new(), four = bench_new();
    struct conclusion a, b;

    (void)state;
    read_bar(&one, 30, "A", 9.90);
    read_bar(&four, 30, "A", 9.90);
    for (int i = 0; i < 3; i++)
        read_beside(&four, "A", 9.90);
    a = concluded(&one, NULL);
    b = concluded(&four, NULL);
    assert_int_equal(b.sittings.verdicts[0].cups, 4);
    assert_false(flag_is_set(b.sittings.verdicts[0].flags, FLAG_CUPS_APART));
    assert_true(b.sittings.verdicts[0].u_ph <= a.sittings.verdicts[0].u_ph);
    conclusion_clear(&a);
    conclusion_clear(&b);
    dossier_clear(&one);
    dossier_clear(&four);
}

/* -- the reference bar (rule 4) -- */

static enum verdict_word
beside_reference(struct dossier *bench, struct dossier *reference)
{
    struct failure failure = {0};
    struct verdict_list judged = {0};
    struct verdict_aid aid = {.reference = &judged};
    struct conclusion conclusion;
    enum verdict_word verdict;

    check_ok(verdict_of_all(reference, NULL, &judged, &failure), &failure);
    conclusion = concluded(bench, &aid);
    verdict = conclusion.verdict;
    conclusion_clear(&conclusion);
    verdict_list_clear(&judged);
    return verdict;
}

static void
add_recipe(struct dossier *bench, double lye_g)
{
    struct failure failure = {0};
    struct recipe_line line = {0};
    char *lye = text_format("naoh=%g", lye_g);

    check_ok(recipe_line_parse(RECIPE_FAT, "olive oil=1000", &line, &failure), &failure);
    batch_add_line(&bench->batch, line);
    check_ok(recipe_line_parse(RECIPE_LYE, lye, &line, &failure), &failure);
    batch_add_line(&bench->batch, line);
    free(lye);
}

static void
a_reference_of_the_same_age_speaks_against_and_no_other(void **state)
{
    struct dossier bench = bench_new(), reference = bench_new();

    (void)state;
    reference.batch.id = 2;
    read_bar(&bench, 7, "A", 10.85);
    read_bar(&reference, 7, NULL, 9.62);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_LYE_HEAVY);
    add_recipe(&reference,
               128); /* a reference of another recipe says nothing; one that is not on record neither */
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_DOUBTFUL);
    add_recipe(&bench, 120);
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_DOUBTFUL);
    bench.batch.lines[1].mass_g = 128;
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_LYE_HEAVY);
    reference.batch.state = BATCH_HELD;
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_DOUBTFUL);
    dossier_clear(&bench);
    dossier_clear(&reference);
    /* V6: a young bar at 10.35 beside its reference, which read 10.41 at that age and 9.8 a season later */
    bench = bench_new();
    reference = bench_new();
    reference.batch.id = 2;
    read_bar(&bench, 3, "A", 10.35);
    read_bar(&reference, 3, NULL, 10.41);
    read_bar(&reference, 123, NULL, 9.80);
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_WITHIN);
    reference.readings[0].superseded_by = reference.readings[1].superseded_by =
        reference.readings[2].superseded_by = 9;
    assert_int_equal(beside_reference(&bench, &reference),
                     VERDICT_WITHIN); /* none of its age: nothing is claimed */
    dossier_clear(&bench);
    dossier_clear(&reference);
}

/* -- the recipe (rule 5) -- */

static void
a_recipe_with_too_much_lye_is_held_from_the_start_and_never_released_by_pH(void **state)
{
    struct dossier bench = bench_new();
    struct verdict_aid aid = {
        .recipe = {.known = true, .p_excess = 1.0, .p_excess_before = NAN, .most_naoh_pct = 1.1}};
    struct conclusion conclusion;

    (void)state;
    conclusion = concluded(&bench, &aid);
    assert_true(conclusion_holds(&conclusion));
    check_says(&conclusion, "doubtful: by its recipe lye exceeds fat");
    conclusion_clear(&conclusion);
    read_bar(&bench, 14, "A", 10.0);
    read_bar(&bench, 30, "A", 9.9);
    conclusion = concluded(&bench, &aid);
    assert_int_equal(conclusion.verdict, VERDICT_DOUBTFUL);
    assert_false(conclusion.release.met);
    check_sentence(&conclusion.against, "more than 99.9 %");
    assert_int_equal(conclusion.step, NEXT_RECIPE);
    conclusion_clear(&conclusion);
    read_bar(&bench, 31, "B", 10.48); /* no better test would end it either */
    conclusion = concluded(&bench, &aid);
    assert_int_equal(conclusion.step, NEXT_RECIPE);
    conclusion_clear(&conclusion);
    read_bar(&bench, 32, "B", 10.2);
    aid.recipe.p_excess = 0.499; /* within the noise of the draws it counts as 50 % */
    aid.recipe.p_excess_noise = 0.003;
    conclusion = concluded(&bench, &aid);
    assert_int_equal(conclusion.verdict, VERDICT_DOUBTFUL);
    conclusion_clear(&conclusion);
    aid.recipe.p_excess = 0.05; /* named at every verdict */
    aid.recipe.p_excess_before = 0.9;
    conclusion = concluded(&bench, &aid);
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN);
    check_sentence(&conclusion.against, "lye exceeds fat with a probability of 5.0 %");
    check_sentence(&conclusion.against,
                   "the recipe was put right: before, lye exceeded fat with a probability of 90 %");
    conclusion_clear(&conclusion);
    aid.recipe.p_excess = 1.0;
    titrate_bar(&bench, 31, "A", 0.4);
    titrate_bar(&bench, 31, "B", 0.4);
    conclusion = concluded(&bench, &aid);
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN); /* titrations of two bars */
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
what_cannot_both_be_true_is_said(void **state)
{
    struct dossier bench = bench_new();
    struct verdict_aid aid = {.recipe = {.known = true, .p_excess_before = NAN, .most_naoh_pct = 0.3}};
    struct conclusion conclusion;

    (void)state;
    titrate_bar(&bench, 7, "A", 15.05); /* 0.6 % */
    conclusion = concluded(&bench, &aid);
    check_sentence(&conclusion.against, "one of the two is wrong");
    conclusion_clear(&conclusion);
    for (size_t i = 0; i < 3; i++)
        bench.titrations[i].taken_at = bench_day(1); /* saponification may not be over */
    conclusion = concluded(&bench, &aid);
    assert_int_equal(conclusion.against.count, 1);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* A recipe with fat to spare leaves no lye by reckoning, and soap shows a trace all the same: 0.05 %, the strictest limit. */
static void
a_trace_of_lye_is_no_fault_of_the_recipe(void **state)
{
    struct verdict_aid aid = {.recipe = {.known = true, .p_excess_before = NAN, .most_naoh_pct = 0.0}};

    (void)state;
    for (int more = 0; more <= 1; more++) {
        struct dossier bench = bench_new();
        struct conclusion conclusion;

        titrate_bar(&bench, 7, "A", more ? 2.05 : 1.35); /* 0.08 and 0.052 %, less h = 0.01 */
        conclusion = concluded(&bench, &aid);
        if (more)
            check_sentence(&conclusion.against, "by its recipe the batch can hold about 0.05 % at most");
        else
            assert_int_equal(conclusion.against.count, 1); /* that it was titrated so */
        conclusion_clear(&conclusion);
        dossier_clear(&bench);
    }
}

/* -- the eye, rework, old releases (rules 7, 8 and issue 12, item 14) -- */

static void
weeping_makes_a_bar_doubtful_until_the_spot_was_tested(void **state)
{
    struct dossier bench = bench_new();
    int64_t cup;

    (void)state;
    cup = read_bar(&bench, 30, "A", 9.9);
    bench_observation(&bench, 1, cup, OBSERVATION_LOOK, "crumbling");
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN); /* a sentence only */
    bench_observation(&bench, 1, cup, OBSERVATION_LOOK, "weeping");
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    read_bar(&bench, 32, "A", 9.9);
    cup = read_beside(&bench, "A", 9.9);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    bench_observation(&bench, 2, cup, OBSERVATION_CUT, "spot");
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    bench_observation(&bench, 2, cup, OBSERVATION_LOOK, "lye-pockets");
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    titrate_bar(&bench, 33, "A", 0.4);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    dossier_clear(&bench);
}

static void
a_reworked_batch_takes_titrations_of_two_bars_and_the_ripe_bound(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    bench.batch.parent_id = 5;
    read_bar(&bench, 7, "A", 10.60);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL); /* 10.5 at any age */
    titrate_bar(&bench, 8, "A", 0.4);
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN);
    assert_false(conclusion.release.met);
    assert_int_equal(conclusion.step, NEXT_TITRATE);
    conclusion_clear(&conclusion);
    titrate_bar(&bench, 8, "B", 0.4);
    assert_true(is_released(&bench));
    dossier_clear(&bench);
}

static void
a_release_by_the_old_rule_says_what_this_one_says(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 14, "A", 10.85);
    read_bar(&bench, 30, "A", 10.85);
    bench.batch.state = BATCH_RELEASED;
    bench.state_changes = memory_new(1, sizeof *bench.state_changes);
    bench.state_change_count = 1;
    bench.state_changes[0] =
        (struct state_change){.state = BATCH_RELEASED, .why = memory_copy("fit"), .rule = 1};
    conclusion = concluded(&bench, NULL);
    assert_true(conclusion.by_old_rule);
    check_sentence(&conclusion.against,
                   "released before the rule of this version; by it the batch is doubtful");
    assert_int_equal(conclusion.step, NEXT_HOLD);
    conclusion_clear(&conclusion);
    bench.state_changes[0].rule = STATE_RULE_NOW; /* kept, with a reason */
    conclusion = concluded(&bench, NULL);
    assert_false(conclusion.by_old_rule);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
an_unfinished_walk_touches_nothing_else(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 30, "A", 9.9);
    read_bar(&bench, 40, "B", 9.9);
    bench.sessions[1].procedure_id = 1;
    bench.sessions[1].finished_at = MOMENT_NONE;
    conclusion = concluded(&bench, NULL);
    assert_false(flag_is_set(conclusion.all.verdicts[0].flags, FLAG_SESSION_OPEN));
    assert_true(flag_is_set(conclusion.all.verdicts[1].flags, FLAG_SESSION_OPEN));
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
a_correction_that_makes_a_verdict_better_is_named(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;
    struct reading *old;

    (void)state;
    read_bar(&bench, 30, "A", 9.90);
    old = bench_ph(&bench, 1, 10.95, 40.0);
    old->superseded_by = 1;
    bench.readings[0].supersedes = old->id;
    bench.readings[0].why = memory_copy("digits turned");
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN);
    check_sentence(&conclusion.against,
                   "a reading of 10.95 on 2024-11-03 was replaced by 9.89: digits turned");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* -- histories that were tried from outside -- */

static void
of_one_day_the_higher_of_two_sittings_counts(void **state)
{
    static const double read[][2] = {{10.30, 10.60}, {10.60, 10.30}};

    (void)state;
    for (size_t i = 0; i < LENGTH(read); i++) {
        struct dossier bench = bench_new();
        struct conclusion conclusion;

        read_bar(&bench, 10, "A",
                 read[i][0]); /* both within by the bound of its age, one only by that of day 28 */
        read_bar(&bench, 10, "A", read[i][1]);
        conclusion = concluded(&bench, NULL);
        check_says(&conclusion, "within so far: pH 10.60");
        conclusion_clear(&conclusion);
        read_bar(&bench, 30, "B", 10.20);
        read_bar(&bench, 40, "B", 10.20);
        assert_false(is_released(&bench));
        read_bar(&bench, 41, "A", 10.20);
        assert_true(is_released(&bench));
        dossier_clear(&bench);
    }
}

static void
another_doubt_does_not_end_that_of_a_reference(void **state)
{
    struct dossier bench = bench_new(), reference = bench_new();

    (void)state;
    reference.batch.id = 2;
    add_recipe(&bench, 120);
    add_recipe(&reference, 120);
    read_bar(&reference, 5, NULL, 9.62);
    read_bar(&bench, 5, "A", 10.40);
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_DOUBTFUL);
    read_bar(&bench, 19, "A", 10.10); /* no reference of that age */
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_DOUBTFUL);
    read_bar(&bench, 40, "A", 10.70);
    read_bar(&bench, 60, "A", 10.10); /* settles that of day 40, not that of day 5 */
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_DOUBTFUL);
    read_bar(&reference, 60, NULL, 9.95);
    assert_int_equal(beside_reference(&bench, &reference), VERDICT_WITHIN);
    dossier_clear(&bench);
    dossier_clear(&reference);
}

static void
a_day_without_a_time_may_have_been_after_its_titrations(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    read_bar(&bench, 30, NULL, 11.40);
    for (size_t i = 0; i < bench.reading_count; i++)
        bench.readings[i].taken_at = bench_day(30) - 36000; /* the day alone */
    titrate_bar(&bench, 30, "A", 0.4);
    titrate_bar(&bench, 30, "B", 0.4);
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    titrate_bar(&bench, 31, "A", 0.4);
    titrate_bar(&bench, 31, "B", 0.4);
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    dossier_clear(&bench);
}

static void
what_settles_a_lye_heavy_cup_without_a_label_settles_a_doubtful_one(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 30, NULL, 10.80);
    titrate_bar(&bench, 31, "A", 0.4);
    assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
    titrate_bar(&bench, 31, "B", 0.4);
    conclusion = concluded(&bench, NULL);
    check_says(&conclusion, "free NaOH by titration"); /* not by the pH that was settled */
    assert_int_equal(conclusion.verdict, VERDICT_WITHIN);
    check_sentence(&conclusion.settled, "the bar without a label, doubtful: pH 10.80");
    check_sentence(&conclusion.settled, "; what was tested later settled it");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
    bench = bench_new(); /* the screen asks for labels, so sittings of labelled cups count too */
    read_bar(&bench, 30, NULL, 10.80);
    for (int age_d = 31; age_d <= 32; age_d++) {
        assert_int_equal(verdict_of(&bench), VERDICT_DOUBTFUL);
        read_bar(&bench, age_d, "A", 10.10);
        read_beside(&bench, "B", 10.10);
    }
    assert_int_equal(verdict_of(&bench), VERDICT_WITHIN);
    dossier_clear(&bench);
}

static void
a_lye_heavy_pH_takes_nothing_from_a_titration_without_a_label(void **state)
{
    struct dossier bench = bench_new();

    (void)state;
    titrate_bar(&bench, 29, NULL, 12.0);
    titrate_bar(&bench, 31, "A", 0.4);
    titrate_bar(&bench, 31, "B", 0.4);
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    read_bar(&bench, 30, NULL, 11.40);
    assert_int_equal(verdict_of(&bench), VERDICT_LYE_HEAVY);
    dossier_clear(&bench);
}

static void
a_blank_at_the_end_of_a_label_makes_no_second_bar(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 30, NULL, 11.40);
    titrate_bar(&bench, 31, "A", 0.4);
    titrate_bar(&bench, 31, " a ", 0.4);
    conclusion = concluded(&bench, NULL);
    assert_int_equal(conclusion.titrated_within, 1);
    assert_int_equal(conclusion.verdict, VERDICT_LYE_HEAVY);
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* A reading, and one that takes its place. */
static void
replace(struct dossier *bench, int64_t id, int64_t specimen_id, double temperature_c)
{
    struct reading *new = bench_ph(bench, specimen_id, bench->readings[id - 1].ph, temperature_c);

    new->taken_at = bench->readings[id - 1].taken_at;
    new->calibration_id = bench->readings[id - 1].calibration_id;
    new->supersedes = id;
    new->why = memory_copy("looked it up");
    bench->readings[id - 1].superseded_by = new->id;
}

static void
a_correction_of_temperature_or_solution_is_named_too(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 40, "A", 10.60);
    replace(&bench, 2, 1, 25.0);
    conclusion = concluded(&bench, NULL);
    check_sentence(&conclusion.against,
                   "a reading of 10.60 on 2024-11-13 was said to be of 25.0 degC, before: 40.0: "
                   "looked it up");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
    bench = bench_new();
    read_bar(&bench, 40, "A", 10.60);
    replace(&bench, 2, bench_specimen(&bench, 1, 2.0), 40.0);
    conclusion = concluded(&bench, NULL);
    check_sentence(
        &conclusion.against,
        "a reading of 10.60 on 2024-11-13 was said to be of a 2.00 % solution, before: 1.00: looked it up");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
    bench = bench_new();
    read_bar(&bench, 40, "A", 10.60);
    bench.specimens[0].soap_mass_g = 2.0;
    bench.weighings = memory_new(2, sizeof *bench.weighings);
    bench.weighings[0] = (struct weighing){
        .id = 1, .specimen_id = 1, .of = WEIGHING_SOAP, .mass_g = 1.0, .taken_at = bench_day(40)};
    bench.weighings[1] = (struct weighing){.id = 2,
                                           .specimen_id = 1,
                                           .of = WEIGHING_SOAP,
                                           .mass_g = 2.0,
                                           .taken_at = bench_day(40),
                                           .supersedes = 1,
                                           .why = memory_copy("looked it up")};
    bench.weighing_count = 2;
    conclusion = concluded(&bench, NULL);
    check_sentence(&conclusion.against,
                   "a weighing of 1.00 g of soap on 2024-11-13 was replaced by 2.00 g: looked it up");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

/* What counts is the value at the reference: colder soap water reads higher. Paper by its low end. */
static void
a_correction_that_hides_what_it_does_is_named(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion;
    int64_t specimen;

    (void)state;
    read_bar(&bench, 40, "A", 10.60);
    replace(&bench, 2, 1, 25.0);
    bench.readings[bench.reading_count - 1].ph = 10.62;
    conclusion = concluded(&bench, NULL);
    check_sentence(
        &conclusion.against,
        "a reading of 10.60 on 2024-11-13 was replaced by 10.62, said to be of 25.0 degC, before: 40.0");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
    bench = bench_new();
    specimen = read_bar(&bench, 40, "A", 9.90);
    bench_paper(&bench, specimen, 11.0, 12.0);
    bench_paper(&bench, specimen, 11.0, 12.0)->withdrawn = true;
    bench.readings[3].superseded_by = 5;
    conclusion = concluded(&bench, NULL);
    check_sentence(&conclusion.against, "a reading of 11 to 12 by paper on 2024-11-13 was withdrawn");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
    bench = bench_new();
    specimen = read_bar(&bench, 40, "A", 10.60);
    bench.specimens[0].stated_concentration_pct = 1.0;
    bench.specimens[0].soap_mass_g = 2.0;
    conclusion = concluded(&bench, NULL);
    check_sentence(&conclusion.against,
                   "a solution that was said to be of 1.00 % is of 1.98 % by its masses");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static void
nothing_is_nothing_and_said_so(void **state)
{
    struct dossier bench = bench_new();
    struct conclusion conclusion = concluded(&bench, NULL);

    (void)state;
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
    struct conclusion conclusion;

    (void)state;
    read_bar(&bench, 7, "A", 11.31);
    conclusion = concluded(&bench, NULL);
    check_says(&conclusion, "lye-heavy: pH 11.31 +/- ");
    check_says(&conclusion, "at 40 degC and 1 %, more than 99.9 % probable above 11");
    conclusion_clear(&conclusion);
    titrate_bar(&bench, 7, "A", 5.0);
    conclusion = concluded(&bench, NULL);
    check_says(&conclusion, "lye-heavy: 0.198 +/- "); /* 4.96 mL net x 0.039997 % per mL */
    check_says(&conclusion, "% free NaOH by titration (hold), 2024-10-11"); /* day 20007 since 1970 */
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
    bench = bench_new();
    read_bar(&bench, 7, "A", 9.9);
    conclusion = concluded(&bench, NULL);
    check_says(&conclusion, "within so far: pH 9.90");
    conclusion_clear(&conclusion);
    dossier_clear(&bench);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_bar_is_judged_by_pH_and_titration_in_the_order_of_time),
    cmocka_unit_test(a_titration_clears_what_was_read_before_it_and_nothing_later),
    cmocka_unit_test(only_a_titration_takes_back_a_lye_heavy_pH),
    cmocka_unit_test(what_a_titration_found_stands_whatever_the_pH_says),
    cmocka_unit_test(a_doubtful_bar_is_settled_by_a_retest_on_a_later_day),
    cmocka_unit_test(a_portion_too_small_to_tell_is_doubtful_and_no_lye_heavy),
    cmocka_unit_test(every_bar_counts_worst_first),
    cmocka_unit_test(doubt_from_uncertainty_alone_asks_for_a_better_test),
    cmocka_unit_test(a_young_bar_that_was_never_read_again_holds_up_the_release),
    cmocka_unit_test(a_settled_bar_meets_a_release_only_by_what_settled_it),
    cmocka_unit_test(two_titrated_bars_speak_for_a_young_one_until_day_28),
    cmocka_unit_test(cups_without_a_label_may_be_of_any_bar),
    cmocka_unit_test(a_bar_that_is_used_up_is_settled_by_two_others),
    cmocka_unit_test(one_portion_clears_nothing),
    cmocka_unit_test(a_titrated_bar_that_is_used_up_is_settled_by_titrations_alone),
    cmocka_unit_test(a_vague_titration_hides_no_lye_heavy_one_of_its_day),
    cmocka_unit_test(a_young_bar_that_is_used_up_is_settled_by_two_others_too),
    cmocka_unit_test(a_poor_sitting_never_replaces_a_judged_one_and_speaks_against),
    cmocka_unit_test(a_cold_cup_is_lye_heavy_only_when_the_least_it_can_be_is),
    cmocka_unit_test(tap_water_a_rest_at_the_bottom_and_silence_are_not_judged),
    cmocka_unit_test(a_reading_that_cannot_be_judged_does_not_outrank_a_titration),
    cmocka_unit_test(cups_of_one_bar_are_joined_and_disagreement_is_said),
    cmocka_unit_test(a_second_cup_hides_no_readings_that_disagree),
    cmocka_unit_test(cups_that_agree_are_known_better_than_one),
    cmocka_unit_test(a_reference_of_the_same_age_speaks_against_and_no_other),
    cmocka_unit_test(a_recipe_with_too_much_lye_is_held_from_the_start_and_never_released_by_pH),
    cmocka_unit_test(what_cannot_both_be_true_is_said),
    cmocka_unit_test(a_trace_of_lye_is_no_fault_of_the_recipe),
    cmocka_unit_test(weeping_makes_a_bar_doubtful_until_the_spot_was_tested),
    cmocka_unit_test(a_reworked_batch_takes_titrations_of_two_bars_and_the_ripe_bound),
    cmocka_unit_test(a_release_by_the_old_rule_says_what_this_one_says),
    cmocka_unit_test(an_unfinished_walk_touches_nothing_else),
    cmocka_unit_test(a_correction_that_makes_a_verdict_better_is_named),
    cmocka_unit_test(of_one_day_the_higher_of_two_sittings_counts),
    cmocka_unit_test(another_doubt_does_not_end_that_of_a_reference),
    cmocka_unit_test(a_day_without_a_time_may_have_been_after_its_titrations),
    cmocka_unit_test(what_settles_a_lye_heavy_cup_without_a_label_settles_a_doubtful_one),
    cmocka_unit_test(a_lye_heavy_pH_takes_nothing_from_a_titration_without_a_label),
    cmocka_unit_test(a_blank_at_the_end_of_a_label_makes_no_second_bar),
    cmocka_unit_test(a_correction_of_temperature_or_solution_is_named_too),
    cmocka_unit_test(a_correction_that_hides_what_it_does_is_named),
    cmocka_unit_test(nothing_is_nothing_and_said_so),
    cmocka_unit_test(one_line_says_what_it_rests_on),
};

const struct check_module test_assess_conclusion = CHECK_MODULE("assess/conclusion", tests);
