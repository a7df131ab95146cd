/* verify.h - is the notebook what was written into it?
 *
 * Rules
 * (1) Checked are: SQLite's own integrity_check and foreign_key_check; the schema, word for word as this
 *     version makes it, so that no trigger was dropped; the journal's numbering, hashes and chain; and that
 *     every row of every table is as its entry says and is in one entry exactly.
 * (2) Someone who can write the file can also rebuild the whole chain, or cut it at its end. A seal kept outside the
 *     computer shows that, and a notebook that was rolled back (docs/notebook.md). */
#ifndef VERIFY_H
#define VERIFY_H

#include <stddef.h>

#include "journal.h"
#include "store.h"

enum { VERIFY_FINDINGS_KEPT = 20, VERIFY_HEAD_SHORTEST = 16 };

/* Zeroed is empty. Owns the texts. */
struct verify_report {
    int64_t entries, rows, tables;
    char head[JOURNAL_HASH_SIZE]; /* of the latest entry; 64 zeros when there is none */
    size_t finding_count;         /* what does not fit; 0: all is well */
    char *findings[VERIFY_FINDINGS_KEPT];
    int64_t after_head; /* entries that came after the one asked for; -1: it is not in the chain */
};

/* Check an open notebook.
 *
 * earlier     a seal as seal_parse() gives it, or a hash from an earlier report or its first 16 characters or more; NULL:
 *             none
 * ret_report  verify_report_clear(); what is damaged is a finding, not a failure
 * STATUS_FORMAT when `earlier` is neither; STATUS_SYSTEM when the notebook cannot be read at all. */
enum status verify_notebook(struct store *store, const char *earlier, struct verify_report *ret_report,
                            struct failure *failure);
void verify_report_clear(struct verify_report *report);

#endif
