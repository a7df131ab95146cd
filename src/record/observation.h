/* observation.h - what was seen or said in a sitting beside its readings, and bars that are used up.
 *
 * Kinds and words (stored as they stand here)
 *   water        of the whole sitting: distilled, deionised, other
 *   water-ph     of the whole sitting: the water's own pH, in `value`
 *   undissolved  of a portion (or of all of the sitting): nothing, soap (some was left at the bottom)
 *   look         of a portion's bar: sound, weeping, lye-pockets (white pockets or streaks that the maker confirms
 *                are like lye), white (pockets or streaks that are not), crumbling, glassy, orange; several may stand
 *   cut          of a portion: spot (it was cut through the spot that looked bad)
 * Nothing is overwritten: a correction names the row it supersedes and says why; one with neither word nor value takes
 * it back. */
#ifndef OBSERVATION_H
#define OBSERVATION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "clock.h"
#include "status.h"

enum observation_kind {
    OBSERVATION_WATER,
    OBSERVATION_WATER_PH,
    OBSERVATION_UNDISSOLVED,
    OBSERVATION_LOOK,
    OBSERVATION_CUT
};

/* Owns its texts. */
struct observation {
    int64_t id, session_id;
    int64_t specimen_id; /* 0: of the whole sitting */
    enum observation_kind kind;
    char *word;   /* NULL for a water-ph and for one that only takes back */
    double value; /* water-ph; NAN else */
    civil_time seen_at;
    int64_t supersedes;    /* 0: none */
    int64_t superseded_by; /* 0: none */
    char *why;
};

/* Owns its texts. */
struct used_up {
    int64_t id, batch_id;
    char *bar;
    civil_day used_up_on; /* DAY_NONE: it takes back the one it supersedes */
    civil_time added_at;
    int64_t supersedes, superseded_by;
    char *why;
};

const char *observation_kind_word(enum observation_kind kind);
enum status observation_kind_parse(const char *text, enum observation_kind *ret, struct failure *failure);

/* The words of a kind, best first; lent for ever. 0 for water-ph, which has a value. */
size_t observation_words(enum observation_kind kind, const char *const **ret_words);

/* The words as people read them: "weeping (drops or a wet film that burns like lye)". NULL for no such word. */
const char *observation_word_text(enum observation_kind kind, const char *word);

void observation_init(struct observation *observation); /* numbers NAN, no time */

/* A word that its kind has, or a water-ph of 0 to 14; or neither, with what it supersedes and why.
 * STATUS_FORMAT, STATUS_RANGE. */
enum status observation_check(const struct observation *observation, struct failure *failure);

/* Counts: it says something and nothing supersedes it. */
bool observation_stands(const struct observation *observation);
bool used_up_stands(const struct used_up *used_up);

void observation_clear(struct observation *observation);
void used_up_clear(struct used_up *used_up);

#endif
