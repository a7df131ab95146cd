/* test_verdict.c - what the readings of a bar say. */
#include "bench.h"
#include "distribution.h"
#include "verdict.h"

static struct verdict
judged_with(const struct dossier *bench, const struct verdict_aid *aid, int64_t specimen_id)
{
    struct failure failure = {0};
    struct verdict_list list = {0};
    struct verdict verdict = {0};

    check_ok(verdict_of_all(bench, aid, &list, &failure), &failure);
    for (size_t i = 0; i < list.count; i++)
        if (list.verdicts[i].specimen->id == specimen_id)
            verdict = list.verdicts[i];
    assert_non_null(verdict.specimen);
    verdict_list_clear(&list);
    return verdict;
}

static struct verdict
judged(const struct dossier *bench, int64_t specimen_id)
{
    return judged_with(bench, NULL, specimen_id);
}

static bool
flagged(const struct verdict *verdict, enum flag flag)
{
    return flag_is_set(verdict->flags, flag);
}

/* A bar read three times, 0.01 apart, after a faultless calibration. */
static int64_t
three_readings(struct dossier *bench, double ph, double temperature_c)
{
    int64_t specimen = bench_ready(bench);

    bench_ph(bench, specimen, ph - 0.01, temperature_c);
    bench_ph(bench, specimen, ph, temperature_c);
    bench_ph(bench, specimen, ph + 0.01, temperature_c);
    return specimen;
}

static void
the_rule_itself_and_common_practice(void **state)
{
    static const struct {
        double ph;
        enum verdict_word verdict;
        const char *source;
    } known[] = {
        {11.31, VERDICT_LYE_HEAVY, "common practice: 11.31 +/- 0.05 at 40 degC and 1 % is lye-heavy"},
        {9.94, VERDICT_WITHIN, "common practice: 9.94 is a sound bar"},
        {11.00, VERDICT_LYE_HEAVY, "the rule itself: p is 50 % at the limit"},
        {10.97, VERDICT_DOUBTFUL, "the rule itself: less than one u below the limit"},
        {10.85, VERDICT_DOUBTFUL, "the rule itself: above 10.7, about 1 % of free lye on a plain 9.5"},
        {10.60, VERDICT_WITHIN, "the rule itself: below 10.7 at seven days"},
        {10.63, VERDICT_WITHIN, "common practice: 10.63 in the first week is a sound bar"},
        {10.69, VERDICT_DOUBTFUL, "the rule itself: less than t u below 10.7"},
        {8.49, VERDICT_DOUBTFUL, "the rule itself: lower than soap reads"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct dossier bench;
        struct verdict verdict = judged(&bench, three_readings(&bench, known[i].ph, 40.0));

        if (verdict.verdict != known[i].verdict)
            print_error("%s: %s\n", known[i].source, verdict_word(verdict.verdict));
        assert_int_equal(verdict.verdict, known[i].verdict);
        check_close(verdict.ph_at_reference, known[i].ph, 1e-9, "the mean, nothing to correct");
        assert_true(2.0 * verdict.u_ph < 0.1);
        dossier_clear(&bench);
    }
}

static void
a_reading_at_the_limit_with_a_tenth_of_uncertainty_is_never_within(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 11.0, 40.0);
    struct verdict verdict;

    (void)state;
    bench.gear[0].resolution_ph = 0.35; /* 0.35 / sqrt(12) is 0.101 */
    for (double ph = 10.90; ph <= 11.10; ph += 0.01) {
        for (size_t i = 0; i < 3; i++)
            bench.readings[i].ph = ph;
        verdict = judged(&bench, specimen);
        assert_true(verdict.u_ph >= 0.1);
        assert_true(verdict.verdict == VERDICT_DOUBTFUL || verdict.verdict == VERDICT_LYE_HEAVY);
    }
    dossier_clear(&bench);
}

/* The bounds by age and by the maker, and the share of a t distribution that may lie above them. */
static void
the_three_words_meet_at_five_and_fifty_percent(void **state)
{
    static const struct {
        int age_d;
        double clear_ph, bound_ph;
    } bounds[] = {{7, NAN, 10.7},   {27, NAN, 10.7}, {28, NAN, 10.5},
                  {400, NAN, 10.5}, {7, 10.2, 10.2}, {28, 10.6, 10.5}};
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 9.9, 40.0);
    for (size_t i = 0; i < LENGTH(bounds); i++) {
        struct verdict verdict;
        double reach_ph;

        bench.sessions[0].clear_ph = bounds[i].clear_ph;
        bench.readings[0].taken_at = bench_day(bounds[i].age_d);
        bench.calibrations[0].taken_at = bench_day(bounds[i].age_d) - 1800;
        bench.readings[0].ph = bounds[i].bound_ph;
        verdict = judged(&bench, specimen);
        check_close(verdict.clear_ph, bounds[i].bound_ph, 0.0, "method.md, section 5");
        reach_ph = student_t_quantile(0.95, verdict.dof) * verdict.u_ph;
        bench.readings[0].ph = bounds[i].bound_ph - 1.05 * reach_ph;
        assert_int_equal(judged(&bench, specimen).verdict, VERDICT_WITHIN);
        bench.readings[0].ph = bounds[i].bound_ph - 0.95 * reach_ph;
        assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
        bench.readings[0].ph = 10.999;
        assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
        bench.readings[0].ph = 11.001;
        assert_int_equal(judged(&bench, specimen).verdict, VERDICT_LYE_HEAVY);
    }
    bench.sessions[0].limit_ph = 10.0; /* a lower limit of the maker's takes the other bound with it */
    bench.readings[0].ph = 10.001;
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_LYE_HEAVY);
    bench.readings[0].ph = 9.999;
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    dossier_clear(&bench);
}

