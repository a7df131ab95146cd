/* bulk_store.c - many readings at once. */
#include "bulk_store.h"

#include <math.h>
#include <sodium.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "batch_store.h"
#include "calibration_store.h"
#include "gear_store.h"
#include "journal.h"
#include "key_set.h"
#include "memory.h"
#include "sql.h"
#include "store_internal.h"
#include "text.h"

/* Rows added to a table and not journalled yet. */
struct pending {
    const char *table;
    int64_t first, last; /* first 0: none */
};
enum { PENDING_SESSION, PENDING_CLOSE, PENDING_SPECIMEN, PENDING_READING, PENDING_TABLES };
enum { PENDING_MOST = 1000, CACHE_KIB = 12 * 1024 };

struct bulk {
    struct store *store; /* lent */
    civil_time now;
    unsigned char secret[crypto_shorthash_KEYBYTES];
    struct bulk_batch *batches;
    size_t batch_count, batch_capacity;
    struct key_set batch_index; /* code -> place in batches */
    struct gear *gear;
    size_t gear_count;
    bool calibrated; /* the notebook holds calibrations */
    struct key_set seen, specimens, replicates;
    struct pending pending[PENDING_TABLES];
    sqlite3_stmt *add[PENDING_TABLES]; /* lent by the store; parameters in the order of the columns */
    char moment[MOMENT_TEXT_SIZE];
    civil_time moment_of; /* that `moment` shows */
    int64_t calibration_id, calibration_meter;
    civil_time calibration_at; /* that calibration_id was looked up for */
};

static uint64_t
code_key(const struct bulk *bulk, const char *code)
{
    char lower[BATCH_CODE_LONGEST * 4 + 1];
    size_t length = 0;

    for (; code[length] != '\0' && length < sizeof lower; length++)
        lower[length] =
            (char)(code[length] >= 'A' && code[length] <= 'Z' ? code[length] + ('a' - 'A') : code[length]);
    return key_of(lower, length, bulk->secret);
}

static struct bulk_batch *
keep_batch(struct bulk *bulk, const struct batch *batch)
{
    bulk->batches =
        memory_room(bulk->batches, bulk->batch_count, &bulk->batch_capacity, sizeof *bulk->batches);
    bulk->batches[bulk->batch_count] = (struct bulk_batch){
        .id = batch->id, .code = memory_copy(batch->code), .made_on = batch->made_on, .role = batch->role};
    *key_set_value(&bulk->batch_index, code_key(bulk, batch->code), 0) = (int64_t)bulk->batch_count;
    return &bulk->batches[bulk->batch_count++];
}

static enum status
take_batch(const struct batch *batch, void *payload, struct failure *failure)
{
    (void)failure;
    keep_batch(payload, batch);
    return STATUS_OK;
}

static enum status
prepare(struct bulk *bulk, struct failure *failure)
{
    static const char *const add_sql[PENDING_TABLES] = {
        [PENDING_SESSION] = sql_session_add_many,
        [PENDING_CLOSE] = sql_session_close_add_many,
        [PENDING_SPECIMEN] = sql_specimen_add_many,
        [PENDING_READING] = sql_reading_add_many,
    };
    struct statement *any = statement_open(bulk->store, sql_calibration_any, failure);
    enum status status;

    if (any == NULL)
        return failure->status;
    for (size_t i = 0; i < PENDING_TABLES; i++) {
        struct statement *add = statement_open(bulk->store, add_sql[i], failure);

        if (add == NULL)
            return failure->status;
        bulk->add[i] = add->handle;
    }
    status = statement_step(any, &bulk->calibrated, failure);
    statement_done(any);
    if (status == STATUS_OK)
        status = gear_store_list(bulk->store, &bulk->gear, &bulk->gear_count, failure);
    if (status == STATUS_OK)
        status = batch_store_list(bulk->store, take_batch, bulk, failure);
    return status;
}

static void
set_cache(struct store *store, int kib)
{
    char sql[64];

    snprintf(sql, sizeof sql, "PRAGMA cache_size = -%d", kib);
    sqlite3_exec(store->handle, sql, NULL, NULL, NULL);
}

