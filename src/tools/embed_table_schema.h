/* embed_table_schema.h - what each reference table looks like: its columns and their plausible ranges. */
#ifndef EMBED_TABLE_SCHEMA_H
#define EMBED_TABLE_SCHEMA_H

#include <stdbool.h>
#include <stddef.h>

enum column_kind {
    COLUMN_TEXT, /* a text */
    COLUMN_WORD, /* one of the words in `words`, which are parted by '|' */
    COLUMN_NUMBER
};

struct column {
    const char *name;
    enum column_kind kind;
    double low, high;  /* plausible numbers, ends included */
    const char *words; /* of a COLUMN_WORD */
    bool may_be_empty; /* an empty text, or NAN */
    bool ascends;      /* not below the column before it in the same row (a minimum and its maximum) */
};

enum { COLUMNS_MAX = 8 };

struct schema {
    const char *name; /* of the table: "fats" */
    const char *row;  /* of the struct: "fat_row" */
    struct column columns[COLUMNS_MAX];
    size_t columns_length;
    size_t groups[2];     /* the columns which together name a series of rows */
    size_t groups_length; /* 0: rows are not in series */
    size_t rising;        /* the number column that rises from row to row within a series */
};

/* The schema of that name, or NULL. */
const struct schema *schema_find(const char *name);

#endif
