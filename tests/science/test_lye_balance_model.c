/* test_lye_balance_model.c - superfat and its spread: closed forms, handbook recipes, and R
 * (lye_balance_model.R beside this file). */
#include "check.h"
#include "lye_balance_model.h"

static const double naoh_per_sv = 39.997 / 56.105 / 1000.0;

/* A whole recipe with everything uncertain, as in lye_balance_model.R; invented. */
static const struct lye_balance_fat fats[] = {
    {500.0, 0.5, 184.0, 196.0}, {250.0, 0.5, 248.0, 265.0}, {50.0, 0.5, 160.0, 195.0}};
static const struct lye_balance_lye lyes[] = {{LYE_KOH, 10.0, 0.05, 0.85, 0.92},
                                              {LYE_NAOH, 119.0, 0.05, 0.97, 0.99}};
static const struct lye_balance_acid acids[] = {{10.0, 0.05, 0.57101, 0.62455}};
static const struct lye_balance_model whole = {fats, 3, lyes, 2, acids, 1};
/* The same with the NaOH still to be decided. */
static const struct lye_balance_model undecided = {fats, 3, lyes, 1, acids, 1};

static void
all_coconut_recipes_of_old_handbooks_hold_back_lye(void **state)
{
    /* Simmons and Appleton 1908, Thomssen 1922: 0.163 and 0.160 g NaOH per g of coconut oil, whose
     * saponification value they give as 251.5 to 261: a discount of 9 to 14 %. */
    static const struct {
        double naoh_g, lowest_pct, highest_pct;
    } recipes[] = {{0.163, 9.1, 12.4}, {0.160, 10.8, 14.0}};
    const struct lye_balance_fat coconut = {1.0, 0.0, 251.5, 261.0};

    (void)state;
    for (size_t i = 0; i < LENGTH(recipes); i++) {
        const struct lye_balance_lye naoh = {LYE_NAOH, recipes[i].naoh_g, 0.0, 1.0, 1.0};
        const struct lye_balance_model model = {&coconut, 1, &naoh, 1, NULL, 0};
        struct failure failure = {0};
        struct lye_balance_figures figures;

        check_ok(lye_balance_compute(&model, &figures, &failure), &failure);
        check_close(figures.superfat_lowest_pct, recipes[i].lowest_pct, 0.05,
                    "by hand from the handbooks' figures");
        check_close(figures.superfat_highest_pct, recipes[i].highest_pct, 0.05, "by hand, likewise");
    }
}

static void
acids_and_potassium_hydroxide_are_counted(void **state)
{
    /* 1000 g of SV 200 need 200 g KOH. 210 g of it at 100 %, and citric acid that takes 14.026 g KOH: 2.01 %
     * left. */
    const struct lye_balance_fat fat = {1000.0, 1.0, 190.0, 210.0};
    const struct lye_balance_lye koh = {LYE_KOH, 210.0, 0.0, 1.0, 1.0};
    const struct lye_balance_acid citric = {192.123 / 12.0, 0.0, 3.0 * 39.997 / 192.123,
                                            3.0 * 39.997 / 192.123};
    const struct lye_balance_model model = {&fat, 1, &koh, 1, &citric, 1};
    struct failure failure = {0};
    struct lye_balance_figures figures;

    (void)state;
    check_ok(lye_balance_compute(&model, &figures, &failure), &failure);
    check_close(figures.needed_g, 200.0 * 39.997 / 56.105, 1e-9, "definition of the saponification value");
    check_close(figures.needed_low_g, 999.0 * 0.19 * 39.997 / 56.105, 1e-9, "lightest and lowest");
    check_close(figures.needed_high_g, 1001.0 * 0.21 * 39.997 / 56.105, 1e-9, "heaviest and highest");
    check_close(figures.given_g, 210.0 * 39.997 / 56.105, 1e-9, "moles of KOH as NaOH");
    check_close(figures.taken_by_acids_g, 39.997 / 4.0, 1e-9, "1/12 mol of citric acid takes 1/4 mol");
    check_close(figures.effective_g, figures.given_g - figures.taken_by_acids_g, 1e-12, "definition");
    check_close(figures.superfat_pct, 2.013125, 5e-7, "1 - (210 - 56.105 / 4) / 200, by hand");
}

