/* conclusion_next.c - the one next step of a batch. */
#include <math.h>
#include <stdlib.h>

#include "conclusion_parts.h"
#include "memory.h"
#include "text.h"
#include "verdict_reason.h"

__attribute__((format(printf, 4, 5))) static void
set(struct conclusion *conclusion, enum next_step step, const char *const *words, const char *format, ...)
{
    struct text text = {0};
    va_list arguments;

    va_start(arguments, format);
    text_addv(&text, format, arguments);
    va_end(arguments);
    conclusion->step = step;
    sentences_next(&conclusion->next, words, "%s", text_of(&text));
    text_clear(&text);
}

static const char *
label_of(const struct bar_standing *bar)
{
    return bar == NULL ? NULL : bar->bar;
}

/* CODE/BAR as a command takes it, or the code alone: what is typed next is then of the bar that asks for it.
 * Given: free() it. */
static char *
typed_of(const struct dossier *dossier, const char *bar)
{
    return bar == NULL ? memory_copy(dossier->batch.code) : text_format("%s/%s", dossier->batch.code, bar);
}

/* Titrate one bar, or what stands for it without a label. */
static void
titrate_one(struct conclusion *conclusion, const struct dossier *dossier, const char *before,
            const char *without)
{
    char *name = bar_name(label_of(conclusion->worst), without),
         *typed = typed_of(dossier, label_of(conclusion->worst));
    const char *const words[] = {"titrate", typed, NULL};

    set(conclusion, NEXT_TITRATE, words, "%s%s", before, name);
    free(name);
    free(typed);
}

/* Titrate or test two bars: portions without a label would count as one. */
static void
do_with_two(struct conclusion *conclusion, const struct dossier *dossier, enum next_step step,
            const char *command, const char *text)
{
    char *one = typed_of(dossier, "1"), *two = typed_of(dossier, "2");
    const char *const words[] = {command, one, two, NULL};

    set(conclusion, step, words, "%s", text);
    free(one);
    free(two);
}

/* Put right what kept a cup from being judged, and test again. */
static void
put_right(struct conclusion *conclusion, const struct verdict *cup, const char *before, const char *behind)
{
    bool calibrates = false;
    const char *what = verdict_reason_to_put_right(cup, &calibrates);
    const char *const words[] = {calibrates ? "calibrate" : "test",
                                 calibrates ? cup->gear->name : cup->dossier->batch.code, NULL};

    set(conclusion, NEXT_TEST, words, "%s%s%s", before, what, behind);
}

/* Before the name of a bar whose pH is to be settled: one portion settles nothing. */
static const char *
titrates(const struct bar_standing *bar)
{
    return bar->titration != NULL && bar->titration->count == 1
               ? "keep it held, and titrate two portions on one day of "
               : "keep it held, and titrate ";
}

static void
after_heavy(struct conclusion *conclusion, const struct dossier *dossier)
{
    const char *const rework[] = {"rework", dossier->batch.code, NULL};

    if (conclusion->basis == CONCLUSION_TITRATION)
        set(conclusion, NEXT_REWORK, rework, "keep it held, and see what would bring it back");
    else if (label_of(conclusion->worst) == NULL)
        do_with_two(conclusion, dossier, NEXT_TITRATE, "titrate",
                    "keep it held, and titrate two bars, labelled");
    else
        titrate_one(conclusion, dossier, titrates(conclusion->worst), "a portion");
}

/* Is the bar doubtful only because its reading is unsure, and does a better one settle that? */
static bool
is_only_unsure(const struct conclusion *conclusion)
{
    const struct verdict *cup = conclusion->deciding;

    return cup != NULL && cup == conclusion->worst->doubt && conclusion->worst->look == NULL && !cup->poor &&
           cup->ph_at_reference <= cup->clear_ph && !cup->raised_by_reference && !cup->raised_by_paper;
}

static void
test_better(struct conclusion *conclusion, const struct dossier *dossier)
{
    const struct bar_standing *worst = conclusion->worst;
    const char *better = verdict_reason_to_be_surer(conclusion->deciding);
    char *name = bar_name(worst->bar, "it"), *typed = typed_of(dossier, worst->bar), *text;
    const char *const words[] = {"test", typed, NULL};

    if (worst->bar != NULL) {
        set(conclusion, NEXT_TEST, words, "keep it held, and test %s again on a later day; %s", name, better);
    } else {
        text = text_format("keep it held, and test two bars, labelled, on two later days; %s", better);
        do_with_two(conclusion, dossier, NEXT_TEST, "test", text);
        free(text);
    }
    conclusion->step_from = clock_day_of(conclusion->deciding->read_at) + 1;
    free(name);
    free(typed);
}

