/* session_store.c - sittings at the bench in the notebook. */
#include "session_store.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "row.h"
#include "rows.h"
#include "sql.h"

static enum status
procedure_find_hash(struct store *store, const char *hash, int64_t *ret_id, struct failure *failure)
{
    struct statement *find = statement_open(store, sql_procedure_find, failure);
    enum status status;
    bool row = false;

    if (find == NULL)
        return failure->status;
    statement_bind_text(find, ":hash", hash);
    status = statement_step(find, &row, failure);
    if (status == STATUS_OK)
        *ret_id = row ? statement_id(find, 0) : 0;
    statement_done(find);
    return status;
}

enum status
procedure_store_keep(struct store *store, const char *name, const char *hash, const char *text,
                     civil_time added_at, int64_t *ret_id, struct failure *failure)
{
    struct row row;
    int64_t id = 0;
    enum status status = procedure_find_hash(store, hash, &id, failure);

    if (status == STATUS_OK && id == 0) {
        row_start(&row, store, "procedure");
        row_text(&row, "hash", hash);
        row_text(&row, "name", name);
        row_text(&row, "text", text);
        row_time(&row, "added_at", added_at);
        status = row_add(&row, &id, failure);
    }
    if (status == STATUS_OK)
        *ret_id = id;
    return status;
}

enum status
procedure_store_find(struct store *store, int64_t id, char **ret_name, char **ret_text,
                     struct failure *failure)
{
    struct statement *find = statement_open(store, sql_procedure_text, failure);
    enum status status;
    bool row = false;

    if (find == NULL)
        return failure->status;
    statement_bind_id(find, ":id", id);
    status = statement_step(find, &row, failure);
    if (status == STATUS_OK && !row)
        status = failure_set(failure, STATUS_MISSING, "there is no procedure number %lld", (long long)id);
    if (status == STATUS_OK) {
        *ret_name = statement_name(find, 0);
        *ret_text = statement_name(find, 1);
    }
    statement_done(find);
    return status;
}

enum status
session_store_add(struct store *store, struct session *session, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "session");
    row_id(&row, "procedure", session->procedure_id);
    row_time(&row, "started_at", session->started_at);
    row_number(&row, "limit_ph", session->limit_ph);
    row_id(&row, "meter", session->meter_id);
    row_id(&row, "paper", session->paper_id);
    row_id(&row, "balance", session->balance_id);
    row_id(&row, "thermometer", session->thermometer_id);
    row_text(&row, "note", session->note);
    row_number(&row, "clear_ph", session->clear_ph);
    row_number(&row, "usual_low_ph", session->usual_low_ph);
    row_text(&row, "read_by", session->by);
    return row_add(&row, &session->id, failure);
}

enum status
specimen_store_add(struct store *store, struct specimen *specimen, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "specimen");
    row_id(&row, "session", specimen->session_id);
    row_id(&row, "batch", specimen->batch_id);
    row_text(&row, "bar", specimen->bar);
    row_number(&row, "stated_concentration_pct", specimen->stated_concentration_pct);
    return row_add(&row, &specimen->id, failure);
}

enum status
answer_store_add(struct store *store, struct answer *answer, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "answer");
    row_id(&row, "session", answer->session_id);
    row_id(&row, "specimen", answer->specimen_id);
    row_text(&row, "step", answer->step);
    row_integer(&row, "replicate", answer->replicate);
    row_text(&row, "outcome", answer_outcome_word(answer->outcome));
    row_number(&row, "value", answer->value);
    row_number(&row, "value_high", answer->value_high);
    row_number(&row, "temperature_c", answer->temperature_c);
    row_text(&row, "text", answer->text);
    row_text(&row, "deviation", answer->deviation);
    row_text(&row, "why", answer->why);
    row_time(&row, "answered_at", answer->answered_at);
    row_id(&row, "supersedes", answer->supersedes);
    return row_add(&row, &answer->id, failure);
}

