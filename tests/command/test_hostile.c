/* test_hostile.c - everything a person can type, in every field: shown as text, wherever it is shown. */
#include "check.h"
#include "file.h"
#include "kitchen.h"
#include "text.h"

static const char hostile[] = "<script>alert('x')</script> \"q\" `touch ran` $(touch ran) @'=1+1\r\n\t"
                              "\033[31mred\342\200\256rtl\342\201\246 &amp; %s %n";
enum { LONG = 10000 };

/* A code of at most 40 characters. */
static const char code[] = "<b>'\"`&W-07";

static char *
make_long(void)
{
    char *text = memory_new(LONG + 1, 1);

    memset(text, 'x', LONG);
    return text;
}

#define RUN(...) run(kitchen, (const char *const[]){__VA_ARGS__, NULL})

static void
run(struct kitchen *kitchen, const char *const *words)
{
    enum status status = kitchen_run_words(kitchen, words);

    if (status == STATUS_OK)
        return;
    print_error("%s %s was refused: %s\n", words[0], words[1], kitchen->failure.text);
    fail();
}

/* A notebook with `typed` in every field that takes a free text. */
static void
fill(struct kitchen *kitchen, const char *typed)
{
    char *fat = text_format("%s", "olive oil=500"), *other = text_format("%s=1", typed);

    RUN("gear", "add", "m<i>'\"`", "--kind", "meter", "--resolution-ph", "0.01", "--note", typed);
    RUN("gear", "add", "p<i>'\"`", "--kind", "paper", "--steps", "7,8,9,10,11,12", "--note", typed);
    RUN("batch", "add", code, "--made", "2026-03-02", "--title", typed, "--note", typed, "--fat", fat,
        "--lye", "naoh=60@98.5%", "--other", other);
    RUN("calibrate", "m<i>'\"`", "--at", "2026-05-01T09:30", "--buffer", "borax@25=9.18", "--buffer",
        "lime water@25=12.45", "--note", typed);
    RUN("read", code, "--meter", "m<i>'\"`", "--ph", "9.6", "--ph", "9.7", "--paper", "p<i>'\"`", "--between",
        "8..9", "--temperature-c", "40", "--percent", "1", "--bar", typed, "--note", typed, "--at",
        "2026-05-01T10:00");
    RUN("correct", "2", "--ph", "9.65", "--why", typed);
    RUN("titrate", code, "--soap-g", "10", "--volume-ml", "0.5", "--soap-g", "10", "--volume-ml", "0.6",
        "--acid-mol-l", "0.1", "--method", typed, "--note", typed, "--at", "2026-05-02T10:00");
    RUN("batch", "hold", code, "--why", typed);
    RUN("batch", "release", code, "--override", "--why", typed);
    free(other);
    free(fat);
}

static char *
report(struct kitchen *kitchen)
{
    struct failure failure = {0};
    char *path = file_join(kitchen->folder->path, "page.html"), *html = NULL;

    RUN("report", code, "--output", path);
    check_ok(file_read(path, 1 << 24, &html, &failure), &failure);
    free(path);
    return html;
}

/* No control character but the line feed and the tab (which drawings have), no direction mark, well-formed. */
static void
check_harmless(const char *shown)
{
    assert_true(text_is_utf8(shown));
    for (const char *byte = shown; *byte != '\0'; byte++)
        if ((unsigned char)*byte < 0x20 && *byte != '\n' && *byte != '\t') {
            print_error("a control character in:\n%.200s\n", byte);
            fail();
        }
    check_lacks(shown, "\342\200\256");
    check_lacks(shown, "\342\201\246");
    check_lacks(shown, "\177");
}

static size_t
count_of(const char *text, const char *part)
{
    size_t count = 0;

    for (; (text = strstr(text, part)) != NULL; text += strlen(part))
        count++;
    return count;
}

static void
a_page_shows_it_as_text(void **state)
{
    char *html;

    fill(*state, hostile);
    html = report(*state);
    check_harmless(html);
    check_contains(html, "<svg");
    check_lacks(html, "<script");
    check_lacks(html, "<b>");
    check_lacks(html, "<i>");
    check_contains(html, "<bdi>&lt;b&gt;&#39;&quot;`&amp;W-07</bdi>");
    /* title, note, other ingredient, bar (three times), note of each reading, why of the correction, hold,
     * release, note of the titrations: none is left out */
    assert_true(count_of(html,
                         "&lt;script&gt;alert(&#39;x&#39;)&lt;/script&gt; &quot;q&quot; `touch ran` "
                         "$(touch ran) @&#39;=1+1\\r\\n\\t\\x1b[31mred\\u202ertl\\u2066 &amp;amp; %s %n") >=
                10);
    free(html);
}

static void
the_terminal_shows_it_as_text(void **state)
{
    struct kitchen *kitchen = *state;

    fill(kitchen, hostile);
    RUN("batch", "list");
    check_harmless(kitchen->out);
    RUN("batch", "show", code);
    check_harmless(kitchen->out);
    check_contains(kitchen->out, "\\r\\n\\t\\x1b[31mred");
    RUN("gear", "list");
    check_harmless(kitchen->out);
    RUN("gear", "show", "m<i>'\"`");
    check_harmless(kitchen->out);
    RUN("verdict", code);
    check_harmless(kitchen->out);
    RUN("recipe", code);
    check_harmless(kitchen->out);
    RUN("titrate", code, "--show");
    check_harmless(kitchen->out);
}

/* A spreadsheet takes a field that begins so for a formula; csv_out.h, rule 4. */
static void
a_csv_file_keeps_formulas_from_running(void **state)
{
    struct kitchen *kitchen = *state;

    RUN("batch", "add", "=1+1", "--made", "2026-03-02", "--fat", "olive oil=500", "--lye", "naoh=60@98.5%");
    RUN("recipe", "=1+1", "--csv");
    check_contains(kitchen->out, "\n'=1+1,");
}

static void
ten_thousand_characters_are_all_there(void **state)
{
    char *text = make_long(), *html;

    fill(*state, text);
    html = report(*state);
    check_contains(html, text);
    free(html);
    free(text);
}

#define in_kitchen(behaviour) cmocka_unit_test_setup_teardown(behaviour, kitchen_open, kitchen_close)
static const struct CMUnitTest tests[] = {
    in_kitchen(a_page_shows_it_as_text),
    in_kitchen(the_terminal_shows_it_as_text),
    in_kitchen(a_csv_file_keeps_formulas_from_running),
    in_kitchen(ten_thousand_characters_are_all_there),
};

const struct check_module test_command_hostile = CHECK_MODULE("command/hostile", tests);
