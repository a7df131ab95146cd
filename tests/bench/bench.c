/* bench.c - how fast the program is, beside what a maker would use instead.
 *
 *     bench PROGRAM GENERATE ANSWERS SCRIPTS FOLDER [RUNS]
 *
 * PROGRAM is curetrace, GENERATE and ANSWERS the programs of this folder, SCRIPTS the folder of the R programs,
 * FOLDER where the data and the table go (benchmark.csv). Both sides of a comparison run in turn, RUNS times
 * (7 when not said; slow ones 5), after one run of each that does not count. A comparison whose peer is not
 * installed is skipped, and the table says so. Nothing is installed and nothing outside FOLDER is written. */
#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "csv_out.h"
#include "data.h"
#include "file.h"
#include "listing.h"
#include "measure.h"
#include "memory.h"
#include "text.h"

enum { RUNS_USUAL = 7, RUNS_SLOW = 5, RUNS_SHORT = 31, SCREEN = 200 };

struct bench {
    struct data data;
    const char *program, *answers, *scripts;
    size_t runs; /* 0: as the comparison has it */
    struct listing table;
    FILE *file;
    struct csv_out csv;
    bool failed;
};

static void
start_table(struct bench *bench)
{
    static const char *const names[] = {
        "work",   "against",       "runs",          "ours_s", "ours_low_s",       "ours_high_s",
        "peer_s", "peer_low_s",    "peer_high_s",   "ratio",  "ours_processor_s", "peer_processor_s",
        "goal",   "ours_peak_kib", "peer_peak_kib", "remark"};

    csv_out_start(&bench->csv, bench->file, (struct csv_manner){0});
    csv_out_heading(&bench->csv, names, LENGTH(names));
    listing_column(&bench->table, "work", LISTING_LEFT);
    listing_column(&bench->table, "against", LISTING_LEFT);
    listing_column(&bench->table, "ours s", LISTING_RIGHT);
    listing_column(&bench->table, "peer s", LISTING_RIGHT);
    listing_column(&bench->table, "ratio", LISTING_RIGHT);
    listing_column(&bench->table, "processor", LISTING_RIGHT);
    listing_column(&bench->table, "goal", LISTING_RIGHT);
    listing_column(&bench->table, "spread", LISTING_RIGHT);
    listing_column(&bench->table, "MiB", LISTING_RIGHT);
    listing_column(&bench->table, "peer MiB", LISTING_RIGHT);
    listing_column(&bench->table, "", LISTING_LEFT);
}

/* What is compared. */
struct comparison {
    const char *work, *against;
    double goal;  /* of the ratio, at most */
    double scale; /* the peer's time is multiplied by this: a file a hundred times as long may take as much */
    double peak_goal_mib; /* 0: none */
    const char *needs;    /* program of the peer that may be absent; NULL: none */
    size_t runs;
};

static void
add_skipped(struct bench *bench, const struct comparison *what)
{
    char *remark = text_format("skipped: there is no %s here", what->needs);

    csv_out_text(&bench->csv, what->work);
    csv_out_text(&bench->csv, what->against);
    for (int i = 0; i < 13; i++)
        csv_out_text(&bench->csv, "");
    csv_out_text(&bench->csv, remark);
    csv_out_end_row(&bench->csv);
    listing_cell(&bench->table, what->work);
    listing_cell(&bench->table, what->against);
    for (int i = 0; i < 8; i++)
        listing_cell(&bench->table, "");
    listing_cell(&bench->table, remark);
    free(remark);
}

/* The ratio's spread: of the quartiles of both sides, as a share of the ratio. */
static double
spread_of(const struct timing *ours, const struct timing *peer)
{
    return hypot((ours->high_s - ours->low_s) / ours->median_s,
                 (peer->high_s - peer->low_s) / peer->median_s);
}

static void
ratio_cell(struct bench *bench, double ratio)
{
    if (ratio < 0.1)
        listing_cellf(&bench->table, "1/%.0f", 1.0 / ratio);
    else
        listing_cellf(&bench->table, "%.2f", ratio);
}

