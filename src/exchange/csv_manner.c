/* csv_manner.c - how a CSV file is written. */
#include "csv_manner.h"

#include "memory.h"
#include "text.h"

struct sign {
    const char *word, *sign;
};
static const struct sign separators[] = {{"comma", ","}, {"semicolon", ";"}, {"tab", "\t"}};
static const struct sign decimals[] = {{"point", "."}, {"comma", ","}};

/* NULL for an unknown one; the failure names the words. */
static const struct sign *
find(const char *text, const struct sign *signs, size_t count, struct failure *failure)
{
    struct text allowed = {0};

    for (size_t i = 0; i < count; i++) {
        if (text_same(signs[i].word, text) || text_same(signs[i].sign, text)) {
            text_clear(&allowed);
            return &signs[i];
        }
        text_addf(&allowed, "%s%s", i == 0 ? "" : ", ", signs[i].word);
    }
    failure_set(failure, STATUS_USAGE, "'%.40s' is unknown, allowed are %s", text, text_of(&allowed));
    text_clear(&allowed);
    return NULL;
}

enum status
csv_manner_separator(const char *text, char *ret_separator, struct failure *failure)
{
    const struct sign *found = find(text, separators, LENGTH(separators), failure);

    if (found == NULL)
        return failure_at(failure, "--separator: ");
    *ret_separator = found->sign[0];
    return STATUS_OK;
}

enum status
csv_manner_decimal(const char *text, enum number_decimal *ret_decimal, struct failure *failure)
{
    const struct sign *found = find(text, decimals, LENGTH(decimals), failure);

    if (found == NULL)
        return failure_at(failure, "--decimal: ");
    *ret_decimal = found->sign[0] == ',' ? NUMBER_COMMA : NUMBER_POINT;
    return STATUS_OK;
}

enum status
csv_manner_of(const char *separator, const char *decimal, struct csv_manner *ret_manner,
              struct failure *failure)
{
    struct csv_manner manner = {0};
    enum number_decimal sign = NUMBER_POINT;

    if (decimal != NULL && csv_manner_decimal(decimal, &sign, failure) != STATUS_OK)
        return failure->status;
    manner.decimal_comma = sign == NUMBER_COMMA;
    manner.separator = manner.decimal_comma ? ';' : ',';
    if (separator != NULL && csv_manner_separator(separator, &manner.separator, failure) != STATUS_OK)
        return failure->status;
    if (manner.decimal_comma && manner.separator == ',')
        return failure_set(failure, STATUS_USAGE,
                           "a decimal comma and a comma between the columns do not go together");
    *ret_manner = manner;
    return STATUS_OK;
}
