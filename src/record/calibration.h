/* calibration.h - a meter put against buffers: the calibration before readings, the check after. */
#ifndef CALIBRATION_H
#define CALIBRATION_H

#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>

#include "clock.h"
#include "status.h"

enum calibration_purpose {
    CALIBRATION_ADJUST, /* readings that follow are corrected by it */
    CALIBRATION_CHECK   /* a look at one or more buffers afterwards: it shows drift, corrects nothing */
};
enum calibration_verdict { CALIBRATION_ACCEPTED, CALIBRATION_MARGINAL, CALIBRATION_REFUSED };

/* What the meter showed in one buffer. Owns its text. */
struct calibration_point {
    int64_t id;   /* 0: not in a notebook yet */
    char *buffer; /* the table's name of it */
    bool kitchen_made;
    int64_t bottle_id; /* of the gear it was poured from; 0: not said */
    double temperature_c;
    double displayed_ph; /* NAN when the meter showed millivolts */
    double potential_mv; /* NAN when the meter showed pH */
    double table_ph;     /* what the table says at that temperature */
};

/* Owns its points and texts. */
struct calibration {
    int64_t id;
    int64_t meter_id;
    char *meter_name; /* NULL until loaded from a notebook */
    civil_time taken_at;
    enum calibration_purpose purpose;
    bool declared;        /* made with the meter's own routine: buffers named, no values */
    double slope_percent; /* of the theoretical slope; NAN: declared, or too few buffers */
    double offset_mv;     /* at pH 7; NAN likewise */
    enum calibration_verdict verdict;
    char *reason;   /* why marginal or refused; NULL: nothing to say */
    bool withdrawn; /* it does not count */
    char *note;
    struct calibration_point *points;
    size_t point_count;
};

const char *calibration_purpose_word(enum calibration_purpose purpose);
const char *calibration_verdict_word(enum calibration_verdict verdict);
enum status calibration_purpose_parse(const char *text, enum calibration_purpose *ret,
                                      struct failure *failure);
enum status calibration_verdict_parse(const char *text, enum calibration_verdict *ret,
                                      struct failure *failure);

/* The one that readings at a moment rest on: the latest calibration (no check) at or before it that is not withdrawn; a
 * refused one too, which ends what was in force before it and clears nothing (reading_value.h). NULL: none. Lent.
 *
 * calibrations  of one meter, oldest first */
const struct calibration *calibration_in_force(const struct calibration *calibrations, size_t count,
                                               civil_time at);

/* Add a point, whose text the calibration then owns. */
void calibration_add_point(struct calibration *calibration, struct calibration_point point);
void calibration_clear(struct calibration *calibration);

#endif
