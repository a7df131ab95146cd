/* test_solution.c - equilibrium pH against published values, and that charges always balance. */
#include <gsl/gsl_rng.h>

#include "check.h"
#include "solution.h"

static struct solution_result
solve(struct solution solution)
{
    struct failure failure = {0};
    struct solution_result result = {.ph = NAN};

    check_ok(solution_solve(&solution, &result, &failure), &failure);
    assert_true(isfinite(result.ph) && isfinite(result.u_ph) && isfinite(result.ionic_strength_mol_per_kg));
    assert_true(fabs(result.residual_mol_per_kg) < 1e-12);
    assert_true(result.u_ph > 0.0);
    return result;
}

#define ACIDS(which, amount) .acid_mol_per_kg = {[which] = (amount)}
#define COMMON "published table of the pH of common acids and bases"

/* The table gives mol/L; at these strengths mol/kg of water differs by at most 0.003 in pH. */
static const struct {
    struct solution solution;
    double ph, tolerance;
    const char *source;
} known[] = {
    {{.temperature_c = 25.0, ACIDS(ACID_CITRIC, 0.001)}, 3.24, 0.01, COMMON},
    {{.temperature_c = 25.0, ACIDS(ACID_CITRIC, 0.01)}, 2.62, 0.01, COMMON},
    {{.temperature_c = 25.0, ACIDS(ACID_CITRIC, 0.1)}, 2.08, 0.01, COMMON},
    {{.temperature_c = 25.0, ACIDS(ACID_ACETIC, 0.001)}, 3.91, 0.01, COMMON},
    {{.temperature_c = 25.0, ACIDS(ACID_ACETIC, 0.01)}, 3.39, 0.01, COMMON},
    {{.temperature_c = 25.0, ACIDS(ACID_ACETIC, 0.1)}, 2.88, 0.01, COMMON},
    {{.temperature_c = 25.0, .base_mol_per_kg = 0.01},
     11.950,
     0.005,
     "Pitzer parameters 0.0864, 0.253, 0.0044"},
    {{.temperature_c = 25.0, .base_mol_per_kg = 0.1},
     12.886,
     0.005,
     "Pitzer parameters 0.0864, 0.253, 0.0044"},
    {{.temperature_c = 25.0, .lime_saturated = true}, 12.454, 0.05, "NBS/IUPAC pH(S), saturated Ca(OH)2"},
    {{.temperature_c = 25.0, ACIDS(ACID_BORIC, 0.04), .base_mol_per_kg = 0.02},
     9.180,
     0.05,
     "NBS/IUPAC pH(S), borax"},
    {{.temperature_c = 40.0, ACIDS(ACID_BORIC, 0.04), .base_mol_per_kg = 0.02},
     9.068,
     0.05,
     "NBS/IUPAC pH(S), borax"},
    {{.temperature_c = 25.0, ACIDS(ACID_CARBONIC, 0.05), .base_mol_per_kg = 0.075},
     10.012,
     0.05,
     "NBS/IUPAC pH(S), carbonate 0.025 + 0.025"},
    {{.temperature_c = 40.0, ACIDS(ACID_CARBONIC, 0.05), .base_mol_per_kg = 0.075},
     9.889,
     0.05,
     "NBS/IUPAC pH(S), carbonate 0.025 + 0.025"},
    {{.temperature_c = 25.0, ACIDS(ACID_PHOSPHORIC, 0.05), .base_mol_per_kg = 0.075},
     6.865,
     0.05,
     "NBS/IUPAC pH(S), phosphate 0.025 + 0.025"},
    {{.temperature_c = 40.0, ACIDS(ACID_PHOSPHORIC, 0.05), .base_mol_per_kg = 0.075},
     6.838,
     0.05,
     "NBS/IUPAC pH(S), phosphate 0.025 + 0.025"},
    {{.temperature_c = 25.0, ACIDS(ACID_CITRIC, 0.05), .base_mol_per_kg = 0.05},
     3.776,
     0.05,
     "NBS/IUPAC pH(S), potassium dihydrogen citrate"},
    {{.temperature_c = 25.0}, 6.9975, 0.0005, "neutral water: half of pKw 13.995, CRC Handbook"},
    {{.temperature_c = 50.0}, 6.632, 0.0005, "neutral water: half of pKw 13.264, CRC Handbook"},
    {{.temperature_c = 25.0, .co2_atm = 3.16228e-4},
     5.65,
     0.01,
     "textbook value under 10^-3.5 atm (5.64 to 5.66)"},
    {{.temperature_c = 25.0, .co2_atm = 420e-6}, 5.60, 0.01, "method: Plummer & Busenberg under 420 ppm"},
};

