/* test_weighed_acid.c - an acid made of weighed citric acid. */
#include "check.h"
#include "weighed_acid.h"

static struct weighed_acid
made(enum citric_form form, double citric_g, double water_g)
{
    return (struct weighed_acid){form, citric_g, water_g, NAN, 0.0};
}

static void
strength_follows_from_the_masses(void **state)
{
    static const struct {
        enum citric_form form;
        double citric_g, water_g, mol_per_kg, within;
        const char *source;
    } known[] = {
        {CITRIC_ANHYDROUS, 6.4041, 993.5959, 0.1, 1e-5,
         "192.124 g/mol (PubChem CID 311): 19.2124 g/L of citric acid are 0.1 mol/L, a third of it 0.1 mol "
         "of H+"},
        {CITRIC_MONOHYDRATE, 7.0047, 992.9953, 0.1, 1e-5,
         "210.14 g/mol (PubChem CID 22230): 21.014 g of the monohydrate are 0.1 mol, a third of it 0.1 mol "
         "of H+"},
        {CITRIC_ANHYDROUS, 10.0, 990.0, 0.156149, 1e-5, "3 x 10 / 192.124 mol in 1 kg, by hand"},
        {CITRIC_NOT_KNOWN, 10.0, 990.0, 0.149455, 2e-5, "the middle of 0.156149 and 0.142762, by hand"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct weighed_acid acid = made(known[i].form, known[i].citric_g, known[i].water_g);
        struct failure failure = {0};
        double mol_per_kg = NAN, u_relative = NAN, mol_per_l = NAN;

        check_ok(weighed_acid_strength(&acid, &mol_per_kg, &u_relative, &mol_per_l, &failure), &failure);
        check_close(mol_per_kg, known[i].mol_per_kg, known[i].within, known[i].source);
    }
}

/* 0.62455 g of NaOH for a gram of the anhydrous acid, 0.57101 g for one of the monohydrate: stoichiometry from standard
 * atomic masses. */
static void
it_takes_up_the_lye_that_a_recipe_says(void **state)
{
    static const double naoh_g_per_g[] = {0.62455, 0.57101};

    (void)state;
    for (int form = CITRIC_ANHYDROUS; form <= CITRIC_MONOHYDRATE; form++) {
        struct weighed_acid acid = made((enum citric_form)form, 10.0, 990.0);
        struct failure failure = {0};
        double mol_per_kg = NAN, u_relative = NAN, mol_per_l = NAN;

        check_ok(weighed_acid_strength(&acid, &mol_per_kg, &u_relative, &mol_per_l, &failure), &failure);
        check_close(mol_per_kg * 39.997 / 10.0, naoh_g_per_g[form], 1e-4, "lye taken up by a gram");
    }
}

static void
uncertainty_has_its_sources(void **state)
{
    struct weighed_acid acid = made(CITRIC_ANHYDROUS, 6.4, 993.6);
    struct failure failure = {0};
    double mol_per_kg = NAN, fine = NAN, coarse = NAN, unknown = NAN, mol_per_l = NAN;

    (void)state;
    check_ok(weighed_acid_strength(&acid, &mol_per_kg, &fine, &mol_per_l, &failure), &failure);
    check_close(fine, 0.002887, 1e-6, "0.005/sqrt(3), the purity alone");
    acid.readability_g = 0.1;
    check_ok(weighed_acid_strength(&acid, &mol_per_kg, &coarse, &mol_per_l, &failure), &failure);
    check_close(coarse, 0.006964, 1e-5, "with 0.1/sqrt(6) g of 6.4 g, 0.634 % (JCGM 100, by hand)");
    acid.readability_g = 0.0;
    acid.form = CITRIC_NOT_KNOWN;
    check_ok(weighed_acid_strength(&acid, &mol_per_kg, &unknown, &mol_per_l, &failure), &failure);
    check_close(unknown, 0.02601, 1e-4, "with 4.478 %/sqrt(3) for the form, by hand");
}

/* CRC Handbook, concentrative properties of aqueous solutions: citric acid, 20 degC; from memory. */
static void
by_volume_it_counts_with_its_density(void **state)
{
    static const struct {
        double pct, density_kg_per_l;
    } known[] = {{1.0, 1.0020}, {5.0, 1.0186}, {10.0, 1.0392}};

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct weighed_acid acid = made(CITRIC_ANHYDROUS, 10.0 * known[i].pct, 1000.0 - 10.0 * known[i].pct);
        struct failure failure = {0};
        double mol_per_kg = NAN, u_relative = NAN, mol_per_l = NAN;

        check_ok(weighed_acid_strength(&acid, &mol_per_kg, &u_relative, &mol_per_l, &failure), &failure);
        check_close(mol_per_l / mol_per_kg, known[i].density_kg_per_l, 0.001, "CRC Handbook, from memory");
    }
}

static void
what_cannot_be_is_refused(void **state)
{
    static const struct weighed_acid bad[] = {
        {CITRIC_ANHYDROUS, 0.0, 990.0, (double)NAN, 0.01},
        {CITRIC_ANHYDROUS, 1001.0, 9000.0, (double)NAN, 0.01},
        {CITRIC_ANHYDROUS, 10.0, 0.0, (double)NAN, 0.01},
        {CITRIC_ANHYDROUS, 10.0, 10001.0, (double)NAN, 0.01},
        {CITRIC_ANHYDROUS, 10.0, 990.0, 1.01, 0.01},
        {CITRIC_ANHYDROUS, 10.0, 990.0, 0.4, 0.01},
        {CITRIC_ANHYDROUS, 10.0, 990.0, (double)NAN, -0.1},
        {CITRIC_ANHYDROUS, 300.0, 700.0, (double)NAN, 0.01},
        {CITRIC_ANHYDROUS, 0.05, 990.0, (double)NAN, 0.01},
        {CITRIC_ANHYDROUS, (double)NAN, 990.0, (double)NAN, 0.01},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        struct failure failure = {0};
        double mol_per_kg = 5, u_relative = 5, mol_per_l = 5;

        check_refused(weighed_acid_strength(&bad[i], &mol_per_kg, &u_relative, &mol_per_l, &failure),
                      STATUS_RANGE, &failure);
        assert_true(mol_per_kg == 5 && u_relative == 5 && mol_per_l == 5);
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(strength_follows_from_the_masses),
    cmocka_unit_test(it_takes_up_the_lye_that_a_recipe_says),
    cmocka_unit_test(uncertainty_has_its_sources),
    cmocka_unit_test(by_volume_it_counts_with_its_density),
    cmocka_unit_test(what_cannot_be_is_refused),
};

const struct check_module test_science_weighed_acid = CHECK_MODULE("science/weighed_acid", tests);
