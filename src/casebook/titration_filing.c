/* titration_filing.c - a portion titrated in a walk-through, filed. */
#include "titration_filing.h"

#include <math.h>

#include "follow_store.h"
#include "text.h"

static void
leave_out_what_cannot_be(struct titration *titration)
{
    struct text note = {0};

    if (titration->burette_ml > 10.0)
        text_addf(&note, "a burette that reads to %g mL cannot be and is passed over", titration->burette_ml);
    if (!(titration->burette_ml > 0.0 && titration->burette_ml <= 10.0))
        titration->burette_ml = (double)NAN;
    if (titration->blank_ml > fmin(titration->volume_ml, 100.0)) {
        text_addf(&note, "%sthe blank of %g mL is larger than %s and is not taken off",
                  note.length > 0 ? "; " : "", titration->blank_ml,
                  titration->blank_ml > titration->volume_ml ? "the titration" : "a blank can be");
        titration->blank_ml = (double)NAN;
    }
    titration->note = note.length > 0 ? text_take(&note) : NULL;
}

enum status
titration_filing(struct store *store, struct titration *titration, struct failure *failure)
{
    enum status status;

    leave_out_what_cannot_be(titration);
    status = titration_check(titration, failure);
    return status == STATUS_OK ? titration_store_add(store, titration, failure) : status;
}