enum status
weighing_store_add(struct store *store, struct weighing *weighing, struct failure *failure)
{
    struct row row;

    row_start(&row, store, "weighing");
    row_id(&row, "specimen", weighing->specimen_id);
    row_text(&row, "weighed", weighing_of_word(weighing->of));
    row_number(&row, "mass_g", weighing->mass_g);
    row_id(&row, "balance", weighing->balance_id);
    row_time(&row, "taken_at", weighing->taken_at);
    row_id(&row, "supersedes", weighing->supersedes);
    row_text(&row, "why", weighing->why);
    if (weighing->withdrawn)
        row_integer(&row, "withdrawn", 1);
    return row_add(&row, &weighing->id, failure);
}

enum status
reading_store_add(struct store *store, struct reading *reading, struct failure *failure)
{
    struct row row;
    enum status status = reading_check(reading, failure);

    if (status != STATUS_OK)
        return status;
    row_start(&row, store, "reading");
    row_id(&row, "specimen", reading->specimen_id);
    row_text(&row, "method", reading_method_word(reading->method));
    row_id(&row, "gear", reading->gear_id);
    row_integer(&row, "replicate", reading->replicate);
    row_number(&row, "ph", reading->ph);
    row_number(&row, "ph_low", reading->ph_low);
    row_number(&row, "ph_high", reading->ph_high);
    row_number(&row, "temperature_c", reading->temperature_c);
    row_time(&row, "taken_at", reading->taken_at);
    row_id(&row, "calibration", reading->calibration_named ? reading->calibration_id : 0);
    row_id(&row, "supersedes", reading->supersedes);
    row_text(&row, "why", reading->why);
    row_text(&row, "note", reading->note);
    if (reading->on_surface)
        row_integer(&row, "on_surface", 1);
    if (reading->calibration_named)
        row_integer(&row, "calibration_named", 1);
    if (reading->approximate)
        row_integer(&row, "approximate", 1);
    return row_add(&row, &reading->id, failure);
}

enum status
reading_store_same(struct store *store, int64_t batch_id, const char *bar, bool any_bar,
                   const struct reading *reading, bool *ret_same, struct failure *failure)
{
    struct statement *find = statement_open(store, sql_reading_same, failure);
    enum status status;

    if (find == NULL)
        return failure->status;
    statement_bind_id(find, ":batch", batch_id);
    statement_bind_text(find, ":bar", bar);
    statement_bind_int(find, ":any_bar", any_bar ? 1 : 0);
    statement_bind_id(find, ":gear", reading->gear_id);
    statement_bind_time(find, ":taken_at", reading->taken_at);
    statement_bind_int(find, ":replicate", reading->replicate);
    statement_bind_double(find, ":ph", reading->ph);
    statement_bind_double(find, ":ph_low", reading->ph_low);
    statement_bind_double(find, ":ph_high", reading->ph_high);
    status = statement_step(find, ret_same, failure);
    statement_done(find);
    return status;
}

enum status
session_store_close(struct store *store, int64_t session_id, civil_time finished_at, const char *left_open,
                    struct failure *failure)
{
    struct row row;
    int64_t id;

    row_start(&row, store, "session_close");
    row_id(&row, "session", session_id);
    row_time(&row, "finished_at", finished_at);
    row_text(&row, "left_open", left_open);
    return row_add(&row, &id, failure);
}

static void
load_session(struct statement *row, void *element)
{
    struct session *session = element;

    session_init(session);
    session->id = statement_id(row, 0);
    session->procedure_id = statement_id(row, 1);
    session->procedure_name = statement_copy(row, 2);
    session->procedure_hash = statement_copy(row, 3);
    session->started_at = statement_time(row, 4);
    session->finished_at = statement_time(row, 5);
    session->limit_ph = statement_double(row, 6);
    session->meter_id = statement_id(row, 7);
    session->paper_id = statement_id(row, 8);
    session->balance_id = statement_id(row, 9);
    session->thermometer_id = statement_id(row, 10);
    session->left_open = statement_copy(row, 11);
    session->note = statement_copy(row, 12);
    session->clear_ph = statement_double(row, 13);
    session->usual_low_ph = statement_double(row, 14);
    session->by = statement_copy(row, 15);
}

