/* test_lye_balance.c - recipes as batches record them, against handbooks and stoichiometry. */
#include "check.h"
#include "lye_balance.h"

static void
add(struct batch *batch, enum recipe_kind kind, const char *text)
{
    struct failure failure = {0};
    struct recipe_line line;

    check_ok(recipe_line_parse(kind, text, &line, &failure), &failure);
    batch_add_line(batch, line);
}

static struct lye_balance
solved(const struct batch *batch, double readability_g)
{
    struct failure failure = {0};
    struct lye_balance balance;

    check_ok(lye_balance_read(batch, readability_g, &balance, &failure), &failure);
    check_ok(lye_balance_solve(&balance, LYE_BALANCE_DRAWS, LYE_BALANCE_SEED, &failure), &failure);
    return balance;
}

static void
check_flags(const struct lye_balance *balance, const char *expected)
{
    char *flags = lye_balance_flag_text(balance->flags);

    assert_string_equal(flags, expected);
    free(flags);
}

static void
all_coconut_recipes_of_old_handbooks_hold_back_lye(void **state)
{
    /* Simmons and Appleton, The Handbook of Soap Manufacture, 1908, and Thomssen, Soap-Making Manual, 1922:
     * 0.163 and 0.160 g NaOH per g of coconut oil of saponification value 251.5 to 261. By hand: NaOH needed
     * is 0.17929 to 0.18607 g per g. */
    static const struct {
        const char *lye;
        double lowest_pct, highest_pct;
    } recipes[] = {{"naoh=163@100%", 9.1, 12.4}, {"naoh=160@100%", 10.8, 14.0}};

    (void)state;
    for (size_t i = 0; i < LENGTH(recipes); i++) {
        struct batch batch = {0};
        struct lye_balance balance;

        add(&batch, RECIPE_FAT, "coconut oil=1000@sv 251.5..261");
        add(&batch, RECIPE_LYE, recipes[i].lye);
        balance = solved(&batch, 1e-6);
        /* Purity enters by half a point downwards: 0.5 % of 88 % more superfat at the high end. */
        check_close(balance.figures.superfat_lowest_pct, recipes[i].lowest_pct, 0.06, "handbooks, by hand");
        check_close(balance.figures.superfat_highest_pct, recipes[i].highest_pct + 0.44, 0.06,
                    "likewise, with lye of 99.5 %");
        assert_true(balance.spread.low_pct > balance.figures.superfat_lowest_pct);
        assert_true(balance.spread.high_pct < balance.figures.superfat_highest_pct);
        check_close(balance.spread.p_lye_exceeds_fat, 0.0, 0.0, "the ends are far from zero");
        check_flags(&balance, "supplier-sv");
        lye_balance_clear(&balance);
        batch_clear(&batch);
    }
}

static void
acids_take_lye_as_stoichiometry_has_it(void **state)
{
    struct batch batch = {0};
    struct lye_balance balance;

    (void)state;
    add(&batch, RECIPE_FAT, "olive oil=500@sv 190");
    add(&batch, RECIPE_LYE, "naoh=70@98.5%");
    add(&batch, RECIPE_ACID, "citric acid, anhydrous=10");
    add(&batch, RECIPE_ACID, "citric acid, monohydrate=10");
    add(&batch, RECIPE_ACID, "vinegar=100@5%");
    add(&batch, RECIPE_WATER, "water=180");
    balance = solved(&batch, 0.01);
    check_close(balance.acids[0].naoh_low_g_per_g, 0.6246, 5e-5, "3 x 39.997 / 192.123");
    check_close(balance.acids[1].naoh_high_g_per_g, 0.5710, 5e-5, "3 x 39.997 / 210.14");
    check_close(balance.acids[2].naoh_high_g_per_g, 0.05 * 39.997 / 60.052, 5e-6,
                "5 g of acetic acid in 100 g");
    check_close(balance.acids[2].naoh_low_g_per_g, 0.05 * 39.997 / 60.052 / 1.01, 5e-6, "or in 100 mL");
    check_close(balance.figures.needed_g, 500.0 * 0.190 * 39.997 / 56.105, 1e-9, "definition");
    check_close(balance.figures.given_g, 70.0 * 0.985, 1e-9, "purity");
    check_close(balance.figures.taken_by_acids_g, 6.246 + 5.710 + 3.314, 0.01, "by hand");
    check_close(balance.poured_g, 870.0, 1e-9, "all lines");
    check_flags(&balance, "supplier-sv");
    lye_balance_clear(&balance);
    batch_clear(&batch);
}

