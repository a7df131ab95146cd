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

/* "bar A", or "a portion". Given: free() it. */
static char *
portion_of(const struct bar_standing *bar)
{
    char *label = bar == NULL || bar->bar == NULL ? NULL : text_visible(bar->bar), *text;

    text = label == NULL ? memory_copy("a portion") : text_format("bar %s", label);
    free(label);
    return text;
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

static void
after_heavy(struct conclusion *conclusion, const char *const *titrate, const char *const *rework)
{
    const struct bar_standing *worst = conclusion->worst;
    char *portion = portion_of(worst);

    if (conclusion->basis == CONCLUSION_TITRATION)
        set(conclusion, NEXT_REWORK, rework, "keep it held, and see what would bring it back");
    else if (worst->bar == NULL)
        set(conclusion, NEXT_TITRATE, titrate, "keep it held, and titrate two bars, labelled");
    else
        set(conclusion, NEXT_TITRATE, titrate, "keep it held, and titrate %s", portion);
    free(portion);
}

static void
after_doubt(struct conclusion *conclusion, const char *const *titrate)
{
    const struct bar_standing *worst = conclusion->worst;
    char *portion = portion_of(worst);

    if (worst == NULL || worst->verdict < VERDICT_DOUBTFUL)
        set(conclusion, NEXT_RECIPE, titrate,
            "keep it held: put the recipe right if it was written down wrongly, or titrate two bars");
    else if (conclusion->basis == CONCLUSION_TITRATION)
        set(conclusion, NEXT_TITRATE, titrate,
            "keep it held, and titrate more portions of %s, of 10 g and with a blank", portion);
    else if (conclusion->deciding != NULL && conclusion->deciding->poor)
        put_right(conclusion, conclusion->deciding, "keep it held, ", ", and test it again");
    else
        set(conclusion, NEXT_TITRATE, titrate, "keep it held, and titrate %s", portion);
    free(portion);
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
after_within(const struct dossier *dossier, struct conclusion *conclusion, const char *const *titrate,
             const char *const *test, const char *const *release)
{
    const struct bar_standing *again = to_read_again(conclusion);
    civil_day ripe = dossier->batch.made_on + CLEAR_RIPE_AGE_D;
    char *portion = portion_of(again), day[DAY_TEXT_SIZE];
    bool titrations = dossier->batch.parent_id != 0 && conclusion->titrated_within < 2;

    clock_day_text(ripe, day);
    if (conclusion->release.met) {
        set(conclusion, NEXT_RELEASE, release, "release it");
    } else if (titrations) {
        set(conclusion, NEXT_TITRATE, titrate, "keep it held, and titrate two of its bars, labelled");
    } else if (again != NULL || conclusion->so_far) {
        conclusion->step_from = ripe;
        set(conclusion, NEXT_TEST, test, "let it cure on, and test %s again from %s on",
            again == NULL || again->bar == NULL ? "it" : portion, day);
    } else {
        const struct release_item *item = conclusion->release.items;

        while (item->met)
            item++;
        set(conclusion, NEXT_TEST, test, "test it again: a release still asks for this: %s (%s)", item->asked,
            item->found);
    }
    free(portion);
}

void
conclusion_add_next(const struct dossier *dossier, struct conclusion *conclusion)
{
    const char *code = dossier->batch.code;
    const char *const test[] = {"test", code, NULL}, *const titrate[] = {"titrate", code, NULL};
    const char *const rework[] = {"rework", code, NULL}, *const release[] = {"batch", "release", code, NULL};
    const char *const hold[] = {"batch", "hold", code, NULL}, *const show[] = {"batch", "show", code, NULL};

    if (dossier->batch.state == BATCH_DISCARDED)
        set(conclusion, NEXT_NOTHING, show, "nothing: a discarded batch stays discarded");
    else if (conclusion->by_old_rule && conclusion_holds(conclusion))
        set(conclusion, NEXT_HOLD, hold, "hold it again, or keep it released with a reason (batch release)");
    else if (conclusion->verdict == VERDICT_LYE_HEAVY)
        after_heavy(conclusion, titrate, rework);
    else if (conclusion->verdict == VERDICT_DOUBTFUL)
        after_doubt(conclusion, titrate);
    else if (conclusion->basis == CONCLUSION_NOTHING && dossier->batch.parent_id != 0)
        set(conclusion, NEXT_TITRATE, titrate, "keep it held, and titrate two of its bars, labelled");
    else if (conclusion->basis == CONCLUSION_NOTHING)
        set(conclusion, NEXT_TEST, test, "test it");
    else if (conclusion->verdict == VERDICT_NOT_JUDGED)
        put_right(conclusion, &conclusion->sittings.verdicts[conclusion->sittings.count - 1], "",
                  ", and test it again; until then it is not cleared");
    else if (dossier->batch.state == BATCH_RELEASED)
        set(conclusion, NEXT_NOTHING, show, "nothing that the record asks for; it is released");
    else
        after_within(dossier, conclusion, titrate, test, release);
}
