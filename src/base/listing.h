/* listing.h - a table for people: columns that line up and fit the screen.
 *
 * Rules
 * (1) Cells are shown harmlessly (text_visible()).
 * (2) When the table is wider than the screen, its flexible column is shortened with "..." (never below
 *     eight columns); the others keep their width. A wrapped one, which is the last, goes on in further lines under
 *     itself instead (never below twenty columns). */
#ifndef LISTING_H
#define LISTING_H

#include <stddef.h>
#include <stdio.h>

enum listing_align {
    LISTING_LEFT,
    LISTING_RIGHT,
    LISTING_FLEXIBLE, /* left, and may be shortened */
    LISTING_WRAPPED   /* left, in as many lines as it takes */
};

struct listing {
    struct listing_column {
        const char *heading; /* lent */
        enum listing_align align;
    } columns[16];
    size_t column_count;
    char **cells; /* owned, row after row */
    size_t cell_count, cell_capacity;
};

/* Zeroed is empty. Columns come first, then cells from left to right. */
void listing_column(struct listing *listing, const char *heading, enum listing_align align);
void listing_cell(struct listing *listing, const char *text); /* NULL is an empty cell */
void listing_cellf(struct listing *listing, const char *format, ...) __attribute__((format(printf, 2, 3)));
void listing_print(const struct listing *listing, FILE *out, size_t width);
void listing_clear(struct listing *listing);

/* A paragraph of harmless text, broken between words so that no line has more than `width` columns of it;
 * every line after the first is begun with `indent` blanks, which come on top. */
void listing_paragraph(FILE *out, size_t width, size_t indent, const char *text);

/* The same without the last line's end. */
void listing_words(FILE *out, size_t width, size_t indent, const char *text);

/* Harmless text of several lines: those that are wider than `width` are broken like paragraphs, two columns
 * further in than they begin; the others stay as they are, so that small tables survive. */
void listing_lines(FILE *out, size_t width, const char *text);

#endif
