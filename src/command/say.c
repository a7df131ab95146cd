/* say.c - sentences on the terminal. */
#include "say.h"

#include <stdlib.h>

#include "listing.h"
#include "text.h"

#define LABEL "next: "
enum { INDENT = sizeof LABEL - 1 };

/* `before` and the text, `indent` columns in. */
static void
print(const struct context *context, int indent, const char *before, const char *text)
{
    char *line = text_format("%*s%s%s\n", indent, "", before, text);

    listing_lines(context->out, context->width, line);
    free(line);
}

static void
print_next(const struct context *context, const struct sentence *next)
{
    bool told = *next->text != '\0', typed = next->word_count > 0;
    char *text = text_format("%s%s", next->text, told && typed ? ":" : "");

    fputs(LABEL, context->out);
    if (told)
        listing_paragraph(context->out, context->width - INDENT, INDENT, text);
    if (typed) {
        fprintf(context->out, "%*s", told ? INDENT : 0, "");
        context_command(context, (const char *const *)next->words, next->word_count);
    }
    free(text);
}

void
say(const struct context *context, const struct sentences *list)
{
    int indent = 0;

    for (size_t i = 0; i < list->count; i++) {
        const struct sentence *sentence = &list->items[i];

        switch (sentence->kind) {
        case SENTENCE_HEADING:
            print(context, 0, "", sentence->text);
            indent = 2;
            break;
        case SENTENCE_PLAIN:
            print(context, indent, "", sentence->text);
            break;
        case SENTENCE_REASON:
            print(context, indent, "- ", sentence->text);
            break;
        case SENTENCE_CAUTION:
            print(context, 0, "Caution: ", sentence->text);
            break;
        case SENTENCE_NEXT:
            print_next(context, sentence);
            break;
        }
    }
}

void
say_refused(struct context *context, const char *code, const struct failure *why)
{
    char *visible = text_visible(code), *reason = text_visible(why->text);

    fprintf(context->err, "curetrace: batch %s cannot be told: %s\n", visible, reason);
    context->exit_code = status_exit_code(why->status);
    free(reason);
    free(visible);
}
