/* page.c - a page of HTML, element by element. */
#include "page.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

static void
end_tag(struct page *page)
{
    if (page->tag_open)
        text_add(&page->html, ">");
    page->tag_open = false;
}

/* Harmless, and with the five characters that mean something in HTML written as references. */
static void
add_escaped(struct text *html, const char *text)
{
    static const char special[] = "&<>\"'";
    static const char *const references[] = {"&amp;", "&lt;", "&gt;", "&quot;", "&#39;"};
    char *visible = text_visible(text);
    const char *rest = visible;

    while (*rest != '\0') {
        size_t plain = strcspn(rest, special);

        text_add_bytes(html, rest, plain);
        rest += plain;
        if (*rest != '\0')
            text_add(html, references[strchr(special, *rest++) - special]);
    }
    free(visible);
}

/* The terminal's words say degC and +/-; a page can show the signs, and keep a unit with its number. */
static char *
with_signs(const char *text)
{
    static const struct {
        const char *word, *sign;
    } signs[] = {
        {" degC", "\302\240\302\260C"}, {"degC", "\302\260C"}, {"+/-", "\302\261"}, {" %", "\302\240%"}};
    struct text changed = {0};

    while (*text != '\0') {
        size_t i = 0;

        while (i < LENGTH(signs) && strncmp(text, signs[i].word, strlen(signs[i].word)) != 0)
            i++;
        if (i < LENGTH(signs)) {
            text_add(&changed, signs[i].sign);
            text += strlen(signs[i].word);
        } else {
            text_add_bytes(&changed, text++, 1);
        }
    }
    return text_take(&changed);
}

void
page_start(struct page *page, const char *title, const char *const *style)
{
    *page = (struct page){0};
    text_add(&page->html, "<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\">\n"
                          "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\">\n"
                          "<meta name=\"referrer\" content=\"no-referrer\">\n<title>");
    add_escaped(&page->html, title);
    text_add(&page->html, "</title>\n<style>\n");
    for (; *style != NULL; style++)
        text_add(&page->html, *style);
    text_add(&page->html, "</style>\n</head>\n<body>\n");
}

void
page_add_style_text(struct text *style, const char *typed)
{
    char *visible = text_visible(typed);

    text_add(style, "\"");
    for (const unsigned char *c = (const unsigned char *)visible; *c != '\0'; c++)
        /* By its number, so that no quote and no tag ends anything. */
        if (*c < 128 && !text_is_letter((char)*c) && !text_is_digit((char)*c))
            text_addf(style, "\\%x ", *c);
        else
            text_add_bytes(style, (const char *)c, 1);
    text_add(style, "\"");
    free(visible);
}

char *
page_finish(struct page *page)
{
    assert(page->depth == 0);
    text_add(&page->html, "</body>\n</html>\n");
    return text_take(&page->html);
}

void
page_open(struct page *page, const char *element)
{
    assert(page->depth < PAGE_DEEPEST);
    end_tag(page);
    text_add(&page->html, "<");
    text_add(&page->html, element);
    page->opened[page->depth++] = element;
    page->tag_open = true;
}

void
page_open_class(struct page *page, const char *element, const char *class_name)
{
    page_open(page, element);
    page_attribute(page, "class", class_name);
}

void
page_attribute(struct page *page, const char *name, const char *value)
{
    assert(page->tag_open);
    text_addf(&page->html, " %s=\"", name);
    add_escaped(&page->html, value);
    text_add(&page->html, "\"");
}

void
page_attribute_number(struct page *page, const char *name, double value)
{
    assert(page->tag_open);
    text_addf(&page->html, " %s=\"%.2f\"", name, value);
}

/* Elements after which a line may end without being seen. */
static bool
ends_line(const char *element)
{
    static const char *const inside[] = {"a", "b", "bdi", "code", "del", "ins", "small", "span", "strong"};

    for (size_t i = 0; i < LENGTH(inside); i++)
        if (strcmp(element, inside[i]) == 0)
            return false;
    return true;
}

void
page_close(struct page *page)
{
    const char *element;

    assert(page->depth > 0);
    end_tag(page);
    element = page->opened[--page->depth];
    text_addf(&page->html, "</%s>%s", element, ends_line(element) ? "\n" : "");
}

void
page_text(struct page *page, const char *text)
{
    char *shown = with_signs(text);

    end_tag(page);
    add_escaped(&page->html, shown);
    free(shown);
}

static void add_formatted(struct page *page, const char *format, va_list arguments)
    __attribute__((format(printf, 2, 0)));

static void
add_formatted(struct page *page, const char *format, va_list arguments)
{
    struct text text = {0};

    text_addv(&text, format, arguments);
    page_text(page, text_of(&text));
    text_clear(&text);
}

void
page_textf(struct page *page, const char *format, ...)
{
    va_list arguments;

    va_start(arguments, format);
    add_formatted(page, format, arguments);
    va_end(arguments);
}

void
page_typed(struct page *page, const char *text)
{
    if (text == NULL || *text == '\0')
        return;
    page_open(page, "bdi");
    end_tag(page);
    add_escaped(&page->html, text);
    page_close(page);
}

void
page_element(struct page *page, const char *element, const char *text)
{
    page_open(page, element);
    page_text(page, text);
    page_close(page);
}

void
page_elementf(struct page *page, const char *element, const char *format, ...)
{
    va_list arguments;

    page_open(page, element);
    va_start(arguments, format);
    add_formatted(page, format, arguments);
    va_end(arguments);
    page_close(page);
}

