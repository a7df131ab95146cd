/* answers.c - file answers as the walk-through does, each on disk before the next.
 *
 *     answers NOTEBOOK COUNT
 *
 * The notebook is a new file. What is measured is filing_add() in a transaction of its own, as
 * the walk does it before it asks its next question: a pH that becomes an answer and a reading. */
#include <math.h>
#include <stdio.h>
#include <stdlib.h>

#include "batch_store.h"
#include "filing.h"
#include "gear_store.h"
#include "memory.h"
#include "notebook.h"
#include "session_store.h"

enum { READINGS_A_SPECIMEN = 4 };

static enum status
add_specimen(struct store *store, int64_t session_id, int64_t batch_id, struct failure *failure)
{
    struct specimen specimen;

    specimen_init(&specimen);
    specimen.session_id = session_id;
    specimen.batch_id = batch_id;
    specimen.stated_concentration_pct = 1.0;
    return specimen_store_add(store, &specimen, failure);
}

static enum status
prepare(struct store *store, struct session *session, int specimens, struct failure *failure)
{
    struct batch batch = {.code = memory_copy("walk"), .made_on = 16071, .added_at = 1400000000};
    struct gear meter;
    enum status status;

    gear_init(&meter, GEAR_METER);
    meter.name = memory_copy("walk meter");
    meter.resolution_ph = 0.01;
    meter.added_at = batch.added_at;
    session_init(session);
    status = batch_store_add(store, &batch, failure);
    if (status == STATUS_OK)
        status = gear_store_add(store, &meter, failure);
    session->started_at = batch.added_at;
    session->limit_ph = LIMIT_PH_USUAL;
    session->meter_id = meter.id;
    if (status == STATUS_OK)
        status = session_store_add(store, session, failure);
    for (int i = 0; status == STATUS_OK && i < specimens; i++)
        status = add_specimen(store, session->id, batch.id, failure);
    batch_clear(&batch);
    gear_clear(&meter);
    return status;
}

/* All of it in one transaction, so that it does not count. */
static enum status
prepare_at_once(struct store *store, struct session *session, int specimens, struct failure *failure)
{
    enum status status = store_begin(store, failure);

    return status != STATUS_OK ? status
                               : store_end(store, prepare(store, session, specimens, failure), failure);
}

static enum status
file_one(struct store *store, const struct session *session, int number, struct failure *failure)
{
    struct step step = {.kind = STEP_PH, .records = RECORDS_READING};
    struct question question = {.step = &step, .replicate = number, .reading = number};
    struct answer answer;
    enum status status;

    answer_init(&answer);
    answer.session_id = session->id;
    answer.specimen_id = 1 + number / READINGS_A_SPECIMEN; /* the notebook is new */
    answer.step = memory_copy("bar.ph");
    answer.replicate = number;
    answer.answered_at = session->started_at + number * 60;
    answer.value = 9.87;
    answer.temperature_c = 40.0;
    status = store_begin(store, failure);
    if (status == STATUS_OK)
        status = store_end(store, filing_add(store, session, &question, &answer, failure), failure);
    answer_clear(&answer);
    return status;
}

int
main(int argc, char **argv)
{
    struct store *store = NULL;
    struct session session = {0};
    struct failure failure = {0};
    int count = argc == 3 ? atoi(argv[2]) : 0;
    enum status status;

    if (count <= 0) {
        fputs("usage: answers NOTEBOOK COUNT\n", stderr);
        return 2;
    }
    status = notebook_open(argv[1], STORE_CREATE, &store, NULL, &failure);
    if (status == STATUS_OK)
        status = prepare_at_once(store, &session, count / READINGS_A_SPECIMEN + 1, &failure);
    for (int i = 1; status == STATUS_OK && i <= count; i++)
        status = file_one(store, &session, i, &failure);
    if (status != STATUS_OK)
        fprintf(stderr, "answers: %s\n", failure.text);
    session_clear(&session);
    store_close(store);
    return status == STATUS_OK ? 0 : 1;
}