/* Every part by hand for one reading of 9.94 at 40 degC and 1 %: no replicate, faultless calibration. */
static void
the_budget_adds_up_by_hand(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct verdict verdict;
    double from_borax = (9.94 - 9.18) / (12.454 - 9.18);
    /* assumed scatter 0.02 on 2 degrees, widened by t(0.95) of 2 and 5 degrees, 2.920 / 2.015 (tables of t) */
    double scatter = 0.02 * 2.920 / 2.015, point = hypot(0.01, 0.01 / sqrt(12.0)), shares = 0.0;
    double variance = scatter * scatter;

    (void)state;
    bench_ph(&bench, specimen, 9.94, 40.0);
    verdict = judged(&bench, specimen);
    variance += 0.01 * 0.01 / 12.0; /* resolution */
    variance += 0.02 * 0.02 / 3.0;  /* drift that nobody looked for */
    variance += point * point * ((1 - from_borax) * (1 - from_borax) + from_borax * from_borax); /* line */
    variance += (0.25 / 3.0 + 0.01 / 12.0) *
                pow(0.75 * 0.028, 2.0); /* thermometer; CRC: pKw 13.68 at 35, 13.40 at 45 degC */
    variance += pow(0.0040419 * 0.75 * 0.4342945, 2.0); /* weighing */
    /* carbon dioxide: 1.5e-6 mol/kg, 1.34 hydroxides each (pK2 10.22), of 10^(9.94 - 13.534)/0.82 */
    variance += pow(0.5 * log10(1.0 + 1.5e-6 * 1.34 / 3.1e-4), 2.0) / 3.0;
    check_close(verdict.u_ph, sqrt(variance), 2e-5, "by hand, JCGM 100:2008 5.1.2");
    check_close(verdict.dof, 5.0 * variance * variance / pow(scatter, 4.0), 0.02,
                "Welch and Satterthwaite, by hand");
    check_close(verdict.ph_high - verdict.ph_at_reference, verdict.k * verdict.u_ph, 1e-12, "k times u");
    for (size_t i = 0; i < verdict.budget.count; i++)
        shares += verdict.budget.shares[i];
    check_close(shares, 1.0, 1e-12, "shares of the variance");
    assert_string_equal(verdict.budget.lines[0].name, "scatter (assumed)");
    assert_true(flagged(&verdict, FLAG_SINGLE_READING) && flagged(&verdict, FLAG_SCATTER_ASSUMED));
    dossier_clear(&bench);
}

static void
a_reading_at_25_degrees_is_brought_to_40_and_flagged(void **state)
{
    struct dossier bench;
    struct verdict verdict = judged(&bench, three_readings(&bench, 10.20, 25.0));

    (void)state;
    check_close(verdict.ph_at_reference, 10.20 - 0.345, 1.5e-3, "pKw of IAPWS to three decimals: -0.345");
    check_close(verdict.share_half_ph, 0.115, 5e-4, "pKw of IAPWS: a quarter of 0.461");
    check_close(verdict.ph_high - verdict.ph_at_reference, verdict.k * verdict.u_ph + verdict.share_half_ph,
                1e-12, "added whole");
    assert_int_equal(verdict.verdict, VERDICT_WITHIN);
    assert_true(flagged(&verdict, FLAG_TEMPERATURE_OFF));
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].ph = 10.7 + 0.345 - 0.09; /* within but for the share */
    assert_int_equal(judged(&bench, verdict.specimen->id).verdict, VERDICT_DOUBTFUL);
    dossier_clear(&bench);
}

/* Rules 2 and 3 in a table: what is done to the evidence, and what a low and a high reading then say. */
static void
change_unchecked(struct dossier *bench)
{
    bench->readings[0].calibration_id = 0;
}

static void
change_refused(struct dossier *bench)
{
    bench->calibrations[0].verdict = CALIBRATION_REFUSED;
}

static void
change_cold(struct dossier *bench)
{
    bench->readings[0].temperature_c = 10.0;
}

static void
change_hot(struct dossier *bench)
{
    bench->readings[0].temperature_c = 60.0;
}

static void
change_no_temperature(struct dossier *bench)
{
    bench->readings[0].temperature_c = NAN;
}

static void
change_no_concentration(struct dossier *bench)
{
    bench->specimens[0].soap_mass_g = NAN;
}

static void
change_strong(struct dossier *bench)
{
    bench->specimens[0].water_mass_g = 19.0;
}

static void
change_low_buffers(struct dossier *bench)
{
    bench->calibrations[0].points[0].table_ph = bench->calibrations[0].points[0].displayed_ph = 4.0;
    bench->calibrations[0].points[1].table_ph = bench->calibrations[0].points[1].displayed_ph = 7.0;
}

static const struct {
    void (*change)(struct dossier *bench);
    enum flag flag;
    enum verdict_word high; /* of 11.31 */
} bad_evidence[] = {
    {change_unchecked, FLAG_METER_UNCHECKED, VERDICT_LYE_HEAVY},
    {change_refused, FLAG_CALIBRATION_REFUSED, VERDICT_LYE_HEAVY},
    {change_cold, FLAG_TEMPERATURE_OFF, VERDICT_DOUBTFUL}, /* 10.56 +/- 0.25 */
    {change_hot, FLAG_TEMPERATURE_OFF, VERDICT_LYE_HEAVY}, /* 11.69 +/- 0.13 */
    {change_no_temperature, FLAG_TEMPERATURE_MISSING, VERDICT_DOUBTFUL},
    {change_no_concentration, FLAG_CONCENTRATION_MISSING, VERDICT_DOUBTFUL},
    {change_strong, FLAG_CONCENTRATION_OFF, VERDICT_DOUBTFUL}, /* 10.79 +/- 0.17 */
    {change_low_buffers, FLAG_BEYOND_CALIBRATION, VERDICT_LYE_HEAVY},
};

