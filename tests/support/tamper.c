/* tamper.c - changes in a notebook behind the program's back, and whether verify finds them. */
#include "tamper.h"

#include <unistd.h>

#include "check.h"
#include "notebook.h"
#include "text.h"
#include "verify.h"

/* What verify says, one finding a line; "" when all is well. Given: free() it. */
char *
tamper_findings(const char *path, const char *head, int64_t *ret_after)
{
    struct failure failure = {0};
    struct verify_report report = {0};
    struct store *store = NULL;
    struct text text = {0};

    if (notebook_open(path, STORE_READ, &store, NULL, &failure) != STATUS_OK)
        return text_format("%s\n", failure.text);
    check_ok(verify_notebook(store, head, &report, &failure), &failure);
    for (size_t i = 0; i < report.finding_count && i < VERIFY_FINDINGS_KEPT; i++)
        text_addf(&text, "%s\n", report.findings[i]);
    if (ret_after != NULL)
        *ret_after = report.after_head;
    verify_report_clear(&report);
    store_close(store);
    return text_take(&text);
}

void
tamper_check(const char *path, const char *part)
{
    char *found = tamper_findings(path, NULL, NULL);

    if (*part == '\0')
        assert_string_equal(found, "");
    else
        check_contains(found, part);
    free(found);
}

/* Without the triggers of one table, which are put back afterwards as they were. */
char *
tamper_change(sqlite3 *handle, const char *table, const char *change)
{
    sqlite3_stmt *list = NULL;
    struct text drop = {0}, again = {0}, all = {0};

    assert_int_equal(
        sqlite3_prepare_v2(handle,
                           "SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' AND tbl_name = ?", -1,
                           &list, NULL),
        SQLITE_OK);
    sqlite3_bind_text(list, 1, table, -1, SQLITE_STATIC);
    while (sqlite3_step(list) == SQLITE_ROW) {
        text_addf(&drop, "DROP TRIGGER %s;", (const char *)sqlite3_column_text(list, 0));
        text_addf(&again, "%s;", (const char *)sqlite3_column_text(list, 1));
    }
    sqlite3_finalize(list);
    text_addf(&all, "PRAGMA foreign_keys = OFF; PRAGMA ignore_check_constraints = ON; BEGIN;%s%s;%sCOMMIT;",
              text_of(&drop), change, text_of(&again));
    text_clear(&drop);
    text_clear(&again);
    return text_take(&all);
}

void
tamper_copy(const struct tampering *tampering)
{
    sqlite3 *copy = NULL;
    sqlite3_backup *backup;

    unlink(tampering->path);
    assert_int_equal(sqlite3_open(tampering->path, &copy), SQLITE_OK);
    sqlite3_exec(copy, "PRAGMA synchronous = OFF", NULL, NULL, NULL);
    backup = sqlite3_backup_init(copy, "main", tampering->whole, "main");
    assert_int_equal(sqlite3_backup_step(backup, -1), SQLITE_DONE);
    sqlite3_backup_finish(backup);
    sqlite3_close(copy);
}

/* One column of one row gets `value`; a NOT NULL column refuses some. */
static void
try_change(struct tampering *tampering, const char *table, int64_t id, const char *column, const char *value)
{
    char *change = text_format("UPDATE %s SET %s = %s WHERE id = %lld AND %s IS NOT (%s)", table, column,
                               value, (long long)id, column, value);
    char *all = tamper_change(tampering->whole, table, change);
    char *expected = text_format("row %lld of table %s", (long long)id, table);
    sqlite3 *handle = NULL;
    bool taken, changed;

    if (!tampering->fresh)
        tamper_copy(tampering);
    assert_int_equal(sqlite3_open(tampering->path, &handle), SQLITE_OK);
    sqlite3_exec(handle, "PRAGMA synchronous = OFF", NULL, NULL, NULL);
    taken = sqlite3_exec(handle, all, NULL, NULL, NULL) == SQLITE_OK;
    changed = sqlite3_total_changes(handle) == 1;
    sqlite3_close(handle); /* undoes what was refused */
    tampering->fresh = !taken;
    if (taken && changed) {
        tamper_check(tampering->path, expected);
        tampering->tried++;
    } else {
        tampering->refused++;
    }
    free(expected);
    free(all);
    free(change);
}

/* Every column of a table's rows, each way. */
void
tamper_table(struct tampering *tampering, const char *table)
{
    char *select = text_format("SELECT * FROM %s ORDER BY id", table);
    sqlite3_stmt *rows = NULL;

    assert_int_equal(sqlite3_prepare_v2(tampering->whole, select, -1, &rows, NULL), SQLITE_OK);
    while (sqlite3_step(rows) == SQLITE_ROW) {
        for (int i = 0; i < sqlite3_column_count(rows); i++) {
            static const char *const values[] = {
                "NULL", "0.125", "'x'", "%s + 1", "%s * 1.0000000000000002", "%s || char(0) || 'y'"};
            const char *column = sqlite3_column_name(rows, i);

            for (size_t v = 0; v < LENGTH(values); v++) {
                struct text value = {0};
                const char *gap = strstr(values[v], "%s");

                if (gap != NULL && sqlite3_column_type(rows, i) == SQLITE_NULL)
                    continue;
                if (gap == NULL)
                    text_add(&value, values[v]);
                else {
                    text_add_bytes(&value, values[v], (size_t)(gap - values[v]));
                    text_add(&value, column);
                    text_add(&value, gap + 2);
                }
                try_change(tampering, table, sqlite3_column_int64(rows, 0), column, text_of(&value));
                text_clear(&value);
            }
        }
    }
    sqlite3_finalize(rows);
    free(select);
}
