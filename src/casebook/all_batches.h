/* all_batches.h - many batches loaded and worked out, on all the machine's cores.
 *
 * Rules
 * (1) One thread reads the notebook; the others judge cases and fit curves, which touch nothing but their own batch.
 *     Nothing else in the program judges in several threads.
 * (2) Batches reach the sink in the order asked for, in the thread that asked. No more than a few dozen a
 *     core are in memory at a time, unless the sink keeps them.
 * (3) A batch that cannot be read or worked out is told of in its turn, with the reason, and the others go on; where
 *     nobody wants to be told it ends it, the first one in that order. What the machine refuses always ends it. */
#ifndef ALL_BATCHES_H
#define ALL_BATCHES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdio.h>

#include "batch_case.h"

struct batches_request {
    const char *const *codes; /* lent */
    size_t count;
    bool points, judged, followed; /* what is wanted of a case; followed brings judged */
    double target_ph;
    /* Writes what is to be shown of a batch, in the thread that worked it out; NULL: nothing. */
    enum status (*write)(const struct batch_case *batch, FILE *rows, const void *data,
                         struct failure *failure);
    const void *write_data; /* given to write(), which only reads it */
    /* Told of a batch that is none for the sink, with the sink's payload (rule 3); NULL: it ends all. */
    void (*refused)(const char *code, const struct failure *why, void *payload);
    size_t cores; /* 0: what the machine has */
    void (*progress)(size_t done, size_t count,
                     void *data); /* told before each few batches and at the end; or NULL */
    void *progress_data;
};

/* What request->write() wrote of a batch; lent until the sink returns. */
struct batch_rows {
    const char *text; /* NULL: nothing was asked for */
    size_t length;
};

/* The batch is given: batch_case_free() it. */
typedef enum status (*batches_sink)(struct batch_case *batch, struct batch_rows rows, void *payload,
                                    struct failure *failure);

/* STATUS_MISSING for an unknown code, else what loading, judging, fitting (rule 3) or the sink refused. */
enum status all_batches(struct store *store, const struct batches_request *request, batches_sink sink,
                        void *payload, struct failure *failure);

/* Codes of batches. Owns them. */
struct batch_codes {
    char **codes;
    size_t count, capacity;
};

void batch_codes_add(struct batch_codes *codes, const char *code);

/* Those of the whole notebook by pour date, added. STATUS_SYSTEM. */
enum status batch_codes_all(struct store *store, struct batch_codes *codes, struct failure *failure);
void batch_codes_clear(struct batch_codes *codes);

#endif