static void
bad_evidence_never_clears_and_speaks_against(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(bad_evidence); i++) {
        struct dossier bench;
        int64_t specimen = bench_ready(&bench);
        struct verdict verdict;

        bench_ph(&bench, specimen, 9.94, 40.0);
        bad_evidence[i].change(&bench);
        verdict = judged(&bench, specimen);
        assert_int_equal(verdict.verdict, VERDICT_NOT_JUDGED);
        assert_true(flagged(&verdict, bad_evidence[i].flag));
        bench.readings[0].ph = 11.31;
        verdict = judged(&bench, specimen);
        assert_int_equal(verdict.verdict, bad_evidence[i].high);
        assert_true(flagged(&verdict, bad_evidence[i].flag));
        assert_true(verdict.poor && verdict.raised_by_bad_evidence);
        dossier_clear(&bench);
    }
}

static void
a_reading_beyond_the_calibration_is_not_softened_by_its_correction(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state; /* 11.2 at 25 degC would be 10.86 at 40: judged, were the calibration good for it */
    bench_ph(&bench, specimen, 11.2, 25.0);
    assert_int_not_equal(judged(&bench, specimen).verdict, VERDICT_LYE_HEAVY);
    change_low_buffers(&bench);
    assert_int_equal(judged(&bench, specimen).verdict,
                     VERDICT_DOUBTFUL); /* no better than when it was judged */
    assert_true(judged(&bench, specimen).raised_by_bad_evidence);
    dossier_clear(&bench);
}

static void
an_extrapolated_reading_is_judged_with_its_flag(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 9.5, 40.0);
    struct verdict verdict;

    (void)state;
    bench.calibrations[0].points[1].table_ph = bench.calibrations[0].points[1].displayed_ph = 10.6;
    verdict = judged(&bench, specimen);
    assert_false(flagged(&verdict, FLAG_EXTRAPOLATED));
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].ph = 11.31;
    verdict = judged(&bench, specimen);
    assert_true(flagged(&verdict, FLAG_EXTRAPOLATED));
    assert_int_equal(verdict.verdict, VERDICT_LYE_HEAVY);
    check_close(verdict.p_over_limit, 1.0, 0.01, "judged by the rule");
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].ph = 8.6;
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.verdict, VERDICT_WITHIN);
    assert_true(flagged(&verdict, FLAG_EXTRAPOLATED));
    dossier_clear(&bench);
}

static void
readings_that_cannot_be_used_stand_beside_the_others(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 9.94, 40.0);
    struct verdict verdict;

    (void)state;
    bench_ph(&bench, specimen, 10.4, 40.0)->calibration_id = 0;
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.n, 3);
    assert_int_equal(verdict.left_out, 1);
    check_close(verdict.ph, 9.94, 1e-9, "mean of the checked ones");
    assert_int_equal(verdict.verdict, VERDICT_WITHIN);
    assert_true(flagged(&verdict, FLAG_LEFT_OUT));
    assert_false(
        flagged(&verdict, FLAG_METER_UNCHECKED)); /* the readings used were made on a checked meter */
    assert_true(flag_is_set(verdict.left_out_flags, FLAG_METER_UNCHECKED));
    bench.readings[3].ph = 11.2;
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.verdict, VERDICT_LYE_HEAVY);
    check_close(verdict.raised_by_ph, 11.2, 1e-9, "the reading that raised it");
    dossier_clear(&bench);
}

static void
superseded_and_withdrawn_readings_are_left_out(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 9.94, 40.0);
    struct verdict before = judged(&bench, specimen), after;

    (void)state;
    bench_ph(&bench, specimen, 12.0, 40.0)->superseded_by = 5;
    bench_ph(&bench, specimen, NAN, 40.0)->withdrawn = true;
    after = judged(&bench, specimen);
    assert_int_equal(after.n, 3);
    assert_true(after.ph == before.ph && after.u_ph == before.u_ph);
    assert_int_equal(after.verdict, VERDICT_WITHIN);
    dossier_clear(&bench);
}

static void
paper_alone_warns_and_never_clears(void **state)
{
    static const struct {
        double low, high;
        enum verdict_word verdict;
    } known[] = {{7.0, 8.0, VERDICT_NOT_JUDGED},   {9.0, 10.0, VERDICT_NOT_JUDGED},
                 {10.0, 11.0, VERDICT_NOT_JUDGED}, {10.7, 11.5, VERDICT_NOT_JUDGED},
                 {10.8, 11.5, VERDICT_DOUBTFUL},   {12.0, 13.0, VERDICT_DOUBTFUL}};

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct dossier bench;
        int64_t specimen = bench_ready(&bench);
        struct verdict verdict;

        bench_paper(&bench, specimen, known[i].low, known[i].high);
        verdict = judged(&bench, specimen);
        assert_int_equal(verdict.verdict, known[i].verdict);
        assert_int_equal(verdict.method, READING_PAPER);
        assert_true(flagged(&verdict, FLAG_PAPER_ONLY) && flagged(&verdict, FLAG_BIAS_UNKNOWN));
        assert_int_equal(flagged(&verdict, FLAG_BELOW_USUAL), known[i].high < 8.5);
        assert_true(isnan(verdict.p_over_limit) && isnan(verdict.ph));
        dossier_clear(&bench);
    }
}

static void
paper_read_cold_is_brought_to_40_degrees(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct verdict verdict;

    (void)state;
    bench_paper(&bench, specimen, 11.0, 12.0)->temperature_c = 25.0;
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.verdict, VERDICT_NOT_JUDGED);
    check_close(verdict.ph_high, 12.0, 0.0, "bringing it there never lowers the high end");
    bench.readings[0].ph_low = 11.1; /* 10.755 */
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    bench.readings[0].ph_low = 10.0;
    verdict = judged(&bench, specimen);
    check_close(verdict.ph_low, 10.0 - 0.345, 1.5e-3, "pKw of IAPWS to three decimals");
    assert_true(flagged(&verdict, FLAG_TEMPERATURE_OFF));
    dossier_clear(&bench);
}

