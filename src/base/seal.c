/* seal.c - the hash of a notebook's latest entry, written so that a person can keep it elsewhere. */
#include "seal.h"

#include <assert.h>
#include <string.h>

static const char alphabet[] = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"; /* RFC 4648, table 3 */

enum { BITS = 5, RADIX = 1 << BITS, GROUP = 5, DATA = SEAL_CHARACTERS - 1, HASH_DIGITS = 64 };

unsigned
seal_check_value(const unsigned char *values, size_t count, unsigned radix)
{
    unsigned product = radix;

    for (size_t i = 0; i < count; i++) {
        unsigned sum = (product + values[i]) % radix;

        product = 2 * (sum == 0 ? radix : sum) % (radix + 1);
    }
    return (radix + 1 - product) % radix;
}

static unsigned
hex_value(char digit)
{
    static const char digits[] = "0123456789abcdef";
    const char *found = strchr(digits, digit);

    assert(digit != '\0' && found != NULL);
    return (unsigned)(found - digits);
}

static const char *
write_groups(const unsigned char values[SEAL_CHARACTERS], char text[SEAL_TEXT_SIZE])
{
    char *end = text;

    for (size_t i = 0; i < SEAL_CHARACTERS; i++) {
        if (i > 0 && i % GROUP == 0)
            *end++ = '-';
        *end++ = alphabet[values[i]];
    }
    *end = '\0';
    return text;
}

const char *
seal_text(const char *hash, char text[SEAL_TEXT_SIZE])
{
    unsigned char values[SEAL_CHARACTERS];
    unsigned bits = 0, held = 0;

    assert(strlen(hash) == HASH_DIGITS);
    for (size_t i = 0; i < DATA; held -= BITS) {
        for (; held < BITS; held += 4)
            bits = (bits << 4 | hex_value(*hash++)) & 0xffff;
        values[i++] = bits >> (held - BITS) & (RADIX - 1);
    }
    values[DATA] = (unsigned char)seal_check_value(values, DATA, RADIX);
    return write_groups(values, text);
}

/* Rule 3; RADIX for what is no character of a seal. */
static unsigned
value_of(char typed)
{
    const char *found;

    if (typed >= 'a' && typed <= 'z')
        typed = (char)(typed - 'a' + 'A');
    if (typed == '0' || typed == '1')
        typed = typed == '0' ? 'O' : 'I';
    found = strchr(alphabet, typed);
    return found == NULL || *found == '\0' ? RADIX : (unsigned)(found - alphabet);
}

enum status
seal_parse(const char *typed, char ret_text[SEAL_TEXT_SIZE], struct failure *failure)
{
    unsigned char values[SEAL_CHARACTERS];
    size_t count = 0;

    for (const char *at = typed; *at != '\0'; at++) {
        unsigned value = value_of(*at);

        if (*at == '-' || *at == ' ')
            continue;
        if (value == RADIX || count == SEAL_CHARACTERS)
            count = SEAL_CHARACTERS + 1;
        if (count > SEAL_CHARACTERS)
            break;
        values[count++] = (unsigned char)value;
    }
    if (count != SEAL_CHARACTERS)
        return failure_set(failure, STATUS_FORMAT,
                           "'%.80s' is no seal, expected six groups of five letters and digits from 2 to 7",
                           typed);
    if (seal_check_value(values, DATA, RADIX) != values[DATA])
        return failure_set(failure, STATUS_FORMAT,
                           "the seal '%.80s' has a slip in it: its last character does not fit the others",
                           typed);
    write_groups(values, ret_text);
    return STATUS_OK;
}