enum status
bulk_open(struct store *store, civil_time now, struct bulk **ret_bulk, struct failure *failure)
{
    struct bulk *bulk = memory_new(1, sizeof *bulk);
    enum status status = store_begin(store, failure);

    if (status != STATUS_OK) {
        free(bulk);
        return status;
    }
    bulk->store = store;
    bulk->now = now;
    bulk->moment_of = bulk->calibration_at = MOMENT_NONE;
    bulk->pending[PENDING_SESSION].table = "session";
    bulk->pending[PENDING_CLOSE].table = "session_close";
    bulk->pending[PENDING_SPECIMEN].table = "specimen";
    bulk->pending[PENDING_READING].table = "reading";
    randombytes_buf(bulk->secret, sizeof bulk->secret);
    set_cache(store, CACHE_KIB);
    status = prepare(bulk, failure);
    if (status != STATUS_OK)
        return bulk_close(bulk, false, status, failure);
    *ret_bulk = bulk;
    return STATUS_OK;
}

const struct bulk_batch *
bulk_find_batch(const struct bulk *bulk, const char *code)
{
    int64_t at = key_set_find(&bulk->batch_index, code_key(bulk, code), -1);

    return at < 0 || !text_same(bulk->batches[at].code, code) ? NULL : &bulk->batches[at];
}

static bool
is_for(const struct gear *gear, enum reading_method method)
{
    return gear->kind == (method == READING_METER ? GEAR_METER : GEAR_PAPER);
}

const struct gear *
bulk_find_gear(const struct bulk *bulk, enum reading_method method, const char *name)
{
    for (size_t i = 0; i < bulk->gear_count; i++)
        if (is_for(&bulk->gear[i], method) && text_same(bulk->gear[i].name, name))
            return &bulk->gear[i];
    return NULL;
}

const struct gear *
bulk_only_gear(const struct bulk *bulk, enum reading_method method)
{
    const struct gear *found = NULL;

    for (size_t i = 0; i < bulk->gear_count; i++) {
        if (!is_for(&bulk->gear[i], method))
            continue;
        if (found != NULL)
            return NULL;
        found = &bulk->gear[i];
    }
    return found;
}

enum status
bulk_add_batch(struct bulk *bulk, const char *code, civil_day made_on, enum batch_role role,
               struct failure *failure)
{
    struct batch batch = {.code = memory_copy(code), .made_on = made_on, .role = role, .added_at = bulk->now};
    enum status status = batch_check(&batch, clock_day_of(bulk->now), failure);

    if (status == STATUS_OK)
        status = batch_store_add(bulk->store, &batch, failure);
    if (status == STATUS_OK)
        keep_batch(bulk, &batch)->known = true; /* it has no readings yet */
    batch_clear(&batch);
    return status;
}

/* --- rule 2 ------------------------------------------------------------------------------------------ */

static uint64_t
reading_key(const struct bulk *bulk, int64_t batch_id, int64_t gear_id, civil_time taken_at,
            int64_t replicate, double value, double value_high)
{
    struct {
        int64_t batch_id, gear_id, taken_at, replicate;
        double value, value_high;
    } all = {batch_id, gear_id, taken_at, replicate, value + 0.0, isnan(value_high) ? 0.0 : value_high};

    return key_of(&all, sizeof all, bulk->secret);
}

static enum status
learn_readings(struct bulk *bulk, int64_t batch_id, struct failure *failure)
{
    struct statement *rows = statement_open(bulk->store, sql_reading_values_of_batch, failure);
    enum status status;
    bool row = false;

    if (rows == NULL)
        return failure->status;
    statement_bind_int(rows, ":batch", batch_id);
    while ((status = statement_step(rows, &row, failure)) == STATUS_OK && row)
        key_set_add(&bulk->seen, reading_key(bulk, batch_id, statement_id(rows, 0), statement_time(rows, 1),
                                             statement_int(rows, 2), statement_double(rows, 3),
                                             statement_double(rows, 4)));
    statement_done(rows);
    return status;
}

/* --- adding ------------------------------------------------------------------------------------------ */

static enum status
journal_pending(struct bulk *bulk, struct pending *pending, struct failure *failure)
{
    int64_t first = pending->first;

    pending->first = 0;
    return first == 0 ? STATUS_OK : journal_block(bulk->store, pending->table, first, pending->last, failure);
}