static void
several_papers_make_one_range(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct verdict verdict;

    (void)state;
    bench_paper(&bench, specimen, 9.0, 10.0);
    bench_paper(&bench, specimen, 7.0, 8.0);
    bench_paper(&bench, specimen, 8.0, 11.0);
    bench_paper(&bench, specimen, 9.0, 9.5);
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.n, 4);
    check_close(verdict.ph_low, 7.0, 0.0, "the lowest");
    check_close(verdict.ph_high, 11.0, 0.0, "the highest");
    assert_int_equal(verdict.verdict, VERDICT_NOT_JUDGED);
    bench_paper(&bench, specimen, 11.0, 12.0); /* one of them above the bound is enough */
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    dossier_clear(&bench);
}

static void
a_known_bias_moves_what_paper_says(void **state)
{
    const struct paper_bias bias = {
        .paper_id = PAPER, .known = true, .pairs = 8, .bias_ph = 1.5, .bias_u_ph = 0.1, .spread_ph = 0.2};
    const struct verdict_aid aid = {.biases = &bias, .bias_count = 1};
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);
    struct verdict verdict = {0};
    double half = 2.364624251592785 * hypot(0.1, 0.2) * sqrt(8.0 / 7.0); /* R: qt(0.975, 7) */

    (void)state;
    bench_paper(&bench, specimen, 8.0, 9.0);
    verdict = judged_with(&bench, &aid, specimen);
    check_close(verdict.ph_low, 9.5 - half, 1e-9, "by hand, paper_bias.h, rule 3");
    check_close(verdict.ph_high, 10.5 + half, 1e-9, "by hand");
    assert_int_equal(verdict.verdict, VERDICT_NOT_JUDGED);
    assert_false(flagged(&verdict, FLAG_BIAS_UNKNOWN));
    bench.readings[0].ph_low = 10.0; /* and 1.5 less 0.57 more lies above 10.7 */
    bench.readings[0].ph_high = 11.0;
    verdict = judged_with(&bench, &aid, specimen);
    assert_int_equal(verdict.verdict, VERDICT_DOUBTFUL);
    dossier_clear(&bench);
}

static void
paper_beside_a_meter_that_judged_is_a_sentence_only(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 9.94, 40.0);
    struct verdict verdict;

    (void)state;
    bench_paper(&bench, specimen, 9.0, 10.0);
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.verdict, VERDICT_WITHIN);
    assert_int_equal(verdict.n, 3);
    assert_false(flagged(&verdict, FLAG_PAPER_HIGHER));
    bench.readings[3].ph_low = 10.2;
    bench.readings[3].ph_high = 10.8;
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.verdict, VERDICT_WITHIN);
    assert_true(flagged(&verdict, FLAG_PAPER_HIGHER));
    bench.readings[3].ph_low = 11.0;
    bench.readings[3].ph_high = 12.0;
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.verdict,
                     VERDICT_WITHIN); /* a judged reading of the bar settles what paper says */
    assert_true(flagged(&verdict, FLAG_PAPER_HIGHER));
    dossier_clear(&bench);
}

static void
a_low_paper_reading_does_not_hide_a_high_one_beside_it(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 9.94, 40.0);

    (void)state;
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].calibration_id = 0;
    bench_paper(&bench, specimen, 12.0, 13.0)->calibration_id = 0;
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    bench_paper(&bench, specimen, 8.0, 9.0);
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    assert_true(judged(&bench, specimen).raised_by_paper);
    dossier_clear(&bench);
}

static void
a_second_meter_that_reads_high_is_not_averaged_away(void **state)
{
    enum { OTHER = 9 };
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 9.94, 40.0);
    struct verdict verdict;
    struct gear *other;

    (void)state;
    other = bench_gear(&bench, OTHER, "pocket", GEAR_METER);
    other->resolution_ph = 0.01;
    other->accuracy_ph = 0.02;
    other->atc = true;
    bench_calibrated(&bench, bench_day(7) - 1800);
    bench.calibrations[1].meter_id = OTHER;
    bench_ph(&bench, specimen, 11.3, 40.0);
    bench.readings[3].gear_id = OTHER;
    bench.readings[3].calibration_id = bench.calibrations[1].id;
    verdict = judged(&bench, specimen); /* the mean of all four, 10.28, would be within */
    assert_int_equal(verdict.verdict, VERDICT_LYE_HEAVY);
    assert_int_equal(verdict.n, 1);
    assert_true(flagged(&verdict, FLAG_SEVERAL_METERS));
    bench.readings[3].ph = 9.9;
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.verdict, VERDICT_WITHIN);
    dossier_clear(&bench);
}

static void
a_walk_through_left_open_is_flagged(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 9.94, 40.0);
    struct verdict verdict = judged(&bench, specimen);

    (void)state;
    assert_false(flagged(&verdict, FLAG_SESSION_OPEN));
    bench_session(&bench, bench_day(28)); /* begun, without a reading yet: it touches nothing else (V7) */
    bench.sessions[1].procedure_id = 1;
    bench.sessions[1].finished_at = MOMENT_NONE;
    verdict = judged(&bench, specimen);
    assert_false(flagged(&verdict, FLAG_SESSION_OPEN));
    bench.sessions[0].procedure_id = 1;
    bench.sessions[0].finished_at = MOMENT_NONE;
    verdict = judged(&bench, specimen);
    assert_true(flagged(&verdict, FLAG_SESSION_OPEN));
    dossier_clear(&bench);
}

static void
a_session_counts_by_when_it_was_read_not_by_when_it_began(void **state)
{
    struct dossier bench;
    int64_t begun_first = three_readings(&bench, 9.94, 40.0), later;
    struct verdict_list list = {0};
    struct failure failure = {0};

    (void)state;
    later = bench_specimen(&bench, bench_session(&bench, bench_day(8)), 1.0);
    bench_ph(&bench, later, 9.9, 40.0);
    bench_ph(&bench, begun_first, 11.5, 40.0)->taken_at = bench_day(9); /* resumed, or added to it */
    check_ok(verdict_of_all(&bench, NULL, &list, &failure), &failure);
    assert_int_equal(verdict_list_latest(&list).verdicts[0].specimen->id, begun_first);
    assert_int_not_equal(list.worst, VERDICT_WITHIN);
    verdict_list_clear(&list);
    dossier_clear(&bench);
}

