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

char *
svg_tidy(const char *svg, const char *title, const char *id_prefix)
{
    struct text tidy = {0};
    bool in_tag = false, titled = false;
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
        if (*svg == '<')
            in_tag = true;
        else if (*svg == '>')
            in_tag = false;
        opening = id_prefix != NULL && in_tag ? before_id(svg) : 0;
        text_add_bytes(&tidy, svg, opening == 0 ? 1 : opening);
        if (opening > 0)
            text_add(&tidy, id_prefix);
        svg += opening == 0 ? 1 : opening;
    }
    return text_take(&tidy);
}
