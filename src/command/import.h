/* import.h - what the kinds of "import" share: where the file is, how it is written, and what came of it.
 *
 * Rules
 * (1) The whole file goes in or nothing does.
 * (2) All problems are listed.
 * (3) What the notebook has already is skipped and counted, so that importing a file twice changes
 *     nothing.
 * (4) How a file is written is looked at before a row is taken (csv_look.h), as far as it is not told.
 * (5) A mapping says under which headings a file has its columns, and every option that belongs to it. It comes from a file
 *     (--map), from the notebook (--mapping) and from the command line, which outranks them; all are kept together by
 *     name (--keep-mapping), with what was found out of dates and decimals.
 * (6) Where a kind takes recipes a column may be a line of one: "fat olive oil", "lye naoh@98.5%", "water". A heading
 *     that is the name of a known fat, lye, acid or water with a unit of mass behind is taken for one untold. Where it
 *     takes buffers a column may hold what the meter showed in one: "buffer borax"; a heading that is the name of a buffer
 *     is taken for one untold. */
#ifndef IMPORT_H
#define IMPORT_H

#include "all_batches.h"
#include "batch.h"
#include "command.h"
#include "csv_look.h"

/* The options that every kind takes, for its table; ends without a NULL name. */
#define IMPORT_OPTIONS                                                                                       \
    {.name = "check",                                                                                        \
     .kind = OPTION_FLAG,                                                                                    \
     .help = "try all of it and say what would happen, change nothing"},                                     \
        {.name = "column",                                                                                   \
         .kind = OPTION_TEXT,                                                                                \
         .value = "NAME=HEADING",                                                                            \
         .many = true,                                                                                       \
         .help = "the file calls a column something else, as in ph=\"Meter pH\""},                           \
        {.name = "map",                                                                                      \
         .kind = OPTION_FILE,                                                                                \
         .value = "FILE",                                                                                    \
         .help =                                                                                             \
             "a file of such lines, NAME=HEADING, and of options as --decimal comma; # begins a remark"},    \
        {.name = "mapping",                                                                                  \
         .kind = OPTION_TEXT,                                                                                \
         .value = "NAME",                                                                                    \
         .help = "read the file by a mapping that was kept"},                                                \
        {.name = "keep-mapping",                                                                             \
         .kind = OPTION_TEXT,                                                                                \
         .value = "NAME",                                                                                    \
         .help = "keep how this file was read, by name, for the next one of its shape"},                     \
        {.name = "separator",                                                                                \
         .kind = OPTION_TEXT,                                                                                \
         .value = "CHARACTER",                                                                               \
         .help = "comma, semicolon or tab; found out from the headings when not said"},                      \
        {.name = "decimal",                                                                                  \
         .kind = OPTION_TEXT,                                                                                \
         .value = "SIGN",                                                                                    \
         .help = "point or comma; found out from all rows when not said"},                                   \
        {.name = "date-order",                                                                               \
         .kind = OPTION_TEXT,                                                                                \
         .value = "ORDER",                                                                                   \
         .help = "dmy (4.3.2026), mdy (3/4/2026) or iso (only what cannot be mistaken); found out from all " \
                 "rows when "                                                                                \
                 "not said"},                                                                                \
        {.name = "encoding",                                                                                 \
         .kind = OPTION_TEXT,                                                                                \
         .value = "NAME",                                                                                    \
         .help = "utf-8 (the default), windows-1252, macintosh or utf-16"},                                  \
    {                                                                                                        \
        .name = "dry-run", .kind = OPTION_FLAG, .help = "the same as --check"                                \
    }

/* What is imported. All lent. */
struct import_kind {
    const char *word, *what; /* "readings", as typed; as counted */
    const struct csv_column *columns;
    size_t column_count;
    const struct option_spec *options;
    enum import_extra { IMPORT_NO_MORE, IMPORT_RECIPE, IMPORT_BUFFERS } extra; /* rule 6 */
};

