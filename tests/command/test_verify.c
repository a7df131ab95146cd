/* test_verify.c - "verify" in a maker's words. */
#include "check.h"
#include "kitchen.h"
#include "text.h"

/* The word behind a label of the last output. Given: free() it. */
static char *
word_after(const struct kitchen *kitchen, const char *label)
{
    const char *found = strstr(kitchen->out, label);

    assert_non_null(found);
    found += strlen(label);
    return text_format("%.*s", (int)strcspn(found, " \n"), found);
}

static void
a_whole_notebook_gives_its_seal_and_says_what_that_proves(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --fat 'olive oil=500'");
    kitchen_do(kitchen, "verify");
    check_contains(kitchen->out, "checked: 2 rows of 22 tables against 2 entries of the journal");
    check_contains(kitchen->out,
                   "Nothing in it contradicts its journal. Only a seal kept elsewhere shows that it\n"
                   "was not rebuilt, or cut at its end.\n");
    check_lacks(kitchen->out, "as it was written");
}

/* On paper, over the telephone, out of an e-mail; and the hash as before. */
static void
a_seal_that_was_kept_is_found_however_it_is_written(void **state)
{
    struct kitchen *kitchen = *state;
    char *seal, *hash, *ways[5], low[64] = "", bare[64] = "";

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --fat 'olive oil=500'");
    kitchen_do(kitchen, "verify");
    seal = word_after(kitchen, "\nseal   ");
    hash = word_after(kitchen, "\nhash   ");
    assert_int_equal(strlen(seal), 35);
    assert_int_equal(strlen(hash), 64);
    for (size_t i = 0, bares = 0; seal[i] != '\0'; i++) {
        low[i] = seal[i] == '-' ? ' ' : (char)(seal[i] | 0x20);
        if (seal[i] != '-')
            bare[bares++] = seal[i];
    }
    ways[0] = text_format("verify --seal %s", seal);
    ways[1] = text_format("verify --seal '%s'", low);
    ways[2] = text_format("verify --seal %s", bare);
    ways[3] = text_format("verify --head %s", hash);
    ways[4] = text_format("verify --head %.16s", hash);
    kitchen_do(kitchen, "batch add W-02 --made 2026-03-03");
    for (size_t i = 0; i < LENGTH(ways); i++) {
        kitchen_do(kitchen, ways[i]);
        check_contains(kitchen->out, "the seal given is in the journal; entries after it: 1\n");
        check_contains(kitchen->out, "nothing up to that seal was changed");
        free(ways[i]);
    }
    free(seal);
    free(hash);
}

static void
a_seal_that_is_not_there_is_refused(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02");
    kitchen_run(kitchen, "verify --head 0123456789abcdef0123456789abcdef");
    assert_int_equal(kitchen->exit_code, 1);
    check_contains(kitchen->failure.text, "is not in the journal: the notebook was rolled back or rebuilt");
    kitchen_run(kitchen, "verify --seal MZXW6-YTBOK-ZLMFB-AYKBQ-PHBUK-ZLB6K"); /* no notebook's */
    assert_int_equal(kitchen->exit_code, 2);
    check_contains(kitchen->failure.text, "--seal: the seal 'MZXW6-");
    check_contains(kitchen->failure.text, "has a slip in it");
    kitchen_refuses(kitchen, "verify --head nonsense", "--head: 'nonsense' is no hash of the journal");
    assert_int_equal(kitchen->exit_code, 2);
    kitchen_refuses(kitchen, "verify --seal nonsense",
                    "--seal: 'nonsense' is no seal, expected six groups of five");
    assert_int_equal(kitchen->exit_code, 2);
    kitchen_refuses(kitchen, "verify --seal a --head b", "give one of them");
}

static void
damage_is_named_and_fails(void **state)
{
    struct kitchen *kitchen = *state;
    FILE *file;
    char bytes[65536], *title = NULL;
    size_t length;

    kitchen_do(kitchen, "batch add W-01 --made 2026-03-02 --title 'a plain bar of soap'");
    file = fopen(kitchen->notebook, "r+b");
    assert_non_null(file);
    while (title == NULL && (length = fread(bytes, 1, sizeof bytes, file)) > 0) {
        title = memmem(bytes, length, "a plain bar of soap2026", 23); /* the row, not its journal entry */
        if (title != NULL)
            fseek(file, -(long)length + (title - bytes), SEEK_CUR);
    }
    assert_non_null(title);
    fputc('A', file);
    fclose(file);
    kitchen_run(kitchen, "verify");
    assert_int_equal(kitchen->exit_code, 1);
    check_contains(kitchen->out, "row 1 of table batch is not as it was written");
    check_contains(kitchen->failure.text, "the notebook is not as it was written (1 found): entry 1 of 20");
}

#define KITCHEN_TEST(name) cmocka_unit_test_setup_teardown(name, kitchen_open, kitchen_close)

static const struct CMUnitTest tests[] = {
    KITCHEN_TEST(a_whole_notebook_gives_its_seal_and_says_what_that_proves),
    KITCHEN_TEST(a_seal_that_was_kept_is_found_however_it_is_written),
    KITCHEN_TEST(a_seal_that_is_not_there_is_refused),
    KITCHEN_TEST(damage_is_named_and_fails),
};

const struct check_module test_command_verify = CHECK_MODULE("command/verify", tests);
