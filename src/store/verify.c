/* verify.c - is the notebook what was written into it? */
#include "verify.h"

#include <pthread.h>
#include <stdarg.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

#include "canonical.h"
#include "memory.h"
#include "schema.h"
#include "seal.h"
#include "sql.h"
#include "store_internal.h"
#include "text.h"

/* Where the reading of one table stands: rows come in the order of their numbers, as the entries do. */
struct cursor {
    struct statement *rows; /* NULL: the table cannot be read */
    bool at_row;
    int64_t covered; /* the last row an entry spoke of */
};

struct verify {
    struct store *store;
    struct verify_report *report;
    struct cursor *cursors; /* by canonical table */
    const char *earlier;
    struct canonical_rows gathered; /* of the entry being checked */
};

__attribute__((format(printf, 2, 3))) static void
report_finding(struct verify_report *report, const char *format, ...)
{
    va_list arguments;

    if (report->finding_count < VERIFY_FINDINGS_KEPT) {
        struct text text = {0};

        va_start(arguments, format);
        text_addv(&text, format, arguments);
        va_end(arguments);
        report->findings[report->finding_count] = text_visible(text_of(&text));
        text_clear(&text);
    }
    report->finding_count++;
}

/* One text a row; what it says is a finding, except for "ok". */
static void
check_pragma(sqlite3 *handle, const char *sql, struct verify_report *report)
{
    sqlite3_stmt *check = NULL;
    int code = sqlite3_prepare_v2(handle, sql, -1, &check, NULL);

    while (code == SQLITE_OK && (code = sqlite3_step(check)) == SQLITE_ROW) {
        const char *text = (const char *)sqlite3_column_text(check, 0);

        if (text == NULL || strcmp(text, "ok") != 0)
            report_finding(report, "file: %s", text == NULL ? "?" : text);
        code = SQLITE_OK;
    }
    if (code != SQLITE_DONE)
        report_finding(report, "file: %s", sqlite3_errmsg(handle));
    sqlite3_finalize(check);
}

static void
check_file(sqlite3 *handle, struct verify_report *report)
{
    check_pragma(handle, "PRAGMA integrity_check(20)", report);
    check_pragma(
        handle,
        "SELECT 'row ' || coalesce(rowid, '?') || ' of table ' || \"table\" || ' names a row of ' || "
        "parent || ' that is not there' FROM pragma_foreign_key_check LIMIT 20",
        report);
}

/* The file of a large notebook is checked beside its rows, by a connection of its own. Both connections read from
 * before the first check on: no write can come between, both see one state, and a writer that waits for the first
 * cannot keep the second out in the middle ("locked" would then stand among the findings). */
enum { LARGE_BYTES = 16 << 20 };
struct beside {
    struct store *store; /* owned; NULL: none */
    struct verify_report report;
    pthread_t thread;
};

static void *
check_beside(void *payload)
{
    struct beside *beside = payload;

    check_file(beside->store->handle, &beside->report);
    return NULL;
}

static bool
is_large(const char *path)
{
    struct stat about;

    return stat(path, &about) == 0 && about.st_size >= LARGE_BYTES;
}

/* False when there is no second connection or thread to be had: then the file is checked first. The store reads
 * already. */
static bool
begin_beside(const struct store *store, struct beside *beside)
{
    struct failure ignored = {0};

    if (store->reading_alone && is_large(store->path) &&
        store_connect(store->path, STORE_READ, &store->schema, &beside->store, &ignored) == STATUS_OK &&
        (store->foreign != NULL || store_trust(beside->store, &ignored) == STATUS_OK) &&
        store_begin_reading(beside->store, &ignored) == STATUS_OK &&
        pthread_create(&beside->thread, NULL, check_beside, beside) == 0)
        return true;
    store_close(beside->store);
    beside->store = NULL;
    return false;
}

/* What was found beside comes behind what is known already. */
static void
end_beside(struct beside *beside, struct verify_report *report)
{
    pthread_join(beside->thread, NULL);
    store_close(beside->store);
    for (size_t i = 0; i < beside->report.finding_count && i < VERIFY_FINDINGS_KEPT; i++)
        report_finding(report, "%s", beside->report.findings[i]);
    verify_report_clear(&beside->report);
}

static void
find_difference(const char *difference, void *payload)
{
    report_finding(payload, "schema: %s", difference);
}

static enum status
check_schema(struct verify *verify, struct failure *failure)
{
    bool exact;

    return schema_compare(verify->store, verify->store->schema.count, find_difference, verify->report, &exact,
                          failure);
}

