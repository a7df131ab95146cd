/* question.c - a procedure and its cups as a table of questions. */
#include "question.h"

#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "observing.h"
#include "text.h"

struct list {
    const struct procedure *procedure;
    struct question *items;
    size_t count, capacity;
    bool has_meter, has_paper;
};

bool
question_has_temperature(const struct question *question)
{
    return question->step->kind == STEP_PH || question->step->kind == STEP_PAPER;
}

bool
question_asks_temperature(const struct question *question)
{
    return question->standing == STANDING_TEMPERATURE ||
           (question->standing == STANDING_OPEN &&
            (question_has_temperature(question) || question->step->kind == STEP_TEMPERATURE));
}

static bool
left_out(const struct list *list, const struct step *step)
{
    return step->optional != 0 &&
           ((step->kind == STEP_PH && !list->has_meter) || (step->kind == STEP_PAPER && !list->has_paper));
}

/* Readings by the same method in the steps before this one: their numbers go on. */
static int
readings_before(const struct procedure *procedure, const struct step *step)
{
    int count = 0;

    for (const struct step *before = procedure->steps; before < step; before++)
        if (before->records == RECORDS_READING && before->kind == step->kind)
            count += before->replicates;
    return count;
}

/* The questions of the steps from `first` to before `last` in one cup. */
static void
add_steps(struct list *list, size_t first, size_t last, size_t cup)
{
    for (size_t i = first; i < last; i++) {
        const struct step *step = &list->procedure->steps[i];
        int before = readings_before(list->procedure, step);

        for (int replicate = 1; !left_out(list, step) && replicate <= step->replicates; replicate++) {
            list->items = memory_room(list->items, list->count, &list->capacity, sizeof *list->items);
            list->items[list->count++] =
                (struct question){.step = step,
                                  .cup = cup,
                                  .replicate = replicate,
                                  .reading = step->records == RECORDS_READING ? before + replicate : 0,
                                  .answer = QUESTION_OPEN};
        }
    }
}

struct question *
question_list(const struct procedure *procedure, size_t cups, bool has_meter, bool has_paper,
              size_t *ret_count)
{
    struct list list = {.procedure = procedure, .has_meter = has_meter, .has_paper = has_paper};
    size_t first = 0, count = procedure->step_count;

    while (first < count && procedure->steps[first].scope == STEP_SESSION)
        first++;
    add_steps(&list, 0, first, QUESTION_SESSION);
    while (first < count && procedure->steps[first].scope == STEP_SPECIMEN) {
        size_t last = procedure_round_end(procedure, first);

        for (size_t cup = 0; cup < cups; cup++)
            add_steps(&list, first, last, cup);
        first = last;
    }
    add_steps(&list, first, count, QUESTION_SESSION);
    *ret_count = list.count;
    return list.items;
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
wants_reason(const struct answer *answer, const struct answer *answers, size_t count)
{
    if (answer->deviation == NULL)
        return false;
    for (size_t i = 0; i < count; i++)
        if (answers[i].id == answer->supersedes)
            return !(same(answers[i].value, answer->value) &&
                     same(answers[i].value_high, answer->value_high) &&
                     same(answers[i].temperature_c, answer->temperature_c) &&
                     same_text(answers[i].text, answer->text));
    return answer->why == NULL;
}

void
question_stand(struct question *question, int64_t specimen_id, const struct answer *answers, size_t count)
{
    const struct answer *answer;

    question->answer = QUESTION_OPEN;
    question->standing = STANDING_OPEN;
    for (size_t i = 0; i < count; i++)
        if (answers[i].superseded_by == 0 && answers[i].outcome != ANSWER_NOTED &&
            answers[i].specimen_id == specimen_id && answers[i].replicate == question->replicate &&
            strcmp(answers[i].step, question->step->key) == 0)
            question->answer = i;
    if (question->answer == QUESTION_OPEN)
        return;
    answer = &answers[question->answer];
    if (answer->outcome == ANSWER_SKIPPED)
        question->standing = STANDING_LEFT_OUT;
    else if (question_has_temperature(question) && isnan(answer->temperature_c) && answer->text == NULL)
        question->standing = STANDING_TEMPERATURE;
    else if (question->step->kind == STEP_CHOICE && isnan(answer->value) &&
             observing_confirms(question->step, answer->text) != NULL)
        question->standing = STANDING_SURE;
    else
        question->standing = wants_reason(answer, answers, count) ? STANDING_REASON : STANDING_ANSWERED;
}
