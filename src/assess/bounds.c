/* bounds.c - the bounds by which a pH is judged. */
#include "bounds.h"

#include <math.h>

#include "soap.h"

/* The limit that holds: the maker's, where it is not higher than the usual one. */
static double
limit_of(const struct session *session)
{
    return fmin(session->limit_ph, LIMIT_PH_USUAL);
}

struct bounds
bounds_of(const struct dossier *dossier, const struct session *session, int age_d)
{
    bool ripe = age_d >= CLEAR_RIPE_AGE_D || dossier->batch.parent_id != 0;
    double clear_ph = ripe ? CLEAR_PH_RIPE : CLEAR_PH_YOUNG;

    /* fmin() passes over NAN */
    return (struct bounds){
        .limit_ph = limit_of(session),
        .clear_ph = fmin(fmin(clear_ph, session->clear_ph), limit_of(session)),
        .usual_low_ph = isnan(session->usual_low_ph) ? USUAL_LOW_PH : session->usual_low_ph,
    };
}

struct bounds
bounds_for_release(const struct dossier *dossier, const struct session *session)
{
    return bounds_of(dossier, session, CLEAR_RIPE_AGE_D);
}

enum status
bounds_check(double usual_low_ph, double clear_ph, double limit_ph, struct failure *failure)
{
    double low = isnan(usual_low_ph) ? USUAL_LOW_PH : usual_low_ph;
    double limit = isnan(limit_ph) ? LIMIT_PH_USUAL : limit_ph;
    double clear = isnan(clear_ph) ? fmin(CLEAR_PH_RIPE, limit) : clear_ph;

    if (!(limit <= LIMIT_PH_USUAL && limit > 7.0))
        return failure_set(failure, STATUS_RANGE,
                           "limit_ph is %g, allowed is above 7 to %g: it may be lowered, not raised", limit,
                           LIMIT_PH_USUAL);
    if (!isnan(clear_ph) && !(clear <= fmin(CLEAR_PH_YOUNG, limit) && clear > 7.0))
        return failure_set(failure, STATUS_RANGE,
                           "clear_ph is %g, allowed is above 7 to %g: it may be lowered, not raised", clear,
                           fmin(CLEAR_PH_YOUNG, limit));
    if (!(low >= 7.0 && low < clear))
        return failure_set(failure, STATUS_RANGE,
                           "usual_low_ph is %g, allowed is 7 to below clear_ph, which is %g", low, clear);
    return STATUS_OK;
}

double
bounds_hidden_naoh_pct(double clear_ph)
{
    static const double plain_ph = 10.0;
    const struct soap_reading reading = {.ph = clear_ph,
                                         .reference_ph = plain_ph,
                                         .temperature_c = REFERENCE_TEMPERATURE_C,
                                         .concentration_pct = REFERENCE_CONCENTRATION_PCT};
    struct soap_free_naoh free_naoh = {0};
    struct failure ignored = {0};

    if (!(clear_ph > plain_ph) || soap_free_naoh_pct(&reading, &free_naoh, &ignored) != STATUS_OK)
        return NAN;
    return free_naoh.estimate_pct;
}
