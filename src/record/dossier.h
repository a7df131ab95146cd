/* dossier.h - everything the notebook holds about one batch, as the assessments take it.
 *
 * Rules
 * (1) Rows are ordered by time, then by number. Ids link them; the finders below follow the links.
 * (2) Superseded rows are there too, so that they stay visible; who judges, leaves them out. */
#ifndef DOSSIER_H
#define DOSSIER_H

#include <stdbool.h>
#include <stddef.h>

#include "batch.h"
#include "calibration.h"
#include "correctable.h"
#include "gear.h"
#include "observation.h"
#include "session.h"
#include "titration.h"

/* The rule by which this version judges and releases; kept with every change of state. Rule 1 knew one limit only. */
enum { STATE_RULE_NOW = 2 };

/* Owns its texts. */
struct state_change {
    int64_t id, batch_id;
    enum batch_state state;
    civil_time at;       /* when it was kept */
    civil_time since_at; /* the time of the evidence; 0: the same */
    char *why;
    char *evidence;  /* what it rested on, in words; NULL: none */
    bool overridden; /* released in spite of what the policy asks */
    bool automatic;  /* by the program's rule, not by the maker */
    int rule;        /* in force when it was added (STATE_RULE_NOW then); 1: before it was kept */
};

struct plan_entry {
    int64_t id, batch_id;
    civil_day due_on;
    char *what; /* "test", "titrate" or the maker's words */
    char *why;
    civil_time added_at;
    bool dropped; /* the maker took it back */
};

/* A recipe as it stood until it was put right. Owns its text and lines. */
struct recipe_revision {
    int64_t id; /* 0: as it was written down first */
    char *why;  /* of this revision; NULL for the first */
    civil_time added_at;
    struct recipe_line *lines;
    size_t line_count;
};

/* Owns all of it. */
struct dossier {
    struct batch batch; /* with the recipe in force */
    struct session *sessions;
    size_t session_count;
    struct specimen *specimens; /* of this batch only */
    size_t specimen_count;
    struct reading *readings;
    size_t reading_count;
    struct weighing *weighings; /* superseded ones too */
    size_t weighing_count;
    struct answer *answers; /* of these sessions, for the session or this batch's specimens */
    size_t answer_count;
    struct observation *observations; /* of these sessions, likewise; superseded ones too */
    size_t observation_count;
    struct used_up *used_up;
    size_t used_up_count;
    struct batch_close closed; /* end BATCH_NOT_CLOSED: it is still there */
    struct recipe_revision
        *revisions; /* all of them, the first and the one in force too; 0: never put right */
    size_t revision_count;
    struct gear *gear; /* that was used */
    size_t gear_count;
    struct calibration *calibrations; /* of those meters, checks too */
    size_t calibration_count;
    bool tools_lent; /* gear, and what the calibrations hold, are someone else's (dossier_store.h) */
    struct titration *titrations;
    size_t titration_count;
    struct state_change *state_changes;
    size_t state_change_count;
    struct plan_entry *plan_entries;
    size_t plan_entry_count;
    struct correction *corrections; /* by field, of any of the above, in the order of keeping */
    size_t correction_count;
};

/* NULL for 0 or an id that is not there. Lent. */
const struct session *dossier_session(const struct dossier *dossier, int64_t id);
const struct specimen *dossier_specimen(const struct dossier *dossier, int64_t id);
const struct gear *dossier_gear(const struct dossier *dossier, int64_t id);
const struct calibration *dossier_calibration(const struct dossier *dossier, int64_t id);

/* The latest walk-through of the batch that is not finished; NULL: none. Lent. */
const struct session *dossier_unfinished(const struct dossier *dossier);

/* The latest change of state; NULL when there was none. Lent. */
const struct state_change *dossier_last_change(const struct dossier *dossier);

/* Did the maker release it in spite of what the policy asks, and is it released still? */
bool dossier_released_by_override(const struct dossier *dossier);

/* Was it released before the rule of this version, and is it released still? Keeping it so is a change of state of
 * its own, with a reason. */
bool dossier_released_by_old_rule(const struct dossier *dossier);

/* Since when it holds. */
civil_time state_change_since(const struct state_change *change);

/* "2026-03-04", and where it was kept on another day: "2026-03-04 (kept on 2026-03-10)". Given: free() it. */
char *state_change_since_text(const struct state_change *change);

void state_change_clear(struct state_change *change);
void plan_entry_clear(struct plan_entry *entry);
void recipe_revision_clear(struct recipe_revision *revision);
void dossier_clear(struct dossier *dossier);

/* Age in whole days from the pour to a moment. */
int dossier_age_d(const struct dossier *dossier, civil_time moment);

#endif