static void
add_row(struct bench *bench, const struct comparison *what, const struct timing *ours,
        const struct timing *peer)
{
    double ratio = ours->median_s / (peer->median_s * what->scale);
    bool met = ratio <= what->goal &&
               (what->peak_goal_mib == 0.0 || (double)ours->peak_kib <= what->peak_goal_mib * 1024.0);

    csv_out_text(&bench->csv, what->work);
    csv_out_text(&bench->csv, what->against);
    csv_out_integer(&bench->csv, (int64_t)ours->count);
    csv_out_number(&bench->csv, ours->median_s);
    csv_out_number(&bench->csv, ours->low_s);
    csv_out_number(&bench->csv, ours->high_s);
    csv_out_number(&bench->csv, peer->median_s);
    csv_out_number(&bench->csv, peer->low_s);
    csv_out_number(&bench->csv, peer->high_s);
    csv_out_number(&bench->csv, ratio);
    csv_out_number(&bench->csv, ours->processor_s);
    csv_out_number(&bench->csv, peer->processor_s);
    csv_out_number(&bench->csv, what->goal);
    csv_out_integer(&bench->csv, ours->peak_kib);
    csv_out_integer(&bench->csv, peer->peak_kib);
    csv_out_text(&bench->csv, met ? "" : "missed");
    csv_out_end_row(&bench->csv);
    listing_cell(&bench->table, what->work);
    listing_cell(&bench->table, what->against);
    listing_cellf(&bench->table, "%.4g", ours->median_s);
    listing_cellf(&bench->table, "%.4g", peer->median_s);
    ratio_cell(bench, ratio);
    ratio_cell(bench, ours->processor_s / (peer->processor_s * what->scale));
    ratio_cell(bench, what->goal);
    listing_cellf(&bench->table, "%.0f %%", 100.0 * spread_of(ours, peer));
    listing_cellf(&bench->table, "%.1f", (double)ours->peak_kib / 1024.0);
    listing_cellf(&bench->table, "%.1f", (double)peer->peak_kib / 1024.0);
    listing_cell(&bench->table, met ? "" : "missed");
}

static void
hold_beside(struct bench *bench, const struct comparison *what, const struct side *ours,
            const struct side *peer)
{
    struct timing our_timing, peer_timing;
    size_t runs = bench->runs > 0 ? bench->runs : what->runs;

    fprintf(stderr, "%s ...\n", what->work);
    if (what->needs != NULL && !measure_has(what->needs))
        add_skipped(bench, what);
    else if (measure(ours, peer, runs, &our_timing, &peer_timing))
        add_row(bench, what, &our_timing, &peer_timing);
    else
        bench->failed = true;
}

/* --- the comparisons, in the order of docs/performance.md --------------------------------------------- */

/* The columns that "trend --csv" shows, but not what it works out (pH at the reference, its uncertainty, flags). */
#define PEER_COLUMNS                                                                                         \
    "SELECT batch.code, batch.role, batch.made_on, specimen.session, reading.taken_at, "                     \
    "CAST(julianday(substr(reading.taken_at, 1, 10)) - julianday(batch.made_on) AS INTEGER) AS age_d, "      \
    "reading.method, gear.name, reading.replicate, reading.ph, reading.ph_low, reading.ph_high, "            \
    "reading.temperature_c, specimen.stated_concentration_pct, newer.id IS NOT NULL, reading.note "          \
    "FROM batch JOIN specimen ON specimen.batch = batch.id JOIN reading ON reading.specimen = specimen.id "  \
    "JOIN gear ON gear.id = reading.gear LEFT JOIN reading AS newer ON newer.supersedes = reading.id "

static const char peer_one[] =
    PEER_COLUMNS "WHERE batch.code = 'B-00050' ORDER BY reading.taken_at, reading.id";
static const char peer_all[] = PEER_COLUMNS "ORDER BY batch.made_on, batch.id, reading.taken_at, reading.id";

static void
one_batch(struct bench *bench)
{
    struct comparison verdict = {.work = "verdict of one batch among 1,000,000 readings",
                                 .against = "sqlite3, its rows",
                                 .goal = 1.5,
                                 .scale = 1.0,
                                 .needs = "sqlite3",
                                 .runs = RUNS_SHORT};
    struct comparison trend = verdict;
    struct side peer = {
        .words = {"sqlite3", "-csv", "-readonly", bench->data.large.notebook, peer_one, NULL}};

    trend.work = "trend --csv of one batch among 1,000,000";
    trend.against = "sqlite3 -csv, same columns";
    trend.goal = 0.8;
    hold_beside(bench, &verdict,
                &(struct side){.words = {bench->program, "verdict", "B-00050", "--notebook",
                                         bench->data.large.notebook, NULL}},
                &peer);
    hold_beside(bench, &trend,
                &(struct side){.words = {bench->program, "trend", "B-00050", "--csv", "--notebook",
                                         bench->data.large.notebook, NULL}},
                &peer);
}

