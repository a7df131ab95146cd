/* walk.c - where a session stands. */
#include "walk.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "deviation.h"
#include "filing.h"
#include "guide.h"
#include "memory.h"
#include "session_store.h"
#include "text.h"

static enum status
refresh(struct walk *walk, struct failure *failure)
{
    struct answer *answers = NULL;
    size_t count = 0;
    enum status status;

    status = answer_store_of_session(walk->store, walk->bench.session.id, &answers, &count, failure);
    for (size_t i = 0; i < walk->answer_count; i++)
        answer_clear(&walk->answers[i]);
    free(walk->answers);
    walk->answers = answers;
    walk->answer_count = count;
    for (size_t i = 0; status == STATUS_OK && i < walk->bench.specimen_count; i++) {
        struct specimen specimen;

        specimen_init(&specimen);
        status = specimen_store_find(walk->store, walk->bench.specimens[i].id, &specimen, failure);
        specimen_clear(&walk->bench.specimens[i]);
        walk->bench.specimens[i] = specimen;
    }
    return status;
}

enum status
walk_open(struct store *store, int64_t session_id, struct walk *ret_walk, struct failure *failure)
{
    struct walk walk = {.store = store};
    enum status status = bench_lay_out(store, session_id, &walk.bench, failure);

    if (status != STATUS_OK)
        return status;
    if (walk.bench.session.finished_at != MOMENT_NONE)
        status =
            failure_set(failure, STATUS_CONFLICT, "session %lld is finished already", (long long)session_id);
    walk.questions = question_list(&walk.bench.procedure, walk.bench.specimen_count, walk.bench.meter != NULL,
                                   walk.bench.paper != NULL, &walk.question_count);
    if (status == STATUS_OK)
        status = refresh(&walk, failure);
    if (status == STATUS_OK)
        *ret_walk = walk;
    else
        walk_close(&walk);
    return status;
}

void
walk_close(struct walk *walk)
{
    for (size_t i = 0; i < walk->answer_count; i++)
        answer_clear(&walk->answers[i]);
    free(walk->answers);
    free(walk->questions);
    bench_clear(&walk->bench);
    *walk = (struct walk){0};
}

static const struct specimen *
specimen_of(const struct walk *walk, const struct question *question)
{
    return question->specimen == QUESTION_SESSION ? NULL : &walk->bench.specimens[question->specimen];
}

const struct answer *
walk_answer(const struct walk *walk, const struct question *question)
{
    const struct specimen *specimen = specimen_of(walk, question);

    return question_answer(question, specimen == NULL ? 0 : specimen->id, walk->answers, walk->answer_count);
}

const struct answer *
walk_other_half(const struct walk *walk, const struct question *question)
{
    if (question->step->kind != STEP_PH && question->step->kind != STEP_PAPER)
        return NULL;
    return walk_answer(walk, question->part == QUESTION_VALUE ? question + 1 : question - 1);
}

static bool
is_void(const struct walk *walk, const struct question *question)
{
    const struct answer *value =
        question->part == QUESTION_TEMPERATURE ? walk_other_half(walk, question) : NULL;

    return value != NULL && value->outcome == ANSWER_SKIPPED;
}

static bool
same(double a, double b)
{
    return a == b || (isnan(a) && isnan(b));
}

static bool
same_text(const char *a, const char *b)
{
    return (a == NULL && b == NULL) || (a != NULL && b != NULL && strcmp(a, b) == 0);
}

/* A deviation has its reason when the answer was filed with one, or once more with nothing but the reason
 * added; the `why` of a correction to another value speaks of the correction. */
static bool
wants_reason(const struct walk *walk, const struct answer *answer)
{
    if (answer == NULL || answer->deviation == NULL)
        return false;
    for (size_t i = 0; i < walk->answer_count; i++) {
        const struct answer *old = &walk->answers[i];

        if (old->id == answer->supersedes)
            return !(same(old->value, answer->value) && same(old->value_high, answer->value_high) &&
                     same_text(old->text, answer->text));
    }
    return answer->why == NULL;
}

size_t
walk_next(const struct walk *walk)
{
    for (size_t i = 0; i < walk->question_count; i++) {
        const struct answer *answer = walk_answer(walk, &walk->questions[i]);

        if (!is_void(walk, &walk->questions[i]) && (answer == NULL || wants_reason(walk, answer)))
            return i;
    }
    return WALK_NONE;
}

size_t
walk_before(const struct walk *walk, size_t index)
{
    while (index-- > 0) {
        const struct question *question = &walk->questions[index];
        const struct answer *answer = walk_answer(walk, question);
        enum step_kind kind = question->step->kind;

        if (answer != NULL && !is_void(walk, question) &&
            ((kind != STEP_DO && kind != STEP_WAIT) || answer->outcome == ANSWER_SKIPPED))
            return question->part == QUESTION_TEMPERATURE ? index - 1 : index;
    }
    return WALK_NONE;
}

