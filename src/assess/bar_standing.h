/* bar_standing.h - where one bar of a batch stands: all that was read, seen and titrated of it, in the order of time.
 *
 * Rules (method.md, section 5, rules 1, 2, 6 and 7)
 * (1) A bar is judged by its last judged sitting; of two sittings of one day the worse counts.
 * (2) A titration of two portions and more clears its bar of what was read and seen before it (a date without a time:
 *     not before), and what it found is taken back only by a later such titration of that bar. One portion clears
 *     nothing and takes nothing back; what it found counts. A pH read after it with a worse verdict than its own counts.
 * (3) A lye-heavy sitting, judged or not, is settled only by a titration of its bar, of two portions and more.
 * (4) A doubtful one is settled by a retest of its bar: a new portion in a later sitting that could be judged and is
 *     within. Where a reference bar made it doubtful, the retest stands beside a reference of that age too; another doubt
 *     that came and went in between changes nothing about that.
 * (5) What is not judged never clears and never replaces a judged sitting; doubtful or lye-heavy it speaks against.
 * (6) Weeping or lye-like pockets make a bar doubtful until a titration, or a retest of two cups with one cut through
 *     the spot.
 * (7) Cups without a label may be of any bar: a doubtful one is settled by a titration of a portion without a label or by
 *     two later sittings of two cups each that are all within, with a label or without, and both a doubtful and a
 *     lye-heavy one by titrations of two bars; but what a titration of such a portion found, only another takes back.
 * (8) A bar that is used up is settled by two others: within, read at an age of 28 days or more, for a doubtful one;
 *     titrated for a lye-heavy one. So is one that was read while young only, and can be read no more. */
#ifndef BAR_STANDING_H
#define BAR_STANDING_H

#include "free_alkali.h"
#include "verdict.h"

/* What is known of a batch before its bars are weighed up. All lent. */
struct bar_evidence {
    const struct dossier *dossier;
    const struct verdict_list *sittings; /* verdict_join_cups(), in the order of time */
    const struct free_alkali *titrated;  /* count 0: none */
};

/* One bar. Pointers are lent from the evidence. */
struct bar_standing {
    const char *bar; /* NULL: cups and portions without a label */
    enum verdict_word verdict;
    bool judged; /* a judged sitting or a titration stands behind it; else it says nothing for the batch */
    const struct verdict *last;  /* the last judged sitting, the worst of its day; NULL: none */
    const struct verdict *heavy; /* the lye-heavy sitting that stands; NULL: none */
    const struct verdict *doubt; /* the doubtful sitting that stands; NULL: none */
    const struct verdict
        *unjudged; /* one that was not judged, later, and lies above the bound of day 28; NULL: none */
    const struct verdict *beside_reference; /* the one that stands because of a reference bar; NULL: none */
    const struct free_alkali_result *titration; /* its latest, the worst of that day; NULL: none */
    const struct observation *look;             /* rule 6, not settled; NULL: none */
    civil_day used_up_on;                       /* DAY_NONE: not said */
    bool settled_by_others;                     /* rules 7 and 8; what stood against it is NULL then */
    enum verdict_word settled_from;             /* what it was before; only then */
    bool
        meets_release; /* within by the bound of day 28 as well, or by a titration that no worse pH followed */
};

/* The verdict a titration stands for: upper end up to 0.05 % within, mean above 0.1 % lye-heavy, else doubtful; one
 * portion is never better than doubtful. */
enum verdict_word bar_titration_word(const struct titration_result *figures);

/* Was the cup read before a titration, or in its sitting, so that this speaks after it (rule 2)? */
bool bar_titrated_after(const struct free_alkali_result *titrated, const struct verdict *cup);

/* Every bar that was read, titrated or looked at, worst first; then by label, the one without first.
 *
 * ret_bars  given: free() it */
void bar_standings_of(const struct bar_evidence *evidence, struct bar_standing **ret_bars, size_t *ret_count);

/* How many bars were titrated, last and within, after a moment; portions without a label count as one bar. */
size_t bar_titrated_within(const struct bar_standing *bars, size_t count, civil_time since);

/* Of the titrations that count for the bars the worst, by word and then by its upper end; NULL: none was titrated. */
const struct free_alkali_result *bar_titrated_worst(const struct bar_standing *bars, size_t count);

#define BAR_NO_LABEL "the bar without a label"

/* "bar A" for a sentence, or `without` for one that has no label. Given: free() it. */
char *bar_name(const char *bar, const char *without);

/* The sitting, or NULL, that decides what is said of the bar. */
const struct verdict *bar_deciding(const struct bar_standing *bar);

#endif
