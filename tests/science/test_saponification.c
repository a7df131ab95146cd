/* test_saponification.c - lye per gram of fat against stoichiometry, and what names are understood. */
#include "check.h"
#include "saponification.h"

/* Molar masses from standard atomic masses (C 12.011, H 1.008, O 15.999). Each takes up three moles of lye.
 */
static const struct {
    const char *fat;
    double g_per_mol, sv_mg_koh_per_g;
} pure_fats[] = {
    {"trilaurin C39H74O6", 639.015, 263.4},
    {"tripalmitin C51H98O6", 807.339, 208.5},
    {"triolein C57H104O6", 885.453, 190.1},
};

static void
pure_fats_take_three_moles_of_lye(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(pure_fats); i++) {
        struct failure failure = {0};
        double sv = 3.0 * 1000.0 * SAPONIFICATION_KOH_G_PER_MOL / pure_fats[i].g_per_mol;
        double naoh = NAN, koh = NAN;

        check_close(sv, pure_fats[i].sv_mg_koh_per_g, 0.05, pure_fats[i].fat);
        check_ok(saponification_lye_per_g(LYE_NAOH, sv, 1.0, &naoh, &failure), &failure);
        check_ok(saponification_lye_per_g(LYE_KOH, sv, 1.0, &koh, &failure), &failure);
        check_close(naoh, 3.0 * 39.997 / pure_fats[i].g_per_mol, 1e-12, pure_fats[i].fat);
        check_close(koh, 3.0 * 56.105 / pure_fats[i].g_per_mol, 1e-12, pure_fats[i].fat);
    }
}

static void
impure_lye_is_needed_in_proportion(void **state)
{
    struct failure failure = {0};
    double pure = NAN, koh = NAN;

    (void)state;
    check_ok(saponification_lye_per_g(LYE_KOH, 200.0, 1.0, &pure, &failure), &failure);
    check_close(pure, 0.2, 1e-15, "definition of the saponification value, ISO 3657");
    check_ok(saponification_lye_per_g(LYE_KOH, 200.0, 0.8, &koh, &failure), &failure);
    check_close(koh, 0.25, 1e-15, "0.2 / 0.8");
    check_close(lye_as_naoh(LYE_NAOH), 1.0, 0.0, "definition");
    check_close(lye_as_naoh(LYE_KOH), 0.7128955, 5e-8, "39.997 / 56.105");
}

static void
values_and_purities_outside_are_refused(void **state)
{
    static const struct {
        double sv, purity;
        const char *says;
    } wrong[] = {
        {9.99, 1.0, "from 10 to 600"},      {600.1, 1.0, "from 10 to 600"},
        {-190.0, 1.0, "from 10 to 600"},    {(double)NAN, 1.0, "from 10 to 600"},
        {0.0, 1.0, "from 10 to 600"},       {0.134, 1.0, "lye per gram of fat"},
        {190.0, 0.0, "purity 0"},           {190.0, 98.0, "above 0, up to 1"},
        {190.0, (double)NAN, "purity nan"},
    };
    struct failure failure = {0};
    double naoh = -1.0;

    (void)state;
    for (size_t i = 0; i < LENGTH(wrong); i++) {
        check_refused(saponification_lye_per_g(LYE_NAOH, wrong[i].sv, wrong[i].purity, &naoh, &failure),
                      STATUS_RANGE, &failure);
        check_contains(failure.text, wrong[i].says);
        check_close(naoh, -1.0, 0.0, "left alone");
    }
    check_ok(saponification_check(10.0, 600.0, &failure), &failure);
    check_refused(saponification_check(196.0, 184.0, &failure), STATUS_RANGE, &failure);
}

