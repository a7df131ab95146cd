/* filing.c - one answer into the notebook, together with the weighing or reading that it is. */
#include "filing.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "observing.h"
#include "session_store.h"
#include "typed.h"

/* The number and moment of the last weighing of this kind; 0 when there is none. */
static enum status
last_weighing(struct store *store, int64_t specimen_id, enum weighing_of of, int64_t *ret_id,
              civil_time *ret_taken_at, struct failure *failure)
{
    struct weighing *weighings = NULL;
    size_t count = 0;
    enum status status = weighing_store_of_specimen(store, specimen_id, &weighings, &count, failure);

    for (size_t i = 0; status == STATUS_OK && i < count; i++) {
        if (weighings[i].of == of) {
            *ret_id = weighings[i].id;
            *ret_taken_at = weighings[i].taken_at;
        }
        weighing_clear(&weighings[i]);
    }
    free(weighings);
    return status;
}

static enum status
file_weighing(struct store *store, const struct session *session, const struct question *question,
              const struct answer *answer, struct failure *failure)
{
    struct weighing weighing = {.specimen_id = answer->specimen_id,
                                .of =
                                    question->step->records == RECORDS_SOAP ? WEIGHING_SOAP : WEIGHING_WATER,
                                .mass_g = answer->value,
                                .balance_id = session->balance_id,
                                .taken_at = answer->answered_at};
    enum status status = STATUS_OK;

    if (answer->outcome == ANSWER_SKIPPED)
        return STATUS_OK;
    if (answer->supersedes != 0)
        status = last_weighing(store, weighing.specimen_id, weighing.of, &weighing.supersedes,
                               &weighing.taken_at, failure);
    if (weighing.supersedes != 0)
        weighing.why = memory_copy(answer->why);
    if (status == STATUS_OK)
        status = weighing_store_add(store, &weighing, failure);
    weighing_clear(&weighing);
    return status;
}

/* The reading of this number that nothing supersedes, withdrawn or not; its id is 0 when there is none. */
static enum status
last_reading(struct store *store, const struct reading *like, struct reading *ret_reading,
             struct failure *failure)
{
    struct reading *readings = NULL;
    size_t count = 0;
    enum status status = reading_store_of_specimen(store, like->specimen_id, &readings, &count, failure);

    for (size_t i = 0; status == STATUS_OK && i < count; i++) {
        if (readings[i].method == like->method && readings[i].replicate == like->replicate &&
            readings[i].superseded_by == 0) {
            reading_clear(ret_reading);
            *ret_reading = readings[i];
        } else {
            reading_clear(&readings[i]);
        }
    }
    free(readings);
    return status;
}

static struct reading
reading_of(const struct session *session, const struct question *question, const struct answer *answer)
{
    struct reading reading;

    reading_init(&reading);
    reading.specimen_id = answer->specimen_id;
    reading.method = question->step->kind == STEP_PH ? READING_METER : READING_PAPER;
    reading.gear_id = reading.method == READING_METER ? session->meter_id : session->paper_id;
    reading.replicate = question->reading;
    reading.taken_at = answer->answered_at;
    reading.withdrawn = answer->outcome == ANSWER_SKIPPED;
    if (reading.withdrawn)
        return reading;
    if (reading.method == READING_METER) {
        reading.ph = answer->value;
    } else {
        reading.ph_low = answer->value;
        reading.ph_high = answer->value_high;
    }
    reading.temperature_c = answer->temperature_c;
    reading.on_surface = reading.method == READING_PAPER && answer->text != NULL &&
                         strcmp(answer->text, typed_on_surface) == 0;
    return reading;
}

static enum status
file_reading(struct store *store, const struct session *session, const struct question *question,
             const struct answer *answer, struct failure *failure)
{
    struct reading reading = reading_of(session, question, answer), last = {0};
    enum status status = STATUS_OK;

    if (answer->supersedes != 0)
        status = last_reading(store, &reading, &last, failure);
    if (status != STATUS_OK || (last.id == 0 && reading.withdrawn))
        goto out;
    if (last.id != 0) {
        reading.supersedes = last.id;
        reading.taken_at = last.taken_at;
        reading.calibration_id = last.calibration_id;
        reading.calibration_named = last.calibration_named;
        reading.why = memory_copy(answer->why);
    }
    status = reading_store_add(store, &reading, failure);
out:
    reading_clear(&last);
    reading_clear(&reading);
    return status;
}

enum status
filing_add(struct store *store, const struct session *session, const struct question *question,
           struct answer *answer, struct failure *failure)
{
    enum status status = answer_store_add(store, answer, failure);

    if (status != STATUS_OK)
        return status;
    if (question->step->records == RECORDS_SOAP || question->step->records == RECORDS_WATER)
        return file_weighing(store, session, question, answer, failure);
    if (observing_records(question->step))
        return observing_file(store, question, answer, failure);
    return question->reading == 0 ? STATUS_OK : file_reading(store, session, question, answer, failure);
}
