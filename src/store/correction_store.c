/* correction_store.c - values that were put right, and rows that take the place of others. */
#include "correction_store.h"

#include <assert.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "number.h"
#include "row.h"
#include "sql.h"
#include "store_internal.h"
#include "text.h"
#include "value_check.h"

/* The column's place in its table; column_count where it has none of that name. */
static size_t
place_of(const struct table *table, const char *column)
{
    size_t i = 0;

    assert(table != NULL);
    while (i < table->column_count && strcmp(table->columns[i].name, column) != 0)
        i++;
    return i;
}

/* The row as it was added, its values by column. The texts stay in the statement until it is used again. */
static enum status
row_of(struct store *store, const struct correctable *record, int64_t number, const struct table **ret_table,
       struct table_value ret_values[TABLE_COLUMNS_MOST], struct failure *failure)
{
    size_t table = table_find(record->table);
    struct statement *rows = table_rows(store, table, number, number, failure);
    enum status status;
    bool row = false;

    if (rows == NULL)
        return failure->status;
    status = statement_step(rows, &row, failure);
    if (status == STATUS_OK && !row) {
        statement_done(rows);
        return failure_set(failure, STATUS_MISSING, "there is no %s number %lld", record->word,
                           (long long)number);
    }
    if (status == STATUS_OK) {
        table_load(rows, ret_values);
        *ret_table = table_open(store, table, failure);
        if (*ret_table == NULL) /* whatever was said, not a success */
            status = failure->status == STATUS_OK ? STATUS_SYSTEM : failure->status;
    }
    return status;
}

static void
row_done(struct store *store, const struct correctable *record)
{
    struct failure ignored = {0};

    statement_done(table_rows(store, table_find(record->table), 0, 0, &ignored));
}

enum status
correction_store_link(struct store *store, const struct correctable *record, int64_t number,
                      const char *column, int64_t *ret_id, struct failure *failure)
{
    const struct table *table = NULL;
    struct table_value values[TABLE_COLUMNS_MOST];
    enum status status = row_of(store, record, number, &table, values, failure);

    *ret_id = 0;
    if (status == STATUS_OK) {
        size_t place = place_of(table, column);

        if (place < table->column_count && !values[place].null)
            *ret_id = values[place].integer;
    }
    row_done(store, record);
    return status;
}

/* What a text means in a column. */
static struct table_value
value_of(enum table_type type, const char *text)
{
    struct table_value value = {.null = text == NULL, .type = type, .text = text};
    struct failure ignored = {0};

    if (text == NULL)
        return value;
    value.length = strlen(text);
    if (type == TABLE_INTEGER)
        value.integer = strtoll(text, NULL, 10);
    else if (type == TABLE_REAL)
        number_parse(text, NUMBER_POINT, &value.real, &ignored);
    return value;
}

static enum status
check_values(const struct correctable *record, const struct put_right_value *values, size_t count,
             struct failure *failure)
{
    for (size_t i = 0; i < count; i++)
        if (value_check_one(record->table, values[i].field->column, values[i].field, values[i].value,
                            failure) != STATUS_OK)
            return failure_at(failure, "%s of %s: ", values[i].field->column, record->word);
    return STATUS_OK;
}

static enum status
add_field(struct store *store, const struct correctable *record, int64_t number, const char *column,
          const char *value, const struct put_right_reason *reason, struct failure *failure)
{
    struct row row;
    int64_t id;
    enum status status;

    row_start(&row, store, "correction");
    row_text(&row, "record", record->table);
    row_id(&row, "number", number);
    row_text(&row, "field", column);
    row_text(&row, "value", value);
    row_text(&row, "why", reason->why);
    row_time(&row, "at", reason->at);
    row_text(&row, "who", reason->who);
    status = row_add(&row, &id, failure);
    put_right_stale(store);
    store->kept_stale = true;
    return status;
}

static enum status
add_fields(struct store *store, const struct correctable *record, int64_t number,
           const struct put_right_value *values, size_t count, bool withdrawn,
           const struct put_right_reason *reason, struct failure *failure)
{
    const struct correction *gone = put_right_find(store, record->table, number, "withdrawn");
    enum status status = STATUS_OK;

    if (gone != NULL && gone->value != NULL && strcmp(gone->value, "1") == 0)
        return failure_set(failure, STATUS_CONFLICT, "%s %lld was withdrawn already", record->word,
                           (long long)number);
    if (withdrawn)
        status = add_field(store, record, number, "withdrawn", "1", reason, failure);
    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        status = add_field(store, record, number, values[i].field->column, values[i].value, reason, failure);
    return status;
}

/* Is there a row that names it as the one it supersedes? */
static enum status
check_stands(struct store *store, const struct correctable *record, const struct table *table,
             const struct table_value *values, int64_t number, struct failure *failure)
{
    char *sql = text_format("SELECT ifnull(max(id), 0) FROM %s WHERE supersedes = %lld", record->table,
                            (long long)number);
    int64_t newer = 0;
    enum status status = store_number(store, sql, &newer, failure);
    size_t withdrawn = place_of(table, "withdrawn");
    bool gone = withdrawn < table->column_count && !values[withdrawn].null && values[withdrawn].integer == 1;

    free(sql);
    if (status == STATUS_OK && newer != 0)
        status = failure_set(failure, STATUS_CONFLICT, "%s %lld was corrected already; correct %s %lld",
                             record->word, (long long)number, record->word, (long long)newer);
    else if (status == STATUS_OK && gone)
        status = failure_set(failure, STATUS_CONFLICT, "%s %lld is a withdrawal; keep a new %s instead",
                             record->word, (long long)number, record->word);
    return status;
}