static void
everything(struct bench *bench)
{
    struct comparison what = {.work = "trend --csv of 1,000,000 readings",
                              .against = "sqlite3 -csv, same columns",
                              .goal = 0.8,
                              .scale = 1.0,
                              .needs = "sqlite3",
                              .runs = RUNS_USUAL};

    hold_beside(
        bench, &what,
        &(struct side){.words = {bench->program, "trend", "--all-batches", "--csv", "--notebook",
                                 bench->data.large.notebook, NULL},
                       .output = bench->data.output},
        &(struct side){.words = {"sqlite3", "-csv", "-readonly", bench->data.large.notebook, peer_all, NULL},
                       .output = bench->data.peer_output});
}

static void
import(struct bench *bench)
{
    struct comparison what = {.work = "import readings of 1,000,000 rows",
                              .against = "sqlite3 .import as text",
                              .goal = 3.0,
                              .scale = 1.0,
                              .peak_goal_mib = 64.0,
                              .needs = "sqlite3",
                              .runs = RUNS_SLOW};
    char *command = text_format(".import --csv %s raw", bench->data.large.readings);

    hold_beside(bench, &what,
                &(struct side){.words = {bench->program, "import", "readings", bench->data.large.readings,
                                         "--notebook", bench->data.scratch, NULL},
                               .copy_from = bench->data.large.before,
                               .copy_to = bench->data.scratch},
                &(struct side){.words = {"sqlite3", bench->data.peer_scratch, command, NULL},
                               .copy_to = bench->data.peer_scratch});
    free(command);
}

static void
curves(struct bench *bench)
{
    struct comparison what = {.work = "trend --model --csv, 10,000 batches of 12",
                              .against = "R nls, same groups",
                              .goal = 1.0 / 250.0,
                              .scale = 1.0,
                              .needs = "Rscript",
                              .runs = RUNS_SLOW};
    char *script = text_format("%s/curve.R", bench->scripts);

    hold_beside(
        bench, &what,
        &(struct side){.words = {bench->program, "trend", "--model", "--all-batches", "--csv", "--notebook",
                                 bench->data.cures.notebook, NULL},
                       .output = bench->data.curves},
        &(struct side){.words = {"Rscript", script, bench->data.points, bench->data.peer_curves, NULL}});
    free(script);
    if (!bench->failed && measure_has("Rscript"))
        bench->failed = !data_compare_curves(&bench->data);
}

static void
draws(struct bench *bench)
{
    struct comparison what = {.work = "recipe, 1,000,000 draws",
                              .against = "R, vectorised",
                              .goal = 0.2,
                              .scale = 1.0,
                              .needs = "Rscript",
                              .runs = RUNS_USUAL};
    char *script = text_format("%s/draws.R", bench->scripts);

    hold_beside(
        bench, &what,
        &(struct side){.words = {bench->program, "recipe", "--fat", "olive oil=500", "--fat",
                                 "coconut oil=250", "--lye", "naoh=104.5@98.5%", "--readability-g", "1",
                                 "--draws", "1000000", "--notebook", bench->data.small.notebook, NULL}},
        &(struct side){.words = {"Rscript", script, "1000000", NULL}});
    free(script);
}

static void
verify(struct bench *bench)
{
    struct comparison what = {.work = "verify of 1,000,000 readings",
                              .against = "integrity_check and b2sum",
                              .goal = 2.0,
                              .scale = 1.0,
                              .needs = "sqlite3",
                              .runs = RUNS_USUAL};
    char *command = text_format("sqlite3 -readonly '%s' 'PRAGMA integrity_check' && b2sum '%s'",
                                bench->data.large.notebook, bench->data.large.notebook);

    if (measure_has("sqlite3") && !measure_has("b2sum"))
        what.needs = "b2sum";
    hold_beside(
        bench, &what,
        &(struct side){.words = {bench->program, "verify", "--notebook", bench->data.large.notebook, NULL}},
        &(struct side){.words = {"sh", "-c", command, NULL}});
    free(command);
}

static void
answers(struct bench *bench)
{
    struct comparison what = {.work = "200 answers of a walk, each on disk",
                              .against = "200 sqlite3 inserts, full sync",
                              .goal = 1.3,
                              .scale = 1.0,
                              .needs = "sqlite3",
                              .runs = RUNS_USUAL};

    hold_beside(bench, &what,
                &(struct side){.words = {bench->answers, bench->data.scratch, "200", NULL},
                               .copy_to = bench->data.scratch},
                &(struct side){.words = {"sqlite3", bench->data.peer_scratch, NULL},
                               .input = bench->data.inserts,
                               .copy_to = bench->data.peer_scratch});
}

