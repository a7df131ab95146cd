/* svg_tidy.c - what gnuplot's SVG needs before a browser shows it. */
#include "svg_tidy.h"

#include <stdbool.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

static bool
begins(const char *text, const char *beginning)
{
    return strncmp(text, beginning, strlen(beginning)) == 0;
}

static void
add_title(struct text *tidy, const char *title)
{
    char *visible = text_visible(title);

    text_add(tidy, "<title>");
    for (const char *c = visible; *c != '\0'; c++) {
        if (*c == '&')
            text_add(tidy, "&amp;");
        else if (*c == '<')
            text_add(tidy, "&lt;");
        else if (*c == '>')
            text_add(tidy, "&gt;");
        else
            text_add_bytes(tidy, c, 1);
    }
    text_add(tidy, "</title>");
    free(visible);
}

/* The place behind an element without children, such as <title>...</title>; NULL when it is another one. */
static const char *
skip_element(const char *svg, const char *opening, const char *closing)
{
    const char *end = begins(svg, opening) ? strstr(svg, closing) : NULL;

    return end == NULL ? NULL : end + strlen(closing);
}

/* Length of what stands before an id inside a tag; 0 elsewhere. */
static size_t
before_id(const char *svg)
{
    static const char *const openings[] = {" id='", " id=\"", "href='#", "href=\"#", "url(#"};

    for (size_t i = 0; i < LENGTH(openings); i++) {
        if (begins(svg, openings[i]))
            return strlen(openings[i]);
    }
    return 0;
}

/* Blanks between the name of an attribute and its value, which gnuplot writes and HTML does not want. */
static size_t
blanks_at_equals(const char *svg)
{
    size_t before = strspn(svg, " "), after;

    if (svg[before] != '=')
        return 0;
    after = strspn(svg + before + 1, " ");
    return before + after == 0 ? 0 : before + 1 + after;
}

char *
svg_tidy(const char *svg, const char *title, const char *id_prefix)
{
    struct text tidy = {0};
    bool in_tag = false, titled = false;
    char quote = '\0'; /* of the attribute's value that is being read */
    const char *root = strstr(svg, "<svg");

    if (id_prefix != NULL && root != NULL)
        svg = root; /* without the XML declaration and document type */
    while (*svg != '\0') {
        const char *behind = skip_element(svg, "<title>", "</title>");
        size_t opening;

        if (behind == NULL)
            behind = skip_element(svg, "<desc>", "</desc>");
        if (behind != NULL) {
            if (!titled && title != NULL)
                add_title(&tidy, title);
            titled = true;
            svg = behind;
            continue;
        }
        if (quote == '\0' && (*svg == '<' || *svg == '>'))
            in_tag = *svg == '<';
        if (in_tag && quote == '\0' && id_prefix != NULL && blanks_at_equals(svg) > 0) {
            svg += blanks_at_equals(svg);
            text_add(&tidy, "=");
            continue;
        }
        if (in_tag && quote == '\0' && (*svg == '\'' || *svg == '"'))
            quote = *svg;
        else if (in_tag && *svg == quote)
            quote = '\0';
        opening = id_prefix != NULL && in_tag ? before_id(svg) : 0;
        text_add_bytes(&tidy, svg, opening == 0 ? 1 : opening);
        if (opening > 0 && quote == '\0')
            quote = svg[strcspn(svg, "'\"")];
        if (opening > 0)
            text_add(&tidy, id_prefix);
        svg += opening == 0 ? 1 : opening;
    }
    return text_take(&tidy);
}
