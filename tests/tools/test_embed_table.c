/* test_embed_table.c - the build tool refuses a wrong reference file, naming file, line and reason. */
#include <stdlib.h>
#include <sys/wait.h>
#include <unistd.h>

#include "check.h"
#include "table_acid_constants.h"
#include "table_buffers.h"
#include "table_fats.h"
#include "table_lye_consumers.h"

#define BUFFERS "buffer,temperature_c,ph,source,role\n"
#define FATS "fat,sv_min_mg_koh_per_g,sv_max_mg_koh_per_g,source\n"
#define ACIDS "acid,step,pka_25c,enthalpy_kj_per_mol,source\n"

static char folder[] = "/tmp/embed_table_XXXXXX";

static void
path_of(char path[128], const char *name)
{
    snprintf(path, 128, "%s/%s", folder, name);
}

/* Run the tool on `text` as table `name`; gives its exit status and what it said. */
static int
embed(const char *name, const char *text, size_t length, char said[1024])
{
    char input[128], source[128], header[128], tool[512];
    FILE *file;
    int ends[2], status = -1;
    size_t used = 0;
    ssize_t got;
    pid_t child;

    path_of(input, "in.csv");
    path_of(source, "out.c");
    path_of(header, "out.h");
    unlink(source);
    snprintf(tool, sizeof tool, "%s/src/tools/embed_table", getenv("BUILD_ROOT"));
    file = fopen(input, "wb");
    assert_non_null(file);
    assert_int_equal(fwrite(text, 1, length, file), length);
    assert_int_equal(fclose(file), 0);

    assert_int_equal(pipe(ends), 0);
    child = fork();
    assert_true(child >= 0);
    if (child == 0) {
        dup2(ends[1], STDERR_FILENO);
        close(ends[0]);
        close(ends[1]);
        execl(tool, tool, name, input, source, header, (char *)NULL);
        _exit(127);
    }
    close(ends[1]);
    while ((got = read(ends[0], said + used, 1023 - used)) > 0)
        used += (size_t)got;
    said[used] = '\0';
    close(ends[0]);
    assert_int_equal(waitpid(child, &status, 0), child);
    assert_true(WIFEXITED(status));
    return WEXITSTATUS(status);
}

static const struct {
    const char *table, *text;
} good[] = {
    {"buffers", BUFFERS "borax,0,9.464,x,use\nborax,5,9.395,x,use\nborax,0,9.46,x,check\n"},
    {"buffers", BUFFERS "borax,0,9.464,\"a, \"\"b\"\"\",use\r\nborax,5,9.395,x,use"},
    {"fats", FATS "a fat,190,190,x\n"},
    {"acid_constants", ACIDS "an acid,1,4.7,,x\n"},
};

static const struct {
    const char *table, *text, *reason;
} bad[] = {
    {"buffers", "", "no rows"},
    {"buffers", BUFFERS, "no rows"},
    {"buffers", "buffer,temperature_c,ph,role,source\nborax,0,9.4,use,x\n", "in.csv:1: heading 4 is 'role'"},
    {"buffers", BUFFERS "borax,0,9.464,x,use\nborax,5,nine,x,use\n",
     "in.csv:3: column 'ph': value: 'nine' is not a number"},
    {"buffers", BUFFERS "borax,0,\"9,464\",x,use\n", "in.csv:2: column 'ph': value: '9,464' is not a number"},
    {"buffers", BUFFERS "borax,0,94.64,x,use\n", "in.csv:2: column 'ph': value is 94.64, allowed is 1 to 14"},
    {"buffers", BUFFERS "borax,-1,9.464,x,use\n", "in.csv:2: column 'temperature_c': value is -1"},
    {"buffers", BUFFERS "borax,5,9.395,x,use\nborax,0,9.464,x,use\n",
     "in.csv:3: column 'temperature_c': 0 does"},
    {"buffers", BUFFERS "borax,5,9.395,x,use\nborax,5,9.395,x,use\n",
     "in.csv:3: column 'temperature_c': 5 does"},
    {"buffers", BUFFERS "borax,5,9.3,x,use\nlime,0,12,x,use\nborax,0,9.4,x,use\n", "in.csv:4: column 'temp"},
    {"buffers", BUFFERS "borax,0,9.464,x\n", "in.csv:2: expected 5 fields, got 4"},
    {"buffers", BUFFERS "borax,0,9.464,x,use,y,z,z,z,z,z\n", "in.csv:2: expected 5 fields, got 11"},
    {"buffers", BUFFERS "borax,0,9.464,x,guess\n", "in.csv:2: column 'role': unknown word 'guess'"},
    {"buffers", BUFFERS "borax,0,9.464,x,us\n", "in.csv:2: column 'role': unknown word 'us'"},
    {"buffers", BUFFERS "borax,0,,x,use\n", "in.csv:2: column 'ph': is empty"},
    {"buffers", BUFFERS "borax,0,9.464,,use\n", "in.csv:2: column 'source': is empty"},
    {"buffers", BUFFERS "bor\"ax,0,9.464,x,use\n", "in.csv:2: not CSV"},
    {"buffers", BUFFERS "borax,0,9.464,\"x,use\n", "in.csv:2: a quoted text does not end"},
    {"fats", FATS "a fat,195,190,x\n", "in.csv:2: column 'sv_max_mg_koh_per_g': 190 is below"},
    {"fats", FATS "a fat,19.5,190,x\n", "in.csv:2: column 'sv_min_mg_koh_per_g': value is 19.5"},
    {"no_such", BUFFERS, "there is no table 'no_such'"},
};