/* The same work on a notebook of 10,000 readings and on one of 1,000,000. */
static void
growth(struct bench *bench, const char *work, double goal, double scale, size_t runs,
       const char *const *words)
{
    struct comparison what = {
        .work = work, .against = "on 10,000 readings", .goal = goal, .scale = scale, .runs = runs};
    struct side large = {0}, small = {0};
    size_t count = 0;

    large.words[count] = small.words[count] = bench->program;
    for (count++; words[count - 1] != NULL; count++)
        large.words[count] = small.words[count] = words[count - 1];
    large.words[count] = small.words[count] = "--notebook";
    large.words[count + 1] = bench->data.large.notebook;
    small.words[count + 1] = bench->data.small.notebook;
    hold_beside(bench, &what, &large, &small);
}

/* Likewise importing both, each into a notebook that has its batches' gear and calibrations. */
static void
import_growth(struct bench *bench)
{
    struct comparison what = {.work = "import readings, a row, 100 times",
                              .against = "of 10,000 readings",
                              .goal = 1.25,
                              .scale = 100.0,
                              .peak_goal_mib = 64.0,
                              .runs = RUNS_SLOW};

    hold_beside(bench, &what,
                &(struct side){.words = {bench->program, "import", "readings", bench->data.large.readings,
                                         "--notebook", bench->data.scratch, NULL},
                               .copy_from = bench->data.large.before,
                               .copy_to = bench->data.scratch},
                &(struct side){.words = {bench->program, "import", "readings", bench->data.small.readings,
                                         "--notebook", bench->data.peer_scratch, NULL},
                               .copy_from = bench->data.small.before,
                               .copy_to = bench->data.peer_scratch});
}

static void
all_growth(struct bench *bench)
{
    growth(bench, "verdict, 100 times the readings", 1.25, 1.0, RUNS_SHORT,
           (const char *const[]){"verdict", "B-00050", NULL});
    growth(bench, "trend of one, 100 times the readings", 1.25, 1.0, RUNS_SHORT,
           (const char *const[]){"trend", "B-00050", "--csv", NULL});
    growth(bench, "trend of all, a reading, 100 times", 1.25, 100.0, RUNS_SLOW,
           (const char *const[]){"trend", "--all-batches", "--csv", NULL});
    growth(bench, "verify, a reading, 100 times", 1.25, 100.0, RUNS_SLOW,
           (const char *const[]){"verify", NULL});
    import_growth(bench);
}

static bool
finish(struct bench *bench, const char *path)
{
    struct failure failure = {0};
    enum status status = csv_out_finish(&bench->csv, path, &failure);

    if (fclose(bench->file) != 0 && status == STATUS_OK)
        status = failure_set(&failure, STATUS_SYSTEM, "cannot write '%s': %s", path, strerror(errno));
    listing_print(&bench->table, stdout, SCREEN);
    listing_clear(&bench->table);
    if (status != STATUS_OK)
        fprintf(stderr, "%s\n", failure.text);
    else
        printf("as CSV: %s\n", path);
    return status == STATUS_OK;
}

int
main(int argc, char **argv)
{
    struct bench bench = {0};
    char *path;
    int code = 1;

    if (argc != 6 && argc != 7) {
        fputs("usage: bench PROGRAM GENERATE ANSWERS SCRIPTS FOLDER [RUNS]\n", stderr);
        return 2;
    }
    bench.program = argv[1];
    bench.answers = argv[3];
    bench.scripts = argv[4];
    bench.runs = argc == 7 ? strtoul(argv[6], NULL, 10) : 0;
    bench.runs = bench.runs < MEASURE_RUNS_MOST ? bench.runs : MEASURE_RUNS_MOST;
    path = text_format("%s/benchmark.csv", argv[5]);
    if (data_make(&bench.data, argv[1], argv[2], argv[5])) {
        bench.file = fopen(path, "wb");
        if (bench.file == NULL)
            fprintf(stderr, "cannot write '%s': %s\n", path, strerror(errno));
    }
    if (bench.file != NULL) {
        start_table(&bench);
        one_batch(&bench);
        everything(&bench);
        import(&bench);
        curves(&bench);
        draws(&bench);
        verify(&bench);
        answers(&bench);
        all_growth(&bench);
        code = finish(&bench, path) && !bench.failed ? 0 : 1;
    }
    data_clear(&bench.data);
    free(path);
    return code;
}
