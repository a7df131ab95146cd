/* test_report.c - "report": the page of a batch and of the notebook. */
#include "check.h"
#include "file.h"
#include "flag.h"
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
        "batch hold W-07 --why 'white crystals on two bars'", /* the hold by the rule ended with the correction */
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

    check_order(html, "HELD since 2026-", "<strong>within</strong>");
    check_order(html, "<strong>within</strong>", "<h3>What speaks against it</h3>");
    check_order(html, "<h3>What to do</h3>", "limit 11");
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

    check_contains(html, "<strong>not tested</strong>");
    check_contains(html, "In cure: neither held nor released");
    check_contains(html, "Nothing was tested that counts, so nothing releases this batch.");
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

/* Who reads one line must have read that it burns. */
static void
that_it_burns_is_said_before_all_else(void **state)
{
    static const char burns[] = "<strong>Do not use the bar: it burns skin.</strong>";
    struct kitchen *kitchen = *state;

    kitchen_do(kitchen, "read W-07 --water distilled --meter bench --at 2026-05-01T11:00 --percent 1 "
                        "--temperature-c 40 --ph 11.8 --ph 11.8");
    for (int summary = 0; summary < 2; summary++) {
        char *html = report(kitchen, summary == 0 ? "W-07" : "W-07 --summary");

        check_order(html, "<h2>", burns);
        check_order(html, burns, "HELD since 2026-");
        check_order(html, burns, "rinse with running water for 15 minutes");
        check_order(html, "rinse with running water for 15 minutes", "<strong>lye-heavy</strong>");
        free(html);
    }
}

static void
a_summary_is_the_first_sheet_alone(void **state)
{
    static const char *const first[] = {"<strong>within</strong>",
                                        "HELD since 2026-",
                                        "<h3>What speaks against it</h3>",
                                        "<h3>What speaks for it</h3>",
                                        "<h3>What to do</h3>",
                                        "<h3>What a pH cannot prove</h3>",
                                        "Plot of W-07",
                                        "Bar tested"};
    static const char *const behind[] = {"<h3>Bar by bar</h3>", "<h3>Every reading</h3>",
                                         "<h3>Open questions</h3>"};
    char *summary = report(*state, "W-07 --summary"), *full = report(*state, "W-07");

    for (size_t i = 0; i < LENGTH(first); i++) {
        check_contains(summary, first[i]);
        check_order(full, first[i], behind[0]);
    }
    for (size_t i = 0; i < LENGTH(behind); i++) {
        check_lacks(summary, behind[i]);
        check_contains(full, behind[i]);
    }
    free(summary);
    free(full);
}

static void
pages_name_the_maker_once_set(void **state)
{
    struct kitchen *kitchen = *state;
    char *html = report(kitchen, "W-07 --summary");

    check_lacks(html, "class=\"maker\"");
    free(html);
    kitchen_do(kitchen, "maker");
    assert_string_equal(kitchen->out, "maker    not set\ncontact  not set\n");
    kitchen_refuses(kitchen, "maker ''", "1 to 120 characters");
    kitchen_do(kitchen, "maker 'Mill & sons' --contact 'mill lane 3'");
    kitchen_do(kitchen, "maker --contact 'mill lane 4'");
    assert_string_equal(kitchen->out, "maker    Mill & sons\ncontact  mill lane 4\n");
    html = report(kitchen, "W-07");
    check_order(html, "<h1>", "<bdi>Mill &amp; sons</bdi></strong>, <bdi>mill lane 4</bdi>");
    free(html);
}

/* Words of the files, of the schema and of the reckoning are none for a reader. */
static void
no_word_of_the_machine_is_shown(void **state)
{
    static const char *const machine[] = {"calcium-hydroxide", "draws", "seed ", "Session", "session"};
    struct kitchen *kitchen = *state;
    char *html;

    kitchen_do(kitchen, "gear add old --kind meter --resolution-ph 0.1");
    kitchen_do(kitchen,
               "read W-07 --meter old --ph 9.4 --at 2026-05-03T10:00"); /* as little as can be known */
    html = report(kitchen, "W-07");
    check_contains(html, "meter not checked in a buffer");
    check_contains(html, "lime water");
    for (size_t i = 0; i < LENGTH(machine); i++)
        check_lacks(html, machine[i]);
    for (unsigned flag = 0; flag < FLAG_COUNT; flag++) {
        char *word = flag_text(UINT64_C(1) << flag);

        if (strchr(word, '-') != NULL)
            check_lacks(html, word);
        free(word);
    }
    free(html);
}

