/* test_svg_tidy.c - what gnuplot's SVG needs before a browser shows it. */
#include "svg_tidy.h"

#include "check.h"

static const char drawing[] =
    "<?xml version=\"1.0\"?>\n<svg width='8'>\n<title>Gnuplot</title>\n<desc>made</desc>\n"
    "<g id=\"plot_1\" ><title>plot_1</title><use xlink:href='#gpPt7' fill=\"url(#f)\"/>"
    "<text>a id='x href='#y &lt;</text></g>\n</svg>\n";

static void
the_title_is_the_figures_own(void **state)
{
    char *tidy = svg_tidy(drawing, "oat <bar> & \"co\"\n", NULL);

    (void)state;
    assert_string_equal(tidy, "<?xml version=\"1.0\"?>\n<svg width='8'>\n"
                              "<title>oat &lt;bar&gt; &amp; \"co\"\\n</title>\n\n"
                              "<g id=\"plot_1\" ><use xlink:href='#gpPt7' fill=\"url(#f)\"/>"
                              "<text>a id='x href='#y &lt;</text></g>\n</svg>\n");
    free(tidy);
}

static void
ids_get_their_prefix_and_texts_do_not(void **state)
{
    char *tidy = svg_tidy(drawing, NULL, "p1");

    (void)state;
    assert_string_equal(tidy, "<svg width='8'>\n\n\n"
                              "<g id=\"p1plot_1\" ><use xlink:href='#p1gpPt7' fill=\"url(#p1f)\"/>"
                              "<text>a id='x href='#y &lt;</text></g>\n</svg>\n");
    free(tidy);
}

static void
attributes_have_no_blanks_at_their_sign(void **state)
{
    char *tidy = svg_tidy(
        "<svg><g fill = 'a = b' id='x' points  =  \"1 = 2\"><text>c = d 'e = f'</text></g></svg>", NULL, "p");

    (void)state;
    assert_string_equal(tidy,
                        "<svg><g fill='a = b' id='px' points=\"1 = 2\"><text>c = d 'e = f'</text></g></svg>");
    free(tidy);
}

static void
what_does_not_end_is_kept(void **state)
{
    char *tidy = svg_tidy("<title>never <", "x", "p");

    (void)state;
    assert_string_equal(tidy, "<title>never <");
    free(tidy);
}

static const struct CMUnitTest tests[] = {
    cmocka_unit_test(the_title_is_the_figures_own),
    cmocka_unit_test(ids_get_their_prefix_and_texts_do_not),
    cmocka_unit_test(attributes_have_no_blanks_at_their_sign),
    cmocka_unit_test(what_does_not_end_is_kept),
};

const struct check_module test_exchange_svg_tidy = CHECK_MODULE("exchange/svg_tidy", tests);