/* The superfat as the header defines it, with input `i` at its low or high end as bit `i` of `corner` says.
 */
static double
superfat_at_corner(const struct lye_balance_model *model, unsigned corner)
{
    double needed_g = 0.0, effective_g = 0.0;

    for (size_t i = 0; i < model->fat_count; i++, corner >>= 2) {
        const struct lye_balance_fat *fat = &model->fats[i];

        needed_g += (fat->mass_g + (corner & 1 ? 1.0 : -1.0) * fat->mass_half_width_g) *
                    (corner & 2 ? fat->sv_high_mg_koh_per_g : fat->sv_low_mg_koh_per_g) * naoh_per_sv;
    }
    for (size_t i = 0; i < model->lye_count; i++, corner >>= 2) {
        const struct lye_balance_lye *lye = &model->lyes[i];

        effective_g += (lye->mass_g + (corner & 1 ? 1.0 : -1.0) * lye->mass_half_width_g) *
                       (corner & 2 ? lye->purity_high_fraction : lye->purity_low_fraction) *
                       (lye->kind == LYE_KOH ? 39.997 / 56.105 : 1.0);
    }
    for (size_t i = 0; i < model->acid_count; i++, corner >>= 2) {
        const struct lye_balance_acid *acid = &model->acids[i];

        effective_g -= (acid->mass_g + (corner & 1 ? 1.0 : -1.0) * acid->mass_half_width_g) *
                       (corner & 2 ? acid->naoh_high_g_per_g : acid->naoh_low_g_per_g);
    }
    return 100.0 * (1.0 - effective_g / needed_g);
}

static void
the_ends_are_those_of_all_corners(void **state)
{
    /* The superfat rises or falls steadily with each input, so its ends lie at corners. In the second recipe
     * the acid may take more than all the lye. */
    const struct lye_balance_fat soap = {500.0, 5.0, 184.0, 196.0};
    const struct lye_balance_lye little = {LYE_NAOH, 10.0, 1.0, 0.9, 1.0};
    const struct lye_balance_acid much = {15.0, 2.0, 0.57, 0.63};
    const struct lye_balance_model models[] = {whole, {&soap, 1, &little, 1, &much, 1}};

    (void)state;
    for (size_t i = 0; i < LENGTH(models); i++) {
        struct failure failure = {0};
        struct lye_balance_figures figures;
        double lowest_pct = (double)INFINITY, highest_pct = -(double)INFINITY;

        for (unsigned corner = 0; corner < 1U << lye_balance_part_count(&models[i]); corner++) {
            lowest_pct = fmin(lowest_pct, superfat_at_corner(&models[i], corner));
            highest_pct = fmax(highest_pct, superfat_at_corner(&models[i], corner));
        }
        check_ok(lye_balance_compute(&models[i], &figures, &failure), &failure);
        check_close(figures.superfat_lowest_pct, lowest_pct, 1e-9, "all corners, by definition");
        check_close(figures.superfat_highest_pct, highest_pct, 1e-9, "all corners, by definition");
        assert_true(i == 0 || highest_pct > 100.0);
    }
}

