/* substance.h - what is dissolved in a soap maker's kitchen, by the names it is sold under. */
#ifndef SUBSTANCE_H
#define SUBSTANCE_H

#include <stdbool.h>
#include <stddef.h>

#include "acid.h"
#include "status.h"

enum { SUBSTANCE_NAMES_MAX = 5 };

struct substance {
    const char *names[SUBSTANCE_NAMES_MAX]; /* the first is its title; the unused are NULL */
    double molar_mass_g_per_mol;
    enum acid acid; /* what a mole of it brings: `acid_mol` of this acid, */
    double acid_mol;
    double base_mol;  /* of sodium or potassium, */
    double water_mol; /* and of water from its crystals */
};

/* The substance of that name; case, blanks, hyphens and commas do not matter. Lent for ever.
 *
 * STATUS_MISSING when there is none; the text names the nearest one, and the command that lists all. */
enum status substance_find(const char *name, const struct substance **ret_substance, struct failure *failure);

/* All substances, sorted by title; `index` from 0 to substance_count() - 1. Lent for ever. */
size_t substance_count(void);
const struct substance *substance_at(size_t index);

/* True for sodium or potassium hydroxide. */
bool substance_is_lye(const struct substance *substance);

#endif
