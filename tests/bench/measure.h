/* measure.h - run two programs in turn and hold their times side by side. */
#ifndef MEASURE_H
#define MEASURE_H

#include <stdbool.h>
#include <stddef.h>

enum { MEASURE_RUNS_MOST = 99, MEASURE_WORDS_MOST = 48 };

/* One side of a comparison: a program, where its input and output are, and what is done before each run
 * without being timed. All lent. */
struct side {
    const char *words[MEASURE_WORDS_MOST]; /* the program and what it is told; ends with NULL */
    const char *input, *output;            /* files; NULL: /dev/null */
    const char *copy_from, *copy_to;       /* a file that is made anew; NULL: none */
};

/* Wall-clock seconds and peak memory of the runs of one side. */
struct timing {
    double seconds[MEASURE_RUNS_MOST]; /* smallest first, when measured */
    size_t count;
    long peak_kib;
    double
        processor_s; /* user and system, of all threads: the median; other work on the machine matters less */
    double processor_of[MEASURE_RUNS_MOST];
    double median_s, low_s, high_s; /* low and high: the quartiles */
};

/* Run both sides `runs` times in turn, after one of each that does not count. `peer` may be NULL.
 * Gives false, having said why on standard error, when a program cannot be run or fails. */
bool measure(const struct side *ours, const struct side *peer, size_t runs, struct timing *ret_ours,
             struct timing *ret_peer);

/* Run one side once; the same. */
bool measure_once(const struct side *side);

/* True when the program is on the PATH. */
bool measure_has(const char *program);

#endif
