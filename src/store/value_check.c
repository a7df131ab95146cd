/* value_check.c - what a notebook may hold in a column that the schema alone does not promise. */
#include "value_check.h"

#include <float.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "batch.h"
#include "calibration.h"
#include "clock.h"
#include "gear.h"
#include "memory.h"
#include "number.h"
#include "observation.h"
#include "session.h"
#include "titration_model.h"

/* Texts that are read as something. NULL for what is right, else what is wrong. */
typedef const char *text_check(const char *text);

static const char *
check_day(const char *text)
{
    struct failure failure = {0};
    civil_day day;

    return clock_parse_day(text, &day, &failure) == STATUS_OK ? NULL : "is no date as in 2026-03-02";
}

static const char *
check_moment(const char *text)
{
    struct failure failure = {0};
    civil_time moment;

    return clock_parse_moment(text, &moment, &failure) == STATUS_OK ? NULL
                                                                    : "is no time as in 2026-03-04T10:00";
}

/* A line end in a name would let it write lines of its own on the screen. */
static const char *
check_name(const char *text)
{
    return strchr(text, '\n') == NULL && *text != '\0' ? NULL : "is no name in one line";
}

static const char *
check_steps(const char *text)
{
    struct failure failure = {0};
    struct gear paper;
    bool good;

    gear_init(&paper, GEAR_PAPER);
    good = gear_parse_steps(&paper, text, &failure) == STATUS_OK;
    gear_clear(&paper);
    return good ? NULL : "are no steps of a paper, as in 1,2,3";
}

/* A check that a text is one of the words of its column. */
#define WORD_CHECK(function, type, parse)                                                                    \
    static const char *function(const char *text)                                                            \
    {                                                                                                        \
        struct failure failure = {0};                                                                        \
        type word;                                                                                           \
        return parse(text, &word, &failure) == STATUS_OK ? NULL : "is not one of its words";                 \
    }

WORD_CHECK(check_role, enum batch_role, batch_role_parse)
WORD_CHECK(check_state, enum batch_state, batch_state_parse)
WORD_CHECK(check_recipe_kind, enum recipe_kind, recipe_kind_parse)
WORD_CHECK(check_gear_kind, enum gear_kind, gear_kind_parse)
WORD_CHECK(check_purpose, enum calibration_purpose, calibration_purpose_parse)
WORD_CHECK(check_verdict, enum calibration_verdict, calibration_verdict_parse)
WORD_CHECK(check_weighed, enum weighing_of, weighing_of_parse)
WORD_CHECK(check_outcome, enum answer_outcome, answer_outcome_parse)
WORD_CHECK(check_method, enum reading_method, reading_method_parse)
WORD_CHECK(check_end, enum batch_end, batch_end_parse)
WORD_CHECK(check_observation, enum observation_kind, observation_kind_parse)

static const struct {
    const char *table, *column;
    text_check *check;
} texts[] = {
    {"batch", "code", check_name},
    {"batch", "role", check_role},
    {"recipe_line", "kind", check_recipe_kind},
    {"gear", "name", check_name},
    {"gear", "kind", check_gear_kind},
    {"gear", "steps", check_steps},
    {"calibration", "purpose", check_purpose},
    {"calibration", "verdict", check_verdict},
    {"weighing", "weighed", check_weighed},
    {"answer", "outcome", check_outcome},
    {"reading", "method", check_method},
    {"state_change", "state", check_state},
    {"observation", "kind", check_observation},
    {"batch_close", "reason", check_end},
};