/* One fat of uncertain saponification value, all else exact: superfat = 100 (1 - c / SV), SV rectangular. */
static void
one_uncertain_fat_agrees_with_the_closed_form(void **state)
{
    const double low = 184.0, high = 196.0, mass_g = 500.0, lye_g = 66.5;
    const struct lye_balance_fat fat = {mass_g, 0.0, low, high};
    const struct lye_balance_lye naoh = {LYE_NAOH, lye_g, 0.0, 1.0, 1.0};
    const struct lye_balance_model model = {&fat, 1, &naoh, 1, NULL, 0};
    const double c =
        lye_g / (mass_g * naoh_per_sv); /* the saponification value that just takes the lye: 186.6 */
    const double mean_inverse = log(high / low) / (high - low);
    const double sd_pct = 100.0 * c * sqrt(1.0 / (low * high) - mean_inverse * mean_inverse);
    struct failure failure = {0};
    struct lye_balance_spread spread;
    struct lye_balance_part parts[4];
    double first_order_pct, p = (c - low) / (high - low);
    size_t draws = 1000000;

    (void)state;
    check_ok(lye_balance_simulate(&model, draws, 20260302, &spread, &failure), &failure);
    check_close(spread.mean_pct, 100.0 * (1.0 - c * mean_inverse), 4.5 * spread.mean_standard_error_pct,
                "mean of 1/x for x rectangular: ln(b/a) / (b - a)");
    check_close(spread.mean_standard_error_pct, sd_pct / sqrt((double)draws), 1e-5, "sd / sqrt(n)");
    check_close(spread.sd_pct, sd_pct, 4.5 * sd_pct / sqrt(2.0 * (double)draws), "mean of 1/x^2: 1 / (a b)");
    check_close(spread.p_lye_exceeds_fat, p, 4.5 * spread.p_standard_error, "(c - a) / (b - a)");
    check_close(spread.p_standard_error, sqrt(p * (1.0 - p) / (double)draws), 1e-6, "binomial");
    /* A quantile has a standard error of sqrt(q (1 - q) / n) over its density. */
    check_close(spread.low_pct, 100.0 * (1.0 - c / (low + 0.025 * (high - low))), 0.005,
                "of the monotone function");
    check_close(spread.high_pct, 100.0 * (1.0 - c / (low + 0.975 * (high - low))), 0.005, "likewise");

    check_ok(lye_balance_budget(&model, parts, &first_order_pct, &failure), &failure);
    check_close(first_order_pct, 100.0 * c / 190.0 / 190.0 * 12.0 / sqrt(12.0), 1e-12,
                "derivative c / SV^2 times width / sqrt(12)");
    check_close(first_order_pct, sd_pct, 0.002 * sd_pct, "first order is good to (half-width / SV)^2 here");
    assert_int_equal(parts[0].source, LYE_BALANCE_FAT_SV);
    check_close(parts[0].share_fraction, 1.0, 1e-15, "the only uncertain input");
}

/* Only the lye is uncertain: the superfat is linear in it, and first order is exact. */
static void
one_uncertain_lye_agrees_with_first_order(void **state)
{
    static const struct lye_balance_lye cases[] = {{LYE_NAOH, 66.5, 0.0, 0.96, 1.0},
                                                   {LYE_NAOH, 66.5, 1.0, 0.98, 0.98},
                                                   {LYE_KOH, 104.0, 0.0, 0.85, 0.92}};
    const struct lye_balance_fat fat = {500.0, 0.0, 190.0, 190.0};

    (void)state;
    for (size_t i = 0; i < LENGTH(cases); i++) {
        const struct lye_balance_model model = {&fat, 1, &cases[i], 1, NULL, 0};
        struct failure failure = {0};
        struct lye_balance_figures figures;
        struct lye_balance_spread spread;
        struct lye_balance_part parts[4];
        double sd_pct, width_pct;

        check_ok(lye_balance_compute(&model, &figures, &failure), &failure);
        check_ok(lye_balance_budget(&model, parts, &sd_pct, &failure), &failure);
        check_ok(lye_balance_simulate(&model, 200000, i, &spread, &failure), &failure);
        width_pct = figures.superfat_highest_pct - figures.superfat_lowest_pct;
        check_close(sd_pct, width_pct / sqrt(12.0), 1e-10, "rectangular between its ends");
        check_close(spread.mean_pct, figures.superfat_pct, 4.5 * spread.mean_standard_error_pct, "linear");
        check_close(spread.sd_pct, sd_pct, 4.5 * sd_pct / sqrt(2.0 * 200000.0), "linear");
        check_close(spread.low_pct, figures.superfat_lowest_pct + 0.025 * width_pct, 0.003 * width_pct,
                    "rectangular");
        check_close(spread.high_pct, figures.superfat_lowest_pct + 0.975 * width_pct, 0.003 * width_pct,
                    "rectangular");
    }
}

