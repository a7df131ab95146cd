/* report_index.h - all batches of a notebook on one page, as a chart for the wall.
 *
 * Rules
 * (1) A line a batch: mark and state, verdict, pH with its uncertainty, a small curve, what comes next and when, and a link
 *     to its record where there is one.
 * (2) Sorted by what needs the maker: what cannot be told, released batches that the evidence would hold, what is due,
 *     the longest overdue first, then by the next day; last what asks for nothing. Among likes by day of pouring.
 * (3) Nothing is kept of a batch but what its line shows, so that a large notebook needs little memory. */
#ifndef REPORT_INDEX_H
#define REPORT_INDEX_H

#include "policy.h"
#include "report.h"

/* Owned by report_index.c. */
struct index_line;

/* Owns its lines; zeroed is empty. */
struct report_index {
    struct index_line *lines;
    size_t count, capacity;
};

/* Add a batch; all lent until the call returns.
 *
 * link  of its record, seen from the page; NULL: there is none */
void report_index_add(struct report_index *index, const struct dossier *dossier,
                      const struct conclusion *conclusion, const struct policy *policy, civil_day today,
                      const char *link);

/* Add one that cannot be told, and why. */
void report_index_refuse(struct report_index *index, const char *code, const char *why);

/* The whole page, sorted. The report's batches are not looked at. Given: free() it. */
char *report_index_page(struct report_index *index, const struct report *report);

void report_index_clear(struct report_index *index);

/* The name of the file that the record of a batch has beside its index: the code, with what is no letter, digit, dash
 * or dot as numbers, and ".html". Given: free() it. */
char *report_record_name(const char *code);

#endif
