/* test_substance.c - names of substances, and compositions against standard atomic masses. */
#include "check.h"
#include "substance.h"

/* Standard atomic masses (IUPAC 2021, abridged): H 1.008, B 10.81, C 12.011, O 15.999, Na 22.990, P 30.974,
 * K 39.098. Formula: atoms of each. */
static const struct {
    const char *name;
    double h, b, c, o, na, p, k;
} formulas[] = {
    {"acetic acid", 4, 0, 2, 2, 0, 0, 0},
    {"borax", 20, 4, 0, 17, 2, 0, 0},
    {"boric acid", 3, 1, 0, 3, 0, 0, 0},
    {"citric acid", 8, 0, 6, 7, 0, 0, 0},
    {"citric acid monohydrate", 10, 0, 6, 8, 0, 0, 0},
    {"lactic acid", 6, 0, 3, 3, 0, 0, 0},
    {"phosphoric acid", 3, 0, 0, 4, 0, 1, 0},
    {"koh", 1, 0, 0, 1, 0, 0, 1},
    {"sodium acetate", 3, 0, 2, 2, 1, 0, 0},
    {"baking soda", 1, 0, 1, 3, 1, 0, 0},
    {"soda ash", 0, 0, 1, 3, 2, 0, 0},
    {"washing soda crystals", 20, 0, 1, 13, 2, 0, 0},
    {"sodium citrate", 9, 0, 6, 9, 3, 0, 0},
    {"naoh", 1, 0, 0, 1, 1, 0, 0},
    {"sodium lactate", 5, 0, 3, 3, 1, 0, 0},
};

static const struct substance *
find(const char *name)
{
    struct failure failure = {0};
    const struct substance *substance = NULL;

    check_ok(substance_find(name, &substance, &failure), &failure);
    assert_non_null(substance);
    return substance;
}

static void
molar_masses_follow_from_the_atoms(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(formulas); i++) {
        double mass = 1.008 * formulas[i].h + 10.81 * formulas[i].b + 12.011 * formulas[i].c +
                      15.999 * formulas[i].o + 22.990 * formulas[i].na + 30.974 * formulas[i].p +
                      39.098 * formulas[i].k;

        check_close(find(formulas[i].name)->molar_mass_g_per_mol, mass, 0.01, "IUPAC abridged atomic masses");
    }
}

/* Sodium and potassium atoms are the base, carbon or boron atoms tell the acid. */
static void
compositions_follow_from_the_atoms(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(formulas); i++) {
        const struct substance *substance = find(formulas[i].name);

        check_close(substance->base_mol, formulas[i].na + formulas[i].k, 0.0, "atoms of the formula");
        if (substance->acid == ACID_BORIC && substance->acid_mol > 0.0)
            check_close(substance->acid_mol, formulas[i].b, 0.0, "atoms of the formula");
        else
            check_close(substance->acid_mol, formulas[i].c + formulas[i].p > 0.0 ? 1.0 : 0.0, 0.0,
                        "one acid a mole");
    }
    assert_true(substance_is_lye(find("NaOH")) && substance_is_lye(find("caustic potash")));
    assert_true(!substance_is_lye(find("soda ash")) && !substance_is_lye(find("citric acid")));
}

static void
names_are_taken_as_people_write_them(void **state)
{
    (void)state;
    assert_ptr_equal(find("Citric Acid, anhydrous"), find("citric acid"));
    assert_ptr_equal(find("SODIUM-HYDROXIDE"), find("lye"));
    assert_ptr_equal(find("baking soda"), find("sodium bicarbonate"));
}

static void
an_unknown_substance_is_refused_with_a_near_one_and_where_all_are(void **state)
{
    static const char *const unknown[] = {"", "sugar",
                                          "a name much longer than any substance that could ever be here"};
    struct failure failure = {0};
    const struct substance *untouched = NULL;

    (void)state;
    for (size_t i = 0; i < LENGTH(unknown); i++) {
        check_refused(substance_find(unknown[i], &untouched, &failure), STATUS_MISSING, &failure);
        check_contains(failure.text,
                       "there is citric acid, naoh, baking soda and more (curetrace expect --known");
        assert_null(untouched);
    }
    check_refused(substance_find("citrik acid", &untouched, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "did you mean 'citric acid'");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(molar_masses_follow_from_the_atoms),
    cmocka_unit_test(compositions_follow_from_the_atoms),
    cmocka_unit_test(names_are_taken_as_people_write_them),
    cmocka_unit_test(an_unknown_substance_is_refused_with_a_near_one_and_where_all_are),
};

const struct check_module test_science_substance = CHECK_MODULE("science/substance", tests);