static void
paper_that_warns_is_not_silenced_by_an_unchecked_meter(void **state)
{
    struct dossier bench;
    int64_t specimen = bench_ready(&bench);

    (void)state;
    bench_ph(&bench, specimen, 10.49, 40.0)->calibration_id = 0;
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_NOT_JUDGED);
    bench.readings[0].ph = 10.51; /* above the bound less 0.2 */
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    bench.readings[0].ph = 10.2;
    bench_paper(&bench, specimen, 11.0, 12.0);
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    dossier_clear(&bench);
}

static void
deviations_and_low_readings_are_flagged(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 8.6, 40.0);
    struct verdict verdict = judged(&bench, specimen);

    (void)state;
    assert_false(flagged(&verdict, FLAG_BELOW_USUAL) || flagged(&verdict, FLAG_DEVIATION));
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].ph = 8.49;
    bench.answers = memory_new(1, sizeof *bench.answers);
    bench.answer_count = 1;
    answer_init(&bench.answers[0]);
    bench.answers[0].session_id = 1;
    bench.answers[0].deviation = memory_copy("undissolved soap");
    verdict = judged(&bench, specimen);
    assert_true(flagged(&verdict, FLAG_BELOW_USUAL) && flagged(&verdict, FLAG_DEVIATION));
    bench.answers[0].superseded_by = 9;
    verdict = judged(&bench, specimen);
    assert_false(flagged(&verdict, FLAG_DEVIATION));
    bench.answers[0].superseded_by = 0;
    bench.answers[0].specimen_id = specimen + 1; /* another bar's */
    verdict = judged(&bench, specimen);
    assert_false(flagged(&verdict, FLAG_DEVIATION));
    dossier_clear(&bench);
}

static void
a_batch_is_judged_by_the_worst_bar_of_its_latest_session(void **state)
{
    struct dossier bench;
    int64_t first = three_readings(&bench, 11.5, 40.0), later;
    struct verdict_list list = {0}, latest;
    struct failure failure = {0};

    (void)state;
    later = bench_session(&bench, bench_day(28));
    bench.calibrations[0].taken_at = bench_day(28) - 600;
    check_ok(verdict_of_all(&bench, NULL, &list, &failure), &failure);
    assert_int_equal(list.worst, VERDICT_LYE_HEAVY); /* the later session has no reading yet */
    assert_int_equal(list.verdicts[0].specimen->id, first);
    verdict_list_clear(&list);
    bench_ph(&bench, bench_specimen(&bench, later, 1.0), 9.9, 40.0);
    bench_ph(&bench, bench_specimen(&bench, later, 1.0), 10.99, 40.0);
    bench_specimen(&bench, later, 1.0); /* weighed, not read */
    check_ok(verdict_of_all(&bench, NULL, &list, &failure), &failure);
    latest = verdict_list_latest(&list);
    assert_int_equal(latest.count, 2);
    assert_int_equal(list.worst, VERDICT_DOUBTFUL);
    assert_int_equal(latest.verdicts[0].verdict, VERDICT_WITHIN);
    assert_int_equal(latest.verdicts[0].age_d, 28);
    assert_int_equal(list.count, 3);
    assert_int_equal(list.verdicts[0].age_d, 7);
    assert_int_equal(list.worst, VERDICT_DOUBTFUL);
    verdict_list_clear(&list);
    dossier_clear(&bench);
}

/* Judge a portion beside a reference batch. */
static struct verdict
judged_beside(const struct dossier *bench, const struct dossier *reference, int64_t specimen)
{
    struct verdict_list bars = {0};
    struct verdict_aid aid = {.reference = &bars};
    struct verdict verdict = {0};
    struct failure failure = {0};

    check_ok(verdict_of_all(reference, NULL, &bars, &failure), &failure);
    verdict = judged_with(bench, &aid, specimen);
    verdict_list_clear(&bars);
    return verdict;
}

static void
free_alkali_comes_as_a_range_and_narrower_with_a_reference(void **state)
{
    struct dossier bench, sound;
    int64_t specimen = three_readings(&bench, 10.4, 40.0);
    struct verdict alone = judged(&bench, specimen), with;

    (void)state;
    three_readings(&sound, 10.2, 40.0);
    with = judged_beside(&bench, &sound, specimen);
    assert_ptr_equal(with.reference, &sound);
    assert_true(alone.free_naoh_low_pct >= 0.0 && alone.free_naoh_low_pct < alone.free_naoh_high_pct);
    assert_true(with.free_naoh_high_pct - with.free_naoh_low_pct <
                alone.free_naoh_high_pct - alone.free_naoh_low_pct);
    for (size_t i = 0; i < 3; i++)
        sound.readings[i].ph = 11.4; /* no sound bar: not to be relied on */
    with = judged_beside(&bench, &sound, specimen);
    assert_null(with.reference);
    check_close(with.free_naoh_high_pct, alone.free_naoh_high_pct, 0.0, "as without a reference");
    dossier_clear(&bench);
    dossier_clear(&sound);
}

static void
a_reference_that_was_ever_lye_heavy_or_is_held_is_not_relied_on(void **state)
{
    struct dossier bench, sound;
    int64_t specimen = three_readings(&bench, 10.4, 40.0), earlier;

    (void)state;
    three_readings(&sound, 10.2, 40.0);
    sound.batch.state = BATCH_HELD;
    assert_null(judged_beside(&bench, &sound, specimen).reference);
    sound.batch.state = BATCH_IN_CURE;
    earlier = bench_specimen(&sound, bench_session(&sound, bench_day(7) - 60), 1.0);
    bench_ph(&sound, earlier, 11.6, 40.0);
    assert_null(judged_beside(&bench, &sound, specimen).reference);
    sound.readings[3].ph = 10.3;
    assert_ptr_equal(judged_beside(&bench, &sound, specimen).reference, &sound);
    dossier_clear(&bench);
    dossier_clear(&sound);
}

