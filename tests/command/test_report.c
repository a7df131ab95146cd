/* test_report.c - "report": the page of a batch and of the notebook. */
#include "check.h"
#include "file.h"
#include "journal.h"
#include "kitchen.h"
#include "notebook.h"
#include "seal.h"
#include "text.h"

/* A batch with a recipe, a calibrated meter, three readings and a paper, one reading corrected. */
static int
furnish(void **state)
{
    static const char *const lines[] = {
        "gear add bench --kind meter --resolution-ph 0.01 --accuracy-ph 0.02 --atc",
        "gear add strips --kind paper --steps 1,2,3,4,5,6,7,8,9,10,11,12,13,14",
        "gear add scale --kind balance --readability-g 0.01",
        "batch add W-06 --made 2026-03-02 --title 'plain bar' --role control",
        "batch add W-07 --made 2026-03-02 --title 'oat bar' --role variant --reference W-06 "
        "--fat 'olive oil=500' --fat 'coconut oil=250' --lye 'naoh=104.5@98.5%' --water-g 200",
        "batch add W-09 --made 2026-05-02",
        "calibrate bench --at 2026-05-01T09:30 --buffer borax@25=9.18 --buffer 'lime water@25=12.45'",
        "read W-07 --water distilled --meter bench --at 2026-05-01T10:00 --soap-g 1.00 --water-g 99 "
        "--balance scale "
        "--temperature-c 40 --ph 9.60 --ph 9.61 --ph 9.26 --paper strips --between 8..9",
        "correct 3 --ph 9.62 --why 'digits swapped'",
    };
    int failed = kitchen_open(state);

    for (size_t i = 0; failed == 0 && i < LENGTH(lines); i++)
        kitchen_do(*state, lines[i]);
    return failed;
}

/* Write a page and read it back. Given: free() it. */
static char *
report(struct kitchen *kitchen, const char *what)
{
    struct failure failure = {0};
    char *path = file_join(kitchen->folder->path, "page.html"), *html = NULL;
    char *line = text_format("report %s --output %s", what, path), *said = text_format("wrote %s\n", path);

    kitchen_do(kitchen, line);
    assert_string_equal(kitchen->out, said);
    check_ok(file_read(path, 1 << 22, &html, &failure), &failure);
    free(said);
    free(line);
    free(path);
    return html;
}

/* `first` stands before `second`. */
static void
check_order(const char *html, const char *first, const char *second)
{
    check_contains(html, first);
    check_contains(strstr(html, first), second);
}

static void
the_verdict_comes_first_with_what_it_cannot_prove(void **state)
{
    char *html = report(*state, "W-07");

    check_order(html, "<h3>Verdict</h3>", "<strong>within</strong>");
    check_order(html, "<strong>within</strong>", "limit 11");
    check_order(html, "limit 11", "What a pH cannot prove:");
    check_order(html, "What a pH cannot prove:", "<h3>Batch and recipe</h3>");
    check_contains(html, "licensed cosmetic safety assessor");
    check_contains(html, "aria-label=\"pH scale: result 9.6");
    free(html);
}

/* What the drawing of a figure's narrow form says, from its <div> to the next </div>. */
static void
check_drawn(const char *html, const char *label, const char *class, const char *const *texts, size_t count)
{
    char *begin = text_format("<div class=\"%s\" role=\"img\" aria-label=\"%s", class, label), *drawing;
    const char *from;

    check_contains(html, begin);
    from = strstr(html, begin);
    drawing = text_format("%.*s", (int)(strstr(from, "</div>") - from), from);
    for (size_t i = 0; i < count; i++)
        check_contains(drawing, texts[i]);
    free(drawing);
    free(begin);
}

static void
a_comparison_is_drawn_with_the_differences_below(void **state)
{
    static const char *const texts[] = {"difference from W-06, pH", "W-07, differences",
                                        "W-07, mean difference, 95 %", "within 0.2 pH", "days since pouring"};
    struct kitchen *kitchen = *state;
    char *html;

    kitchen_do(kitchen,
               "read W-06 --water distilled --ph 9.71 --temperature-c 40 --percent 1 --at 2026-05-01T10:30");
    kitchen_do(kitchen,
               "read W-06 --water distilled --ph 9.60 --temperature-c 40 --percent 1 --at 2026-05-20T10:00");
    kitchen_do(kitchen,
               "read W-07 --water distilled --ph 9.52 --temperature-c 40 --percent 1 --at 2026-05-20T10:30");
    html = report(kitchen, "W-07");
    check_drawn(html, "Plot of both cures and their difference: ", "wide", texts, LENGTH(texts));
    check_drawn(html, "Plot of both cures and their difference: ", "narrow", texts, LENGTH(texts));
    free(html);
}

static void
a_record_holds_all_its_parts(void **state)
{
    static const char *const parts[] = {
        "<bdi>olive oil</bdi>",
        "<h4>Lye balance</h4>",
        "98.5\302\240% pure",
        "<h3>Water and meter checks</h3>",
        "<bdi>borax</bdi>",
        "<h3>Every reading</h3>",
        "<bdi>digits swapped</bdi>",
        "<del>9.26</del>",
        "see reading 5",
        "<h3>Free alkali by titration</h3>",
        "Not titrated.",
        "<h3>What became of it</h3>",
        "<h3>Open questions</h3>",
        "1 g soap",
        "1.000\302\240% by mass",
        "8 to 9",
        "<dd><bdi>W-06</bdi></dd>",
        "written down without a step file",
    };
    char *html = report(*state, "W-07");

    for (size_t i = 0; i < LENGTH(parts); i++)
        check_contains(html, parts[i]);
    free(html);
}

