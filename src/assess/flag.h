/* flag.h - the short words beside a result: what it rests on, and what is amiss with it.
 *
 * A set of flags is one number with a bit for each. As text the words stand in the order below,
 * joined by ';'. The words never change their meaning once released: scripts read them. */
#ifndef FLAG_H
#define FLAG_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

enum flag {
    /* The meter and its calibration */
    FLAG_METER_UNCHECKED,      /* meter-unchecked: no calibration on record */
    FLAG_CALIBRATION_REFUSED,  /* calibration-refused: there is one, and it is not good enough */
    FLAG_CALIBRATION_MARGINAL, /* calibration-marginal: usable, but the electrode is not healthy */
    FLAG_CALIBRATION_DECLARED, /* calibration-declared: the meter's own routine, no values on record */
    FLAG_CALIBRATION_OLD,      /* calibration-old: more than a day before the reading */
    FLAG_EXTRAPOLATED,         /* extrapolated: outside the buffers, by at most 1 pH */
    FLAG_BEYOND_CALIBRATION,   /* beyond-calibration: outside the buffers by more than that */
    FLAG_OUT_OF_RANGE,         /* out-of-range: below pH 2 or above pH 12, where glass misleads */
    FLAG_DRIFT,                /* drift: a check in a buffer was off by more than 0.05 */
    FLAG_NOT_COMPENSATED,      /* not-compensated: no ATC, and read warmer or colder than calibrated */
    FLAG_ACCURACY_ASSUMED,     /* accuracy-assumed: the meter's accuracy is not on record */
    /* The solution */
    FLAG_TEMPERATURE_OFF,       /* temperature-off: outside 40 +/- 2 degC */
    FLAG_TEMPERATURE_MISSING,   /* temperature-missing */
    FLAG_CONCENTRATION_OFF,     /* concentration-off: outside 1.00 +/- 0.02 % */
    FLAG_CONCENTRATION_MISSING, /* concentration-missing */
    FLAG_DEVIATION,             /* deviation: a step of the procedure was not done as written */
    /* The readings */
    FLAG_SINGLE_READING,  /* single-reading */
    FLAG_SCATTER_ASSUMED, /* scatter-assumed: too few replicates to know how readings scatter */
    FLAG_SCATTERED,       /* scattered: the replicates disagree; within becomes doubtful */
    FLAG_LEFT_OUT,        /* left-out: readings of this bar that could not be used stand beside it */
    FLAG_PAPER_ONLY,      /* paper-only: no meter reading; paper can warn and cannot clear */
    FLAG_PAPER_HIGHER,    /* paper-higher: the paper read above the meter's whole interval */
    FLAG_BIAS_UNKNOWN,    /* bias-unknown: how this paper reads soap has not been learned yet */
    FLAG_SEVERAL_METERS,  /* several-meters: more than one meter; the worse of their answers counts */
    FLAG_SESSION_OPEN, /* session-open: a walk-through is not finished; what it still asks is not in here */
    /* The result */
    FLAG_LIMIT_RAISED, /* limit-raised: judged by a limit above the usual pH 11 */
    FLAG_BELOW_USUAL,  /* below-usual: under pH 8.5; not soap as expected: doubtful */
    /* The water and the cup */
    FLAG_WATER_UNKNOWN, /* water-unknown: not stated to be distilled or deionised */
    FLAG_WATER_OTHER,   /* water-other: neither distilled nor deionised */
    FLAG_WATER_PH,      /* water-ph: its own pH was outside 5.5 to 7.5 */
    FLAG_UNDISSOLVED,   /* undissolved: soap was left at the bottom */
    FLAG_CUPS_APART,    /* cups-apart: cups of one bar disagree; the worst counts, alone */
    FLAG_CUP_STOOD,     /* cup-stood: first and last read more than a day apart; not judged */
    FLAG_APPROXIMATE,   /* approximate: read off only about, so it clears nothing */
    FLAG_COUNT
};

void flag_set(uint64_t *flags, enum flag flag);
bool flag_is_set(uint64_t flags, enum flag flag);

/* All words of a set joined by ';', empty for none. Given: free() it. */
char *flag_text(uint64_t flags);

/* The same for a set with words of its own, word i for bit i. Given: free() it. */
char *flag_text_of(uint64_t flags, const char *const *of_words, size_t count);

/* The same for people: a phrase for each, joined by ", ". Given: free() them. */
char *flag_phrases(uint64_t flags);
char *flag_phrases_of(uint64_t flags, const char *const *of_phrases, size_t count);

#endif