/* A sentence begins large. */
static void
add_large(struct page *page, const char *sentence)
{
    char *large = memory_copy(sentence);

    if (strncmp(large, "pH", 2) != 0)
        large[0] = text_upper(large[0]);
    page_text(page, large);
    free(large);
}

static void
add_next(struct page *page, const struct sentence *next)
{
    struct text command = {0};

    for (size_t i = 0; i < next->word_count; i++) {
        char *typed = text_as_typed(next->words[i]);

        text_addf(&command, "%s%s", i == 0 ? "" : " ", typed);
        free(typed);
    }
    page_open(page, "p");
    page_element(page, "strong", "Next:");
    page_textf(page, " %s%s", next->text, command.length > 0 ? ": " : "");
    if (command.length > 0) {
        page_open(page, "code");
        page_text(page, "curetrace ");
        page_typed(page, text_of(&command));
        page_close(page);
    }
    page_close(page);
    text_clear(&command);
}

static void
add_sentence(struct page *page, const struct sentence *sentence)
{
    static const char *const elements[] = {[SENTENCE_HEADING] = "h4",
                                           [SENTENCE_PLAIN] = "p",
                                           [SENTENCE_REASON] = "li",
                                           [SENTENCE_CAUTION] = "p"};

    if (sentence->kind == SENTENCE_NEXT) {
        add_next(page, sentence);
        return;
    }
    page_open(page, elements[sentence->kind]);
    if (sentence->kind == SENTENCE_CAUTION) {
        page_element(page, "strong", "Caution:");
        page_textf(page, " %s", sentence->text);
    } else {
        add_large(page, sentence->text);
    }
    page_close(page);
}

void
page_sentences(struct page *page, const struct sentence *sentences, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        bool item = sentences[i].kind == SENTENCE_REASON;

        if (item && (i == 0 || sentences[i - 1].kind != SENTENCE_REASON))
            page_open(page, "ul");
        add_sentence(page, &sentences[i]);
        if (item && (i + 1 == count || sentences[i + 1].kind != SENTENCE_REASON))
            page_close(page);
    }
}

void
page_drawing(struct page *page, const char *svg)
{
    end_tag(page);
    text_add(&page->html, svg);
}

/* -- tables -- */

void
page_table_open(struct page *page, const char *caption, const char *const *headings, size_t count)
{
    page->headings = headings;
    page->heading_count = count;
    page_open(page, "table");
    page_element(page, "caption", caption);
    page_open(page, "thead");
    page_open(page, "tr");
    for (size_t i = 0; i < count; i++) {
        page_open(page, "th");
        page_attribute(page, "scope", "col");
        page_text(page, headings[i]);
        page_close(page);
    }
    page_close(page);
    page_close(page);
    page_open(page, "tbody");
}

void
page_group(struct page *page)
{
    char *count = text_format("%zu", page->heading_count);

    page_close(page);
    page_open(page, "tbody");
    page_open_class(page, "tr", "group");
    page_open(page, "th");
    page_attribute(page, "scope", "rowgroup");
    page_attribute(page, "colspan", count);
    free(count);
}

void
page_group_close(struct page *page)
{
    page_close(page);
    page_close(page);
}

void
page_row(struct page *page, const char *class_name)
{
    page_open(page, "tr");
    if (class_name != NULL)
        page_attribute(page, "class", class_name);
    page->column = 0;
}

void
page_cell_open(struct page *page)
{
    char *label;

    assert(page->column < page->heading_count);
    page_open(page, page->column == 0 ? "th" : "td");
    if (page->column == 0)
        page_attribute(page, "scope", "row");
    label = with_signs(page->headings[page->column++]);
    page_attribute(page, "data-label", label);
    free(label);
}

void
page_cell_close(struct page *page)
{
    page_close(page);
}

void
page_cell(struct page *page, const char *text)
{
    page_cell_open(page);
    page_text(page, text);
    page_cell_close(page);
}

void
page_cellf(struct page *page, const char *format, ...)
{
    va_list arguments;

    page_cell_open(page);
    va_start(arguments, format);
    add_formatted(page, format, arguments);
    va_end(arguments);
    page_cell_close(page);
}

void
page_cell_typed(struct page *page, const char *text)
{
    page_cell_open(page);
    page_typed(page, text);
    page_cell_close(page);
}

void
page_row_close(struct page *page)
{
    assert(page->column == page->heading_count);
    page_close(page);
}

void
page_table_close(struct page *page)
{
    page_close(page);
    page_close(page);
    page->headings = NULL;
}

/* -- facts -- */

void
page_fact(struct page *page, const char *name, const char *text)
{
    page_open(page, "div");
    page_element(page, "dt", name);
    page_element(page, "dd", text);
    page_close(page);
}

void
page_factf(struct page *page, const char *name, const char *format, ...)
{
    va_list arguments;

    page_open(page, "div");
    page_element(page, "dt", name);
    page_open(page, "dd");
    va_start(arguments, format);
    add_formatted(page, format, arguments);
    va_end(arguments);
    page_close(page);
    page_close(page);
}

void
page_fact_typed(struct page *page, const char *name, const char *text)
{
    if (text == NULL || *text == '\0')
        return;
    page_open(page, "div");
    page_element(page, "dt", name);
    page_open(page, "dd");
    page_typed(page, text);
    page_close(page);
    page_close(page);
}