static void
a_whole_recipe_agrees_with_r(void **state)
{
    /* R drew ten million; the tolerances are 4.5 standard errors of a million here and ten there. */
    struct failure failure = {0};
    struct lye_balance_spread spread;
    struct lye_balance_part parts[12];
    double sd_pct, total = 0.0;

    (void)state;
    check_ok(lye_balance_simulate(&whole, 1000000, 7, &spread, &failure), &failure);
    check_close(spread.mean_pct, 2.33437, 0.0066, "lye_balance_model.R");
    check_close(spread.sd_pct, 1.40542, 0.0047, "lye_balance_model.R");
    check_close(spread.low_pct, -0.4005, 0.018, "lye_balance_model.R");
    check_close(spread.high_pct, 4.9856, 0.018, "lye_balance_model.R");
    check_close(spread.p_lye_exceeds_fat, 0.050950, 0.0011, "lye_balance_model.R");

    assert_int_equal(lye_balance_part_count(&whole), LENGTH(parts));
    check_ok(lye_balance_budget(&whole, parts, &sd_pct, &failure), &failure);
    check_close(sd_pct, 1.40542, 0.01,
                "lye_balance_model.R; first order leaves out products of small widths");
    for (size_t i = 0; i < LENGTH(parts); i++) {
        total += parts[i].share_fraction;
        assert_true(i == 0 || parts[i].share_fraction <= parts[i - 1].share_fraction);
        check_close(parts[i].share_fraction, pow(parts[i].superfat_sd_pct / sd_pct, 2.0), 1e-12,
                    "definition");
    }
    check_close(total, 1.0, 1e-12, "definition");
    assert_int_equal(parts[0].source, LYE_BALANCE_FAT_SV);
    assert_int_equal(parts[0].index, 0); /* 500 g x 12 is the widest */
}

static void
slopes_agree_with_differences(void **state)
{
    /* Each first-order part against a central difference of the recipe itself over the whole range. */
    struct failure failure = {0};
    struct lye_balance_part parts[12];
    double sd_pct;

    (void)state;
    check_ok(lye_balance_budget(&whole, parts, &sd_pct, &failure), &failure);
    for (size_t i = 0; i < LENGTH(parts); i++) {
        double pct[2];

        for (int end = 0; end < 2; end++) {
            struct lye_balance_fat some_fats[3];
            struct lye_balance_lye some_lyes[2];
            struct lye_balance_acid acid = acids[0];
            const struct lye_balance_model model = {some_fats, 3, some_lyes, 2, &acid, 1};
            struct lye_balance_figures figures;
            struct lye_balance_fat *fat = &some_fats[parts[i].index % 3];
            struct lye_balance_lye *lye = &some_lyes[parts[i].index % 2];
            double sign = end == 0 ? -1.0 : 1.0;

            memcpy(some_fats, fats, sizeof fats);
            memcpy(some_lyes, lyes, sizeof lyes);
            switch (parts[i].source) {
            case LYE_BALANCE_FAT_MASS:
                fat->mass_g += sign * fat->mass_half_width_g;
                break;
            case LYE_BALANCE_FAT_SV:
                *(end == 0 ? &fat->sv_high_mg_koh_per_g : &fat->sv_low_mg_koh_per_g) =
                    end == 0 ? fat->sv_low_mg_koh_per_g : fat->sv_high_mg_koh_per_g;
                break;
            case LYE_BALANCE_LYE_MASS:
                lye->mass_g += sign * lye->mass_half_width_g;
                break;
            case LYE_BALANCE_LYE_PURITY:
                *(end == 0 ? &lye->purity_high_fraction : &lye->purity_low_fraction) =
                    end == 0 ? lye->purity_low_fraction : lye->purity_high_fraction;
                break;
            case LYE_BALANCE_ACID_MASS:
                acid.mass_g += sign * acid.mass_half_width_g;
                break;
            case LYE_BALANCE_ACID_STRENGTH:
                *(end == 0 ? &acid.naoh_high_g_per_g : &acid.naoh_low_g_per_g) =
                    end == 0 ? acid.naoh_low_g_per_g : acid.naoh_high_g_per_g;
                break;
            }
            check_ok(lye_balance_compute(&model, &figures, &failure), &failure);
            pct[end] = figures.superfat_pct;
        }
        check_close(parts[i].superfat_sd_pct, fabs(pct[1] - pct[0]) / sqrt(12.0),
                    0.002 * parts[i].superfat_sd_pct, "central difference");
    }
}

