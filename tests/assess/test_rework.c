/* test_rework.c - what takes up the lye of a batch, by the best evidence on record. */
#include "bench.h"
#include "lye_balance.h"
#include "rework.h"

static const double naoh_per_sv = 39.997 / 56.105 / 1000.0; /* molar masses */
static const struct rework_request usual = {.superfat_pct = NAN, .batch_mass_g = NAN, .readability_g = 1e-6};

static void
add(struct dossier *bench, enum recipe_kind kind, const char *text)
{
    struct failure failure = {0};
    struct recipe_line line;

    check_ok(recipe_line_parse(kind, text, &line, &failure), &failure);
    batch_add_line(&bench->batch, line);
}

/* 500 g of a fat that takes 67.7251 g NaOH, and water: 750 g with 70 g of lye. */
static struct dossier
poured(const char *lye)
{
    struct dossier bench = bench_new();

    add(&bench, RECIPE_FAT, "olive oil=500@sv 190");
    add(&bench, RECIPE_LYE, lye);
    add(&bench, RECIPE_WATER, "water=180");
    return bench;
}

static void
read_ph(struct dossier *bench, double ph)
{
    int64_t specimen = bench_specimen(bench, bench_session(bench, bench_day(7)), 1.0);
    int64_t calibration = bench_calibrated(bench, bench_day(7) - 1800);

    for (int i = -1; i <= 1; i++)
        bench_ph(bench, specimen, ph + 0.01 * i, 40.0)->calibration_id = calibration;
}

static enum status
try(const struct dossier *bench, const struct rework_request *request, struct rework *ret_rework,
    struct failure *failure)
{
    struct conclusion conclusion;
    enum status status;

    check_ok(conclusion_of(bench, NULL, &conclusion, failure), failure);
    status = rework_of(bench, &conclusion, request, ret_rework, failure);
    conclusion_clear(&conclusion);
    return status;
}

static struct rework
reworked(const struct dossier *bench, const struct rework_request *request)
{
    struct failure failure = {0};
    struct rework rework;

    check_ok(try(bench, request, &rework, &failure), &failure);
    return rework;
}

static void
check_flags(const struct rework *rework, const char *expected)
{
    char *flags = rework_flag_text(rework->flags);

    assert_string_equal(flags, expected);
    free(flags);
}

static void
one_percent_of_a_kilogram_by_titration_needs_74_g_of_olive_oil(void **state)
{
    struct dossier bench = bench_new();
    struct rework_request request = {
        .with = "olive oil", .superfat_pct = 0.0, .batch_mass_g = 1000.0, .readability_g = NAN};
    struct rework rework;

    (void)state;
    bench_titration(&bench, bench_day(7), 25.05)->acid_mol_per_l = 10.0 / 99.9925; /* 1 % */
    rework = reworked(&bench, &request);
    assert_int_equal(rework.evidence, REWORK_FROM_TITRATION);
    check_close(rework.free_naoh.central_g, 10.0, 0.01, "1 % of 1000 g");
    check_close(rework.for_zero.central_g, 73.8, 0.1, "10 g / (190 x 7.12896e-4), method 10; SV 184 to 196");
    check_close(rework.total.central_g, rework.for_zero.central_g, 1e-9, "no superfat asked");
    check_close(rework.advised_g, rework.for_zero.high_g, 1e-9, "enough for the most there may be");
    assert_true(rework.for_zero.low_g < 72.0 && rework.for_zero.high_g > 76.0);
    check_flags(&rework, "");
    dossier_clear(&bench);
}

static void
a_titration_goes_before_the_recipe_and_the_recipe_before_a_ph(void **state)
{
    struct dossier bench = poured("naoh=72@100%");
    struct rework rework;

    (void)state;
    read_ph(&bench, 11.31);
    rework = reworked(&bench, &usual);
    assert_int_equal(rework.evidence, REWORK_FROM_BALANCE);
    /* Purity 99.5 to 100 %, so 71.82 g in the middle. */
    check_close(rework.free_naoh.central_g, 71.82 - 67.7251, 1e-3, "lye given less lye needed, by hand");
    assert_true(rework.free_naoh.low_g < 4.0 && rework.free_naoh.high_g > 4.2);
    check_close(rework.for_zero.central_g, rework.free_naoh.central_g / (190.0 * naoh_per_sv), 1e-9,
                "stoichiometry");
    bench_titration(&bench, bench_day(7), 12.55);
    rework = reworked(&bench, &usual);
    assert_int_equal(rework.evidence, REWORK_FROM_TITRATION);
    check_close(rework.free_naoh.central_g, 0.005 * 752.0, 1e-3, "0.5 % of all that was poured");
    check_flags(&rework, "mass-assumed");
    dossier_clear(&bench);
}

/* 79.8 g of lye on a fat that takes 67.7 leave 12.1 g; a titration finds 3.8 g. Reworked for that, the recipe would
 * still have more lye than fat: the promise was 5 %. */