/* A column of one name means the same in every table. */
static const struct {
    const char *column;
    double low, high;
} ranges[] = {
    {"ph", 0, 14},
    {"ph_low", 0, 14},
    {"ph_high", 0, 14},
    {"displayed_ph", -2, 16},
    {"table_ph", -2, 16},
    {"limit_ph", 7, 14},
    {"clear_ph", 7, 11},
    {"usual_low_ph", 7, 11},
    {"temperature_c", 0, 100},
    {"potential_mv", -1000, 1000},
    {"mass_g", DBL_MIN, 1e6},
    {"soap_mass_g", DBL_MIN, TITRATION_SOAP_HIGHEST_G},
    {"stated_concentration_pct", DBL_MIN, 100},
    {"purity_fraction", DBL_MIN, 1},
    {"sv_min_mg_koh_per_g", DBL_MIN, 1e4},
    {"sv_max_mg_koh_per_g", DBL_MIN, 1e4},
    {"acid_mol_per_l", DBL_MIN, 10},
    {"u_acid_relative", DBL_MIN, 10},
    {"volume_ml", 0, TITRATION_VOLUME_HIGHEST_ML},
    {"blank_ml", 0, 1000},
    {"burette_ml", DBL_MIN, 1000},
    {"resolution_ph", DBL_MIN, 1},
    {"accuracy_ph", DBL_MIN, 2},
    {"readability_g", DBL_MIN, 100},
    {"resolution_c", DBL_MIN, 10},
    {"accuracy_c", DBL_MIN, 20},
    {"replicate", 1, 1e6},
    {"rule", 2, 1e6},
    {"acid_weighed", 0, 1},
    {"on_surface", 0, 1},
    {"atc", 0, 1},
    {"declared", 0, 1},
    {"kitchen_made", 0, 1},
    {"overridden", 0, 1},
    {"automatic", 0, 1},
};
static const double widest = 1e9; /* of a number with no range of its own */

struct value_check {
    int column, id_column;    /* id_column -1: the statement does not give it */
    char table[64], name[64]; /* copied: SQLite may prepare a statement anew, and its texts with it */
    text_check *text;
    double low, high;
};

struct value_checks {
    size_t count;
    struct value_check checks[];
};

static text_check *
text_check_of(const char *table, const char *name)
{
    size_t length = strlen(name);

    if (length > 3 && strcmp(name + length - 3, "_on") == 0)
        return check_day;
    if (strcmp(name, "at") == 0 || (length > 3 && strcmp(name + length - 3, "_at") == 0))
        return check_moment;
    for (size_t i = 0; i < LENGTH(texts); i++)
        if (strcmp(texts[i].table, table) == 0 && strcmp(texts[i].column, name) == 0)
            return texts[i].check;
    return NULL;
}

/* The column that gives the number of the same row; a table read twice in one statement has two. */
static int
id_column_of(sqlite3_stmt *statement, int column, const char *table)
{
    for (int i = column; i >= 0; i--) {
        const char *other = sqlite3_column_table_name(statement, i),
                   *name = sqlite3_column_origin_name(statement, i);

        if (other != NULL && name != NULL && strcmp(other, table) == 0 && strcmp(name, "id") == 0)
            return i;
    }
    return -1;
}

static struct value_check
check_named(const char *table, const char *name)
{
    struct value_check check = {
        .id_column = -1, .text = text_check_of(table, name), .low = -widest, .high = widest};

    snprintf(check.table, sizeof check.table, "%s", table);
    snprintf(check.name, sizeof check.name, "%s", name);
    for (size_t i = 0; i < LENGTH(ranges); i++) {
        if (strcmp(ranges[i].column, name) == 0) {
            check.low = ranges[i].low;
            check.high = ranges[i].high;
        }
    }
    return check;
}

static struct value_check
check_of(sqlite3_stmt *statement, int column, const char *table, const char *name)
{
    struct value_check check = check_named(table, name);

    check.column = column;
    check.id_column = id_column_of(statement, column, table);
    return check;
}

struct value_checks *
value_checks_of(sqlite3_stmt *statement)
{
    int columns = sqlite3_column_count(statement);
    struct value_checks *checks = memory_new(1, sizeof *checks + (size_t)columns * sizeof checks->checks[0]);

    for (int i = 0; i < columns; i++) {
        const char *table = sqlite3_column_table_name(statement, i),
                   *name = sqlite3_column_origin_name(statement, i);

        if (table != NULL && name != NULL && strcmp(table, "journal") != 0 &&
            strncmp(table, "sqlite_", 7) != 0)
            checks->checks[checks->count++] = check_of(statement, i, table, name);
    }
    return checks;
}

