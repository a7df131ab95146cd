/* listing.c - a table for people. */
#include "listing.h"

#include <assert.h>
#include <stdarg.h>
#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

enum { GAP = 2, NARROWEST = 8, NARROWEST_WRAPPED = 20 };

void
listing_column(struct listing *listing, const char *heading, enum listing_align align)
{
    assert(listing->column_count < LENGTH(listing->columns));
    listing->columns[listing->column_count++] = (struct listing_column){heading, align};
}

static void
add_cell(struct listing *listing, char *cell)
{
    listing->cells =
        memory_room(listing->cells, listing->cell_count, &listing->cell_capacity, sizeof *listing->cells);
    listing->cells[listing->cell_count++] = cell;
}

void
listing_cell(struct listing *listing, const char *text)
{
    add_cell(listing, text_visible(text));
}

void
listing_cellf(struct listing *listing, const char *format, ...)
{
    char piece[256];
    va_list arguments;

    va_start(arguments, format);
    vsnprintf(piece, sizeof piece, format, arguments);
    va_end(arguments);
    listing_cell(listing, piece);
}

static size_t
widest(const struct listing *listing, size_t column)
{
    size_t width = text_width(listing->columns[column].heading);

    for (size_t i = column; i < listing->cell_count; i += listing->column_count) {
        size_t cell = text_width(listing->cells[i]);

        width = cell > width ? cell : width;
    }
    return width;
}

/* Rule 2. */
static void
measure(const struct listing *listing, size_t width, size_t widths[])
{
    size_t total = 0;

    for (size_t i = 0; i < listing->column_count; i++) {
        widths[i] = widest(listing, i);
        total += widths[i] + (i == 0 ? 0 : GAP);
    }
    for (size_t i = 0; i < listing->column_count && total > width; i++) {
        enum listing_align align = listing->columns[i].align;
        size_t least = align == LISTING_WRAPPED ? NARROWEST_WRAPPED : NARROWEST, spare;

        if (align < LISTING_FLEXIBLE || widths[i] <= least)
            continue;
        spare = widths[i] - least;
        spare = spare < total - width ? spare : total - width;
        widths[i] -= spare;
        total -= spare;
    }
}

static void
add_blanks(struct text *line, size_t count)
{
    while (count-- > 0)
        text_add_bytes(line, " ", 1);
}

static void
add_cell_text(struct text *line, const char *text, size_t width, enum listing_align align)
{
    size_t taken = text_width(text);

    if (taken > width) {
        text_add_bytes(line, text, text_fit(text, width - 3));
        text_add(line, "..."); /* a wide character may leave one column over */
        return;
    }
    if (align == LISTING_RIGHT)
        add_blanks(line, width - taken);
    text_add(line, text);
    if (align != LISTING_RIGHT)
        add_blanks(line, width - taken);
}

/* `first` and `width` are the columns of the first line and of the others, the indent not counted. */
static void
print_words(FILE *out, size_t first, size_t width, size_t indent, const char *text)
{
    char *visible = text_visible(text), *rest = visible, *word;
    size_t used = 0, allowed = first;

    while ((word = strsep(&rest, " ")) != NULL) {
        size_t columns = text_width(word);

        if (*word == '\0')
            continue;
        if (used > 0 && used + 1 + columns > allowed) {
            fprintf(out, "\n%*s", (int)indent, "");
            used = 0;
            allowed = width;
        } else if (used > 0) {
            fputc(' ', out);
            used++;
        }
        fputs(word, out);
        used += columns;
    }
    free(visible);
}

/* A finished row without the blanks at its end. */
static void
print_row(FILE *out, struct text *line)
{
    while (line->length > 0 && line->data[line->length - 1] == ' ')
        line->length--;
    fprintf(out, "%.*s\n", (int)line->length, text_of(line));
    line->length = 0;
}

void
listing_print(const struct listing *listing, FILE *out, size_t width)
{
    size_t widths[LENGTH(listing->columns)];
    struct text line = {0};

    measure(listing, width, widths);
    for (size_t i = 0; i < listing->column_count + listing->cell_count; i++) {
        size_t column = i % listing->column_count;
        const char *text = i < listing->column_count ? listing->columns[i].heading
                                                     : listing->cells[i - listing->column_count];

        if (column > 0)
            add_blanks(&line, GAP);
        if (listing->columns[column].align == LISTING_WRAPPED && text_width(text) > widths[column]) {
            size_t indent = text_width(text_of(&line));

            fputs(text_of(&line), out);
            listing_paragraph(out, widths[column], indent, text);
            line.length = 0;
            continue;
        }
        add_cell_text(&line, text, widths[column], listing->columns[column].align);
        if (column + 1 == listing->column_count)
            print_row(out, &line);
    }
    text_clear(&line);
}

void
listing_clear(struct listing *listing)
{
    for (size_t i = 0; i < listing->cell_count; i++)
        free(listing->cells[i]);
    free(listing->cells);
    *listing = (struct listing){0};
}

void
listing_words(FILE *out, size_t width, size_t indent, const char *text)
{
    print_words(out, width, width, indent, text);
}

void
listing_paragraph(FILE *out, size_t width, size_t indent, const char *text)
{
    listing_words(out, width, indent, text);
    fputc('\n', out);
}

void
listing_lines(FILE *out, size_t width, const char *text)
{
    char *copy = memory_copy(text), *rest = copy, *line;

    while ((line = strsep(&rest, "\n")) != NULL) {
        size_t indent = strspn(line, " ");

        if (rest == NULL && *line == '\0')
            break; /* behind the last line end */
        if (text_width(line) <= width) {
            char *visible = text_visible(line);

            fprintf(out, "%s\n", visible);
            free(visible);
        } else {
            fprintf(out, "%*s", (int)indent, "");
            print_words(out, width - indent, width > indent + 2 ? width - indent - 2 : 1, indent + 2,
                        line + indent);
            fputc('\n', out);
        }
    }
    free(copy);
}
