/* words.c - the fixed words of a record as text and back. */
#include "words.h"

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
