/* correctable.h - which values of which records can be put right, and by what words.
 *
 * Rules
 * (1) A record whose table has `supersedes` is put right by a new row that names the old one (CORRECT_BY_ROW), and a line of
 *     a recipe by a recipe put right; every other by a row of the table of corrections that names its field
 *     (CORRECT_BY_FIELD): the latest of a field stands.
 * (2) What a value may be is what its column may hold (store/value_check.h), and what the record's own check says. */
#ifndef CORRECTABLE_H
#define CORRECTABLE_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "clock.h"

enum correct_way { CORRECT_BY_ROW, CORRECT_BY_FIELD, CORRECT_BY_RECIPE };

enum correct_kind {
    CORRECT_TEXT,
    CORRECT_NUMBER,
    CORRECT_DAY,
    CORRECT_MOMENT,
    CORRECT_BATCH,         /* a batch, kept by its number, typed by its code */
    CORRECT_GEAR,          /* likewise gear, by its name */
    CORRECT_NUMBER_OF_ROW, /* another row, typed by its number */
    CORRECT_FLAG,
    CORRECT_WORKED_OUT /* not typed: what follows from what was */
};

struct correct_field {
    const char *option; /* how it is typed: "mass-g" for --mass-g; NULL: never by itself */
    const char *column;
    enum correct_kind kind;
    bool judged; /* verdicts may follow from it */
};

enum { CORRECT_FIELDS_MOST = 16 };

struct correctable {
    const char *word, *plural; /* "calibration" as typed */
    const char *table;
    enum correct_way way;
    struct correct_field fields[CORRECT_FIELDS_MOST]; /* ends with a NULL column */
};

/* All of them; ends with a NULL word. */
extern const struct correctable correctables[];

/* By word and by table; NULL: there is none. */
const struct correctable *correctable_find(const char *word);
const struct correctable *correctable_of_table(const char *table);

/* NULL: the record has no such field that can be put right. */
const struct correct_field *correctable_field(const struct correctable *record, const char *column);

/* A value that was put right. Owns its texts. */
struct correction {
    int64_t id;
    const struct correctable *record; /* never NULL */
    int64_t number;                   /* of the row */
    const struct correct_field *field;
    char *before, *value; /* as they are kept; NULL: not stated */
    char *why, *who;      /* who: NULL, not said */
    civil_time at;
};
/* "batch 3: poured 2026-03-02, before 2026-02-02", "calibration 3: withdrawn". Given: free() it. */
char *correction_text(const struct correction *correction);

void correction_clear(struct correction *correction);

#endif