void
value_checks_free(struct value_checks *checks)
{
    free(checks);
}

static const char *
check_number(const struct value_check *check, double number, char range[64])
{
    if (number >= check->low && number <= check->high)
        return NULL;
    snprintf(range, 64, "is outside %s%g to %g", check->low == DBL_MIN ? "above " : "",
             check->low == DBL_MIN ? 0.0 : check->low, check->high);
    return range;
}

/* NULL for what is right, else what is wrong. */
static const char *
check_value(const struct value_check *check, sqlite3_value *value, char range[64])
{
    const char *text;

    switch (sqlite3_value_type(value)) {
    case SQLITE_NULL:
        return NULL;
    case SQLITE_INTEGER:
        if (check->low == -widest)
            return NULL; /* the number of a row */
        return check_number(check, (double)sqlite3_value_int64(value), range);
    case SQLITE_FLOAT:
        return check_number(check, sqlite3_value_double(value), range);
    case SQLITE_TEXT:
        text = (const char *)sqlite3_value_text(value);
        return check->text == NULL || text == NULL ? NULL : check->text(text);
    default:
        return "is no text and no number";
    }
}

/* Likewise of a value that was put right. */
static const char *
check_corrected(const struct value_check *check, const struct correct_field *field, const char *value,
                char range[64])
{
    bool text = check->text != NULL || check->low == -widest;
    struct failure ignored = {0};
    double number;

    if (value == NULL)
        return NULL;
    if (text && field->kind != CORRECT_NUMBER)
        return check->text == NULL ? NULL : check->text(value);
    if (number_parse(value, NUMBER_POINT, &number, &ignored) != STATUS_OK)
        return "is no number";
    return check_number(check, number, range);
}

enum status
value_check_one(const char *table, const char *column, const struct correct_field *field, const char *value,
                struct failure *failure)
{
    struct value_check check = check_named(table, column);
    char range[64];
    const char *wrong = check_corrected(&check, field, value, range);

    if (wrong == range)
        return failure_set(failure, STATUS_RANGE, "%.60s, allowed is %s%g to %g", value,
                           check.low == DBL_MIN ? "above " : "", check.low == DBL_MIN ? 0.0 : check.low,
                           check.high);
    return wrong == NULL ? STATUS_OK : failure_set(failure, STATUS_RANGE, "'%.60s' %s", value, wrong);
}

bool
value_checks_standing(const struct value_checks *checks, sqlite3_stmt *statement, const struct store *store,
                      const struct correction **ret_standing)
{
    bool any = false;

    for (int i = 0; i < sqlite3_column_count(statement); i++)
        ret_standing[i] = NULL;
    for (size_t i = 0; i < checks->count; i++) {
        const struct value_check *check = &checks->checks[i];

        if (check->id_column < 0)
            continue;
        ret_standing[check->column] = put_right_find(
            store, check->table, sqlite3_column_int64(statement, check->id_column), check->name);
        any = any || ret_standing[check->column] != NULL;
    }
    return any;
}

enum status
value_checks_row(const struct value_checks *checks, sqlite3_stmt *statement,
                 const struct correction *const *standing, struct failure *failure)
{
    for (size_t i = 0; i < checks->count; i++) {
        const struct value_check *check = &checks->checks[i];
        const struct correction *other = standing == NULL ? NULL : standing[check->column];
        char range[64], row[32] = "a row";
        const char *wrong = other != NULL
                                ? check_corrected(check, other->field, other->value, range)
                                : check_value(check, sqlite3_column_value(statement, check->column), range);
        const char *held;

        if (wrong == NULL)
            continue;
        if (check->id_column >= 0)
            snprintf(row, sizeof row, "row %lld",
                     (long long)sqlite3_column_int64(statement, check->id_column));
        held = other != NULL ? other->value : (const char *)sqlite3_column_text(statement, check->column);
        return failure_set(failure, STATUS_FORMAT,
                           "%s of table %s: column '%s' holds '%.60s', which %s (curetrace verify)", row,
                           check->table, check->name, held == NULL ? "" : held, wrong);
    }
    return STATUS_OK;
}
