/* page.h - a page of HTML, element by element.
 *
 * Rules
 * (1) Every text and attribute is made harmless (text_visible()) and escaped here; there is no other way
 *     in. The exceptions are ours: the style sheet (page_add_style_text() for words in it), and a drawing of plot_svg().
 * (2) What a person typed stands in <bdi>, so that letters that run from right to left turn nothing else.
 * (3) Attributes follow the element they belong to, before anything else is added.
 * (4) Elements close in the order they were opened; page_finish() closes nothing by itself.
 * (5) Each cell of a table carries its heading as data-label, which a narrow screen shows beside it. */
#ifndef PAGE_H
#define PAGE_H

#include <stdbool.h>
#include <stddef.h>

#include "sentence.h"
#include "text.h"

enum { PAGE_DEEPEST = 32 };

struct page {
    struct text html;                 /* owned */
    const char *opened[PAGE_DEEPEST]; /* lent for ever */
    size_t depth;
    bool tag_open;               /* its > is not written yet */
    const char *const *headings; /* of the table, lent while it is open */
    size_t heading_count, column;
};

/* Begin a page in English with this title and style sheet (ours, in pieces, the last one NULL). */
void page_start(struct page *page, const char *title, const char *const *style);

/* End it; everything opened since page_start() must be closed. Given: free() it. */
char *page_finish(struct page *page);

/* A person's words as a string of a style sheet, made harmless. */
void page_add_style_text(struct text *style, const char *typed);

/* Element names and class names are ours. */
void page_open(struct page *page, const char *element);
void page_open_class(struct page *page, const char *element, const char *class_name);
void page_attribute(struct page *page, const char *name, const char *value);
void page_attribute_number(struct page *page, const char *name, double value); /* to hundredths */
void page_close(struct page *page);

/* Words of ours, "degC" and "+/-" as the signs a page can show, and a person's words (rule 2; NULL: nothing). */
void page_text(struct page *page, const char *text);
void page_textf(struct page *page, const char *format, ...) __attribute__((format(printf, 2, 3)));
void page_typed(struct page *page, const char *text);

/* An element with words of ours in it. */
void page_element(struct page *page, const char *element, const char *text);
void page_elementf(struct page *page, const char *element, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* What is to be said: headings as h4, reasons as a list, the others as paragraphs, a command to type as code. */
void page_sentences(struct page *page, const struct sentence *sentences, size_t count);

/* A drawing of plot_svg(), as it is. */
void page_drawing(struct page *page, const char *svg);

/* A table. The headings are lent until page_table_close(); the first cell of a row names it. */
void page_table_open(struct page *page, const char *caption, const char *const *headings, size_t count);
void page_group(struct page *page); /* an open cell across the table that names the rows below it */
void page_group_close(struct page *page);
void page_row(struct page *page, const char *class_name); /* NULL: none */
void page_cell_open(struct page *page);
void page_cell_close(struct page *page);
void page_cell(struct page *page, const char *text); /* ours */
void page_cellf(struct page *page, const char *format, ...) __attribute__((format(printf, 2, 3)));
void page_cell_typed(struct page *page, const char *text);
void page_row_close(struct page *page);
void page_table_close(struct page *page);

/* One fact of a list of facts (an open <dl>): name and value. */
void page_fact(struct page *page, const char *name, const char *text);
void page_factf(struct page *page, const char *name, const char *format, ...)
    __attribute__((format(printf, 3, 4)));
void page_fact_typed(struct page *page, const char *name, const char *text); /* left out when NULL or empty */

#endif