static void
after_doubt(struct conclusion *conclusion, const struct dossier *dossier)
{
    const struct bar_standing *worst = conclusion->worst;

    if (conclusion->recipe_holds || worst == NULL || worst->verdict < VERDICT_DOUBTFUL)
        do_with_two(conclusion, dossier, NEXT_RECIPE, "titrate",
                    "keep it held: put the recipe right if it was written down wrongly, or titrate two bars");
    else if (conclusion->basis == CONCLUSION_TITRATION)
        titrate_one(conclusion, dossier,
                    "keep it held, and titrate two more portions, of 10 g and with a blank, of ",
                    "the batch");
    else if (conclusion->deciding != NULL && conclusion->deciding->poor)
        put_right(conclusion, conclusion->deciding, "keep it held, ", ", and test it again");
    else if (is_only_unsure(conclusion))
        test_better(conclusion, dossier);
    else
        titrate_one(conclusion, dossier, titrates(worst), "a portion");
}

/* The first bar that is to be read again. */
static const struct bar_standing *
to_read_again(const struct conclusion *conclusion)
{
    for (size_t i = 0; i < conclusion->bar_count; i++)
        if (conclusion->bars[i].verdict == VERDICT_WITHIN && !conclusion->bars[i].meets_release)
            return &conclusion->bars[i];
    return NULL;
}

static void
after_within(const struct dossier *dossier, struct conclusion *conclusion)
{
    const char *code = dossier->batch.code;
    const struct bar_standing *again = to_read_again(conclusion);
    civil_day ripe = dossier->batch.made_on + CLEAR_RIPE_AGE_D;
    char *name = bar_name(label_of(again), "it"), *typed = typed_of(dossier, label_of(again)),
         day[DAY_TEXT_SIZE];
    const char *const release[] = {"batch", "release", code, NULL}, *const test[] = {"test", typed, NULL};

    clock_day_text(ripe, day);
    if (conclusion->release.met) {
        set(conclusion, NEXT_RELEASE, release, "release it");
    } else if (dossier->batch.parent_id != 0 && conclusion->titrated_within < 2) {
        do_with_two(conclusion, dossier, NEXT_TITRATE, "titrate",
                    "keep it held, and titrate two of its bars, labelled");
    } else if ((again != NULL || conclusion->so_far) && ripe <= clock_day_of(conclusion->at)) {
        set(conclusion, NEXT_TEST, test,
            "test %s again: it is old enough now for a test that a release rests on", name);
    } else if (again != NULL || conclusion->so_far) {
        conclusion->step_from = ripe;
        set(conclusion, NEXT_TEST, test, "let it cure on, and test %s again from %s on", name, day);
    } else if (dossier_unfinished(dossier) != NULL) {
        char *number = text_format("%lld", (long long)dossier_unfinished(dossier)->id);

        set(conclusion, NEXT_RESUME, (const char *const[]){"resume", number, NULL},
            "go on with the test that was left, or close it (--close --why REASON): a release asks for that");
        free(number);
    } else {
        const struct release_item *item = conclusion->release.items;

        while (item->met)
            item++;
        set(conclusion, NEXT_TEST, test,
            "test it again on another day: a release still asks for this: %s (%s)", item->asked, item->found);
    }
    free(name);
    free(typed);
}

void
conclusion_add_next(const struct dossier *dossier, struct conclusion *conclusion)
{
    const char *code = dossier->batch.code;
    const char *const test[] = {"test", code, NULL}, *const hold[] = {"batch", "hold", code, NULL},
                      *const show[] = {"batch", "show", code, NULL};

    if (dossier->batch.state == BATCH_DISCARDED)
        set(conclusion, NEXT_NOTHING, show, "nothing: a discarded batch stays discarded");
    else if (conclusion->by_old_rule && conclusion_holds(conclusion))
        set(conclusion, NEXT_HOLD, hold, "hold it again, or keep it released with a reason (batch release)");
    else if (conclusion->verdict == VERDICT_LYE_HEAVY)
        after_heavy(conclusion, dossier);
    else if (conclusion->verdict == VERDICT_DOUBTFUL)
        after_doubt(conclusion, dossier);
    else if (conclusion->basis == CONCLUSION_NOTHING && dossier->batch.parent_id != 0)
        do_with_two(conclusion, dossier, NEXT_TITRATE, "titrate",
                    "keep it held, and titrate two of its bars, labelled");
    else if (conclusion->basis == CONCLUSION_NOTHING)
        set(conclusion, NEXT_TEST, test, "test it");
    else if (conclusion->verdict == VERDICT_NOT_JUDGED)
        put_right(conclusion, &conclusion->sittings.verdicts[conclusion->sittings.count - 1], "",
                  ", and test it again; until then it is not cleared");
    else if (dossier->batch.state == BATCH_RELEASED)
        set(conclusion, NEXT_NOTHING, show, "nothing that the record asks for; it is released");
    else
        after_within(dossier, conclusion);
}