static void
a_recipe_that_leaves_much_more_than_was_titrated_counts(void **state)
{
    struct dossier bench = poured("naoh=80@100%");
    struct failure failure = {0};
    struct lye_balance balance;
    struct batch child = {0};
    struct rework rework;

    (void)state;
    bench_titration(&bench, bench_day(7), 12.55);
    bench_titration(&bench, bench_day(7), 12.60);
    rework = reworked(&bench, &usual);
    assert_int_equal(rework.evidence, REWORK_FROM_BALANCE);
    check_flags(&rework, "recipe-says-more");
    check_close(rework.titrated.central_g, 3.81, 0.02, "0.501 % of 760 g");
    check_close(rework.free_naoh.central_g, 79.8 - 67.7251, 1e-3, "lye given less lye needed, by hand");
    check_close(rework.superfat_after_pct, 5.0, 1e-3, "what was asked for, by the recipe");

    rework_recipe(&bench.batch, &rework, rework.advised_g,
                  &child); /* and so says the new batch's own recipe */
    check_ok(lye_balance_read(&child, 1e-6, &balance, &failure), &failure);
    check_ok(lye_balance_solve(&balance, 100000, 1, &failure), &failure);
    check_close(balance.figures.superfat_pct, 5.0, 1e-3, "what was promised");
    lye_balance_clear(&balance);
    batch_clear(&child);
    dossier_clear(&bench);
}

static void
a_superfat_is_counted_on_old_and_added_fat(void **state)
{
    /* By the definition: 1 - lye / (old fat's need + added fat's need) = 5 %, all lye being bound at the end. */
    struct dossier bench = poured("naoh=80@100%");
    struct rework rework = reworked(&bench, &usual);
    double needed_g = 67.7251 + rework.total.central_g * 190.0 * naoh_per_sv;

    (void)state;
    check_close(1.0 - 79.8 / needed_g, 0.05, 1e-5, "definition of the superfat");
    check_close(rework.superfat_pct, 5.0, 0.0, "common practice");
    dossier_clear(&bench);
}

static void
what_is_left_of_a_pour_has_its_share_of_the_lye(void **state)
{
    struct dossier bench = poured("naoh=80@100%");
    struct rework_request request = usual;
    struct rework rework;

    (void)state;
    request.batch_mass_g = 290.0; /* half of the 580 g that are not water */
    rework = reworked(&bench, &request);
    check_close(rework.free_naoh.central_g, (79.8 - 67.7251) / 2.0, 1e-3, "half");
    check_flags(&rework, "share-from-dry-mass");
    request.batch_mass_g = 700.0; /* all of it, partly dried */
    rework = reworked(&bench, &request);
    check_close(rework.free_naoh.central_g, 79.8 - 67.7251, 1e-3, "drying changes percent, not grams");
    check_flags(&rework, "");
    dossier_clear(&bench);
}

static void
a_ph_alone_is_weak_and_says_so(void **state)
{
    struct dossier bench = poured("naoh=60@100%");
    struct rework rework;

    (void)state;
    read_ph(&bench, 11.31);
    rework = reworked(&bench, &usual);
    assert_int_equal(rework.evidence, REWORK_FROM_PH);
    check_flags(&rework, "ph-weak;balance-disagrees;mass-assumed");
    assert_true(rework.free_naoh.low_g >= 0.0 && rework.free_naoh.low_g < rework.free_naoh.central_g);
    assert_true(rework.free_naoh.central_g < rework.free_naoh.high_g);
    /* All hydroxide of pH 11.31 at 40 degC, pKw 13.534, gamma near 0.83: 0.0072 mol/kg, 2.9 % of 740 g. */
    check_close(rework.free_naoh.high_g, 0.029 * 740.0, 5.0, "upper bound by hand, with the reading's doubt");
    dossier_clear(&bench);
}

