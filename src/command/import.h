/* import.h - what the kinds of "import" share: where the file is, how it is written, and what came of it.
 *
 * Rules
 * (1) The whole file goes in or nothing does.
 * (2) All problems are listed, the first twenty in words.
 * (3) What the notebook has already is skipped and counted, so that importing a file twice changes
 *     nothing. */
#ifndef IMPORT_H
#define IMPORT_H

#include "all_batches.h"
#include "command.h"
#include "csv_in.h"

/* The options that every kind takes, for its table; ends without a NULL name. */
#define IMPORT_OPTIONS                                                                                       \
    {.name = "column",                                                                                       \
     .kind = OPTION_TEXT,                                                                                    \
     .value = "NAME=HEADING",                                                                                \
     .many = true,                                                                                           \
     .help = "the file calls a column something else, as in ph=\"Meter pH\""},                               \
        {.name = "map",                                                                                      \
         .kind = OPTION_FILE,                                                                                \
         .value = "FILE",                                                                                    \
         .help = "a file of such lines, NAME=HEADING; # begins a remark"},                                   \
        {.name = "separator",                                                                                \
         .kind = OPTION_TEXT,                                                                                \
         .value = "CHARACTER",                                                                               \
         .help = "comma, semicolon or tab; found out from the headings when not said"},                      \
        {.name = "decimal", .kind = OPTION_TEXT, .value = "SIGN", .help = "point (the default) or comma"},   \
        {.name = "date-order",                                                                               \
         .kind = OPTION_TEXT,                                                                                \
         .value = "ORDER",                                                                                   \
         .help = "iso (2026-03-04, the default), dmy (4.3.2026) or mdy (3/4/2026)"},                         \
    {                                                                                                        \
        .name = "dry-run", .kind = OPTION_FLAG, .help = "check everything, change nothing"                   \
    }

/* One import as it runs. */
struct import {
    struct context *context; /* lent */
    const struct options *options;
    struct csv_layout layout;
    struct csv_rename *renames; /* owned */
    size_t rename_count, rename_capacity;
    struct text ignored; /* owned */
    size_t unended;      /* the line of a last row that no line break ends; 0: all are ended */
    struct problems problems;
    FILE *file;
    uint64_t file_bytes; /* 0: unknown, as of a pipe */
    int percent_shown;
    size_t added, skipped;      /* rows taken, rows the notebook had */
    struct batch_codes batches; /* of the batches added: their recipes may hold them */
};

/* Open the file that the command line names and read how it is written. import_close() on every way out.
 * STATUS_MISSING, STATUS_USAGE. */
enum status import_open(struct import *import, struct context *context, const struct options *options,
                        const struct csv_column *columns, size_t columns_length, struct failure *failure);

/* Read it row by row. The problems go to the error stream; the failure says how many. */
enum status import_read(struct import *import, csv_sink *sink, void *payload, struct failure *failure);

/* To be called for each row: how far it is, on a terminal. */
void import_progress(struct import *import, const struct csv_row *row);

/* "12 readings added, 3 were there already", what was left out, and whether the last row may be cut. */
void import_report(const struct import *import, const char *what);
void import_close(struct import *import);

#endif
