/* report_summary.c - a batch on one sheet: state, verdict, curve, what speaks for it and against it, what to do.
 *
 * Rules
 * (1) It fits a sheet of A4 and of Letter, and two screens of a phone: of each list only the first few stand here, worst
 *     first, and how many more the full record has.
 * (2) What burns is said before anything else. */
#include <stdlib.h>

#include "report_part.h"
#include "standing.h"
#include "text.h"
#include "verdict_text.h"

enum { MOST_REASONS = 2, MOST_BARS = 6 };

/* -- state -- */

/* A mark of 16 by 16 units beside the word: each state has a shape of its own. */
static const char *const state_shapes[] = {
    [BATCH_IN_CURE] =
        "M8 1a7 7 0 0 0 0 14zM8 1a7 7 0 0 1 0 14v-1.5a5.5 5.5 0 0 0 0-11z",  /* a disc, half of it filled */
    [BATCH_HELD] = "M1 1h14v14h-14zM4 7v2h8v-2z",                            /* a square with a bar in it */
    [BATCH_RELEASED] = "M8 1l7 14h-14z",                                     /* a triangle that points up */
    [BATCH_DISCARDED] = "M1 3l2-2 5 5 5-5 2 2-5 5 5 5-2 2-5-5-5 5-2-2 5-5z", /* a cross */
};

void
report_add_state_mark(struct page *page, enum batch_state state)
{
    page_open_class(page, "svg", "mark");
    page_attribute(page, "viewBox", "0 0 16 16");
    page_attribute(page, "aria-hidden", "true");
    page_open(page, "path");
    page_attribute(page, "fill-rule", "evenodd");
    page_attribute(page, "d", state_shapes[state]);
    page_close(page);
    page_close(page);
}

static void
add_state(struct page *page, const struct dossier *dossier)
{
    struct sentences said = {0};

    standing_say_state(dossier, &said);
    page_open_class(page, "div", "state");
    page_attribute(page, "data-state", batch_state_word(dossier->batch.state));
    report_add_state_mark(page, dossier->batch.state);
    if (said.count > 0)
        page_sentences(page, said.items, said.count);
    else
        page_element(page, "p", "In cure: neither held nor released");
    page_close(page);
    sentences_clear(&said);
}

/* A release that the tests do not bear out is said where the verdict stands, not only in the history. */
static void
add_release(struct page *page, const struct report_batch *batch)
{
    const struct dossier *dossier = batch->dossier;
    const struct state_change *last = dossier_last_change(dossier);

    if (last == NULL || last->state != BATCH_RELEASED || batch->conclusion->verdict == VERDICT_WITHIN ||
        last->overridden) /* said above */
        return;
    page_open_class(page, "p", "warning");
    page_element(page, "strong", "Released in spite of this");
    page_text(page, ": ");
    page_typed(page, last->why);
    page_close(page);
}

/* -- verdict -- */

static void
add_burns(struct page *page, const struct conclusion *conclusion)
{
    struct sentences said = {0};

    verdict_say_caution(conclusion->verdict, &said);
    page_open_class(page, "div", "warning");
    page_open(page, "p");
    page_element(page, "strong", verdict_warning(conclusion->verdict));
    page_close(page);
    page_sentences(page, said.items, said.count);
    if (conclusion->verdict == VERDICT_LYE_HEAVY)
        page_element(page, "p",
                     "A splash on skin: rinse with running water for 15 minutes, take off what is wet; no "
                     "vinegar; call "
                     "a doctor or the poison centre. Eyes: rinse at once and call.");
    page_close(page);
    sentences_clear(&said);
}

static void
add_verdict(struct page *page, const struct conclusion *conclusion)
{
    char *text = conclusion_text(conclusion);
    struct sentences said = {0};

    page_open_class(page, "div", "verdict");
    page_attribute(page, "data-verdict", verdict_word(conclusion->verdict));
    page_open_class(page, "p", "word");
    page_element(page, "strong", report_conclusion_text(conclusion));
    page_close(page);
    if (!conclusion_holds(conclusion)) /* else it stands above */
        standing_say_meaning(conclusion, &said);
    page_sentences(page, said.items, said.count);
    page_element(page, "p", text);
    page_close(page);
    sentences_clear(&said);
    free(text);
}

