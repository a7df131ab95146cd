/* report_part.c - what the parts of a report share. */
#include "report_part.h"

#include <stdlib.h>
#include <string.h>

#include "memory.h"
#include "verdict_text.h"

const char *
report_verdict_text(enum verdict_word verdict)
{
    return verdict == VERDICT_NOT_JUDGED ? "not judged" : verdict_word(verdict);
}

const char *
report_conclusion_text(const struct conclusion *conclusion)
{
    if (conclusion->basis == CONCLUSION_NOTHING && !conclusion_holds(conclusion))
        return "not tested";
    return conclusion->so_far ? conclusion_word(conclusion) : report_verdict_text(conclusion->verdict);
}

const char *
report_verdict_meaning(enum verdict_word verdict)
{
    switch (verdict) {
    case VERDICT_WITHIN:
        return "No sign of too much lye, as far as a pH can tell.";
    case VERDICT_NOT_JUDGED:
        return "The readings do not allow a verdict. This never releases a bar.";
    case VERDICT_DOUBTFUL:
    case VERDICT_LYE_HEAVY:
        return verdict_warning(verdict);
    }
    return "";
}

void
report_step(struct page *page, const char *key)
{
    char *words = memory_copy(key);

    for (char *c = words; *c != '\0'; c++)
        if (*c == '-')
            *c = ' ';
    page_typed(page, words);
    free(words);
}

void
report_moment(struct page *page, civil_time moment)
{
    char machine[MOMENT_TEXT_SIZE], shown[MOMENT_TEXT_SIZE], *mark;

    clock_moment_text(moment - moment % 60, machine); /* seconds help nobody who reads it */
    memcpy(shown, machine, sizeof shown);
    mark = strchr(shown, 'T');
    if (mark != NULL)
        *mark = ' ';
    page_open(page, "time");
    page_attribute(page, "datetime", machine);
    page_text(page, shown);
    page_close(page);
}