static void
a_departure_that_a_check_found_is_added_whole_and_above_the_allowed_fails_the_calibration(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 10.65, 40.0);
    struct calibration *look;
    struct verdict verdict;

    (void)state;
    look = bench_calibration(&bench, bench_day(7) + 3600, CALIBRATION_CHECK);
    bench_point(look, "borax", 9.18, 9.18);
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_WITHIN);
    look->points[0].displayed_ph = 9.14; /* whatever its sign */
    verdict = judged(&bench, specimen);
    check_close(verdict.departure_ph, 0.04, 1e-9, "9.18 - 9.14");
    assert_int_equal(verdict.verdict, VERDICT_DOUBTFUL);
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].ph = 10.98; /* it makes no bar lye-heavy */
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].ph = 9.6;
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_WITHIN);
    look->points[0].displayed_ph = 9.12;
    verdict = judged(&bench, specimen);
    assert_int_equal(verdict.verdict, VERDICT_NOT_JUDGED);
    assert_true(verdict.poor && flagged(&verdict, FLAG_DRIFT));
    dossier_clear(&bench);
}

static void
a_limit_on_record_above_the_usual_one_is_judged_by_the_usual_one(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 11.05, 40.0);
    struct verdict verdict;

    (void)state;
    bench.sessions[0].limit_ph = 11.5;
    verdict = judged(&bench, specimen);
    check_close(verdict.limit_ph, 11.0, 0.0, "the usual one");
    assert_int_equal(verdict.verdict, VERDICT_LYE_HEAVY);
    assert_true(flagged(&verdict, FLAG_LIMIT_RAISED));
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].ph = 9.9;
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_WITHIN);
    dossier_clear(&bench);
}

/* 50 degC and 0.5 % together are one unknown (V12): pKw 13.995 at 25, 13.534 at 40 (IAPWS R11-24) and 13.26 at 50 degC (CRC
 * Handbook, two decimals). For each decade of concentration 0.07 is added (at_reference.h, rule 3). */
static void
temperature_and_concentration_share_one_unknown(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 10.0, 50.0);
    struct verdict verdict;

    (void)state;
    bench.specimens[0].water_mass_g = 199.0;
    verdict = judged(&bench, specimen);
    check_close(verdict.share_half_ph, 0.25 * (0.274 + 0.301) + 0.07 * 0.301, 2e-3, "added, by hand");
    for (size_t i = 0; i < 3; i++)
        bench.readings[i].temperature_c = 25.0;
    verdict = judged(&bench, specimen);
    check_close(verdict.share_half_ph, 0.25 * fabs(-0.461 + 0.301) + 0.07 * 0.301, 2e-3,
                "taken off each other, by hand");
    dossier_clear(&bench);
}

static void
nothing_to_judge_is_said(void **state)
{
    struct dossier bench;
    struct verdict_list list = {.count = 77};
    struct failure failure = {0};

    (void)state;
    bench_ready(&bench);
    check_refused(verdict_of_all(&bench, NULL, &list, &failure), STATUS_MISSING, &failure);
    assert_string_equal(failure.text, "batch 'W-07' has no readings yet");
    assert_int_equal(list.count, 77);
    dossier_clear(&bench);
}

static void
single_readings_are_brought_to_the_reference_for_a_curve(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 10.20, 25.0);
    struct verdict_point *points = NULL;
    struct failure failure = {0};

    (void)state;
    bench_paper(&bench, specimen, 9.0, 10.0);
    bench.readings[1].superseded_by = 9; /* shown all the same */
    bench.readings[2].temperature_c = NAN;
    check_ok(verdict_points(&bench, &points, &failure), &failure);
    check_close(points[0].ph_at_reference, 10.19 - 0.345, 1.5e-3, "pKw of IAPWS to three decimals");
    assert_true(points[0].u_ph > 0.0);
    check_close(points[1].ph_at_reference, 10.20 - 0.345, 1.5e-3, "pKw of IAPWS to three decimals");
    assert_true(isnan(points[2].ph_at_reference) && isnan(points[2].u_ph));
    assert_true(flag_is_set(points[2].flags, FLAG_TEMPERATURE_MISSING));
    assert_true(isnan(points[3].ph_at_reference));
    free(points);
    dossier_clear(&bench);
}

/* A small generator of its own, so that the cases are the same everywhere (Park and Miller 1988). */
static double
draw(uint32_t *seed, double low, double high)
{
    *seed = (uint32_t)((uint64_t)*seed * 48271u % 2147483647u);
    return low + (high - low) * (double)*seed / 2147483647.0;
}

static void
shuffle(struct dossier *bench, uint32_t *seed)
{
    for (size_t i = bench->reading_count; i > 1; i--) {
        size_t j = (size_t)draw(seed, 0.0, (double)i);
        struct reading kept = bench->readings[i - 1];

        j = j < i ? j : i - 1;
        bench->readings[i - 1] = bench->readings[j];
        bench->readings[j] = kept;
    }
}

