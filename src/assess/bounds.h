/* bounds.h - the bounds by which a pH at 40 degC and 1 % is judged (method.md, section 5).
 *
 * Rules
 * (1) Above limit_ph (11.0) a bar is lye-heavy. Only below clear_ph, 10.7 while it is younger than 28 days and 10.5 from
 *     then on, is it within; between the two it is doubtful. Below usual_low_ph (8.5) it is doubtful too: that is not what
 *     soap gives, so cup, meter or bar is not what it is taken for. Common practice and judgement: no standard has them.
 * (2) The maker may lower limit and clear_ph and raise neither: 7 <= usual_low < clear <= limit <= 11. A sitting on
 *     record with a higher limit is judged by 11.0.
 * (3) The age is that of the reading, in days since pouring. A reworked batch and a release ask for the bound of day 28
 *     whatever the age is. */
#ifndef BOUNDS_H
#define BOUNDS_H

#include "dossier.h"

struct bounds {
    double limit_ph, clear_ph, usual_low_ph;
};

/* Those of a sitting of a batch at an age in days. */
struct bounds bounds_of(const struct dossier *dossier, const struct session *session, int age_d);

/* Those of a sitting that a release asks for (rule 3). */
struct bounds bounds_for_release(const struct dossier *dossier, const struct session *session);

/* Rule 2 for what a maker asks for; NAN is the usual one.
 * STATUS_RANGE names the one that is wrong, and its range. */
enum status bounds_check(double usual_low_ph, double clear_ph, double limit_ph, struct failure *failure);

/* About how much free NaOH, in % of the bar, a clear_ph stands for where a sound bar reads 10.0: 0.7 for 10.7, 0.4 for
 * 10.5, by soap_free_naoh_pct()'s balance; NAN when it cannot be computed. What a within may still hide. */
double bounds_hidden_naoh_pct(double clear_ph);

#endif
