/* test_page.c - HTML, element by element. */
#include "page.h"

#include "check.h"
#include "memory.h"

static const char *const no_style[] = {NULL};

static char *
page_with_typed(const char *typed)
{
    struct page page;

    page_start(&page, "t", no_style);
    page_open(&page, "p");
    page_typed(&page, typed);
    page_close(&page);
    return page_finish(&page);
}

static void
typed_text_cannot_leave_its_place(void **state)
{
    /* The five characters and their references: HTML Living Standard, 13.1.4 and 13.2.5.5 (from memory). */
    static const struct {
        const char *typed, *shown;
    } known[] = {
        {"<script>alert(1)</script>", "<bdi>&lt;script&gt;alert(1)&lt;/script&gt;</bdi>"},
        {"\" onload=\"x", "<bdi>&quot; onload=&quot;x</bdi>"},
        {"it's", "<bdi>it&#39;s</bdi>"},
        {"a & b &lt;", "<bdi>a &amp; b &amp;lt;</bdi>"},
        {"`touch x` @'", "<bdi>`touch x` @&#39;</bdi>"},
        {"two\nlines\r\t", "<bdi>two\\nlines\\r\\t</bdi>"},
        {"\033[31mred", "<bdi>\\x1b[31mred</bdi>"},
        {"x\342\200\256y", "<bdi>x\\u202ey</bdi>"}, /* right-to-left override */
        {"x\342\201\246y", "<bdi>x\\u2066y</bdi>"}, /* left-to-right isolate */
        {"bad\xff", "<bdi>bad\\xff</bdi>"},
        {"none\357\277\277", "<bdi>none\\uffff</bdi>"}, /* no character: a parse error in HTML */
        {"caf\303\251 \327\251", "<bdi>caf\303\251 \327\251</bdi>"},
        {"", "<p></p>"},
        {NULL, "<p></p>"},
    };

    (void)state;
    for (size_t i = 0; i < LENGTH(known); i++) {
        char *html = page_with_typed(known[i].typed);

        check_contains(html, known[i].shown);
        assert_null(strstr(html, "<script"));
        free(html);
    }
}

static void
attributes_and_titles_are_escaped_too(void **state)
{
    struct page page;
    char *html;

    (void)state;
    page_start(&page, "</title><script>", no_style);
    page_open(&page, "p");
    page_attribute(&page, "title", "\"><script>'\n");
    page_close(&page);
    html = page_finish(&page);
    check_contains(html, "<title>&lt;/title&gt;&lt;script&gt;</title>");
    check_contains(html, "<p title=\"&quot;&gt;&lt;script&gt;&#39;\\n\"></p>");
    free(html);
}

static void
a_page_says_its_language_and_its_characters(void **state)
{
    char *html = page_with_typed("x");

    (void)state;
    assert_ptr_equal(strstr(html, "<!DOCTYPE html>\n<html lang=\"en\">"), html);
    check_contains(html, "<meta charset=\"utf-8\">");
    check_contains(html, "</body>\n</html>\n");
    free(html);
}

static void
our_words_get_their_signs(void **state)
{
    struct page page;
    char *html;

    (void)state;
    page_start(&page, "t", no_style);
    page_element(&page, "p", "9.57 +/- 0.05 at 40 degC and 1.00 %");
    html = page_finish(&page);
    check_contains(html, "<p>9.57 \302\261 0.05 at 40\302\240\302\260C and 1.00\302\240%</p>");
    free(html);
}

static void
sentences_become_paragraphs_and_lists(void **state)
{
    struct sentences said = {0};
    struct page page;
    char *html;

    (void)state;
    sentences_add(&said, SENTENCE_PLAIN, "read as pH 9.5");
    sentences_add(&said, SENTENCE_REASON, "one <b>");
    sentences_add(&said, SENTENCE_REASON, "two");
    sentences_add(&said, SENTENCE_CAUTION, "wear gloves");
    sentences_next(&said, (const char *const[]){"titrate", "oat & bar", NULL}, "wait, and titrate");
    sentences_add(&said, SENTENCE_PLAIN, "pH stays");
    sentences_add(&said, SENTENCE_REASON, "last");
    page_start(&page, "t", no_style);
    page_sentences(&page, said.items, said.count);
    sentences_clear(&said);
    html = page_finish(&page);
    check_contains(html, "<p>Read as pH 9.5</p>\n<ul><li>One &lt;b&gt;</li>\n<li>Two</li>\n</ul>\n"
                         "<p><strong>Caution:</strong> wear gloves</p>\n"
                         "<p><strong>Next:</strong> wait, and titrate: <code>curetrace <bdi>titrate "
                         "&#39;oat &amp; bar&#39;</bdi></code></p>");
    check_contains(html, "<p>pH stays</p>\n<ul><li>Last</li>\n</ul>");
    free(html);
}

static void
cells_name_their_row_and_carry_their_heading(void **state)
{
    static const char *const headings[] = {"Batch", "Age, \"d\""};
    struct page page;
    char *html;

    (void)state;
    page_start(&page, "t", no_style);
    page_table_open(&page, "A <table>", headings, LENGTH(headings));
    page_row(&page, NULL);
    page_cell_typed(&page, "W-07");
    page_cellf(&page, "%d", 3);
    page_row_close(&page);
    page_group(&page);
    page_text(&page, "group");
    page_group_close(&page);
    page_table_close(&page);
    html = page_finish(&page);
    check_contains(html, "<caption>A &lt;table&gt;</caption>");
    check_contains(html, "<th scope=\"col\">Batch</th>");
    check_contains(html, "<th scope=\"row\" data-label=\"Batch\"><bdi>W-07</bdi></th>");
    check_contains(html, "<td data-label=\"Age, &quot;d&quot;\">3</td>");
    check_contains(html, "<th scope=\"rowgroup\" colspan=\"2\">group</th>");
    free(html);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(typed_text_cannot_leave_its_place),
    cmocka_unit_test(attributes_and_titles_are_escaped_too),
    cmocka_unit_test(a_page_says_its_language_and_its_characters),
    cmocka_unit_test(our_words_get_their_signs),
    cmocka_unit_test(sentences_become_paragraphs_and_lists),
    cmocka_unit_test(cells_name_their_row_and_carry_their_heading),
};

const struct check_module test_exchange_page = CHECK_MODULE("exchange/page", tests);