static const char *
name_of_table(const struct verify *verify, const struct cursor *cursor)
{
    return table_name((size_t)(cursor - verify->cursors));
}

static void
next_row(struct verify *verify, struct cursor *cursor)
{
    struct failure failure = {0};

    if (statement_step(cursor->rows, &cursor->at_row, &failure) == STATUS_OK)
        return;
    report_finding(verify->report, "table %s: %s", name_of_table(verify, cursor), failure.text);
    cursor->at_row = false;
}

static void
open_cursors(struct verify *verify)
{
    verify->cursors = memory_new(table_count(), sizeof *verify->cursors);
    for (size_t i = 0; i < table_count(); i++) {
        struct cursor *cursor = &verify->cursors[i];
        struct failure failure = {0};

        cursor->rows = table_rows(verify->store, i, INT64_MIN, INT64_MAX, &failure);
        if (cursor->rows == NULL) {
            report_finding(verify->report, "table %s: %s", table_name(i), failure.text);
            continue;
        }
        next_row(verify, cursor);
    }
}

/* The current row is in no entry. */
static void
find_stray(struct verify *verify, struct cursor *cursor)
{
    report_finding(verify->report, "row %lld of table %s is in no entry of the journal",
                   (long long)statement_int(cursor->rows, 0), name_of_table(verify, cursor));
    verify->report->rows++;
    next_row(verify, cursor);
}

/* The rows that an entry should cover. */
static uint64_t
gather(struct verify *verify, struct cursor *cursor, int64_t last)
{
    const struct table_column *columns = verify->store->tables[cursor - verify->cursors].columns;
    struct canonical_rows *gathered = &verify->gathered;
    struct table_value values[TABLE_COLUMNS_MOST];

    canonical_rows_start(gathered);
    while (cursor->at_row && statement_int(cursor->rows, 0) <= last) {
        size_t count = table_load(cursor->rows, values);

        canonical_add_row(canonical_rows_next(gathered), columns, values, count);
        canonical_rows_add(gathered);
        next_row(verify, cursor);
    }
    verify->report->rows += gathered->count;
    return (uint64_t)gathered->count;
}

static void
check_rows(struct verify *verify, const struct canonical_entry *entry)
{
    size_t table = table_find(entry->what);
    struct cursor *cursor = &verify->cursors[table];
    uint64_t expected = (uint64_t)entry->last_row - (uint64_t)entry->first_row + 1, count;
    long long seq = entry->seq, first = entry->first_row, last = entry->last_row;

    if (table == table_count()) {
        report_finding(verify->report, "entry %lld of %s: there is no table '%.40s'", seq, entry->at,
                       entry->what);
        return;
    }
    if (cursor->rows == NULL)
        return; /* said already */
    if (entry->first_row != cursor->covered + 1)
        report_finding(verify->report, "entry %lld of %s: expected row %lld of table %s next, not row %lld",
                       seq, entry->at, (long long)cursor->covered + 1, entry->what, first);
    while (cursor->at_row && statement_int(cursor->rows, 0) < entry->first_row)
        find_stray(verify, cursor);
    count = gather(verify, cursor, entry->last_row);
    if (entry->last_row > cursor->covered)
        cursor->covered = entry->last_row;
    if (count != expected && expected == 1)
        report_finding(verify->report, "entry %lld of %s: row %lld of table %s is missing", seq, entry->at,
                       first, entry->what);
    else if (count != expected)
        report_finding(verify->report, "entry %lld of %s: %lld of rows %lld to %lld of table %s are missing",
                       seq, entry->at, (long long)(expected - count), first, last, entry->what);
    else if (expected == 1 && strcmp(entry->text, canonical_rows_text(&verify->gathered)) != 0)
        report_finding(verify->report, "entry %lld of %s: row %lld of table %s is not as it was written", seq,
                       entry->at, first, entry->what);
    else if (expected > 1 && strcmp(entry->text, canonical_rows_text(&verify->gathered)) != 0)
        report_finding(verify->report,
                       "entry %lld of %s: one of rows %lld to %lld of table %s is not as it was written", seq,
                       entry->at, first, last, entry->what);
}

/* A text column of the journal; one with a NUL inside or none at all was not written by this program. */
static const char *
journal_text(struct verify *verify, struct statement *row, int column)
{
    const char *text = statement_text(row, column);

    if (text != NULL && strlen(text) == (size_t)sqlite3_column_bytes(row->handle, column))
        return text;
    report_finding(verify->report, "entry %lld: its text is damaged", (long long)statement_int(row, 0));
    return "";
}

/* Seals are written in groups, hashes are not. */
static bool
is_seal(const char *earlier)
{
    return strchr(earlier, '-') != NULL;
}

