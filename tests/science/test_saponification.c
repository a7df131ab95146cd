/* test_saponification.c - lye per gram of fat against stoichiometry, and what names are understood. */
#include "check.h"
#include "saponification.h"
#include "table_lye_consumers.h"

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
        double sv = 3.0 * 1000.0 * SAPONIFICATION_KOH_G_PER_MOL / pure_fats[i].g_per_mol;

        check_close(sv, pure_fats[i].sv_mg_koh_per_g, 0.05, pure_fats[i].fat);
        check_close(sv * SAPONIFICATION_NAOH_PER_SV, 3.0 * 39.997 / pure_fats[i].g_per_mol, 1e-12,
                    pure_fats[i].fat);
    }
    check_close(lye_as_naoh(LYE_NAOH), 1.0, 0.0, "definition");
    check_close(lye_as_naoh(LYE_KOH), 0.7128955, 5e-8, "39.997 / 56.105");
}

static void
values_outside_are_refused(void **state)
{
    static const struct {
        double sv;
        const char *says;
    } wrong[] = {
        {9.99, "from 10 to 600"},        {600.1, "from 10 to 600"}, {-190.0, "from 10 to 600"},
        {(double)NAN, "from 10 to 600"}, {0.0, "from 10 to 600"},   {0.134, "lye per gram of fat"},
    };
    struct failure failure = {0};

    (void)state;
    for (size_t i = 0; i < LENGTH(wrong); i++) {
        check_refused(saponification_check(wrong[i].sv, wrong[i].sv, &failure), STATUS_RANGE, &failure);
        check_contains(failure.text, wrong[i].says);
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
    for (; acids < table_lye_consumers_length; acids++) {
        struct lye_consumer_found acid = {0};

        check_ok(lye_consumer_find(table_lye_consumers[acids].additive, &acid, &failure), &failure);
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
unknown_names_are_refused_with_the_way_out_and_no_lookalike(void **state)
{
    struct failure failure = {0};
    struct fat_found fat = {.name = "untouched"};
    struct lye_consumer_found acid = {.name = "untouched"};
    /* Fats, waxes and names in no table of ours, each close in letters to one that is. */
    static const char *const other_fats[] = {"jojoba",       "jojoba oil",     "camelina oil",
                                             "neem oil",     "palm wax",       "corn wax",
                                             "kokum butter", "saflower oil x", "zzzzzzzzzz"};
    char long_name[3000];

    (void)state;
    check_refused(fat_find("avocdao oil", &fat, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "'avocdao oil' is not known");
    check_contains(failure.text, "did you mean 'avocado oil'?");
    check_contains(failure.text, "@sv LOW..HIGH");
    for (size_t i = 0; i < LENGTH(other_fats); i++) {
        check_refused(fat_find(other_fats[i], &fat, &failure), STATUS_MISSING, &failure);
        check_lacks(failure.text, "did you mean");
        check_lacks(failure.text, "canola");
        check_contains(failure.text, "@sv LOW..HIGH");
    }
    check_refused(fat_find("", &fat, &failure), STATUS_MISSING, &failure);
    check_refused(fat_find(" \t", &fat, &failure), STATUS_MISSING, &failure);
    check_refused(fat_find("oil", &fat, &failure), STATUS_MISSING, &failure);
    check_refused(fat_find("bad\x1b[2Jname", &fat, &failure), STATUS_MISSING, &failure);
    check_lacks(failure.text, "\x1b");
    memset(long_name, 'x', sizeof long_name - 1);
    long_name[sizeof long_name - 1] = '\0';
    check_refused(fat_find(long_name, &fat, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "@sv LOW..HIGH");
    assert_string_equal(fat.name, "untouched");

    check_refused(lye_consumer_find("citric acdi", &acid, &failure), STATUS_MISSING, &failure);
    check_contains(failure.text, "'citric acid'");
    check_contains(failure.text, "the safe side");
    check_refused(lye_consumer_find("", &acid, &failure), STATUS_MISSING, &failure);
    assert_string_equal(acid.name, "untouched");
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(pure_fats_take_three_moles_of_lye),
    cmocka_unit_test(values_outside_are_refused),
    cmocka_unit_test(everyday_names_of_fats_are_understood),
    cmocka_unit_test(every_listed_name_finds_itself),
    cmocka_unit_test(every_everyday_name_leads_to_a_row),
    cmocka_unit_test(acids_take_what_stoichiometry_says),
    cmocka_unit_test(unknown_names_are_refused_with_the_way_out_and_no_lookalike),
};

const struct check_module test_science_saponification = CHECK_MODULE("science/saponification", tests);