static void
printed_sheets_carry_code_number_and_seal(void **state)
{
    struct kitchen *kitchen = *state;
    char *html;

    kitchen_do(kitchen, "batch add 'a\"</style>b' --made 2026-05-02");
    html = report(kitchen, "W-07 'a\"</style>b'");
    check_contains(html, "@page batch1 { @top-left { content: \"W\\2d 07\"; } }");
    check_contains(html, "@page batch2 { @top-left { content: \"a\\22 \\3c \\2f style\\3e b\"; } }");
    check_contains(html, "counter(page) \" of \" counter(pages)");
    check_contains(html, "@bottom-left { content: \"seal ");
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
    check_order(html, "class=\"summary\"", "<strong>lye-heavy</strong>");
    check_order(html, "<strong>lye-heavy</strong>", "<strong>within</strong>");
    check_contains(html, "<strong>Caution:</strong>");
    check_contains(html, "titration found 0.50");
    check_order(html, "<h3>Bar by bar</h3>", "What speaks against it:");
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
the_index_lists_every_batch_with_what_it_needs(void **state)
{
    static const char *const shown[] = {"<strong>not tested</strong>",
                                        "<strong>within</strong>",
                                        "9.6",
                                        "poured 2026-03-02, ",
                                        "data-state=\"held\"",
                                        "HELD",
                                        "<svg class=\"curve\" viewBox=\"0 0 120 36\" role=\"img\"",
                                        "limit 11\"",
                                        "days overdue"};
    char *html = report(*state, "--notebook-index");

    for (size_t i = 0; i < LENGTH(shown); i++)
        check_contains(html, shown[i]);
    check_contains(html, "<bdi>W-06</bdi>");
    check_contains(html, "<bdi>W-07</bdi>");
    check_contains(html, "<bdi>W-09</bdi>");
    check_lacks(html, "href=");
    free(html);
}

/* What is left of a batch matters as much as its state. */
static void
a_closed_batch_is_called_closed(void **state)
{
    struct kitchen *kitchen = *state;
    char *html;

    kitchen_do(kitchen, "batch close W-07 --reason 'thrown away' --at 2026-05-30");
    html = report(kitchen, "W-07 --summary");
    check_order(html, "HELD since", "Closed on 2026-05-30: ");
    free(html);
    html = report(kitchen, "--notebook-index");
    check_contains(html, "<small>closed: ");
    check_order(html, "<bdi>W-09</bdi>", "<bdi>W-07</bdi>"); /* nothing is asked of it any more */
    free(html);
}

/* What is due longest comes first, what asks for nothing last. */
static void
the_index_begins_with_what_needs_the_maker(void **state)
{
    struct kitchen *kitchen = *state;
    char *html;

    kitchen_do(kitchen, "batch add A-01 --made 2026-03-01");
    kitchen_do(kitchen, "batch discard A-01 --why 'dropped'");
    html = report(kitchen, "--notebook-index");
    check_order(html, "<bdi>W-06</bdi>", "<bdi>W-09</bdi>"); /* both never tested; poured two months apart */
    check_order(html, "<bdi>W-09</bdi>", "<bdi>A-01</bdi>");
    free(html);
    kitchen_do(kitchen, "batch add Z-01 --made 2026-05-20"); /* last poured, and out of the house */
    kitchen_do(kitchen, "read Z-01 --water distilled --meter bench --at 2026-05-30T11:00 --percent 1 "
                        "--temperature-c 40 --ph 11.8 --ph 11.8");
    kitchen_do(kitchen, "batch release Z-01 --override --why 'for the drain'");
    html = report(kitchen, "--notebook-index");
    check_order(html, "<bdi>Z-01</bdi>", "<bdi>W-06</bdi>");
    free(html);
}

static void
the_index_links_to_the_records_beside_it(void **state)
{
    struct kitchen *kitchen = *state;
    char *path = file_join(kitchen->folder->path, "chart.html"), *beside = NULL, *html = NULL, *line;
    struct failure failure = {0};

    kitchen_do(kitchen, "batch add '../x' --made 2026-05-02");
    line = text_format("report --notebook-index --records --output %s", path);
    kitchen_do(kitchen, line);
    check_contains(kitchen->out, "W-07.html");
    check_ok(file_read(path, 1 << 22, &html, &failure), &failure);
    check_contains(html, "<a href=\"W-07.html\"><bdi>W-07</bdi></a>");
    check_contains(html, "<a href=\"_2e._2fx.html\"><bdi>../x</bdi></a>");
    free(path);
    path = file_join(kitchen->folder->path, "_2e._2fx.html");
    check_ok(file_read(path, 1 << 22, &beside, &failure), &failure);
    check_contains(beside, "<h1>Batch record</h1>");
    free(beside);
    free(html);
    free(line);
    free(path);
}

static void
wrong_command_lines_are_refused(void **state)
{
    struct kitchen *kitchen = *state;

    kitchen_refuses(kitchen, "report W-07", "--output FILE is needed");
    kitchen_refuses(kitchen, "report --output x.html", "expected a batch");
    kitchen_refuses(kitchen, "report W-07 --notebook-index --output x.html", "no batch is named with it");
    kitchen_refuses(kitchen, "report W-07 --records --output x.html", "--records goes with --notebook-index");
    kitchen_refuses(kitchen, "report --summary --notebook-index --output x.html", "a form of single records");
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
    in_kitchen(that_it_burns_is_said_before_all_else),
    in_kitchen(a_summary_is_the_first_sheet_alone),
    in_kitchen(pages_name_the_maker_once_set),
    in_kitchen(no_word_of_the_machine_is_shown),
    in_kitchen(printed_sheets_carry_code_number_and_seal),
    in_kitchen(a_titration_stands_above_the_ph),
    in_kitchen(an_override_is_shown_for_ever),
    in_kitchen(a_release_that_no_test_bears_out_stands_beside_the_verdict),
    in_kitchen(the_index_lists_every_batch_with_what_it_needs),
    in_kitchen(a_closed_batch_is_called_closed),
    in_kitchen(the_index_begins_with_what_needs_the_maker),
    in_kitchen(the_index_links_to_the_records_beside_it),
    in_kitchen(wrong_command_lines_are_refused),
};

const struct check_module test_command_report = CHECK_MODULE("command/report", tests);
