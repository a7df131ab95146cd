/* verdict_text.h - a verdict in words for the person at the bench.
 *
 * What people typed (codes, names, notes) is made harmless (text_visible()). Numbers are rounded here and nowhere
 * else. */
#ifndef VERDICT_TEXT_H
#define VERDICT_TEXT_H

#include "sentence.h"
#include "text.h"
#include "verdict.h"

/* A probability from 0 to 1 as a person reads it: "less than 0.1 %", "12 %". */
void verdict_text_add_probability(double p, struct text *text);

/* What is said at once of a reading above the limit. Given: free() it. */
char *verdict_text_above_limit(double limit_ph);

/* What is said at once of readings of one cup that lie VERDICT_APART_PH apart or more: one may be a slip. NULL: they
 * do not. Given: free() it. */
char *verdict_text_apart(double low_ph, double high_ph);

/* What the verdict means for hands, where it does not clear: one sentence. NULL: nothing. Lent for ever. */
const char *verdict_warning(enum verdict_word verdict);

/* The cautions with soap that may be lye-heavy; nothing where it is within or not judged. */
void verdict_say_caution(enum verdict_word verdict, struct sentences *list);

/* What a low pH leaves open, and what can close it. Lent for ever. */
const char *verdict_cannot_prove(void);

/* One bar: the heading, what was found and with what uncertainty, what it rests on, what that says of free
 * alkali, and every reason. */
void verdict_say_bar(const struct verdict *verdict, struct sentences *list);

/* The uncertainty budget as a table, a line a component: value, distribution, sensitivity, standard uncertainty,
 * share, degrees of freedom; then the total. Says so when there is none. */
void verdict_text_budget(const struct verdict *verdict, struct text *text);

/* What belongs under all bars of a batch: what a pH cannot prove, what ATC does not do, the cautions when the batch is
 * lye-heavy or doubtful.
 *
 * worst  of the bars, or that of a titration (verdict.h, rule 8) */
void verdict_say_closing(const struct verdict_list *bars, enum verdict_word worst, struct sentences *list);

#endif
