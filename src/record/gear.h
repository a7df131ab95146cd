/* gear.h - what a maker measures with: meters, paper, balances, thermometers, and bottles of buffer. */
#ifndef GEAR_H
#define GEAR_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "clock.h"
#include "status.h"

enum gear_kind { GEAR_METER, GEAR_PAPER, GEAR_BALANCE, GEAR_THERMOMETER, GEAR_BUFFER };

/* Owns its texts and steps. Numbers that do not belong to the kind are NAN. */
struct gear {
    int64_t id; /* 0: not in a notebook yet */
    char *name;
    enum gear_kind kind;
    double resolution_ph, accuracy_ph; /* meter: last digit shown, stated accuracy (half-width) */
    bool atc;                          /* meter: automatic temperature compensation */
    double *steps;                     /* paper: the printed steps, rising */
    size_t step_count;
    double readability_g;            /* balance */
    double resolution_c, accuracy_c; /* thermometer */
    char *buffer;                    /* bottle: which buffer */
    civil_day expires_on;            /* paper, bottle; DAY_NONE: not stated */
    char *note;
    civil_time added_at;
    bool retired; /* used no more: nothing is due for it, and it is never meant when none is named */
    bool usual;   /* of several of its kind the one that is meant when none is named */
};

/* A gear with every number NAN and no date. */
void gear_init(struct gear *gear, enum gear_kind kind);
void gear_clear(struct gear *gear);

const char *gear_kind_word(enum gear_kind kind);
enum status gear_kind_parse(const char *text, enum gear_kind *ret_kind, struct failure *failure);

/* The printed steps of a paper, "1,2,3,4.5" (points for decimals) or "1;2;3,5" (commas for decimals), or from one to
 * another: "1-14", "1 to 14", "5.5..9 by 0.5" (by 1 when not said). At least two, rising, 0 to 14. STATUS_FORMAT,
 * STATUS_RANGE. */
enum status gear_parse_steps(struct gear *gear, const char *text, struct failure *failure);

/* The steps as "1,2,3.5"; given: free() it. NULL without steps. */
char *gear_steps_text(const struct gear *gear);

/* STATUS_RANGE when a pH is not one of the paper's printed steps. */
enum status gear_check_step(const struct gear *paper, double ph, struct failure *failure);

/* Everything that can be checked by itself: a name, and for each kind the numbers it must have and may
 * not have (meter: resolution-ph above 0 to 1; paper: steps; balance: readability-g above 0 to 100;
 * thermometer: resolution-c above 0 to 10; bottle: the buffer). STATUS_RANGE, STATUS_FORMAT. */
enum status gear_check(const struct gear *gear, struct failure *failure);

#endif