static enum status
note_row(struct bulk *bulk, int table, int64_t id, struct failure *failure)
{
    struct pending *pending = &bulk->pending[table];

    if (pending->first == 0)
        pending->first = id;
    pending->last = id;
    return id - pending->first + 1 < PENDING_MOST ? STATUS_OK : journal_pending(bulk, pending, failure);
}

static void
bind_number(sqlite3_stmt *statement, int index, double number)
{
    if (isnan(number))
        sqlite3_bind_null(statement, index);
    else
        sqlite3_bind_double(statement, index, number);
}

static void
bind_id(sqlite3_stmt *statement, int index, int64_t id)
{
    if (id == 0)
        sqlite3_bind_null(statement, index);
    else
        sqlite3_bind_int64(statement, index, id);
}

/* Many rows in a file have the time of the one before. */
static void
bind_moment(struct bulk *bulk, sqlite3_stmt *statement, int index, civil_time moment)
{
    if (bulk->moment_of != moment)
        clock_moment_text(moment, bulk->moment);
    bulk->moment_of = moment;
    sqlite3_bind_text(statement, index, bulk->moment, -1, SQLITE_STATIC);
}

/* Run a bound INSERT; all its parameters are bound again the next time. */
static enum status
insert(struct bulk *bulk, int table, int64_t *ret_id, struct failure *failure)
{
    int code = sqlite3_step(bulk->add[table]);

    sqlite3_reset(bulk->add[table]);
    if (code != SQLITE_DONE)
        return store_failure(bulk->store, code, "cannot write the notebook", failure);
    *ret_id = sqlite3_last_insert_rowid(bulk->store->handle);
    return note_row(bulk, table, *ret_id, failure);
}

static enum status
add_session(struct bulk *bulk, const struct bulk_reading *reading, int64_t *ret_id, struct failure *failure)
{
    sqlite3_stmt *add = bulk->add[PENDING_SESSION], *close = bulk->add[PENDING_CLOSE];
    bool meter = reading->gear->kind == GEAR_METER;
    int64_t close_id = 0;

    bind_moment(bulk, add, 1, reading->taken_at);
    sqlite3_bind_double(add, 2, LIMIT_PH_USUAL);
    bind_id(add, 3, meter ? reading->gear->id : 0);
    bind_id(add, 4, meter ? 0 : reading->gear->id);
    if (insert(bulk, PENDING_SESSION, ret_id, failure) != STATUS_OK)
        return failure->status;
    sqlite3_bind_int64(close, 1, *ret_id);
    bind_moment(bulk, close, 2, reading->taken_at);
    return insert(bulk, PENDING_CLOSE, &close_id, failure);
}

/* Rule 3: the key of a reading's session and specimen. */
static uint64_t
specimen_key(const struct bulk *bulk, const struct bulk_reading *reading)
{
    struct {
        uint64_t label;
        int64_t batch_id, day;
        double concentration_pct;
    } all = {.batch_id = reading->batch->id,
             .concentration_pct = isnan(reading->concentration_pct) ? 0.0 : reading->concentration_pct};

    if (reading->session == NULL)
        all.day = clock_day_of(reading->taken_at);
    else
        all.label = key_of(reading->session, strlen(reading->session), bulk->secret);
    return key_of(&all, sizeof all, bulk->secret);
}

static enum status
find_specimen(struct bulk *bulk, const struct bulk_reading *reading, uint64_t key, int64_t *ret_id,
              struct failure *failure)
{
    int64_t *known = key_set_value(&bulk->specimens, key, 0), session_id = 0;
    sqlite3_stmt *add = bulk->add[PENDING_SPECIMEN];
    enum status status;

    if (*known != 0) {
        *ret_id = *known;
        return STATUS_OK;
    }
    status = add_session(bulk, reading, &session_id, failure);
    if (status != STATUS_OK)
        return status;
    sqlite3_bind_int64(add, 1, session_id);
    sqlite3_bind_int64(add, 2, reading->batch->id);
    bind_number(add, 3, reading->concentration_pct);
    status = insert(bulk, PENDING_SPECIMEN, known, failure);
    *ret_id = *known;
    return status;
}

