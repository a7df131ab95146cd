/* report_cure.c - how a batch settled, and how it compares with its reference. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "cure_text.h"
#include "memory.h"
#include "number.h"
#include "report_part.h"

/* A plot for wide screens and paper, and one for phones; only one of them is shown (report_style.c). Both say
 * the same in words. */
static void
add_plot(struct page *page, const struct report_plot *plot, const char *words)
{
    const char *const drawings[] = {plot->wide_svg, plot->narrow_svg};
    static const char *const classes[] = {"wide", "narrow"};

    if (plot->wide_svg == NULL) {
        if (plot->refused != NULL)
            page_elementf(page, "p", "No plot: %s.", plot->refused);
        return;
    }
    page_open(page, "figure");
    for (size_t i = 0; i < LENGTH(drawings); i++) {
        if (drawings[i] == NULL)
            continue;
        page_open_class(page, "div", classes[i]);
        page_attribute(page, "role", "img");
        page_attribute(page, "aria-label", words);
        page_drawing(page, drawings[i]);
        page_close(page);
    }
    page_close(page);
}

/* What the plot shows, in one sentence. */
static char *
cure_words(const struct report_batch *batch)
{
    const struct series *series = batch->series;
    const struct cure_point *first = &series->points[0], *last = &series->points[series->count - 1];
    char *code = text_visible(batch->dossier->batch.code), *words;

    if (series->count == 1)
        words = text_format("Plot of %s: one result, pH %.2f at %g days", code, first->ph, first->age_d);
    else
        words =
            text_format("Plot of %s: %zu results from pH %.2f at %g days to pH %.2f at %g days; limit pH %g",
                        code, series->count, first->ph, first->age_d, last->ph, last->age_d,
                        series->of[series->count - 1]->limit_ph);
    free(code);
    return words;
}

void
report_add_cure_plot(struct page *page, const struct report_batch *batch)
{
    char *words;

    if (batch->series->count == 0)
        return;
    words = cure_words(batch);
    add_plot(page, &batch->cure_plot, words);
    free(words);
}

static bool
is_marked(const struct report_batch *batch, const struct verdict *verdict)
{
    for (size_t i = 0; i < batch->series->count; i++)
        if (batch->series->of[i] == verdict)
            return batch->cure->marked[i];
    return false;
}

static void
add_remarks(struct page *page, uint64_t flags, bool marked)
{
    char *remarks = flag_phrases(flags);

    page_cell_open(page);
    if (marked)
        page_element(page, "strong", "recheck");
    if (marked && remarks[0] != '\0')
        page_text(page, ", ");
    page_text(page, remarks);
    page_cell_close(page);
    free(remarks);
}

/* What is amiss, and what the curve says. */
static void
add_words(struct page *page, const struct report_batch *batch)
{
    struct sentences said = {0};

    if (batch->series->count == 0)
        return;
    cure_say_remarks(batch->dossier, batch->series, batch->cure, &said);
    cure_say_model(batch->dossier, batch->series, batch->cure, &said);
    page_sentences(page, said.items, said.count);
    sentences_clear(&said);
}

static void
add_result(struct page *page, const struct report_batch *batch, const struct verdict *verdict)
{
    page_row(page, NULL);
    page_cellf(page, "%d", verdict->age_d);
    page_cell_open(page);
    report_moment(page, verdict->reading->taken_at);
    if (verdict->specimen->bar != NULL) {
        page_text(page, ", bar ");
        page_typed(page, verdict->specimen->bar);
    }
    page_cell_close(page);
    if (verdict->method == READING_PAPER)
        page_cellf(page, "%.1f to %.1f on %s", verdict->ph_low, verdict->ph_high,
                   verdict->surface_only ? "the wet bar" : "paper");
    else if (isnan(verdict->ph_at_reference))
        page_cellf(page, "%.2f as shown", verdict->ph);
    else
        page_cellf(page, "%.2f +/- %.2f", verdict->ph_at_reference,
                   (verdict->ph_high - verdict->ph_low) / 2.0);
    page_cell(page, report_verdict_text(verdict->verdict));
    add_remarks(page, verdict->flags, is_marked(batch, verdict));
    page_row_close(page);
}

