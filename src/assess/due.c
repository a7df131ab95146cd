/* due.c - what is to be done today. */
#include "due.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

const char *
due_kind_word(enum due_kind kind)
{
    static const char *const words[] = {"plan", "retest", "first", "session", "meter", "bottle", "trouble"};

    return words[kind];
}

/* Takes `why` over. */
static void
add(struct due_list *list, struct due_item item, const char *subject, const char *what, civil_day today)
{
    item.subject = memory_copy(subject);
    item.what = memory_copy(what);
    item.overdue_d = today - item.due_on;
    list->items = memory_room(list->items, list->count, &list->capacity, sizeof *list->items);
    list->items[list->count++] = item;
}

/* The planned entry of the same word next before (step -1) or after (step 1) this one; NULL: none. Entries are
 * by day. */
static const struct plan_entry *
neighbour(const struct dossier *dossier, size_t index, int step)
{
    const struct plan_entry *entry = &dossier->plan_entries[index];

    for (size_t i = index + (size_t)step; i < dossier->plan_entry_count; i += (size_t)step) {
        const struct plan_entry *other = &dossier->plan_entries[i];

        if (!other->dropped && text_same(other->what, entry->what) && other->due_on != entry->due_on)
            return other;
    }
    return NULL;
}

/* Rule 1: where the slot of an entry begins, `before` being the one before it. */
static civil_day
slot_begin(const struct plan_entry *entry, const struct plan_entry *before, int window_d)
{
    int half_d = before == NULL ? window_d : (entry->due_on - before->due_on) / 2;

    return entry->due_on - (half_d < window_d ? half_d : window_d);
}

/* Was there a reading, or a titration, from `begin` to before `end`? */
static bool
done_between(const struct dossier *dossier, const char *what, civil_day begin, civil_day end)
{
    bool tests = !text_same(what, "titrate"), titrations = !text_same(what, "test");

    for (size_t i = 0; tests && i < dossier->reading_count; i++) {
        civil_day day = clock_day_of(dossier->readings[i].taken_at);

        if (reading_stands(&dossier->readings[i]) && !dossier->readings[i].on_surface && day >= begin &&
            day < end)
            return true;
    }
    for (size_t i = 0; titrations && i < dossier->titration_count; i++) {
        civil_day day = clock_day_of(dossier->titrations[i].taken_at);

        if (titration_stands(&dossier->titrations[i]) && day >= begin && day < end)
            return true;
    }
    return false;
}

static void
plan_due(const struct dossier *dossier, size_t index, int window_d, civil_day today, int ahead_d,
         struct due_list *list)
{
    const struct plan_entry *entry = &dossier->plan_entries[index];
    const struct plan_entry *before = neighbour(dossier, index, -1), *after = neighbour(dossier, index, 1);
    civil_day end = after == NULL ? INT32_MAX : slot_begin(after, entry, window_d);
    bool missed = today >= end;

    if (entry->dropped || entry->due_on > today + ahead_d ||
        done_between(dossier, entry->what, slot_begin(entry, before, window_d), end) ||
        (missed && done_between(dossier, entry->what, end, INT32_MAX)))
        return;
    add(list,
        (struct due_item){
            .kind = DUE_PLAN, .due_on = entry->due_on, .missed = missed, .why = memory_copy(entry->why)},
        dossier->batch.code, entry->what, today);
}

/* The change that made a held batch held; NULL: it is not held. */
static const struct state_change *
hold_of(const struct dossier *dossier)
{
    return dossier->batch.state == BATCH_HELD ? dossier_last_change(dossier) : NULL;
}

static bool
is_planned(const struct dossier *dossier)
{
    for (size_t i = 0; i < dossier->plan_entry_count; i++)
        if (!dossier->plan_entries[i].dropped)
            return true;
    return false;
}

/* Rule 6. */
static void
first_due(const struct dossier *dossier, civil_day today, int ahead_d, struct due_list *list)
{
    const struct state_change *hold = hold_of(dossier);
    civil_day due_on = hold == NULL ? dossier->batch.made_on + DUE_FIRST_AGE_D : clock_day_of(hold->at);
    struct due_item item = {.kind = DUE_FIRST, .due_on = due_on};

    if ((dossier->batch.state != BATCH_IN_CURE && dossier->batch.state != BATCH_HELD) ||
        due_on > today + ahead_d || is_planned(dossier) || dossier_unfinished(dossier) != NULL)
        return;
    item.why = hold == NULL ? memory_copy("never tested, and nothing planned")
                            : text_format("held and never tested: %s", hold->why);
    add(list, item, dossier->batch.code, "test", today);
}

/* Rule 3: what the conclusion asks for next. */
static void
next_due(const struct dossier *dossier, const struct conclusion *conclusion, civil_day today, int ahead_d,
         struct due_list *list)
{
    const struct state_change *hold = hold_of(dossier);
    struct due_item item = {.kind = DUE_RETEST,
                            .due_on = conclusion->at == MOMENT_NONE ? dossier->batch.made_on
                                                                    : clock_day_of(conclusion->at)};
    const struct sentence *next = sentences_find(&conclusion->next, SENTENCE_NEXT);
    char *found;

