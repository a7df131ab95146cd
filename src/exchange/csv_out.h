/* csv_out.h - tables written as CSV (RFC 4180, but with LF line ends).
 *
 * Rules
 * (1) The separator is a comma, the decimal sign a point, unless the manner says otherwise; the encoding is UTF-8.
 * (2) A number is written in the shortest form that reads back unchanged; what was not measured (NAN,
 *     DAY_NONE, MOMENT_NONE, NULL) is an empty field, and so is an empty text.
 * (3) A text is kept byte for byte, line breaks included. It is quoted when it has to be.
 * (4) A spreadsheet takes a text that begins with = + - @, a tab or a line break for a formula. Such a
 *     text gets an apostrophe in front, and so does one that begins with an apostrophe itself. Reading takes
 *     one apostrophe away where one of these characters follows it, so every text comes back as it was.
 *     Numbers are never marked. Where an empty text must not be taken for none it is written as a single
 *     apostrophe, which no other text becomes.
 * (5) Writing goes on after a failed write; csv_out_finish() says that it failed. */
#ifndef CSV_OUT_H
#define CSV_OUT_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>

#include "clock.h"
#include "csv_manner.h"
#include "status.h"

enum { CSV_OUT_BYTES = 1024 };
struct csv_out {
    FILE *file; /* lent */
    struct csv_manner manner;
    size_t columns;            /* of the heading; every row has as many */
    size_t fields;             /* of the row so far */
    bool row_empty;            /* nothing but empty fields in the row so far */
    int error;                 /* errno of the first failed write; 0: none */
    char bytes[CSV_OUT_BYTES]; /* of the row so far, as many as are not on the stream yet */
    size_t length;
};

/* Begin a table on a stream. Until csv_out_finish() nothing else is written to it. */
void csv_out_start(struct csv_out *out, FILE *file, struct csv_manner manner);

/* The first row. Each row after it must have `count` fields too. */
void csv_out_heading(struct csv_out *out, const char *const *names, size_t count);

/* The next field of the row. */
void csv_out_text(struct csv_out *out, const char *text);
void csv_out_empty_text(struct csv_out *out); /* the single apostrophe of rule 4 */
void csv_out_number(struct csv_out *out, double number);
void csv_out_integer(struct csv_out *out, int64_t number);
void csv_out_day(struct csv_out *out, civil_day day);
void csv_out_time(struct csv_out *out, civil_time moment);

void csv_out_end_row(struct csv_out *out);

/* Whole rows that another csv_out of the same manner wrote to memory; between rows. */
void csv_out_rows(struct csv_out *out, const char *rows, size_t length);

/* Flush the stream, which stays open. `name` is what the message calls it ("trend.csv"); NULL: the output.
 * STATUS_SYSTEM when anything could not be written: "cannot write 'trend.csv': No space left on device". */
enum status csv_out_finish(struct csv_out *out, const char *name, struct failure *failure);

/* True for a character that begins a formula or is the apostrophe of rule 4. */
bool csv_marked(char first);

#endif