static void
load_specimen(struct statement *row, void *element)
{
    struct specimen *specimen = element;

    specimen_init(specimen);
    specimen->id = statement_id(row, 0);
    specimen->session_id = statement_id(row, 1);
    specimen->batch_id = statement_id(row, 2);
    specimen->bar = statement_copy(row, 3);
    specimen->stated_concentration_pct = statement_double(row, 4);
}

static void
load_answer(struct statement *row, void *element)
{
    struct answer *answer = element;
    struct failure ignored = {0};

    answer_init(answer);
    answer->id = statement_id(row, 0);
    answer->session_id = statement_id(row, 1);
    answer->specimen_id = statement_id(row, 2);
    answer->step = statement_name(row, 3);
    answer->replicate = (int)statement_int(row, 4);
    answer_outcome_parse(statement_word(row, 5), &answer->outcome, &ignored);
    answer->value = statement_double(row, 6);
    answer->value_high = statement_double(row, 7);
    answer->temperature_c = statement_double(row, 8);
    answer->text = statement_copy(row, 9);
    answer->deviation = statement_copy(row, 10);
    answer->why = statement_copy(row, 11);
    answer->answered_at = statement_time(row, 12);
    answer->supersedes = statement_id(row, 13);
    answer->superseded_by = statement_id(row, 14);
}

static void
load_weighing(struct statement *row, void *element)
{
    struct weighing *weighing = element;
    struct failure ignored = {0};

    *weighing = (struct weighing){.id = statement_id(row, 0),
                                  .specimen_id = statement_id(row, 1),
                                  .mass_g = statement_double(row, 3),
                                  .balance_id = statement_id(row, 4),
                                  .taken_at = statement_time(row, 5),
                                  .supersedes = statement_id(row, 6),
                                  .why = statement_copy(row, 7),
                                  .withdrawn = statement_int(row, 8) != 0};
    weighing_of_parse(statement_word(row, 2), &weighing->of, &ignored);
}

static void
load_reading(struct statement *row, void *element)
{
    struct reading *reading = element;
    struct failure ignored = {0};

    reading_init(reading);
    reading->id = statement_id(row, 0);
    reading->specimen_id = statement_id(row, 1);
    reading_method_parse(statement_word(row, 2), &reading->method, &ignored);
    reading->gear_id = statement_id(row, 3);
    reading->replicate = (int)statement_int(row, 4);
    reading->ph = statement_double(row, 5);
    reading->ph_low = statement_double(row, 6);
    reading->ph_high = statement_double(row, 7);
    reading->temperature_c = statement_double(row, 8);
    reading->taken_at = statement_time(row, 9);
    reading->calibration_id = statement_id(row, 10);
    reading->supersedes = statement_id(row, 11);
    reading->superseded_by = statement_id(row, 12);
    reading->why = statement_copy(row, 13);
    reading->note = statement_copy(row, 14);
    reading->calibration_named = statement_int(row, 15) != 0;
    reading->on_surface = statement_int(row, 16) != 0;
    reading->approximate = statement_int(row, 17) != 0;
    reading->withdrawn = statement_is_null(row, 5) && statement_is_null(row, 6);
}

enum status
session_store_find(struct store *store, int64_t id, struct session *ret_session, struct failure *failure)
{
    return rows_find(store, sql_session_find, "session", id, ret_session, load_session, failure);
}

enum status
reading_store_find(struct store *store, int64_t id, struct reading *ret_reading, struct failure *failure)
{
    return rows_find(store, sql_reading_find, "reading", id, ret_reading, load_reading, failure);
}

enum status
weighing_store_find(struct store *store, int64_t id, struct weighing *ret_weighing, struct failure *failure)
{
    return rows_find(store, sql_weighing_find, "weighing", id, ret_weighing, load_weighing, failure);
}

