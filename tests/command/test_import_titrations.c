/* test_import_titrations.c - "import titrations": titrated portions from old years. */
#include <stdlib.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "memory.h"
#include "text.h"

static char *
import_line(const struct kitchen *kitchen, const char *content, const char *rest)
{
    return kitchen_import_line(kitchen, "titrations", "acid.csv", content, rest);
}

static void
import_well(struct kitchen *kitchen, const char *content, const char *rest, const char *said)
{
    char *line = import_line(kitchen, content, rest);

    kitchen_do(kitchen, line);
    check_contains(kitchen->out, said);
    free(line);
}

static void
furnish(struct kitchen *kitchen)
{
    kitchen_do(kitchen, "gear add scale --kind balance --readability-g 0.01");
    kitchen_do(kitchen, "batch add W-07 --made 2026-03-02");
    kitchen_do(kitchen, "batch add W-08 --made 2026-03-02");
}

/* One portion a row and two side by side say the same, and so does what is typed. */
static void
titrations_come_in_once_and_as_typed(void **state)
{
    static const char rows[] =
        "batch,bar,taken_at,soap_mass_g,volume_ml,acid_mol_per_l,blank_ml,method,note\n"
        "W-07,A,2026-04-09T10:00,10.02,0.90,0.1,0.05,pink,slow\nW-07,a,2026-04-09T10:00,9.98,0.95,0.1,0.05,"
        "pink,slow\n";
    static const char wide[] = "batch;bar;taken_at;soap_mass_g_1;volume_ml_1;soap_mass_g_2;volume_ml_2\n"
                               "W-07;A;9.4.2026 10:00;10,02;0,90;9,98;0,95\nW-08;;13.4.26;10,00;1,1;;\n";
    struct kitchen *kitchen = *state;
    char *imported;

    furnish(kitchen);
    import_well(kitchen, rows, "--balance scale --check",
                "2 titrations would be added; nothing was changed\n");
    import_well(kitchen, rows, "--balance scale", "2 titrations added\n");
    import_well(kitchen, rows, "--balance scale", "0 titrations added, 2 were there already\n");
    kitchen_do(kitchen, "titrate W-07 --show");
    imported = memory_copy(kitchen->out);
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "Nothing in it contradicts its journal");
    import_well(kitchen, wide, "--acid-mol-l 0.1 --blank-ml 0.05",
                "1 titrations added, 2 were there already\n");
    kitchen_other_notebook(kitchen);
    furnish(kitchen);
    kitchen_do(kitchen,
               "titrate W-07 --at 2026-04-09T10:00 --bar A --soap-g 10.02 --volume-ml 0.90 --soap-g 9.98 "
               "--volume-ml 0.95 --acid-mol-l 0.1 --blank-ml 0.05 --balance scale --method pink --note slow");
    kitchen_do(kitchen, "titrate W-07 --show");
    assert_string_equal(kitchen->out, imported);
    free(imported);
}

/* 3 mL of 0.1 mol/L on 10 g: 40 mg NaOH/mmol x 0.3 mmol / 10 g = 0.12 %, above 0.05 %. */
static void
free_alkali_in_the_file_holds_the_batch(void **state)
{
    struct kitchen *kitchen = *state;

    furnish(kitchen);
    import_well(kitchen,
                "batch,taken_at,soap_mass_g,volume_ml\nW-07,2026-04-09,10,30\nW-07,2026-04-09,10,31\n",
                "--acid-mol-l 0.1", "2 titrations added\nW-07 is held now");
    kitchen_do(kitchen, "batch list");
    check_contains(kitchen->out, "held");
}

static void
all_that_is_wrong_is_listed(void **state)
{
    static const char bad[] = "batch,taken_at,soap_mass_g,volume_ml,acid_mol_per_l,balance\n"
                              "W-99,2026-04-09,10,1,0.1,\n"
                              "W-07,2026-03-01,10,1,0.1,\n"
                              "W-07,2026-04-09,10,,0.1,\n"
                              "W-07,2026-04-09,10,1,,\n"
                              "W-07,2026-04-09,ten,1,0.1,spoon\n"
                              "W-07,2026-04-09,10,1,5,\n";
    static const char *const parts[] = {
        "acid.csv:2: column 'batch': there is no batch 'W-99'",
        "acid.csv:3: column 'taken_at': is before batch W-07 was made, on 2026-03-02",
        "acid.csv:4: column 'volume_ml': is empty: a portion has the mass of soap and the volume of acid",
        "acid.csv:5: column 'acid_mol_per_l': how strong is the acid?",
        "acid.csv:6: column 'balance': there is no balance 'spoon'",
        "acid.csv:6: column 'soap_mass_g': 'ten' is not a number",
        "acid.csv:7: column 'volume_ml': ",
    };
    struct kitchen *kitchen = *state;
    char *line = import_line(kitchen, bad, "");

    furnish(kitchen);
    assert_int_not_equal(kitchen_run(kitchen, line), STATUS_OK);
    check_contains(kitchen->failure.text, "nothing was imported: 7 problems in ");
    for (size_t i = 0; i < LENGTH(parts); i++)
        check_contains(kitchen->err, parts[i]);
    free(line);
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(titrations_come_in_once_and_as_typed),
    KITCHEN_TEST(free_alkali_in_the_file_holds_the_batch),
    KITCHEN_TEST(all_that_is_wrong_is_listed),
};
const struct check_module test_command_import_titrations = CHECK_MODULE("command/import_titrations", tests);
