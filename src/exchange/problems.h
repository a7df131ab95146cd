/* problems.h - everything that is wrong with a file: the first twenty in words, the rest as a count. */
#ifndef PROBLEMS_H
#define PROBLEMS_H

#include <stddef.h>
#include <stdio.h>

#include "status.h"

enum { PROBLEMS_KEPT = 20 };

/* Zeroed is none. Owns the texts. */
struct problems {
    size_t count;
    enum status first;          /* status of the first one */
    char *texts[PROBLEMS_KEPT]; /* those beyond `count` are NULL */
};

/* Keep a copy of the failure's text, or only count it once twenty are kept. */
void problems_add(struct problems *problems, const struct failure *failure);

/* One line each, then "and 3 more" when not all were kept. Nothing when there is none. */
void problems_print(const struct problems *problems, FILE *out);

/* STATUS_OK when there is none; else the status of the first, with its text when it is the only one and
 * "23 problems, the first: spring.csv:7: ..." otherwise. */
enum status problems_status(const struct problems *problems, struct failure *failure);

void problems_clear(struct problems *problems);

#endif