static void
ph_agrees_with_published_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++)
        check_close(solve(known[i].solution).ph, known[i].ph, known[i].tolerance, known[i].source);
}

/* Expanded with k = 2. That it is not simply made large is seen in the next test. */
static void
stated_uncertainty_covers_the_published_values(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct solution_result result = solve(known[i].solution);

        check_close(result.ph, known[i].ph, 2.0 * result.u_ph, known[i].source);
    }
}

/* ASTM D1172 cl. 4.1 accepts boiled water from pH 6.2 to 7.2: pure water is never surer than that. */
static void
pure_water_is_uncertain_and_a_buffer_is_not(void **state)
{
    struct solution_result water = solve((struct solution){.temperature_c = 25.0});
    struct solution_result borax =
        solve((struct solution){.temperature_c = 25.0, ACIDS(ACID_BORIC, 0.04), .base_mol_per_kg = 0.02});

    (void)state;
    assert_true(water.ph - 2.0 * water.u_ph <= 6.3 && water.u_ph < 0.6);
    /* Borax by hand: 0.02 of pKa, a tenth of log10 gamma at I = 0.02, 0.0060, and 0.005 for the convention.
     */
    check_close(borax.u_ph, 0.0215, 5e-4, "the rule in solution.h, by hand");
    /* NaOH 0.1 mol/kg by hand: a tenth of log10 gamma, 0.0107, and 0.005 for the convention. */
    check_close(solve((struct solution){.temperature_c = 25.0, .base_mol_per_kg = 0.1}).u_ph, 0.0118, 2e-4,
                "the rule in solution.h, by hand");
}

/* Davies 1962 by hand: NaOH 0.1 mol/kg has I = 0.1; 13.995 - 1 - 0.1072. The lime water value follows from
 * 0.0203 mol/kg dissolved: I between 0.05 and 0.061. */
static void
ionic_strength_is_that_of_the_ions(void **state)
{
    double lime =
        solve((struct solution){.temperature_c = 25.0, .lime_saturated = true}).ionic_strength_mol_per_kg;

    (void)state;
    check_close(
        solve((struct solution){.temperature_c = 25.0, .base_mol_per_kg = 0.1}).ionic_strength_mol_per_kg,
        0.1, 1e-9, "definition");
    check_close(lime, 0.0555, 0.0055, "from the solubility 0.0203 mol/kg, partly as CaOH+");
}

static void
what_a_glass_electrode_or_davies_cannot_follow_is_flagged(void **state)
{
    struct solution_result strong = solve((struct solution){.temperature_c = 25.0, .base_mol_per_kg = 1.0});
    struct solution_result weak = solve((struct solution){.temperature_c = 25.0, .base_mol_per_kg = 0.001});
    struct solution_result acid = solve((struct solution){.temperature_c = 25.0, ACIDS(ACID_CITRIC, 1.0)});
    struct solution_result salt =
        solve((struct solution){.temperature_c = 25.0, ACIDS(ACID_ACETIC, 0.6), .base_mol_per_kg = 0.6});

    (void)state;
    assert_true(strong.beyond_glass_range && strong.beyond_activity_range);
    assert_true(solve((struct solution){.temperature_c = 25.0, .base_mol_per_kg = 0.02}).beyond_glass_range);
    assert_true(!weak.beyond_glass_range && !weak.beyond_activity_range);
    assert_true(acid.beyond_glass_range && !acid.beyond_activity_range);
    assert_true(!salt.beyond_glass_range && salt.beyond_activity_range);
    /* 1 mol/kg NaOH: mean activity coefficient 0.678 (Robinson and Stokes, from memory), 13.995 + log 0.678.
     */
    check_close(strong.ph, 13.826, 2.0 * strong.u_ph, "Robinson and Stokes, from memory");
}