static void
what_is_not_stated_is_assumed_and_flagged(void **state)
{
    struct batch batch = {0};
    struct lye_balance balance;

    (void)state;
    add(&batch, RECIPE_FAT, "olive=500");
    add(&batch, RECIPE_LYE, "sodium hydroxide=60");
    add(&batch, RECIPE_LYE, "KOH=10");
    add(&batch, RECIPE_ACID, "citric acid=5");
    balance = solved(&batch, NAN);
    check_close(balance.fats[0].sv_low_mg_koh_per_g, 184.0, 0.0, "CXS 33, olive oil");
    check_close(balance.fats[0].sv_high_mg_koh_per_g, 196.0, 0.0, "CXS 33, olive oil");
    check_close(balance.lyes[0].purity_low_fraction, 0.97, 0.0, "common practice, no source");
    check_close(balance.lyes[0].purity_high_fraction, 1.0, 0.0, "common practice, no source");
    assert_int_equal(balance.lyes[1].kind, LYE_KOH);
    check_close(balance.lyes[1].purity_low_fraction, 0.85, 0.0, "common practice, no source");
    check_close(balance.acids[0].naoh_low_g_per_g, 0.5710, 5e-5, "monohydrate");
    check_close(balance.acids[0].naoh_high_g_per_g, 0.6246, 5e-5, "anhydrous");
    check_close(balance.fats[0].mass_half_width_g / sqrt(3.0), 1.0 / sqrt(6.0), 1e-12,
                "two readings of a 1 g balance, JCGM 100:2008 F.2.2.1");
    check_flags(&balance, "purity-assumed;weighing-assumed;name-broad");
    lye_balance_clear(&balance);
    batch_clear(&batch);
}

/* Excess lye in a recipe whose fat is known exactly: 80 g of NaOH, 500 g of fat that takes 67.73 g. */
static void
too_much_lye_is_seen_and_expected_to_read_high(void **state)
{
    struct batch batch = {0};
    struct lye_balance balance;

    (void)state;
    add(&batch, RECIPE_FAT, "olive oil=500@sv 190");
    add(&batch, RECIPE_LYE, "naoh=80@99.5%");
    add(&batch, RECIPE_WATER, "water=170");
    balance = solved(&batch, 0.01);
    check_close(balance.figures.superfat_pct, 100.0 * (1.0 - 79.6 / 67.7251), 0.001, "by hand: -17.5 %");
    check_close(balance.spread.p_lye_exceeds_fat, 1.0, 0.0, "far above");
    check_flags(&balance, "supplier-sv;lye-may-exceed;lye-exceeds");
    check_close(balance.expected.excess_naoh_pct, 1.64, 0.02, "12.3 g (purity 100 %) of 750 g, by hand");
    /* 1.64 % of 1 % NaOH alone is 0.0041 mol/kg, pH 11.1 at 40 degC; with the soap's own hydroxide above it.
     */
    assert_true(balance.expected.excess_ph > 11.05);
    assert_true(balance.expected.excess_ph > balance.expected.plain_ph);
    assert_true(balance.expected.excess_high_ph >= balance.expected.excess_ph);
    lye_balance_clear(&balance);
    batch_clear(&batch);
}

static void
the_monte_carlo_agrees_with_the_analytic_variance(void **state)
{
    /* Fat of an exact mass and value and a balance that is nearly exact: the superfat is linear in the
     * purity, and first order is then exact. The standard deviation of n draws has a standard error of less
     * than sd / sqrt(2 (n - 1)) for a rectangular quantity. */
    struct batch batch = {0};
    struct lye_balance balance, again;
    double sd_pct = 100.0 * 68.0 / 67.72512 * 0.005 / sqrt(3.0);

    (void)state;
    add(&batch, RECIPE_FAT, "olive oil=500@sv 190");
    add(&batch, RECIPE_LYE, "naoh=68@98.5%");
    balance = solved(&batch, 1e-6);
    check_close(balance.superfat_sd_pct, sd_pct, 1e-5, "JCGM 100:2008, 4.3.7: half-width / sqrt(3)");
    check_close(balance.spread.sd_pct, balance.superfat_sd_pct, 3.0 * sd_pct / sqrt(2.0 * LYE_BALANCE_DRAWS),
                "its own standard error");
    check_close(balance.spread.mean_pct, balance.figures.superfat_pct,
                4.0 * balance.spread.mean_standard_error_pct, "its own standard error");
    assert_int_equal(balance.parts[0].source, LYE_BALANCE_LYE_PURITY);
    check_close(balance.parts[0].share_fraction, 1.0, 1e-6, "nothing else is uncertain");
    /* Seed and draws are kept with the result, and give it again. */
    assert_int_equal(balance.spread.seed, LYE_BALANCE_SEED);
    assert_int_equal(balance.spread.draws, LYE_BALANCE_DRAWS);
    again = solved(&batch, 1e-6);
    assert_true(again.spread.sd_pct == balance.spread.sd_pct &&
                again.spread.low_pct == balance.spread.low_pct);
    lye_balance_clear(&balance);
    lye_balance_clear(&again);
    batch_clear(&batch);
}

