/* session.h - one sitting at the bench: which procedure, which bars, what was answered and measured.
 *
 * Rules
 * (1) Nothing measured is overwritten. A correction is a new row that names the one it supersedes and says
 *     why; a reading withdrawn is superseded by one without a value.
 * (2) A specimen's masses are its latest weighings; a concentration told by the maker stands instead when
 *     nothing was weighed. */
#ifndef SESSION_H
#define SESSION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "clock.h"
#include "status.h"

/* At 40 degC and 1 %: common practice and judgement (bounds.h). */
#define LIMIT_PH_USUAL 11.0 /* lye-heavy above */
#define CLEAR_PH_YOUNG 10.7 /* within only below, younger than that age */
#define CLEAR_PH_RIPE 10.5  /* and from then on */
#define USUAL_LOW_PH 8.5    /* not soap as expected below */
enum { CLEAR_RIPE_AGE_D = 28 };
#define REFERENCE_TEMPERATURE_C 40.0
#define REFERENCE_CONCENTRATION_PCT 1.0
#define TEMPERATURE_TOLERANCE_C 2.0
#define CONCENTRATION_TOLERANCE_PCT 0.02
#define PORTION_USUAL_G 1.0 /* of soap, in 99 g of water */

/* Owns its texts. Gear ids are 0 when none was named. */
struct session {
    int64_t id;
    int64_t procedure_id;                  /* 0: a single reading without a procedure */
    char *procedure_name, *procedure_hash; /* BLAKE2b-256 of the file, in hexadecimal; NULL likewise */
    civil_time started_at, finished_at;    /* MOMENT_NONE: still open */
    double limit_ph;
    double clear_ph, usual_low_ph; /* the maker's own; NAN: the usual ones */
    int64_t meter_id, paper_id, balance_id, thermometer_id;
    char *left_open; /* what a finished session left undone; NULL: nothing */
    char *by;        /* who read; NULL: not said */
    char *note;
};

/* A test portion of one bar in one session. Owns its text. */
struct specimen {
    int64_t id, session_id, batch_id;
    char *bar;                        /* which bar of the batch; NULL: not said */
    double soap_mass_g, water_mass_g; /* the latest weighings; NAN: not weighed */
    int64_t balance_id;               /* that weighed the soap; 0: not said */
    double stated_concentration_pct;  /* told, not weighed; NAN: not told */
};

/* The label of a bar as it is kept: without blanks at its ends; NULL for NULL and when nothing is left. Given: free()
 * it. */
char *bar_label(const char *typed);

/* Is it the same bar? Upper and lower case are alike, blanks at the ends are nothing; NULL is only like NULL. */
bool bar_label_same(const char *a, const char *b);

/* The name of who read, without blanks at its ends; NULL for NULL and when nothing is left. Given: free() it. */
char *by_name(const char *typed);

/* What can be typed, answered or imported: each range is stated here. */
#define PH_LOWEST 0.0
#define PH_HIGHEST 14.0
#define READING_LOWEST_C 0.0
#define READING_HIGHEST_C 100.0
#define STATED_LOWEST_PCT 0.01
#define STATED_HIGHEST_PCT 100.0
enum { REPLICATE_MOST = 1000000 };

enum weighing_of { WEIGHING_SOAP, WEIGHING_WATER };
struct weighing {
    int64_t id, specimen_id;
    enum weighing_of of;
    double mass_g;
    int64_t balance_id; /* 0: not said */
    civil_time taken_at;
    int64_t supersedes; /* 0: none */
    bool withdrawn;     /* it only says that the one it supersedes does not count */
    char *why;
};

enum reading_method { READING_METER, READING_PAPER };
struct reading {
    int64_t id, specimen_id;
    enum reading_method method;
    int64_t gear_id;
    int replicate;          /* from 1 */
    double ph;              /* meter; NAN for paper and when withdrawn */
    double ph_low, ph_high; /* paper: between which printed steps; NAN for a meter */
    double temperature_c;   /* NAN: not measured */
    civil_time taken_at;
    int64_t calibration_id; /* of a dossier: the one in force then, by the times of what stands; 0: none */
    bool calibration_named; /* the maker says that it is this one, whatever the times say */
    int64_t supersedes;     /* 0: none */
    int64_t superseded_by;  /* 0: it stands */
    bool on_surface;        /* a strip pressed on the wet bar: of no known concentration, it can only warn */
    bool approximate;       /* read off only about: it can warn, and clears nothing */
    bool withdrawn;         /* it only says that the one it supersedes does not count */
    char *why, *note;
};

/* What was answered at one step of a walk-through. Owns its texts. */
enum answer_outcome { ANSWER_DONE, ANSWER_SKIPPED, ANSWER_NOTED };
struct answer {
    int64_t id, session_id;
    int64_t specimen_id; /* 0: the step is for the whole session */
    char *step;          /* its key in the procedure file */
    int replicate;       /* from 1 */
    enum answer_outcome outcome;
    double value, value_high; /* value_high for a range; NAN: none */
    double temperature_c;     /* with a pH; NAN: none */
    char *text;               /* a choice, a note; NULL: none */
    char *deviation;          /* what is outside the tolerance; NULL: nothing */
    char *why;                /* reason for a skip, a deviation or a correction */
    civil_time answered_at;
    int64_t supersedes, superseded_by;
};

/* What a session is, in the words of the screens on which one is numbered: "one sitting at the bench". */
extern const char session_meaning[];

/* "meter", "paper", or "strip on the wet bar". */
const char *reading_kind_text(const struct reading *reading);

const char *weighing_of_word(enum weighing_of of);
const char *reading_method_word(enum reading_method method);
const char *answer_outcome_word(enum answer_outcome outcome);
enum status weighing_of_parse(const char *text, enum weighing_of *ret, struct failure *failure);
enum status reading_method_parse(const char *text, enum reading_method *ret, struct failure *failure);
enum status answer_outcome_parse(const char *text, enum answer_outcome *ret, struct failure *failure);

void session_init(struct session *session);    /* no times, the usual bounds */
void specimen_init(struct specimen *specimen); /* numbers NAN */
void reading_init(struct reading *reading);
void answer_init(struct answer *answer);
void session_clear(struct session *session);
void specimen_clear(struct specimen *specimen);
void weighing_clear(struct weighing *weighing);
void reading_clear(struct reading *reading);
void answer_clear(struct answer *answer);

/* Percent by mass: from the weighings, else as told, else NAN. */
double specimen_concentration_pct(const struct specimen *specimen);

/* What can be checked by itself: ph, or ph_low below ph_high, temperature_c (or NAN) and replicate within the ranges
 * above; a withdrawn reading has no value and supersedes one. STATUS_RANGE, STATUS_FORMAT. */
enum status reading_check(const struct reading *reading, struct failure *failure);

/* Counts: it has a value and nothing supersedes it. */
bool reading_stands(const struct reading *reading);

#endif