static void
a_page_needs_nothing_beside_it(void **state)
{
    static const char *const outside[] = {
        "<script", "href=\"h", "href='h", "=\"file:", "https:", "<link", "<img", "src=", "url(", "@import"};
    char *html = report(*state, "W-07 W-09");

    for (size_t i = 0; i < LENGTH(outside); i++)
        check_lacks(html, outside[i]);
    check_contains(html, "<bdi>W-09</bdi>");
    free(html);
}

static void
a_page_gives_the_seal_of_the_journal(void **state)
{
    struct kitchen *kitchen = *state;
    char *html = report(kitchen, "W-07"), head[JOURNAL_HASH_SIZE], seal[SEAL_TEXT_SIZE];
    struct failure failure = {0};
    struct store *store = NULL;

    check_ok(notebook_open(kitchen->notebook, STORE_READ, &store, NULL, &failure), &failure);
    check_ok(journal_head(store, head, &failure), &failure);
    store_close(store);
    check_contains(html, seal_text(head, seal));
    free(html);
}

static void
what_was_never_tested_is_not_cleared(void **state)
{
    char *html = report(*state, "W-09");

    check_contains(html, "Not tested yet");
    check_contains(html, "The batch was never tested.");
    check_lacks(html, "<strong>within</strong>");
    check_contains(html, "What a pH cannot prove:");
    free(html);
}

static void
lye_heavy_carries_the_cautions(void **state)
{
    char *html;

    kitchen_do(*state, "read W-07 --water distilled --meter bench --at 2026-05-01T11:00 --percent 1 "
                       "--temperature-c 40 --ph 11.8 --ph 11.8");
    html = report(*state, "W-07");
    check_contains(html, "<strong>lye-heavy</strong>");
    check_contains(html, "data-verdict=\"lye-heavy\"");
    check_contains(html, "<strong>Caution:</strong> wear gloves and goggles");
    check_order(html, "Open questions", "a lower pH does not take that back");
    free(html);
}

static void
a_titration_stands_above_the_ph(void **state)
{
    /* 0.1 mol/L, 12.5 mL for 10 g: 4.000 * 12.5 * 0.1 / 10 = 0.5 % (method 6), lye-heavy. */
    static const char line[] =
        "titrate W-07 --soap-g 10 --volume-ml 12.5 --soap-g 10 --volume-ml 12.6 --acid-mol-l 0.1 "
        "--blank-ml 0 --at 2026-05-02T10:00";
    char *html;

    kitchen_do(*state, line);
    html = report(*state, "W-07");
    check_order(html, "The batch, by all that is known of it", "<strong>lye-heavy</strong>");
    check_order(html, "<strong>lye-heavy</strong>", "<strong>within</strong>");
    check_contains(html, "<strong>Caution:</strong>");
    check_contains(html, "titration found 0.50");
    check_contains(html, "0.500");
    free(html);
}

static void
an_override_is_shown_for_ever(void **state)
{
    char *html;

    kitchen_do(*state, "batch release W-07 --override --why 'for my own sink only'");
    kitchen_do(*state, "batch hold W-07 --why 'second thoughts'");
    html = report(*state, "W-07");
    check_order(html, "<strong>released</strong> by override: the rules asked for more",
                "for my own sink only");
    check_order(html, "for my own sink only", "<strong>held</strong>");
    free(html);
}

static void
a_release_that_no_test_bears_out_stands_beside_the_verdict(void **state)
{
    static const char warning[] = ", in spite of what the policy asks: gift";
    char *html;

    kitchen_do(*state, "batch release W-09 --override --why gift");
    html = report(*state, "W-09");
    check_order(html, warning, "<h3>Batch and recipe</h3>");
    free(html);
    kitchen_do(*state, "batch release W-07 --override --why gift");
    html = report(*state, "W-07");
    check_order(html, warning,
                "<h3>Batch and recipe</h3>"); /* also where the tests are within: it was an override */
    free(html);
}

static void
the_index_lists_every_batch(void **state)
{
    char *html = report(*state, "--notebook-index");

    check_order(html, "<bdi>W-06</bdi>", "<strong>not tested</strong>");
    check_order(html, "<bdi>W-07</bdi>", "<strong>within</strong>");
    check_order(html, "<bdi>W-07</bdi>", "<bdi>W-09</bdi>");
    free(html);
}

static void
wrong_command_lines_are_refused(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "report W-07", "--output FILE is needed");
    kitchen_refuses(kitchen, "report --output x.html", "expected a batch");
    kitchen_refuses(kitchen, "report W-07 --notebook-index --output x.html", "no batch is named with it");
    kitchen_refuses(kitchen, "report W-99 --output /nowhere/x.html", "W-99");
    kitchen_refuses(kitchen, "report W-07 --output /nowhere/x.html", "/nowhere/");
}

#define in_kitchen(behaviour) cmocka_unit_test_setup_teardown(behaviour, furnish, kitchen_close)
static const struct CMUnitTest tests[] = {
    in_kitchen(the_verdict_comes_first_with_what_it_cannot_prove),
    in_kitchen(a_comparison_is_drawn_with_the_differences_below),
    in_kitchen(a_record_holds_all_its_parts),
    in_kitchen(a_page_needs_nothing_beside_it),
    in_kitchen(a_page_gives_the_seal_of_the_journal),
    in_kitchen(what_was_never_tested_is_not_cleared),
    in_kitchen(lye_heavy_carries_the_cautions),
    in_kitchen(a_titration_stands_above_the_ph),
    in_kitchen(an_override_is_shown_for_ever),
    in_kitchen(a_release_that_no_test_bears_out_stands_beside_the_verdict),
    in_kitchen(the_index_lists_every_batch),
    in_kitchen(wrong_command_lines_are_refused),
};

const struct check_module test_command_report = CHECK_MODULE("command/report", tests);
