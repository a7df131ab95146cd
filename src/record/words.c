/* words.c - the fixed words of a record as text and back. */
#include "words.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

static enum status
unknown(const char *what, const char *text, const char *const *words, size_t count, struct failure *failure)
{
    struct text allowed = {0};

    for (size_t i = 0; i < count; i++)
        text_addf(&allowed, "%s%s", i == 0 ? "" : ", ", words[i]);
    failure_set(failure, STATUS_FORMAT, "%s '%.60s' is unknown, allowed are %s", what, text,
                text_of(&allowed));
    text_clear(&allowed);
    return STATUS_FORMAT;
}

enum status
words_find(const char *what, const char *text, const char *const *words, size_t count, size_t *ret_index,
           struct failure *failure)
{
    for (size_t i = 0; i < count; i++) {
        if (text_same(text, words[i])) {
            *ret_index = i;
            return STATUS_OK;
        }
    }
    return unknown(what, text, words, count, failure);
}

/* White space other than the plain blank, a pattern of no dots, and variation selectors, which text_visible() lets
 * through: in a name nobody could tell them from nothing or from a blank. */
static bool
holds_unseen(const char *text)
{
    static const char *const unseen[] = {
        "\302\240",     "\341\232\200", "\342\200\200", "\342\200\201", "\342\200\202", "\342\200\203",
        "\342\200\204", "\342\200\205", "\342\200\206", "\342\200\207", "\342\200\210", "\342\200\211",
        "\342\200\212", "\342\200\257", "\342\201\237", "\342\240\200", "\343\200\200", "\357\270\200",
        "\357\270\201", "\357\270\202", "\357\270\203", "\357\270\204", "\357\270\205", "\357\270\206",
        "\357\270\207", "\357\270\210", "\357\270\211", "\357\270\212", "\357\270\213", "\357\270\214",
        "\357\270\215", "\357\270\216", "\357\270\217",
    };

    for (size_t i = 0; i < LENGTH(unseen); i++)
        if (strstr(text, unseen[i]) != NULL)
            return true;
    return false;
}

enum status
words_check_name(const char *what, const char *text, size_t longest, struct failure *failure)
{
    char *visible = text_visible(text);
    bool plain = strcmp(visible, text) == 0 && !holds_unseen(text);
    size_t length = strlen(text);
    enum status status = STATUS_OK;

    if (length > longest)
        status = failure_set(failure, STATUS_RANGE, "%s '%.20s...' is longer than %zu characters", what, text,
                             longest);
    else if (*text == '-')
        status = failure_set(failure, STATUS_FORMAT, "%s '%s' begins with '-', which would read as an option",
                             what, text);
    else if (!plain || (length > 0 && (*text == ' ' || text[length - 1] == ' ')))
        status =
            failure_set(failure, STATUS_FORMAT,
                        "%s '%s' is not printable as it is: it holds a character that does not show, or a "
                        "blank at its beginning or end",
                        what, visible);
    free(visible);
    return status;
}
