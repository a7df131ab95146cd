/* problems.c - everything that is wrong with a file. */
#include "problems.h"

#include <stdlib.h>

#include "memory.h"

void
problems_add(struct problems *problems, const struct failure *failure)
{
    if (problems->count == 0)
        problems->first = failure->status;
    if (problems->count < PROBLEMS_KEPT)
        problems->texts[problems->count] = memory_copy(failure->text);
    problems->count++;
}

void
problems_print(const struct problems *problems, FILE *out)
{
    for (size_t i = 0; i < PROBLEMS_KEPT && problems->texts[i] != NULL; i++)
        fprintf(out, "%s\n", problems->texts[i]);
    if (problems->count > PROBLEMS_KEPT)
        fprintf(out, "and %zu more\n", problems->count - PROBLEMS_KEPT);
}

enum status
problems_status(const struct problems *problems, struct failure *failure)
{
    if (problems->count == 0)
        return STATUS_OK;
    if (problems->count == 1)
        return failure_set(failure, problems->first, "%s", problems->texts[0]);
    return failure_set(failure, problems->first, "%zu problems, the first: %s", problems->count,
                       problems->texts[0]);
}

void
problems_clear(struct problems *problems)
{
    for (size_t i = 0; i < PROBLEMS_KEPT; i++)
        free(problems->texts[i]);
    *problems = (struct problems){0};
}
