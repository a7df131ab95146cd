/* walk.c - where a session stands. */
#include "walk.h"

#include <assert.h>
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "guide.h"
#include "memory.h"
#include "session_store.h"
#include "text.h"

static struct answer *
find_row(const struct walk *walk, int64_t id)
{
    for (size_t i = 0; id != 0 && i < walk->answer_count; i++)
        if (walk->answers[i].id == id)
            return &walk->answers[i];
    return NULL;
}

/* Version 1 of the notebook kept the temperature of a reading as an answer of its own, to "KEY.temperature". */
static void
join_old_temperatures(struct walk *walk)
{
    static const char ending[] = ".temperature";

    for (size_t i = 0; i < walk->answer_count; i++) {
        const struct answer *half = &walk->answers[i];
        size_t length = strlen(half->step), key = length > sizeof ending ? length - (sizeof ending - 1) : 0;

        if (half->superseded_by != 0 || strcmp(half->step + key, ending) != 0)
            continue;
        for (size_t k = 0; k < walk->answer_count; k++) {
            struct answer *value = &walk->answers[k];

            if (value->specimen_id != half->specimen_id || value->replicate != half->replicate ||
                strlen(value->step) != key || strncmp(value->step, half->step, key) != 0 ||
                value->superseded_by != 0 || !isnan(value->temperature_c))
                continue;
            value->temperature_c = half->value;
            if (isnan(half->value) && value->text == NULL)
                value->text = memory_copy(guide_no_temperature);
        }
    }
}

static void
stand_all(struct walk *walk)
{
    for (size_t i = 0; i < walk->question_count; i++)
        question_stand(&walk->questions[i], walk_specimen_id(walk, &walk->questions[i]), walk->answers,
                       walk->answer_count);
}

static void
clear_rows(struct specimen *specimens, size_t specimen_count, struct answer *answers, size_t answer_count)
{
    for (size_t i = 0; i < specimen_count; i++)
        specimen_clear(&specimens[i]);
    for (size_t i = 0; i < answer_count; i++)
        answer_clear(&answers[i]);
    free(specimens);
    free(answers);
}

enum status
walk_refresh(struct walk *walk, struct failure *failure)
{
    struct bench *bench = &walk->bench;
    struct specimen *specimens = NULL;
    struct answer *answers = NULL;
    size_t specimen_count = 0, answer_count = 0;
    enum status status =
        specimen_store_of_session(walk->store, bench->session.id, &specimens, &specimen_count, failure);

    if (status == STATUS_OK)
        status = answer_store_of_session(walk->store, bench->session.id, &answers, &answer_count, failure);
    if (status == STATUS_OK &&
        specimen_count != bench->specimen_count) /* its questions are for so many cups */
        status = failure_set(failure, STATUS_FORMAT, "session %lld had %zu portions and has %zu now",
                             (long long)bench->session.id, bench->specimen_count, specimen_count);
    if (status != STATUS_OK) {
        clear_rows(specimens, specimen_count, answers, answer_count);
        return status;
    }
    clear_rows(bench->specimens, bench->specimen_count, walk->answers, walk->answer_count);
    bench->specimens = specimens;
    walk->answers = answers;
    walk->answer_count = answer_count;
    join_old_temperatures(walk);
    stand_all(walk);
    return STATUS_OK;
}

enum status
walk_standing(struct store *store, int64_t session_id, struct walk *ret_walk, struct failure *failure)
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
        status = walk_refresh(&walk, failure);
    if (status == STATUS_OK)
        *ret_walk = walk;
    else
        walk_clear(&walk);
    return status;
}

void
walk_clear(struct walk *walk)
{
    clear_rows(NULL, 0, walk->answers, walk->answer_count);
    free(walk->questions);
    bench_clear(&walk->bench);
    *walk = (struct walk){0};
}

struct question *
walk_question(const struct walk *walk, const char *step, size_t cup, int replicate)
{
    for (size_t i = 0; i < walk->question_count; i++)
        if (walk->questions[i].cup == cup && walk->questions[i].replicate == replicate &&
            strcmp(walk->questions[i].step->key, step) == 0)
            return &walk->questions[i];
    return NULL;
}

int64_t
walk_specimen_id(const struct walk *walk, const struct question *question)
{
    return question->cup == QUESTION_SESSION ? 0 : walk->bench.specimens[question->cup].id;
}

const struct answer *
walk_answer(const struct walk *walk, const struct question *question)
{
    return question->answer == QUESTION_OPEN ? NULL : &walk->answers[question->answer];
}

bool
walk_asks(const struct question *question)
{
    return question->standing != STANDING_ANSWERED && question->standing != STANDING_LEFT_OUT;
}

static bool
comes_before(const struct question *first, const struct question *then)
{
    return first->step < then->step ||
           (first->step == then->step && first->cup == then->cup && first->replicate < then->replicate);
}

