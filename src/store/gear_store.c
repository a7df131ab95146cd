/* gear_store.c - gear in the notebook. A kitchen has little of it, so it is read whole. */
#include "gear_store.h"

#include <stdlib.h>

#include "memory.h"
#include "row.h"
#include "sql.h"
#include "statement.h"
#include "store_internal.h"
#include "text.h"

static void
load(struct statement *row, struct gear *gear)
{
    enum gear_kind kind = GEAR_METER;
    struct failure ignored = {0};
    const char *steps;

    gear_kind_parse(statement_word(row, 2), &kind, &ignored);
    gear_init(gear, kind);
    gear->id = statement_id(row, 0);
    gear->name = statement_name(row, 1);
    gear->resolution_ph = statement_double(row, 3);
    gear->accuracy_ph = statement_double(row, 4);
    gear->atc = statement_int(row, 5) != 0;
    steps = statement_text(row, 6);
    if (steps != NULL)
        gear_parse_steps(gear, steps, &ignored);
    gear->readability_g = statement_double(row, 7);
    gear->resolution_c = statement_double(row, 8);
    gear->accuracy_c = statement_double(row, 9);
    gear->buffer = statement_copy(row, 10);
    gear->expires_on = statement_day(row, 11);
    gear->note = statement_copy(row, 12);
    gear->added_at = statement_time(row, 13);
    gear->retired = statement_int(row, 14) != 0;
    gear->usual = statement_int(row, 15) != 0;
}

static void
clear_all(struct gear *gear, size_t count)
{
    for (size_t i = 0; i < count; i++)
        gear_clear(&gear[i]);
    free(gear);
}

enum status
gear_store_list(struct store *store, struct gear **ret_gear, size_t *ret_count, struct failure *failure)
{
    struct statement *list = statement_open(store, sql_gear_list, failure);
    struct gear *gear = NULL;
    size_t count = 0, capacity = 0;
    enum status status;
    bool row = false;

    if (list == NULL)
        return failure->status;
    while ((status = statement_step(list, &row, failure)) == STATUS_OK && row) {
        gear = memory_room(gear, count, &capacity, sizeof *gear);
        load(list, &gear[count++]);
    }
    statement_done(list);
    if (status != STATUS_OK) {
        clear_all(gear, count);
        return status;
    }
    *ret_gear = gear;
    *ret_count = count;
    return STATUS_OK;
}

/* The names of a kind, as a person would list them; given: free() it. */
static char *
names_of(const struct gear *gear, size_t count, enum gear_kind kind)
{
    struct text names = {0};

    for (size_t i = 0; i < count; i++)
        if (gear[i].kind == kind && !gear[i].retired)
            text_addf(&names, "%s'%s'", names.length == 0 ? "" : ", ", gear[i].name);
    return text_take(&names);
}

static enum status
not_found(const struct gear *gear, size_t count, enum gear_kind kind, const char *name,
          struct failure *failure)
{
    const char *word = gear_kind_word(kind);
    char *names;

    for (size_t i = 0; i < count; i++)
        if (text_same(gear[i].name, name))
            return failure_set(failure, STATUS_CONFLICT, "'%s' is a %s, not a %s", gear[i].name,
                               gear_kind_word(gear[i].kind), word);
    names = names_of(gear, count, kind);
    if (*names == '\0')
        failure_set(failure, STATUS_MISSING, "there is no %s '%.60s' (gear add %.60s --kind %s ...)", word,
                    name, name, word);
    else
        failure_set(failure, STATUS_MISSING, "there is no %s '%.60s'; there is %s", word, name, names);
    free(names);
    return STATUS_MISSING;
}

enum status
gear_store_find(struct store *store, enum gear_kind kind, const char *name, struct gear *ret_gear,
                struct failure *failure)
{
    struct gear *gear = NULL;
    size_t count = 0;
    enum status status = gear_store_list(store, &gear, &count, failure);

    if (status != STATUS_OK)
        return status;
    status = STATUS_MISSING;
    for (size_t i = 0; status != STATUS_OK && i < count; i++) {
        if (gear[i].kind == kind && text_same(gear[i].name, name)) {
            *ret_gear = gear[i];
            gear[i] = (struct gear){0};
            status = STATUS_OK;
        }
    }
    if (status != STATUS_OK)
        status = not_found(gear, count, kind, name, failure);
    clear_all(gear, count);
    return status;
}

