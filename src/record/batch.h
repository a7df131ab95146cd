/* batch.h - one pour of soap and the recipe it was made from. */
#ifndef BATCH_H
#define BATCH_H

#include <stddef.h>
#include <stdint.h>

#include "clock.h"
#include "status.h"

enum batch_role {
    BATCH_ORDINARY,
    BATCH_CONTROL,  /* what a variant is compared with */
    BATCH_VARIANT,  /* a changed recipe */
    BATCH_LYE_HEAVY /* made lye-heavy on purpose, as a reference bar */
};
enum batch_state { BATCH_IN_CURE, BATCH_HELD, BATCH_RELEASED, BATCH_DISCARDED };
enum recipe_kind { RECIPE_FAT, RECIPE_LYE, RECIPE_ACID, RECIPE_WATER, RECIPE_OTHER };

/* Why nothing of a batch is left in the workshop. */
enum batch_end { BATCH_NOT_CLOSED, BATCH_USED_UP, BATCH_SOLD, BATCH_GIVEN_AWAY, BATCH_THROWN_AWAY };

enum { BATCH_CODE_LONGEST = 40 };

/* One line of a recipe. Owns its texts. */
struct recipe_line {
    int64_t id;
    enum recipe_kind kind;
    char *name;
    double mass_g;
    double purity_fraction;     /* lye and acid, above 0 to 1; NAN: not stated */
    double sv_min_mg_koh_per_g; /* fat: the supplier's own range; NAN: from the table */
    double sv_max_mg_koh_per_g;
};

/* Owns its texts and lines. `state` is what the latest state change says. */
struct batch {
    int64_t id;         /* 0: not in a notebook yet */
    char *code, *title; /* the maker's label; title may be NULL */
    civil_day made_on;
    enum batch_role role;
    int64_t reference_id; /* 0: none */
    char *reference_code; /* NULL: none */
    int64_t parent_id;    /* the batch this one was reworked from; 0: none */
    char *parent_code;
    char *note;
    civil_time added_at;
    enum batch_state state;
    struct recipe_line *lines;
    size_t line_count;
};

/* A batch closed, or a closing taken back (BATCH_NOT_CLOSED). Owns its text. */
struct batch_close {
    int64_t id, batch_id; /* id 0: the batch was never closed */
    enum batch_end end;
    civil_day closed_on; /* DAY_NONE: taken back */
    civil_time added_at;
    int64_t supersedes;
    char *why;
};
void batch_close_clear(struct batch_close *close);

/* The words as they are stored: "used-up"; and as people read them: "used up", "not closed". */
const char *batch_end_word(enum batch_end end);
const char *batch_end_text(enum batch_end end);

/* Either of them, or another usual word for the same ("eaten", "gifted", "trash"). STATUS_FORMAT with the list. */
enum status batch_end_parse(const char *text, enum batch_end *ret_end, struct failure *failure);

const char *batch_role_word(enum batch_role role);
const char *batch_state_word(enum batch_state state);
const char *recipe_kind_word(enum recipe_kind kind);
enum status batch_role_parse(const char *text, enum batch_role *ret_role, struct failure *failure);
enum status batch_state_parse(const char *text, enum batch_state *ret_state, struct failure *failure);
enum status recipe_kind_parse(const char *text, enum recipe_kind *ret_kind, struct failure *failure);

/* A recipe line as typed: NAME=MASS with what the kind allows after an @:
 *   fat   "olive oil=500", "olive oil=500 g @ sv 188..192" (the supplier's own saponification value)
 *   lye   "naoh=104.5@98.5%", "koh=20@90%"      acid  "citric acid, anhydrous=10", "vinegar=50@5%"
 * Masses are grams; g, kg, oz and lb may be written behind the number. A decimal comma is taken.
 * ret_line  owned by the caller, recipe_line_clear()
 * STATUS_FORMAT or STATUS_RANGE with the words that are wrong. */
enum status recipe_line_parse(enum recipe_kind kind, const char *text, struct recipe_line *ret_line,
                              struct failure *failure);
void recipe_line_clear(struct recipe_line *line);

/* Add a line, whose texts the batch then owns. */
void batch_add_line(struct batch *batch, struct recipe_line line);

/* Everything about a batch that can be checked by itself: a code of 1 to 40 printable characters with
 * no blanks at its ends, a pour date not after `today`, masses above 0, purities above 0 to 1.
 * STATUS_RANGE, STATUS_FORMAT. */
enum status batch_check(const struct batch *batch, civil_day today, struct failure *failure);
void batch_clear(struct batch *batch);

#endif