/* -- bars -- */

static void
add_bars(struct page *page, const struct conclusion *conclusion)
{
    size_t shown = conclusion->bar_count < MOST_BARS ? conclusion->bar_count : MOST_BARS;

    page_open(page, "div");
    page_element(page, "dt", conclusion->bar_count == 1 ? "Bar tested" : "Bars tested");
    page_open(page, "dd");
    if (conclusion->bar_count == 0)
        page_text(page, "none");
    for (size_t i = 0; i < shown; i++) {
        const struct bar_standing *bar = &conclusion->bars[i];

        page_text(page, i == 0 ? "" : ", ");
        if (bar->bar == NULL)
            page_text(page, "without a label");
        else
            page_typed(page, bar->bar);
        page_textf(page, ": %s", report_verdict_text(bar->verdict));
    }
    if (shown < conclusion->bar_count)
        page_textf(page, " and %zu more", conclusion->bar_count - shown);
    page_close(page);
    page_close(page);
}

static void
add_facts(struct page *page, const struct report_batch *batch, civil_time now)
{
    const struct batch *record = &batch->dossier->batch;
    int age_d = clock_day_of(now) - record->made_on;
    char day[DAY_TEXT_SIZE];

    page_open_class(page, "dl", "facts brief");
    page_factf(page, "Poured", "%s, %d day%s ago", clock_day_text(record->made_on, day), age_d,
               age_d == 1 ? "" : "s");
    add_bars(page, batch->conclusion);
    page_close(page);
}

/* -- what speaks for it, against it, what is missing -- */

static void
add_list(struct page *page, const char *heading, const struct sentences *reasons, const char *none)
{
    size_t shown = reasons->count < MOST_REASONS ? reasons->count : MOST_REASONS;

    page_open(page, "section");
    page_element(page, "h3", heading);
    page_sentences(page, reasons->items, shown);
    if (reasons->count == 0)
        page_element(page, "p", none);
    else if (shown < reasons->count)
        page_elementf(page, "p", "and %zu more in the full record", reasons->count - shown);
    page_close(page);
}

static void
add_reasons(struct page *page, const struct conclusion *conclusion)
{
    page_open_class(page, "div", "beside");
    add_list(page, "What speaks against it", &conclusion->against, "Nothing on record.");
    add_list(page, "What speaks for it", &conclusion->in_favour, "Nothing yet.");
    page_close(page);
}

static void
add_next(struct page *page, const struct conclusion *conclusion)
{
    struct sentences limits = {0}, next = {0};

    sentences_add(&limits, SENTENCE_PLAIN, verdict_cannot_prove());
    standing_say_next(conclusion, &next);
    page_open_class(page, "div", "beside");
    page_open(page, "section");
    page_element(page, "h3", "What to do");
    page_sentences(page, next.items, next.count);
    if (next.count == 0)
        page_element(page, "p", "Nothing is asked for now.");
    if (conclusion->missing.count > 0)
        page_elementf(page, "p", "Missing: %s%s", conclusion->missing.items[0].text,
                      conclusion->missing.count > 1 ? "; the full record has the rest" : "");
    page_close(page);
    page_open(page, "section");
    page_element(page, "h3", "What a pH cannot prove");
    page_sentences(page, limits.items, limits.count);
    page_close(page);
    page_close(page);
    sentences_clear(&limits);
    sentences_clear(&next);
}

void
report_add_summary(struct page *page, const struct report_batch *batch, civil_time now)
{
    const struct conclusion *conclusion = batch->conclusion;
    const struct batch *record = &batch->dossier->batch;

    page_open_class(page, "section", "summary");
    page_open(page, "h2");
    page_typed(page, record->code);
    if (record->title != NULL) {
        page_text(page, " ");
        page_open_class(page, "span", "title");
        page_typed(page, record->title);
        page_close(page);
    }
    page_close(page);
    if (conclusion_holds(conclusion))
        add_burns(page, conclusion);
    add_state(page, batch->dossier);
    report_add_closing(page, &batch->dossier->closed);
    add_release(page, batch);
    add_verdict(page, conclusion);
    add_facts(page, batch, now);
    report_add_cure_plot(page, batch);
    add_reasons(page, conclusion);
    add_next(page, conclusion);
    page_close(page);
}
