/* bulk_block.c - rows on their way into the notebook, which SQLite reads from memory. */
#include "bulk_block.h"

#include <assert.h>
#include <math.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "canonical.h"
#include "memory.h"

/* Rows of a table in a block, and bytes of texts after which it is full: a note may have a mebibyte. */
enum { ROWS_MOST = 1000, TEXTS_FULL = 256 * 1024, COLUMNS_MOST = 12 };

const char *const bulk_table_names[BULK_TABLES] = {
    [BULK_BATCH] = "batch",       [BULK_SESSION] = "session", [BULK_CLOSE] = "session_close",
    [BULK_SPECIMEN] = "specimen", [BULK_READING] = "reading",
};

struct column {
    const char *name;
    enum { WHOLE, NUMBER, TEXT } type;
};

/* Rule 1. */
static const struct columns {
    size_t count;
    struct column list[COLUMNS_MOST];
} columns_of[BULK_TABLES] = {
    [BULK_BATCH] = {5,
                    {{"id", WHOLE}, {"code", TEXT}, {"made_on", TEXT}, {"role", TEXT}, {"added_at", TEXT}}},
    [BULK_SESSION] =
        {5, {{"id", WHOLE}, {"started_at", TEXT}, {"limit_ph", NUMBER}, {"meter", WHOLE}, {"paper", WHOLE}}},
    [BULK_CLOSE] = {3, {{"id", WHOLE}, {"session", WHOLE}, {"finished_at", TEXT}}},
    [BULK_SPECIMEN] =
        {4, {{"id", WHOLE}, {"session", WHOLE}, {"batch", WHOLE}, {"stated_concentration_pct", NUMBER}}},
    [BULK_READING] = {12,
                      {{"id", WHOLE},
                       {"specimen", WHOLE},
                       {"method", TEXT},
                       {"gear", WHOLE},
                       {"replicate", WHOLE},
                       {"ph", NUMBER},
                       {"ph_low", NUMBER},
                       {"ph_high", NUMBER},
                       {"temperature_c", NUMBER},
                       {"taken_at", TEXT},
                       {"calibration", WHOLE},
                       {"note", TEXT}}},
};

void
bulk_block_empty(struct bulk_block *block)
{
    for (size_t i = 0; i < BULK_TABLES; i++)
        block->rows[i].count = 0;
    for (size_t i = 0; i < block->entry_count; i++)
        free(block->entries[i].text);
    block->entry_count = 0;
    block->texts.length = 0;
}

void
bulk_block_clear(struct bulk_block *block)
{
    bulk_block_empty(block);
    for (size_t i = 0; i < BULK_TABLES; i++)
        free(block->rows[i].values);
    text_clear(&block->texts);
    *block = (struct bulk_block){0};
}

bool
bulk_block_full(const struct bulk_block *block)
{
    for (size_t i = 0; i < BULK_TABLES; i++)
        if (block->rows[i].count == ROWS_MOST)
            return true;
    return block->texts.length >= TEXTS_FULL;
}

size_t
bulk_block_text(struct bulk_block *block, const char *text)
{
    size_t place;

    if (text == NULL)
        return 0;
    if (block->texts.length == 0)
        text_add_bytes(&block->texts, "", 1); /* so that no text has the place 0 */
    place = block->texts.length;
    text_add_bytes(&block->texts, text, strlen(text) + 1);
    return place;
}

void
bulk_block_add(struct bulk_block *block, enum bulk_table table, const union bulk_value *row)
{
    struct bulk_rows *rows = &block->rows[table];
    size_t count = columns_of[table].count;

    assert(rows->count < ROWS_MOST);
    if (rows->values == NULL)
        rows->values = memory_new(ROWS_MOST * count, sizeof *row);
    memcpy(rows->values + rows->count++ * count, row, count * sizeof *row);
}

static const union bulk_value *
last_row(const struct bulk_block *block, enum bulk_table table)
{
    assert(block->rows[table].count > 0);
    return block->rows[table].values + (block->rows[table].count - 1) * columns_of[table].count;
}

int64_t
bulk_block_last(const struct bulk_block *block, enum bulk_table table)
{
    return last_row(block, table)->whole;
}

void
bulk_block_canonical(const struct bulk_block *block, enum bulk_table table, struct text *text)
{
    const struct columns *columns = &columns_of[table];
    const union bulk_value *value = last_row(block, table);

    for (const struct column *column = columns->list; column < columns->list + columns->count;
         column++, value++) {
        const char *words = column->type == TEXT ? block->texts.data + value->text : "";
        struct table_column name;
        struct table_value one = {.type = column->type == WHOLE    ? TABLE_INTEGER
                                          : column->type == NUMBER ? TABLE_REAL
                                                                   : TABLE_TEXT,
                                  .integer = value->whole,
                                  .real = value->number,
                                  .text = words,
                                  .length = strlen(words)};

        if (column->type == NUMBER ? isnan(value->number) : value->whole == 0)
            continue;
        snprintf(name.name, sizeof name.name, "%s", column->name);
        canonical_add_row(text, &name, &one, 1);
    }
}

