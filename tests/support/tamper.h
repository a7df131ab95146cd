/* tamper.h - changes in a notebook behind the program's back, and whether verify finds them. */
#ifndef TAMPER_H
#define TAMPER_H

#include <sqlite3.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

/* The untouched notebook and the copy that is changed. */
struct tampering {
    sqlite3 *whole;
    const char *path;      /* of the copy */
    size_t tried, refused; /* changes found; changes that SQLite itself did not take */
    bool fresh;            /* the copy is as the whole: a refused change leaves it so */
};

/* What verify says, one finding a line; "" when all is well. Given: free() it.
 * head, ret_after  as verify_notebook(); may be NULL */
char *tamper_findings(const char *path, const char *head, int64_t *ret_after);

/* Fails the test unless the findings contain `part`; "" for none at all. */
void tamper_check(const char *path, const char *part);

/* Make the copy anew. */
void tamper_copy(const struct tampering *tampering);

/* SQL that makes a change without the triggers of its table and puts them back. Given: free() it. */
char *tamper_change(sqlite3 *handle, const char *table, const char *change);

/* Change every column of every row of a table, in several ways, and check that each change is found and
 * its row named. */
void tamper_table(struct tampering *tampering, const char *table);

#endif