/* Of those in use: the only one, else the usual one. NULL with how many there are. */
static struct gear *
meant(struct gear *gear, size_t count, enum gear_kind kind, size_t *ret_in_use)
{
    struct gear *usual = NULL, *last = NULL;

    *ret_in_use = 0;
    for (size_t i = 0; i < count; i++) {
        if (gear[i].kind != kind || gear[i].retired)
            continue;
        last = &gear[i];
        usual = gear[i].usual ? last : usual;
        ++*ret_in_use;
    }
    return usual != NULL ? usual : (*ret_in_use == 1 ? last : NULL);
}

enum status
gear_store_only(struct store *store, enum gear_kind kind, struct gear *ret_gear, struct failure *failure)
{
    struct gear *gear = NULL, *found;
    size_t count = 0, in_use = 0;
    enum status status = gear_store_list(store, &gear, &count, failure);
    const char *word = gear_kind_word(kind);

    if (status != STATUS_OK)
        return status;
    found = meant(gear, count, kind, &in_use);
    if (found != NULL) {
        *ret_gear = *found;
        *found = (struct gear){0};
    } else if (in_use == 0) {
        status = failure_set(failure, STATUS_MISSING, "there is no %s yet (gear add NAME --kind %s ...)",
                             word, word);
    } else {
        char *names = names_of(gear, count, kind);

        status =
            failure_set(failure, STATUS_CONFLICT,
                        "there are several of kind %s, say which: --%s %s (gear default NAME makes one the "
                        "usual one)",
                        word, word, names);
        free(names);
    }
    clear_all(gear, count);
    return status;
}

static enum status
add_row(struct store *store, struct gear *gear, struct failure *failure)
{
    char *steps = gear_steps_text(gear);
    struct row row;
    enum status status;

    row_start(&row, store, "gear");
    row_text(&row, "name", gear->name);
    row_text(&row, "kind", gear_kind_word(gear->kind));
    row_number(&row, "resolution_ph", gear->resolution_ph);
    row_number(&row, "accuracy_ph", gear->accuracy_ph);
    row_integer(&row, "atc", gear->atc ? 1 : 0);
    row_text(&row, "steps", steps);
    row_number(&row, "readability_g", gear->readability_g);
    row_number(&row, "resolution_c", gear->resolution_c);
    row_number(&row, "accuracy_c", gear->accuracy_c);
    row_text(&row, "buffer", gear->buffer);
    row_day(&row, "expires_on", gear->expires_on);
    row_text(&row, "note", gear->note);
    row_time(&row, "added_at", gear->added_at);
    if (gear->usual)
        row_integer(&row, "usual", 1);
    status = row_add(&row, &gear->id, failure);
    free(steps);
    return status;
}

static enum status
add_new(struct store *store, struct gear *gear, struct failure *failure)
{
    struct gear *all = NULL;
    size_t count = 0;
    enum status status = gear_store_list(store, &all, &count, failure);

    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        if (text_same(all[i].name, gear->name))
            status = failure_set(failure, STATUS_CONFLICT, "there is gear named '%s' already (a %s)",
                                 all[i].name, gear_kind_word(all[i].kind));
    clear_all(all, count);
    return status == STATUS_OK ? add_row(store, gear, failure) : status;
}

enum status
gear_store_add(struct store *store, struct gear *gear, struct failure *failure)
{
    enum status status = store_begin(store, failure);

    if (status != STATUS_OK)
        return status;
    store->kept_stale = true;
    return store_end(store, add_new(store, gear, failure), failure);
}

static int
bottle_rank(const struct gear *bottle)
{
    return bottle->retired ? 0 : bottle->usual ? 2 : 1;
}

enum status
gear_store_bottle(struct store *store, const char *buffer, civil_time at, struct gear *ret_bottle,
                  size_t *ret_opened, struct failure *failure)
{
    struct gear *gear = NULL, *latest = NULL;
    size_t count = 0;
    enum status status = gear_store_list(store, &gear, &count, failure);

    if (status != STATUS_OK)
        return status;
    *ret_opened = 0;
    for (size_t i = 0; i < count; i++) {
        struct gear *bottle = &gear[i];

        if (bottle->kind != GEAR_BUFFER || !text_same(bottle->buffer, buffer) || bottle->added_at > at)
            continue;
        (*ret_opened)++;
        if (latest == NULL || bottle_rank(bottle) >= bottle_rank(latest))
            latest = bottle;
    }
    *ret_bottle = (struct gear){0};
    if (latest != NULL) {
        *ret_bottle = *latest;
        *latest = (struct gear){0};
    }
    clear_all(gear, count);
    return STATUS_OK;
}