/* Columns without which a reading or an observation says that what it supersedes does not count. */
static const char *const value_columns[] = {"ph", "ph_low", "ph_high", "word", "value"};

static void
withdraw(const struct table *table, struct table_value *values)
{
    size_t place = place_of(table, "withdrawn");

    if (place < table->column_count) {
        values[place] = value_of(TABLE_INTEGER, "1");
        return;
    }
    for (size_t i = 0; i < LENGTH(value_columns); i++) {
        place = place_of(table, value_columns[i]);
        if (place < table->column_count)
            values[place] = (struct table_value){.null = true};
    }
}

/* Into a column that the table has. */
static void
set_value(const struct table *table, struct table_value *values, const char *column, const char *text)
{
    size_t place = place_of(table, column);

    assert(place < table->column_count);
    values[place] = value_of(table->columns[place].type, text);
}

static enum status
add_row(struct store *store, const struct correctable *record, int64_t number,
        const struct put_right_value *values, size_t count, bool withdrawn,
        const struct put_right_reason *reason, int64_t *ret_number, struct failure *failure)
{
    const struct table *table = NULL;
    struct table_value row_now[TABLE_COLUMNS_MOST];
    char *supersedes = text_format("%lld", (long long)number);
    struct row row;
    enum status status = row_of(store, record, number, &table, row_now, failure);

    if (status == STATUS_OK)
        status = check_stands(store, record, table, row_now, number, failure);
    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        set_value(table, row_now, values[i].field->column, values[i].value);
    if (status == STATUS_OK) {
        if (withdrawn)
            withdraw(table, row_now);
        set_value(table, row_now, "supersedes", supersedes);
        set_value(table, row_now, "why", reason->why);
        row_start(&row, store, record->table);
        row_values(&row, row_now, table->column_count);
        status = row_add(&row, ret_number, failure);
    }
    row_done(store, record);
    free(supersedes);
    return status;
}

enum status
correction_store_add(struct store *store, const struct correctable *record, int64_t number,
                     const struct put_right_value *values, size_t count, bool withdrawn,
                     const struct put_right_reason *reason, int64_t *ret_number, struct failure *failure)
{
    const struct table *table = NULL;
    struct table_value row[TABLE_COLUMNS_MOST];
    enum status status = check_values(record, values, count, failure);

    if (status != STATUS_OK)
        return status;
    if (record->way == CORRECT_BY_ROW)
        return add_row(store, record, number, values, count, withdrawn, reason, ret_number, failure);
    status = row_of(store, record, number, &table, row, failure);
    if (status == STATUS_OK)
        status = add_fields(store, record, number, values, count, withdrawn, reason, failure);
    row_done(store, record);
    if (status == STATUS_OK)
        *ret_number = number;
    return status;
}

/* The value of a table as a correction would keep it; NULL for none. Given. */
static char *
kept_text(const struct table_value *value)
{
    char number[NUMBER_TEXT_SIZE];

    if (value->null)
        return NULL;
    if (value->type == TABLE_INTEGER)
        return text_format("%lld", (long long)value->integer);
    return memory_copy(value->type == TABLE_REAL ? number_format(value->real, number) : value->text);
}

/* What stood before: what the correction before it says, else the row. */
static enum status
find_before(struct store *store, const struct correction *all, size_t index, char **ret_before,
            struct failure *failure)
{
    const struct correction *now = &all[index];
    const struct table *table = NULL;
    struct table_value values[TABLE_COLUMNS_MOST];
    enum status status;

    for (size_t i = index; i-- > 0;) {
        if (all[i].record == now->record && all[i].number == now->number && all[i].field == now->field) {
            *ret_before = memory_copy(all[i].value);
            return STATUS_OK;
        }
    }
    status = row_of(store, now->record, now->number, &table, values, failure);
    if (status == STATUS_OK)
        *ret_before = kept_text(&values[place_of(table, now->field->column)]);
    row_done(store, now->record);
    return status;
}

static void
load(struct statement *row, struct correction *correction)
{
    const struct correctable *record = correctable_of_table(statement_word(row, 1));

    *correction = (struct correction){.id = statement_id(row, 0),
                                      .record = record,
                                      .number = statement_id(row, 2),
                                      .field = correctable_field(record, statement_word(row, 3)),
                                      .value = statement_copy(row, 4),
                                      .why = statement_name(row, 5),
                                      .at = statement_time(row, 6),
                                      .who = statement_copy(row, 7)};
}

/* put_right_look() has refused what names no record or field. */
enum status
correction_store_list(struct store *store, correction_wanted *wanted, const void *payload,
                      struct correction **ret_corrections, size_t *ret_count, struct failure *failure)
{
    struct statement *list;
    struct correction *all = NULL;
    size_t count = 0, capacity = 0;
    enum status status = STATUS_OK;
    bool row = false;

    *ret_corrections = NULL;
    *ret_count = 0;
    if (put_right_look(store, failure) != STATUS_OK)
        return failure->status;
    if (put_right_none(store))
        return STATUS_OK;
    list = statement_open(store, sql_correction_list, failure);
    if (list == NULL)
        return failure->status;
    statement_bind_int(list, ":after", 0);
    while ((status = statement_step(list, &row, failure)) == STATUS_OK && row) {
        all = memory_room(all, count, &capacity, sizeof *all);
        load(list, &all[count]);
        if (wanted(&all[count], payload))
            count++;
        else
            correction_clear(&all[count]);
    }
    statement_done(list);
    for (size_t i = 0; status == STATUS_OK && i < count; i++)
        status = find_before(store, all, i, &all[i].before, failure);
    *ret_corrections = all;
    *ret_count = count;
    return status;
}