static void
its_own_standard_error_is_honest(void **state)
{
    /* Over 100 seeds the squared departures in standard errors sum to a chi-squared of 100 degrees of
     * freedom: from 61.918 to 149.449 with probability 0.998 (R qchisq, lye_balance_model.R). The true mean
     * is known here. */
    const struct lye_balance_fat fat = {500.0, 0.0, 184.0, 196.0};
    const struct lye_balance_lye naoh = {LYE_NAOH, 66.5, 0.0, 1.0, 1.0};
    const struct lye_balance_model model = {&fat, 1, &naoh, 1, NULL, 0};
    const double c = 66.5 / (500.0 * naoh_per_sv), p = (c - 184.0) / 12.0;
    const double mean_pct = 100.0 * (1.0 - c * log(196.0 / 184.0) / 12.0);
    double mean_sum = 0.0, p_sum = 0.0;

    (void)state;
    for (uint64_t seed = 1; seed <= 100; seed++) {
        struct failure failure = {0};
        struct lye_balance_spread spread;

        check_ok(lye_balance_simulate(&model, 5000, seed, &spread, &failure), &failure);
        mean_sum += pow((spread.mean_pct - mean_pct) / spread.mean_standard_error_pct, 2.0);
        p_sum += pow((spread.p_lye_exceeds_fat - p) / spread.p_standard_error, 2.0);
    }
    assert_true(mean_sum > 61.918 && mean_sum < 149.449);
    assert_true(p_sum > 61.918 && p_sum < 149.449);
}

static void
the_same_seed_gives_the_same_result(void **state)
{
    struct failure failure = {0};
    struct lye_balance_spread first, again, other;

    (void)state;
    check_ok(lye_balance_simulate(&whole, 1500, 7, &first, &failure), &failure);
    check_ok(lye_balance_simulate(&whole, 1500, 7, &again, &failure), &failure);
    check_ok(lye_balance_simulate(&whole, 1500, 8, &other, &failure), &failure);
    assert_int_equal(first.seed, 7);
    assert_int_equal(first.draws, 1500);
    check_close(again.mean_pct, first.mean_pct, 0.0, "the same draws");
    check_close(again.sd_pct, first.sd_pct, 0.0, "the same draws");
    check_close(again.low_pct, first.low_pct, 0.0, "the same draws");
    check_close(again.p_lye_exceeds_fat, first.p_lye_exceeds_fat, 0.0, "the same draws");
    assert_true(other.mean_pct != first.mean_pct);
}

static void
certainty_is_said_as_such(void **state)
{
    /* Nothing uncertain: no spread; and a probability that is exactly 0 or 1. */
    const struct lye_balance_fat fat = {1000.0, 0.0, 200.0, 200.0};
    static const double lyes_g[] = {140.0, 145.0}; /* 142.58 g are needed */

    (void)state;
    for (size_t i = 0; i < LENGTH(lyes_g); i++) {
        const struct lye_balance_lye naoh = {LYE_NAOH, lyes_g[i], 0.0, 1.0, 1.0};
        const struct lye_balance_model model = {&fat, 1, &naoh, 1, NULL, 0};
        struct failure failure = {0};
        struct lye_balance_figures figures;
        struct lye_balance_spread spread;
        struct lye_balance_part parts[4];
        double sd_pct;

        check_ok(lye_balance_compute(&model, &figures, &failure), &failure);
        check_ok(lye_balance_simulate(&model, 1000, 1, &spread, &failure), &failure);
        check_close(spread.mean_pct, figures.superfat_pct, 1e-9, "nothing uncertain");
        check_close(spread.sd_pct, 0.0, 1e-9, "nothing uncertain");
        check_close(spread.low_pct, figures.superfat_pct, 1e-9, "nothing uncertain");
        check_close(spread.high_pct, figures.superfat_pct, 1e-9, "nothing uncertain");
        check_close(spread.p_lye_exceeds_fat, (double)i, 0.0, "142.58 g NaOH are needed");
        check_close(spread.p_standard_error, 0.000997, 1e-6,
                    "Beta(1, 1001): sqrt(1 x 1001 / (1002^2 x 1003))");
        check_ok(lye_balance_budget(&model, parts, &sd_pct, &failure), &failure);
        check_close(sd_pct, 0.0, 0.0, "nothing uncertain");
        check_close(parts[0].share_fraction, 0.0, 0.0, "nothing uncertain");
    }
}