    if (conclusion->step == NEXT_NOTHING || next == NULL ||
        (conclusion->step == NEXT_TEST && conclusion->verdict == VERDICT_WITHIN && is_planned(dossier)))
        return;
    if (hold != NULL && clock_day_of(hold->at) > item.due_on)
        item.due_on = clock_day_of(hold->at);
    if (conclusion->step_from != DAY_NONE && conclusion->step_from > item.due_on)
        item.due_on = conclusion->step_from;
    if (item.due_on > today + ahead_d)
        return;
    found = conclusion_text(conclusion);
    item.why = text_format("%s; %s", found, next->text);
    sentences_next(&item.next, (const char *const *)next->words, "%s", next->text);
    free(found);
    add(list, item, dossier->batch.code, next_step_word(conclusion->step), today);
}

void
due_of_batch(const struct dossier *dossier, const struct conclusion *conclusion, const struct policy *policy,
             civil_day today, int ahead_d, struct due_list *list)
{
    bool away = dossier->closed.end == BATCH_THROWN_AWAY ||
                (dossier->closed.end != BATCH_NOT_CLOSED && dossier->batch.state == BATCH_RELEASED);

    if (dossier->batch.state == BATCH_DISCARDED ||
        away) /* sold and held later is no end: it is with somebody */
        return;
    for (size_t i = 0; i < dossier->plan_entry_count; i++)
        plan_due(dossier, i, policy->window_days, today, ahead_d, list);
    if (dossier->batch.role == BATCH_LYE_HEAVY)
        return;
    if (conclusion->step == NEXT_TEST && conclusion->basis == CONCLUSION_NOTHING)
        first_due(dossier, today, ahead_d, list);
    else
        next_due(dossier, conclusion, today, ahead_d, list);
}

void
due_of_session(int64_t session_id, civil_time begun, const char *codes, civil_day today,
               struct due_list *list)
{
    char day[DAY_TEXT_SIZE], *number = text_format("%lld", (long long)session_id);
    struct due_item item = {.kind = DUE_SESSION, .due_on = clock_day_of(begun)};

    item.why = text_format("%s%sbegun %s, not finished", codes, *codes == '\0' ? "" : ": ",
                           clock_day_text(item.due_on, day));
    add(list, item, number, "resume", today);
    free(number);
}

void
due_of_trouble(const char *code, const char *why, civil_day today, struct due_list *list)
{
    struct due_item item = {.kind = DUE_TROUBLE, .due_on = today};

    item.why = memory_copy(why);
    add(list, item, code, "verify", today);
}

/* The day of the first test that is listed, not before today. */
static civil_day
first_test(const struct due_list *list, civil_day today)
{
    civil_day first = DAY_NONE;

    for (size_t i = 0; i < list->count; i++) {
        civil_day day = list->items[i].due_on > today ? list->items[i].due_on : today;

        if (list->items[i].kind <= DUE_FIRST && text_same(list->items[i].what, "test") &&
            (first == DAY_NONE || day < first))
            first = day;
    }
    return first == DAY_NONE ? today : first;
}

/* Rule 4. */
static void
meter_due(const struct gear *meter, const struct calibration *latest, const struct policy *policy,
          civil_day today, struct due_list *list)
{
    civil_day test = first_test(list, today), taken;
    char day[DAY_TEXT_SIZE];

    if (latest == NULL) {
        add(list,
            (struct due_item){.kind = DUE_METER, .due_on = test, .why = memory_copy("never calibrated")},
            meter->name, "calibrate", today);
        return;
    }
    taken = clock_day_of(latest->taken_at);
    if (latest->verdict != CALIBRATION_REFUSED && test - taken <= policy->calibration_days)
        return;
    add(list,
        (struct due_item){.kind = DUE_METER,
                          .due_on = test,
                          .why = text_format("last calibrated %s%s", clock_day_text(taken, day),
                                             latest->verdict == CALIBRATION_REFUSED ? ", and refused" : "")},
        meter->name, "calibrate", today);
}

void
due_of_gear(const struct gear *gear, const struct calibration *latest, const struct policy *policy,
            civil_day today, int ahead_d, struct due_list *list)
{
    char day[DAY_TEXT_SIZE];

    if (gear->retired)
        return;
    if (gear->kind == GEAR_METER)
        meter_due(gear, latest, policy, today, list);
    if (gear->expires_on == DAY_NONE || gear->expires_on + 1 > today + ahead_d)
        return;
    add(list,
        (struct due_item){.kind = DUE_BOTTLE,
                          .due_on = gear->expires_on + 1,
                          .why = text_format("its date is %s", clock_day_text(gear->expires_on, day))},
        gear->name, "replace", today);
}

static int
by_urgency(const void *a, const void *b)
{
    const struct due_item *first = a, *second = b;

    if (first->missed != second->missed)
        return first->missed ? 1 : -1;
    if (first->due_on != second->due_on)
        return first->due_on < second->due_on ? -1 : 1;
    if (first->kind != second->kind)
        return first->kind < second->kind ? -1 : 1;
    return strcmp(first->subject, second->subject);
}

void
due_sort(struct due_list *list)
{
    if (list->count > 1)
        qsort(list->items, list->count, sizeof *list->items, by_urgency);
}

void
due_list_clear(struct due_list *list)
{
    for (size_t i = 0; i < list->count; i++) {
        free(list->items[i].subject);
        free(list->items[i].what);
        free(list->items[i].why);
        sentences_clear(&list->items[i].next);
    }
    free(list->items);
    *list = (struct due_list){0};
}