enum status
session_store_latest(struct store *store, int64_t session_id, int64_t *ret_answer_id, bool *ret_finished,
                     struct failure *failure)
{
    struct statement *latest = statement_open(store, sql_session_latest, failure);
    enum status status;
    bool row = false;

    if (latest == NULL)
        return failure->status;
    statement_bind_id(latest, ":session", session_id);
    status = statement_step(latest, &row, failure);
    if (status == STATUS_OK && row) {
        *ret_answer_id = statement_id(latest, 0);
        *ret_finished = statement_int(latest, 1) != 0;
    }
    statement_done(latest);
    return status;
}

enum status
session_store_unfinished(struct store *store, int64_t **ret_ids, size_t *ret_count, struct failure *failure)
{
    struct statement *statement = statement_open(store, sql_session_unfinished, failure);
    int64_t *ids = NULL;
    size_t count = 0, capacity = 0;
    enum status status;
    bool row = true;

    if (statement == NULL)
        return failure->status;
    while ((status = statement_step(statement, &row, failure)) == STATUS_OK && row) {
        ids = memory_room(ids, count, &capacity, sizeof *ids);
        ids[count++] = statement_id(statement, 0);
    }
    statement_done(statement);
    if (status == STATUS_OK) {
        *ret_ids = ids;
        *ret_count = count;
    } else {
        free(ids);
    }
    return status;
}

/* A specimen's masses are its latest weighings; those come in the order they were added. */
static void
take_weighing(struct specimen *specimen, const struct weighing *weighing)
{
    double mass_g = weighing->withdrawn ? (double)NAN : weighing->mass_g;

    if (weighing->of == WEIGHING_SOAP) {
        specimen->soap_mass_g = mass_g;
        specimen->balance_id = weighing->balance_id;
    } else {
        specimen->water_mass_g = mass_g;
    }
}

static enum status
weigh(struct store *store, struct specimen *specimen, struct failure *failure)
{
    struct weighing *weighings = NULL;
    size_t count = 0;
    enum status status = weighing_store_of_specimen(store, specimen->id, &weighings, &count, failure);

    for (size_t i = 0; i < count; i++) { /* also those that came before a failure */
        take_weighing(specimen, &weighings[i]);
        weighing_clear(&weighings[i]);
    }
    free(weighings);
    return status;
}

/* A part of what `portions` asks for. */
static enum status
list_portions(struct store *store, const struct portions *portions, const char *of_batch,
              const char *of_paper, size_t size, row_loader load, void **ret_array, size_t *ret_count,
              struct failure *failure)
{
    bool paper = portions->batch_id == 0;

    return rows_list(store, paper ? of_paper : of_batch, paper ? ":paper" : ":batch",
                     paper ? portions->paper_id : portions->batch_id, size, load, ret_array, ret_count,
                     failure);
}

enum status
specimen_store_of(struct store *store, const struct portions *portions, struct specimen **ret_specimens,
                  size_t *ret_count, struct weighing **ret_weighings, size_t *ret_weighing_count,
                  struct failure *failure)
{
    void *specimens = NULL, *weighings = NULL;
    enum status status =
        list_portions(store, portions, sql_specimen_of_batch, sql_specimen_of_paper, sizeof(struct specimen),
                      load_specimen, &specimens, ret_count, failure);

    *ret_specimens = specimens;
    *ret_weighing_count = 0;
    if (status == STATUS_OK)
        status =
            list_portions(store, portions, sql_weighing_of_batch, sql_weighing_of_paper,
                          sizeof(struct weighing), load_weighing, &weighings, ret_weighing_count, failure);
    *ret_weighings = weighings;
    for (size_t i = 0, k = 0; status == STATUS_OK && i < *ret_count; i++) /* both by the specimens' numbers */
        for (; k < *ret_weighing_count && (*ret_weighings)[k].specimen_id == (*ret_specimens)[i].id; k++)
            take_weighing(&(*ret_specimens)[i], &(*ret_weighings)[k]);
    return status;
}