/* A bench of random readings: several bars, temperatures, strengths, some unchecked, and a check afterwards. */
static struct dossier
random_bench(uint32_t *seed)
{
    struct dossier bench;
    int bars = (int)draw(seed, 1.0, 4.0);

    bench_ready(&bench);
    bench_point(bench_calibration(&bench, bench_day(7) + 36000, CALIBRATION_CHECK), "borax", 9.18,
                9.18 + draw(seed, -0.1, 0.1));
    for (int bar = 0; bar < bars; bar++) {
        int64_t specimen = bench_specimen(&bench, 1, draw(seed, 0.4, 2.2));
        int readings = (int)draw(seed, 1.0, 6.0);
        double ph = draw(seed, 7.5, 12.5);

        for (int i = 0; i < readings; i++)
            bench_ph(&bench, specimen, ph + draw(seed, -0.1, 0.1), draw(seed, 12.0, 53.0))->calibration_id =
                draw(seed, 0.0, 1.0) < 0.9 ? 1 : 0;
    }
    return bench;
}

static void
the_order_of_readings_changes_nothing(void **state)
{
    uint32_t seed = 20260304;

    (void)state;
    for (int i = 0; i < 300; i++) {
        struct dossier bench = random_bench(&seed);
        struct verdict_list one = {0}, two = {0};
        struct failure failure = {0};

        check_ok(verdict_of_all(&bench, NULL, &one, &failure), &failure);
        shuffle(&bench, &seed);
        check_ok(verdict_of_all(&bench, NULL, &two, &failure), &failure);
        assert_int_equal(one.count, two.count);
        for (size_t v = 0; v < one.count; v++) {
            const double a[] = {one.verdicts[v].ph, one.verdicts[v].ph_at_reference, one.verdicts[v].u_ph,
                                one.verdicts[v].dof, one.verdicts[v].p_over_limit};
            const double b[] = {two.verdicts[v].ph, two.verdicts[v].ph_at_reference, two.verdicts[v].u_ph,
                                two.verdicts[v].dof, two.verdicts[v].p_over_limit};

            for (size_t c = 0; c < LENGTH(a); c++)
                assert_true(a[c] == b[c] || (isnan(a[c]) && isnan(b[c]))); /* bit for bit */
            assert_int_equal(one.verdicts[v].verdict, two.verdicts[v].verdict);
            assert_int_equal(one.verdicts[v].flags, two.verdicts[v].flags);
        }
        verdict_list_clear(&one);
        verdict_list_clear(&two);
        dossier_clear(&bench);
    }
}

/* Make one thing about the bench less certain. */
static void
worsen(struct dossier *bench, int how, double by)
{
    switch (how) {
    case 0: /* a coarser display */
        bench->gear[0].resolution_ph *= by;
        break;
    case 1: /* a check that shows more drift */
        bench->calibrations[1].points[0].displayed_ph = 9.18 + 0.02 * by;
        break;
    case 2: /* a worse thermometer */
        bench->gear[1].accuracy_c *= by;
        break;
    case 3: /* a coarser balance */
        bench->gear[2].readability_g *= by;
        break;
    case 4: /* kitchen-made buffers */
        for (size_t i = 0; i < 2; i++)
            bench->calibrations[0].points[i].kitchen_made = true;
        break;
    case 5: /* no temperature compensation */
        bench->gear[0].atc = false;
        break;
    default: { /* replicates further apart, about the same mean */
        double spread = 0.01 * by;

        bench->readings[0].ph -= spread;
        bench->readings[2].ph += spread;
        break;
    }
    }
}

static void
more_uncertainty_never_turns_doubtful_into_within(void **state)
{
    uint32_t seed = 7;
    size_t doubtful = 0;

    (void)state;
    for (int i = 0; i < 2000; i++) {
        struct dossier bench;
        int64_t specimen = three_readings(&bench, draw(&seed, 10.55, 10.85), 40.0);
        struct verdict before, after;

        bench_point(bench_calibration(&bench, bench_day(7) + 36000, CALIBRATION_CHECK), "borax", 9.18, 9.20);
        worsen(&bench, 6, draw(&seed, 0.0, 10.0));
        before = judged(&bench, specimen);
        worsen(&bench, i % 7, draw(&seed, 1.0, 8.0));
        after = judged(&bench, specimen);
        if (before.verdict == VERDICT_DOUBTFUL) {
            doubtful++;
            assert_int_not_equal(after.verdict, VERDICT_WITHIN);
            assert_int_not_equal(after.verdict, VERDICT_NOT_JUDGED);
        }
        dossier_clear(&bench);
    }
    assert_true(doubtful > 100); /* the property was put to the test */
}

static void
the_verdict_is_monotonic_in_ph(void **state)
{
    uint32_t seed = 11;

    (void)state;
    for (int i = 0; i < 60; i++) {
        struct dossier bench;
        int64_t specimen = bench_ready(&bench);
        enum verdict_word last = VERDICT_WITHIN;
        double percent = draw(&seed, 0.4, 2.2), temperature_c = draw(&seed, 12.0, 53.0);
        double top = draw(&seed, 9.8, 12.5);

        bench.specimens[0].water_mass_g = 100.0 / percent - 1.0;
        bench.calibrations[0].points[1].table_ph = bench.calibrations[0].points[1].displayed_ph = top;
        bench_ph(&bench, specimen, 9.0, temperature_c)->calibration_id = i % 5 == 0 ? 0 : 1;
        bench_ph(&bench, specimen, 9.0, temperature_c);
        for (double ph = 9.4; ph < 13.9; ph += 0.01) { /* below 8.5 at the reference it is doubtful again */
            enum verdict_word now;

            bench.readings[0].ph = ph;
            bench.readings[1].ph = ph;
            now = judged(&bench, specimen).verdict;
            assert_true(now >= last); /* from best to worst: within, not judged, doubtful, lye-heavy */
            last = now;
        }
        assert_int_equal(last, VERDICT_LYE_HEAVY);
        dossier_clear(&bench);
    }
}

