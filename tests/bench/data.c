/* data.c - the files of the benchmark. */
#include "data.h"

#include <errno.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include "measure.h"
#include "text.h"

enum { ANSWERS = 200 };

static char *
in_folder(const char *folder, const char *name, const char *ending)
{
    return text_format("%s/%s%s", folder, name, ending);
}

/* A line of the generator's commands as words; texts between quotation marks are one. Cuts the line. */
static void
split(char *line, struct side *side)
{
    size_t count = 1;

    line[strcspn(line, "\n")] = '\0';
    while (*line != '\0' && count < MEASURE_WORDS_MOST - 3) {
        char *to = line;
        bool quoted = false;

        side->words[count++] = line;
        for (; *line != '\0' && (quoted || *line != ' '); line++) {
            if (*line == '"')
                quoted = !quoted;
            else
                *to++ = *line;
        }
        line += *line == ' ' ? 1 : 0;
        *to = '\0';
    }
    side->words[count] = NULL;
}

static bool
run_commands(const char *program, const char *commands, const char *notebook)
{
    FILE *file = fopen(commands, "r");
    char line[1000];
    bool done = file != NULL;

    while (done && fgets(line, sizeof line, file) != NULL) {
        struct side side = {.words = {program}};
        size_t count = 0;

        split(line, &side);
        while (side.words[count] != NULL)
            count++;
        side.words[count] = "--notebook";
        side.words[count + 1] = notebook;
        done = measure_once(&side);
    }
    if (file != NULL)
        fclose(file);
    return done;
}

static bool
make_set(struct data_set *set, const char *program, const char *generate, const char *folder,
         const char *name, const char *batches, const char *readings)
{
    char *commands = in_folder(folder, name, ".commands");
    bool done;

    fprintf(stderr, "making the %s notebook ...\n", name);
    set->readings = in_folder(folder, name, ".csv");
    set->before = in_folder(folder, name, ".before.sqlite");
    set->notebook = in_folder(folder, name, ".sqlite");
    unlink(set->before);
    done = measure_once(
               &(struct side){.words = {generate, "readings", batches, readings}, .output = set->readings}) &&
           measure_once(&(struct side){.words = {generate, "commands", batches}, .output = commands}) &&
           run_commands(program, commands, set->before) &&
           measure_once(&(struct side){
               .words = {program, "import", "readings", set->readings, "--notebook", set->notebook},
               .copy_from = set->before,
               .copy_to = set->notebook});
    free(commands);
    return done;
}

/* The simplest durable answer: one row, committed on its own. */
static bool
write_inserts(const char *path)
{
    FILE *file = fopen(path, "w");

    if (file == NULL) {
        fprintf(stderr, "cannot write '%s': %s\n", path, strerror(errno));
        return false;
    }
    fputs("PRAGMA synchronous = FULL;\n"
          "CREATE TABLE answer (id INTEGER PRIMARY KEY, specimen INTEGER, step TEXT, value REAL, at TEXT);\n",
          file);
    for (int i = 1; i <= ANSWERS; i++)
        fprintf(file,
                "INSERT INTO answer (specimen, step, value, at) VALUES (1, 'bar.ph', 9.87, "
                "'2014-05-13T%02d:%02d');\n",
                i / 60, i % 60);
    return fclose(file) == 0;
}

bool
data_make(struct data *ret_data, const char *program, const char *generate, const char *folder)
{
    struct data *data = ret_data;

    *data = (struct data){.points = in_folder(folder, "points", ".csv"),
                          .curves = in_folder(folder, "curves", ".csv"),
                          .peer_curves = in_folder(folder, "curves-r", ".csv"),
                          .inserts = in_folder(folder, "inserts", ".sql"),
                          .output = in_folder(folder, "trend", ".csv"),
                          .peer_output = in_folder(folder, "trend-peer", ".csv"),
                          .scratch = in_folder(folder, "scratch", ".sqlite"),
                          .peer_scratch = in_folder(folder, "scratch-peer", ".sqlite")};
    if (mkdir(folder, 0700) != 0 && errno != EEXIST) {
        fprintf(stderr, "cannot make '%s': %s\n", folder, strerror(errno));
        return false;
    }
    return make_set(&data->small, program, generate, folder, "small", "100", "100") &&
           make_set(&data->large, program, generate, folder, "large", "10000", "100") &&
           make_set(&data->cures, program, generate, folder, "cures", "10000", "12") &&
           measure_once(&(struct side){
               .words = {program, "trend", "--all-batches", "--csv", "--notebook", data->cures.notebook},
               .output = data->points}) &&
           write_inserts(data->inserts);
}

/* The field of a line, from 0; empty when there is none. The benchmark's own names need no quotes. */
static const char *
field(const char *line, int number)
{
    for (; number > 0 && line != NULL; number--) {
        line = strchr(line, ',');
        line = line == NULL ? NULL : line + 1;
    }
    return line == NULL ? "" : line;
}

static double
number_or_nan(const char *text)
{
    char *end;
    double number = strtod(text, &end);

    return end == text ? (double)NAN : number;
}

bool
data_compare_curves(const struct data *data)
{
    enum { OUR_END = 4, PEER_END = 1 }; /* columns: p_end, and end of curve.R */
    FILE *ours = fopen(data->curves, "r"), *peer = fopen(data->peer_curves, "r");
    char our_line[1000], peer_line[1000];
    size_t our_count = 0, peer_count = 0, apart = 0, batches = 0;
    double farthest = 0.0;
    bool done = ours != NULL && peer != NULL && fgets(our_line, sizeof our_line, ours) != NULL &&
                fgets(peer_line, sizeof peer_line, peer) != NULL;

    /* Both are in the order of the batches' codes, which is that of their pour dates. */
    while (done && fgets(our_line, sizeof our_line, ours) != NULL &&
           fgets(peer_line, sizeof peer_line, peer) != NULL) {
        double our_end = number_or_nan(field(our_line, OUR_END));
        double peer_end = number_or_nan(field(peer_line, PEER_END));

        done = strcspn(our_line, ",") == strcspn(peer_line, ",") &&
               strncmp(our_line, peer_line, strcspn(our_line, ",")) == 0;
        batches++;
        our_count += isfinite(our_end) ? 1 : 0;
        peer_count += isfinite(peer_end) ? 1 : 0;
        if (!isfinite(our_end) || !isfinite(peer_end))
            continue;
        farthest = fmax(farthest, fabs(our_end - peer_end));
        apart += fabs(our_end - peer_end) > 1e-6 ? 1 : 0;
    }
    if (ours != NULL)
        fclose(ours);
    if (peer != NULL)
        fclose(peer);
    printf("curves of %zu batches: %zu found, R %zu; end values at most %.2g apart, %zu of them more than "
           "1e-6\n",
           batches, our_count, peer_count, farthest, apart);
    return done && batches > 0 && our_count >= peer_count && apart == 0;
}

static void
clear_set(struct data_set *set)
{
    free(set->readings);
    free(set->before);
    free(set->notebook);
}

void
data_clear(struct data *data)
{
    clear_set(&data->small);
    clear_set(&data->large);
    clear_set(&data->cures);
    free(data->points);
    free(data->curves);
    free(data->peer_curves);
    free(data->inserts);
    free(data->output);
    free(data->peer_output);
    free(data->scratch);
    free(data->peer_scratch);
}
