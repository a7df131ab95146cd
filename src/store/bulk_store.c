/* bulk_store.c - many readings at once. */
#include "bulk_store.h"

#include <assert.h>
#include <math.h>
#include <sodium.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "batch_store.h"
#include "bulk_writer.h"
#include "calibration_store.h"
#include "canonical.h"
#include "key_set.h"
#include "memory.h"
#include "sql.h"
#include "store_internal.h"
#include "text.h"
#include "tool_store.h"

enum { CACHE_KIB = 12 * 1024 };

/* A table that rows are added to, and those not in an entry of the journal yet. */
struct growth {
    int64_t last; /* the latest row's number */
    struct canonical_rows rows;
};

struct bulk {
    struct store *store; /* lent */
    civil_time now;
    unsigned char secret[crypto_shorthash_KEYBYTES];
    struct bulk_batch *batches;
    size_t batch_count, batch_capacity;
    struct key_set batch_index; /* code -> place in batches */
    const struct tools *tools;  /* lent by the store */
    struct key_set seen, specimens, replicates;
    struct bulk_writer *writer;
    struct growth growths[BULK_TABLES];
    int64_t last_session_before; /* the import */
    civil_time moment;           /* of which the block being filled has the text */
    size_t moment_text;
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
keep_batch(struct bulk *bulk, int64_t id, const struct batch *batch)
{
    bulk->batches =
        memory_room(bulk->batches, bulk->batch_count, &bulk->batch_capacity, sizeof *bulk->batches);
    bulk->batches[bulk->batch_count] = (struct bulk_batch){
        .id = id, .code = memory_copy(batch->code), .made_on = batch->made_on, .role = batch->role};
    *key_set_value(&bulk->batch_index, code_key(bulk, batch->code), 0) = (int64_t)bulk->batch_count;
    return &bulk->batches[bulk->batch_count++];
}

static enum status
take_batch(const struct batch *batch, void *payload, struct failure *failure)
{
    (void)failure;
    keep_batch(payload, batch->id, batch);
    return STATUS_OK;
}

static enum status
find_last_rows(struct bulk *bulk, struct failure *failure)
{
    struct statement *last = statement_open(bulk->store, sql_last_numbers, failure);
    enum status status;
    bool row = false;

    if (last == NULL)
        return failure->status;
    status = statement_step(last, &row, failure);
    for (int i = 0; status == STATUS_OK && i < BULK_TABLES; i++) {
        bulk->growths[i].last = statement_int(last, i);
        if (bulk->growths[i].last > INT64_MAX / 2) /* none of ours: behind it there may be no numbers left */
            status =
                failure_set(failure, STATUS_SYSTEM,
                            "cannot write the notebook '%s': table %s has a row numbered %lld (see verify)",
                            store_path(bulk->store), bulk_table_names[i], (long long)bulk->growths[i].last);
    }
    statement_done(last);
    bulk->last_session_before = bulk->growths[BULK_SESSION].last;
    return status;
}

static enum status
prepare(struct bulk *bulk, struct failure *failure)
{
    enum status status = find_last_rows(bulk, failure);

    if (status == STATUS_OK)
        status = tool_store_load(bulk->store, &bulk->tools, failure);
    if (status == STATUS_OK)
        status = batch_store_list(bulk->store, take_batch, bulk, failure);
    if (status == STATUS_OK)
        status = bulk_writer_open(bulk->store, &bulk->writer, failure);
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
    bulk->moment = MOMENT_NONE;
    for (size_t i = 0; i < BULK_TABLES; i++)
        canonical_rows_start(&bulk->growths[i].rows);
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
    for (size_t i = 0; i < bulk->tools->gear_count; i++)
        if (is_for(&bulk->tools->gear[i], method) && text_same(bulk->tools->gear[i].name, name))
            return &bulk->tools->gear[i];
    return NULL;
}

const struct gear *
bulk_only_gear(const struct bulk *bulk, enum reading_method method)
{
    const struct gear *found = NULL;

    for (size_t i = 0; i < bulk->tools->gear_count; i++) {
        if (!is_for(&bulk->tools->gear[i], method))
            continue;
        if (found != NULL)
            return NULL;
        found = &bulk->tools->gear[i];
    }
    return found;
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

/* Of a batch that was in the notebook before the import: what waits to be written cannot be among its readings. */
static enum status
learn_readings(struct bulk *bulk, int64_t batch_id, struct failure *failure)
{
    struct statement *rows;
    enum status status;
    bool row = false;

    if (bulk_writer_settle(bulk->writer, failure) != STATUS_OK)
        return failure->status;
    rows = statement_open(bulk->store, sql_reading_values_of_batch, failure);
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

/* The entry over the rows since the one before goes with the block that has the last of them. */
static void
end_entry(struct bulk *bulk, enum bulk_table table)
{
    struct bulk_block *block = bulk_writer_block(bulk->writer);
    struct growth *growth = &bulk->growths[table];

    if (growth->rows.count == 0)
        return;
    assert(block->entry_count < BULK_ENTRIES_MOST);
    block->entries[block->entry_count++] =
        (struct bulk_entry){.table = table,
                            .first = growth->last - growth->rows.count + 1,
                            .last = growth->last,
                            .text = memory_copy(canonical_rows_text(&growth->rows))};
    canonical_rows_start(&growth->rows);
}

/* Add a row and give its number, which becomes its first value. */
static int64_t
add_row(struct bulk *bulk, enum bulk_table table, union bulk_value *values)
{
    struct bulk_block *block = bulk_writer_block(bulk->writer);
    struct growth *growth = &bulk->growths[table];

    values[0].whole = ++growth->last;
    bulk_block_add(block, table, values);
    bulk_block_canonical(block, table, canonical_rows_next(&growth->rows));
    canonical_rows_add(&growth->rows);
    if (growth->rows.count == JOURNAL_BLOCK_ROWS)
        end_entry(bulk, table);
    return growth->last;
}

/* Between one row of the file and the next. */
static enum status
write_when_full(struct bulk *bulk, struct failure *failure)
{
    if (!bulk_block_full(bulk_writer_block(bulk->writer)))
        return STATUS_OK;
    bulk->moment = MOMENT_NONE;
    return bulk_writer_next(bulk->writer, failure);
}

static size_t
text_of_word(struct bulk *bulk, const char *word)
{
    return bulk_block_text(bulk_writer_block(bulk->writer), word);
}

/* Many rows in a file have the time of the one before. */
static size_t
text_of_moment(struct bulk *bulk, civil_time moment)
{
    char text[MOMENT_TEXT_SIZE];

    if (bulk->moment != moment)
        bulk->moment_text = text_of_word(bulk, clock_moment_text(moment, text));
    bulk->moment = moment;
    return bulk->moment_text;
}

enum status
bulk_add_batch(struct bulk *bulk, const char *code, civil_day made_on, enum batch_role role,
               struct failure *failure)
{
    struct batch batch = {.code = memory_copy(code), .made_on = made_on, .role = role};
    enum status status = batch_check(&batch, clock_day_of(bulk->now), failure);
    char day[DAY_TEXT_SIZE];

    assert(bulk_find_batch(bulk, code) == NULL);
    if (status == STATUS_OK) {
        int64_t id = add_row(bulk, BULK_BATCH,
                             (union bulk_value[]){{0},
                                                  {.text = text_of_word(bulk, code)},
                                                  {.text = text_of_word(bulk, clock_day_text(made_on, day))},
                                                  {.text = text_of_word(bulk, batch_role_word(role))},
                                                  {.text = text_of_moment(bulk, bulk->now)}});

        keep_batch(bulk, id, &batch)->known = true; /* it has no readings yet */
        status = write_when_full(bulk, failure);
    }
    batch_clear(&batch);
    return status;
}

static int64_t
add_session(struct bulk *bulk, const struct bulk_reading *reading)
{
    bool meter = reading->gear->kind == GEAR_METER;
    size_t at = text_of_moment(bulk, reading->taken_at);
    int64_t id = add_row(bulk, BULK_SESSION,
                         (union bulk_value[]){{0},
                                              {.text = at},
                                              {.number = LIMIT_PH_USUAL},
                                              {.whole = meter ? reading->gear->id : 0},
                                              {.whole = meter ? 0 : reading->gear->id}});

    add_row(bulk, BULK_CLOSE, (union bulk_value[]){{0}, {.whole = id}, {.text = at}});
    return id;
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

static int64_t
find_specimen(struct bulk *bulk, const struct bulk_reading *reading, uint64_t key)
{
    int64_t *known = key_set_value(&bulk->specimens, key, 0);

    if (*known == 0)
        *known = add_row(bulk, BULK_SPECIMEN,
                         (union bulk_value[]){{0},
                                              {.whole = add_session(bulk, reading)},
                                              {.whole = reading->batch->id},
                                              {.number = reading->concentration_pct}});
    return *known;
}

static void
add_reading(struct bulk *bulk, const struct bulk_reading *reading, int64_t specimen_id, int replicate)
{
    bool meter = reading->gear->kind == GEAR_METER;
    int64_t calibration_id =
        meter ? calibration_store_find_in_force(bulk->tools, reading->gear->id, reading->taken_at) : 0;
    const char *method = reading_method_word(meter ? READING_METER : READING_PAPER);

    add_row(bulk, BULK_READING,
            (union bulk_value[]){{0},
                                 {.whole = specimen_id},
                                 {.text = text_of_word(bulk, method)},
                                 {.whole = reading->gear->id},
                                 {.whole = replicate},
                                 {.number = reading->ph},
                                 {.number = reading->ph_low},
                                 {.number = reading->ph_high},
                                 {.number = reading->temperature_c},
                                 {.text = text_of_moment(bulk, reading->taken_at)},
                                 {.whole = calibration_id},
                                 {.text = text_of_word(bulk, reading->note)}});
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

    if (!batch->known)
        status = learn_readings(bulk, batch->id, failure);
    batch->known = true;
    if (status != STATUS_OK)
        return status;
    *ret_added = key_set_add(&bulk->seen, reading_key(bulk, batch->id, reading->gear->id, reading->taken_at,
                                                      replicate, value, reading->ph_high));
    if (!*ret_added)
        return STATUS_OK;
    batch->added = true;
    add_reading(bulk, reading, find_specimen(bulk, reading, specimen), replicate);
    return write_when_full(bulk, failure);
}

void
bulk_added(const struct bulk *bulk, char ***ret_codes, size_t *ret_count, int64_t *ret_first_session)
{
    char **codes = memory_new(bulk->batch_count + 1, sizeof *codes);
    size_t count = 0;

    for (size_t i = 0; i < bulk->batch_count; i++)
        if (bulk->batches[i].added)
            codes[count++] = memory_copy(bulk->batches[i].code);
    *ret_codes = codes;
    *ret_count = count;
    *ret_first_session =
        bulk->growths[BULK_SESSION].last > bulk->last_session_before ? bulk->last_session_before + 1 : 0;
}

enum status
bulk_close(struct bulk *bulk, bool keep, enum status status, struct failure *failure)
{
    struct store *store;
    enum status ended;

    if (bulk == NULL)
        return status;
    store = bulk->store;
    if (status == STATUS_OK) {
        for (size_t i = 0; i < BULK_TABLES; i++)
            end_entry(bulk, (enum bulk_table)i);
        status = bulk_writer_finish(bulk->writer, failure);
    }
    bulk_writer_close(bulk->writer); /* the store is this thread's again */
    ended = store_end(store, keep ? status : STATUS_CONFLICT, failure);
    set_cache(store, 2000);
    for (size_t i = 0; i < bulk->batch_count; i++)
        free(bulk->batches[i].code);
    free(bulk->batches);
    for (size_t i = 0; i < BULK_TABLES; i++)
        canonical_rows_clear(&bulk->growths[i].rows);
    key_set_clear(&bulk->batch_index);
    key_set_clear(&bulk->seen);
    key_set_clear(&bulk->specimens);
    key_set_clear(&bulk->replicates);
    free(bulk);
    return keep ? ended : status;
}