static bool
is_earlier(const char *earlier, const char *hash)
{
    char seal[SEAL_TEXT_SIZE];

    if (is_seal(earlier))
        return strcmp(earlier, seal_text(hash, seal)) == 0;
    return text_same_start(hash, earlier, strlen(earlier));
}

static void
check_entry(struct verify *verify, struct statement *row)
{
    struct verify_report *report = verify->report;
    struct canonical_entry entry = {.seq = statement_int(row, 0),
                                    .at = journal_text(verify, row, 1),
                                    .what = journal_text(verify, row, 2),
                                    .first_row = statement_int(row, 3),
                                    .last_row = statement_int(row, 4),
                                    .text = journal_text(verify, row, 5),
                                    .previous_hash = journal_text(verify, row, 6)};
    const char *stored = journal_text(verify, row, 7);
    char hash[JOURNAL_HASH_SIZE];

    canonical_entry_hash(&entry, hash);
    if (entry.seq != report->entries + 1)
        report_finding(verify->report, "entry %lld of %s: expected entry %lld next", (long long)entry.seq,
                       entry.at, (long long)report->entries + 1);
    if (strcmp(entry.previous_hash, report->head) != 0)
        report_finding(verify->report, "entry %lld of %s: the chain is broken before it",
                       (long long)entry.seq, entry.at);
    if (strcmp(stored, hash) != 0)
        report_finding(verify->report, "entry %lld of %s: its hash is not that of what it says",
                       (long long)entry.seq, entry.at);
    memcpy(report->head, hash, sizeof hash);
    report->entries = entry.seq;
    if (report->after_head >= 0)
        report->after_head++;
    if (verify->earlier != NULL && is_earlier(verify->earlier, hash))
        report->after_head = 0;
    check_rows(verify, &entry);
}

static void
check_journal(struct verify *verify)
{
    struct failure failure = {0};
    struct statement *list = statement_open(verify->store, sql_journal_list, &failure);
    bool row = false;

    if (list == NULL) {
        report_finding(verify->report, "journal: %s", failure.text);
        return;
    }
    while (statement_step(list, &row, &failure) == STATUS_OK && row)
        check_entry(verify, list);
    if (failure.status != STATUS_OK)
        report_finding(verify->report, "journal: %s", failure.text);
    statement_done(list);
    for (size_t i = 0; i < table_count(); i++) {
        struct cursor *cursor = &verify->cursors[i];

        while (cursor->rows != NULL && cursor->at_row)
            find_stray(verify, cursor);
        statement_done(cursor->rows);
    }
}

static enum status
check_earlier(const char *earlier, struct failure *failure)
{
    size_t length = strlen(earlier);

    if (is_seal(earlier))
        return STATUS_OK;
    if (length < VERIFY_HEAD_SHORTEST || length >= JOURNAL_HASH_SIZE ||
        strspn(earlier, "0123456789abcdefABCDEF") != length)
        return failure_set(failure, STATUS_FORMAT,
                           "'%.80s' is no hash of the journal, expected 16 to 64 characters 0-9 and a-f",
                           earlier);
    return STATUS_OK;
}

enum status
verify_notebook(struct store *store, const char *earlier, struct verify_report *ret_report,
                struct failure *failure)
{
    struct verify_report report = {.after_head = -1, .tables = (int64_t)table_count()};
    struct verify verify = {.store = store, .report = &report, .earlier = earlier};
    struct beside beside = {0};
    bool at_once;
    enum status status = earlier == NULL ? STATUS_OK : check_earlier(earlier, failure);

    if (status != STATUS_OK)
        return status;
    memset(report.head, '0', JOURNAL_HASH_SIZE - 1);
    status = store_begin_reading(store, failure); /* one state of the notebook throughout */
    if (status != STATUS_OK)
        return status;
    at_once = begin_beside(store, &beside);
    if (!at_once)
        check_file(store->handle, &report);
    status = check_schema(&verify, failure);
    if (status == STATUS_OK) {
        open_cursors(&verify);
        check_journal(&verify);
    }
    if (at_once)
        end_beside(&beside, &report);
    store_end_reading(store);
    if (status == STATUS_OK)
        *ret_report = report;
    else
        verify_report_clear(&report);
    free(verify.cursors);
    canonical_rows_clear(&verify.gathered);
    return status;
}

void
verify_report_clear(struct verify_report *report)
{
    for (size_t i = 0; i < report->finding_count && i < VERIFY_FINDINGS_KEPT; i++)
        free(report->findings[i]);
    *report = (struct verify_report){0};
}
