/* put_right.c - the values that stand in place of those that were put right. */
#include "put_right.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "sql.h"
#include "store_internal.h"
#include "text.h"

/* Sorted by table, number and column; the latest of each. */
struct put_right {
    struct correction *values; /* owned */
    size_t count, capacity;
    int64_t latest; /* number of the correction taken in last */
    bool known;     /* since when nobody else can have written */
    sqlite3_stmt *look;
};

bool
put_right_none(const struct store *store)
{
    return store->put_right == NULL || store->put_right->count == 0;
}

/* Where a value stands, or would. */
static size_t
place_of(const struct put_right *all, const char *table, int64_t number, const char *column, bool *ret_there)
{
    size_t low = 0, high = all->count;

    *ret_there = false;
    while (low < high) {
        size_t middle = (low + high) / 2;
        const struct correction *value = &all->values[middle];
        int order = strcmp(value->record->table, table);

        if (order == 0)
            order = (value->number > number) - (value->number < number);
        if (order == 0)
            order = strcmp(value->field->column, column);
        if (order == 0) {
            *ret_there = true;
            return middle;
        }
        if (order < 0)
            low = middle + 1;
        else
            high = middle;
    }
    return low;
}

const struct correction *
put_right_find(const struct store *store, const char *table, int64_t number, const char *column)
{
    bool there = false;
    size_t place;

    if (put_right_none(store))
        return NULL;
    place = place_of(store->put_right, table, number, column, &there);
    return there ? &store->put_right->values[place] : NULL;
}

static void
drop_values(struct put_right *all)
{
    for (size_t i = 0; i < all->count; i++)
        correction_clear(&all->values[i]);
    all->count = 0;
    all->latest = 0;
}

void
put_right_stale(struct store *store)
{
    if (store->put_right != NULL)
        store->put_right->known = false;
}

void
put_right_forget(struct store *store)
{
    if (store->put_right == NULL)
        return;
    drop_values(store->put_right);
    sqlite3_finalize(store->put_right->look);
    free(store->put_right->values);
    free(store->put_right);
    store->put_right = NULL;
}

/* standing(TABLE, number, COLUMN, value): numbers as numbers. */
static void
give_standing(sqlite3_context *context, int count, sqlite3_value **values)
{
    const struct store *store = sqlite3_user_data(context);
    const char *table = (const char *)sqlite3_value_text(values[0]),
               *column = (const char *)sqlite3_value_text(values[2]);
    const struct correction *standing =
        put_right_none(store) ? NULL : put_right_find(store, table, sqlite3_value_int64(values[1]), column);

    (void)count;
    if (standing == NULL)
        sqlite3_result_value(context, values[3]);
    else if (standing->value == NULL)
        sqlite3_result_null(context);
    else if (standing->field->kind == CORRECT_BATCH || standing->field->kind == CORRECT_GEAR)
        sqlite3_result_int64(context, strtoll(standing->value, NULL, 10));
    else
        sqlite3_result_text(context, standing->value, -1, SQLITE_TRANSIENT);
}

/* standing_row(TABLE, COLUMN, value) */
static void
give_row(sqlite3_context *context, int count, sqlite3_value **values)
{
    const struct store *store = sqlite3_user_data(context);
    const char *table = (const char *)sqlite3_value_text(values[0]),
               *column = (const char *)sqlite3_value_text(values[1]),
               *sought = (const char *)sqlite3_value_text(values[2]);

    (void)count;
    for (size_t i = 0; sought != NULL && !put_right_none(store) && i < store->put_right->count; i++) {
        const struct correction *value = &store->put_right->values[i];

        if (strcmp(value->record->table, table) == 0 && strcmp(value->field->column, column) == 0 &&
            value->value != NULL && text_same(value->value, sought)) {
            sqlite3_result_int64(context, value->number);
            return;
        }
    }
    sqlite3_result_null(context);
}

static char *
copy_column(sqlite3_stmt *row, int column)
{
    return memory_copy((const char *)sqlite3_column_text(row, column));
}