static void
lye_for_a_superfat_follows_from_the_fat(void **state)
{
    struct batch batch = {0};
    struct failure failure = {0};
    struct lye_balance balance;
    struct lye_balance_lye lye;
    struct lye_balance_advice advice;

    (void)state;
    add(&batch, RECIPE_FAT, "olive oil=1000@sv 190");
    check_ok(lye_balance_read(&batch, 0.01, &balance, &failure), &failure);
    check_refused(lye_balance_solve(&balance, 1000, 1, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "the recipe has no lye");
    check_ok(lye_balance_lye_for(&balance, NULL, 5.0, 100000, 1, &lye, &advice, &failure), &failure);
    check_close(advice.wanted_g, 0.95 * 135.4499 / 0.985, 0.005,
                "135.45 g x 0.95, purity 98.5 % in the middle");
    check_ok(lye_balance_lye_for(&balance, "koh", 5.0, 100000, 1, &lye, &advice, &failure), &failure);
    check_close(advice.wanted_g, 0.95 * 190.0 / 0.90, 0.005, "190 g of KOH x 0.95, 90 % in the middle");
    lye_balance_clear(&balance);
    batch_clear(&batch);
}

static void
names_that_are_not_known_are_refused(void **state)
{
    static const struct {
        enum recipe_kind kind;
        const char *line, *text;
    } bad[] = {
        {RECIPE_FAT, "olve oil=500", "fat 'olve oil' is not known (did you mean 'olive oil'?)"},
        {RECIPE_LYE, "lime=5", "lye 'lime' is not known, allowed are naoh"},
        {RECIPE_ACID, "citrc acid=5", "acid 'citrc acid' is not known"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct batch batch = {0};
        struct failure failure = {0};
        struct lye_balance balance = {.poured_g = -1.0};

        add(&batch, RECIPE_FAT, "olive oil=500");
        add(&batch, bad[i].kind, bad[i].line);
        check_refused(lye_balance_read(&batch, NAN, &balance, &failure), STATUS_MISSING, &failure);
        check_contains(failure.text, bad[i].text);
        check_close(balance.poured_g, -1.0, 0.0, "a refusal leaves the result alone");
        batch_clear(&batch);
    }
    {
        struct batch batch = {0};
        struct failure failure = {0};
        struct lye_balance balance;

        add(&batch, RECIPE_LYE, "naoh=10");
        check_refused(lye_balance_read(&batch, NAN, &balance, &failure), STATUS_MISSING, &failure);
        check_contains(failure.text, "the recipe has no fat");
        batch_clear(&batch);
    }
}

static void
two_lyes_need_a_name(void **state)
{
    struct batch batch = {0};
    struct failure failure = {0};
    struct lye_balance balance;
    struct lye_balance_lye lye;
    struct lye_balance_advice advice;

    (void)state;
    add(&batch, RECIPE_FAT, "olive oil=1000@sv 190");
    add(&batch, RECIPE_LYE, "naoh=100@100%");
    add(&batch, RECIPE_LYE, "koh=20@90%");
    check_ok(lye_balance_read(&batch, 0.01, &balance, &failure), &failure);
    check_refused(lye_balance_lye_for(&balance, NULL, 5.0, 1000, 1, &lye, &advice, &failure), STATUS_CONFLICT,
                  &failure);
    check_contains(failure.text, "--lye-name");
    check_ok(lye_balance_lye_for(&balance, "koh", 0.0, 100000, 1, &lye, &advice, &failure), &failure);
    /* NaOH at the middle of 99.5 to 100 %. */
    check_close(advice.wanted_g, (135.4499 - 99.75) * 56.105 / 39.997 / 0.90, 0.01, "moles left for KOH");
    lye_balance_clear(&balance);
    batch_clear(&batch);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(all_coconut_recipes_of_old_handbooks_hold_back_lye),
    cmocka_unit_test(acids_take_lye_as_stoichiometry_has_it),
    cmocka_unit_test(what_is_not_stated_is_assumed_and_flagged),
    cmocka_unit_test(too_much_lye_is_seen_and_expected_to_read_high),
    cmocka_unit_test(the_monte_carlo_agrees_with_the_analytic_variance),
    cmocka_unit_test(lye_for_a_superfat_follows_from_the_fat),
    cmocka_unit_test(names_that_are_not_known_are_refused),
    cmocka_unit_test(two_lyes_need_a_name),
};

const struct check_module test_assess_lye_balance = CHECK_MODULE("assess/lye_balance", tests);