/* Mean activity coefficient and activity of water at 25 degC: Robinson and Stokes 1959, appendix 8; Hamer and Wu 1972, J.
 * Phys. Chem. Ref. Data 1, 1047; both from memory, to about 3 %. pH = pKw + log10(m gamma / a_w). */
static void
the_uncertainty_of_strong_lye_holds_what_is_published(void **state)
{
    static const struct {
        double mol_per_kg, gamma, water_activity;
        const char *lye;
    } lyes[] = {
        {1.0, 0.678, 0.967, "NaOH"}, {2.0, 0.708, 0.932, "NaOH"}, {4.0, 0.903, 0.845, "NaOH"},
        {6.0, 1.30, 0.735, "NaOH"},  {10.0, 3.22, 0.49, "NaOH"},  {2.0, 0.888, 0.927, "KOH"},
        {6.0, 2.20, 0.71, "KOH"},    {10.0, 6.2, 0.45, "KOH"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(lyes); i++) {
        double ph = 13.995 + log10(lyes[i].mol_per_kg * lyes[i].gamma / lyes[i].water_activity);
        struct solution_result lye =
            solve((struct solution){.temperature_c = 25.0, .base_mol_per_kg = lyes[i].mol_per_kg});

        check_close(lye.ph, ph, lye.u_ph, lyes[i].lye);
        assert_true(lyes[i].mol_per_kg < 6.0 || lye.u_ph < 2.5 * fabs(lye.ph - ph));
        assert_true(lye.beyond_activity_range && lye.alkaline_error);
    }
}

/* Trisodium citrate at 1 % reads near 9 in boiled water and near 8 as usually found (pharmacopoeias allow 7.5
 * to 9.0 for 5 %, from memory). */
static void
a_solution_that_air_can_move_is_pointed_out(void **state)
{
    struct solution citrate = {.temperature_c = 25.0, ACIDS(ACID_CITRIC, 0.0343), .base_mol_per_kg = 0.1029};
    struct solution borax = {.temperature_c = 25.0, ACIDS(ACID_BORIC, 0.04), .base_mol_per_kg = 0.02};

    (void)state;
    assert_true(solve(citrate).weakly_buffered);
    assert_true(solve((struct solution){.temperature_c = 25.0}).weakly_buffered);
    assert_true(!solve(borax).weakly_buffered);
    assert_true(!solve((struct solution){.temperature_c = 25.0, .base_mol_per_kg = 0.1}).weakly_buffered);
    assert_true(!solve((struct solution){.temperature_c = 25.0, .co2_atm = 420e-6}).weakly_buffered);
}

static double
log_uniform(gsl_rng *random, double low, double high)
{
    return pow(10.0, low + (high - low) * gsl_rng_uniform(random));
}

/* Random solutions over the whole range: always settled, always balanced, never a NAN (solve() looks). */
static void
charges_balance_in_every_solution(void **state)
{
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);

    (void)state;
    gsl_rng_set(random, 20260302);
    for (int i = 0; i < 1500; i++) {
        struct solution solution = {.temperature_c = 60.0 * gsl_rng_uniform(random)};

        for (int acid = 0; acid < ACID_COUNT; acid++) {
            if (gsl_rng_uniform(random) < 0.4)
                solution.acid_mol_per_kg[acid] = log_uniform(random, -9.0, 1.3);
        }
        if (gsl_rng_uniform(random) < 0.7)
            solution.base_mol_per_kg = log_uniform(random, -9.0, 1.3);
        if (gsl_rng_uniform(random) < 0.3) {
            solution.acid_mol_per_kg[ACID_CARBONIC] = 0.0;
            solution.co2_atm = log_uniform(random, -6.0, 0.0);
        } else if (gsl_rng_uniform(random) < 0.2) {
            double base = solution.base_mol_per_kg;

            solution = (struct solution){.temperature_c = solution.temperature_c, .base_mol_per_kg = base};
            solution.lime_saturated = true;
        }
        solve(solution);
    }
    gsl_rng_free(random);
}