static void
nothing_is_nan_where_a_verdict_rests_on_it(void **state)
{
    uint32_t seed = 5;
    size_t seen = 0;

    (void)state;
    for (int i = 0; i < 300; i++) {
        struct dossier bench = random_bench(&seed);
        struct verdict_list list = {0};
        struct failure failure = {0};

        check_ok(verdict_of_all(&bench, NULL, &list, &failure), &failure);
        for (size_t v = 0; v < list.count; v++) {
            const struct verdict *verdict = &list.verdicts[v];

            assert_true(isfinite(verdict->ph));
            if (verdict->verdict == VERDICT_WITHIN)
                assert_true(isfinite(verdict->p_over_limit));
            if (isnan(verdict->p_over_limit))
                continue;
            seen++;
            assert_false(isnan(verdict->ph_at_reference) || isnan(verdict->u_ph) || isnan(verdict->dof) ||
                         isnan(verdict->k) || isnan(verdict->ph_low) || isnan(verdict->ph_high));
            assert_true(verdict->u_ph > 0.0 && verdict->dof >= 5.0 - 1e-9);
        }
        verdict_list_clear(&list);
        dossier_clear(&bench);
    }
    assert_true(seen > 100);
}

/* Rule 3: what is added and is known less of takes no doubt away. The meter shows sevenths of a pH: u is 0.2. */
static void
a_reading_without_temperature_takes_no_doubt_from_the_others(void **state)
{
    struct dossier bench;
    int64_t specimen = three_readings(&bench, 10.45, 40.0);

    (void)state;
    bench.gear[0].resolution_ph = 0.7;
    free(bench.observations[0].word);
    bench.observations[0].word = memory_copy("other");
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    bench_ph(&bench, specimen, 10.40, NAN);
    assert_int_equal(judged(&bench, specimen).verdict, VERDICT_DOUBTFUL);
    check_close(judged(&bench, specimen).ph_at_reference, 10.45, 1e-9, "of the three that are known");
    dossier_clear(&bench);
}

/* Rule 2: carbon dioxide makes lye look like less; common practice: a cup is read on the day it was weighed. */
static void
a_cup_that_stood_for_more_than_a_day_clears_nothing(void **state)
{
    static const struct {
        int after_s;
        double ph;
        enum verdict_word verdict;
    } cases[] = {{DAY_S, 9.90, VERDICT_WITHIN},
                 {DAY_S + 1, 9.90, VERDICT_NOT_JUDGED},
                 {30 * DAY_S, 9.90, VERDICT_NOT_JUDGED},
                 {30 * DAY_S, 11.31, VERDICT_LYE_HEAVY}};

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench;
        int64_t specimen = three_readings(&bench, 9.90, 40.0);
        struct verdict verdict;

        bench_ph(&bench, specimen, cases[i].ph, 40.0)->taken_at =
            bench.readings[0].taken_at + cases[i].after_s;
        verdict = judged(&bench, specimen);
        assert_int_equal(verdict.verdict, cases[i].verdict);
        assert_true(flagged(&verdict, FLAG_CUP_STOOD) == (cases[i].after_s > DAY_S));
        dossier_clear(&bench);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_rule_itself_and_common_practice),
    cmocka_unit_test(a_reading_at_the_limit_with_a_tenth_of_uncertainty_is_never_within),
    cmocka_unit_test(the_three_words_meet_at_five_and_fifty_percent),
    cmocka_unit_test(the_budget_adds_up_by_hand),
    cmocka_unit_test(a_reading_at_25_degrees_is_brought_to_40_and_flagged),
    cmocka_unit_test(bad_evidence_never_clears_and_speaks_against),
    cmocka_unit_test(a_reading_beyond_the_calibration_is_not_softened_by_its_correction),
    cmocka_unit_test(an_extrapolated_reading_is_judged_with_its_flag),
    cmocka_unit_test(readings_that_cannot_be_used_stand_beside_the_others),
    cmocka_unit_test(superseded_and_withdrawn_readings_are_left_out),
    cmocka_unit_test(paper_alone_warns_and_never_clears),
    cmocka_unit_test(paper_read_cold_is_brought_to_40_degrees),
    cmocka_unit_test(several_papers_make_one_range),
    cmocka_unit_test(a_known_bias_moves_what_paper_says),
    cmocka_unit_test(paper_beside_a_meter_that_judged_is_a_sentence_only),
    cmocka_unit_test(a_low_paper_reading_does_not_hide_a_high_one_beside_it),
    cmocka_unit_test(a_second_meter_that_reads_high_is_not_averaged_away),
    cmocka_unit_test(a_walk_through_left_open_is_flagged),
    cmocka_unit_test(a_session_counts_by_when_it_was_read_not_by_when_it_began),
    cmocka_unit_test(paper_that_warns_is_not_silenced_by_an_unchecked_meter),
    cmocka_unit_test(deviations_and_low_readings_are_flagged),
    cmocka_unit_test(a_batch_is_judged_by_the_worst_bar_of_its_latest_session),
    cmocka_unit_test(free_alkali_comes_as_a_range_and_narrower_with_a_reference),
    cmocka_unit_test(a_reference_that_was_ever_lye_heavy_or_is_held_is_not_relied_on),
    cmocka_unit_test(
        a_departure_that_a_check_found_is_added_whole_and_above_the_allowed_fails_the_calibration),
    cmocka_unit_test(temperature_and_concentration_share_one_unknown),
    cmocka_unit_test(a_limit_on_record_above_the_usual_one_is_judged_by_the_usual_one),
    cmocka_unit_test(nothing_to_judge_is_said),
    cmocka_unit_test(single_readings_are_brought_to_the_reference_for_a_curve),
    cmocka_unit_test(the_order_of_readings_changes_nothing),
    cmocka_unit_test(more_uncertainty_never_turns_doubtful_into_within),
    cmocka_unit_test(the_verdict_is_monotonic_in_ph),
    cmocka_unit_test(nothing_is_nan_where_a_verdict_rests_on_it),
    cmocka_unit_test(a_reading_without_temperature_takes_no_doubt_from_the_others),
    cmocka_unit_test(a_cup_that_stood_for_more_than_a_day_clears_nothing),
};

const struct check_module test_assess_verdict = CHECK_MODULE("assess/verdict", tests);