void
report_add_cure(struct page *page, const struct report_batch *batch)
{
    static const char *const headings[] = {"Age, days", "Tested", "pH at 40 degC, 1 %", "Verdict", "Remarks"};
    const struct verdict_list *verdicts = batch->series->verdicts;

    page_open(page, "section");
    page_element(page, "h3", "Across the cure");
    if (verdicts->count == 0) {
        page_element(page, "p", "Nothing was tested yet.");
        page_close(page);
        return;
    }
    add_words(page, batch);
    page_table_open(page, "Results by age, with half of the 95 % interval", headings, LENGTH(headings));
    for (size_t i = 0; i < verdicts->count; i++)
        add_result(page, batch, &verdicts->verdicts[i]);
    page_table_close(page);
    page_close(page);
}

/* -- comparison -- */

static void
add_pairs(struct page *page, const struct comparison *comparison)
{
    static const char *const headings[] = {"Age, days", "Reference", "This batch", "Difference"};
    char difference[NUMBER_TEXT_SIZE];

    page_table_open(page, "Results of about the same age, pH at 40 degC and 1 %", headings, LENGTH(headings));
    for (size_t i = 0; i < comparison->pair_count; i++) {
        const struct comparison_pair *pair = &comparison->pairs[i];

        page_row(page, NULL);
        if (pair->first_age_d == pair->second_age_d)
            page_cellf(page, "%g", pair->first_age_d);
        else
            page_cellf(page, "%g and %g", pair->first_age_d, pair->second_age_d);
        page_cellf(page, "%.2f", pair->first_ph);
        page_cellf(page, "%.2f", pair->second_ph);
        page_cell(page, number_signed(pair->second_ph - pair->first_ph, 2, difference));
        page_row_close(page);
    }
    page_table_close(page);
}

/* "-0.050 pH, 95 % from -0.158 to +0.058"; given. */
static char *
mean_difference_text(const struct comparison *comparison)
{
    char mean[NUMBER_TEXT_SIZE], low[NUMBER_TEXT_SIZE], high[NUMBER_TEXT_SIZE];

    return text_format("%s pH, 95 %% from %s to %s", number_signed(comparison->mean_difference, 3, mean),
                       number_signed(comparison->low, 3, low), number_signed(comparison->high, 3, high));
}

static void
add_numbers(struct page *page, const struct comparison *comparison, const char *mean)
{
    page_open_class(page, "dl", "facts");
    page_factf(page, "Mean difference", "%s", mean);
    page_factf(page, "Is there a difference?", "p = %.2g; below 0.05 says yes", comparison->p_different);
    page_factf(page, "Is it smaller than the margin?",
               "p = %.2g for a margin of %.2g pH; below 0.05 says yes", comparison->p_equivalent,
               comparison->margin);
    if (isfinite(comparison->detectable_difference))
        page_factf(page, "What so many tests can show", "a difference of %.2f pH, four times in five",
                   comparison->detectable_difference);
    page_close(page);
}

void
report_add_comparison(struct page *page, const struct report_batch *batch)
{
    const struct comparison *comparison = batch->comparison;
    const char *answer;

    if (comparison == NULL)
        return;
    answer = comparison_answer_text(comparison->conclusion);
    page_open(page, "section");
    page_open(page, "h3");
    page_text(page, "Compared with ");
    page_typed(page, batch->dossier->batch.reference_code);
    page_close(page);
    page_open(page, "p");
    page_text(page, "The answer: ");
    page_element(page, "strong", answer);
    page_text(page, comparison->design == COMPARISON_NOTHING
                        ? ". One of them has no result that can be compared."
                        : ".");
    page_close(page);
    if (comparison->design != COMPARISON_NOTHING) {
        char *mean = mean_difference_text(comparison);
        char *words =
            text_format("Plot of both cures and their difference: %s, mean difference %s", answer, mean);

        add_plot(page, &batch->comparison_plot, words);
        add_numbers(page, comparison, mean);
        free(words);
        free(mean);
    }
    if (comparison->pair_count > 0)
        add_pairs(page, comparison);
    page_close(page);
}
