/* saponification.h - how much lye a fat needs and an acid takes up, and what is known about them by name.
 *
 * Molar masses 39.997 (NaOH) and 56.105 g/mol (KOH), from standard atomic masses. A saponification value (SV)
 * is the milligrams of KOH that one gram of fat needs (ISO 3657). A natural fat has a range of them, not a
 * value: fats.csv beside this file keeps the ranges that standards and pharmacopoeias print.
 *
 * Rules
 * (1) Names are found without regard to case, to blanks at the ends and to doubled blanks. A name may be
 *     one of the tables', one of the everyday names kept in saponification.c, or either without its last word
 *     "oil", "butter" or "acid" ("olive", "citric").
 * (2) A name that says too little is answered by a range that covers what it may mean, and a note that
 *     says so: "citric acid" without its hydrate, "stearic acid" as the shops sell it, vinegar.
 * (3) An unknown name is refused with the way out. Likeness of spelling is no likeness of fat (jojoba, mostly
 *     wax, needs half of canola's lye): a known name is asked about only where one slip of the hand leads to it,
 *     and to no other. Nothing is guessed. */
#ifndef SAPONIFICATION_H
#define SAPONIFICATION_H

#include <stddef.h>

#include "status.h"

enum lye_kind { LYE_NAOH, LYE_KOH };

/* Molar masses, g/mol. */
#define SAPONIFICATION_NAOH_G_PER_MOL 39.997
#define SAPONIFICATION_KOH_G_PER_MOL 56.105

/* Grams of NaOH one gram of fat needs for each mg KOH per g of its saponification value: 7.128955e-4. */
#define SAPONIFICATION_NAOH_PER_SV (SAPONIFICATION_NAOH_G_PER_MOL / SAPONIFICATION_KOH_G_PER_MOL / 1000.0)

/* Grams of NaOH that do what one gram of this pure lye does: 1, or 0.7129 for KOH. */
double lye_as_naoh(enum lye_kind kind);

/* The range of a saponification value is usable: 10 <= low <= high <= 600 mg KOH per g (beeswax is about 93,
 * coconut oil 257, the smallest glycerides below 600). STATUS_RANGE otherwise; a figure below 1 is recognised
 * as grams of lye per gram of fat, which is another quantity, and the message says so. */
enum status saponification_check(double sv_low_mg_koh_per_g, double sv_high_mg_koh_per_g,
                                 struct failure *failure);

/* A fat by name. Texts are lent for good. */
struct fat_found {
    const char *name; /* as the table has it */
    double sv_low_mg_koh_per_g, sv_high_mg_koh_per_g;
    const char *source;
};

/* STATUS_MISSING for an unknown name (rule 3). */
enum status fat_find(const char *name, struct fat_found *ret_fat, struct failure *failure);

/* Something that takes up lye before the fat does, by name. Texts are lent for good. */
struct lye_consumer_found {
    const char *name;                           /* as the table has it, or the everyday name of rule 2 */
    double naoh_low_g_per_g, naoh_high_g_per_g; /* per gram of it at full strength, vinegar apart */
    const char *note;                           /* what the maker should know, or NULL */
    const char *source;
};

/* STATUS_MISSING for an unknown name (rule 3). */
enum status lye_consumer_find(const char *name, struct lye_consumer_found *ret_acid, struct failure *failure);

/* The names fat_find() knows from the table, for lists; NULL from `index` = their number on. */
const char *fat_name(size_t index);

#endif