static void
more_base_never_lowers_the_ph(void **state)
{
    double before = 0.0;

    (void)state;
    for (double base = 0.0; base <= 0.05; base += 0.0005) {
        double ph =
            solve((struct solution){.temperature_c = 40.0, ACIDS(ACID_CITRIC, 0.01), .base_mol_per_kg = base})
                .ph;

        assert_true(ph > before);
        before = ph;
    }
}

static void
what_cannot_be_computed_is_refused(void **state)
{
    static const struct {
        struct solution solution;
        enum status status;
        const char *reason;
    } bad[] = {
        {{.temperature_c = -0.1}, STATUS_RANGE, "0 to 60 degC"},
        {{.temperature_c = 60.1}, STATUS_RANGE, "0 to 60 degC"},
        {{.temperature_c = NAN}, STATUS_RANGE, "0 to 60 degC"},
        {{.temperature_c = 25.0, ACIDS(ACID_CITRIC, -0.1)}, STATUS_RANGE, "citric acid is -0.1"},
        {{.temperature_c = 25.0, ACIDS(ACID_LACTIC, 20.1)}, STATUS_RANGE, "allowed is 0 to 20"},
        {{.temperature_c = 25.0, ACIDS(ACID_ACETIC, NAN)}, STATUS_RANGE, "acetic acid is nan"},
        {{.temperature_c = 25.0, .base_mol_per_kg = -1e-9}, STATUS_RANGE, "sodium and potassium"},
        {{.temperature_c = 25.0, .base_mol_per_kg = INFINITY}, STATUS_RANGE, "sodium and potassium"},
        {{.temperature_c = 25.0, .co2_atm = 1.1}, STATUS_RANGE, "carbon dioxide is 1.1 atm"},
        {{.temperature_c = 25.0, .co2_atm = NAN}, STATUS_RANGE, "carbon dioxide"},
        {{.temperature_c = 25.0, .co2_atm = 4e-4, ACIDS(ACID_CARBONIC, 0.01)}, STATUS_CONFLICT, "not both"},
        {{.temperature_c = 25.0, .co2_atm = 4e-4, .lime_saturated = true},
         STATUS_CONFLICT,
         "lime makes a solid"},
        {{.temperature_c = 25.0, ACIDS(ACID_CITRIC, 0.1), .lime_saturated = true},
         STATUS_CONFLICT,
         "lime makes"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct failure failure = {0};
        struct solution_result untouched = {.ph = -5.0};

        check_refused(solution_solve(&bad[i].solution, &untouched, &failure), bad[i].status, &failure);
        check_contains(failure.text, bad[i].reason);
        check_close(untouched.ph, -5.0, 0.0, "a refusal leaves the result alone");
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(ph_agrees_with_published_values),
    cmocka_unit_test(stated_uncertainty_covers_the_published_values),
    cmocka_unit_test(pure_water_is_uncertain_and_a_buffer_is_not),
    cmocka_unit_test(ionic_strength_is_that_of_the_ions),
    cmocka_unit_test(what_a_glass_electrode_or_davies_cannot_follow_is_flagged),
    cmocka_unit_test(the_uncertainty_of_strong_lye_holds_what_is_published),
    cmocka_unit_test(a_solution_that_air_can_move_is_pointed_out),
    cmocka_unit_test(charges_balance_in_every_solution),
    cmocka_unit_test(more_base_never_lowers_the_ph),
    cmocka_unit_test(what_cannot_be_computed_is_refused),
};

const struct check_module test_science_solution = CHECK_MODULE("science/solution", tests);
