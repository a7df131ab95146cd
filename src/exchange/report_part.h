/* report_part.h - the parts of a report, one section each. For the report's own files. */
#ifndef REPORT_PART_H
#define REPORT_PART_H

#include "page.h"
#include "report.h"

enum { REPORT_STYLE_PIECES = 6 };
extern const char
    *const report_style[REPORT_STYLE_PIECES + 1]; /* the style sheet, in pieces; ends with NULL */

/* The head of a page up to its first part, and what ends it. report_finish() gives the page: free() it. */
void report_start(struct page *page, const struct report *report, const char *title, const char *heading);
char *report_finish(struct page *page, const struct report *report);

/* The first sheet, and what of it other parts show too. */
void report_add_summary(struct page *page, const struct report_batch *batch, civil_time now);
void report_add_state_mark(struct page *page, enum batch_state state);
void report_add_closing(struct page *page, const struct batch_close *closed); /* nothing for an open one */
void report_add_cure_plot(struct page *page, const struct report_batch *batch);

void report_add_verdict(struct page *page, const struct report_batch *batch);
void report_add_recipe(struct page *page, const struct report_batch *batch, civil_time now);
void report_add_method(struct page *page, const struct report_batch *batch);
void report_add_checks(struct page *page, const struct report_batch *batch);
void report_add_readings(struct page *page, const struct report_batch *batch);
void report_add_cure(struct page *page, const struct report_batch *batch);
void report_add_comparison(struct page *page, const struct report_batch *batch);
void report_add_alkali(struct page *page, const struct report_batch *batch);
void report_add_history(struct page *page, const struct report_batch *batch);
void report_add_questions(struct page *page, const struct report_batch *batch);

/* "not tested", "within so far", or the word of the batch's verdict as below. */
const char *report_conclusion_text(const struct conclusion *conclusion);

/* "lye-heavy", "not judged" as people read it, and what the word means in one sentence. */
const char *report_verdict_text(enum verdict_word verdict);
const char *report_verdict_meaning(enum verdict_word verdict);

/* A step of a procedure, "water check", by its key. */
void report_step(struct page *page, const char *key);

/* "2026-03-04 10:00" in an element that says the same to a machine. */
void report_moment(struct page *page, civil_time moment);

#endif
