/* sources.h - where the parts of a result's uncertainty come from, and so what results share.
 *
 * Rules
 * (1) Two results share a part exactly when they share its source: this calibration, this bottle of buffer, this
 *     meter's accuracy, this thermometer. A part is then one error for both, whatever it is (JCGM 100:2008, 5.2).
 *     What belongs to one cup (scatter, resolution, weighing) is shared with nothing.
 * (2) A part says how far the result moves for one standard unit of its source, with its sign. Where that depends on
 *     the pH (a buffer's error tilts the line) it is asked for at the pH of a curve, never at each reading: taken at
 *     the readings, a slope error makes a mean that lies below all of them (Peelle's puzzle).
 * (3) A bottle is a source of its own. Where none was named it is known by the buffer's name and by whether it was
 *     bought or made in the kitchen.
 * (4) How soap follows temperature and concentration (the free share, at_reference.h) is taken to be one unknown for
 *     all bars that are set beside each other (judgement): sound bars do follow alike, and a bar that does not is one
 *     with free lye, which shows by itself. Its half-width is added whole, for it lies at one end.
 * (5) Other parts with a stated limit are rectangular. The widest of them stays a rectangle in an interval, with all
 *     else as a normal distribution beside it (distribution.h): in quadrature 95 % would hold 91. */
#ifndef SOURCES_H
#define SOURCES_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum source_kind {
    SOURCE_LINE_LEVEL,   /* of a calibration: where its line lies */
    SOURCE_LINE_SLOPE,   /* of a calibration: how it is tilted */
    SOURCE_DRIFT,        /* since a calibration */
    SOURCE_BOTTLE,       /* of buffer */
    SOURCE_ACCURACY,     /* of a meter set by its own routine, or not checked */
    SOURCE_METER_SLOPE,  /* of a meter that one buffer fixed */
    SOURCE_COMPENSATION, /* of a meter without any */
    SOURCE_THERMOMETER,
    SOURCE_WATER,     /* of a sitting: carbon dioxide that is left in it */
    SOURCE_FREE_SHARE /* rule 4 */
};

/* Bottles without a number. */
#define SOURCE_BOUGHT 0
#define SOURCE_MADE (-1)

struct source {
    enum source_kind kind;
    int64_t
        id; /* of the calibration, meter, thermometer, sitting or bottle; one not named: SOURCE_BOUGHT, SOURCE_MADE */
    const char *name; /* a bottle's buffer (buffer.h); else NULL. Lent for ever */
};

struct source_part {
    struct source source;
    bool rectangular; /* half-width sqrt(3) |u_ph| */
    double u_ph;      /* rule 2, at the result's own pH */
    double per_ph;    /* how that changes with the pH */
};

enum { SOURCES_MOST = 14 };

/* The parts of one result, or of a mean. Zeroed it is none. */
struct sources {
    double ph;       /* the pH that the parts are for */
    double own_u_ph; /* standard uncertainty of what is shared with nothing */
    struct source_part parts[SOURCES_MOST];
    size_t count;
};

/* Add `weight` times a part; two of one source become one. One that finds no room counts as shared with nothing. */
void sources_add(struct sources *sources, const struct source_part *part, double weight);
void sources_add_own(struct sources *sources, double u_ph);

/* Standard uncertainty of a result, and the covariance of two results each at its own pH: what
 * JCGM 100:2008, 5.2, needs for any function of them. */
double sources_u_ph(const struct sources *sources);
double sources_covariance(const struct sources *a, const struct sources *b);

/* -- many results -- */

/* One source that at least two groups of results have, and each group's part of it. */
struct shared_part {
    size_t group;
    double u_ph, per_ph;
};
struct shared_source {
    struct source source;
    bool rectangular;
    const struct shared_part *parts; /* lent from the struct shared */
    size_t count;
};

/* Results in groups (sittings of one day are one group: their mean), sorted by what they share. Owns its arrays. */
struct shared {
    double *own_u_ph; /* of each group: all that no other group has */
    double *ph;       /* of each group: its mean, which the parts are for */
    struct shared_source *sources;
    size_t source_count;
    struct shared_part *parts; /* all of them */
};

/* One result in its group. */
struct shared_member {
    const struct sources *sources; /* lent */
    size_t group;                  /* 0 to group_count - 1 */
};

/* ret_shared  owned by the caller: shared_clear(). Every group has at least one member. */
void shared_of(const struct shared_member *members, size_t count, size_t group_count,
               struct shared *ret_shared);
void shared_clear(struct shared *shared);

/* What a sum of the groups, each with its weight, has from its shared sources. */
struct shared_sum {
    double u_ph;          /* standard uncertainty without the free share */
    double rectangle_ph;  /* half-width of the widest rectangular source in it; 0: none */
    double rest_u_ph;     /* standard uncertainty of the others */
    double whole_half_ph; /* of the free share: to be added whole (rule 4) */
};

/* weights  one a group
 * at_ph    the pH at which each group's parts are taken (rule 2); NULL: at their own */
struct shared_sum shared_sum_of(const struct shared *shared, const double *weights, const double *at_ph);

/* How far something may lie off to one side with that probability (above 0.5) that has `own_half_ph` of its own at the
 * same probability, and this sum beside it; whole_half_ph is in it (rules 4 and 5). */
double shared_half_ph(const struct shared_sum *sum, double own_half_ph, double probability);

#endif