static void
acids_take_up_and_leave_no_superfat(void **state)
{
    static const struct {
        const char *with;
        double naoh_low, naoh_high;
        const char *flags, *source;
    } cases[] = {
        {"citric acid, anhydrous", 0.62455, 0.62455, "mass-assumed", "3 x 39.997 / 192.123"},
        {"citric acid", 0.57101, 0.62455, "mass-assumed;name-broad", "monohydrate or anhydrous"},
        {"baking soda", 0.47612, 0.47612, "mass-assumed;leaves-soda", "39.997 / 84.007"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = poured("naoh=72@100%");
        struct rework_request request = usual;
        struct failure failure = {0};
        struct rework rework;

        bench_titration(&bench, bench_day(7), 12.55);
        request.with = cases[i].with;
        rework = reworked(&bench, &request);
        check_close(rework.for_zero.central_g, 3.76 / ((cases[i].naoh_low + cases[i].naoh_high) / 2.0), 0.005,
                    cases[i].source);
        check_close(rework.superfat_pct, 0.0, 0.0, "none");
        check_flags(&rework, cases[i].flags);
        request.superfat_pct = 5.0;
        check_refused(try(&bench, &request, &rework, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, "leaves no superfat");
        dossier_clear(&bench);
    }
}

static void
fatty_acids_leave_a_superfat(void **state)
{
    static const struct {
        const char *with;
        double naoh_low, naoh_high;
        const char *source;
    } cases[] = {
        {"oleic acid", 0.14160, 0.14160, "39.997 / 282.468"},
        {"stearic acid", 0.14059, 0.15598, "39.997 / 284.484, and palmitic 39.997 / 256.43"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        struct dossier bench = poured("naoh=72@100%");
        struct rework_request request = usual;
        struct rework rework;

        bench_titration(&bench, bench_day(7), 12.55);
        request.with = cases[i].with;
        rework = reworked(&bench, &request);
        check_close(rework.for_zero.central_g, 3.76 / ((cases[i].naoh_low + cases[i].naoh_high) / 2.0), 0.01,
                    cases[i].source);
        assert_true(rework.total.central_g > rework.for_zero.central_g);
        dossier_clear(&bench);
    }
}

static void
bicarbonate_leaves_washing_soda(void **state)
{
    struct dossier bench = poured("naoh=72@100%");
    struct rework_request request = usual;

    (void)state;
    bench_titration(&bench, bench_day(7), 12.55);
    request.with = "sodium bicarbonate";
    check_close(reworked(&bench, &request).soda_g, 3.76 * 105.988 / 39.997, 0.01,
                "NaHCO3 + NaOH -> Na2CO3 + H2O");
    dossier_clear(&bench);
}

/* Rules 2 and 4: a later sitting of another bar takes nothing from what stands of the worst. 5 mL are 0.198 % by
 * hand: 4.95 mL of 0.1 mol/L on 10 g, 39.997 g/mol. */
static void
the_worst_bar_is_reworked_whatever_was_tested_last(void **state)
{
    struct dossier titrated = poured("naoh=60@100%"), read = poured("naoh=60@100%");
    struct rework_request request = usual;
    struct rework rework;

    (void)state;
    request.batch_mass_g = 500.0;
    for (int i = 0; i < 3; i++)
        bench_titration(&titrated, bench_day(7), 5.0)->bar = memory_copy("A");
    for (int i = 0; i < 3; i++)
        bench_titration(&titrated, bench_day(9), 0.4)->bar = memory_copy("B");
    rework = reworked(&titrated, &request);
    check_close(rework.titrated_pct, 0.198, 5e-4, "of bar A");
    check_flags(&rework, "");
    read_ph(&read, 11.31);
    bench_label(&read, 1, "A");
    bench_label(&read, bench_specimen(&read, bench_session(&read, bench_day(9)), 1.0), "B");
    bench_ph(&read, 2, 9.9, 40.0);
    rework = reworked(&read, &usual);
    check_close(rework.free_naoh.high_g, 0.029 * 740.0, 5.0, "of bar A, as where it stands alone");
    dossier_clear(&titrated);
    dossier_clear(&read);
}

static void
without_excess_on_record_nothing_is_made_up(void **state)
{
    struct dossier sound = poured("naoh=60@100%"), bare = bench_new(), within = poured("naoh=60@100%");
    struct rework_request request = usual;
    struct failure failure = {0};
    struct rework rework = {.advised_g = -1.0};

    (void)state;
    check_refused(try(&sound, &usual, &rework, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "nothing on record shows lye in excess");
    read_ph(&sound, 9.9);
    check_refused(try(&sound, &usual, &rework, &failure), STATUS_MISSING, &failure);
    bench_titration(&bare, bench_day(7), 25.0);
    check_refused(try(&bare, &usual, &rework, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "--mass-g GRAMS");
    request.with = "sawdust";
    check_refused(try(&bare, &request, &rework, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "'sawdust' is neither a known fat");
    request = usual;
    request.batch_mass_g = -1.0;
    check_refused(try(&bare, &request, &rework, &failure), STATUS_RANGE, &failure);
    bench_titration(&within, bench_day(7), 0.05);
    check_refused(try(&within, &usual, &rework, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "found no free alkali");
    check_close(rework.advised_g, -1.0, 0.0, "a refusal leaves the result alone");
    dossier_clear(&sound);
    dossier_clear(&bare);
    dossier_clear(&within);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(one_percent_of_a_kilogram_by_titration_needs_74_g_of_olive_oil),
    cmocka_unit_test(a_titration_goes_before_the_recipe_and_the_recipe_before_a_ph),
    cmocka_unit_test(a_recipe_that_leaves_much_more_than_was_titrated_counts),
    cmocka_unit_test(a_superfat_is_counted_on_old_and_added_fat),
    cmocka_unit_test(what_is_left_of_a_pour_has_its_share_of_the_lye),
    cmocka_unit_test(a_ph_alone_is_weak_and_says_so),
    cmocka_unit_test(acids_take_up_and_leave_no_superfat),
    cmocka_unit_test(fatty_acids_leave_a_superfat),
    cmocka_unit_test(bicarbonate_leaves_washing_soda),
    cmocka_unit_test(the_worst_bar_is_reworked_whatever_was_tested_last),
    cmocka_unit_test(without_excess_on_record_nothing_is_made_up),
};

const struct check_module test_assess_rework = CHECK_MODULE("assess/rework", tests);