/* A column that rule 6 knows: a line of a recipe, or a buffer. Owns its text. */
struct import_ingredient {
    size_t column;
    enum recipe_kind kind;
    char *name;       /* with what follows an @: "naoh@98.5%"; or the buffer's */
    const char *unit; /* of the mass in the column; lent */
};

/* One import as it runs. */
struct import {
    struct context *context;        /* lent */
    const struct import_kind *kind; /* lent */
    struct options *options;        /* owned: rule 5, all together */
    char **words;                   /* that these were read from; owned */
    size_t word_count, word_capacity;
    struct csv_layout layout;
    struct csv_column
        *columns; /* owned: the kind's, then copies of those that are there several times, then recipes */
    size_t column_count, column_capacity;
    struct csv_rename *renames; /* owned */
    size_t rename_count, rename_capacity;
    struct import_ingredient *ingredients; /* owned */
    size_t ingredient_count, ingredient_capacity;
    struct csv_look look;         /* owned */
    struct text ignored, skipped; /* owned */
    size_t unended;               /* the line of a last row that no line break ends; 0: all are ended */
    struct problems problems;
    FILE *file;
    uint64_t file_bytes;
    int percent_shown;
    size_t added, skipped_rows; /* rows taken, rows the notebook had */
    struct batch_codes batches; /* of the batches added: their recipes may hold them */
};

/* Open the file that the command line names and find out how it is written. import_close() on every way out.
 * STATUS_MISSING, STATUS_USAGE, STATUS_FORMAT. */
enum status import_open(struct import *import, struct context *context, const struct options *options,
                        const struct import_kind *kind, struct failure *failure);

/* Is it only tried? */
bool import_only_checks(const struct import *import);

/* Read it row by row. The problems go to the error stream; the failure says how many. */
enum status import_read(struct import *import, csv_sink *sink, void *payload, struct failure *failure);

/* The outcome of import_read() once more, after a sink that kept rows back had its say of them. */
enum status import_outcome(struct import *import, enum status status, struct failure *failure);

/* To be called for each row: how far it is, on a terminal. */
void import_progress(struct import *import, const struct csv_row *row);

/* The columns that stand for a column of the kind: itself when the file has it, and its copies.
 * ret_columns  room for `most`. Gives how many, at most `most`. */
size_t import_columns_of(const struct import *import, size_t column, size_t *ret_columns, size_t most);

/* Add the lines of a recipe that the row's columns say (rule 6). STATUS_FORMAT, STATUS_RANGE. */
enum status import_recipe(const struct import *import, const struct csv_row *row, struct batch *batch,
                          struct failure *failure);

/* "12 readings added, 3 were there already", what was left out, and whether the last row may be cut. */
void import_report(const struct import *import);

/* All of an import in one transaction: the rows, what `finish` does after them (NULL: nothing), the report and the
 * mapping; a check is undone. `payload` is the sink's and finish's. */
enum status import_run(struct import *import, csv_sink *sink,
                       enum status (*finish)(void *payload, struct failure *failure), void *payload,
                       struct failure *failure);

/* Rule 5, in the transaction of the import. */
enum status import_keep_mapping(const struct import *import, struct failure *failure);
void import_close(struct import *import);

/* --- for import.c: import_mapping.c and import_columns.c ---- */

/* Put the options together (rule 5). STATUS_MISSING, STATUS_USAGE, STATUS_FORMAT. */
enum status import_mapping_read(struct import *import, const struct options *typed, struct failure *failure);

/* "ph=Meter pH". STATUS_USAGE. */
enum status import_columns_rename(struct import *import, const char *text, struct failure *failure);

/* The name of columns by rule 6. */
extern const char import_extra_column[];

/* What the file's headings say untold: recipe lines, and copies by number ("pH 2"). */
void import_columns_recognise(struct import *import);

#endif