/* --- as a table of SQLite ------------------------------------------------------------------------------ */

struct view {
    sqlite3_vtab base;
    const struct bulk_source *source;
};

struct cursor {
    sqlite3_vtab_cursor base;
    size_t row;
};

static int
connect_view(sqlite3 *handle, void *source, int count, const char *const *arguments, sqlite3_vtab **ret_view,
             char **ret_error)
{
    const struct columns *columns = &columns_of[((struct bulk_source *)source)->table];
    struct text sql = {0};
    struct view *view = memory_new(1, sizeof *view);
    int code;

    (void)count, (void)arguments, (void)ret_error;
    for (size_t i = 0; i < columns->count; i++)
        text_addf(&sql, "%s%s", i == 0 ? "CREATE TABLE pending (" : ", ", columns->list[i].name);
    text_add(&sql, ")");
    code = sqlite3_declare_vtab(handle, text_of(&sql));
    text_clear(&sql);
    sqlite3_vtab_config(handle,
                        SQLITE_VTAB_DIRECTONLY); /* rule 3: not in triggers that a notebook may have */
    view->source = source;
    *ret_view = &view->base;
    return code;
}

static int
disconnect_view(sqlite3_vtab *view)
{
    free(view);
    return SQLITE_OK;
}

static int
choose_plan(sqlite3_vtab *view, sqlite3_index_info *plan)
{
    (void)view;
    plan->estimatedCost = ROWS_MOST; /* there is one way: all of them */
    return SQLITE_OK;
}

static int
open_cursor(sqlite3_vtab *view, sqlite3_vtab_cursor **ret_cursor)
{
    struct cursor *cursor = memory_new(1, sizeof *cursor);

    (void)view;
    *ret_cursor = &cursor->base;
    return SQLITE_OK;
}

static int
close_cursor(sqlite3_vtab_cursor *cursor)
{
    free(cursor);
    return SQLITE_OK;
}

static int
go_to_first(sqlite3_vtab_cursor *cursor, int plan, const char *plan_text, int count, sqlite3_value **values)
{
    (void)plan, (void)plan_text, (void)count, (void)values;
    ((struct cursor *)cursor)->row = 0;
    return SQLITE_OK;
}

static int
go_to_next(sqlite3_vtab_cursor *cursor)
{
    ((struct cursor *)cursor)->row++;
    return SQLITE_OK;
}

static const struct bulk_source *
source_of(const sqlite3_vtab_cursor *cursor)
{
    return ((const struct view *)cursor->pVtab)->source;
}

static int
is_behind_last(sqlite3_vtab_cursor *cursor)
{
    const struct bulk_source *source = source_of(cursor);

    return source->block == NULL ||
           ((struct cursor *)cursor)->row >= source->block->rows[source->table].count;
}

/* A value that is not set is NULL. */
static int
give_value(sqlite3_vtab_cursor *cursor, sqlite3_context *result, int index)
{
    const struct bulk_source *source = source_of(cursor);
    const struct columns *columns = &columns_of[source->table];
    const union bulk_value *value = source->block->rows[source->table].values +
                                    ((struct cursor *)cursor)->row * columns->count + (size_t)index;

    switch (columns->list[index].type) {
    case WHOLE:
        if (value->whole != 0)
            sqlite3_result_int64(result, value->whole);
        break;
    case NUMBER:
        if (!isnan(value->number))
            sqlite3_result_double(result, value->number);
        break;
    case TEXT:
        if (value->text != 0)
            sqlite3_result_text(result, source->block->texts.data + value->text, -1, SQLITE_STATIC);
        break;
    }
    return SQLITE_OK;
}

static int
give_number(sqlite3_vtab_cursor *cursor, sqlite3_int64 *ret_number)
{
    *ret_number = (sqlite3_int64)((struct cursor *)cursor)->row;
    return SQLITE_OK;
}

/* Without xCreate it is there by its name alone, and no CREATE VIRTUAL TABLE can use it. */
static const sqlite3_module module = {
    .xConnect = connect_view,
    .xDisconnect = disconnect_view,
    .xBestIndex = choose_plan,
    .xOpen = open_cursor,
    .xClose = close_cursor,
    .xFilter = go_to_first,
    .xNext = go_to_next,
    .xEof = is_behind_last,
    .xColumn = give_value,
    .xRowid = give_number,
};

static int
set_module(sqlite3 *handle, enum bulk_table table, const sqlite3_module *wanted, struct bulk_source *source)
{
    char *name = text_format("pending_%s", bulk_table_names[table]);
    int code = sqlite3_create_module(handle, name, wanted, source);

    free(name);
    return code;
}

int
bulk_source_open(sqlite3 *handle, struct bulk_source *source)
{
    return set_module(handle, source->table, &module, source);
}

int
bulk_source_close(sqlite3 *handle, const struct bulk_source *source)
{
    return set_module(handle, source->table, NULL, NULL);
}
