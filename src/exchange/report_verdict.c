/* report_verdict.c - the verdict of a report: each bar, what a pH cannot prove, the cautions. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "report_part.h"
#include "standing.h"
#include "verdict_text.h"

/* The scale is a drawing of this many units; CSS gives it the room there is. */
static const double scale_width = 340.0, scale_margin = 12.0, axis_y = 44.0;

struct scale {
    struct page *page;
    double low_ph, high_ph;
};

static double
scale_x(const struct scale *scale, double ph)
{
    return scale_margin +
           (scale_width - 2.0 * scale_margin) * (ph - scale->low_ph) / (scale->high_ph - scale->low_ph);
}

static void
add_rect(const struct scale *scale, const char *class_name, double low_ph, double high_ph, double y,
         double height)
{
    page_open_class(scale->page, "rect", class_name);
    page_attribute_number(scale->page, "x", scale_x(scale, low_ph));
    page_attribute_number(scale->page, "y", y);
    page_attribute_number(scale->page, "width", scale_x(scale, high_ph) - scale_x(scale, low_ph));
    page_attribute_number(scale->page, "height", height);
    page_close(scale->page);
}

static void
add_upright(const struct scale *scale, const char *class_name, double ph, double y_low, double y_high)
{
    page_open_class(scale->page, "line", class_name);
    page_attribute_number(scale->page, "x1", scale_x(scale, ph));
    page_attribute_number(scale->page, "x2", scale_x(scale, ph));
    page_attribute_number(scale->page, "y1", y_low);
    page_attribute_number(scale->page, "y2", y_high);
    page_close(scale->page);
}

static void
add_label(const struct scale *scale, double ph, double y, const char *name, int decimals)
{
    double x = scale_x(scale, ph);

    page_open(scale->page, "text");
    page_attribute_number(scale->page, "x", x);
    page_attribute_number(scale->page, "y", y);
    page_attribute(scale->page, "text-anchor",
                   x < 40.0                 ? "start"
                   : x > scale_width - 50.0 ? "end"
                                            : "middle");
    page_textf(scale->page, "%s%.*f", name, decimals, ph);
    page_close(scale->page);
}

/* What the drawing shows, for who cannot see it. */
static void
add_scale_words(struct page *page, const struct verdict *verdict)
{
    char *words;

    if (isnan(verdict->ph_at_reference))
        words = text_format("pH scale: read between %.1f and %.1f; limit %.1f", verdict->ph_low,
                            verdict->ph_high, verdict->limit_ph);
    else
        words = text_format("pH scale: result %.2f, 95 %% interval %.2f to %.2f; limit %.1f",
                            verdict->ph_at_reference, verdict->ph_low, verdict->ph_high, verdict->limit_ph);
    page_attribute(page, "role", "img");
    page_attribute(page, "aria-label", words);
    free(words);
}

/* With limit, usual range and result, named by what it shows. */
static void
add_scale(struct page *page, const struct verdict *verdict)
{
    struct scale scale = {page, 7.0, 13.0};

    if (isnan(verdict->ph_low) || isnan(verdict->ph_high))
        return;
    scale.low_ph = fmin(scale.low_ph, floor(verdict->ph_low));
    scale.high_ph = fmax(scale.high_ph, ceil(verdict->ph_high));
    page_open_class(page, "svg", "scale");
    page_attribute(page, "viewBox", "0 0 340 66");
    add_scale_words(page, verdict);
    add_rect(&scale, "usual", USUAL_LOW_PH, 10.5, axis_y - 11.0, 11.0);
    add_rect(&scale, "axis", scale.low_ph, scale.high_ph, axis_y, 1.0);
    for (double ph = scale.low_ph; ph <= scale.high_ph; ph += 1.0) {
        add_upright(&scale, "tick", ph, axis_y, axis_y + 4.0);
        add_label(&scale, ph, axis_y + 17.0, "", 0);
    }
    add_upright(&scale, "limit", verdict->limit_ph, 14.0, axis_y + 4.0);
    add_label(&scale, verdict->limit_ph, 11.0, "limit ", 1);
    add_rect(&scale, "interval", verdict->ph_low, verdict->ph_high, axis_y - 8.0, 5.0);
    if (!isnan(verdict->ph_at_reference)) {
        add_upright(&scale, "result", verdict->ph_at_reference, axis_y - 13.0, axis_y + 2.0);
        add_label(&scale, verdict->ph_at_reference, axis_y - 16.0, "pH ", 2);
    }
    page_close(page);
}

static void
add_bar(struct page *page, const struct verdict *verdict)
{
    struct sentences said = {0};

    page_open_class(page, "div", "verdict");
    page_attribute(page, "data-verdict", verdict_word(verdict->verdict));
    page_open(page, "h4");
    if (verdict->specimen->bar != NULL) {
        page_text(page, "Bar ");
        page_typed(page, verdict->specimen->bar);
        page_text(page, ", ");
    }
    page_textf(page, "%d day%s old, tested ", verdict->age_d, verdict->age_d == 1 ? "" : "s");
    report_moment(page, verdict->reading->taken_at);
    page_close(page);
    page_open_class(page, "p", "word");
    page_element(page, "strong", report_verdict_text(verdict->verdict));
    page_close(page);
    page_element(page, "p", report_verdict_meaning(verdict->verdict));
    add_scale(page, verdict);
    verdict_say_bar(verdict, &said);
    page_sentences(page, said.items + 1, said.count - 1); /* its heading stands above in another form */
    sentences_clear(&said);
    page_close(page);
}

static void
add_closing(struct page *page, const struct report_batch *batch)
{
    const struct conclusion *conclusion = batch->conclusion;
    struct sentences said = {0};

    page_open_class(page, "div", "closing");
    verdict_say_closing(&conclusion->ph, conclusion->verdict, &said);
    standing_say_next(conclusion, &said);
    page_sentences(page, said.items, said.count);
    sentences_clear(&said);
    page_element(
        page, "p",
        "The limit is common practice and judgement: no standard calls a bar lye-heavy by its pH. The "
        "shaded part of the scale, 8.5 to 10.5, is what sound bars usually read (common practice).");
    page_close(page);
}

void
report_add_verdict(struct page *page, const struct report_batch *batch)
{
    const struct conclusion *conclusion = batch->conclusion;
    struct sentences said = {0};

    page_open(page, "section");
    page_element(page, "h3", "Bar by bar");
    standing_say_reasons(conclusion, &said); /* all that the first sheet left out */
    page_sentences(page, said.items, said.count);
    sentences_clear(&said);
    if (conclusion->ph.count == 0)
        page_element(page, "p", "There is no reading that counts.");
    for (size_t i = 0; i < conclusion->ph.count; i++)
        add_bar(page, &conclusion->ph.verdicts[i]);
    add_closing(page, batch);
    page_close(page);
}
