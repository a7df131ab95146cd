/* report_history.c - what became of a batch, and what is still open about it. */
#include <stdlib.h>

#include "memory.h"
#include "report_part.h"

static void
add_change(struct page *page, const struct state_change *change)
{
    page_row(page, NULL);
    page_cell_open(page);
    report_moment(page, state_change_since(change));
    if (clock_day_of(state_change_since(change)) != clock_day_of(change->at)) {
        page_text(page, ", kept on ");
        report_moment(page, change->at);
    }
    page_cell_close(page);
    page_cell_open(page);
    page_element(page, "strong", batch_state_word(change->state));
    if (change->overridden)
        page_text(page, " by override: the rules asked for more");
    page_cell_close(page);
    page_cell(page, change->automatic ? "the program's rule" : "the maker");
    page_cell_typed(page, change->why);
    page_cell_typed(page, change->evidence);
    page_row_close(page);
}

void
report_add_closing(struct page *page, const struct batch_close *closed)
{
    char day[DAY_TEXT_SIZE];

    if (closed->end == BATCH_NOT_CLOSED)
        return;
    page_open(page, "p");
    page_textf(page, "Closed on %s: %s%s", clock_day_text(closed->closed_on, day),
               batch_end_text(closed->end), closed->why == NULL ? "." : ". ");
    if (closed->why != NULL)
        page_typed(page, closed->why);
    page_close(page);
}

static void
add_put_right(struct page *page, const struct dossier *dossier)
{
    static const char *const headings[] = {"When", "Put right", "Why"};

    if (dossier->correction_count == 0)
        return;
    page_table_open(page, "What was put right", headings, LENGTH(headings));
    for (size_t i = 0; i < dossier->correction_count; i++) {
        const struct correction *correction = &dossier->corrections[i];
        char *what = correction_text(correction);

        page_row(page, NULL);
        page_cell_open(page);
        report_moment(page, correction->at);
        page_cell_close(page);
        page_cell_typed(page, what);
        page_cell_typed(page, correction->why);
        page_row_close(page);
        free(what);
    }
    page_table_close(page);
}

void
report_add_history(struct page *page, const struct report_batch *batch)
{
    static const char *const headings[] = {"When", "State", "By", "Why", "Resting on"};
    const struct dossier *dossier = batch->dossier;

    page_open(page, "section");
    page_element(page, "h3", "What became of it");
    if (dossier->state_change_count == 0) {
        page_element(page, "p", "In cure since it was poured; it was never held, released or discarded.");
    } else {
        page_table_open(page, "States of the batch since it was poured in cure", headings, LENGTH(headings));
        for (size_t i = 0; i < dossier->state_change_count; i++)
            add_change(page, &dossier->state_changes[i]);
        page_table_close(page);
    }
    report_add_closing(page, &dossier->closed);
    add_put_right(page, dossier);
    page_close(page);
}

/* -- open questions -- */

/* The list is opened by the first question. */
static void
question(struct page *page, size_t *count)
{
    if ((*count)++ == 0)
        page_open(page, "ul");
    page_open(page, "li");
}

static void
ask_about_sessions(struct page *page, const struct dossier *dossier, size_t *count)
{
    for (size_t i = 0; i < dossier->session_count; i++) {
        const struct session *session = &dossier->sessions[i];

        if (session->left_open == NULL)
            continue;
        question(page, count);
        page_textf(page, "Sitting %lld left open: ", (long long)session->id);
        page_typed(page, session->left_open);
        page_close(page);
    }
}

static void
ask_about_answers(struct page *page, const struct dossier *dossier, size_t *count)
{
    for (size_t i = 0; i < dossier->answer_count; i++) {
        const struct answer *answer = &dossier->answers[i];

        if (answer->superseded_by != 0 || answer->deviation == NULL || answer->why != NULL)
            continue;
        question(page, count);
        page_textf(page, "Sitting %lld, step ", (long long)answer->session_id);
        report_step(page, answer->step);
        page_text(page, ": ");
        page_typed(page, answer->deviation);
        page_text(page, ", without an explanation");
        page_close(page);
    }
}

static void
ask_about_plans(struct page *page, const struct dossier *dossier, size_t *count)
{
    char day[DAY_TEXT_SIZE];

    for (size_t i = 0; i < dossier->plan_entry_count; i++) {
        const struct plan_entry *entry = &dossier->plan_entries[i];

        if (entry->dropped)
            continue;
        question(page, count);
        page_textf(page, "Planned for %s: ", clock_day_text(entry->due_on, day));
        page_typed(page, entry->what);
        if (entry->why != NULL) {
            page_text(page, ", ");
            page_typed(page, entry->why);
        }
        page_close(page);
    }
}

static void
ask_about_reasons(struct page *page, const struct sentences *reasons, size_t *count)
{
    for (size_t i = 0; i < reasons->count; i++) {
        question(page, count);
        page_text(page, reasons->items[i].text);
        page_close(page);
    }
}

void
report_add_questions(struct page *page, const struct report_batch *batch)
{
    const struct dossier *dossier = batch->dossier;
    const struct conclusion *conclusion = batch->conclusion;
    size_t count = 0;

    page_open(page, "section");
    page_element(page, "h3", "Open questions");
    if (conclusion->basis == CONCLUSION_NOTHING) {
        question(page, &count);
        page_text(page, "The batch was never tested.");
        page_close(page);
    }
    ask_about_reasons(page, &conclusion->against, &count);
    ask_about_reasons(page, &conclusion->missing, &count);
    ask_about_sessions(page, dossier, &count);
    ask_about_answers(page, dossier, &count);
    ask_about_plans(page, dossier, &count);
    if (dossier->titration_count == 0) {
        question(page, &count);
        page_text(page, "Free alkali was not titrated, and pH alone cannot show that it is low enough.");
        page_close(page);
    }
    if (count == 0)
        page_element(page, "p", "None on record.");
    else
        page_close(page);
    page_close(page);
}
