/* filing.c - one answer into the notebook, together with the weighing or reading that it is. */
#include "filing.h"

#include <math.h>
#include <stdlib.h>

#include "memory.h"
#include "session_store.h"

static const char corrected[] = "corrected at the bench", completed[] = "its temperature was measured";

/* The number and moment of the last weighing of this kind; 0 when there is none. */
static enum status
last_weighing(struct store *store, int64_t specimen_id, enum weighing_of of, int64_t *ret_id,
              civil_time *ret_taken_at, struct failure *failure)
{
    struct weighing *weighings = NULL;
    size_t count = 0;
    enum status status = weighing_store_of_specimen(store, specimen_id, &weighings, &count, failure);

    *ret_id = 0;
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
    enum status status = last_weighing(store, weighing.specimen_id, weighing.of, &weighing.supersedes,
                                       &weighing.taken_at, failure);

    if (status != STATUS_OK)
        return status;
    if (answer->outcome == ANSWER_SKIPPED) {
        if (weighing.supersedes == 0)
            return STATUS_OK;
        return failure_set(failure, STATUS_CONFLICT,
                           "what was weighed can be corrected, but not left out any more");
    }
    if (weighing.supersedes != 0)
        weighing.why = memory_copy(answer->why == NULL ? corrected : answer->why);
    status = weighing_store_add(store, &weighing, failure);
    weighing_clear(&weighing);
    return status;
}

/* The reading of this number that nothing supersedes, withdrawn or not; its id is 0 when there is none. */
static enum status
last_reading(struct store *store, int64_t specimen_id, enum reading_method method, int number,
             struct reading *ret_reading, struct failure *failure)
{
    struct reading *readings = NULL;
    size_t count = 0;
    enum status status = reading_store_of_specimen(store, specimen_id, &readings, &count, failure);

    for (size_t i = 0; status == STATUS_OK && i < count; i++) {
        if (readings[i].method == method && readings[i].replicate == number &&
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

static void
fill_in(struct reading *reading, const struct answer *value, const struct answer *temperature)
{
    reading->withdrawn = value->outcome == ANSWER_SKIPPED;
    if (reading->withdrawn)
        return;
    if (reading->method == READING_METER) {
        reading->ph = value->value;
    } else {
        reading->ph_low = value->value;
        reading->ph_high = value->value_high;
    }
    if (temperature != NULL && temperature->outcome == ANSWER_DONE)
        reading->temperature_c = temperature->value;
}

static bool
same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool
says_the_same(const struct reading *a, const struct reading *b)
{
    return a->withdrawn == b->withdrawn && same(a->ph, b->ph) && same(a->ph_low, b->ph_low) &&
           same(a->ph_high, b->ph_high) && same(a->temperature_c, b->temperature_c);
}

/* Rule 2: the temperature comes next, and nothing dangerous is lost if it never does. */
static bool
waits(const struct session *session, const struct answer *value, const struct answer *temperature)
{
    return temperature == NULL && value->outcome == ANSWER_DONE && value->value < session->limit_ph;
}

static enum status
file_reading(struct store *store, const struct session *session, const struct question *question,
             const struct answer *value, const struct answer *temperature, const char *why,
             struct failure *failure)
{
    struct reading reading, last = {0};
    enum status status;

    reading_init(&reading);
    reading.specimen_id = value->specimen_id;
    reading.method = question->step->kind == STEP_PH ? READING_METER : READING_PAPER;
    reading.gear_id = reading.method == READING_METER ? session->meter_id : session->paper_id;
    reading.replicate = question->reading;
    reading.taken_at = value->answered_at;
    fill_in(&reading, value, temperature);
    status = last_reading(store, reading.specimen_id, reading.method, reading.replicate, &last, failure);
    if (status != STATUS_OK || (last.id == 0 && (reading.withdrawn || waits(session, value, temperature))) ||
        (last.id != 0 && says_the_same(&last, &reading)))
        goto out;
    if (last.id != 0) {
        reading.supersedes = last.id;
        reading.taken_at = last.taken_at;
        reading.calibration_id = last.calibration_id;
        reading.why = memory_copy(why != NULL                                              ? why
                                  : isnan(last.temperature_c) && same(last.ph, reading.ph) ? completed
                                                                                           : corrected);
    }
    status = reading_store_add(store, &reading, failure);
out:
    reading_clear(&last);
    reading_clear(&reading);
    return status;
}

static enum status
file_what_it_is(struct store *store, const struct session *session, const struct question *question,
                const struct answer *answer, const struct answer *other, struct failure *failure)
{
    bool value = question->part == QUESTION_VALUE;

    if (question->step->records == RECORDS_SOAP || question->step->records == RECORDS_WATER)
        return file_weighing(store, session, question, answer, failure);
    if (question->reading == 0 || (!value && other == NULL))
        return STATUS_OK;
    return file_reading(store, session, question, value ? answer : other, value ? other : answer, answer->why,
                        failure);
}

enum status
filing_add(struct store *store, const struct session *session, const struct question *question,
           struct answer *answer, const struct answer *other, struct failure *failure)
{
    enum status status = store_begin(store, failure);

    if (status != STATUS_OK)
        return status;
    status = answer_store_add(store, answer, failure);
    if (status == STATUS_OK)
        status = file_what_it_is(store, session, question, answer, other, failure);
    return store_end(store, status, failure);
}
