/* conclusion.h - all that is known of a batch, joined into one judgement: its verdict, bar by bar, what speaks for it and
 * against it, what is missing, what a release still asks for, and the one next step.
 *
 * Rules (method.md, section 5; numbered as there)
 * (1) Bars: every bar counts, worst first (bar_standing.h). A bar that was never judged and has nothing against it says
 *     nothing for the batch; without any that was judged the batch is not judged.
 * (2) What is not judged never clears and never replaces what was (verdict.h, rule 3; bar_standing.h, rule 5).
 * (3) Cups of one bar are joined (verdict.h, rule 4).
 * (4) A reference bar of the same recipe and age speaks against only (verdict.h, rule 7).
 * (5) Recipe: a probability that lye exceeds fat of 50 % and more, within what the draws leave open, makes the batch at
 *     best doubtful from the day it is written down, until the recipe is put right or two bars were titrated within. From
 *     5 % on it is named. Free alkali above what the recipe can leave is said, from two days after pouring.
 * (6) Titration: a bar's titration clears what was read of it before, and only a titration takes it back.
 * (7) The eye: weeping or lye-like pockets make their bar doubtful.
 * (8) Rework: two bars titrated within, after which the batch may be released.
 * (9) Release: release.h.
 * A correction that makes a verdict better is named. What a next step asks for is said here and nowhere else: verdict,
 * due list and page show the same one. */
#ifndef CONCLUSION_H
#define CONCLUSION_H

#include "bar_standing.h"
#include "policy.h"
#include "sentence.h"

enum conclusion_basis { CONCLUSION_NOTHING, CONCLUSION_PH, CONCLUSION_TITRATION };

#define CONCLUSION_RECIPE_HELD 0.5 /* rule 5 */
#define CONCLUSION_RECIPE_NAMED 0.05
#define CONCLUSION_TRACE_PCT                                                                                 \
    0.05 /* free NaOH that sound soap may show whatever its recipe: the strictest limit */

/* One thing that a release asks for, and what was found. */
struct release_item {
    const char *asked; /* lent for ever */
    bool met;
    char *found; /* owned */
};

enum { RELEASE_ITEMS = 10 };

/* Owns its items. */
struct release_check {
    struct release_item items[RELEASE_ITEMS];
    size_t count;
    bool met; /* all of them */
};

/* What is to be done next, in one word that a list can show; the sentence says the rest. */
enum next_step {
    NEXT_NOTHING,
    NEXT_TEST,
    NEXT_TITRATE,
    NEXT_REWORK,
    NEXT_RELEASE,
    NEXT_HOLD, /* a released batch that the evidence would hold */
    NEXT_RECIPE,
    NEXT_RESUME /* a walk-through that was left */
};

/* Owns its lists; lends the dossier. */
struct conclusion {
    enum conclusion_basis basis; /* of the worst bar; nothing: neither readings nor titrations */
    enum verdict_word verdict;   /* not judged when there is nothing */
    bool so_far;             /* within, but by nothing that a release could rest on yet: "within so far" */
    struct verdict_list all; /* every portion that was read; count 0: no readings */
    struct verdict_list ph;  /* those of the session read last, lent from `all` */
    struct verdict_list sittings; /* cups joined, in the order of time; lends nothing from `all` */
    struct bar_standing *bars;    /* worst first */
    size_t bar_count;
    const struct bar_standing *worst; /* the bar that decides; NULL: none does */
    const struct verdict *deciding;   /* the sitting that decides; NULL: a titration, the recipe or nothing */
    struct free_alkali free_alkali;   /* count 0: no titration */
    bool disagree;                    /* pH and titration of the deciding bar say different things */
    bool recipe_holds;                /* rule 5 */
    size_t titrated_within;           /* bars whose last titration is within */
    bool by_old_rule; /* released before the rule of this version, and it would not be released by it */
    civil_time at;    /* of what it rests on; MOMENT_NONE for nothing */
    struct release_check release;
    struct sentences in_favour, against, missing; /* of kind reason */
    struct sentences settled; /* likewise: what stood against a bar that is within now, the worst of each */
    enum next_step step;
    civil_day step_from;   /* not before that day; DAY_NONE: now */
    struct sentences next; /* one, of kind next */
};

/* aid             as for verdict_of_all(), and the recipe and policy; NULL: nothing
 * ret_conclusion  owned by the caller, conclusion_clear(); a copy of the struct lends from the first
 *
 * STATUS as verdict_of_all() and free_alkali_of(); no readings and no titrations is CONCLUSION_NOTHING. */
enum status conclusion_of(const struct dossier *dossier, const struct verdict_aid *aid,
                          struct conclusion *ret_conclusion, struct failure *failure);

/* Is the batch to be held for it: doubtful or lye-heavy? */
bool conclusion_holds(const struct conclusion *conclusion);

/* One line for people: "doubtful: pH 10.80 +/- 0.06 at 40 degC and 1 %, ..., 2026-05-30" or
 * "within: 0.031 +/- 0.012 % free NaOH by titration, 2026-05-30". Given: free() it. */
char *conclusion_text(const struct conclusion *conclusion);

/* The same for one sitting of a bar, whose name stands elsewhere: "lye-heavy: pH 11.60 +/- 0.06 at 40 degC and 1 %, ...". Given: free() it. */
char *conclusion_bar_text(const struct verdict *bar);

/* "within so far" where that is it, else verdict_word(). Lent for ever. */
const char *conclusion_word(const struct conclusion *conclusion);

/* "test", "titrate", "rework", "release", "hold", "recipe", "resume"; "" for nothing. Lent for ever. */
const char *next_step_word(enum next_step step);

void conclusion_clear(struct conclusion *conclusion);

#endif
