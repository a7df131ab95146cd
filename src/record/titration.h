/* titration.h - free alkali by titration: one portion of soap, dissolved in neutralised ethanol. */
#ifndef TITRATION_H
#define TITRATION_H

#include <stdbool.h>
#include <stdint.h>

#include "clock.h"
#include "status.h"

/* Owns its texts. Titrations of one batch and bar with the same taken_at day and session are replicates. */
struct titration {
    int64_t id, batch_id;
    int64_t session_id; /* 0: typed without the walk-through */
    int replicate;      /* from 1 */
    char *bar;          /* which bar of the batch it was cut from; NULL: not said */
    double soap_mass_g;
    double acid_mol_per_l, u_acid_relative; /* NAN: not stated */
    double volume_ml;                       /* acid used, the blank not yet taken off */
    double blank_ml;                        /* 0 when measured as 0; NAN: no blank was run */
    double burette_ml;                      /* smallest division or drop; NAN: not stated */
    /* The acid was weighed: volume_ml, blank_ml and burette_ml (a drop) are g, acid_mol_per_l is mol per kg. */
    bool acid_weighed;
    int64_t balance_id; /* 0: not said */
    char *method;       /* a word of the maker's or the procedure's */
    civil_time taken_at;
    int64_t supersedes, superseded_by;
    bool withdrawn; /* it only says that the one it supersedes does not count */
    char *why, *note;
    char *by; /* who titrated; NULL: not said */
};

/* Counts: nothing supersedes it, and it is no withdrawal. */
bool titration_stands(const struct titration *titration);

/* "mL" or "g"; "mol/L" or "mol/kg". Lent for ever. */
const char *titration_acid_unit(const struct titration *titration);
const char *titration_strength_unit(const struct titration *titration);

void titration_init(struct titration *titration);
void titration_clear(struct titration *titration);

/* The ranges of titration_model.h, and a blank no larger than the titration. STATUS_RANGE. */
enum status titration_check(const struct titration *titration, struct failure *failure);

#endif