const struct question *
walk_first_needed(const struct walk *walk, const struct question *question)
{
    for (size_t i = 0; i < walk->question_count; i++) {
        const struct question *other = &walk->questions[i];
        bool concerns = other->cup == QUESTION_SESSION || other->cup == question->cup ||
                        question->cup == QUESTION_SESSION;

        if (concerns && other->standing == STANDING_OPEN && other->step->optional == 0 &&
            comes_before(other, question))
            return other;
    }
    return NULL;
}

/* The round of a question begins with this one in its cup. */
static bool
same_round(const struct walk *walk, const struct question *a, const struct question *b)
{
    const struct procedure *procedure = &walk->bench.procedure;
    const struct step *earlier = a->step < b->step ? a->step : b->step;
    const struct step *later = a->step < b->step ? b->step : a->step;

    return a->cup == b->cup && a->cup != QUESTION_SESSION &&
           (size_t)(later - procedure->steps) <
               procedure_round_end(procedure, (size_t)(earlier - procedure->steps));
}

size_t
walk_next(const struct walk *walk, size_t here)
{
    for (size_t i = 0; here != WALK_NONE && i < walk->question_count; i++)
        if (walk_asks(&walk->questions[i]) && same_round(walk, &walk->questions[i], &walk->questions[here]))
            return i;
    for (size_t i = 0; i < walk->question_count; i++)
        if (walk_asks(&walk->questions[i]))
            return i;
    return WALK_NONE;
}

size_t
walk_next_of_cup(const struct walk *walk, size_t cup)
{
    for (size_t i = 0; i < walk->question_count; i++)
        if (walk->questions[i].cup == cup && walk_asks(&walk->questions[i]))
            return i;
    return WALK_NONE;
}

/* The number of the first answer that a question had, before all corrections; 0: none. */
static int64_t
first_id(const struct walk *walk, const struct question *question)
{
    const struct answer *answer = walk_answer(walk, question);
    int64_t id = answer == NULL ? 0 : answer->id;

    for (; answer != NULL; answer = find_row(walk, answer->supersedes))
        id = answer->id;
    return id;
}

size_t
walk_before(const struct walk *walk, size_t index)
{
    int64_t here = first_id(walk, &walk->questions[index]), latest = 0;
    size_t before = WALK_NONE;

    for (size_t i = 0; i < walk->question_count; i++) {
        const struct question *question = &walk->questions[i];
        enum step_kind kind = question->step->kind;
        int64_t id = first_id(walk, question);

        if (((kind == STEP_DO || kind == STEP_WAIT) && question->standing != STANDING_LEFT_OUT) ||
            id <= latest || (here != 0 && id >= here))
            continue;
        latest = id;
        before = i;
    }
    return before;
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
    return last;
}

double
walk_temperature_before(const struct walk *walk, const struct question *question)
{
    double before_c = NAN;

    for (const struct question *other = walk->questions; question->reading != 0 && other < question;
         other++) {
        const struct answer *answer = walk_answer(walk, other);

        if (other->reading != 0 && other->cup == question->cup && answer != NULL)
            before_c = answer->temperature_c;
    }
    return before_c;
}

int
walk_wait_left_s(const struct walk *walk, const struct question *question, civil_time now)
{
    civil_time begun = walk->bench.session.started_at;
    int64_t left_s;

    for (size_t i = 0; i < walk->question_count; i++) {
        const struct question *other = &walk->questions[i];
        const struct answer *answer = walk_answer(walk, other);

        if ((other->cup == question->cup || other->cup == QUESTION_SESSION) && answer != NULL &&
            comes_before(other, question) && answer->answered_at > begun)
            begun = answer->answered_at;
    }
    left_s = question->step->duration_s - (now - begun);
    return left_s < 0 ? 0 : left_s > question->step->duration_s ? question->step->duration_s : (int)left_s;
}

char *
walk_left_open(const struct walk *walk)
{
    struct text text = {0};

    for (size_t i = 0; i < walk->question_count; i++) {
        const struct question *question = &walk->questions[i];
        const struct answer *answer = walk_answer(walk, question);
        bool warmth = answer != NULL && question_has_temperature(question) && answer->text != NULL;
        char *place;

        if (question->step->optional != 0 || (question->standing != STANDING_LEFT_OUT && !warmth))
            continue;
        assert(answer != NULL); /* what was left out has an answer that says so */
        place = guide_place(&walk->bench, question);
        text_addf(&text, "%s%s%s (%s)", text.length == 0 ? "" : "; ", warmth ? "temperature of " : "", place,
                  answer == NULL || answer->why == NULL ? "" : answer->why);
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

        if (question->step->optional != 0 ||
            (question->standing != STANDING_OPEN && question->standing != STANDING_TEMPERATURE))
            continue;
        place = guide_place(&walk->bench, question);
        text_addf(&text, "%s%s%s", text.length == 0 ? "" : "; ",
                  question->standing == STANDING_TEMPERATURE ? "temperature of " : "", place);
        free(place);
    }
    return text.length == 0 ? NULL : text_take(&text);
}