static void
everyday_names_of_fats_are_understood(void **state)
{
    static const struct {
        const char *said, *name;
        double low, high;
        const char *source;
    } known[] = {
        {"olive oil", "olive oil (virgin, refined)", 184, 196, "CXS 33"},
        {"  Olive   OIL ", "olive oil (virgin, refined)", 184, 196, "CXS 33"},
        {"olive", "olive oil (virgin, refined)", 184, 196, "CXS 33"},
        {"coconut oil", "coconut oil", 248, 265, "CXS 210"},
        {"coconut", "coconut oil", 248, 265, "CXS 210"},
        {"shea butter", "shea butter, unrefined", 160, 195, "CXS 325R"},
        {"Shea", "shea butter, unrefined", 160, 195, "CXS 325R"},
        {"canola", "rapeseed oil, low erucic (canola)", 182, 193, "CXS 210"},
        {"rapeseed oil", "rapeseed oil, low erucic (canola)", 182, 193, "CXS 210"},
        {"castor oil", "castor oil", 176, 187, "Ph. Eur."},
        {"lard", "lard", 192, 203, "CXS 211"},
        {"tallow", "tallow, edible", 190, 202, "CXS 211"},
        {"Maize (Corn) Oil", "maize (corn) oil", 187, 195, "CXS 210"},
        {"corn oil", "maize (corn) oil", 187, 195, "CXS 210"},
        {"palm", "palm oil", 190, 209, "CXS 210"},
        {"cocoa butter", "cocoa butter", 188, 198, "pharmacopoeias"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        struct fat_found fat = {0};

        check_ok(fat_find(known[i].said, &fat, &failure), &failure);
        assert_string_equal(fat.name, known[i].name);
        check_close(fat.sv_low_mg_koh_per_g, known[i].low, 0.0, known[i].source);
        check_close(fat.sv_high_mg_koh_per_g, known[i].high, 0.0, known[i].source);
        assert_non_null(fat.source);
    }
}

static void
every_listed_name_finds_itself(void **state)
{
    struct failure failure = {0};
    size_t fats = 0, acids = 0;

    (void)state;
    for (; fat_name(fats) != NULL; fats++) {
        struct fat_found fat = {0};

        check_ok(fat_find(fat_name(fats), &fat, &failure), &failure);
        assert_string_equal(fat.name, fat_name(fats));
        check_ok(saponification_check(fat.sv_low_mg_koh_per_g, fat.sv_high_mg_koh_per_g, &failure), &failure);
    }
    for (; lye_consumer_name(acids) != NULL; acids++) {
        struct lye_consumer_found acid = {0};

        check_ok(lye_consumer_find(lye_consumer_name(acids), &acid, &failure), &failure);
        assert_true(acid.naoh_low_g_per_g > 0.0 && acid.naoh_low_g_per_g <= acid.naoh_high_g_per_g);
    }
    assert_true(fats > 30 && acids > 10);
}

static void
every_everyday_name_leads_to_a_row(void **state)
{
    /* Those the other tests do not use; a row renamed in the tables would leave them without an answer. */
    static const char *const fats[] = {"arachis oil",      "flax oil",
                                       "flaxseed oil",     "groundnut oil",
                                       "hemp oil",         "hemp seed oil",
                                       "lanolin",          "linseed oil",
                                       "maize oil",        "peanut oil",
                                       "pomace oil",       "olive pomace oil",
                                       "wool fat",         "soya oil",
                                       "poppy seed",       "poppyseed oil",
                                       "sweet almond",     "pomace olive oil",
                                       "avocado",          "beeswax",
                                       "sunflower",        "high oleic sunflower oil",
                                       "virgin olive oil", "rapeseed"};
    static const char *const acids[] = {
        "acetic acid", "ascorbic acid", "baking soda",   "bicarbonate of soda",
        "lauric acid", "oleic acid",    "palmitic acid", "sodium bicarbonate",
        "vitamin C",   "tartaric",      "malic acid",    "citric acid, monohydrate"};
    struct failure failure = {0};
    struct fat_found fat;
    struct lye_consumer_found acid;

    (void)state;
    for (size_t i = 0; i < LENGTH(fats); i++)
        check_ok(fat_find(fats[i], &fat, &failure), &failure);
    for (size_t i = 0; i < LENGTH(acids); i++)
        check_ok(lye_consumer_find(acids[i], &acid, &failure), &failure);
}

static void
acids_take_what_stoichiometry_says(void **state)
{
    static const struct {
        const char *said;
        double low, high;
        const char *source;
    } known[] = {
        {"citric acid, anhydrous", 0.6246, 0.6246, "3 x 39.997 / 192.123"},
        {"Citric Acid", 0.5710, 0.6246, "3 x 39.997 / 210.14 to the above: the hydrate is not stated"},
        {"citric", 0.5710, 0.6246, "the same"},
        {"lactic acid", 0.4440, 0.4440, "39.997 / 90.078"},
        {"stearic acid", 0.1406, 0.1560, "39.997 / 284.484 to 39.997 / 256.43, palmitic acid"},
        {"stearic acid, pure", 0.1406, 0.1406, "39.997 / 284.484"},
        {"baking soda", 0.4761, 0.4761, "39.997 / 84.007"},
        {"vinegar", 0.0330, 0.0333, "0.05 x 39.997 / 60.052 a mL, at a density from 1.00 to 1.01 g/mL"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        struct failure failure = {0};
        struct lye_consumer_found acid = {0};

        check_ok(lye_consumer_find(known[i].said, &acid, &failure), &failure);
        check_close(acid.naoh_low_g_per_g, known[i].low, 5e-5, known[i].source);
        check_close(acid.naoh_high_g_per_g, known[i].high, 5e-5, known[i].source);
        assert_true((acid.naoh_low_g_per_g == acid.naoh_high_g_per_g) || acid.note != NULL);
    }
}

static void
unknown_names_are_refused_with_the_closest_and_the_way_out(void **state)
{
    struct failure failure = {0};
    struct fat_found fat = {.name = "untouched"};
    struct lye_consumer_found acid = {.name = "untouched"};
    char long_name[3000];

    (void)state;
    check_refused(fat_find("avocdao oil", &fat, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "'avocdao oil' is not known");
    check_contains(failure.text, "'avocado oil'");
    check_contains(failure.text, "saponification value as a range");
    check_refused(fat_find("zzzzzzzzzz", &fat, &failure), STATUS_MISSING, &failure);
    check_lacks(failure.text, "closest");
    check_contains(failure.text, "saponification value as a range");
    check_refused(fat_find("", &fat, &failure), STATUS_MISSING, &failure);
    check_refused(fat_find(" \t", &fat, &failure), STATUS_MISSING, &failure);
    check_refused(fat_find("oil", &fat, &failure), STATUS_MISSING, &failure);
    check_refused(fat_find("bad\x1b[2Jname", &fat, &failure), STATUS_MISSING, &failure);
    check_lacks(failure.text, "\x1b");
    memset(long_name, 'x', sizeof long_name - 1);
    long_name[sizeof long_name - 1] = '\0';
    check_refused(fat_find(long_name, &fat, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "saponification value as a range");
    assert_string_equal(fat.name, "untouched");

    check_refused(lye_consumer_find("citric acdi", &acid, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "'citric acid'");
    check_contains(failure.text, "g NaOH per g");
    check_refused(lye_consumer_find("", &acid, &failure), STATUS_MISSING, &failure);
    assert_string_equal(acid.name, "untouched");
}

static void
a_mixture_has_the_mean_by_mass(void **state)
{
    const struct fat_portion fats[] = {{750.0, 184.0, 196.0}, {250.0, 248.0, 264.0}};
    const struct fat_portion none = {0.0, 184.0, 196.0};
    struct failure failure = {0};
    double low = NAN, high = NAN;

    (void)state;
    check_ok(saponification_mixture(fats, 2, &low, &high, &failure), &failure);
    check_close(low, 200.0, 1e-12, "0.75 x 184 + 0.25 x 248");
    check_close(high, 213.0, 1e-12, "0.75 x 196 + 0.25 x 264");
    check_refused(saponification_mixture(fats, 0, &low, &high, &failure), STATUS_RANGE, &failure);
    check_refused(saponification_mixture(&none, 1, &low, &high, &failure), STATUS_RANGE, &failure);
    check_contains(failure.text, "fat 1: mass 0 g");
    check_close(low, 200.0, 1e-12, "left alone");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(pure_fats_take_three_moles_of_lye),
    cmocka_unit_test(impure_lye_is_needed_in_proportion),
    cmocka_unit_test(values_and_purities_outside_are_refused),
    cmocka_unit_test(everyday_names_of_fats_are_understood),
    cmocka_unit_test(every_listed_name_finds_itself),
    cmocka_unit_test(every_everyday_name_leads_to_a_row),
    cmocka_unit_test(acids_take_what_stoichiometry_says),
    cmocka_unit_test(unknown_names_are_refused_with_the_closest_and_the_way_out),
    cmocka_unit_test(a_mixture_has_the_mean_by_mass),
};

const struct check_module test_science_saponification = CHECK_MODULE("science/saponification", tests);