enum status
specimen_store_of_several(struct store *store, size_t most, struct specimen **ret_specimens,
                          size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_specimen_of_several, ":most", (int64_t)most,
                                   sizeof(struct specimen), load_specimen, &array, ret_count, failure);

    *ret_specimens = array;
    return status;
}

enum status
reading_store_of_several(struct store *store, size_t most, struct reading **ret_readings, size_t *ret_count,
                         struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_reading_of_several, ":most", (int64_t)most,
                                   sizeof(struct reading), load_reading, &array, ret_count, failure);

    *ret_readings = array;
    return status;
}

enum status
specimen_store_of_session(struct store *store, int64_t session_id, struct specimen **ret_specimens,
                          size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_specimen_of_session, ":session", session_id,
                                   sizeof(struct specimen), load_specimen, &array, ret_count, failure);

    *ret_specimens = array;
    for (size_t i = 0; status == STATUS_OK && i < *ret_count; i++)
        status = weigh(store, &(*ret_specimens)[i], failure);
    return status;
}

enum status
specimen_store_find(struct store *store, int64_t id, struct specimen *ret_specimen, struct failure *failure)
{
    enum status status =
        rows_find(store, sql_specimen_find, "specimen", id, ret_specimen, load_specimen, failure);

    return status == STATUS_OK ? weigh(store, ret_specimen, failure) : status;
}

static int
by_start(const void *a, const void *b)
{
    const struct session *x = a, *y = b;

    if (x->started_at != y->started_at)
        return x->started_at < y->started_at ? -1 : 1;
    return (x->id > y->id) - (x->id < y->id);
}

/* In the order of time, each once: one with several test portions comes several times. */
static void
put_in_order(struct session *sessions, size_t *count)
{
    size_t kept = 0;

    if (*count > 1)
        qsort(sessions, *count, sizeof *sessions, by_start);
    for (size_t i = 0; i < *count; i++) {
        if (kept > 0 && sessions[kept - 1].id == sessions[i].id)
            session_clear(&sessions[i]);
        else
            sessions[kept++] = sessions[i];
    }
    *count = kept;
}

enum status
session_store_of(struct store *store, const struct portions *portions, struct session **ret_sessions,
                 size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = list_portions(store, portions, sql_session_of_batch, sql_session_of_paper,
                                       sizeof **ret_sessions, load_session, &array, ret_count, failure);

    *ret_sessions = array;
    put_in_order(*ret_sessions, ret_count);
    return status;
}

enum status
answer_store_of_session(struct store *store, int64_t session_id, struct answer **ret_answers,
                        size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_answer_of_session, ":session", session_id, sizeof **ret_answers,
                                   load_answer, &array, ret_count, failure);

    *ret_answers = array;
    return status;
}

enum status
weighing_store_of_specimen(struct store *store, int64_t specimen_id, struct weighing **ret_weighings,
                           size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_weighing_of_specimen, ":specimen", specimen_id,
                                   sizeof **ret_weighings, load_weighing, &array, ret_count, failure);

    *ret_weighings = array;
    return status;
}

enum status
reading_store_of_specimen(struct store *store, int64_t specimen_id, struct reading **ret_readings,
                          size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = rows_list(store, sql_reading_of_specimen, ":specimen", specimen_id,
                                   sizeof **ret_readings, load_reading, &array, ret_count, failure);

    *ret_readings = array;
    return status;
}

enum status
reading_store_of(struct store *store, const struct portions *portions, struct reading **ret_readings,
                 size_t *ret_count, struct failure *failure)
{
    void *array = NULL;
    enum status status = list_portions(store, portions, sql_reading_of_batch, sql_reading_of_paper,
                                       sizeof **ret_readings, load_reading, &array, ret_count, failure);

    *ret_readings = array;
    return status;
}