/* Take in the current row of correction_list. */
static enum status
take(struct put_right *all, sqlite3_stmt *row, struct failure *failure)
{
    const char *table = (const char *)sqlite3_column_text(row, 1),
               *column = (const char *)sqlite3_column_text(row, 3);
    const struct correctable *record = table == NULL ? NULL : correctable_of_table(table);
    const struct correct_field *field =
        record == NULL || column == NULL ? NULL : correctable_field(record, column);
    int64_t number = sqlite3_column_int64(row, 2);
    size_t place;
    bool there = false;

    all->latest = sqlite3_column_int64(row, 0);
    if (field == NULL || record->way != CORRECT_BY_FIELD)
        return failure_set(
            failure, STATUS_FORMAT,
            "row %lld of table correction: column 'field' of '%.40s' holds '%.40s', which cannot "
            "be put right so (curetrace verify)",
            (long long)all->latest, table == NULL ? "" : table, column == NULL ? "" : column);
    place = place_of(all, table, number, column, &there);
    if (!there) {
        all->values = memory_room(all->values, all->count, &all->capacity, sizeof *all->values);
        memmove(&all->values[place + 1], &all->values[place], (all->count - place) * sizeof *all->values);
        all->count++;
        all->values[place] = (struct correction){.record = record, .number = number, .field = field};
    }
    all->values[place].id = all->latest;
    free(all->values[place].value);
    all->values[place].value = copy_column(row, 4);
    return STATUS_OK;
}

static enum status
read_from(struct store *store, int64_t after, struct failure *failure)
{
    sqlite3_stmt *list = NULL;
    int code = sqlite3_prepare_v2(store->handle, sql_correction_list, -1, &list, NULL);
    enum status status = STATUS_OK;

    sqlite3_bind_int64(list, 1, after);
    while (status == STATUS_OK && code == SQLITE_OK && (code = sqlite3_step(list)) == SQLITE_ROW) {
        status = take(store->put_right, list, failure);
        code = SQLITE_OK;
    }
    if (status == STATUS_OK && code != SQLITE_DONE)
        status = store_failure(store, code, "cannot read the notebook", failure);
    sqlite3_finalize(list);
    return status;
}

/* A notebook of an older version, looked at as it is, has no such table. */
static enum status
prepare(struct store *store, bool *ret_there, struct failure *failure)
{
    struct put_right *all = store->put_right;
    int code;

    *ret_there = true;
    if (all != NULL && all->look != NULL)
        return STATUS_OK;
    if (all == NULL) {
        store->put_right = all = memory_new(1, sizeof *all);
        sqlite3_create_function(store->handle, "standing", 4, SQLITE_UTF8, store, give_standing, NULL, NULL);
        sqlite3_create_function(store->handle, "standing_row", 3, SQLITE_UTF8, store, give_row, NULL, NULL);
    }
    code = sqlite3_prepare_v3(store->handle, sql_correction_latest, -1, SQLITE_PREPARE_PERSISTENT, &all->look,
                              NULL);
    *ret_there = code == SQLITE_OK;
    return code == SQLITE_OK || (code & 0xff) == SQLITE_ERROR
               ? STATUS_OK
               : store_failure(store, code, "cannot read the notebook", failure);
}

enum status
put_right_look(struct store *store, struct failure *failure)
{
    struct put_right *all = store->put_right;
    int64_t latest = 0;
    bool there = true, held = store->depth > 0 || store->reading_depth > 0;
    enum status status;
    int code;

    if (all != NULL && all->known && held)
        return STATUS_OK;
    status = prepare(store, &there, failure);
    if (status != STATUS_OK || !there)
        return status;
    all = store->put_right;
    code = sqlite3_step(all->look);
    if (code == SQLITE_ROW)
        latest = sqlite3_column_int64(all->look, 0);
    sqlite3_reset(all->look);
    if (code != SQLITE_ROW)
        return store_failure(store, code, "cannot read the notebook", failure);
    if (latest < all->latest) /* what was taken in was undone */
        drop_values(all);
    if (latest > all->latest)
        status = read_from(store, all->latest, failure);
    if (status != STATUS_OK)
        drop_values(all);
    all->known = status == STATUS_OK && held;
    return status;
}
