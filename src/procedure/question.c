/* question.c - a procedure and its specimens as one row of questions. */
#include "question.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "text.h"

struct list {
    struct question *items;
    size_t count, capacity;
    bool has_meter, has_paper;
};

static bool
left_out(const struct list *list, const struct step *step)
{
    return step->optional != 0 &&
           ((step->kind == STEP_PH && !list->has_meter) || (step->kind == STEP_PAPER && !list->has_paper));
}

static void
add_question(struct list *list, struct question question)
{
    list->items = memory_room(list->items, list->count, &list->capacity, sizeof *list->items);
    list->items[list->count++] = question;
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

static void
add_step(struct list *list, const struct procedure *procedure, const struct step *step, size_t specimen)
{
    int before = readings_before(procedure, step);

    if (left_out(list, step))
        return;
    for (int replicate = 1; replicate <= step->replicates; replicate++) {
        struct question question = {.step = step, .specimen = specimen, .replicate = replicate};

        if (step->records == RECORDS_READING)
            question.reading = before + replicate;
        add_question(list, question);
        if (step->kind != STEP_PH && step->kind != STEP_PAPER)
            continue;
        question.part = QUESTION_TEMPERATURE;
        add_question(list, question);
    }
}

struct question *
question_list(const struct procedure *procedure, size_t specimen_count, bool has_meter, bool has_paper,
              size_t *ret_count)
{
    struct list list = {.has_meter = has_meter, .has_paper = has_paper};
    size_t first = 0, last;

    while (first < procedure->step_count && procedure->steps[first].scope == STEP_SESSION)
        first++;
    for (last = first; last < procedure->step_count && procedure->steps[last].scope == STEP_SPECIMEN;)
        last++;
    for (size_t i = 0; i < first; i++)
        add_step(&list, procedure, &procedure->steps[i], QUESTION_SESSION);
    for (size_t specimen = 0; specimen < specimen_count; specimen++)
        for (size_t i = first; i < last; i++)
            add_step(&list, procedure, &procedure->steps[i], specimen);
    for (size_t i = last; i < procedure->step_count; i++)
        add_step(&list, procedure, &procedure->steps[i], QUESTION_SESSION);
    *ret_count = list.count;
    return list.items;
}

char *
question_key(const struct question *question)
{
    return text_format("%s%s", question->step->key,
                       question->part == QUESTION_TEMPERATURE ? ".temperature" : "");
}

const struct answer *
question_answer(const struct question *question, int64_t specimen_id, const struct answer *answers,
                size_t count)
{
    char *key = question_key(question);
    const struct answer *found = NULL;

    for (size_t i = 0; i < count; i++)
        if (answers[i].superseded_by == 0 && answers[i].outcome != ANSWER_NOTED &&
            answers[i].specimen_id == specimen_id && answers[i].replicate == question->replicate &&
            strcmp(answers[i].step, key) == 0)
            found = &answers[i];
    free(key);
    return found;
}
