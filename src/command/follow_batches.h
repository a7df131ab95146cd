/* follow_batches.h - batches loaded from the notebook and worked out, on all the machine's cores.
 *
 * Rules
 * (1) One thread reads the notebook; the others value readings and fit curves, which touch nothing but
 *     their own batch.
 * (2) Batches reach the sink in the order asked for, in the thread that asked. No more than a few dozen a
 *     core are in memory at a time, unless the sink keeps them.
 * (3) The first failure, in that order, ends it. */
#ifndef FOLLOW_BATCHES_H
#define FOLLOW_BATCHES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "command.h"
#include "cure.h"
#include "evidence.h"
#include "series.h"

/* One batch, worked out. Owns all of it. */
struct followed {
    struct evidence evidence;     /* its dossier; reference and biases when asked for */
    struct verdict_point *points; /* of the readings, when asked for; else NULL */
    struct series series;         /* lends the dossier: a followed batch stays where it is in memory */
    struct cure cure;
    char *rows; /* what request->write() wrote, when asked for; else NULL */
    size_t rows_length;
};
void followed_free(struct followed *followed);

struct follow_request {
    const char *const *codes; /* lent */
    size_t count;
    bool points, series; /* what is wanted; series brings the cure */
    bool verdicts;       /* they count: bring the reference batch and how the papers read (evidence.h) */
    double target_ph;
    /* Writes what is to be shown of a batch, in the thread that worked it out; NULL: nothing. */
    enum status (*write)(const struct followed *followed, const void *data, FILE *rows,
                         struct failure *failure);
    const void *write_data; /* lent; several threads read it at once */
    size_t cores;           /* 0: what the machine has */
    FILE *progress;         /* NULL: no progress line */
};

/* The batch is given: followed_free() it. */
typedef enum status (*followed_sink)(struct followed *followed, void *payload, struct failure *failure);

/* STATUS_MISSING for an unknown code, else what loading, valuing, fitting or the sink refused. */
enum status follow_batches(struct store *store, const struct follow_request *request, followed_sink sink,
                           void *payload, struct failure *failure);

/* Codes of batches to be followed. Owns them. */
struct batch_codes {
    char **codes;
    size_t count, capacity;
};

/* The codes named on a command line, or with --all-batches those of the whole notebook by pour date.
 *
 * ret_codes  owned by the caller: batch_codes_clear()
 *
 * STATUS_MISSING for one that is not there, STATUS_USAGE for one named twice, for none, and for both kinds. */
enum status batch_codes_named(struct context *context, const struct options *options,
                              struct batch_codes *ret_codes, struct failure *failure);
void batch_codes_clear(struct batch_codes *codes);

#endif
