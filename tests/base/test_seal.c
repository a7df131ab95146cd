/* test_seal.c - a seal on paper: what it stands for, and the slips it finds. */
#include "check.h"
#include "seal.h"

static const char hash[] = "666f6f626172a0b1c2d3e4f5061728394a5b6c7d8e9fa0b1c2d3e4f506172839";

/* RFC 4648, section 10: BASE32("foobar") = "MZXW6YTBOI======". Its last character ends in two bits of padding, 00; here
 * the two come from the next byte, 0xa0: 10 for I (01000) gives K (01010). */
static void
it_is_the_base_32_of_the_hash(void **state)
{
    char text[SEAL_TEXT_SIZE];

    (void)state;
    seal_text(hash, text);
    assert_int_equal(strlen(text), SEAL_TEXT_SIZE - 1);
    text[11] = '\0';
    assert_string_equal(text, "MZXW6-YTBOK");
}

/* MOD 11,10: the example number of the German tax office, 86 095 742 719. MOD 37,36: the example of the Global Release
 * Identifier standard, A12425GABC1234002M. Both from memory. */
static void
the_check_is_that_of_iso_7064(void **state)
{
    static const char digits[] = "0123456789ABCDEFGHIJKLMNOPQRSTUVWXYZ";
    static const struct {
        const char *text;
        char check;
        unsigned radix;
    } known[] = {{"8609574271", '9', 10}, {"A12425GABC1234002", 'M', 36}};

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        unsigned char values[32];
        size_t count = strlen(known[i].text);

        for (size_t k = 0; k < count; k++)
            values[k] = (unsigned char)(strchr(digits, known[i].text[k]) - digits);
        assert_int_equal(digits[seal_check_value(values, count, known[i].radix)], known[i].check);
    }
}

static void
it_is_read_in_any_case_with_or_without_groups(void **state)
{
    struct failure failure = {0};
    char text[SEAL_TEXT_SIZE], bare[SEAL_TEXT_SIZE] = "", low[SEAL_TEXT_SIZE + 8] = "", read[SEAL_TEXT_SIZE];

    (void)state;
    seal_text(hash, text);
    for (size_t i = 0, bares = 0; text[i] != '\0'; i++) {
        if (text[i] != '-')
            bare[bares++] = text[i];
        low[i] = text[i] == '-' ? ' ' : text[i] >= 'A' ? (char)(text[i] - 'A' + 'a') : text[i];
        if (low[i] == 'o' || low[i] == 'i')
            low[i] = low[i] == 'o' ? '0' : '1';
    }
    assert_int_equal(strlen(bare), SEAL_CHARACTERS);
    check_ok(seal_parse(text, read, &failure), &failure);
    assert_string_equal(read, text);
    check_ok(seal_parse(bare, read, &failure), &failure);
    assert_string_equal(read, text);
    check_ok(seal_parse(low, read, &failure), &failure);
    assert_string_equal(read, text);
}

/* Every character in every place; and every pair of neighbours that changed places, all but a few. */
static void
slips_are_found(void **state)
{
    struct failure failure = {0};
    char text[SEAL_TEXT_SIZE], slip[SEAL_TEXT_SIZE], read[SEAL_TEXT_SIZE] = "as it was";
    size_t swaps = 0, swaps_missed = 0;

    (void)state;
    seal_text(hash, text);
    for (size_t i = 0; text[i] != '\0'; i++) {
        for (const char *other = "ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"; *other != '\0'; other++) {
            if (text[i] == '-' || text[i] == *other)
                continue;
            memcpy(slip, text, sizeof slip);
            slip[i] = *other;
            check_refused(seal_parse(slip, read, &failure), STATUS_FORMAT, &failure);
            check_contains(failure.text, "has a slip in it");
        }
        if (i > 0 && text[i] != '-' && text[i - 1] != '-' && text[i] != text[i - 1]) {
            memcpy(slip, text, sizeof slip);
            slip[i] = text[i - 1];
            slip[i - 1] = text[i];
            swaps++;
            swaps_missed += seal_parse(slip, read, &failure) == STATUS_OK ? 1 : 0;
        }
    }
    assert_true(swaps >= 20);
    assert_int_equal(swaps_missed, 0);
    assert_string_equal(read, "as it was");
}

static void
what_is_no_seal_is_refused(void **state)
{
    static const char *const none[] = {"",
                                       "-",
                                       "AAAAA",
                                       "AAAAA-AAAAA-AAAAA-AAAAA-AAAAA-AAAAA-A",
                                       "nonsense!",
                                       "AAAAA-AAAAA-AAAAA-AAAAA-AAAAA-AAAA9",
                                       "AAAAA-AAAAA-AAAAA-AAAAA-AAAAA-AAAA\xc3\xa4"};
    struct failure failure = {0};
    char read[SEAL_TEXT_SIZE];

    (void)state;
    for (size_t i = 0; i < LENGTH(none); i++) {
        check_refused(seal_parse(none[i], read, &failure), STATUS_FORMAT, &failure);
        check_contains(failure.text, "is no seal, expected six groups of five");
    }
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(it_is_the_base_32_of_the_hash),
    cmocka_unit_test(the_check_is_that_of_iso_7064),
    cmocka_unit_test(it_is_read_in_any_case_with_or_without_groups),
    cmocka_unit_test(slips_are_found),
    cmocka_unit_test(what_is_no_seal_is_refused),
};

const struct check_module test_base_seal = CHECK_MODULE("base/seal", tests);
