/* import_columns.c - the columns of an import: renamed, several of a kind, and lines of a recipe. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "buffer.h"
#include "import.h"
#include "memory.h"
#include "saponification.h"

const char import_extra_column[] = "column of its own";

static size_t
add_column(struct import *import, struct csv_column column)
{
    import->columns =
        memory_room(import->columns, import->column_count, &import->column_capacity, sizeof *import->columns);
    import->columns[import->column_count] = column;
    import->layout.columns = import->columns;
    import->layout.columns_length = import->column_count + 1;
    return import->column_count++;
}

static bool
is_renamed(const struct import *import, size_t column)
{
    for (size_t i = 0; i < import->rename_count; i++)
        if (import->renames[i].column == column)
            return true;
    return false;
}

static void
add_rename(struct import *import, struct csv_rename rename)
{
    import->renames =
        memory_room(import->renames, import->rename_count, &import->rename_capacity, sizeof *import->renames);
    import->renames[import->rename_count++] = rename;
    import->layout.renames = import->renames;
    import->layout.renames_length = import->rename_count;
}

/* --- recipes ------------------------------------------------------------------------------------------- */

/* "fat olive oil", "lye naoh@98.5%", "water": false when the text begins with no kind of line. */
static bool
parse_recipe_line(const char *text, size_t length, struct import_ingredient *ret_ingredient)
{
    char *copy = text_format("%.*s", (int)length, text), *name = copy + strcspn(copy, " ");
    struct failure ignored = {0};
    bool good;

    if (*name != '\0')
        *name++ = '\0';
    name = text_trim(name);
    good = recipe_kind_parse(copy, &ret_ingredient->kind, &ignored) == STATUS_OK &&
           (*name != '\0' || ret_ingredient->kind == RECIPE_WATER);
    if (good)
        ret_ingredient->name = memory_copy(*name == '\0' ? "water" : name);
    free(copy);
    return good;
}

/* "buffer borax" */
static bool
parse_buffer(const char *text, size_t length, struct import_ingredient *ret_ingredient)
{
    char *copy = text_format("%.*s", (int)length, text);
    const struct buffer *buffer;
    struct failure ignored = {0};
    bool good = text_same_start(copy, "buffer ", 7) &&
                buffer_find(text_trim(copy + 7), &buffer, &ignored) == STATUS_OK;

    if (good)
        ret_ingredient->name = memory_copy(buffer->name);
    free(copy);
    return good;
}

/* The unit of mass at the end of a heading, "olive oil (g)", and the length of what stands before; NULL: none. */
static const char *
unit_of(const char *heading, size_t *ret_length)
{
    static const char *const units[] = {"g", "kg", "oz", "lb"};
    size_t length = strlen(heading), word;

    while (length > 0 && strchr(" )]", heading[length - 1]) != NULL)
        length--;
    for (word = length; word > 0 && text_is_letter(heading[word - 1]);)
        word--;
    if (word == 0 || strchr(" ([,/_", heading[word - 1]) == NULL)
        return NULL;
    for (size_t i = 0; i < LENGTH(units); i++) {
        if (strlen(units[i]) != length - word || !text_same_start(units[i], heading + word, length - word))
            continue;
        while (word > 0 && strchr(" ([,/_", heading[word - 1]) != NULL)
            word--;
        *ret_length = word;
        return units[i];
    }
    return NULL;
}

static void
add_ingredient(struct import *import, struct import_ingredient ingredient, const char *heading)
{
    size_t length;
    const char *unit = unit_of(heading, &length);

    ingredient.unit = unit == NULL ? "g" : unit;
    ingredient.column = add_column(
        import, (struct csv_column){.name = import_extra_column, .need = CSV_OPTIONAL, .holds = CSV_NUMBER});
    add_rename(import, (struct csv_rename){ingredient.column, memory_copy(heading)});
    import->ingredients = memory_room(import->ingredients, import->ingredient_count,
                                      &import->ingredient_capacity, sizeof *import->ingredients);
    import->ingredients[import->ingredient_count++] = ingredient;
}

/* Which line of a recipe a name alone is; false when the tables do not know it. */
static bool
kind_of_name(const char *name, enum recipe_kind *ret_kind)
{
    struct fat_found fat;
    struct lye_consumer_found acid;
    struct failure ignored = {0};

    if (text_same(name, "water"))
        *ret_kind = RECIPE_WATER;
    else if (text_same(name, "naoh") || text_same(name, "koh"))
        *ret_kind = RECIPE_LYE;
    else if (fat_find(name, &fat, &ignored) == STATUS_OK)
        *ret_kind = RECIPE_FAT;
    else if (lye_consumer_find(name, &acid, &ignored) == STATUS_OK)
        *ret_kind = RECIPE_ACID;
    else
        return false;
    return true;
}

