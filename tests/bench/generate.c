/* generate.c - data of any size for the benchmark, the same every time.
 *
 *     generate readings BATCHES PER_BATCH     a CSV file for "import readings"
 *     generate commands BATCHES               what to tell the program before: its command lines, one a line
 *
 * Everything is invented. Four bars are poured a day from 2014 on. Each is tested on twelve days, or twenty
 * when there are enough readings, and falls exponentially, as curing bars do, with the scatter of a kitchen's
 * meter; the last reading of a session of five is paper. The meter is adjusted every seven days. */
#include <math.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "clock.h"

enum { POURS_A_DAY = 4, CURE_D = 120, ADJUSTED_EVERY_D = 7, READINGS_A_SESSION = 5, DAY_S = 86400 };
static const civil_day first_day = 16071; /* 2014-01-01 */

/* Splitmix64 (S. Vigna, public domain): two lines, and the same on every machine. */
static double
uniform(uint64_t *state)
{
    uint64_t z = *state += 0x9e3779b97f4a7c15u;

    z = (z ^ (z >> 30)) * 0xbf58476d1ce4e5b9u;
    z = (z ^ (z >> 27)) * 0x94d049bb133111ebu;
    return (double)((z ^ (z >> 31)) >> 11) * 0x1p-53;
}

/* Nearly normal, mean 0 and standard deviation 1: the sum of twelve. */
static double
normal(uint64_t *state)
{
    double sum = -6.0;

    for (int i = 0; i < 12; i++)
        sum += uniform(state);
    return sum;
}

struct bar {
    int number;
    civil_day made_on;
    double start_ph, end_ph, rate_per_d;
    uint64_t state;
};

static void
meter_row(struct bar *bar, const char *day, const char *moment, int session, int replicate, double age_d,
          double concentration_pct)
{
    double ph = bar->end_ph + (bar->start_ph - bar->end_ph) * exp(-bar->rate_per_d * age_d);

    printf("B-%05d,%s,%d,%s,meter,bench,%d,%.2f,,,%.1f,%.2f,\n", bar->number, day, session, moment, replicate,
           ph + 0.02 * normal(&bar->state), 40.0 + 0.5 * normal(&bar->state), concentration_pct);
}

static void
paper_row(struct bar *bar, const char *day, const char *moment, int session, double age_d,
          double concentration_pct)
{
    double ph = bar->end_ph + (bar->start_ph - bar->end_ph) * exp(-bar->rate_per_d * age_d);
    int low = (int)(ph + 0.2 * normal(&bar->state));

    printf("B-%05d,%s,%d,%s,paper,strips,1,,%d,%d,40.0,%.2f,%s\n", bar->number, day, session, moment, low,
           low + 1, concentration_pct, session == 1 ? "first look" : "");
}

static void
write_bar(struct bar *bar, int per_batch)
{
    int per_session = per_batch >= 100 ? READINGS_A_SESSION : 1, sessions = per_batch / per_session;
    char day[DAY_TEXT_SIZE], moment[MOMENT_TEXT_SIZE];

    clock_day_text(bar->made_on, day);
    for (int session = 1; session <= sessions; session++) {
        double part = (double)session / sessions;
        int age_d = (int)ceil(CURE_D * part * part);                 /* more often at first */
        double concentration_pct = 1.0 + 0.01 * normal(&bar->state); /* one solution a session */

        clock_moment_text((civil_time)(bar->made_on + age_d) * DAY_S + (9 * 60 + bar->number % 480) * 60,
                          moment);
        for (int i = 1; i <= per_session; i++) {
            if (i == READINGS_A_SESSION)
                paper_row(bar, day, moment, session, age_d, concentration_pct);
            else
                meter_row(bar, day, moment, session, i, age_d, concentration_pct);
        }
    }
}

static void
readings(int batches, int per_batch)
{
    puts("batch,made_on,session,taken_at,method,gear,replicate,ph,ph_low,ph_high,temperature_c,"
         "concentration_pct,note");
    for (int i = 0; i < batches; i++) {
        struct bar bar = {
            .number = i + 1, .made_on = first_day + i / POURS_A_DAY, .state = (uint64_t)i * 1000003u + 7u};

        bar.end_ph = 9.6 + 0.3 * uniform(&bar.state);
        bar.start_ph = bar.end_ph + 0.5 + 0.5 * uniform(&bar.state);
        bar.rate_per_d = 0.03 + 0.07 * uniform(&bar.state);
        write_bar(&bar, per_batch);
    }
}

static void
commands(int batches)
{
    civil_day last_day = first_day + (batches - 1) / POURS_A_DAY + CURE_D;
    char day[DAY_TEXT_SIZE];
    uint64_t state = 1;

    puts("gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc");
    puts("gear add strips --kind paper --steps 1,2,3,4,5,6,7,8,9,10,11,12,13,14");
    for (civil_day at = first_day; at <= last_day; at += ADJUSTED_EVERY_D)
        printf("calibrate bench --at %sT08:00 --buffer borax@25=%.2f --buffer \"lime water\"@25=%.2f\n",
               clock_day_text(at, day), 9.18 + 0.02 * (uniform(&state) - 0.5),
               12.45 + 0.02 * (uniform(&state) - 0.5));
}

int
main(int argc, char **argv)
{
    int batches = argc > 2 ? atoi(argv[2]) : 0, per_batch = argc > 3 ? atoi(argv[3]) : 0;

    if (argc == 4 && strcmp(argv[1], "readings") == 0 && batches > 0 && per_batch > 0) {
        readings(batches, per_batch);
    } else if (argc == 3 && strcmp(argv[1], "commands") == 0 && batches > 0) {
        commands(batches);
    } else {
        fputs("usage: generate readings BATCHES PER_BATCH | generate commands BATCHES\n", stderr);
        return 2;
    }
    return fflush(stdout) == 0 && !ferror(stdout) ? 0 : 1;
}
