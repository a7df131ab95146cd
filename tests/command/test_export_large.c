/* test_export_large.c - 100,000 random readings with random notes go out and come back. */
#include <gsl/gsl_rng.h>

#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "round_trip.h"
#include "text.h"

enum { READINGS = 100000, SEED = 20260601 };

/* A note of what is awkward in CSV, quoted as the file needs it; often none. */
static void
write_note(FILE *file, gsl_rng *random)
{
    static const char *const pieces[] = {"=",  "+",    "-",  "@", "'", "\"\"",   ",",        ";",
                                         "\n", "\r\n", "\t", " ", "a", "pH 9,9", "\xc3\xbc", "\xe2\x80\xae",
                                         "\\", "0"};
    unsigned long count = gsl_rng_uniform_int(random, 8);

    if (count < 4)
        return;
    fputc('"', file);
    for (; count > 3; count--)
        fputs(pieces[gsl_rng_uniform_int(random, LENGTH(pieces))], file);
    fputc('"', file);
}

static void
write_readings(const char *path)
{
    gsl_rng *random = gsl_rng_alloc(gsl_rng_mt19937);
    FILE *file = fopen(path, "w");

    assert_non_null(file);
    gsl_rng_set(random, SEED);
    fputs("batch,made_on,session,taken_at,gear,replicate,ph,ph_low,ph_high,temperature_c,concentration_pct,"
          "note\n",
          file);
    for (int i = 0; i < READINGS; i++) {
        int session = i / 5, batch = session % 300;
        bool paper = i % 5 == 4;

        fprintf(file, "R-%03d,2024-01-01,%d,2025-%02d-%02dT%02d:%02d,%s,%d,", batch, session,
                1 + session / 300 % 12, 1 + session / 3600 % 28, session % 24, i % 5,
                paper ? "strips" : "bench", 1 + i % 5);
        if (paper)
            fprintf(file, ",%d,%d,,,", (int)gsl_rng_uniform_int(random, 3) + 8,
                    (int)gsl_rng_uniform_int(random, 3) + 11);
        else /* every bit of a double, not only two decimals */
            fprintf(file, "%.17g,,,%.*g,%.3f,", 8.0 + 4.0 * gsl_rng_uniform(random), 3 + i % 15,
                    36.0 + 8.0 * gsl_rng_uniform(random), 1.0 + session % 7 / 100.0);
        write_note(file, random);
        fputc('\n', file);
    }
    assert_int_equal(fclose(file), 0);
    gsl_rng_free(random);
}

static void
a_hundred_thousand_readings_come_back(void **state)
{
    struct kitchen *kitchen = *state;
    char *path = file_join(kitchen->folder->path, "readings.csv"),
         *line = text_format("import readings %s --water distilled", path);

    write_readings(path);
    kitchen_do(kitchen, "gear add bench --kind meter --resolution-ph 0.01");
    kitchen_do(kitchen, "gear add strips --kind paper --steps 8,9,10,11,12,13");
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "100000 readings added\nbatches added: 300");
    round_trip_check(kitchen, "");
    free(path);
    free(line);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test_setup_teardown(a_hundred_thousand_readings_come_back, kitchen_open, kitchen_close),
};

const struct check_module test_command_export_large = CHECK_MODULE("command/export_large", tests);