size_t
walk_last(const struct walk *walk)
{
    size_t last = WALK_NONE;
    int64_t last_id = 0;

    for (size_t i = 0; i < walk->question_count; i++) {
        const struct answer *answer = walk_answer(walk, &walk->questions[i]);

        if (answer != NULL && answer->id > last_id) {
            last = i;
            last_id = answer->id;
        }
    }
    if (last != WALK_NONE && walk->questions[last].part == QUESTION_TEMPERATURE)
        last--;
    return last;
}

double
walk_temperature_before(const struct walk *walk, const struct question *question)
{
    double before_c = NAN;

    if (question->reading == 0 || question->part != QUESTION_TEMPERATURE)
        return before_c;
    for (const struct question *other = walk->questions; other < question; other++) {
        const struct answer *answer = walk_answer(walk, other);

        if (other->reading != 0 && other->part == QUESTION_TEMPERATURE &&
            other->specimen == question->specimen && answer != NULL && answer->outcome == ANSWER_DONE)
            before_c = answer->value;
    }
    return before_c;
}

struct answer
walk_new_answer(const struct walk *walk, const struct question *question, enum answer_outcome outcome,
                civil_time now)
{
    const struct specimen *specimen = specimen_of(walk, question);
    struct answer answer;

    answer_init(&answer);
    answer.session_id = walk->bench.session.id;
    answer.specimen_id = specimen == NULL ? 0 : specimen->id;
    answer.step = question_key(question);
    answer.replicate = question->replicate;
    answer.outcome = outcome;
    answer.answered_at = now;
    return answer;
}

static char *
deviation_of(const struct walk *walk, const struct question *question, const struct answer *answer)
{
    const double not_known = NAN; /* NAN itself is a float to some compilers */
    const struct answer *other = walk_other_half(walk, question);

    if (answer->outcome != ANSWER_DONE)
        return NULL;
    if (question->part == QUESTION_TEMPERATURE)
        return deviation_of_temperature(&walk->bench.procedure, question->step,
                                        other == NULL ? not_known : other->value, answer->value);
    if (question->step->buffer != NULL && other != NULL && other->outcome == ANSWER_DONE) /* a correction */
        return deviation_of_temperature(&walk->bench.procedure, question->step, answer->value, other->value);
    if (question->step->kind == STEP_CHOICE)
        return deviation_of_choice(question->step, answer->text);
    if (isnan(answer->value) || question->step->kind == STEP_PAPER)
        return NULL;
    return deviation_of_value(&walk->bench.procedure, question->step, answer->value,
                              specimen_of(walk, question));
}

enum status
walk_file(struct walk *walk, const struct question *question, struct answer *answer, const char *why,
          const struct answer *other, struct failure *failure)
{
    const struct answer *old = walk_answer(walk, question);
    enum status status;

    answer->supersedes = old == NULL ? 0 : old->id;
    answer->why = memory_copy(why);
    answer->deviation = deviation_of(walk, question, answer);
    status = filing_add(walk->store, &walk->bench.session, question, answer, other, failure);
    if (status == STATUS_OK)
        status = refresh(walk, failure);
    return status;
}

enum status
walk_file_row(struct walk *walk, struct answer *answer, struct failure *failure)
{
    enum status status = store_begin(walk->store, failure);

    if (status == STATUS_OK)
        status = store_end(walk->store, answer_store_add(walk->store, answer, failure), failure);
    return status == STATUS_OK ? refresh(walk, failure) : status;
}

char *
walk_left_open(const struct walk *walk)
{
    struct text text = {0};

    for (size_t i = 0; i < walk->question_count; i++) {
        const struct question *question = &walk->questions[i];
        const struct answer *answer = walk_answer(walk, question);
        char *place;

        if (question->step->optional != 0 || answer == NULL || answer->outcome != ANSWER_SKIPPED)
            continue;
        place = guide_place(&walk->bench, question);
        text_addf(&text, "%s%s (%s)", text.length == 0 ? "" : "; ", place, answer->why);
        free(place);
    }
    return text.length == 0 ? NULL : text_take(&text);
}

char *
walk_not_done(const struct walk *walk)
{
    struct text text = {0};

    for (size_t i = 0; i < walk->question_count; i++) {
        const struct question *question = &walk->questions[i];
        char *place;

        if (question->step->optional != 0 || walk_answer(walk, question) != NULL || is_void(walk, question) ||
            (question->part == QUESTION_TEMPERATURE && walk_other_half(walk, question) == NULL))
            continue;
        place = guide_place(&walk->bench, question);
        text_addf(&text, "%s%s", text.length == 0 ? "" : "; ", place);
        free(place);
    }
    return text.length == 0 ? NULL : text_take(&text);
}
