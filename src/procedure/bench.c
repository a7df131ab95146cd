/* bench.c - what lies ready for a session. */
#include "bench.h"

#include <stdlib.h>

#include "batch_store.h"
#include "gear_store.h"
#include "memory.h"
#include "session_store.h"
#include "step_file.h"
#include "text.h"

static enum status
check_setup(const struct bench_setup *setup, struct failure *failure)
{
    const struct procedure *procedure = setup->procedure;

    if (procedure_needs(procedure, STEP_PH) && setup->meter == NULL)
        return failure_set(failure, STATUS_MISSING, "procedure '%s' needs a meter", procedure->name);
    if (procedure_needs(procedure, STEP_PAPER) && setup->paper == NULL)
        return failure_set(failure, STATUS_MISSING, "procedure '%s' needs pH paper", procedure->name);
    if (procedure_has_specimens(procedure) && setup->bar_count == 0)
        return failure_set(failure, STATUS_MISSING, "procedure '%s' needs a batch to test", procedure->name);
    if (!procedure_has_specimens(procedure) && setup->bar_count > 0)
        return failure_set(failure, STATUS_USAGE, "procedure '%s' tests no batch, so none can be named",
                           procedure->name);
    return STATUS_OK;
}

static int64_t
id_of(const struct gear *gear)
{
    return gear == NULL ? 0 : gear->id;
}

static enum status
add_all(struct store *store, const struct bench_setup *setup, struct session *session,
        struct failure *failure)
{
    const struct procedure *procedure = setup->procedure;
    enum status status = procedure_store_keep(store, procedure->name, procedure->hash, procedure->source,
                                              session->started_at, &session->procedure_id, failure);

    if (status == STATUS_OK)
        status = session_store_add(store, session, failure);
    for (size_t i = 0; status == STATUS_OK && i < setup->bar_count; i++) {
        struct specimen specimen;

        specimen_init(&specimen);
        specimen.session_id = session->id;
        specimen.batch_id = setup->bars[i].batch_id;
        specimen.bar = bar_label(setup->bars[i].bar);
        status = specimen_store_add(store, &specimen, failure);
        specimen_clear(&specimen);
    }
    return status;
}

enum status
bench_begin(struct store *store, const struct bench_setup *setup, civil_time now, int64_t *ret_session_id,
            struct failure *failure)
{
    struct session session;
    enum status status = check_setup(setup, failure);

    if (status != STATUS_OK)
        return status;
    session_init(&session);
    session.started_at = now;
    session.limit_ph = setup->procedure->limit_ph;
    session.clear_ph = setup->procedure->clear_ph;
    if (setup->procedure->usual_low_ph != USUAL_LOW_PH)
        session.usual_low_ph = setup->procedure->usual_low_ph;
    session.meter_id = id_of(setup->meter);
    session.paper_id = id_of(setup->paper);
    session.balance_id = id_of(setup->balance);
    session.thermometer_id = id_of(setup->thermometer);
    session.note = memory_copy(setup->note);
    session.by = by_name(setup->by);
    status = store_begin(store, failure);
    if (status == STATUS_OK)
        status = store_end(store, add_all(store, setup, &session, failure), failure);
    if (status == STATUS_OK)
        *ret_session_id = session.id;
    session_clear(&session);
    return status;
}

static const struct gear *
gear_of(const struct bench *bench, int64_t id)
{
    for (size_t i = 0; id != 0 && i < bench->gear_count; i++)
        if (bench->gear[i].id == id)
            return &bench->gear[i];
    return NULL;
}

/* Batches are read in one go; those of the specimens give their codes. */
static enum status
take_code(const struct batch *batch, void *payload, struct failure *failure)
{
    struct bench *bench = payload;

    (void)failure;
    for (size_t i = 0; i < bench->specimen_count; i++)
        if (bench->specimens[i].batch_id == batch->id)
            bench->codes[i] = memory_copy(batch->code);
    return STATUS_OK;
}

static enum status
load_procedure(struct store *store, struct bench *bench, struct failure *failure)
{
    char *name = NULL, *text = NULL;
    struct text mistakes = {0};
    enum status status;

    if (bench->session.procedure_id == 0)
        return failure_set(failure, STATUS_MISSING, "session %lld has no procedure to walk through",
                           (long long)bench->session.id);
    status = procedure_store_find(store, bench->session.procedure_id, &name, &text, failure);
    if (status == STATUS_OK) {
        status = step_file_parse(name, text, &bench->procedure, &mistakes, failure);
        if (status != STATUS_OK)
            failure_at(failure, "the procedure of session %lld is not understood any more: ",
                       (long long)bench->session.id);
    }
    text_clear(&mistakes);
    free(name);
    free(text);
    return status;
}

static enum status
load_all(struct store *store, int64_t session_id, struct bench *bench, struct failure *failure)
{
    enum status status = session_store_find(store, session_id, &bench->session, failure);

    if (status == STATUS_OK)
        status = load_procedure(store, bench, failure);
    if (status == STATUS_OK)
        status = gear_store_list(store, &bench->gear, &bench->gear_count, failure);
    if (status == STATUS_OK)
        status =
            specimen_store_of_session(store, session_id, &bench->specimens, &bench->specimen_count, failure);
    if (status != STATUS_OK)
        return status;
    bench->codes = memory_new(bench->specimen_count + 1, sizeof *bench->codes);
    bench->meter = gear_of(bench, bench->session.meter_id);
    bench->paper = gear_of(bench, bench->session.paper_id);
    bench->balance = gear_of(bench, bench->session.balance_id);
    bench->thermometer = gear_of(bench, bench->session.thermometer_id);
    return batch_store_list(store, take_code, bench, failure);
}

enum status
bench_lay_out(struct store *store, int64_t session_id, struct bench *ret_bench, struct failure *failure)
{
    struct bench bench = {0};
    enum status status = load_all(store, session_id, &bench, failure);

    if (status == STATUS_OK)
        *ret_bench = bench;
    else
        bench_clear(&bench);
    return status;
}

void
bench_clear(struct bench *bench)
{
    for (size_t i = 0; i < bench->specimen_count; i++) {
        specimen_clear(&bench->specimens[i]);
        if (bench->codes != NULL)
            free(bench->codes[i]);
    }
    for (size_t i = 0; i < bench->gear_count; i++)
        gear_clear(&bench->gear[i]);
    free(bench->specimens);
    free(bench->codes);
    free(bench->gear);
    procedure_clear(&bench->procedure);
    session_clear(&bench->session);
    *bench = (struct bench){0};
}
