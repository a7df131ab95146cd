/* judged.c - a batch as the notebook has it, and what its tests say. */
#include "judged.h"

enum status
judged_load(struct store *store, const char *code, struct judged *judged, struct failure *failure)
{
    struct verdict_aid aid;
    enum status status = evidence_load(store, code, &judged->evidence, failure);

    if (status != STATUS_OK)
        return status;
    aid = evidence_aid(&judged->evidence);
    return conclusion_of(&judged->evidence.dossier, &aid, &judged->conclusion, failure);
}

enum status
judged_add_all(struct judged *judged, bool words_alone, struct failure *failure)
{
    struct verdict_aid aid = evidence_aid(&judged->evidence);

    if (judged->conclusion.ph.count == 0)
        return STATUS_OK;
    aid.ph_alone = words_alone;
    return verdict_of_all(&judged->evidence.dossier, &aid, &judged->all, failure);
}

void
judged_clear(struct judged *judged)
{
    verdict_list_clear(&judged->all);
    conclusion_clear(&judged->conclusion);
    evidence_clear(&judged->evidence);
}