static void
lye_to_weigh_gives_the_wanted_superfat_back(void **state)
{
    const struct lye_balance_lye sought = {LYE_NAOH, (double)NAN, 0.05, 0.97, 0.99};
    struct failure failure = {0};
    struct lye_balance_advice advice;
    struct lye_balance_lye both[2];
    const struct lye_balance_model model = {fats, 3, both, 2, acids, 1};
    struct lye_balance_figures figures;
    struct lye_balance_spread spread;

    (void)state;
    check_ok(lye_balance_advise(&undecided, &sought, 8.0, 0.05, 100000, 3, &advice, &failure), &failure);
    check_close(advice.advised_g, advice.wanted_g, 0.0, "8 % leaves enough room");
    check_close(advice.superfat_pct, 8.0, 1e-9, "what was asked for");
    check_close(advice.wanted_p, 0.0, 1e-4, "8 % is 5.7 standard deviations from 0");
    both[0] = lyes[0];
    both[1] = sought;
    both[1].mass_g = advice.wanted_g;
    check_ok(lye_balance_compute(&model, &figures, &failure), &failure);
    check_close(figures.superfat_pct, 8.0, 1e-9, "the recipe computed forwards");

    /* No superfat wanted: about half of all lots would be lye-heavy, and the safe amount is advised. */
    check_ok(lye_balance_advise(&undecided, &sought, 0.0, 0.05, 1000000, 3, &advice, &failure), &failure);
    check_close(advice.wanted_p, 0.5, 0.02, "the middle of everything, nearly symmetric");
    check_close(advice.safe_g, 118.9842, 0.025, "lye_balance_model.R, 5 % quantile; 4.5 standard errors");
    check_close(advice.advised_g, advice.safe_g, 0.0, "the smaller");
    both[1].mass_g = advice.advised_g;
    check_ok(lye_balance_simulate(&model, 1000000, 99, &spread, &failure), &failure);
    check_close(spread.p_lye_exceeds_fat, 0.05, 4.5 * sqrt(2.0) * spread.p_standard_error,
                "what was accepted");

    check_ok(lye_balance_advise(&undecided, &sought, 0.0, 0.001, 1000000, 3, &advice, &failure), &failure);
    check_close(advice.safe_g, 117.2268, 0.1, "lye_balance_model.R, 0.1 % quantile; 4.5 standard errors");
}

static void
safe_lye_for_one_uncertain_fat_agrees_with_the_closed_form(void **state)
{
    const struct lye_balance_fat fat = {1000.0, 0.0, 184.0, 196.0};
    const struct lye_balance_model model = {&fat, 1, NULL, 0, NULL, 0};
    static const struct lye_balance_lye kinds[] = {{LYE_NAOH, 0.0, 0.0, 1.0, 1.0},
                                                   {LYE_KOH, 0.0, 0.0, 0.9, 0.9}};

    (void)state;
    for (size_t i = 0; i < LENGTH(kinds); i++) {
        double per_g = kinds[i].kind == LYE_NAOH ? 39.997 / 56.105 : 1.0 / 0.9;
        struct failure failure = {0};
        struct lye_balance_advice advice;

        check_ok(lye_balance_advise(&model, &kinds[i], 5.0, 0.05, 1000000, 11, &advice, &failure), &failure);
        check_close(advice.wanted_g, 190.0 * 0.95 * per_g, 1e-9, "definition of superfat");
        check_close(advice.safe_g, (184.0 + 0.05 * 12.0) * per_g, 0.012 * per_g,
                    "5 % of a rectangle; 4.5 errors");
    }
}