static bool
recognise_buffer(struct import *import, const char *heading)
{
    const struct buffer *buffer;
    struct failure ignored = {0};

    if (*heading == '\0' || buffer_find(heading, &buffer, &ignored) != STATUS_OK)
        return false;
    add_ingredient(import, (struct import_ingredient){.name = memory_copy(buffer->name)}, heading);
    return true;
}

static bool
recognise_recipe_line(struct import *import, const char *heading)
{
    struct import_ingredient ingredient = {0};
    size_t length = 0;
    char *name;

    if (unit_of(heading, &length) == NULL)
        return false;
    name = text_format("%.*s", (int)length, heading);
    if (!kind_of_name(name, &ingredient.kind)) {
        free(name);
        return false;
    }
    ingredient.name = name;
    add_ingredient(import, ingredient, heading);
    return true;
}

enum status
import_recipe(const struct import *import, const struct csv_row *row, struct batch *batch,
              struct failure *failure)
{
    for (size_t i = 0; i < import->ingredient_count; i++) {
        const struct import_ingredient *ingredient = &import->ingredients[i];
        size_t name = strcspn(ingredient->name, "@");
        double mass = NAN;
        struct recipe_line line;
        char *text;

        if (csv_in_number(row, ingredient->column, 0.0, 1e6, &mass, failure) != STATUS_OK)
            return failure->status;
        if (isnan(mass) || mass == 0.0)
            continue; /* not in this batch */
        text = text_format("%.*s=%.15g %s%s", (int)name, ingredient->name, mass, ingredient->unit,
                           ingredient->name + name);
        if (recipe_line_parse(ingredient->kind, text, &line, failure) == STATUS_OK)
            batch_add_line(batch, line);
        free(text);
        if (failure->status != STATUS_OK)
            return csv_row_at(row, ingredient->column, failure);
    }
    return STATUS_OK;
}

/* --- columns ------------------------------------------------------------------------------------------- */

size_t
import_columns_of(const struct import *import, size_t column, size_t *ret_columns, size_t most)
{
    size_t count = 0;

    for (size_t i = column; i < import->column_count && count < most; i++)
        if (i == column ||
            (i >= import->kind->column_count && import->columns[i].name == import->columns[column].name))
            ret_columns[count++] = i;
    return count;
}

/* A further column of the same name. */
static size_t
add_copy(struct import *import, size_t column)
{
    struct csv_column copy = import->kind->columns[column];

    copy.need = CSV_OPTIONAL;
    return add_column(import, copy);
}

enum status
import_columns_rename(struct import *import, const char *text, struct failure *failure)
{
    struct csv_rename rename = {0};
    struct import_ingredient ingredient = {0};
    const char *equals = strchr(text, '=');

    if (equals != NULL && equals[1] != '\0' &&
        ((import->kind->extra == IMPORT_RECIPE &&
          parse_recipe_line(text, (size_t)(equals - text), &ingredient)) ||
         (import->kind->extra == IMPORT_BUFFERS &&
          parse_buffer(text, (size_t)(equals - text), &ingredient)))) {
        add_ingredient(import, ingredient, equals + 1);
        return STATUS_OK;
    }
    if (csv_rename_parse(text, import->kind->columns, import->kind->column_count, &rename, failure) !=
        STATUS_OK)
        return failure->status;
    if (is_renamed(import, rename.column)) {
        if (!import->kind->columns[rename.column].many) {
            csv_rename_clear(&rename);
            return failure_set(failure, STATUS_USAGE, "'%.80s': this column is named twice", text);
        }
        rename.column = add_copy(import, rename.column);
    }
    add_rename(import, rename);
    return STATUS_OK;
}

/* "pH 2" and "ph_2" for a column "ph" that may be there several times; CSV_NO_COLUMN: it is none of these. */
static size_t
numbered_column(const struct import *import, const char *heading)
{
    for (size_t i = 0; i < import->kind->column_count; i++) {
        size_t length = strlen(import->columns[i].name);
        const char *rest = heading + length;

        if (!import->columns[i].many || strlen(heading) <= length ||
            !text_same_start(heading, import->columns[i].name, length))
            continue;
        rest += strspn(rest, " _");
        if (*rest != '\0' && strspn(rest, "0123456789") == strlen(rest))
            return i;
    }
    return CSV_NO_COLUMN;
}

void
import_columns_recognise(struct import *import)
{
    for (size_t i = 0; i < import->look.heading_count; i++) {
        const char *heading = import->look.headings[i];
        size_t column;

        if (csv_in_find(&import->layout, heading) != CSV_NO_COLUMN ||
            (import->kind->extra == IMPORT_RECIPE && recognise_recipe_line(import, heading)) ||
            (import->kind->extra == IMPORT_BUFFERS && recognise_buffer(import, heading)))
            continue;
        column = numbered_column(import, heading);
        if (column == CSV_NO_COLUMN)
            continue;
        if (is_renamed(import, column))
            column = add_copy(import, column);
        add_rename(import, (struct csv_rename){column, memory_copy(heading)});
    }
}