static void
a_sound_file_becomes_a_table(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(good); i++) {
        char said[1024], source[128];
        int status = embed(good[i].table, good[i].text, strlen(good[i].text), said);

        if (status != 0)
            print_error("row %zu: %s", i, said);
        assert_int_equal(status, 0);
        path_of(source, "out.c");
        assert_int_equal(access(source, F_OK), 0);
    }
}

static void
a_wrong_row_is_refused_with_its_place_and_nothing_is_written(void **state)
{
    (void)state;
    for (size_t i = 0; i < LENGTH(bad); i++) {
        char said[1024], source[128];
        int status = embed(bad[i].table, bad[i].text, strlen(bad[i].text), said);

        check_contains(said, bad[i].reason);
        assert_int_equal(status, 2);
        path_of(source, "out.c");
        assert_int_equal(access(source, F_OK), -1);
    }
}

static void
a_nul_byte_is_refused(void **state)
{
    static const char text[] = BUFFERS "bo\0rax,0,9.464,x,use\n";
    char said[1024];

    (void)state;
    assert_int_equal(embed("buffers", text, sizeof text - 1, said), 2);
    check_contains(said, "in.csv:2: a NUL byte");
}

static void
the_built_tables_hold_what_the_files_print(void **state)
{
    (void)state;
    assert_int_equal(table_fats_length, 33);
    assert_string_equal(table_fats[0].fat, "coconut oil");
    check_close(table_fats[0].sv_min_mg_koh_per_g, 248.0, 0.0, "CXS 210 Table 2");
    check_close(table_fats[0].sv_max_mg_koh_per_g, 265.0, 0.0, "CXS 210 Table 2");
    assert_int_equal(table_lye_consumers_length, 13);
    check_close(table_lye_consumers[0].g_naoh_per_g, 3.0 * 39.997 / 192.123, 5e-6, "stoichiometry");
    assert_int_equal(table_acid_constants_length, 18);
    assert_int_equal(table_buffers_length, 341);
}

/* Molar masses from IUPAC abridged atomic masses, as is NaOH's. */
static void
lye_consumers_follow_from_their_molar_mass(void **state)
{
    static const struct {
        const char *additive, *formula;
        double g, molar_mass_g_per_mol, equivalents;
    } known[] = {
        {"citric acid, anhydrous", "C6H8O7", 1.0, 192.123, 3.0},
        {"citric acid, monohydrate", "C6H8O7.H2O", 1.0, 210.14, 3.0},
        {"lactic acid", "C3H6O3", 1.0, 90.078, 1.0},
        {"acetic acid, 100 %", "C2H4O2", 1.0, 60.052, 1.0},
        {"tartaric acid", "C4H6O6", 1.0, 150.087, 2.0},
        {"malic acid", "C4H6O5", 1.0, 134.087, 2.0},
        {"ascorbic acid (first proton only)", "C6H8O6", 1.0, 176.124, 1.0},
        {"stearic acid, pure", "C18H36O2", 1.0, 284.484, 1.0},
        {"palmitic acid, pure", "C16H32O2", 1.0, 256.43, 1.0},
        {"oleic acid, pure", "C18H34O2", 1.0, 282.468, 1.0},
        {"lauric acid, pure", "C12H24O2", 1.0, 200.322, 1.0},
        {"sodium bicarbonate (turns NaOH into Na2CO3)", "NaHCO3", 1.0, 84.007, 1.0},
        {"vinegar, per mL at 5 g acetic acid per 100 mL", "C2H4O2", 0.05, 60.052, 1.0},
    };

    (void)state;
    assert_int_equal(table_lye_consumers_length, LENGTH(known));
    for (size_t i = 0; i < LENGTH(known); i++) {
        double mol = known[i].g * known[i].equivalents / known[i].molar_mass_g_per_mol;

        assert_string_equal(table_lye_consumers[i].additive, known[i].additive);
        check_close(table_lye_consumers[i].g_naoh_per_g, mol * 39.997, 6e-6, known[i].formula);
    }
}

static int
make_folder(void **state)
{
    (void)state;
    return mkdtemp(folder) == NULL;
}

static int
remove_folder(void **state)
{
    char path[128];

    (void)state;
    for (size_t i = 0; i < 3; i++) {
        path_of(path, (const char *[]){"in.csv", "out.c", "out.h"}[i]);
        unlink(path);
    }
    return rmdir(folder);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(a_sound_file_becomes_a_table),
    cmocka_unit_test(a_wrong_row_is_refused_with_its_place_and_nothing_is_written),
    cmocka_unit_test(a_nul_byte_is_refused),
    cmocka_unit_test(the_built_tables_hold_what_the_files_print),
    cmocka_unit_test(lye_consumers_follow_from_their_molar_mass),
};

const struct check_module test_tools_embed_table = {"tools/embed_table", tests, LENGTH(tests), make_folder,
                                                    remove_folder};