/* The calibration a meter was under, looked up again only when meter or time change. */
static enum status
find_calibration(struct bulk *bulk, const struct bulk_reading *reading, struct failure *failure)
{
    if (!bulk->calibrated || reading->gear->kind != GEAR_METER) {
        bulk->calibration_id = 0;
        bulk->calibration_at = MOMENT_NONE;
        return STATUS_OK;
    }
    if (bulk->calibration_at == reading->taken_at && bulk->calibration_meter == reading->gear->id)
        return STATUS_OK;
    bulk->calibration_at = reading->taken_at;
    bulk->calibration_meter = reading->gear->id;
    return calibration_store_in_force(bulk->store, reading->gear->id, reading->taken_at,
                                      &bulk->calibration_id, failure);
}

static enum status
add_row(struct bulk *bulk, const struct bulk_reading *reading, int64_t specimen_id, int replicate,
        struct failure *failure)
{
    sqlite3_stmt *add = bulk->add[PENDING_READING];
    enum reading_method method = reading->gear->kind == GEAR_METER ? READING_METER : READING_PAPER;
    int64_t id;

    sqlite3_bind_int64(add, 1, specimen_id);
    sqlite3_bind_text(add, 2, reading_method_word(method), -1, SQLITE_STATIC);
    sqlite3_bind_int64(add, 3, reading->gear->id);
    sqlite3_bind_int(add, 4, replicate);
    bind_number(add, 5, reading->ph);
    bind_number(add, 6, reading->ph_low);
    bind_number(add, 7, reading->ph_high);
    bind_number(add, 8, reading->temperature_c);
    bind_moment(bulk, add, 9, reading->taken_at);
    bind_id(add, 10, bulk->calibration_id);
    sqlite3_bind_text(add, 11, reading->note, -1, SQLITE_STATIC); /* NULL binds NULL */
    return insert(bulk, PENDING_READING, &id, failure);
}

/* Rule 4. */
static int
number_replicate(struct bulk *bulk, const struct bulk_reading *reading, uint64_t specimen)
{
    struct {
        uint64_t specimen;
        int64_t gear_id;
    } group = {specimen, reading->gear->id};

    return (int)++*key_set_value(&bulk->replicates, key_of(&group, sizeof group, bulk->secret), 0);
}

enum status
bulk_add_reading(struct bulk *bulk, const struct bulk_reading *reading, bool *ret_added,
                 struct failure *failure)
{
    struct bulk_batch *batch = &bulk->batches[reading->batch - bulk->batches];
    uint64_t specimen = specimen_key(bulk, reading);
    int replicate = reading->replicate > 0 ? reading->replicate : number_replicate(bulk, reading, specimen);
    double value = isnan(reading->ph) ? reading->ph_low : reading->ph;
    enum status status = STATUS_OK;
    int64_t specimen_id = 0;

    if (!batch->known)
        status = learn_readings(bulk, batch->id, failure);
    batch->known = true;
    if (status != STATUS_OK)
        return status;
    *ret_added = key_set_add(&bulk->seen, reading_key(bulk, batch->id, reading->gear->id, reading->taken_at,
                                                      replicate, value, reading->ph_high));
    if (!*ret_added)
        return STATUS_OK;
    status = find_specimen(bulk, reading, specimen, &specimen_id, failure);
    if (status == STATUS_OK)
        status = find_calibration(bulk, reading, failure);
    return status == STATUS_OK ? add_row(bulk, reading, specimen_id, replicate, failure) : status;
}

enum status
bulk_close(struct bulk *bulk, bool keep, enum status status, struct failure *failure)
{
    struct store *store;
    enum status ended;

    if (bulk == NULL)
        return status;
    store = bulk->store;
    for (size_t i = 0; keep && status == STATUS_OK && i < PENDING_TABLES; i++)
        status = journal_pending(bulk, &bulk->pending[i], failure);
    ended = store_end(store, keep ? status : STATUS_CONFLICT, failure);
    set_cache(store, 2000);
    for (size_t i = 0; i < bulk->batch_count; i++)
        free(bulk->batches[i].code);
    free(bulk->batches);
    for (size_t i = 0; i < bulk->gear_count; i++)
        gear_clear(&bulk->gear[i]);
    free(bulk->gear);
    key_set_clear(&bulk->batch_index);
    key_set_clear(&bulk->seen);
    key_set_clear(&bulk->specimens);
    key_set_clear(&bulk->replicates);
    free(bulk);
    return keep ? ended : status;
}
