/* data.h - the files of the benchmark, made by the generator and the program's own commands. */
#ifndef DATA_H
#define DATA_H

#include <stdbool.h>

/* A notebook and what went into it. Paths, owned. */
struct data_set {
    char *readings; /* CSV */
    char *before;   /* the notebook with gear and calibrations, before the readings */
    char *notebook;
};

struct data {
    struct data_set small, large, cures; /* 10,000 and 1,000,000 readings; 10,000 batches of 12 */
    char *points;                        /* "trend --csv" of the cures, which R reads */
    char *curves, *peer_curves;          /* what both fit */
    char *inserts;                       /* SQL of the answers' peer */
    char *output, *peer_output;          /* tables that are written and not looked at */
    char *scratch, *peer_scratch;        /* notebooks that are made anew for each run */
};

/* Make everything in `folder`, which is made when it is not there. False, with the reason on standard error. */
bool data_make(struct data *ret_data, const char *program, const char *generate, const char *folder);

/* Hold both sides' curves together and print how many converged and how far their end values are apart: false
 * when R found more, or when any two differ by more than 1e-6. */
bool data_compare_curves(const struct data *data);
void data_clear(struct data *data);

#endif
