/* procedure.h - a procedure as the walk-through follows it: its header and its ordered steps.
 *
 * Rules
 * (1) Session steps are walked once: those before the first specimen step come before all specimens, those
 *     after the last specimen step come after them. There are none between.
 * (2) Specimen steps that follow each other and have the same word as their round are one round; a step without one is
 *     a round of its own. Where no step has one, all of them are one round. In a round the specimens come one after
 *     the other, and a round comes after the round before: cups go side by side. */
#ifndef PROCEDURE_H
#define PROCEDURE_H

#include <stdbool.h>
#include <stddef.h>

#include "status.h"

#define USUAL_LOW_PH 8.5 /* soap that reads lower is not as expected: common practice, no source */

enum procedure_subject {
    PROCEDURE_SOAP_SOLUTION, /* soap in water, read with meter or paper */
    PROCEDURE_METER,         /* the meter in buffers; no soap */
    PROCEDURE_TITRATION      /* free alkali against an acid */
};

enum step_kind {
    STEP_DO,            /* something to do, then Enter */
    STEP_WAIT,          /* some time to let pass */
    STEP_MASS,          /* g */
    STEP_VOLUME,        /* mL */
    STEP_CONCENTRATION, /* mol/L, of an acid */
    STEP_TEMPERATURE,   /* degC */
    STEP_PH,            /* a meter reading and its temperature */
    STEP_PAPER,         /* between two printed steps, and the temperature */
    STEP_CHOICE,        /* one of some words */
    STEP_NOTE           /* the maker's own words */
};

enum step_scope { STEP_SESSION, STEP_SPECIMEN };

/* What a value is, besides an answer. */
enum step_records {
    RECORDS_ANSWER, /* only an answer */
    RECORDS_SOAP,   /* mass: the test portion */
    RECORDS_WATER,  /* mass: its target is computed from the portion */
    RECORDS_READING,
    RECORDS_WATER_CHECK,
    RECORDS_METER_CHECK,
    RECORDS_SOLUTION_TEMPERATURE,
    RECORDS_ACID,       /* concentration of the acid in the burette */
    RECORDS_BLANK,      /* acid used without soap, volume or mass */
    RECORDS_TITRANT,    /* acid used with soap, volume or mass */
    RECORDS_WATER_KIND, /* these three: choices that are observations (observing.h) */
    RECORDS_UNDISSOLVED,
    RECORDS_BAR_LOOK,
    RECORDS_CITRIC, /* these three: an acid made of weighed citric acid (weighed_acid.h) */
    RECORDS_CITRIC_FORM,
    RECORDS_ACID_WATER
};

enum {
    PROCEDURE_SUBJECTS = PROCEDURE_TITRATION + 1,
    STEP_KINDS = STEP_NOTE + 1,
    STEP_SCOPES = STEP_SPECIMEN + 1,
    STEP_RECORDS = RECORDS_ACID_WATER + 1
};

/* The words that procedure files use for them. */
extern const char *const procedure_subject_words[PROCEDURE_SUBJECTS];
extern const char *const step_kind_words[STEP_KINDS];
extern const char *const step_scope_words[STEP_SCOPES];
extern const char *const step_records_words[STEP_RECORDS];

/* "g", "mL", "mol/L", "degC", "pH", "s"; empty for kinds without a value. */
extern const char *const step_kind_units[STEP_KINDS];

struct words {
    char **items;
    size_t count;
};

/* Owns its texts. Numbers that were not given are NAN. */
struct step {
    char *key, *text;
    char *caution, *follows; /* NULL: none; `follows` is the clause or practice */
    char *buffer;            /* pH: the buffer that is read, so that its table is the target; NULL: none */
    char *round;             /* rule 2; NULL: none */
    struct words choices;
    struct words expected; /* choice: every other one is a deviation; none: all are fine */
    struct words meanings; /* choice: "residue: salt or oats at the bottom", as far as they are told */
    enum step_kind kind;
    enum step_scope scope;
    enum step_records records;
    double target, tolerance; /* in the kind's unit; the tolerance is a half-width */
    int replicates;           /* 1 or more */
    int duration_s;           /* wait */
    int optional;             /* 1: left out without a word when the gear for it is not there */
    int line;                 /* of its heading in the file */
};

/* Owns its texts and steps. */
struct procedure {
    char *name;    /* the file's name without folder and ".ini" */
    char *source;  /* the whole text, as it is kept with the sessions that followed it */
    char hash[65]; /* BLAKE2b-256 of the source, in hexadecimal */
    char *title, *summary, *follows;
    struct words cautions;
    enum procedure_subject subject;
    double limit_ph, clear_ph, usual_low_ph; /* clear_ph NAN: by the age alone */
    double temperature_c, temperature_tolerance_c;
    double concentration_pct, concentration_tolerance_pct;
    struct step *steps;
    size_t step_count;
};

/* The step of that key, or NULL. Lent. */
const struct step *procedure_step(const struct procedure *procedure, const char *key);

/* True when a step of this kind is not optional, so that a STEP_PH needs a meter and a STEP_PAPER paper. */
bool procedure_needs(const struct procedure *procedure, enum step_kind kind);

/* True when it has a step of this kind, optional or not. */
bool procedure_uses(const struct procedure *procedure, enum step_kind kind);

/* Index behind the last step of the round that begins with step `first`, which is one for a specimen (rule 2). */
size_t procedure_round_end(const struct procedure *procedure, size_t first);

/* True when it has steps for a specimen. */
bool procedure_has_specimens(const struct procedure *procedure);

/* True for the step of a titration that asks for the division of the burette, or the size or mass of a drop. */
bool step_is_burette(const struct step *step);

/* True when a choice is as it should be: expected, or nothing is. */
bool step_expects(const struct step *step, const char *choice);

void words_add(struct words *words, const char *item);
void words_clear(struct words *words);
void procedure_clear(struct procedure *procedure);

#endif
