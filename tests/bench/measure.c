/* measure.c - run two programs in turn and hold their times side by side. */
#include "measure.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/wait.h>
#include <time.h>
#include <unistd.h>

#include "text.h"

static bool
copy_file(const char *from, const char *to)
{
    char bytes[65536], *journal = text_format("%s-journal", to);
    FILE *in = fopen(from, "rb"), *out = fopen(to, "wb");
    size_t length;
    bool done = in != NULL && out != NULL;

    while (done && (length = fread(bytes, 1, sizeof bytes, in)) > 0)
        done = fwrite(bytes, 1, length, out) == length;
    if (in != NULL)
        fclose(in);
    if (out != NULL) {
        done = fflush(out) == 0 && fsync(fileno(out)) == 0 && done; /* writing it back is not to be timed */
        fclose(out);
    }
    if (!done)
        fprintf(stderr, "cannot copy '%s' to '%s'\n", from, to);
    unlink(journal);
    free(journal);
    return done;
}

static void
redirect(const char *path, int flags, int to)
{
    int file = open(path == NULL ? "/dev/null" : path, flags, 0600);

    if (file < 0 || dup2(file, to) < 0) {
        fprintf(stderr, "cannot open '%s': %s\n", path, strerror(errno));
        _exit(126);
    }
    close(file);
}

static void
become(const struct side *side)
{
    char *words[MEASURE_WORDS_MOST];
    size_t count = 0;

    for (; side->words[count] != NULL; count++)
        words[count] = strdup(side->words[count]); /* execvp() takes them without const */
    words[count] = NULL;
    redirect(side->input, O_RDONLY, STDIN_FILENO);
    redirect(side->output, O_WRONLY | O_CREAT | O_TRUNC, STDOUT_FILENO);
    execvp(words[0], words);
    fprintf(stderr, "cannot run '%s': %s\n", words[0], strerror(errno));
    _exit(127);
}

static double
now_s(void)
{
    struct timespec now;

    clock_gettime(CLOCK_MONOTONIC, &now);
    return (double)now.tv_sec + 1e-9 * (double)now.tv_nsec;
}

static double
of_timeval(struct timeval time)
{
    return (double)time.tv_sec + 1e-6 * (double)time.tv_usec;
}

static bool
run(const struct side *side, double *ret_seconds, double *ret_processor_s, long *ret_peak_kib)
{
    struct rusage usage;
    double begin_s;
    int state = 0;
    pid_t child;

    if (side->copy_to != NULL && side->copy_from == NULL)
        unlink(side->copy_to);
    else if (side->copy_to != NULL && !copy_file(side->copy_from, side->copy_to))
        return false;
    begin_s = now_s();
    child = fork();
    if (child == 0)
        become(side);
    if (child < 0 || wait4(child, &state, 0, &usage) != child || !WIFEXITED(state) ||
        WEXITSTATUS(state) != 0) {
        fprintf(stderr, "'%s %s' failed\n", side->words[0], side->words[1] == NULL ? "" : side->words[1]);
        return false;
    }
    *ret_seconds = now_s() - begin_s;
    *ret_processor_s = of_timeval(usage.ru_utime) + of_timeval(usage.ru_stime);
    *ret_peak_kib = usage.ru_maxrss;
    return true;
}

static int
compare(const void *a, const void *b)
{
    double x = *(const double *)a, y = *(const double *)b;

    return (x > y) - (x < y);
}

/* Linear between neighbours. */
static double
quantile(const double *sorted, size_t count, double part)
{
    double at = part * (double)(count - 1);
    size_t below = (size_t)at;
    double above = below + 1 < count ? sorted[below + 1] : sorted[below];

    return sorted[below] + (at - (double)below) * (above - sorted[below]);
}

static void
sum_up(struct timing *timing)
{
    qsort(timing->seconds, timing->count, sizeof *timing->seconds, compare);
    qsort(timing->processor_of, timing->count, sizeof *timing->processor_of, compare);
    timing->low_s = quantile(timing->seconds, timing->count, 0.25);
    timing->median_s = quantile(timing->seconds, timing->count, 0.5);
    timing->high_s = quantile(timing->seconds, timing->count, 0.75);
    timing->processor_s = quantile(timing->processor_of, timing->count, 0.5);
}

/* Run number 0 warms up: files come into memory, and it does not count. */
static bool
add_run(const struct side *side, size_t number, struct timing *timing)
{
    double seconds, processor_s;
    long peak_kib;

    if (!run(side, &seconds, &processor_s, &peak_kib))
        return false;
    if (number > 0) {
        timing->processor_of[timing->count] = processor_s;
        timing->seconds[timing->count++] = seconds;
    }
    timing->peak_kib = peak_kib > timing->peak_kib ? peak_kib : timing->peak_kib;
    return true;
}

bool
measure(const struct side *ours, const struct side *peer, size_t runs, struct timing *ret_ours,
        struct timing *ret_peer)
{
    *ret_ours = *ret_peer = (struct timing){0};
    for (size_t i = 0; i <= runs; i++)
        if (!add_run(ours, i, ret_ours) || (peer != NULL && !add_run(peer, i, ret_peer)))
            return false;
    sum_up(ret_ours);
    if (peer != NULL)
        sum_up(ret_peer);
    return true;
}

bool
measure_once(const struct side *side)
{
    double seconds, processor_s;
    long peak_kib;

    return run(side, &seconds, &processor_s, &peak_kib);
}

bool
measure_has(const char *program)
{
    const char *path = getenv("PATH");
    bool found = false;

    while (path != NULL && *path != '\0' && !found) {
        size_t length = strcspn(path, ":");
        char *file = text_format("%.*s/%s", (int)length, path, program);

        found = access(file, X_OK) == 0;
        free(file);
        path += length + (path[length] == ':' ? 1 : 0);
    }
    return found;
}
