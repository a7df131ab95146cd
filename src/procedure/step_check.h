/* step_check.h - what a procedure must be as a whole, once all its lines are read. Used by step_file.c. */
#ifndef STEP_CHECK_H
#define STEP_CHECK_H

#include "procedure.h"
#include "step_file.h"
#include "text.h"

/* The keys, in the order of the bits in step_marks. */
enum {
    PROCEDURE_TITLE,
    PROCEDURE_SUMMARY,
    PROCEDURE_APPLIES,
    PROCEDURE_FOLLOWS,
    PROCEDURE_CAUTIONS,
    PROCEDURE_LIMIT,
    PROCEDURE_CLEAR,
    PROCEDURE_USUAL_LOW,
    PROCEDURE_TEMPERATURE,
    PROCEDURE_TEMPERATURE_TOLERANCE,
    PROCEDURE_CONCENTRATION,
    PROCEDURE_CONCENTRATION_TOLERANCE,
    PROCEDURE_KEYS
};
enum {
    STEP_KIND,
    STEP_TEXT,
    STEP_CAUTION,
    STEP_FOLLOWS,
    STEP_SCOPE,
    STEP_OPTIONAL,
    STEP_RECORDING,
    STEP_TARGET,
    STEP_TOLERANCE,
    STEP_UNIT,
    STEP_REPLICATES,
    STEP_DURATION,
    STEP_CHOICES,
    STEP_EXPECTED,
    STEP_BUFFER,
    STEP_ROUND,
    STEP_MEANINGS,
    STEP_KEYS
};

/* What stood in the file, beside the values. */
struct step_marks {
    int procedure_line; /* 0: no [procedure] */
    unsigned procedure_given, step_given[STEP_FILE_STEPS_MOST];
    char unit[STEP_FILE_STEPS_MOST][16];
};

/* Mistakes so far; the texts are lent, the list may be NULL. */
struct mistakes {
    const char *file;
    struct text *list;
    size_t count;
    char first[512];
};

/* Add "FILE:LINE: words" to the list, which holds the first 200; the words are made harmless. */
void mistake_at(struct mistakes *mistakes, int line, const char *format, ...)
    __attribute__((format(printf, 3, 4)));

/* Needed keys, keys that do not fit the kind, values that contradict each other, the order of steps.
 * Fills in what follows from the whole: the scope of a meter's steps. */
void step_check_all(struct procedure *procedure, const struct step_marks *marks, struct mistakes *mistakes);

#endif