static void
recipes_that_make_no_sense_are_refused_with_words(void **state)
{
    static const double nan_g = (double)NAN;
    static const struct lye_balance_fat fine_fat = {500.0, 0.5, 184.0, 196.0};
    static const struct lye_balance_lye fine_lye = {LYE_NAOH, 60.0, 0.05, 0.97, 0.99};
    static const struct lye_balance_fat wrong_fats[] = {
        {0.0, 0.0, 184, 196},   {-5.0, 0.0, 184, 196},
        {nan_g, 0.0, 184, 196}, {(double)INFINITY, 0.0, 184, 196},
        {5.0, -0.1, 184, 196},  {5.0, 5.0, 184, 196},
        {5.0, nan_g, 184, 196}, {5.0, 0.0, 196, 184},
        {5.0, 0.0, nan_g, 196}, {5.0, 0.0, 184, nan_g},
        {5.0, 0.0, 9.9, 196},   {5.0, 0.0, 184, 601}};
    static const struct lye_balance_lye wrong_lyes[] = {
        {LYE_NAOH, 0.0, 0.0, 0.97, 0.99},   {LYE_NAOH, -1.0, 0.0, 0.97, 0.99},
        {LYE_KOH, nan_g, 0.0, 0.97, 0.99},  {LYE_NAOH, 60.0, 60.0, 0.97, 0.99},
        {LYE_NAOH, 60.0, 0.0, 0.97, 1.01},  {LYE_NAOH, 60.0, 0.0, 97, 99},
        {LYE_NAOH, 60.0, 0.0, 0.0, 0.99},   {LYE_NAOH, 60.0, 0.0, 0.99, 0.97},
        {LYE_NAOH, 60.0, 0.0, nan_g, 0.99}, {LYE_NAOH, 60.0, 0.0, 0.97, nan_g}};
    static const struct lye_balance_acid wrong_acids[] = {
        {0.0, 0.0, 0.5, 0.6},  {-1.0, 0.0, 0.5, 0.6}, {nan_g, 0.0, 0.5, 0.6}, {1.0, 2.0, 0.5, 0.6},
        {1.0, 0.0, -0.1, 0.6}, {1.0, 0.0, 0.6, 0.5},  {1.0, 0.0, nan_g, 0.6}, {1.0, 0.0, 0.5, 2.1}};
    static const struct lye_balance_acid too_much = {200.0, 0.0, 0.57, 0.62};
    struct failure failure = {0};
    struct lye_balance_figures figures = {.superfat_pct = -1.0};
    struct lye_balance_model model;

    (void)state;
    model = (struct lye_balance_model){NULL, 0, &fine_lye, 1, NULL, 0};
    check_refused(lye_balance_compute(&model, &figures, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "no fat");
    model = (struct lye_balance_model){&fine_fat, 1, NULL, 0, NULL, 0};
    check_refused(lye_balance_compute(&model, &figures, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "no lye");
    model = (struct lye_balance_model){&fine_fat, 1, &fine_lye, 1, &too_much, 1};
    check_refused(lye_balance_compute(&model, &figures, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "the acids take up all the lye");
    for (size_t i = 0; i < LENGTH(wrong_fats); i++) {
        const struct lye_balance_fat pair[] = {fine_fat, wrong_fats[i]};

        model = (struct lye_balance_model){pair, 2, &fine_lye, 1, NULL, 0};
        check_refused(lye_balance_compute(&model, &figures, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, "fat 2: ");
    }
    for (size_t i = 0; i < LENGTH(wrong_lyes); i++) {
        model = (struct lye_balance_model){&fine_fat, 1, &wrong_lyes[i], 1, NULL, 0};
        check_refused(lye_balance_compute(&model, &figures, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, "lye 1: ");
    }
    for (size_t i = 0; i < LENGTH(wrong_acids); i++) {
        model = (struct lye_balance_model){&fine_fat, 1, &fine_lye, 1, &wrong_acids[i], 1};
        check_refused(lye_balance_compute(&model, &figures, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, "acid 1: ");
    }
    check_close(figures.superfat_pct, -1.0, 0.0, "left alone");
}

static void
questions_that_make_no_sense_are_refused_with_words(void **state)
{
    const struct lye_balance_lye sought = {LYE_NAOH, 0.0, 0.05, 0.97, 0.99};
    const struct lye_balance_lye too_pure = {LYE_NAOH, 0.0, 0.05, 0.97, 98.0};
    const struct lye_balance_lye badly_weighed = {LYE_NAOH, 0.0, (double)NAN, 0.97, 0.99};
    struct failure failure = {0};
    struct lye_balance_spread spread = {.mean_pct = -1.0};
    struct lye_balance_advice advice = {.wanted_g = -1.0};

    (void)state;
    check_refused(lye_balance_simulate(&whole, 999, 1, &spread, &failure), STATUS_RANGE, &failure);
    check_refused(lye_balance_simulate(&whole, 1000000001, 1, &spread, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "1000 to 1000000000");
    check_refused(lye_balance_advise(&undecided, &too_pure, 5, 0.05, 1000, 1, &advice, &failure),
                  STATUS_RANGE, &failure);
    check_contains(failure.text, "the lye to weigh: purity");
    check_refused(lye_balance_advise(&undecided, &badly_weighed, 5, 0.05, 1000, 1, &advice, &failure),
                  STATUS_RANGE, &failure);
    check_refused(lye_balance_advise(&undecided, &sought, -0.1, 0.05, 1000, 1, &advice, &failure),
                  STATUS_RANGE, &failure);
    check_refused(lye_balance_advise(&undecided, &sought, 50.1, 0.05, 1000, 1, &advice, &failure),
                  STATUS_RANGE, &failure);
    check_refused(lye_balance_advise(&undecided, &sought, (double)NAN, 0.05, 1000, 1, &advice, &failure),
                  STATUS_RANGE, &failure);
    check_refused(lye_balance_advise(&undecided, &sought, 5, 0.0, 1000, 1, &advice, &failure), STATUS_RANGE,
                  &failure);
    check_refused(lye_balance_advise(&undecided, &sought, 5, 0.5, 1000, 1, &advice, &failure), STATUS_RANGE,
                  &failure);
    check_refused(lye_balance_advise(&undecided, &sought, 5, 0.05, 10, 1, &advice, &failure), STATUS_RANGE,
                  &failure);
    check_refused(lye_balance_advise(&whole, &sought, 5, 0.05, 1000, 1, &advice, &failure), STATUS_RANGE,
                  &failure);
    check_contains(failure.text, "leave nothing to add");
    check_close(spread.mean_pct, -1.0, 0.0, "left alone");
    check_close(advice.wanted_g, -1.0, 0.0, "left alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(all_coconut_recipes_of_old_handbooks_hold_back_lye),
    cmocka_unit_test(acids_and_potassium_hydroxide_are_counted),
    cmocka_unit_test(the_ends_are_those_of_all_corners),
    cmocka_unit_test(one_uncertain_fat_agrees_with_the_closed_form),
    cmocka_unit_test(one_uncertain_lye_agrees_with_first_order),
    cmocka_unit_test(a_whole_recipe_agrees_with_r),
    cmocka_unit_test(slopes_agree_with_differences),
    cmocka_unit_test(its_own_standard_error_is_honest),
    cmocka_unit_test(the_same_seed_gives_the_same_result),
    cmocka_unit_test(certainty_is_said_as_such),
    cmocka_unit_test(lye_to_weigh_gives_the_wanted_superfat_back),
    cmocka_unit_test(safe_lye_for_one_uncertain_fat_agrees_with_the_closed_form),
    cmocka_unit_test(recipes_that_make_no_sense_are_refused_with_words),
    cmocka_unit_test(questions_that_make_no_sense_are_refused_with_words),
};

const struct check_module test_science_lye_balance_model = CHECK_MODULE("science/lye_balance_model", tests);
