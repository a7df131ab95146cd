/* judged.h - a batch as the notebook has it, and what its tests say. */
#ifndef JUDGED_H
#define JUDGED_H

#include "conclusion.h"
#include "evidence.h"

/* Owns its parts, which lend from each other: it stays where it is in memory. Zeroed is empty. */
struct judged {
    struct evidence evidence;
    struct conclusion conclusion;
    struct verdict_list all; /* every session's; count 0 until judged_add_all() */
};

/* STATUS_MISSING when there is no such batch; otherwise as evidence_load() and conclusion_of(). What was loaded before a
 * failure is judged_clear()'s. */
enum status judged_load(struct store *store, const char *code, struct judged *judged,
                        struct failure *failure);

/* Judge every session that was read, where there is one. words_alone: free alkali is not asked for.
 * STATUS as verdict_of_all(). */
enum status judged_add_all(struct judged *judged, bool words_alone, struct failure *failure);

void judged_clear(struct judged *judged);

#endif
